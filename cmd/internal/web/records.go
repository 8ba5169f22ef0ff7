package web

import (
	"fmt"
	"net/http"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) recordPages() {
	m.get("/records", m.s.pickRecords)
	m.get("/records/{month}", m.s.showRecords)
	m.post("/records/{month}/overhead", m.s.recordBill(actual.OverheadCost))
	m.post("/records/{month}/energy", m.s.recordBill(actual.EnergyCost))
	m.post("/records/{month}/plan", m.s.recordPlan)
	m.post("/records/{month}/wage", m.s.recordWage)
	m.get("/records/{id}/back", m.s.askBack)
	m.post("/records/{id}/back", m.s.takeBack)
}

func (s *Server) pickRecords(w http.ResponseWriter, r *http.Request) error {
	text := monthInFigures(r.URL.Query().Get("of"))
	if text != "" {
		if _, err := actual.ParseMonth(text); err != nil {
			return wrong("%s Go back and write it so.", sentence(err.Error()))
		}
	}
	return s.toMonth(w, r, "/records", text)
}

func (s *Server) showRecords(w http.ResponseWriter, r *http.Request) error {
	return s.recordsPage(w, r, http.StatusOK, returned{})
}

func (s *Server) recordsPage(w http.ResponseWriter, r *http.Request, status int, back returned) error {
	m, err := actual.ParseMonth(r.PathValue("month"))
	if err != nil {
		return notFound("month")
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	part := store.Span{From: fromOf(r.URL.Query()), Most: pageSize}
	found, n, err := s.store(r).ActualsPage(r.Context(), m.First(), m.Last(), part)
	if err != nil {
		return err
	}
	j, err := s.Desk.Journal(r.Context(), s.store(r), found, m)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	at := "/records/" + m.String()
	name := words.month(m)
	body := page.Records{
		Places: monthPlaces("/records"), Title: "Records of " + name, Pick: s.monthPick(words, "/records", month.Span{From: m.First(), To: m.Last()}, false),
		Lead: "What the month really cost, and what it was to bring. The report sets one against the other.",
	}
	for _, v := range j.Sums {
		body.Sums = append(body.Sums, words.sum(v))
	}
	body.Forms = []page.Form{billForm(at, words, actual.OverheadCost, back.of("overhead")), billForm(at, words, actual.EnergyCost, back.of("energy")), planForm(at, words, back.of("plan")), s.wageForm(at, x, words, m, back.of("wage"))}
	body.Journal = journalPart(words, "All that was recorded", "Nothing is recorded in "+name+". Enter a bill above, or what an order took on its own page.", j, pagerIn(part, found.Len(), n, r, at), at)
	return s.showAs(w, r, status, "records", body.Title, body)
}

// sum shows what the entries of a month come to, money as the studio writes it.
func (w words) sum(v Sum) page.Figure {
	f := page.Figure{Label: capital(v.Label), Value: v.Text}
	figure := v.Text
	if v.Margin != "" {
		f.Label, f.Note, figure = "Planned margin", "of "+v.Planned, v.Margin
	}
	var a money.Amount
	if (v.Money || v.Margin != "") && a.UnmarshalText([]byte(figure)) == nil {
		f.Value = w.amount(a)
	}
	return f
}

func billForm(at string, words words, of actual.Cost, a *asking) page.Form {
	f := page.Form{Action: at + "/" + string(of), Guard: true, Folded: true, Unroll: true, Button: "Record the bill"}
	amount := page.Field{Name: "amount", Label: "Paid", Kind: "number", Unit: words.currency.Code(), Help: "Without the tax that you recover."}
	if of == actual.EnergyCost {
		f.Title, f.Lead = "Energy", "Where both are known, a kWh of the month's orders costs what the bill makes it."
		f.Fields = []page.Field{a.field(page.Field{Name: "kwh", Label: "Used", Kind: "number", Unit: "kWh"}), a.field(amount)}
	} else {
		f.Title, f.Lead = "Overhead", "A bill of the month: rent, insurance, telephone. The bills add up."
		amount.Required = true
		f.Fields = []page.Field{a.field(amount)}
	}
	f.Fields = append(f.Fields, a.field(page.Field{Name: "note", Label: "What it was for"}))
	f.Faults = a.rest()
	return f
}

func planForm(at string, words words, a *asking) page.Form {
	return page.Form{
		Action: at + "/plan", Title: "Plan of the month", Folded: true, Unroll: true, Lead: "What a later entry says stands instead of what an earlier one said.", Button: "Record the plan", Guard: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "cakes", Label: "Cakes", Kind: "number"}),
			a.field(page.Field{Name: "margin", Label: "Margin of all of them", Kind: "number", Unit: words.currency.Code(), Help: "After the overhead that they carry."}),
			a.field(page.Field{Name: "overhead", Label: "Budget of overhead", Kind: "number", Unit: words.currency.Code()}),
			a.field(page.Field{Name: "hours", Label: "Labour hours it is spread over", Kind: "number", Unit: "h"}),
		}, Faults: a.rest(),
	}
}

func (s *Server) wageForm(at string, x *book.Index, words words, m actual.Month, a *asking) page.Form {
	var list []page.Option
	for _, v := range x.Book.Roles {
		list = append(list, page.Option{Value: string(v.ID), Text: v.Name})
	}
	return page.Form{
		Action: at + "/wage", Title: "Pay", Folded: true, Unroll: true, Lead: "What an hour of a role is really paid, where that differs from what quotes were costed with.", Button: "Record the pay", Guard: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "role", Label: "Role", Kind: "choice", Options: list}),
			a.field(page.Field{Name: "price", Label: "An hour", Kind: "number", Required: true, Unit: words.currency.Code()}),
			a.field(page.Field{Name: "from", Label: "From", Kind: "date", Value: m.First().String()}),
			a.field(page.Field{Name: "until", Label: "Until", Kind: "date", Help: "Empty: until a newer one."}),
			a.field(page.Field{Name: "note", Label: "Note"}),
		}, Faults: a.rest(),
	}
}

