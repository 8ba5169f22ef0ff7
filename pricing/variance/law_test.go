package variance_test

import (
	"fmt"
	"math/big"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// drawNumber draws a figure as awkward as pack sizes and taxes make them.
func drawNumber(t *rapid.T, label string) exact.Number {
	return exact.Frac(rapid.Int64Range(0, 100_000).Draw(t, label), rapid.SampledFrom([]int64{1, 2, 3, 7, 60, 100, 113, 397, 1000}).Draw(t, label+" over"))
}

func drawMaybe(t *rapid.T, label string) record.Maybe[exact.Number] {
	if !rapid.Bool().Draw(t, label+" recorded") {
		return record.Maybe[exact.Number]{}
	}
	return record.Some(drawNumber(t, label))
}

func drawOrder(t *rapid.T) variance.Order {
	o := variance.Order{
		ID: "2026-0001", Cakes: rapid.IntRange(0, 4).Draw(t, "cakes"),
		Sales: variance.Sales{
			Price: drawNumber(t, "price"), Discount: drawNumber(t, "discount"),
			ActualPrice: drawMaybe(t, "price charged"), ActualDiscount: drawMaybe(t, "discount granted"),
		},
	}
	if rapid.Bool().Draw(t, "overhead by percentage") {
		o.Share = exact.Frac(rapid.Int64Range(0, 90).Draw(t, "share"), 100)
	}
	for i := range rapid.IntRange(0, 7).Draw(t, "lines") {
		kind := pricing.Kind(rapid.IntRange(int(pricing.Ingredient), int(pricing.Overhead)).Draw(t, "kind"))
		l := standard(fmt.Sprintf("resource-%d", i%5), kind, drawNumber(t, "standard quantity"), drawNumber(t, "standard price"))
		if kind != pricing.Overhead {
			l.ActualQuantity, l.ActualPrice = drawMaybe(t, "quantity"), drawMaybe(t, "price paid")
		}
		if kind <= pricing.Role && rapid.Bool().Draw(t, "lost") {
			l.Lost = l.ActualQuantity.Or(exact.Int(12)).Mul(exact.Frac(rapid.Int64Range(0, 10).Draw(t, "tenths lost"), 10))
		}
		o.Lines = append(o.Lines, l)
	}
	return o
}

// naive works an order out a second time over math/big: each actual cost from
// what was used, each cost variance as the difference between three costs of
// the same line (as planned, as used at standard prices, as paid), and the real
// margin from the books alone, without a single variance.
type naive struct {
	planned, actual, absorbed *big.Rat
	steps                     map[variance.Key]*big.Rat
	recorded                  map[variance.Key]bool
}

func recompute(o variance.Order) naive {
	n := naive{new(big.Rat), new(big.Rat), new(big.Rat), map[variance.Key]*big.Rat{}, map[variance.Key]bool{}}
	sub := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	move := func(k variance.Key, from, to *big.Rat, recorded bool) {
		if n.steps[k] == nil {
			n.steps[k] = new(big.Rat)
		}
		n.steps[k].Add(n.steps[k], sub(from, to))
		n.recorded[k] = n.recorded[k] || recorded
	}
	pick := func(m record.Maybe[exact.Number], otherwise *big.Rat) *big.Rat {
		if m.Given {
			return m.Value.Rat()
		}
		return otherwise
	}
	plannedPrice, plannedOff := o.Sales.Price.Rat(), o.Sales.Discount.Rat()
	price, off := pick(o.Sales.ActualPrice, plannedPrice), pick(o.Sales.ActualDiscount, plannedOff)
	move(variance.SalesPrice, price, plannedPrice, o.Sales.ActualPrice.Given)
	move(variance.SalesDiscount, plannedOff, off, o.Sales.ActualDiscount.Given)
	n.planned, n.actual = sub(plannedPrice, plannedOff), sub(price, off)

	direct := new(big.Rat)
	for _, l := range o.Lines {
		sq, sp, lost := l.StandardQuantity.Rat(), l.StandardPrice.Rat(), l.Lost.Rat()
		asPlanned := mul(sq, sp)
		n.planned.Sub(n.planned, asPlanned)
		if l.Kind == pricing.Overhead {
			n.absorbed.Add(n.absorbed, asPlanned)
			continue
		}
		direct.Add(direct, asPlanned)
		used := pick(l.ActualQuantity, new(big.Rat).Add(sq, lost))
		paid := mul(used, pick(l.ActualPrice, sp))
		n.actual.Sub(n.actual, paid)
		useful := mul(sub(used, lost), sp)
		steps := map[pricing.Kind][3]variance.Key{
			pricing.Ingredient: {variance.MaterialPrice, variance.MaterialUsage, variance.MaterialWaste},
			pricing.Packaging:  {variance.MaterialPrice, variance.MaterialUsage, variance.MaterialWaste},
			pricing.Role:       {variance.LabourRate, variance.LabourEfficiency, variance.LabourIdle},
			pricing.Energy:     {variance.VariableSpending, variance.VariableEfficiency, variance.VariableEfficiency},
			pricing.Equipment:  {variance.VariableSpending, variance.VariableEfficiency, variance.VariableEfficiency},
		}[l.Kind]
		quantity := l.ActualQuantity.Given || lost.Sign() != 0
		move(steps[0], mul(used, sp), paid, l.ActualPrice.Given)
		move(steps[1], asPlanned, useful, quantity)
		move(steps[2], useful, mul(used, sp), quantity)
	}
	byShare := mul(direct, o.Share.Rat())
	// A share is taken of the overhead lines too where an order has both; no
	// book has, but the sum is defined.
	byShare.Add(byShare, mul(n.absorbed, o.Share.Rat()))
	n.planned.Sub(n.planned, byShare)
	n.absorbed.Add(n.absorbed, byShare)
	n.actual.Sub(n.actual, n.absorbed)
	return n
}

// steps adds up a bridge's steps and checks their order.
func steps(t *rapid.T, b variance.Bridge) exact.Number {
	sum := b.Planned
	last := variance.Key(-1)
	for _, s := range b.Steps {
		if s.Key <= last {
			t.Fatalf("step %s comes after %s", s.Key, last)
		}
		last = s.Key
		sum = sum.Add(s.Amount)
		if !s.Recorded && !s.Amount.IsZero() {
			t.Fatalf("step %s is %s with nothing recorded", s.Key, s.Amount.Text())
		}
	}
	return sum
}

func TestBridgeAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOrder(t)
		r, err := variance.Work(o)
		if err != nil {
			t.Fatal(err)
		}
		want := recompute(o)
		same := func(what string, got exact.Number, want *big.Rat) {
			if want == nil {
				want = new(big.Rat)
			}
			if got.Rat().Cmp(want) != 0 {
				t.Fatalf("%s = %s, want %s", what, got.Text(), want.RatString())
			}
		}
		same("planned margin", r.Bridge.Planned, want.planned)
		same("actual margin", r.Bridge.Actual, want.actual)
		same("planned margin and steps", steps(t, r.Bridge), want.actual)
		same("absorbed overhead", r.Kinds[pricing.Overhead].Actual(), want.absorbed)
		if len(r.Bridge.Steps) != 10 {
			t.Fatalf("the bridge has %d steps, want the 10 of an order", len(r.Bridge.Steps))
		}
		for _, s := range r.Bridge.Steps {
			same(s.Key.String(), s.Amount, want.steps[s.Key])
			if s.Recorded != want.recorded[s.Key] {
				t.Fatalf("%s recorded = %v, want %v", s.Key, s.Recorded, want.recorded[s.Key])
			}
		}
		// Lines, kinds and classes tell the same story.
		var lines variance.Costs
		for _, v := range r.Lines {
			lines = lines.Add(v.Costs)
			if paid := v.Quantity.Value.Mul(v.Price.Value); !v.Actual().Equal(paid) || !v.Split.Total().Equal(v.Standard.Sub(paid)) {
				t.Fatalf("%s: the split of %s is not what lies between %s and %s", v.Line.Resource, v.Split.Total().Text(), v.Standard.Text(), v.Actual().Text())
			}
		}
		total := r.Kinds.Total()
		if !lines.Split.Total().Equal(total.Split.Total()) || !total.Standard.Sub(total.Actual()).Equal(total.Split.Total()) {
			t.Fatal("lines and kinds disagree")
		}
		if !r.Kinds.Standard().Total().Equal(total.Standard) || !r.Kinds.Actual().Total().Equal(total.Actual()) {
			t.Fatal("kinds and classes disagree")
		}
		if !r.PlannedNet.Sub(total.Standard).Equal(r.Bridge.Planned) || !r.Net.Sub(total.Actual()).Equal(r.Bridge.Actual) {
			t.Fatal("net price − cost is not the margin")
		}
	})
}

