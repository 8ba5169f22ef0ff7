package naive

import (
	"encoding/json"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func load(t *testing.T, data []byte) *Book {
	t.Helper()
	b, err := Load(data)
	if err != nil {
		t.Errorf("Load: %v", err)
	}
	return b
}

// canonical writes a JSON document or a value with its keys in order.
func canonical(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	data, err = json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// signed reads money that may be negative.
func signed(s string) *big.Rat {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return new(big.Rat).Neg(decimal(rest))
	}
	return decimal(s)
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		num, denom int64
		decimals   int
		want       string
	}{
		{1, 2, 0, "1"}, {-1, 2, 0, "-1"}, {1, 8, 2, "0.13"}, {-1, 8, 2, "-0.13"},
		{1, 3, 6, "0.333333"}, {2, 3, 6, "0.666667"}, {-1, 10000000, 6, "0.000000"}, {1005, 1000, 2, "1.01"},
	} {
		if got := text(big.NewRat(c.num, c.denom), c.decimals); got != c.want {
			t.Errorf("text(%d/%d, %d) = %s, want %s", c.num, c.denom, c.decimals, got, c.want)
		}
	}
}

func TestInForce(t *testing.T) {
	entries := []dated{{From: "2026-05-01", Note: "b"}, {From: "2026-01-01", Note: "a"}, {From: "2026-05-01", Note: "c"}}
	for on, want := range map[string]string{"2026-01-01": "a", "2026-04-30": "a", "2026-05-01": "c", "2027-01-01": "c"} {
		if got := inForce("x", entries, on).Note; got != want {
			t.Errorf("inForce(%s) = %s, want %s", on, got, want)
		}
	}
}

// Counted by hand: a round of 150 mm cut 25 × 50 mm has one ring of
// ⌊2π·50/25⌋ = 12 and a core of ⌊π·25²/1250⌋ = 1.
func TestPortions(t *testing.T) {
	b := &Book{}
	finger := portion{Cut: "finger", Width: "25 mm", Depth: "50 mm"}
	for _, c := range []struct {
		shape shape
		want  int
	}{
		{shape{Shape: "round", Diameter: "150 mm"}, 13},
		{shape{Shape: "square", Side: "100 mm"}, 8},
		{shape{Shape: "rectangle", Length: "60 mm", Width: "45 mm"}, 1}, // ⌊60/25⌋·⌊45/50⌋ = 0, turned ⌊45/25⌋·⌊60/50⌋ = 1
		{shape{Shape: "measured", Area: "100 cm2", Perimeter: "40 cm"}, 8},
	} {
		if got := b.cutPortions(finger, c.shape); got != c.want {
			t.Errorf("cutPortions(%v) = %d, want %d", c.shape, got, c.want)
		}
	}
}
