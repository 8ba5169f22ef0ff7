package shopping

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"marchpane/pricing/exact"
)

// offer makes an offer of a size at a cost, both plain decimals or fractions.
func offer(size, cost string) Offer {
	return Offer{Size: exact.Must(size), Cost: exact.Must(cost)}
}

// TestCheapest checks choices worked by hand.
func TestCheapest(t *testing.T) {
	for _, c := range []struct {
		name   string
		offers []Offer
		need   string
		want   []string
	}{
		{"one size", []Offer{offer("2500", "24")}, "5001", []string{"3"}},
		{"just enough", []Offer{offer("2500", "24")}, "5000", []string{"2"}},
		// 3 × 16 kg are 39 for 48; 1 × 25 and 1 × 16 are 35 for 41.
		{"two sizes together", []Offer{offer("16000", "13"), offer("25000", "22")}, "40000", []string{"1", "1"}},
		// The large one is cheaper by weight, but two small ones do: 4 against 5.
		{"small packs for little", []Offer{offer("1000", "2"), offer("5000", "5")}, "1800", []string{"2", "0"}},
		// The large one costs less than what is needed in small ones.
		{"a large pack for little money", []Offer{offer("1000", "2"), offer("5000", "3")}, "1800", []string{"0", "1"}},
		// 12 + 30 and 6 × 6 + ... cost the same for 40: least left over, then fewest packs.
		{"equal cost, least left", []Offer{offer("6", "3"), offer("12", "6"), offer("30", "15")}, "40", []string{"0", "1", "1"}},
		{"equal all, fewest packs", []Offer{offer("6", "3"), offer("30", "15")}, "60", []string{"0", "2"}},
		{"free packs, none too many", []Offer{offer("10", "0"), offer("3", "0")}, "12", []string{"0", "4"}},
		{"same size, the first offered of equal cost", []Offer{offer("5", "2"), offer("5", "2")}, "9", []string{"2", "0"}},
		// A pound and a kilogram: 2 lb are 907.18474 g.
		{"pounds and kilograms", []Offer{offer("453.59237", "3"), offer("1000", "6.5")}, "900", []string{"2", "0"}},
		// 10^15 packs are not counted one by one.
		{"a great need", []Offer{offer("7", "3"), offer("1000", "400")}, "1000000000000000003", []string{"1", "1000000000000000"}},
	} {
		got, _, err := cheapest(c.offers, exact.Must(c.need))
		if err != nil || fmt.Sprint(texts(got)) != fmt.Sprint(c.want) {
			t.Errorf("%s: cheapest(%s) = %s, %v, want %s", c.name, c.need, texts(got), err, c.want)
		}
	}
}

func texts(ns []exact.Number) []string {
	list := make([]string, len(ns))
	for i, n := range ns {
		list[i] = n.Text()
	}
	return list
}

// TestCheapestAgainstAllChoices tries every choice of packs, and asks for the
// same cost, left over and number of packs.
func TestCheapestAgainstAllChoices(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 4))
	sizes := []string{"1", "2", "3", "5", "6", "10", "12", "15", "16", "25", "30", "453.59237", "283.49523125", "250", "500", "397", "7/3", "0.5"}
	tried := 0
	for range 1500 {
		offers := make([]Offer, 1+r.IntN(4))
		var largest exact.Number
		for i := range offers {
			offers[i].Size = exact.Must(sizes[r.IntN(len(sizes))])
			largest = exact.Max(largest, offers[i].Size)
			switch r.IntN(4) {
			case 0: // in proportion, so that many choices cost the same
				offers[i].Cost = offers[i].Size.Mul(exact.Frac(1, 3))
			case 1: // without a recovered tax of 23 %
				offers[i].Cost = exact.Frac(int64(r.IntN(3000)), 123)
			default:
				offers[i].Cost = exact.Frac(int64(r.IntN(3000)), 100)
			}
		}
		need := largest.Mul(exact.Frac(int64(1+r.IntN(400)), 100))
		want, ok := allChoices(offers, need)
		if !ok {
			continue // too many to try
		}
		tried++
		counts, got, err := cheapest(offers, need)
		if err != nil {
			t.Fatalf("cheapest(%v, %s): %v", offers, need.Text(), err)
		}
		if got.less(want) || want.less(got) {
			t.Errorf("cheapest(%v, %s) = %s: cost %s, amount %s, packs %s, want cost %s, amount %s, packs %s", offers, need.Text(), texts(counts),
				got.cost.Text(), got.amount.Text(), got.packs.Text(), want.cost.Text(), want.amount.Text(), want.packs.Text())
		}
		var sum score
		for i, n := range counts {
			sum.cost, sum.amount, sum.packs = sum.cost.Add(n.Mul(offers[i].Cost)), sum.amount.Add(n.Mul(offers[i].Size)), sum.packs.Add(n)
		}
		if sum.less(got) || got.less(sum) {
			t.Errorf("cheapest(%v, %s): its packs %s are not what it says they are", offers, need.Text(), texts(counts))
		}
	}
	if tried < 700 {
		t.Errorf("only %d choices were tried", tried)
	}
}

// allChoices is the plain way: every number of every pack, each up to where it
// covers the need alone.
func allChoices(offers []Offer, need exact.Number) (score, bool) {
	most := make([]int64, len(offers))
	choices := int64(1)
	for i, o := range offers {
		most[i] = need.Quo(o.Size).Ceil().Int64()
		if choices *= most[i] + 1; choices > 5000 {
			return score{}, false
		}
	}
	var best score
	found := false
	var try func(i int, s score)
	try = func(i int, s score) {
		if i == len(offers) {
			if s.amount.Cmp(need) >= 0 && (!found || s.less(best)) {
				best, found = s, true
			}
			return
		}
		for n := range most[i] + 1 {
			k := exact.Int(n)
			try(i+1, score{s.cost.Add(k.Mul(offers[i].Cost)), s.amount.Add(k.Mul(offers[i].Size)), s.packs.Add(k)})
		}
	}
	try(0, score{})
	return best, found
}

// TestCheapestIsBounded: whatever the packs, the search ends.
func TestCheapestIsBounded(t *testing.T) {
	var offers []Offer
	for i, size := range []string{"453.59237", "283.49523125", "1000", "737.087407", "999.99", "907.18473", "1133.98091"} {
		// All at nearly one price a gram.
		offers = append(offers, Offer{Size: exact.Must(size), Cost: exact.Must(size).Mul(exact.Frac(int64(1000001+i), 1000000))})
	}
	if _, _, err := cheapest(offers, exact.Int(5_000_000)); err != errTooMany {
		t.Errorf("cheapest of packs that fit nothing = %v, want %v", err, errTooMany)
	}
	// Ordinary packs of pounds and kilograms by the hundredweight.
	ordinary := []Offer{offer("453.59237", "3.10"), offer("2267.96185", "14.20"), offer("1000", "6.50"), offer("12500", "74.00"), offer("25000", "147.50")}
	counts, s, err := cheapest(ordinary, exact.Int(317_000))
	if err != nil || s.amount.Cmp(exact.Int(317_000)) < 0 {
		t.Errorf("cheapest = %s, %v", texts(counts), err)
	}
}

func BenchmarkCheapest(b *testing.B) {
	ordinary := []Offer{offer("453.59237", "3.10"), offer("2267.96185", "14.20"), offer("1000", "6.50"), offer("12500", "74.00"), offer("25000", "147.50")}
	for b.Loop() {
		if _, _, err := cheapest(ordinary, exact.Int(317_000)); err != nil {
			b.Fatal(err)
		}
	}
}
