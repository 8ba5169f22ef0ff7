package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
	"marchpane/store"
)

// ordered returns a store with the demo's book and its wedding accepted as
// 2026-0001.
func ordered(t testing.TB) (*store.Store, quote.Order) {
	t.Helper()
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Accept(t.Context(), "2026-0001", "", "", day.Must("2026-11-26"), at); err != nil {
		t.Fatal(err)
	}
	return s, must[quote.Order](t)(s.Order(t.Context(), "2026-0001"))
}

func number(t testing.TB, text string) (f measure.Figure) {
	t.Helper()
	if err := f.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return f
}

func sum(t testing.TB, text string) money.Amount {
	t.Helper()
	eur := must[money.Currency](t)(money.ParseCurrency("EUR"))
	return eur.Amount(must[money.Price](t)(money.ParsePrice(text)).Decimal())
}

// everything has one entry of each kind.
func everything(t testing.TB, order string) actual.Records {
	t.Helper()
	n, on := exact.Must, day.Must("2026-11-27")
	may := must[actual.Month](t)(actual.ParseMonth("2027-05"))
	price := must[money.Price](t)(money.ParsePrice("41.20"))
	return actual.Records{
		Work: []actual.Work{
			{Head: actual.Head{On: on, Note: "two of us"}, Order: order, Way: actual.Worked, Role: "decorator", Task: "sugar flowers", Who: "Ann", Minutes: n("200"), PerMinute: n("1/3")},
			{Head: actual.Head{On: on}, Order: order, Way: actual.Idle, Role: "decorator", Minutes: n("15"), PerMinute: n("1/3"), Started: "2026-11-27T08:00:00Z", Ended: "2026-11-27T08:15:00Z"},
		},
		Goods: []actual.Goods{
			{Head: actual.Head{On: on}, Order: order, Way: actual.Used, Use: "butter", Written: measure.Must("1.2 kg"), Goods: []actual.Good{{Resource: "butter", Quantity: n("1200"), Unit: "g", PerUnit: n("101/10000")}}},
			{Head: actual.Head{On: on, Note: "dropped"}, Order: order, Way: actual.Wasted, Use: "lemon-curd", Written: measure.Must("100 g"), Goods: []actual.Good{
				{Resource: "butter", Quantity: n("20"), Unit: "g", PerUnit: n("101/10000")}, {Resource: "lemon", Quantity: n("70/3"), Unit: "g", PerUnit: n("1/400")}}},
		},
		Purchases: []actual.Purchase{
			{Head: actual.Head{On: on}, Ingredient: "butter", Packs: number(t, "2"), Pack: must[measure.Pack](t)(measure.ParsePack("5 kg")), Price: price,
				TaxIn: record.Some(measure.MustPercent("5 %")), Supplier: "Dairy round", Invoice: "123", Quantity: n("10000"), Unit: "g", PerUnit: n("103/12500")},
			{Head: actual.Head{On: on}, Order: order, Ingredient: "lemon", Packs: number(t, "0.5"), Pack: must[measure.Pack](t)(measure.ParsePack("5 kg")), Price: price, Quantity: n("2500"), Unit: "g", PerUnit: n("103/12500")},
		},
		Wages: []actual.Wage{{Head: actual.Head{On: on}, Role: "decorator", PerHour: price, Until: day.Must("2027-12-31"), PerMinute: n("2/3")}},
		Bills: []actual.Bill{
			{Head: actual.Head{On: on}, Month: may, Of: actual.OverheadCost, Amount: record.Some(sum(t, "4180.00"))},
			{Head: actual.Head{On: on}, Month: may, Of: actual.EnergyCost, Amount: record.Some(sum(t, "138.40")), KWh: record.Some(number(t, "412"))},
		},
		Plans:   []actual.Plan{{Head: actual.Head{On: on}, Month: may, Cakes: record.Some(14), Margin: record.Some(sum(t, "5200.00")), Hours: record.Some(number(t, "320"))}},
		Charges: []actual.Charge{{Head: actual.Head{On: on, Note: "late"}, Order: order, Amount: sum(t, "20.00").Neg()}},
	}
}