// figureBoxes reads figures that may be left out, each fault at its box.
type figureBoxes struct {
	f      form
	cur    money.Currency
	faults record.Faults
}

func (b *figureBoxes) money(name string) (m record.Maybe[money.Amount]) {
	if text := b.f.price(name); text != "" {
		amount, err := moneyIn(b.cur, text)
		if err != nil {
			b.faults.Add(name, "%s", err)
			return m
		}
		return record.Some(amount)
	}
	return m
}

func (b *figureBoxes) figure(name string) (m record.Maybe[measure.Figure]) {
	text := b.f.figure(name)
	if text == "" {
		return m
	}
	if err := m.Value.UnmarshalText([]byte(text)); err != nil {
		b.faults.Add(name, "%s", err)
		return m
	}
	if m.Value.Number().IsZero() {
		b.faults.Add(name, "0 says nothing; leave it empty, or enter how much it was")
		return m
	}
	m.Given = true
	return m
}

func (b *figureBoxes) day(name string) (d day.Date) {
	if text := b.f.get(name); text != "" {
		var err error
		if d, err = day.Parse(text); err != nil {
			b.faults.Add(name, "%s", err)
		}
	}
	return d
}

// monthForm reads the form of a month.
func (s *Server) monthForm(r *http.Request) (*figureBoxes, *book.Index, actual.Month, error) {
	m, err := actual.ParseMonth(r.PathValue("month"))
	if err != nil {
		return nil, nil, m, notFound("month")
	}
	f, err := readForm(r)
	if err != nil {
		return nil, nil, m, err
	}
	x, err := s.book(r)
	if err != nil {
		return nil, nil, m, err
	}
	return &figureBoxes{f: f, cur: x.Book.Studio.Currency}, x, m, nil
}

// keepMonth records entries of a month, or shows their form again.
func (s *Server) keepMonth(w http.ResponseWriter, r *http.Request, name string, m actual.Month, b *figureBoxes, entries actual.Records) error {
	var kept Kept
	var err error
	if len(b.faults) == 0 {
		kept, err = s.Desk.Record(r.Context(), s.store(r), entries, nil)
		if refusedInput(err) {
			b.faults = unplaced(err)
		} else if err != nil {
			return err
		}
	}
	if len(b.faults) > 0 {
		return s.recordsPage(w, r, http.StatusUnprocessableEntity, returned{name, b.f.values, b.faults})
	}
	return s.recorded(w, r, "/records/"+m.String(), kept)
}

func (s *Server) recordBill(of actual.Cost) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		b, _, m, err := s.monthForm(r)
		if err != nil {
			return err
		}
		bill := actual.Bill{Head: actual.Head{On: s.today(), Note: b.f.get("note")}, Month: m, Of: of, Amount: b.money("amount")}
		if of == actual.EnergyCost {
			bill.KWh = b.figure("kwh")
		}
		if len(b.faults) == 0 && !bill.Amount.Given && !bill.KWh.Given {
			b.faults.Add("amount", "the bill says nothing; enter what was paid")
		}
		return s.keepMonth(w, r, string(of), m, b, actual.Records{Bills: []actual.Bill{bill}})
	}
}

func (s *Server) recordPlan(w http.ResponseWriter, r *http.Request) error {
	b, _, m, err := s.monthForm(r)
	if err != nil {
		return err
	}
	p := actual.Plan{Head: actual.Head{On: s.today(), Note: b.f.get("note")}, Month: m, Margin: b.money("margin"), Overhead: b.money("overhead"), Hours: b.figure("hours")}
	if text := b.f.get("cakes"); text != "" {
		n, is := wholeNumber(text).(int)
		if !is || n < 1 || n > 100_000 {
			b.faults.Add("cakes", "%s is no number of cakes; plan at least one, and no more than anyone bakes in a month", fmt.Sprintf("%.20q", text))
		}
		p.Cakes = record.Some(n)
	}
	switch {
	case len(b.faults) > 0:
	case p.Cakes.Given && !p.Margin.Given:
		b.faults.Add("margin", "the margin is that of so many cakes; enter both, or neither")
	case p.Margin.Given && !p.Cakes.Given:
		b.faults.Add("cakes", "the margin is that of so many cakes; enter both, or neither")
	case !p.Cakes.Given && !p.Overhead.Given && !p.Hours.Given:
		b.faults.Add("cakes", "the plan says nothing; enter cakes and their margin, or the overhead")
	}
	return s.keepMonth(w, r, "plan", m, b, actual.Records{Plans: []actual.Plan{p}})
}

func (s *Server) recordWage(w http.ResponseWriter, r *http.Request) error {
	b, x, m, err := s.monthForm(r)
	if err != nil {
		return err
	}
	price, err := money.ParsePrice(b.f.price("price"))
	if err != nil {
		b.faults.Add("price", "%s", err)
	}
	from, until := b.day("from"), b.day("until")
	var e actual.Wage
	if len(b.faults) == 0 {
		if e, err = actual.NewDesk(x, s.today()).Wage(book.ID(b.f.get("role")), price, from, until, b.f.get("note")); err != nil {
			b.faults = unplaced(err)
		}
	}
	return s.keepMonth(w, r, "wage", m, b, actual.Records{Wages: []actual.Wage{e}})
}
