package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

func (m *routes) actualPages() {
	m.get("/orders/{number}/actuals", m.s.showActuals)
	m.post("/orders/{number}/actuals/work", m.s.recordWork)
	m.post("/orders/{number}/actuals/goods", m.s.recordGoods)
	m.post("/orders/{number}/actuals/charge", m.s.recordCharge)
	m.post("/orders/{number}/actuals/clock", m.s.startClock)
}

func (s *Server) showActuals(w http.ResponseWriter, r *http.Request) error {
	return s.actualsPage(w, r, http.StatusOK, returned{})
}

// actualsAt is the address of an order's record.
func actualsAt(number string) string { return "/orders/" + number + "/actuals" }

// actualsPage shows an order as planned and as it went, and the forms to record
// more; one of them as it came back.
func (s *Server) actualsPage(w http.ResponseWriter, r *http.Request, status int, back returned) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	o, err := s.store(r).Order(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	is, err := s.Desk.Actuals(r.Context(), s.store(r), o)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	h := o.Quote.Offer.Heading
	at := actualsAt(o.Quote.Number)
	name := "What " + o.Quote.Number + " really took"
	body := page.Actuals{
		Places: monthPlaces(""), Title: "What the order really took",
		Lead: fmt.Sprintf("%s for %s, %s. All of it is optional: where nothing is recorded the plan of the quote stands in.", o.Quote.Number, h.Client.Name, words.locale.LongDate(h.EventDate)),
	}
	if !o.CancelledOn.IsZero() {
		body.Warning = fmt.Sprintf("It was called off on %s for a fee of %s; nothing is planned any more, so only what was recorded counts.", words.day(o.CancelledOn), words.amount(o.Fee))
	}
	if body.Clocks, err = s.clocks(r, x, at, o.Quote.Number); err != nil {
		return err
	}
	body.Clocks.Start = s.startForm(x, o, back.of("clock"))
	real := page.Figure{Label: "Margin as it went", Value: words.amount(is.Actual), Note: words.shares(is), Strong: true}
	if is.Actual.Cmp(is.Planned) < 0 {
		real.Tone = "bad"
	}
	body.Figures = []page.Figure{{Label: "Margin as quoted", Value: words.amount(is.Planned)}}
	var steps []bridgeStep
	for _, step := range is.Steps {
		steps = append(steps, bridgeStep{step.Label, step.Amount})
		if step.Recorded || !step.Amount.IsZero() {
			body.Figures = append(body.Figures, page.Figure{Label: capital(step.Label), Value: words.signed(step.Amount), Tone: toneOf(step.Amount)})
		}
	}
	body.Figures = append(body.Figures, real)
	if slices.ContainsFunc(steps, func(b bridgeStep) bool { return !b.amount.IsZero() }) {
		body.Bridge = page.Block{ID: "drawn", Title: "What moved it"}
		if body.Bridge.Plot.SVG, err = drawn(bridgePlot(words, "margin as quoted", is.Planned, steps, "margin as it went", is.Actual)); err != nil {
			return err
		}
	}
	body.Lines = page.Block{ID: "lines", Title: "Standard against actual", Table: actualLines(words, is.Lines, true), None: "Nothing is recorded of what this order took."}
	body.Lines.Short = len(body.Lines.Table.Rows) > 0
	planned := actualLines(words, is.Lines, false)
	body.Planned = page.Block{ID: "planned", Title: fmt.Sprintf("As planned, as far as is recorded: %d", len(planned.Rows)), Table: planned, Closed: true}
	body.Forms = []page.Form{s.workForm(x, o, back.of("work")), s.goodsForm(x, o, back.of("goods")), chargeForm(words, o, back.of("charge"))}
	body.Files = []page.Link{{Text: "All of it from a file (JSON)", Href: "/records/file"}}
	body.Journal = journal(words, "Journal of this order", "Nothing is recorded of this order yet. Start a clock above, or write down what it took.", is.Journal, r.URL.Query(), at)
	return s.showAs(w, r, status, "actuals", name, body, page.Link{Text: "Clock", Href: "/clock"}, page.Link{Text: o.Quote.Number, Href: "/quotes/" + o.Quote.Number}, page.Link{Text: "What it took", Current: true})
}