// What is recorded comes back as it was, by any of the three ways to ask.
func TestActualsRoundTrip(t *testing.T) {
	s, o := ordered(t)
	db := raw(t, s.Path())
	saved := must[actual.Records](t)(s.Record(t.Context(), everything(t, "2026-0001"), at))
	if first, last := saved.Work[0].ID, saved.Charges[0].ID; first != "A1" || last != fmt.Sprintf("A%d", saved.Len()) {
		t.Errorf("entries are numbered %s to %s, want A1 to A%d", first, last, saved.Len())
	}
	// Bought before the order was accepted: it does not bear on its prices.
	early := everything(t, "2026-0001").Purchases[:1]
	early[0].On = day.Must("2026-11-25")
	if _, err := s.Record(t.Context(), actual.Records{Purchases: early}, at); err != nil {
		t.Fatal(err)
	}
	event := o.Quote.Offer.EventDate
	for name, got := range map[string]actual.Records{
		"ActualsCounting": must[actual.Records](t)(s.ActualsCounting(t.Context(), event, event)),
		"ActualsOf":       must[actual.Records](t)(s.ActualsOf(t.Context(), "2026-0001")),
	} {
		want := saved
		if may := actual.MonthOf(event); saved.Bills[0].Month != may {
			want.Bills, want.Plans = nil, nil
		}
		if text(t, got) != text(t, want) {
			t.Errorf("%s = %v\nwant %v", name, text(t, got), text(t, want))
		}
	}
	if got := must[actual.Records](t)(s.ActualsIn(t.Context(), day.Must("2026-11-27"), day.Must("2027-05-31"))); text(t, got) != text(t, saved) {
		t.Errorf("ActualsIn = %v\nwant %v", text(t, got), text(t, saved))
	}
	if got := must[actual.Records](t)(s.ActualsCounting(t.Context(), event.AddDays(1), event.AddDays(2))); len(got.Work)+len(got.Goods)+len(got.Charges) > 0 {
		t.Errorf("Actuals of other days have %v", got.Orders())
	}
	if got := one(t, db, `SELECT group_concat(quote_number || ' ' || resource || ' ' || quantity, ', ') FROM actual_material WHERE kind = 'wasted'`); got != "2026-0001 butter 20, 2026-0001 lemon 70/3" {
		t.Errorf("actual_material has %s", got)
	}
	checkFile(t, db)
}

// text prints entries for comparison: numbers by value, not by representation.
func text(t testing.TB, r actual.Records) string {
	t.Helper()
	return string(must[[]byte](t)(json.Marshal(r)))
}

