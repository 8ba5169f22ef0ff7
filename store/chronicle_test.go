package store_test

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

// What is remembered of the quotes is what reading the file afresh gives, after
// every kind of write: by this store, and by another that has the file open.
func TestChronicle(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	other := open(t, s.Path()) // it only looks on
	x := book.NewIndex(demoBook(t))
	backup := filepath.Join(t.TempDir(), "backup.db")
	ctx, on := t.Context(), day.Must("2026-11-26")
	saved, paid := must[store.SavedQuote](t), must[quote.Payment](t)
	var receipt quote.Payment
	for i, w := range []struct {
		what  string
		write func(t *testing.T)
	}{
		{"nothing", func(t *testing.T) {}},
		{"quotes of every fate", func(t *testing.T) { trade(t, s, x, 12) }},
		{"issue", func(t *testing.T) { saved(s.IssueQuote(ctx, wedding(t, "2026-11-25"), at)) }},
		{"issue with options", func(t *testing.T) { saved(s.IssueQuote(ctx, choice(t, "2026-11-25"), at)) }},
		{"accept", func(t *testing.T) { saved(s.Accept(ctx, "2026-0013", "", "", on, at)) }},
		{"accept an option", func(t *testing.T) { saved(s.Accept(ctx, "2026-0014", "2", "", on, at)) }},
		{"receive", func(t *testing.T) {
			receipt = paid(s.Receive(ctx, quote.Payment{Quote: "2026-0013", On: on, Amount: sum(t, "100.00"), Means: quote.Transfer, Note: "thanks"}, at))
		}},
		{"refund", func(t *testing.T) {
			paid(s.Receive(ctx, quote.Payment{Quote: "2026-0013", On: on, Amount: sum(t, "40.00").Neg(), Means: quote.Transfer}, at))
		}},
		{"undo of a payment", func(t *testing.T) {
			paid(s.Receive(ctx, quote.Payment{Quote: "2026-0013", On: on, Amount: sum(t, "40.00"), Means: quote.Transfer}, at))
			paid(s.Undo(ctx, receipt.Number, "a slip", on, at))
		}},
		{"revise an order", func(t *testing.T) {
			saved(s.ReviseQuote(ctx, "2026-0013", wedding(t, "2026-11-27"), "later", at))
		}},
		{"accept the revision", func(t *testing.T) { saved(s.Accept(ctx, "2026-0013", "", "", on.AddDays(2), at)) }},
		{"decline", func(t *testing.T) {
			saved(s.IssueQuote(ctx, wedding(t, "2026-11-27"), at))
			saved(s.Decline(ctx, "2026-0015", "too dear", on.AddDays(2), at))
		}},
		{"revise what was declined", func(t *testing.T) {
			saved(s.ReviseQuote(ctx, "2026-0015", choice(t, "2026-11-29"), "again", at))
		}},
		{"cancel an order", func(t *testing.T) {
			fee := sum(t, "55.00")
			saved(s.Cancel(ctx, "2026-0014", &fee, "moved away", on.AddDays(5), at))
		}},
		{"cancel an offer", func(t *testing.T) { saved(s.Cancel(ctx, "2026-0015", nil, "no date", on.AddDays(5), at)) }},
		{"record", func(t *testing.T) {
			must[actual.Records](t)(s.Record(ctx, actual.Records{Work: []actual.Work{{Head: actual.Head{On: on.AddDays(3)}, Order: "2026-0013", Way: actual.Longer, Role: "decorator", Minutes: exact.Int(35), PerMinute: exact.Int(1)}}}, at))
		}},
		{"take a record back", func(t *testing.T) {
			var last string
			for _, v := range must[actual.Records](t)(s.ActualsOf(ctx, "2026-0013")).Work {
				last = v.ID
			}
			must[actual.Records](t)(s.UndoActual(ctx, last, "a slip", on.AddDays(4), at))
		}},
		{"draft, issued", func(t *testing.T) {
			saved(s.SaveDraft(ctx, wedding(t, "2026-11-28"), at))
			saved(s.IssueDraft(ctx, "D1", wedding(t, "2026-11-28"), at))
		}},
		{"receive on a day before the acceptance", func(t *testing.T) {
			saved(s.Accept(ctx, "2026-0016", "", "", on.AddDays(6), at))
			paid(s.Receive(ctx, quote.Payment{Quote: "2026-0016", On: on.AddDays(3), Amount: sum(t, "10.00"), Means: quote.Transfer}, at))
		}},
		{"pay it off", func(t *testing.T) {
			o := must[quote.Order](t)(s.Order(ctx, "2026-0016"))
			paid(s.Receive(ctx, quote.Payment{Quote: "2026-0016", On: on.AddDays(8), Amount: o.Account(on.AddDays(8)).Balance, Means: quote.Transfer}, at))
		}},
		{"client, changed", func(t *testing.T) {
			addClient(t, s, zoe())
			must[store.SavedClient](t)(s.ChangeClient(ctx, "C1", func(c *enquiry.Client) error { c.Notes = record.Some("rang"); return nil }, at))
		}},
		{"link", func(t *testing.T) {
			for _, err := range []error{s.LinkQuote(ctx, "2026-0013", "C1", ""), s.LinkQuote(ctx, "2026-0016", "C1", "")} {
				if err != nil {
					t.Fatal(err)
				}
			}
		}},
		{"edit of a price", func(t *testing.T) {
			must[book.Changes](t)(s.Edit(ctx, "test", at, func(b book.Book) (book.Book, error) {
				b.Ingredients = slices.Clone(b.Ingredients)
				p := slices.Clone(b.Ingredients[0].Prices)
				next := p[len(p)-1]
				next.Note = record.Some("dearer")
				b.Ingredients[0].Prices = append(p, next)
				return b, nil
			}))
		}},
		{"import of a book", func(t *testing.T) {
			b := demoBook(t)
			b.Studio.Name = "Renamed"
			importBook(t, s, b, true)
		}},
		{"erase", func(t *testing.T) {
			must[store.Erasure](t)(s.EraseClient(ctx, "C1", true, day.Must("2026-12-24"), at))
		}},
		{"copy, then another quote", func(t *testing.T) {
			if err := s.CopyTo(ctx, backup); err != nil {
				t.Fatal(err)
			}
			saved(s.IssueQuote(ctx, wedding(t, "2026-11-29"), at))
			saved(s.Accept(ctx, "2026-0017", "", "", day.Must("2026-11-30"), at))
		}},
		{"restore", func(t *testing.T) { must[string](t)(s.Restore(ctx, backup, at)) }},
		{"as many moves as before the restore", func(t *testing.T) {
			saved(s.IssueQuote(ctx, choice(t, "2026-11-30"), at))
			saved(s.Decline(ctx, "2026-0017", "too dear", day.Must("2026-12-01"), at))
		}},
		{"restore that nobody asked about in between", func(t *testing.T) {
			must[string](t)(s.Restore(ctx, backup, at))
			saved(s.IssueQuote(ctx, wedding(t, "2026-11-30"), at))
			saved(s.Accept(ctx, "2026-0017", "", "", day.Must("2026-12-01"), at))
		}},
	} {
		w.write(t)
		if t.Failed() {
			t.Fatalf("%s failed", w.what)
		}
		want := chronicled(t, open(t, s.Path()))
		check(t, "after "+w.what+", as remembered", chronicled(t, s), want)
		check(t, "after "+w.what+", as another remembers", chronicled(t, other), want)
		if i > 1 && len(want) < 20_000 {
			t.Errorf("after %s, what is told is %d bytes: too little to be all", w.what, len(want))
		}
		againstOrders(t, s)
	}
}

