package month_test

import (
	"encoding/json"
	"fmt"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// happened is a year in a random studio.
type happened struct {
	x       *book.Index
	orders  []quote.Order
	offered []month.Offered
	records actual.Records
}

// drawYear draws a random book, orders priced by it and what was recorded of
// them, all of 2027.
func drawYear(t *rapid.T) happened {
	g := randombook.New(rapid.Uint64().Draw(t, "seed"))
	text := g.Book()
	b, err := book.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	h := happened{x: book.NewIndex(b)}
	cur := b.Studio.Currency
	aDay := func(what string) day.Date {
		return day.Must("2027-01-01").AddDays(rapid.IntRange(0, 364).Draw(t, what))
	}
	minutes := func() exact.Number { return exact.Frac(rapid.Int64Range(1, 5000).Draw(t, "minutes"), 7) }
	for i, text := range g.Requests(text, rapid.IntRange(0, 6).Draw(t, "orders")) {
		r, err := quote.ReadRequest(text)
		if err != nil {
			t.Fatal(err)
		}
		q, err := quote.Price(h.x, r)
		if err != nil {
			continue // a request that the studio refuses
		}
		q = q.Choose(0)
		q.Number, q.Revision = fmt.Sprintf("2027-%04d", i+1), "A"
		o := quote.Order{Quote: q, Accepted: aDay("accepted")}
		o.Quote.Offer.EventDate = aDay("event")
		if rapid.IntRange(0, 4).Draw(t, "called off") == 0 {
			o.CancelledOn = aDay("called off on")
			o.Fee = cur.Round(q.Offer.Total.Number().Mul(exact.Frac(rapid.Int64Range(0, 100).Draw(t, "fee"), 100)))
		}
		if paid := cur.Round(q.Offer.Total.Number().Mul(exact.Frac(rapid.Int64Range(0, 120).Draw(t, "paid"), 100))); !paid.IsZero() {
			o.Payments = []quote.Payment{{Quote: q.Number, On: aDay("paid on"), Amount: paid}}
		}
		h.orders = append(h.orders, o)
		fate := rapid.SampledFrom([]month.Fate{month.Won, month.Declined, month.Lapsed, month.Withdrawn, month.Open}).Draw(t, "fate")
		story := month.Story{Issued: aDay("issued"), Fate: fate, Revision: "A"}
		if fate != month.Open {
			story.Decided = day.Later(story.Issued, aDay("decided"))
		}
		h.offered = append(h.offered, month.Offered{Number: q.Number, IssuedNet: q.Basis.Net, Net: q.Basis.Net, Story: story})
		if rapid.Bool().Draw(t, "recorded") {
			h.record(t, o, minutes)
		}
	}
	for m := actual.MonthOf(day.Must("2027-01-01")); m.First().Year() == 2027; m = m.Next() {
		money := func(what string) record.Maybe[exact.Number] {
			return record.Maybe[exact.Number]{Value: exact.Frac(rapid.Int64Range(0, 500_000).Draw(t, what), 100), Given: rapid.IntRange(0, 2).Draw(t, what+" recorded") == 0}
		}
		if v := money("overhead paid"); v.Given {
			h.records.Bills = append(h.records.Bills, actual.Bill{Month: m, Of: actual.OverheadCost, Amount: record.Some(cur.Round(v.Value))})
		}
		if v := money("overhead budget"); v.Given {
			h.records.Plans = append(h.records.Plans, actual.Plan{Month: m, Overhead: record.Some(cur.Round(v.Value))})
		}
		if v := money("margin planned"); v.Given {
			h.records.Plans = append(h.records.Plans, actual.Plan{Month: m, Cakes: record.Some(rapid.IntRange(1, 9).Draw(t, "cakes planned")), Margin: record.Some(cur.Round(v.Value))})
		}
	}
	return h
}

// record writes down something of each resource of an order.
func (h *happened) record(t *rapid.T, o quote.Order, minutes func() exact.Number) {
	number := o.Quote.Number
	seen := map[book.ID]bool{}
	for _, c := range slices.Concat(o.Quote.Basis.Cakes, o.Quote.Basis.Extras) {
		for _, line := range c.Bill {
			if seen[line.ID] || rapid.Bool().Draw(t, "not written down") {
				continue
			}
			seen[line.ID] = true
			good := actual.Good{Resource: line.ID, Packaging: line.Kind == "packaging", Quantity: line.Quantity.Mul(exact.Frac(rapid.Int64Range(1, 20).Draw(t, "tenths used"), 10)), Unit: line.Unit}
			switch line.Kind {
			case "ingredient", "packaging":
				way := rapid.SampledFrom([]actual.Way{actual.Used, actual.More, actual.Wasted}).Draw(t, "way")
				h.records.Goods = append(h.records.Goods, actual.Goods{Order: number, Way: way, Use: line.ID, Goods: []actual.Good{good}})
				h.records.Purchases = append(h.records.Purchases, actual.Purchase{Order: number, Ingredient: line.ID, Quantity: exact.Int(1), Unit: line.Unit, PerUnit: exact.Frac(rapid.Int64Range(0, 1000).Draw(t, "price"), 397)})
			case "role":
				way := rapid.SampledFrom([]actual.Way{actual.Worked, actual.Longer, actual.Idle}).Draw(t, "way of work")
				h.records.Work = append(h.records.Work, actual.Work{Order: number, Way: way, Role: line.ID, Task: rapid.SampledFrom([]string{"", "bake", "drive"}).Draw(t, "task"), Minutes: minutes()})
			}
		}
	}
	if o.Quote.Offer.Total.Sign() > 0 && rapid.Bool().Draw(t, "let off") {
		h.records.Charges = append(h.records.Charges, actual.Charge{Order: number, Amount: o.Quote.Offer.Studio.Currency.Round(exact.Frac(rapid.Int64Range(1, 900).Draw(t, "on top"), 100))})
	}
}

// tally takes what of it belongs to a span.
func (h happened) tally(t *rapid.T, span month.Span) *month.Tally {
	sum, err := month.New(span, month.Sources{Book: h.x, Ledger: actual.NewLedger(h.records), Today: day.Must("2028-06-01")})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range h.orders {
		sum.Account(o)
		if span.Holds(month.CountsOn(o)) {
			if err := sum.Order(o); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, o := range h.offered {
		sum.Quote(o)
	}
	return sum
}

func made(t *rapid.T, sum *month.Tally) month.Report {
	r, err := sum.Report(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func spanOf(t interface{ Fatal(...any) }, text string) month.Span {
	s, err := month.ParseSpan(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Every sum that a report shows adds up, a year's and its months', and the
// months' own reports are the rows of the year.
func TestReportsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawYear(t)
		year := made(t, h.tally(t, spanOf(t, "2027")))
		addsUp(t, year)
		h.againstOrders(t, year)
		var orders, issued, won, lost int
		var net, tax, planned exact.Number
		for i := range 12 {
			m := made(t, h.tally(t, spanOf(t, fmt.Sprintf("2027-%02d", i+1))))
			addsUp(t, m)
			row := year.Months[i]
			if row.Month != m.Title || row.Orders != m.Orders.Made || row.Won != m.Quotes.Won.Count || row.Lost != m.Quotes.Lost.Count {
				t.Errorf("the year's row of %s has %d orders, %d won, %d lost; the month's report %s %d, %d, %d", row.Month, row.Orders, row.Won, row.Lost, m.Title, m.Orders.Made, m.Quotes.Won.Count, m.Quotes.Lost.Count)
			}
			within(t, "net of "+m.Title, row.Net.Number(), m.Orders.Total.Revenue.Net.Number(), year, 1)
			within(t, "result of "+m.Title, row.Result.Number(), m.Bridge.Actual.Number(), year, 1)
			orders, issued, won, lost = orders+m.Orders.Made, issued+m.Quotes.Issued.Count, won+m.Quotes.Won.Count, lost+m.Quotes.Lost.Count
			net, tax = net.Add(m.Tax.Net.Number()), tax.Add(m.Tax.Tax.Number())
			planned = planned.Add(m.Bridge.Planned.Number())
		}
		if orders != year.Orders.Made || issued != year.Quotes.Issued.Count || won != year.Quotes.Won.Count || lost != year.Quotes.Lost.Count {
			t.Errorf("months count %d orders, %d issued, %d won, %d lost; the year %d, %d, %d, %d", orders, issued, won, lost, year.Orders.Made, year.Quotes.Issued.Count, year.Quotes.Won.Count, year.Quotes.Lost.Count)
		}
		if !net.Equal(year.Tax.Net.Number()) || !tax.Equal(year.Tax.Tax.Number()) {
			t.Errorf("months sell %s with a tax of %s, the year %s with %s", net.Text(), tax.Text(), year.Tax.Net, year.Tax.Tax)
		}
		within(t, "planned margin", planned, year.Bridge.Planned.Number(), year, 12)
	})
}

// within allows as many minor units between two figures as were rounded apart.
func within(t *rapid.T, what string, a, b exact.Number, r month.Report, units int64) {
	minor := exact.Frac(units, 1)
	for range r.Currency.Places() {
		minor = minor.Mul(exact.Frac(1, 10))
	}
	if d := a.Sub(b); d.Cmp(minor) > 0 || d.Neg().Cmp(minor) > 0 {
		t.Errorf("%s: %s and %s are too far apart", what, a.Text(), b.Text())
	}
}

// againstOrders sums the orders over math/big, from their frozen quotes alone.
func (h happened) againstOrders(t *rapid.T, r month.Report) {
	net, standard, tax := new(big.Rat), new(big.Rat), new(big.Rat)
	cakes := 0
	for _, o := range h.orders {
		if !o.CancelledOn.IsZero() {
			net.Add(net, o.Fee.Number().Rat())
			continue
		}
		net.Add(net, o.Quote.Basis.Net.Rat())
		standard.Add(standard, o.Quote.Basis.Cost.Rat())
		for _, line := range o.Quote.Offer.Tax {
			tax.Add(tax, line.Tax.Number().Rat())
		}
		for _, c := range o.Quote.Basis.Cakes {
			cakes += c.Quantity
		}
	}
	text := func(n *big.Rat) string { return n.FloatString(int(r.Currency.Places())) }
	charged := r.Orders.Total.Revenue.Changes.Number().Rat()
	within(t, "net", exact.Must(new(big.Rat).Add(net, charged).RatString()), r.Orders.Total.Revenue.Net.Number(), r, 0)
	if got := r.Orders.Total.Standard.Total; text(got.Number().Rat()) != text(standard) {
		t.Errorf("standard cost = %s, but the quotes' costs add up to %s", got, text(standard))
	}
	if got := r.Tax.Tax.String(); got != text(tax) {
		t.Errorf("tax = %s, but the quotes' add up to %s", got, text(tax))
	}
	if r.Orders.Cakes != cakes {
		t.Errorf("%d cakes, but the quotes have %d", r.Orders.Cakes, cakes)
	}
}

// In which order things are told does not matter.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawYear(t)
		first, err := json.Marshal(made(t, h.tally(t, spanOf(t, "2027"))))
		if err != nil {
			t.Fatal(err)
		}
		h.orders, h.offered = rapid.Permutation(h.orders).Draw(t, "orders"), rapid.Permutation(h.offered).Draw(t, "quotes")
		second, err := json.Marshal(made(t, h.tally(t, spanOf(t, "2027"))))
		if err != nil {
			t.Fatal(err)
		}
		if string(first) != string(second) {
			t.Errorf("told in another order the report is\n%s\nwant\n%s", second, first)
		}
	})
}

// A year that is joined of its months says what one says that takes each order
// itself; so does a tally made anew. What they are made of stays as it is.
func TestJoinedIsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawYear(t)
		year, today := spanOf(t, "2027"), day.Must("2028-06-01")
		want := h.tally(t, year)
		var parts []*month.Tally
		for _, m := range year.Months() {
			parts = append(parts, h.tally(t, month.Span{From: m.First(), To: m.Last()}))
		}
		first := text(t, made(t, parts[0]))
		joined, err := month.Join(year, today, parts)
		if err != nil {
			t.Fatal(err)
		}
		for what, sum := range map[string]*month.Tally{"joined": joined, "made anew": h.tally(t, year).Anew(today), "joined, made anew": joined.Anew(today)} {
			for _, o := range h.orders {
				sum.Account(o)
			}
			for _, o := range h.offered {
				sum.Quote(o)
			}
			if got, want := text(t, made(t, sum)), text(t, made(t, want)); got != want {
				t.Fatalf("the year %s is\n%s\nwant\n%s", what, got, want)
			}
			for _, o := range h.orders {
				if year.Holds(month.CountsOn(o)) && sum.Order(o) == nil {
					t.Fatalf("the year %s took another order", what)
				}
			}
		}
		if got := text(t, made(t, parts[0])); got != first {
			t.Fatalf("after it was joined, the first month is\n%s\nwant\n%s", got, first)
		}
	})
}