// Nothing recorded: the order went as planned, and says so.
func TestNothingRecorded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOrder(t)
		o.Sales.ActualPrice, o.Sales.ActualDiscount = record.Maybe[exact.Number]{}, record.Maybe[exact.Number]{}
		for i := range o.Lines {
			l := &o.Lines[i]
			l.ActualQuantity, l.ActualPrice, l.Lost = record.Maybe[exact.Number]{}, record.Maybe[exact.Number]{}, exact.Number{}
		}
		r, err := variance.Work(o)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range r.Bridge.Steps {
			if !s.Amount.IsZero() || s.Recorded || s.Effect() != variance.None {
				t.Fatalf("%s = %s %s, recorded %v", s.Key, s.Amount.Text(), s.Effect(), s.Recorded)
			}
		}
		if !r.Bridge.Variance().IsZero() || !r.Kinds.Total().Recorded.IsZero() {
			t.Fatal("an order of which nothing is recorded differs from its plan")
		}
	})
}

// TestMonthLaw sums orders three ways: by a tally, by their bridges and by the
// books, where revenue, what was paid and the real overhead are all there is.
func TestMonthLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tally variance.Tally
		var bridges []variance.Bridge
		books, plannedOrders, absorbed := new(big.Rat), new(big.Rat), new(big.Rat)
		cakes := 0
		for range rapid.IntRange(0, 5).Draw(t, "orders") {
			o := drawOrder(t)
			r, err := variance.Work(o)
			if err != nil {
				t.Fatal(err)
			}
			tally.Add(r)
			bridges = append(bridges, r.Bridge)
			n := recompute(o)
			books.Add(books, n.actual).Add(books, n.absorbed)
			plannedOrders.Add(plannedOrders, n.planned)
			absorbed.Add(absorbed, n.absorbed)
			cakes += o.Cakes
		}
		overhead := variance.Overhead{Budget: drawMaybe(t, "budget"), Actual: drawMaybe(t, "paid")}
		var plan record.Maybe[variance.Plan]
		if rapid.Bool().Draw(t, "planned") {
			plan = record.Some(variance.Plan{Cakes: rapid.IntRange(1, 20).Draw(t, "cakes planned"), Margin: drawNumber(t, "margin").Sub(drawNumber(t, "loss"))})
			if rapid.Bool().Draw(t, "an empty plan") {
				plan.Value = variance.Plan{}
			}
		}
		m, err := tally.Month(overhead, plan)
		if err != nil {
			t.Fatal(err)
		}
		again, err := tally.Month(overhead, plan)
		if err != nil || !reflect.DeepEqual(m, again) {
			t.Fatal("asking a tally twice gives two answers")
		}
		paid := overhead.Actual.Or(overhead.Budget.Or(m.Overhead.Absorbed)).Rat()
		if want := new(big.Rat).Sub(books, paid); m.Bridge.Actual.Rat().Cmp(want) != 0 {
			t.Fatalf("actual margin = %s, want %s by the books", m.Bridge.Actual.Text(), want.RatString())
		}
		if !steps(t, m.Bridge).Equal(m.Bridge.Actual) {
			t.Fatal("the month's bridge does not add up")
		}
		if !m.Net.Sub(m.Kinds.Total().Actual()).Equal(m.Bridge.Actual) || m.Overhead.Absorbed.Rat().Cmp(absorbed) != 0 || m.Cakes != cakes || m.Orders != len(bridges) {
			t.Fatal("the month's sums disagree with its orders")
		}
		planned := exact.Number{}
		for _, b := range bridges {
			planned = planned.Add(b.Planned)
		}
		if plan.Given {
			volume := m.Bridge.Amount(variance.SalesQuantity).Add(m.Bridge.Amount(variance.SalesMix))
			if !m.Bridge.Planned.Equal(plan.Value.Margin) || !volume.Equal(planned.Sub(plan.Value.Margin)) {
				t.Fatal("sales quantity and mix do not lead from the plan to the orders")
			}
		} else if m.Bridge.Planned.Rat().Cmp(plannedOrders) != 0 {
			t.Fatal("the planned margin is not that of the orders")
		}
		orders := variance.Sum(bridges...)
		for _, s := range orders.Steps {
			if !m.Bridge.Amount(s.Key).Equal(s.Amount) {
				t.Fatalf("%s of the month differs from its orders'", s.Key)
			}
		}
		if overhead.Budget.Given && !m.Overhead.Spending.Add(m.Overhead.Volume).Equal(m.Overhead.Total) {
			t.Fatal("spending and volume are not the total")
		}
		var resources variance.Costs
		for i, s := range m.Resources {
			resources = resources.Add(s.Costs)
			if i > 0 && (s.Kind < m.Resources[i-1].Kind || s.Kind == m.Resources[i-1].Kind && s.Resource <= m.Resources[i-1].Resource) {
				t.Fatal("resources are out of order")
			}
		}
		if !resources.Split.Total().Equal(m.Kinds.Total().Split.Total().Sub(m.Overhead.Total)) {
			t.Fatal("resources and kinds disagree")
		}
		// A year of two such months.
		year := variance.Sum(m.Bridge, m.Bridge)
		if !steps(t, year).Equal(year.Actual) || !year.Actual.Equal(m.Bridge.Actual.Add(m.Bridge.Actual)) {
			t.Fatal("a year of months does not add up")
		}
	})
}

