package quote_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

var euro = func() money.Currency {
	var c money.Currency
	if err := c.UnmarshalText([]byte("EUR")); err != nil {
		panic(err)
	}
	return c
}()

func eur(s string) money.Amount {
	p, err := money.ParsePrice(s)
	if err != nil {
		panic(err)
	}
	return euro.Amount(p.Decimal())
}

// An order of 1,000.00 for 12 June 2027, a deposit of 300.00 and the rest 14
// days before; worked by hand.
func sampleOrder() quote.Quote {
	var q quote.Quote
	q.Number, q.Revision = "2026-0001", "A"
	q.Offer.Studio.Currency = euro
	q.Offer.EventDate, q.Offer.IssuedOn = day.Must("2027-06-12"), day.Must("2026-11-25")
	q.Offer.Total = eur("1000.00")
	q.Offer.Instalments = []quote.Instalment{
		{Due: day.Must("2026-11-25"), Amount: eur("300.00"), Deposit: true},
		{Due: day.Must("2027-05-29"), Amount: eur("700.00")},
	}
	percent := func(s string) measure.Percent {
		p, err := measure.ParsePercent(s)
		if err != nil {
			panic(err)
		}
		return p
	}
	q.Offer.Cancellation = []quote.CancellationFee{{Share: percent("25 %")}, {WithinDays: 60, Share: percent("50 %")}, {WithinDays: 14, Share: percent("100 %")}}
	return q
}

func TestCancellationFee(t *testing.T) {
	q := sampleOrder()
	for on, want := range map[string]string{
		"2026-11-25": "250.00", "2027-04-12": "250.00", // 61 days before
		"2027-04-13": "500.00", "2027-05-28": "500.00", // 60 and 15 days before
		"2027-05-29": "1000.00", "2027-06-12": "1000.00", "2027-07-01": "1000.00",
	} {
		if fee, _ := q.CancellationFee(day.Must(on)); fee.String() != want {
			t.Errorf("CancellationFee(%s) = %s, want %s", on, fee, want)
		}
	}
	q.Offer.Cancellation = nil
	if fee, _ := q.CancellationFee(day.Must("2027-06-11")); !fee.IsZero() {
		t.Errorf("without terms CancellationFee = %s, want 0", fee)
	}
}

func TestAccount(t *testing.T) {
	q := sampleOrder()
	pay := func(on, amount string) quote.Payment { return quote.Payment{On: day.Must(on), Amount: eur(amount)} }
	back := func(on, amount string) quote.Payment {
		return quote.Payment{On: day.Must(on), Amount: eur(amount).Neg()}
	}
	for _, c := range []struct {
		name     string
		payments []quote.Payment
		on       string
		want     string // received, balance, overdue, what is left of each instalment
	}{
		{"nothing yet, on the day", nil, "2026-11-25", "0.00 1000.00 0.00 [300.00 700.00]"},
		{"a day late", nil, "2026-11-26", "0.00 1000.00 300.00 [300.00! 700.00]"},
		{"part of the deposit", []quote.Payment{pay("2026-12-01", "100.00")}, "2026-12-02", "100.00 900.00 200.00 [200.00! 700.00]"},
		{"more than the deposit", []quote.Payment{pay("2026-12-01", "450.00")}, "2027-05-29", "450.00 550.00 0.00 [0.00 550.00]"},
		{"late with the rest", []quote.Payment{pay("2026-12-01", "450.00")}, "2027-05-30", "450.00 550.00 550.00 [0.00 550.00!]"},
		{"all", []quote.Payment{pay("2026-12-01", "300.00"), pay("2027-05-20", "700.00")}, "2027-06-12", "1000.00 0.00 0.00 [0.00 0.00]"},
		{"a payment to come does not count", []quote.Payment{pay("2026-12-24", "300.00")}, "2026-12-01", "0.00 1000.00 300.00 [300.00! 700.00]"},
		{"too much", []quote.Payment{pay("2026-12-01", "1100.00")}, "2027-06-12", "1100.00 -100.00 0.00 [0.00 0.00]"},
		{"some back", []quote.Payment{pay("2026-12-01", "300.00"), back("2026-12-05", "50.00")}, "2026-12-06", "250.00 750.00 50.00 [50.00! 700.00]"},
	} {
		a := q.Account(c.payments, day.Must(c.on))
		var left []string
		for _, o := range a.Instalments {
			mark := ""
			if o.Overdue {
				mark = "!"
			}
			left = append(left, o.Left.String()+mark)
		}
		if got := fmt.Sprintf("%s %s %s %s", a.Received, a.Balance, a.Overdue, left); got != c.want {
			t.Errorf("%s: Account = %s, want %s", c.name, got, c.want)
		}
	}
	cancelled := q.CancelledAccount(eur("250.00"), day.Must("2027-01-10"), []quote.Payment{pay("2026-12-01", "300.00")}, day.Must("2027-01-10"))
	if cancelled.Balance.String() != "-50.00" || !cancelled.Overdue.IsZero() {
		t.Errorf("cancelled with 300.00 paid and a fee of 250.00: balance %s, overdue %s, want -50.00 and 0.00", cancelled.Balance, cancelled.Overdue)
	}
}

