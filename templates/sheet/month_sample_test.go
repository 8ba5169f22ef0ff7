package sheet

import (
	"fmt"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// studioYear is orders of a made-up year: so many a month, priced by the demo
// book, called off, paid and recorded in turns.
type studioYear struct {
	x       *book.Index
	orders  []quote.Order
	offered []month.Offered
	records actual.Records
}

// yearOf makes a year of so many orders a month, of the months from first on.
func yearOf(t testing.TB, b book.Book, first, months, each int) studioYear {
	t.Helper()
	y := studioYear{x: book.NewIndex(b)}
	var priced []quote.Quote
	for i, c := range b.Cakes {
		text := fmt.Sprintf(`{"client": {"name": "Client %d & Co."}, "event": {"date": "2026-12-01", "km": "12"}, "on": "2026-08-%02d",
			"lines": [{"cake": %q, "quantity": %d}], "extras": [{"extra": "delivery", "quantity": 1}]%s}`,
			i, 1+i, c.ID, 1+i%2, []string{"", `, "discount": "5 %"`, `, "discount": "12.5 %"`}[i%3])
		r, err := quote.ReadRequest([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		q, err := quote.Price(y.x, r)
		if err != nil {
			t.Fatal(err)
		}
		priced = append(priced, q.Choose(0))
	}
	cur := b.Studio.Currency
	for m := range months {
		from := day.Must(fmt.Sprintf("2026-%02d-01", first+m))
		for i := range each {
			q := priced[(i+m)%len(priced)]
			q.Number, q.Revision = fmt.Sprintf("2026-%02d%04d", first+m, i+1), "A"
			if i%17 == 3 {
				q.Offer.Client.Name = hostile[i%len(hostile)]
			}
			o := quote.Order{Quote: q, Accepted: from.AddDays(-40)}
			o.Quote.Offer.EventDate = from.AddDays(i % 28)
			if i%9 == 5 {
				o.CancelledOn = from.AddDays(i % 20)
				o.Fee = cur.Round(q.Offer.Total.Number().Mul(exact.Frac(3, 10)))
			}
			o.Payments = []quote.Payment{{Quote: q.Number, On: o.Accepted, Amount: cur.Round(q.Offer.Total.Number().Mul(exact.Frac(int64(1+i%4), 4)))}}
			y.orders = append(y.orders, o)
			y.offer(o, i)
			if i%3 != 2 {
				y.record(o, int64(i))
			}
		}
		month := actual.MonthOf(from)
		var hours measure.Figure
		if err := hours.UnmarshalText([]byte("290")); err != nil {
			t.Fatal(err)
		}
		amount := func(n int64) record.Maybe[money.Amount] { return record.Some(cur.Round(exact.Frac(n, 100))) }
		y.records.Bills = append(y.records.Bills, actual.Bill{Head: actual.Head{On: from}, Month: month, Of: actual.OverheadCost, Amount: amount(301_233)})
		y.records.Plans = append(y.records.Plans, actual.Plan{Head: actual.Head{On: from}, Month: month, Overhead: amount(326_000), Hours: record.Some(hours)})
	}
	return y
}

// offer tells of the quote of an order, and of one more that came to nothing.
func (y *studioYear) offer(o quote.Order, i int) {
	q, event := o.Quote, o.Quote.Offer.EventDate
	story := month.Story{Issued: event.AddDays(-5), Fate: month.Won, Decided: event, Revision: "A"}
	y.offered = append(y.offered, month.Offered{Number: q.Number, Client: q.Offer.Client.Name, Event: event, IssuedNet: q.Basis.Net, Net: q.Basis.Net, Story: story})
	fates := []month.Fate{month.Open, month.Declined, month.Lapsed, month.Withdrawn}
	story.Fate = fates[i%len(fates)]
	story.Decided = event.AddDays(2)
	if story.Fate == month.Open {
		story.Decided = day.Date{}
	}
	y.offered = append(y.offered, month.Offered{Number: q.Number + "-2", Client: "Another", Event: event, IssuedNet: q.Basis.Net, Net: q.Basis.Net, Story: story})
}

// record notes minutes, butter, some of it wasted, and now and then a charge.
func (y *studioYear) record(o quote.Order, i int64) {
	head, number := actual.Head{On: o.Quote.Offer.EventDate}, o.Quote.Number
	r := &y.records
	r.Work = append(r.Work, actual.Work{Head: head, Order: number, Way: actual.Worked, Role: "decorator", Task: "decorate", Minutes: exact.Int(60 + i%90), PerMinute: exact.Must("0.43")},
		actual.Work{Head: head, Order: number, Way: actual.Idle, Role: "pastry", Minutes: exact.Int(1 + i%7), PerMinute: exact.Must("0.40")})
	butter := func(way actual.Way, grams int64) {
		r.Goods = append(r.Goods, actual.Goods{Head: head, Order: number, Way: way, Use: "butter",
			Goods: []actual.Good{{Resource: "butter", Quantity: exact.Int(grams), Unit: "g", PerUnit: exact.Must("0.009")}}})
	}
	butter(actual.More, 13+i%200)
	if i%4 == 0 {
		butter(actual.Wasted, 5+i%60)
	}
	r.Purchases = append(r.Purchases, actual.Purchase{Head: head, Order: number, Ingredient: "butter", Quantity: exact.Int(2000), Unit: "g", PerUnit: exact.Frac(96+i%7, 10_000)})
	if i%6 == 1 && o.CancelledOn.IsZero() {
		r.Charges = append(r.Charges, actual.Charge{Head: head, Order: number, Amount: y.x.Book.Studio.Currency.Round(exact.Int(i%40 - 20))})
	}
}

// report makes the report of a span, beside the month before.
func (y studioYear) report(t testing.TB, span string) month.Report {
	t.Helper()
	s, err := month.ParseSpan(span)
	if err != nil {
		t.Fatal(err)
	}
	r, err := y.tally(t, s).Report(y.tally(t, s.Before()), y.tally(t, s.YearBefore()))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (y studioYear) tally(t testing.TB, s month.Span) *month.Tally {
	t.Helper()
	sum, err := month.New(s, month.Sources{Book: y.x, Ledger: actual.NewLedger(y.records), Today: demoDay})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range y.orders {
		if s.Holds(month.CountsOn(o)) {
			if err := sum.Order(o); err != nil {
				t.Fatal(err)
			}
		}
		sum.Account(o)
	}
	for _, o := range y.offered {
		sum.Quote(o)
	}
	return sum
}