// Nothing changes silently, and what was taken back stays.
func TestActualsAreKept(t *testing.T) {
	s, _ := ordered(t)
	db := raw(t, s.Path())
	saved := must[actual.Records](t)(s.Record(t.Context(), everything(t, "2026-0001"), at))
	work := saved.Work[0].ID
	undone := must[actual.Records](t)(s.UndoActual(t.Context(), strings.ToLower(work), "wrong cake", day.Must("2026-11-28"), at))
	if undone.Len() != 1 || undone.Work[0].ID != work {
		t.Errorf("UndoActual(%s) = %v, want that entry", work, text(t, undone))
	}
	for ref, want := range map[string]string{work: "taken back on 2026-11-28 already: wrong cake", "A999": "not in the store", "butter": "not in the store"} {
		if _, err := s.UndoActual(t.Context(), ref, "", day.Must("2026-11-28"), at); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("UndoActual(%s) = %v, want %q", ref, err, want)
		}
	}
	of := must[actual.Records](t)(s.ActualsOf(t.Context(), "2026-0001"))
	if of.Work[0].Undone == nil || of.Work[0].Undone.Why != "wrong cake" || len(of.Work) != 2 {
		t.Errorf("the journal shows %v, want %s taken back", text(t, of), work)
	}
	if l := actual.NewLedger(of).Order("2026-0001"); len(l.Work) != 1 {
		t.Errorf("the ledger counts %d entries of work, want the one that stands", len(l.Work))
	}
	if got := one(t, db, `SELECT count(*) FROM actual_work`); got != "1" {
		t.Errorf("actual_work has %s rows, want 1", got)
	}
	for _, statement := range []string{
		`UPDATE actual SET minutes = '1' WHERE id = 1`, `UPDATE actual SET note = 'another' WHERE id = 1`, `DELETE FROM actual WHERE id = 1`,
		`UPDATE actual SET quote = NULL WHERE kind = 'bought'`, `UPDATE actual SET hours = '1' WHERE kind = 'plan'`,
		`INSERT OR REPLACE INTO actual (id, at, on_day, kind, month, amount) VALUES (1, '', '2026-11-27', 'overhead', '2026-11', '1.00')`,
		`INSERT INTO actual (id, at, on_day, kind, month, amount) VALUES (99, '', '2026-11-27', 'overhead', '2026-11', '1.00')`,
		`INSERT INTO actual (id, at, on_day, kind) SELECT max(id) + 1, '', '2026-11-27', 'worked' FROM actual`,
		`UPDATE actual_good SET quantity = '1'`, `DELETE FROM actual_good`, `INSERT INTO actual_good VALUES (3, 'salt', 0, '1', 'g', '1')`,
		`INSERT OR REPLACE INTO actual_good SELECT entry, resource, packaging, '1', unit, per_unit FROM actual_good`,
		`UPDATE actual_undone SET on_day = '2026-01-01'`, `UPDATE actual_undone SET why = 'another'`, `DELETE FROM actual_undone`,
		`INSERT OR REPLACE INTO actual_undone SELECT entry, at, on_day, 'another' FROM actual_undone`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	// A note can hold personal data, which its owner may have erased.
	for _, statement := range []string{`UPDATE actual SET note = 'erased' WHERE note <> ''`, `UPDATE actual_undone SET why = 'erased'`} {
		if _, err := db.Exec(statement); err != nil {
			t.Errorf("%s = %v", statement, err)
		}
	}
	checkFile(t, db)
}

// Entries that contradict one another are refused whole.
func TestActualsContradict(t *testing.T) {
	s, o := ordered(t)
	desk := actual.NewDesk(book.NewIndex(demoBook(t)), day.Must("2026-11-28"))
	sheet := func(s actual.Sheet) actual.Records { return must[actual.Records](t)(desk.Read(s, o)) }
	butter := func(qty string) []actual.GoodsTaken {
		return []actual.GoodsTaken{{Use: "butter", Qty: measure.Must(qty)}}
	}
	must[actual.Records](t)(s.Record(t.Context(), sheet(actual.Sheet{Used: butter("1 kg")}), at))
	more := must[actual.Records](t)(s.Record(t.Context(), sheet(actual.Sheet{More: butter("500 g"), Wasted: butter("1.2 kg")}), at))
	for what, c := range map[string]struct {
		sheet actual.Sheet
		want  string
	}{
		"a second total":        {actual.Sheet{Used: butter("1.1 kg")}, "has a total of 2026-0001 already in A1"},
		"more wasted than used": {actual.Sheet{Wasted: butter("400 g")}, "more butter was wasted (1600 g) than used in all (1500 g)"},
	} {
		with := c.sheet
		with.Work = []actual.WorkDone{{Role: "decorator", Time: actual.MinutesOf(exact.Int(5))}}
		if _, err := s.Record(t.Context(), sheet(with), at); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s = %v, want ErrConflict with %q", what, err, c.want)
		}
	}
	if _, err := s.UndoActual(t.Context(), more.Goods[0].ID, "", day.Must("2026-11-28"), at); err == nil || !strings.Contains(err.Error(), "would not add up") {
		t.Errorf("undoing what was wasted from = %v, want a refusal", err)
	}
	if of := must[actual.Records](t)(s.ActualsOf(t.Context(), "2026-0001")); of.Len() != 3 {
		t.Errorf("%d entries are left, want the first 3", of.Len())
	}
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Record(t.Context(), everything(t, "2026-0002"), at); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "never accepted") {
		t.Errorf("records of a quote that is no order = %v, want ErrConflict", err)
	}
}