// Debits equal credits in every entry (double entry, as any book-keeping text
// has it), and what the clients' account holds is the balance of the order.
func TestJournalBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randombook.New(rapid.Uint64().Draw(t, "seed"))
		x, request := orderOf(t, g)
		q, err := quote.Price(x, request)
		if err != nil {
			t.Skip(err)
		}
		q.Number = "2026-0007"
		o := quote.Order{Quote: q, Accepted: q.Offer.IssuedOn}
		cur := q.Offer.Studio.Currency
		for i := range rapid.IntRange(0, 4).Draw(t, "payments") {
			amount := cur.Round(q.Offer.Total.Number()).Times(rapid.IntRange(-1, 2).Draw(t, "times"))
			o.Payments = append(o.Payments, quote.Payment{Number: fmt.Sprintf("R2026-%04d", i+1), On: q.Offer.IssuedOn.AddDays(i), Amount: amount, Means: quote.AllMeans()[i]})
		}
		if rapid.Bool().Draw(t, "cancelled") {
			o.CancelledOn = q.Offer.IssuedOn.AddDays(9)
			o.Fee, _ = q.CancellationFee(o.CancelledOn)
		}
		entries := map[string]money.Amount{}
		var clients money.Amount
		for _, p := range o.Journal() {
			entries[p.Entry] = entries[p.Entry].Add(p.Debit).Sub(p.Credit)
			if p.Ledger == quote.ClientsLedger {
				clients = clients.Add(p.Debit).Sub(p.Credit)
			}
			if p.Debit.Sign() < 0 || p.Credit.Sign() < 0 || !p.Debit.IsZero() && !p.Credit.IsZero() {
				t.Fatalf("posting %+v is neither a debit nor a credit", p)
			}
		}
		for entry, sum := range entries {
			if !sum.IsZero() {
				t.Errorf("entry %s: debits less credits are %s, want 0", entry, sum)
			}
		}
		far := q.Offer.EventDate.AddDays(4000)
		if balance := o.Account(far).Balance; !balance.Equal(clients) {
			t.Errorf("the clients' account holds %s, the order's balance is %s", clients, balance)
		}
	})
}

// orderOf draws a book with requests that it may price; the first is returned
// by itself.
func orderOf(t *rapid.T, g *randombook.Gen) (*book.Index, quote.Request) {
	x, list := ordersOf(t, g, 1)
	return x, list[0]
}

func ordersOf(t *rapid.T, g *randombook.Gen, n int) (*book.Index, []quote.Request) {
	text := g.Book()
	b, err := book.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	var list []quote.Request
	for _, request := range g.Requests(text, n) {
		r, err := quote.ReadRequest(request)
		if err != nil {
			t.Skip(err)
		}
		list = append(list, r)
	}
	if len(list) < n {
		t.Skip("the book has nothing to order")
	}
	return book.NewIndex(b), list
}