// shares says what part of the net price the margin was, and was to be.
func (w words) shares(is Actuals) string {
	text := ""
	if is.MarginIs.Given {
		text = w.percent(is.MarginIs.Value)
		if is.MarginWas.Given {
			text += ", planned " + w.percent(is.MarginWas.Value)
		}
	}
	return text
}

// actualLines are the lines of which something is recorded, or the others.
func actualLines(words words, lines []ActualLine, recorded bool) page.Table {
	t := page.Table{Caption: "Standard against actual", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Planned", Right: true}, {Text: "Took", Right: true}, {Text: "Planned at, " + words.currency.Code(), Right: true}, {Text: "Paid, " + words.currency.Code(), Right: true}, {Text: "To the margin", Right: true, Key: true}}}
	planned := func(text string) page.Cell {
		if text == "" {
			return page.Cell{Text: "as planned", Tone: "quiet"}
		}
		return page.Cell{Text: text}
	}
	for _, l := range lines {
		if l.Recorded != recorded {
			continue
		}
		difference := page.Cell{}
		if l.Recorded {
			difference = page.Cell{Text: words.signed(l.Difference), Tone: toneOf(l.Difference)}
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: l.Name}, {Text: l.Planned}, planned(l.Took), {Text: l.PlannedAt}, planned(l.Paid), difference}})
	}
	return t
}

// roleOptions are the roles of the book, those that an order plans first.
func roleOptions(x *book.Index, o quote.Order) (list []page.Option) {
	planned := func(id book.ID) bool {
		return slices.ContainsFunc(o.Quote.Basis.Rates, func(r quote.Rate) bool { return r.ID == id && r.Kind == pricing.Role.String() })
	}
	for _, first := range []bool{true, false} {
		for _, v := range x.Book.Roles {
			if planned(v.ID) == first {
				list = append(list, page.Option{Value: string(v.ID), Text: v.Name})
			}
		}
	}
	return list
}

// taskOptions are the tasks that the book names.
func (s *Server) taskOptions(x *book.Index) (list []page.Option) {
	desk := actual.NewDesk(x, s.today())
	known := map[string]bool{}
	for _, v := range x.Book.Roles {
		for _, task := range desk.Tasks(v.ID) {
			if !known[task] {
				known[task] = true
				list = append(list, page.Option{Value: task})
			}
		}
	}
	return list
}

// wayOptions are how work stands to the plan.
func wayOptions() []page.Option {
	return []page.Option{
		{Value: string(actual.Worked), Text: "Instead of the planned time"}, {Value: string(actual.Longer), Text: "On top of the planned time"}, {Value: string(actual.Idle), Text: "Paid and not worked"},
	}
}

func (s *Server) workForm(x *book.Index, o quote.Order, a *asking) page.Form {
	return page.Form{
		Action: actualsAt(o.Quote.Number) + "/work", Title: "Work", Folded: true, Unroll: true, Lead: "Entries of one role add up, and stand instead of the minutes that the quote planned for it.", Button: "Record the work", Guard: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "work[0].role", Label: "Who by role", Kind: "choice", Options: roleOptions(x, o)}),
			a.field(page.Field{Name: "work[0].time", Label: "Time", Required: true, Help: "95, 1:35 or 1 h 35 min."}),
			a.field(page.Field{Name: "work[0].as", Label: "Counts", Kind: "choice", Value: string(actual.Worked), Options: wayOptions()}),
			a.field(page.Field{Name: "work[0].task", Label: "Task", Options: s.taskOptions(x)}),
			a.field(page.Field{Name: "work[0].who", Label: "Name"}),
			a.field(page.Field{Name: "work[0].on", Label: "Day", Kind: "date", Value: s.today().String()}),
			a.field(page.Field{Name: "work[0].note", Label: "Note", Wide: true}),
		}, Faults: a.rest(),
	}
}

// The ways of goods, as a form asks for them.
var goodsWays = []page.Option{
	{Value: "used", Text: "All that was used, instead of the plan"}, {Value: "more", Text: "Used on top of the plan"}, {Value: "wasted", Text: "Thrown away"},
}

