package catalogue_test

import (
	"encoding/json"
	"fmt"
	"math/bits"
	"math/rand/v2"
	"testing"
	"time"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
)

// TestMoveIsExact compares the fixed-point path with exact rationals, over
// random books and rises of every resource, to the last printed digit.
func TestMoveIsExact(t *testing.T) {
	books := 60
	if testing.Short() {
		books = 10
	}
	for seed := range uint64(books) {
		g := randombook.New(seed)
		b, err := book.Parse(g.Book())
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		rates := pricing.NewRates(x, day.Must(g.Date()))
		cat, costings := load(t, x, rates)
		rng := rand.New(rand.NewPCG(seed, 1))
		for _, first := range costings[0].Takeoff.Bill {
			changes := map[book.ID]exact.Number{}
			for _, l := range append(pricing.Bill{first}, costings[len(costings)-1].Takeoff.Bill[:rng.IntN(2)]...) {
				rate, err := rates.Of(l.Resource, l.Kind)
				if err != nil {
					t.Fatal(err)
				}
				changes[l.Resource] = rate.PerUnit.Mul(exact.Frac(rng.Int64N(3000), 997))
			}
			checkMove(t, cat, costings, rates, changes)
			checkImpacts(t, cat, x, costings, changes)
		}
	}
}

func load(t testing.TB, x *book.Index, rates *pricing.Rates) (*catalogue.Catalogue, []pricing.Costing) {
	t.Helper()
	var costings []pricing.Costing
	var cakes []catalogue.Cake
	for _, k := range x.Book.Cakes {
		c, err := pricing.CostCake(x, k.ID, rates)
		if err != nil {
			t.Fatal(err)
		}
		_, has := c.Margin()
		costings = append(costings, c)
		cakes = append(cakes, catalogue.Cake{ID: k.ID, Lines: catalogue.LinesOf(c.Takeoff.Bill), Net: c.Offer.Net, HasPrice: has})
	}
	cat, err := catalogue.New(rates, x.Book.Studio.Currency.Places(), cakes, func(i int) (pricing.Bill, error) { return costings[i].Takeoff.Bill, nil })
	if err != nil {
		t.Fatal(err)
	}
	return cat, costings
}

// checkImpacts compares what fixed point prints with what exact rationals do.
func checkImpacts(t *testing.T, cat *catalogue.Catalogue, x *book.Index, costings []pricing.Costing, changes map[book.ID]exact.Number) {
	t.Helper()
	floor := x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	got, err := cat.Impacts(changes, floor)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range costings {
		want, uses, err := pricing.ImpactOf(x.Book.Studio, c, changes)
		if err != nil {
			t.Fatal(err)
		}
		if !uses {
			continue
		}
		if len(got) == 0 {
			t.Fatalf("%s is missing", c.Cake.ID)
		}
		g, err1 := json.Marshal(machine.ImpactOf(got[0]))
		w, err2 := json.Marshal(machine.ImpactOf(want))
		if err1 != nil || err2 != nil || string(g) != string(w) {
			t.Fatalf("impact on %s:\n%s\nwant\n%s", c.Cake.ID, g, w)
		}
		got = got[1:]
	}
	if len(got) > 0 {
		t.Fatalf("%s is listed and uses nothing that changes", got[0].Cake)
	}
}

func checkMove(t *testing.T, cat *catalogue.Catalogue, costings []pricing.Costing, rates *pricing.Rates, changes map[book.ID]exact.Number) {
	t.Helper()
	got, err := cat.Move(changes)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[int]catalogue.Moved{}
	last := int64(1 << 60)
	for _, m := range got {
		seen[int(m.Cake)] = m
		if m.HasMargin && m.Was-m.Is > last {
			t.Errorf("%d falls by %d and stands after one that falls by %d", m.Cake, m.Was-m.Is, last)
		}
		if m.HasMargin {
			last = m.Was - m.Is
		}
	}
	for i, c := range costings {
		uses := false
		for id := range changes {
			_, there := c.Takeoff.Bill.Line(id)
			uses = uses || there
		}
		m, listed := seen[i]
		if uses != listed {
			t.Fatalf("%s is listed: %t, uses it: %t", c.Cake.ID, listed, uses)
		}
		if !uses {
			continue
		}
		after, err := pricing.CostOf(c.Takeoff.Bill, rates.With(changes))
		if err != nil {
			t.Fatal(err)
		}
		was, has := c.Margin()
		is, _ := pricing.Margin(c.Offer.Net, after.Total())
		if has != m.HasMargin || has && (text(m.Was) != was.Fixed(6) || text(m.Is) != is.Fixed(6)) {
			t.Fatalf("%s: %+v, want %s and %s", c.Cake.ID, m, was.Fixed(6), is.Fixed(6))
		}
	}
}

// text prints millionths.
func text(n int64) string { return exact.Frac(n, 1_000_000).Fixed(6) }