// Clocks live in the store: another run of the program finds them.
func TestClocks(t *testing.T) {
	s, _ := ordered(t)
	start := func(who string, hour int) error {
		_, err := s.StartClock(t.Context(), actual.Clock{Who: who, Order: "2026-0001", Way: actual.Worked, Role: "decorator", PerMinute: exact.Must("1/3"), On: day.Must("2026-11-25")},
			at.Add(-time.Duration(hour)*time.Hour), at)
		return err
	}
	for who, hours := range map[string]int{"decorator": 2, "Ann": 13, "Ben": 1} {
		if err := start(who, hours); err != nil {
			t.Fatal(err)
		}
	}
	if err := start("ann", 1); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "runs for 2026-0001 already, since 2026-11-24 20:30") {
		t.Errorf("a second clock of Ann = %v, want ErrConflict", err)
	}
	again := open(t, s.Path())
	clocks := must[[]actual.Clock](t)(again.Clocks(t.Context()))
	if len(clocks) != 3 || clocks[0].Who != "Ann" || clocks[0].Started != "2026-11-24T19:30:00Z" {
		t.Errorf("Clocks = %+v, want Ann's of 2026-11-24T19:30:00Z first of 3", clocks)
	}
	stop := func(st store.Stop) (actual.Work, error) {
		_, w, err := again.StopClock(t.Context(), st, at)
		return w, err
	}
	if _, err := stop(store.Stop{}); err == nil || !strings.Contains(err.Error(), "say whose: Ann, decorator, Ben") {
		t.Errorf("stopping any of three = %v, want a choice", err)
	}
	if w := must[actual.Work](t)(stop(store.Stop{Who: "Decorator"})); !w.Minutes.Equal(exact.Int(120)) || w.Who != "" || w.Ended != "2026-11-25T08:30:00Z" {
		t.Errorf("the decorator's clock gives %+v, want 120 minutes until 2026-11-25T08:30:00Z", w)
	}
	if _, err := stop(store.Stop{Who: "Ann"}); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "it was forgotten; say when the work ended with --at") {
		t.Errorf("a clock of 13 hours = %v, want ErrConflict", err)
	}
	if w := must[actual.Work](t)(stop(store.Stop{Who: "Ann", Ended: at.Add(-12 * time.Hour)})); !w.Minutes.Equal(exact.Int(60)) || w.Who != "Ann" {
		t.Errorf("Ann's clock gives %+v, want 60 minutes", w)
	}
	if _, _, err := again.StopClock(t.Context(), store.Stop{Drop: true}, at); err != nil {
		t.Errorf("dropping Ben's, the only one left = %v", err)
	}
	if _, err := stop(store.Stop{}); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("stopping none = %v, want ErrNotFound", err)
	}
	db := raw(t, s.Path())
	for _, statement := range []string{`DELETE FROM clock`, `UPDATE clock SET who = 'Cay'`, `UPDATE clock SET stopped_at = NULL`, `INSERT OR REPLACE INTO clock SELECT id, 'Cay', quote, kind, role, task, per_minute, started_at, on_day, NULL, NULL FROM clock LIMIT 1`} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	if got := one(t, db, `SELECT count(*) || ' ' || count(entry) FROM clock`); got != "3 2" {
		t.Errorf("clocks kept and recorded: %s, want 3 2", got)
	}
	checkFile(t, db)
}