// chronicled tells, line by line, all that a store answers from what happened to
// its quotes.
func chronicled(t *testing.T, s *store.Store) string {
	t.Helper()
	var b strings.Builder
	tell := func(what string, v any) {
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s %s\n", what, text)
	}
	check := func(what string, err error) {
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
	}
	year := func(n int) month.Span {
		span, err := month.ParseSpan(fmt.Sprint(n))
		check("span", err)
		return span
	}
	spans := []month.Span{year(2026), year(2027)}
	for _, m := range year(2026).Months()[8:] {
		spans = append(spans, month.Span{From: m.First(), To: m.Last()})
	}
	for _, span := range spans {
		// In full once, and of each month which they are.
		of := func(o quote.Order) any {
			if len(span.Months()) > 1 {
				return o
			}
			return []any{o.Quote.Number, o.Quote.Revision, o.Accepted, o.CancelledOn, o.Fee, o.Payments}
		}
		check("EachOrder", s.EachOrder(t.Context(), span.From, span.To, func(o quote.Order) (func(), error) {
			return func() { tell(span.String()+" order", of(o)) }, nil
		}))
		for _, today := range []string{"2026-10-01", "2027-02-01"} {
			check("EachOffered", s.EachOffered(t.Context(), span, day.Must(today), func(o month.Offered) {
				tell(span.String()+" offer on "+today, []any{o.Number, o.Client, o.Event, o.IssuedNet, o.Net, o.Issued, o.Fate, o.Decided, o.Revision, o.Option})
			}))
		}
		check("EachAccount", s.EachAccount(t.Context(), span.To, func(o quote.Order) { tell(span.String()+" account", o) }))
		list, err := s.Orders(t.Context(), span.From, span.To)
		check("Orders", err)
		for _, o := range list {
			tell(span.String()+" among the orders", of(o))
		}
	}
	return b.String()
}

