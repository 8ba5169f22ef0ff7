package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/seed"
	"marchpane/store"
)

// choice prices the demo's request as two options.
func choice(t testing.TB, on string) quote.Quote {
	t.Helper()
	r, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		t.Fatal(err)
	}
	r.On = day.Must(on)
	more := r.Wanted
	more.Lines = []quote.CakeWanted{{Cake: r.Lines[0].Cake, Quantity: 2}}
	r.Options = []quote.OptionWanted{{Name: "One cake", Wanted: r.Wanted}, {Name: "Two cakes", Wanted: more}}
	r.Wanted = quote.Wanted{}
	q, err := quote.Price(book.NewIndex(demoBook(t)), r)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// must fails the test on an error.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestLifeOfAQuote(t *testing.T) {
	s, db := fresh(t)
	on := day.Must("2026-11-25")
	saved := must[store.SavedQuote](t)
	saved(s.IssueQuote(t.Context(), choice(t, "2026-11-25"), at))
	if _, err := s.Accept(t.Context(), "2026-0001", "", "", on, at); err == nil || !strings.Contains(err.Error(), `1 "One cake", 2 "Two cakes"`) {
		t.Errorf("Accept without an option = %v, want the options named", err)
	}
	if _, err := s.Order(t.Context(), "2026-0001"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("Order before it is accepted = %v, want ErrNotFound", err)
	}
	q := saved(s.Accept(t.Context(), "2026-0001", "two CAKES", "signed", on.AddDays(3), at))
	if q.Life.State != quote.Accepted || q.Life.Option != "Two cakes" {
		t.Errorf("after Accept: %+v, want Two cakes accepted", q.Life)
	}
	order := must[quote.Order](t)(s.Order(t.Context(), "2026-0001"))
	if !order.Quote.Offer.Total.Equal(q.Quote.Options[1].Total) || order.Accepted != on.AddDays(3) {
		t.Errorf("Order is of %s on %s, want %s on %s", order.Quote.Offer.Total, order.Accepted, q.Quote.Options[1].Total, on.AddDays(3))
	}
	if got, want := one(t, db, `SELECT total || ' ' || option FROM order_now`), q.Quote.Options[1].Total.String()+" Two cakes"; got != want {
		t.Errorf("order_now = %s, want %s", got, want)
	}

	// A revision leaves the order standing until it is accepted.
	single := wedding(t, "2026-12-01")
	q = saved(s.ReviseQuote(t.Context(), "2026-0001", single, "only one cake", at))
	if !q.Life.Pending() || q.Life.Order != "A" || q.Quote.Revision != "B" {
		t.Errorf("after the revision: %+v, want B pending and A the order", q.Life)
	}
	if n := len(q.Quote.Changes); n == 0 || !q.Quote.Changes[n-1].Money.Equal(single.Offer.Total.Sub(order.Quote.Offer.Total)) {
		t.Errorf("changes = %v, want a total against the accepted option", q.Quote.Changes)
	}
	if order = must[quote.Order](t)(s.Order(t.Context(), "2026-0001")); order.Quote.Revision != "A" {
		t.Errorf("the order is revision %s, want A", order.Quote.Revision)
	}
	saved(s.Accept(t.Context(), "2026-0001", "", "", day.Must("2026-12-02"), at))
	if order = must[quote.Order](t)(s.Order(t.Context(), "2026-0001")); order.Quote.Revision != "B" || order.Quote.Chosen != "" {
		t.Errorf("the order is revision %s, want B", order.Quote.Revision)
	}
	for _, c := range []struct {
		what string
		err  error
		want string
	}{
		{"a second acceptance", second(s.Accept(t.Context(), "2026-0001", "", "", day.Must("2026-12-03"), at)), "accepted already, in revision B"},
		{"declining an order", second(s.Decline(t.Context(), "2026-0001", "", day.Must("2026-12-03"), at)), "not declined but cancelled"},
		{"a day before the last move", second(s.Cancel(t.Context(), "2026-0001", nil, "", day.Must("2026-12-01"), at)), "moved on 2026-12-02 last"},
	} {
		if !errors.Is(c.err, store.ErrConflict) || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("%s = %v, want ErrConflict with %q", c.what, c.err, c.want)
		}
	}
	// A wrong fee is told at its place, and changes nothing.
	for fee, want := range map[string]string{"-1.00": "fee: -1.00 is less than nothing", "99999.00": "fee: 99999.00 is more than the order comes to, " + single.Offer.Total.String() + " for 2026-0001"} {
		var amount money.Amount
		if err := amount.UnmarshalText([]byte(fee)); err != nil {
			t.Fatal(err)
		}
		var faults record.Faults
		if _, err := s.Cancel(t.Context(), "2026-0001", &amount, "called off", day.Must("2026-12-09"), at); !errors.As(err, &faults) || !strings.Contains(err.Error(), want) {
			t.Errorf("Cancel with a fee of %s = %v, want %q", fee, err, want)
		}
	}
	saved(s.IssueQuote(t.Context(), single, at))
	one := money.Amount{}
	if err := one.UnmarshalText([]byte("1.00")); err != nil {
		t.Fatal(err)
	}
	var faults record.Faults
	if _, err := s.Cancel(t.Context(), "2026-0002", &one, "no", day.Must("2026-12-09"), at); !errors.As(err, &faults) || faults[0].Path != "fee" || !strings.Contains(err.Error(), "2026-0002 was never accepted") {
		t.Errorf("Cancel of an offer with a fee = %v, want what is wrong at fee", err)
	}
	q = saved(s.Cancel(t.Context(), "2026-0001", nil, "called off", day.Must("2026-12-09"), at))
	if q.Life.State != quote.Cancelled {
		t.Errorf("after Cancel: %s", q.Life.State)
	}
	trail := must[[]quote.Step](t)(s.Trail(t.Context(), "2026-0001"))
	var words []string
	for _, s := range trail {
		words = append(words, fmt.Sprint(s.On, " ", s.Move, " ", s.Revision, s.Option, " ", s.Reason))
	}
	if want := []string{"2026-11-25 issue A issued to the client", "2026-11-28 accept ATwo cakes signed", "2026-12-01 revise B only one cake", "2026-12-02 accept B ", "2026-12-09 cancel B called off"}; !reflect.DeepEqual(words, want) {
		t.Errorf("Trail = %q, want %q", words, want)
	}
	for _, statement := range []string{
		`UPDATE quote_trail SET reason = 'another'`, `UPDATE quote_trail SET on_day = '2026-01-01'`, `DELETE FROM quote_trail`,
		`UPDATE quote SET state = 'accepted'`, `INSERT INTO quote_trail VALUES (1, 6, '', '2026-12-10', 'accept', 2, NULL, NULL, '')`,
		`INSERT INTO quote_trail VALUES (1, 9, '', '2026-12-10', 'cancel', 2, NULL, '0.00', '')`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	checkFile(t, db)
}