// big is a synthetic catalogue: 10,000 cakes of 60 lines out of 2,000
// resources, of which number 0 is in every cake.
type big struct {
	cakes  [][]line
	prices []int64
}

type line struct {
	resource int
	quantity int64 // thousandths
}

const (
	cakeCount, lineCount, resourceCount = 10_000, 60, 2_000
)

func newBig() big {
	rng := rand.New(rand.NewPCG(1, 2))
	b := big{cakes: make([][]line, cakeCount), prices: make([]int64, resourceCount)}
	for i := range b.prices {
		b.prices[i] = 1 + rng.Int64N(50_000)
	}
	for i := range b.cakes {
		lines := []line{{0, 1 + rng.Int64N(900_000)}}
		for _, r := range rng.Perm(resourceCount - 1)[:lineCount-1] {
			lines = append(lines, line{r + 1, 1 + rng.Int64N(900_000)})
		}
		b.cakes[i] = lines
	}
	return b
}

func (b big) load(tb testing.TB) *catalogue.Catalogue {
	text := `{"format":"marchpane-book/1","studio":{"name":"n","currency":"EUR","target":{"margin":"50 %"}},"ingredients":[`
	for i, p := range b.prices {
		if i > 0 {
			text += ","
		}
		text += fmt.Sprintf(`{"id":"r%d","name":"r","measure":"mass","prices":[{"from":"2026-01-01","pack":"397 g","price":"%d.%03d"}]}`, i, p/1000, p%1000)
	}
	parsed, err := book.Parse([]byte(text + "]}"))
	if err != nil {
		tb.Fatal(err)
	}
	x := book.NewIndex(parsed)
	cakes := make([]catalogue.Cake, len(b.cakes))
	bills := make([]pricing.Bill, len(b.cakes))
	for i, lines := range b.cakes {
		for _, l := range lines {
			bills[i] = append(bills[i], pricing.BillLine{Resource: book.ID(fmt.Sprintf("r%d", l.resource)), Kind: pricing.Ingredient, Quantity: exact.Frac(l.quantity, 1000), Unit: "g"})
		}
		cakes[i].Lines = catalogue.LinesOf(bills[i])
		cakes[i].ID, cakes[i].HasPrice, cakes[i].Net = book.ID(fmt.Sprintf("c%d", i)), true, exact.Frac(int64(100_000_000+i), 13)
	}
	cat, err := catalogue.New(pricing.NewRates(x, day.Must("2026-06-01")), 2, cakes, func(i int) (pricing.Bill, error) { return bills[i], nil })
	if err != nil {
		tb.Fatal(err)
	}
	return cat
}

// bareSum returns the baseline as a function: 128-bit integer sums of products
// over the same bills, all 600,000 terms.
func (b big) bareSum() func() uint64 {
	var index []int32
	var quantity []int64
	for _, lines := range b.cakes {
		for _, l := range lines {
			index, quantity = append(index, int32(l.resource)), append(quantity, l.quantity)
		}
	}
	return func() (sink uint64) {
		for c := range cakeCount {
			var hi, lo uint64
			for k := c * lineCount; k < (c+1)*lineCount; k++ {
				h, l := bits.Mul64(uint64(quantity[k]), uint64(b.prices[index[k]]))
				var carry uint64
				lo, carry = bits.Add64(lo, l, 0)
				hi, _ = bits.Add64(hi, h, carry)
			}
			sink += hi ^ lo
		}
		return sink
	}
}

// BenchmarkBareSum is that baseline by itself.
func BenchmarkBareSum(b *testing.B) {
	sum := newBig().bareSum()
	var sink uint64
	b.ResetTimer()
	for range b.N {
		sink += sum()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/cakeCount/lineCount, "ns/term")
	_ = sink
}

// BenchmarkMoveUsedByAll moves a price that every cake uses; BenchmarkMoveUsedBySome
// one that about 300 of 10,000 use.
func BenchmarkMoveUsedByAll(b *testing.B)  { benchmarkMove(b, "r0") }
func BenchmarkMoveUsedBySome(b *testing.B) { benchmarkMove(b, "r7") }

// benchmarkMove takes turns with the baseline and reports how many times its
// time a move takes, so that a busy machine slows both.
func benchmarkMove(b *testing.B, id book.ID) {
	data := newBig()
	cat, sum := data.load(b), data.bareSum()
	var moves, bare time.Duration
	var sink uint64
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		start := time.Now()
		moved, err := cat.Move(map[book.ID]exact.Number{id: exact.Frac(int64(1000+i%100), 39700)})
		moves += time.Since(start)
		if err != nil || len(moved) == 0 {
			b.Fatal(len(moved), err)
		}
		b.StopTimer()
		start = time.Now()
		sink += sum()
		bare += time.Since(start)
		b.StartTimer()
	}
	b.ReportMetric(float64(moves)/float64(bare), "x-bare")
	_ = sink
}