// againstOrders compares what the store remembers of each order with the order
// as [store.Store.Order] reads it, which remembers nothing.
func againstOrders(t *testing.T, s *store.Store) {
	t.Helper()
	ages := month.Span{From: day.Must("2020-01-01"), To: day.Must("2040-12-31")}
	all, err := s.AllOrders(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	whole := func(number string) quote.Order {
		return must[quote.Order](t)(s.Order(t.Context(), number))
	}
	var sold, listed []string
	if err := s.EachOrder(t.Context(), ages.From, ages.To, func(o quote.Order) (func(), error) {
		return func() {
			w := whole(o.Quote.Number)
			if o.Accepted != w.Accepted || o.CancelledOn != w.CancelledOn || !o.Fee.Equal(w.Fee) || !o.Quote.Offer.Total.Equal(w.Quote.Offer.Total) || !o.Quote.Basis.Net.Equal(w.Quote.Basis.Net) {
				t.Errorf("EachOrder gives of %s %s %s %s %s, want %s %s %s %s", o.Quote.Number, o.Accepted, o.CancelledOn, o.Fee, o.Quote.Offer.Total, w.Accepted, w.CancelledOn, w.Fee, w.Quote.Offer.Total)
			}
			if at := apart(plainly(t, o.Quote), plainly(t, w.Quote)); at != "" {
				t.Errorf("EachOrder and Order differ of %s: %s", o.Quote.Number, at)
			}
			sold = append(sold, o.Quote.Number)
		}, nil
	}); err != nil {
		t.Fatal(err)
	}
	list, err := s.Orders(t.Context(), ages.From, ages.To)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range list {
		listed = append(listed, o.Quote.Number)
		check(t, "Orders of "+o.Quote.Number, fmt.Sprint(plainly(t, o)), fmt.Sprint(plainly(t, whole(o.Quote.Number))))
	}
	var want, owing, accounts []string
	for _, o := range all {
		want = append(want, o.Quote.Number)
		if !o.Account(ages.To).Balance.IsZero() {
			owing = append(owing, o.Quote.Number+" "+o.Account(ages.To).Balance.String())
		}
	}
	if err := s.EachAccount(t.Context(), ages.To, func(o quote.Order) {
		accounts = append(accounts, o.Quote.Number+" "+o.Account(ages.To).Balance.String())
	}); err != nil {
		t.Fatal(err)
	}
	for _, v := range []struct {
		what      string
		got, want []string
	}{{"EachOrder", sold, want}, {"Orders", listed, want}, {"EachAccount", accounts, owing}} {
		slices.Sort(v.got)
		slices.Sort(v.want)
		if !slices.Equal(v.got, v.want) {
			t.Errorf("%s tells of %v, want %v", v.what, v.got, v.want)
		}
	}
}

// plainly is a value as lists, maps and texts.
func plainly(t *testing.T, v any) (plain any) {
	t.Helper()
	text, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(text, &plain)
	}
	if err != nil {
		t.Fatal(err)
	}
	return plain
}

// apart says where a part has something that the whole has not; what the part
// leaves out is passed over.
func apart(part, whole any) string {
	switch p := part.(type) {
	case map[string]any:
		w, _ := whole.(map[string]any)
		for key, v := range p {
			if at := apart(v, w[key]); at != "" {
				return key + ": " + at
			}
		}
		return ""
	case []any:
		w, _ := whole.([]any)
		if len(p) == 0 {
			return ""
		}
		if len(p) != len(w) {
			return fmt.Sprintf("%d, want %d", len(p), len(w))
		}
		for i := range p {
			if at := apart(p[i], w[i]); at != "" {
				return fmt.Sprintf("%d: %s", i, at)
			}
		}
		return ""
	case nil:
		return ""
	}
	if part == "" || part == false || part == 0.0 || part == "0" || part == whole {
		return ""
	}
	return fmt.Sprintf("%v, want %v", part, whole)
}