func second[T any](_ T, err error) error { return err }

// The store's triggers and package quote agree on every move, legal or not.
func TestStoreAndLifeAgree(t *testing.T) {
	single, options := wedding(t, "2026-01-01"), choice(t, "2026-01-01")
	// States ask nothing of bills, which are most of a snapshot.
	single.Basis = quote.Basis{}
	for i := range options.Options {
		options.Options[i].Basis = quote.Basis{}
	}
	s, db := fresh(t)
	rapid.Check(t, func(t *rapid.T) {
		ctx := t.Context()
		on := day.Must("2026-01-01")
		first, err := s.IssueQuote(ctx, single, at)
		if err != nil {
			t.Fatal(err)
		}
		number := first.Quote.Number
		for range rapid.IntRange(1, 8).Draw(t, "steps") {
			on = on.AddDays(rapid.IntRange(0, 25).Draw(t, "days"))
			before, err := s.Quote(ctx, number, "", on)
			if err != nil {
				t.Fatal(err)
			}
			option := ""
			if len(before.Quote.Options) > 0 {
				option = "2"
			}
			m := rapid.SampledFrom([]quote.Move{quote.Revise, quote.Accept, quote.Decline, quote.Cancel}).Draw(t, "move")
			switch m {
			case quote.Revise:
				next := rapid.SampledFrom([]quote.Quote{single, options}).Draw(t, "offer")
				next.Offer.IssuedOn, next.Offer.ValidUntil = on, on.AddDays(30)
				_, err = s.ReviseQuote(ctx, number, next, "why", at)
			case quote.Accept:
				_, err = s.Accept(ctx, number, option, "", on, at)
			case quote.Decline:
				_, err = s.Decline(ctx, number, "", on, at)
			case quote.Cancel:
				_, err = s.Cancel(ctx, number, nil, "", on, at)
			}
			if legal := before.Life.Check(number, m, on) == nil; legal != (err == nil) {
				t.Fatalf("%s of a quote that is %s = %v, want legal %v", m, before.Life.State, err, legal)
			}
			after, err := s.Quote(ctx, number, "", on)
			if err != nil {
				t.Fatal(err)
			}
			var state string
			if err := db.QueryRow(`SELECT state FROM quote WHERE number = ?`, number).Scan(&state); err != nil {
				t.Fatal(err)
			}
			// The column knows nothing of dates.
			if lapsed := on.After(after.Life.ValidUntil) && state == "issued"; !lapsed && state != string(after.Life.State) {
				t.Fatalf("the column has %s as %s, it is %s", number, state, after.Life.State)
			}
		}
	})
	list, err := s.Quotes(t.Context(), day.Must("2026-06-01"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list[:min(len(list), 20)] {
		q, err := s.Quote(t.Context(), e.Ref(), "", day.Must("2026-06-01"))
		if err != nil || q.Life.State != e.State {
			t.Errorf("the list has %s as %s, it is %s (%v)", e.Ref(), e.State, q.Life.State, err)
		}
	}
	checkFile(t, db)
}

func TestPayments(t *testing.T) {
	s, db := fresh(t)
	on := day.Must("2026-11-25")
	for range 2 {
		if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
			t.Fatal(err)
		}
	}
	cur := wedding(t, "2026-11-25").Offer.Studio.Currency
	sum := func(text string) money.Amount {
		p, err := money.ParsePrice(text)
		if err != nil {
			t.Fatal(err)
		}
		return cur.Amount(p.Decimal())
	}
	pay := func(number, amount string, on day.Date) (quote.Payment, error) {
		return s.Receive(t.Context(), quote.Payment{Quote: number, On: on, Amount: sum(amount), Means: quote.Transfer}, at)
	}
	if _, err := pay("2026-0001", "100.00", on); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "never accepted") {
		t.Errorf("a payment for a quote that is no order = %v, want ErrConflict", err)
	}
	for _, number := range []string{"2026-0001", "2026-0002"} {
		if _, err := s.Accept(t.Context(), number, "", "", on, at); err != nil {
			t.Fatal(err)
		}
	}
	payment := must[quote.Payment](t)
	got := []string{payment(pay("2026-0001", "100.00", on)).Number, payment(pay("2026-0002", "50.00", on.AddDays(1))).Number, payment(pay("2026-0001", "20.00", day.Must("2027-01-02"))).Number}
	if want := []string{"R2026-0001", "R2026-0002", "R2027-0001"}; !reflect.DeepEqual(got, want) {
		t.Errorf("receipts are numbered %v, want %v", got, want)
	}
	refund := quote.Payment{Quote: "2026-0001", On: day.Must("2027-01-03"), Amount: sum("500.00").Neg(), Means: quote.Cash}
	if _, err := s.Receive(t.Context(), refund, at); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "120.00 was received") {
		t.Errorf("more back than came in = %v, want ErrConflict", err)
	}
	undone := payment(s.Undo(t.Context(), "r2026-0002", "entered twice", on.AddDays(2), at))
	if undone.Number != "R2026-0003" || undone.Amount.String() != "-50.00" || undone.Undoes != "R2026-0002" {
		t.Errorf("Undo = %+v, want R2026-0003 of -50.00", undone)
	}
	for _, number := range []string{"R2026-0002", "R2026-0003", "R2026-0009"} {
		if _, err := s.Undo(t.Context(), number, "", on.AddDays(3), at); err == nil {
			t.Errorf("Undo of %s = nil, want a refusal", number)
		}
	}
	order := must[quote.Order](t)(s.Order(t.Context(), "2026-0002"))
	if a := order.Account(on.AddDays(5)); len(order.Payments) != 2 || !a.Received.IsZero() || order.Payments[0].Undone != "R2026-0003" {
		t.Errorf("payments of 2026-0002 = %+v, received %s, want a pair that cancels out", order.Payments, a.Received)
	}
	for _, statement := range []string{
		`UPDATE payment SET amount = '1.00'`, `DELETE FROM payment`, `INSERT OR REPLACE INTO payment (id, year, sequence, quote, at, on_day, amount, means) VALUES (1, 2026, 4, 1, '', '2026-12-01', '1.00', 'cash')`,
		`INSERT INTO payment (year, sequence, quote, at, on_day, amount, means) VALUES (2026, 7, 1, '', '2026-12-01', '1.00', 'cash')`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	all := must[[]quote.Payment](t)(s.Payments(t.Context(), day.Must("2026-11-26"), day.Must("2026-12-31")))
	if len(all) != 2 {
		t.Errorf("Payments of December = %v, want two", all)
	}
	checkFile(t, db)
}