func (s *Server) goodsForm(x *book.Index, o quote.Order, a *asking) page.Form {
	way := goodsWays[0].Value
	return page.Form{
		Action: actualsAt(o.Quote.Number) + "/goods", Title: "Use and waste", Folded: true, Unroll: true, Lead: "As purchased, before peeling or hulling. A recipe such as a curd counts as what it is made of.", Button: "Record it", Guard: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "goods[0].use", Label: "What", Required: true, Options: goodsOptions(x.Book)}),
			a.field(page.Field{Name: "goods[0].qty", Label: "How much", Required: true, Help: "1.2 kg, 2 each, 0 m."}),
			a.field(page.Field{Name: "way", Label: "Counts as", Kind: "choice", Value: way, Options: slices.Clone(goodsWays)}),
			a.field(page.Field{Name: "goods[0].on", Label: "Day", Kind: "date", Value: s.today().String()}),
			a.field(page.Field{Name: "goods[0].why", Label: "Why", Wide: true}),
		}, Faults: a.rest(),
	}
}

// goodsOptions is everything that can be used or thrown away, by name.
func goodsOptions(b book.Book) (list []page.Option) {
	for _, v := range b.Ingredients {
		list = append(list, page.Option{Value: v.Name})
	}
	for _, v := range b.Components {
		list = append(list, page.Option{Value: v.Name})
	}
	return list
}

// goodsID finds what somebody means, by its name or its id.
func goodsID(b book.Book, said string) (string, error) {
	var near []string
	try := func(id book.ID, name string) bool {
		if len(said) > 2 && strings.Contains(strings.ToLower(name), strings.ToLower(said)) {
			near = append(near, name)
		}
		return strings.EqualFold(name, said) || string(id) == said
	}
	for _, v := range b.Ingredients {
		if try(v.ID, v.Name) {
			return string(v.ID), nil
		}
	}
	for _, v := range b.Components {
		if try(v.ID, v.Name) {
			return string(v.ID), nil
		}
	}
	const most = 4
	switch {
	case len(near) == 0:
		return "", fmt.Errorf("nothing of the book is called %.60q; choose from what is offered while you type", said)
	case len(near) > most:
		near = append(near[:most], "…")
	}
	return "", fmt.Errorf("nothing of the book is called %.60q. Perhaps %s", said, strings.Join(near, "; "))
}

func chargeForm(words words, o quote.Order, a *asking) page.Form {
	return page.Form{
		Action: actualsAt(o.Quote.Number) + "/charge", Title: "Let off or charged on top", Folded: true, Unroll: true, Button: "Record it", Guard: true,
		Lead: fmt.Sprintf("Of the total of %s, tax included. What the client owes does not change by it: revise the quote for that.", words.amount(o.Quote.Offer.Total)),
		Fields: []page.Field{
			a.field(page.Field{Name: "which", Label: "The client was", Kind: "choice", Value: "less", Options: []page.Option{{Value: "less", Text: "let off"}, {Value: "more", Text: "charged on top"}}}),
			a.field(page.Field{Name: "amount", Label: "Amount", Kind: "number", Required: true, Unit: words.currency.Code()}),
			a.field(page.Field{Name: "on", Label: "Day", Kind: "date", Help: "Empty: today."}),
			a.field(page.Field{Name: "note", Label: "Why"}),
		}, Faults: a.rest(),
	}
}

// order finds the order of a form, with the book and what was typed.
func (s *Server) orderForm(r *http.Request) (form, *book.Index, quote.Order, error) {
	f, err := readForm(r)
	if err != nil {
		return f, nil, quote.Order{}, err
	}
	x, err := s.book(r)
	if err != nil {
		return f, nil, quote.Order{}, err
	}
	o, err := s.store(r).Order(r.Context(), r.PathValue("number"))
	return f, x, o, err
}

func (s *Server) recordWork(w http.ResponseWriter, r *http.Request) error {
	f, x, o, err := s.orderForm(r)
	if err != nil {
		return err
	}
	typed, rows := gathered(f, "work", "role", "time", "task", "who", "as", "on", "note")
	return s.recordSheet(w, r, x, o, "work", returned{"work", typed, nil}, rows)
}

func (s *Server) recordGoods(w http.ResponseWriter, r *http.Request) error {
	f, x, o, err := s.orderForm(r)
	if err != nil {
		return err
	}
	way := f.get("way")
	if !slices.ContainsFunc(goodsWays, func(v page.Option) bool { return v.Value == way }) {
		return wrong("The form says %q of goods; it knows used, more and wasted.", way)
	}
	typed, rows := gathered(f, "goods", "use", "qty", "on", "why")
	var unknown record.Faults
	for i, row := range rows {
		line := row.(map[string]any)
		if text, ok := line["use"].(string); ok {
			if line["use"], err = goodsID(x.Book, text); err != nil {
				unknown.Add(record.Item("goods", i)+".use", "%s", err)
			}
		}
		if text, ok := line["qty"].(string); ok {
			line["qty"] = amountText(text)
		}
	}
	if len(unknown) > 0 {
		return s.actualsPage(w, r, http.StatusUnprocessableEntity, returned{"goods", typed, unknown})
	}
	return s.recordSheet(w, r, x, o, way, returned{"goods", typed, nil}, rows)
}