func TestJoinRefuses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawYear(t)
		a, b := h.tally(t, spanOf(t, "2027-01")), h.tally(t, spanOf(t, "2027-02"))
		two, today := month.Span{From: day.Must("2027-01-01"), To: day.Must("2027-02-28")}, day.Must("2028-06-01")
		for _, parts := range [][]*month.Tally{nil, {a}, {b, a}, {a, b, b}} {
			if _, err := month.Join(two, today, parts); err == nil {
				t.Fatalf("Join of %d parts = nil, want a refusal", len(parts))
			}
		}
		if _, err := month.Join(two, today, []*month.Tally{a, b}); err != nil {
			t.Fatal(err)
		}
	})
}

func text(t *rapid.T, r month.Report) string {
	data, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A tally of which orders are revised says what one says that takes each order as
// it is now: some with more recorded of them, some that came new or are gone.
// What it was made of stays as it is.
func TestRevisedIsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawYear(t)
		span, today := spanOf(t, rapid.SampledFrom([]string{"2027-03", "2027-07"}).Draw(t, "month")), day.Must("2028-06-01")
		for i := range h.orders { // all of one month, for a draw of a year leaves it few
			h.orders[i].Quote.Offer.EventDate = span.From.AddDays(i)
			if !h.orders[i].CancelledOn.IsZero() {
				h.orders[i].CancelledOn = span.From.AddDays(2 * i)
			}
		}
		first, later, undone := actual.Records{}, actual.Records{}, actual.Records{}
		split(t, h.records, &first, &later, &undone)
		was, is := h, h
		was.orders, is.orders = nil, nil
		was.records, is.records = first.Join(undone), first.Join(later)
		worked := func(h happened) (map[string]*month.Worked, *month.Tally) {
			sum, err := month.New(span, month.Sources{Book: h.x, Ledger: actual.NewLedger(h.records), Today: today})
			if err != nil {
				t.Fatal(err)
			}
			list := map[string]*month.Worked{}
			for _, o := range h.orders {
				w, err := sum.Work(o)
				if err != nil {
					t.Fatal(err)
				}
				if list[o.Quote.Number] = w; sum.Add(w) != nil {
					t.Fatal("an order of the span is not taken")
				}
			}
			return list, sum
		}
		for _, o := range h.orders {
			at := rapid.IntRange(0, 7).Draw(t, "when it is there")
			if at != 0 {
				was.orders = append(was.orders, o)
			}
			if at != 1 {
				is.orders = append(is.orders, o)
			}
		}
		wasWorked, sum := worked(was)
		isWorked, want := worked(is)
		before := text(t, made(t, sum))
		var revisions []month.Revision
		for _, o := range h.orders {
			if n := o.Quote.Number; wasWorked[n] != nil || isWorked[n] != nil {
				revisions = append(revisions, month.Revision{Was: wasWorked[n], Is: isWorked[n]})
			}
		}
		revisions = rapid.Permutation(revisions).Draw(t, "revisions")
		ledger := actual.NewLedger(is.records)
		got, err := sum.Revised(ledger, revisions...)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := text(t, made(t, got)), text(t, made(t, want)); got != want {
			t.Fatalf("revised it is\n%s\nwant\n%s", got, want)
		}
		if got := text(t, made(t, sum)); got != before {
			t.Fatalf("after it was revised it is\n%s\nwant\n%s", got, before)
		}
		for i, r := range revisions { // and back again, on what was revised before
			revisions[i] = month.Revision{Was: r.Is, Is: r.Was}
		}
		back, err := got.Anew(today).Revised(actual.NewLedger(was.records), revisions...)
		if err != nil {
			t.Fatal(err)
		}
		if got := text(t, made(t, back)); got != before {
			t.Fatalf("revised back it is\n%s\nwant\n%s", got, before)
		}
		again, _ := worked(is)
		for _, w := range again {
			if _, err := got.Revised(ledger, month.Revision{Was: w}); err == nil {
				t.Fatal("an order is taken out as the tally never had it, want a refusal")
			}
		}
	})
}

// split deals records out.
func split(t *rapid.T, r actual.Records, to ...*actual.Records) {
	pick := func() *actual.Records { return to[rapid.IntRange(0, len(to)-1).Draw(t, "to")] }
	for _, e := range r.Work {
		p := pick()
		p.Work = append(p.Work, e)
	}
	for _, e := range r.Goods {
		p := pick()
		p.Goods = append(p.Goods, e)
	}
	for _, e := range r.Purchases {
		p := pick()
		p.Purchases = append(p.Purchases, e)
	}
	for _, e := range r.Charges {
		p := pick()
		p.Charges = append(p.Charges, e)
	}
	for _, e := range r.Bills {
		p := pick()
		p.Bills = append(p.Bills, e)
	}
	for _, e := range r.Plans {
		p := pick()
		p.Plans = append(p.Plans, e)
	}
}