// TestPrintLaw: what is printed adds up, each step is within a minor unit of
// its exact amount, none changes sides, and 0 stays 0.
func TestPrintLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cur, err := money.ParseCurrency(rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency"))
		if err != nil {
			t.Fatal(err)
		}
		unit := exact.Int(1)
		for range cur.Places() {
			unit = unit.Mul(exact.Frac(1, 10))
		}
		// Halves of minor units are the corner: both ends round away from each other.
		figure := rapid.Custom(func(t *rapid.T) exact.Number {
			n := exact.Frac(rapid.Int64Range(-60, 60).Draw(t, "parts"), rapid.SampledFrom([]int64{1, 2, 3, 7}).Draw(t, "of"))
			return n.Mul(unit)
		})
		b := variance.Bridge{Planned: figure.Draw(t, "planned")}
		b.Actual = b.Planned
		for i := range rapid.IntRange(0, 10).Draw(t, "steps") {
			amount := figure.Draw(t, "amount")
			b.Steps = append(b.Steps, variance.Step{Key: variance.Key(i), Amount: amount, Recorded: true})
			b.Actual = b.Actual.Add(amount)
		}
		p := b.Print(cur)
		if !p.Planned.Equal(cur.Round(b.Planned)) || !p.Actual.Equal(cur.Round(b.Actual)) || len(p.Steps) != len(b.Steps) {
			t.Fatalf("ends %s and %s of %s and %s", p.Planned, p.Actual, b.Planned.Text(), b.Actual.Text())
		}
		sum := p.Planned
		nonzero := 0
		for i, s := range p.Steps {
			sum = sum.Add(s.Amount)
			exactly := b.Steps[i].Amount
			if !exactly.IsZero() {
				nonzero++
			}
			off := s.Amount.Number().Sub(exactly)
			// Where every step is a whole number of minor units and the ends are
			// halves on either side of 0, one step makes up a whole unit.
			if off.Cmp(unit) > 0 || off.Cmp(unit.Neg()) < 0 || exactly.IsZero() && s.Amount.Sign() != 0 || exactly.Sign()*s.Amount.Sign() < 0 {
				t.Fatalf("%s prints as %s", exactly.Text(), s.Amount)
			}
			want := map[int]variance.Effect{1: variance.Favourable, 0: variance.None, -1: variance.Adverse}[s.Amount.Sign()]
			if s.Effect != want || s.Key != b.Steps[i].Key || !s.Recorded {
				t.Fatalf("%s is %s, want %s", s.Amount, s.Effect, want)
			}
		}
		if !sum.Equal(p.Actual) {
			t.Fatalf("%s and its steps print %s, want %s; exactly %+v", p.Planned, sum, p.Actual, b)
		}
	})
}