// The options of a quote are priced as single quotes of the same lines are,
// and what changes between two of them adds up to their totals.
func TestOptionsAndChangesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randombook.New(rapid.Uint64().Draw(t, "seed"))
		x, list := ordersOf(t, g, 2)
		first, second := list[0], list[1]
		one, err := quote.Price(x, first)
		if err != nil {
			t.Skip(err)
		}
		second.Client, second.Event, second.On = first.Client, first.Event, first.On
		two, err := quote.Price(x, second)
		if err != nil {
			t.Skip(err)
		}
		both := quote.Request{Client: first.Client, Event: first.Event, On: first.On, Options: []quote.OptionWanted{{Name: "One", Wanted: first.Wanted}, {Name: "Two", Wanted: second.Wanted}}}
		q, err := quote.Price(x, both)
		if err != nil {
			t.Fatal(err)
		}
		for i, single := range []quote.Quote{one, two} {
			got := q.Choose(i)
			if !got.Offer.Total.Equal(single.Offer.Total) || !got.Basis.Cost.Equal(single.Basis.Cost) || len(got.Offer.Lines) != len(single.Offer.Lines) {
				t.Errorf("option %d: total %s and cost %s, want %s and %s as a quote of its own", i+1, got.Offer.Total, got.Basis.Cost.Fixed(6), single.Offer.Total, single.Basis.Cost.Fixed(6))
			}
		}
		var parts, total money.Amount
		for _, c := range quote.Compare(one, two) {
			if c.Kind == quote.TotalChanged {
				total = c.Money
			} else {
				parts = parts.Add(c.Money)
			}
		}
		if want := two.Offer.Total.Sub(one.Offer.Total); !total.Equal(want) || !parts.Equal(want) {
			t.Errorf("changes say the total moves by %s and its parts by %s, want %s", total, parts, want)
		}
		if changes := quote.Compare(one, one); len(changes) > 0 {
			t.Errorf("Compare of a quote with itself = %v, want nothing", changes)
		}
	})
}

func TestOptionsAreChecked(t *testing.T) {
	for text, want := range map[string]string{
		`"lines": [], "options": [{"name": "A", "lines": []}]`:                                                 "options: must be 2 to 5",
		`"options": [{"name": "A", "lines": []}, {"name": "a ", "lines": []}]`:                                 `options[1].name: "a " is the name of another option`,
		`"lines": [{"cake": "x", "quantity": 1}], "options": [{"name": "A", "lines": []}, {"name": "B"}]`:      "lines: stand beside options",
		`"options": [{"name": "A", "lines": []}, {"name": "", "lines": [{"cake": "nope", "quantity": 1}]}]`:    `options[1].lines[0].cake: "nope" is no cake`,
		`"options": [{"name": "A", "lines": []}, {"name": "B", "extras": [{"extra": "nope", "quantity": 1}]}]`: `options[1].extras[0].extra: "nope" is no extra`,
		`"language": "klingon!", "lines": []`:                                                                  `language: "klingon!" is no language tag`,
		`"options": [{"name": "A", "discount": "120 %"}, {"name": "B"}]`:                                       "options[0].discount: 120 % must be at most 100 %",
	} {
		b, err := book.Parse([]byte(`{"format": "marchpane-book/1", "studio": {"name": "S", "currency": "EUR", "target": {"margin": "50 %"}}}`))
		if err != nil {
			t.Fatal(err)
		}
		faults := quote.Diagnose(book.NewIndex(b), []byte(`{"client": {"name": "C"}, "event": {"date": "2027-01-01"}, "on": "2026-01-01", `+text+`}`))
		found := false
		for _, f := range faults {
			found = found || strings.HasPrefix(f.String(), want)
		}
		if !found {
			t.Errorf("%s: %v, want %s", text, faults, want)
		}
	}
}