// Records of many orders are read in a few queries, whatever their number.
func TestActualsOfManyOrders(t *testing.T) {
	s, o := ordered(t)
	for i := range 20 {
		if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
			t.Fatal(err)
		}
		ref := fmt.Sprintf("2026-%04d", i+2)
		if _, err := s.Accept(t.Context(), ref, "", "", day.Must("2026-11-26"), at); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Record(t.Context(), actual.Records{Work: everything(t, ref).Work}, at); err != nil {
			t.Fatal(err)
		}
	}
	event := o.Quote.Offer.EventDate
	ledger := actual.NewLedger(must[actual.Records](t)(s.ActualsCounting(t.Context(), event, event)))
	for _, o := range must[[]quote.Order](t)(s.Orders(t.Context(), event, event)) {
		p := must[variance.Order](t)(actual.Planned(o))
		r := must[variance.Result](t)(variance.Work(ledger.Apply(p, o)))
		recorded := 0
		for _, v := range r.Lines {
			if v.Recorded() {
				recorded++
			}
		}
		if want := min(len(ledger.Order(o.Quote.Number).Work), 1); recorded != want {
			t.Errorf("%s has %d lines recorded, want %d", o.Quote.Number, recorded, want)
		}
	}
}

// The parts of a journal are the whole of it, the last entry first.
func TestActualsPage(t *testing.T) {
	s, order := ordered(t)
	for i := range 3 {
		entries := everything(t, order.Quote.Number)
		if i > 0 { // of what an order took there is one total
			entries.Work, entries.Goods = nil, nil
		}
		must[actual.Records](t)(s.Record(t.Context(), entries, at))
	}
	must[actual.Records](t)(s.UndoActual(t.Context(), "A2", "a slip", day.Must("2026-11-28"), at))
	for _, span := range [][2]string{{"2026-11-01", "2026-11-30"}, {"2027-05-01", "2027-05-31"}, {"2026-01-01", "2027-12-31"}, {"2025-01-01", "2025-01-31"}} {
		from, to := day.Must(span[0]), day.Must(span[1])
		whole := must[actual.Records](t)(s.ActualsIn(t.Context(), from, to))
		type page func(store.Span) (actual.Records, int, error)
		for what, list := range map[string]struct {
			page page
			want actual.Records
		}{
			"ActualsPage": {func(part store.Span) (actual.Records, int, error) { return s.ActualsPage(t.Context(), from, to, part) }, whole},
			"PurchasesPage": {func(part store.Span) (actual.Records, int, error) {
				return s.PurchasesPage(t.Context(), from, to, part)
			}, actual.Records{Purchases: whole.Purchases}},
		} {
			var got actual.Records
			for at := 0; at == 0 || at < list.want.Len(); at += 4 {
				part, n, err := list.page(store.Span{From: at, Most: 4})
				if err != nil || n != list.want.Len() || part.Len() != min(4, n-at) {
					t.Fatalf("%s of %v from %d = %d of %d, %v, want 4 of %d", what, span, at, part.Len(), n, err, list.want.Len())
				}
				got = part.Join(got)
			}
			if text(t, got) != text(t, list.want) {
				t.Errorf("%s of %v in parts = %s, want %s", what, span, text(t, got), text(t, list.want))
			}
			beyond, _, err := list.page(store.Span{From: 1000, Most: 4})
			first, _, _ := list.page(store.Span{Most: 4})
			if err != nil || text(t, beyond) != text(t, first) {
				t.Errorf("%s of %v from beyond its end = %s, %v, want the first part", what, span, text(t, beyond), err)
			}
		}
		m := actual.MonthOf(from)
		of := must[actual.Records](t)(s.MonthActuals(t.Context(), m, must[store.Edition](t)(s.Edition(t.Context()))))
		if got, want := text(t, of), text(t, actual.Records{Bills: whole.Bills, Plans: whole.Plans}); m == actual.MonthOf(to) && got != want {
			t.Errorf("MonthActuals(%s) = %s, want %s", m, got, want)
		}
	}
}
