package drawing_test

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"marchpane/templates/document"
	"marchpane/templates/drawing"
)

// Columns of a comparison share a scale: a cake half as wide stands on a board
// half as wide, whatever stands with it.
func TestLineup(t *testing.T) {
	wide, narrow := cakeOf(t, "400 mm", "200 mm"), cakeOf(t, "200 mm", "100 mm")
	bare := document.Cake{Name: "without tiers"}
	got := drawing.Lineup([][]document.Cake{{wide}, {narrow, bare, narrow, narrow}, {bare}}, 50, 60)
	if len(got) != 3 || !got[2].Empty() {
		t.Fatalf("%d pictures, the last with %d shapes; want 3, the last empty", len(got), len(got[2].Shapes))
	}
	one, three := boards(got[0]), boards(got[1])
	if len(one) != 1 || len(three) != 3 {
		t.Fatalf("%d and %d boards, want 1 and 3", len(one), len(three))
	}
	for _, b := range three {
		if ratio := one[0][1] / b[1]; math.Abs(ratio-2) > 1e-6 {
			t.Errorf("the wider board is %.4f times the other, want 2", ratio)
		}
	}
	// Two find room side by side, the third on a shelf below.
	if three[0][2] != three[1][2] || three[2][2] <= three[1][2] {
		t.Errorf("boards stand at %v, want the third below the others", three)
	}
	for i := range 2 {
		if a, b := labels(got[i]), []string{"10\u00a0cm"}; !reflect.DeepEqual(a, b) {
			t.Errorf("column %d is labelled %q, want %q", i, a, b)
		}
	}
}

func labels(p document.Picture) (all []string) {
	for _, s := range p.Shapes {
		if l, ok := s.(document.Label); ok {
			all = append(all, l.Text)
		}
	}
	return all
}

// Whatever is set side by side keeps to its column, no cake covers another, and
// millimetres on paper are the same everywhere.
func TestLineupKeepsToItsColumns(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var columns [][]document.Cake
		var sizes [][]int
		for range rapid.IntRange(2, 5).Draw(rt, "columns") {
			var cakes []document.Cake
			var across []int
			for range rapid.IntRange(0, 6).Draw(rt, "cakes") {
				d := rapid.IntRange(50, 600).Draw(rt, "diameter")
				cakes, across = append(cakes, cakeOf(t, fmt.Sprintf("%d mm", d), fmt.Sprintf("%d mm", d/2))), append(across, d)
			}
			columns, sizes = append(columns, cakes), append(sizes, across)
		}
		const width, height = 30.0, 62.0
		scale := 0.0
		for i, p := range drawing.Lineup(columns, width, height) {
			if p.Width > width+1e-6 || p.Height > height+1e-6 {
				rt.Fatalf("column %d takes %.2f × %.2f mm", i, p.Width, p.Height)
			}
			b := boards(p)
			if len(b) != len(sizes[i]) {
				rt.Fatalf("column %d has %d cakes, want %d", i, len(b), len(sizes[i]))
			}
			for j, board := range b {
				k := board[1] / float64(sizes[i][j])
				if scale == 0 {
					scale = k
				}
				if math.Abs(k-scale) > 1e-6 {
					rt.Fatalf("cake %d of column %d is drawn at %f, others at %f", j, i, k, scale)
				}
				if board[0] < -1e-6 || board[0]+board[1] > width+0.02 {
					rt.Fatalf("cake %d of column %d stands from %.2f to %.2f", j, i, board[0], board[0]+board[1])
				}
				if j > 0 && board[2] == b[j-1][2] && board[0] < b[j-1][0]+b[j-1][1] {
					rt.Fatalf("cake %d of column %d covers the one before", j, i)
				}
			}
		}
	})
}

// Options are drawn, in full and to compare, and what was given stays as it was.
func TestIllustrateOptions(t *testing.T) {
	c := cakeOf(t, "300 mm", "200 mm")
	q := document.Quote{Cakes: []document.Cake{c}, Options: []document.Option{{Cakes: []document.Cake{c}}, {Cakes: []document.Cake{c, c}}},
		Comparison: document.Comparison{Columns: []document.ComparedOption{{Cakes: []document.Cake{c}}, {Cakes: []document.Cake{c, c}}}}}
	got := drawing.Illustrate(q, func(int) (float64, float64) { return 92, 70 })
	for i, o := range got.Options {
		for j, cake := range o.Cakes {
			if cake.Picture.Empty() || cake.Picture.Width >= got.Cakes[0].Picture.Width {
				t.Errorf("cake %d of option %d is drawn %.1f mm wide, that of an only offer %.1f", j, i, cake.Picture.Width, got.Cakes[0].Picture.Width)
			}
			if !q.Options[i].Cakes[j].Picture.Empty() {
				t.Errorf("the given cake %d of option %d was changed", j, i)
			}
		}
		if n := len(boards(got.Comparison.Columns[i].Picture)); n != i+1 {
			t.Errorf("column %d shows %d cakes, want %d", i, n, i+1)
		}
		if !q.Comparison.Columns[i].Picture.Empty() {
			t.Errorf("the given column %d was changed", i)
		}
	}
}