// TestSplitLaw: mix and yield are all of usage and loss, and mix is nothing
// where the proportions are those of the standard.
func TestSplitLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lines, scaled []variance.Line
		factor := drawNumber(t, "factor")
		for range rapid.IntRange(1, 5).Draw(t, "ingredients") {
			l := standard("part", pricing.Ingredient, drawNumber(t, "standard").Add(exact.Int(1)), drawNumber(t, "price"))
			l.ActualQuantity = drawMaybe(t, "used")
			lines = append(lines, l)
			l.ActualQuantity = record.Some(l.StandardQuantity.Mul(factor))
			scaled = append(scaled, l)
		}
		blends, err := variance.SplitUsage(lines)
		if err != nil {
			t.Fatal(err)
		}
		r, err := variance.Work(variance.Order{Lines: lines})
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range blends {
			s := r.Lines[i].Split
			if got := b.Mix.Add(b.Yield); !got.Equal(s.Usage.Add(s.Lost)) {
				t.Fatalf("mix and yield = %s, want %s", got.Text(), s.Usage.Add(s.Lost).Text())
			}
		}
		inProportion, err := variance.SplitUsage(scaled)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range inProportion {
			if !b.Mix.IsZero() {
				t.Fatalf("mix = %s in standard proportions", b.Mix.Text())
			}
		}
	})
}

// TestVolumeSplitLaw: capacity, efficiency and rate are all of the volume.
func TestVolumeSplitLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := variance.Overhead{Budget: record.Some(drawNumber(t, "budget")), Actual: drawMaybe(t, "paid")}
		v, err := o.Against(drawNumber(t, "absorbed"))
		if err != nil {
			t.Fatal(err)
		}
		s, err := v.Split(variance.Hours{Budget: drawNumber(t, "hours").Add(exact.Int(1)), Actual: drawNumber(t, "worked"), Standard: drawNumber(t, "standard")})
		if err != nil {
			t.Fatal(err)
		}
		if got := exact.Sum(s.Capacity, s.Efficiency, s.Rate); !got.Equal(v.Volume) {
			t.Fatalf("capacity, efficiency and rate = %s, want %s", got.Text(), v.Volume.Text())
		}
	})
}