// recordSheet records rows of an order as lines of a sheet, or shows their form
// again with every fault at its box.
func (s *Server) recordSheet(w http.ResponseWriter, r *http.Request, x *book.Index, o quote.Order, list string, back returned, rows []any) error {
	if len(rows) == 0 {
		rows = []any{map[string]any{}}
	}
	entries, err := func() (actual.Records, error) {
		sheet, err := sheetLines(o.Quote.Number, list, rows)
		if err != nil {
			return actual.Records{}, err
		}
		return actual.NewDesk(x, s.today()).Read(sheet, o)
	}()
	var kept Kept
	if err == nil {
		kept, err = s.Desk.Record(r.Context(), s.store(r), entries, &o)
	}
	if refusedInput(err) {
		back.faults = atBoxes(unplaced(err), list, back.which)
		return s.actualsPage(w, r, http.StatusUnprocessableEntity, back)
	}
	if err != nil {
		return err
	}
	return s.recorded(w, r, actualsAt(o.Quote.Number), kept)
}

// atBoxes gives faults of a list of a sheet the paths of the boxes of a form.
func atBoxes(faults record.Faults, list, as string) record.Faults {
	own := make(record.Faults, len(faults))
	for i, f := range faults {
		if rest, ok := strings.CutPrefix(f.Path, list+"["); ok {
			f.Path = as + "[" + rest
		}
		own[i] = f
	}
	return own
}

func (s *Server) recordCharge(w http.ResponseWriter, r *http.Request) error {
	f, x, o, err := s.orderForm(r)
	if err != nil {
		return err
	}
	again := func(path string, err error) error {
		faults := unplaced(err)
		if path != "" {
			faults = record.Faults{{Path: path, Problem: err.Error()}}
		}
		return s.actualsPage(w, r, http.StatusUnprocessableEntity, returned{"charge", f.values, faults})
	}
	amount, err := moneyIn(x.Book.Studio.Currency, f.price("amount"))
	less := f.get("which") != "more"
	switch {
	case err != nil:
		return again("amount", err)
	case less && amount.Cmp(o.Quote.Offer.Total) > 0:
		return again("amount", fmt.Errorf("that is more than the total, %s; nobody can be let off more", o.Quote.Offer.Total))
	case less:
		amount = amount.Neg()
	}
	on, err := dayOr(f.get("on"), s.today())
	if err != nil {
		return again("on", err)
	}
	if on.After(s.today()) {
		return again("on", fmt.Errorf("%s is still to come; record it once it has happened", on))
	}
	c := actual.Charge{Head: actual.Head{On: on, Note: f.get("note")}, Order: o.Quote.Number, Amount: amount}
	kept, err := s.Desk.Record(r.Context(), s.store(r), actual.Records{Charges: []actual.Charge{c}}, &o)
	if refusedInput(err) {
		return again("", err)
	}
	if err != nil {
		return err
	}
	return s.recorded(w, r, actualsAt(o.Quote.Number), kept)
}

// moneyIn reads money above 0.
func moneyIn(cur money.Currency, text string) (money.Amount, error) {
	a, err := amountIn(cur, text)
	if err == nil && a.IsZero() {
		err = errors.New("0 says nothing; enter how much it was")
	}
	return a, err
}

// recordable are the orders of which somebody may want to record something: those
// around a day.
func recordable(orders []quote.Order, today day.Date) []quote.Order {
	list := slices.DeleteFunc(slices.Clone(orders), func(o quote.Order) bool { return !o.CancelledOn.IsZero() })
	slices.SortStableFunc(list, func(a, b quote.Order) int {
		return nearness(a, today) - nearness(b, today)
	})
	return list
}

func nearness(o quote.Order, today day.Date) int {
	n := today.DaysUntil(o.Quote.Offer.EventDate)
	if n < 0 {
		return -n
	}
	return n
}