// Quotes issued before states were kept are issued ones with a trail.
func TestQuotesFromBeforeStates(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	db := older(t, path, 2)
	snapshot, err := json.Marshal(wedding(t, "2026-11-25"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(snapshot), ":null", ":[]")
	if _, err := db.Exec(`INSERT INTO quote (year, sequence) VALUES (2026, 1);
		INSERT INTO quote_revision (quote, revision, frozen, saved_at, snapshot) VALUES (1, 1, 1, '2026-11-25T09:00:00Z', ?1), (1, 2, 1, '2026-11-25T10:00:00Z', json_set(?1, '$.revision', 'B'))`, text); err != nil {
		t.Fatal(err)
	}
	s := open(t, path)
	q := must[store.SavedQuote](t)(s.Quote(t.Context(), "2026-0001", "", day.Must("2026-11-26")))
	if q.Life.State != quote.Issued || q.Life.Newest != "B" {
		t.Errorf("after the upgrade 2026-0001 is %+v, want issued in revision B", q.Life)
	}
	if trail := must[[]quote.Step](t)(s.Trail(t.Context(), "2026-0001")); len(trail) != 2 || trail[1].Move != quote.Revise {
		t.Errorf("Trail = %v, want an issue and a revision", trail)
	}
	if _, err := s.Accept(t.Context(), "2026-0001", "", "", day.Must("2026-11-26"), at); err != nil {
		t.Error(err)
	}
	checkFile(t, db)
}
