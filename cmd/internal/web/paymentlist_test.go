package web

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"marchpane/pricing/money"
)

// What is due, what came in, the entries for the book-keeper and the calendar,
// over all orders.
func TestMoneyPages(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/payments").expect(t, 200).has(t, "Nobody owes anything that is past its day")
	v.get("/payments/coming").expect(t, 200).has(t, "Nothing is still to come")
	v.get("/payments/received").expect(t, 200).has(t, "No payment is noted in these days")
	v.post("/quotes/2026-0001/accept", "on", "2026-11-25").expect(t, 200).has(t, "Remind them of")
	order, err := v.store.Order(t.Context(), "2026-0001")
	if err != nil {
		t.Fatal(err)
	}
	words := wordsIn(order)
	last := order.Quote.Offer.Instalments[len(order.Quote.Offer.Instalments)-1]
	// Nothing was paid yet, so that what is to come is the order, and once its days
	// are past all of it is late.
	v.get("/payments/coming").shows(t, 200, words.amount(last.Amount), "Remind them", "Still to come "+words.amount(order.Quote.Offer.Total))
	v.get("/payments?on=2028-01-01").shows(t, 200, words.amount(last.Amount), "days late", "Overdue 1 order "+words.amount(order.Quote.Offer.Total))
	v.get("/payments?on=soon").expect(t, 200).has(t, "soon")
	v.get("/quotes/2026-0001/letter?kind=reminder").expect(t, 200).has(t, "Read the letter")
	v.post("/quotes/2026-0001/letter", "kind", "reminder", "to", "m@example.org").expect(t, 200).has(t, "Nothing has gone out yet", "m@example.org")

	v.post("/quotes/2026-0001/payments", "way", "in", "amount", "100.50", "on", "2026-11-25", "means", "cash").expect(t, 200).has(t, "Send the receipt")
	v.post("/quotes/2026-0001/payments", "way", "in", "amount", "50", "on", "2026-11-25", "means", "transfer").expect(t, 200)
	v.get("/payments/received").expect(t, 200).has(t, "R2026-0001", "R2026-0002", "€150.50", "€100.50", "Send the receipt")
	v.get("/payments/received?from=2026-11-26&to=2026-11-30").expect(t, 200).has(t, "No payment is noted")
	v.get("/payments/received?from=2026-12-01&to=2026-11-01").expect(t, 422).has(t, "is before")
	v.post("/quotes/2026-0001/letter", "kind", "receipt", "payment", "R2026-0001", "to", "m@example.org").expect(t, 200).has(t, "R2026-0001.pdf", "/payments/R2026-0001.pdf")
	v.post("/quotes/2026-0001/letter", "kind", "receipt", "payment", "R2099-1", "to", "m@example.org").expect(t, 422).has(t, "has no payment R2099-1; the order's page lists")

	// RFC 4180: as Go's reader reads it. Debits equal credits.
	v.get("/payments/export").expect(t, 200).has(t, "Entries for the book-keeper", "no tax advice")
	v.get("/payments/entries.csv?from=x").expect(t, 422)
	file := v.get("/payments/entries.csv?from=2026-11-01&to=2026-11-30&account.cash=1000").expect(t, 200)
	rows, err := csv.NewReader(strings.NewReader(file.body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var debit, credit money.Amount
	for _, row := range rows[1:] {
		for i, sum := range []*money.Amount{&debit, &credit} {
			var a money.Amount
			if text := row[3+i]; text != "" {
				if err := a.UnmarshalText([]byte(text)); err != nil {
					t.Fatal(err)
				}
			}
			*sum = sum.Add(a)
		}
	}
	if len(rows) != 5 || !debit.Equal(credit) || debit.String() != "150.50" || !strings.Contains(file.body, ",1000,") {
		t.Errorf("the entries are %d rows, debit %s, credit %s:\n%s", len(rows), debit, credit, file.body)
	}
	v.get("/orders/calendar.ics").expect(t, 200).has(t, "BEGIN:VCALENDAR", "20270612")

	// A correction has a day of its own.
	v.post("/payments/R2026-0001/undo", "on", "never").expect(t, 400)
	v.post("/payments/R2026-0001/undo", "on", "2026-11-28", "note", "twice").expect(t, 200).has(t, "is taken back by")
}

// Something new that is taken back has no page any more; the list comes then.
func TestUndoOfWhatIsNew(t *testing.T) {
	v := visitStudio(t, true)
	undo := func(a answer, list string) {
		t.Helper()
		a.expect(t, 200)
		form := a.value(t, "token")
		r := v.undoFrom(a.path, form)
		if r.status != 200 || !strings.HasPrefix(r.path, list) {
			t.Errorf("after undo on %s comes %s (%d), want %s", a.path, r.path, r.status, list)
		}
	}
	undo(v.post("/prices/new", "name", "rose water", "measure", "mass"), "/prices")
	undo(v.post("/studio/tins/new", "shape", "round", "diameter", "330 mm", "height", "75 mm"), "/studio/tins")
	undo(v.post("/quotes/new", "client.name", "Ann", "event.date", "2027-06-12", "event.km", "24", "count", "0", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1", "then", "draft"), "/orders/drafts")
}

// The day a quote is made, one option alone, and an enquiry that is answered by a
// quote made by itself.
func TestQuoteOfAnotherDay(t *testing.T) {
	v := visitStudio(t, true)
	base := []string{"client.name", "Ann", "event.date", "2027-06-12", "event.km", "24", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1"}
	v.post("/quotes/new", append(base, "on", "2026-10-05", "then", "draft")...).expect(t, 200)
	q, err := v.store.Quote(t.Context(), "D1", "", v.server.today())
	if err != nil || q.Quote.Request.On.String() != "2026-10-05" {
		t.Fatalf("the draft is of %s, want 2026-10-05 (%v)", q.Quote.Request.On, err)
	}
	v.post("/quotes/new", append(base, "on", "someday", "then", "draft")...).expect(t, 422)
	a := v.get("/quotes/D1/issue?on=2026-11-20").expect(t, 200)
	v.post("/quotes/D1/issue", "on", a.value(t, "on"), "version", a.value(t, "version")).expect(t, 200).has(t, "is issued as")
	if q, _ := v.store.Quote(t.Context(), "D1", "", v.server.today()); q.Quote.Offer.IssuedOn.String() != "2026-11-20" {
		t.Errorf("issued on %s, want 2026-11-20", q.Quote.Offer.IssuedOn)
	}

	v.post("/enquiries/new", "name", "Ann", "date", "2027-06-12", "guests", "90", "wishes", "sugar peonies", "budget", "850").expect(t, 200).has(t, "A quote answers it already")
	v.get("/quotes/new?enquiry=E1").expect(t, 200).has(t, "What they asked for", "sugar peonies", "€850.00")
	v.post("/enquiries/E1/quoted", "quote", "").expect(t, 422)
	v.post("/enquiries/E1/quoted", "quote", "2026-0099").expect(t, 422)
	v.post("/enquiries/E1/quoted", "quote", "2026-0002").expect(t, 200).has(t, "2026-0002 answers E1", "quoted")

	v.post("/quotes/new", "client.name", "Bo", "event.date", "2027-06-12", "event.km", "24", "count", "2", "then", "draft",
		"options[0].name", "Grand", "options[0].lines[0].cake", "wedding-three-tier", "options[0].lines[0].quantity", "2",
		"options[1].name", "Small", "options[1].lines[0].cake", "wedding-three-tier", "options[1].lines[0].quantity", "1").expect(t, 200)
	v.get("/quotes/D2/edit").expect(t, 200).has(t, "Go on with “Small” alone")
	if n := v.get("/quotes/D2/edit?only=2").expect(t, 200).value(t, "lines[0].quantity"); n != "1" {
		t.Errorf("with the second option alone there are %s cakes, want 1", n)
	}
}

// undoFrom presses Undo on a page.
func (v *visitor) undoFrom(path, token string) answer {
	v.t.Helper()
	r, err := http.NewRequest("POST", v.url+"/undo", strings.NewReader(url.Values{"token": {token}}.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", v.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.Header.Set("Referer", v.url+path)
	return v.do(r)
}
