package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

func (m *routes) monthPages() {
	m.section(section{name: "Month", path: "/month", key: "m", also: []string{"/records", "/purchases", "/shopping", "/kitchen", "/clock"}})
	m.get("/month", m.s.pickMonth)
	m.get("/month/{span}", m.s.showMonth)
	m.get("/month/{span}/{paper}", m.s.monthPaper)
	m.recordPages()
	m.purchasePages()
	m.shoppingPages()
	m.kitchenPages()
	m.hoursPages()
	m.actualPages()
	m.clockPages()
}

// monthPlaces are the parts of the section; here is the one that is shown.
func monthPlaces(here string) []page.Link {
	list := []page.Link{
		{Text: "Report", Href: "/month"}, {Text: "Records", Href: "/records"}, {Text: "Purchases", Href: "/purchases"}, {Text: "Shopping", Href: "/shopping"},
		{Text: "Kitchen", Href: "/kitchen"}, {Text: "Hours", Href: "/kitchen/hours"}, {Text: "Clock", Href: "/clock"},
	}
	for i := range list {
		list[i].Current = list[i].Href == here
	}
	return list
}

// spanOf reads a month, a year, or days: 2026-10, 2026, 2026-10-05..2026-10-11.
func spanOf(text string) (month.Span, error) {
	first, last, days := strings.Cut(text, "..")
	if !days {
		return month.ParseSpan(strings.TrimSpace(text))
	}
	// Whole months may stand for their days: 2026-10..2026-12.
	end := func(text string, of func(month.Span) day.Date) (day.Date, error) {
		text = strings.TrimSpace(text)
		if v, err := month.ParseSpan(text); err == nil {
			return of(v), nil
		}
		return day.Parse(text)
	}
	from, err := end(first, func(v month.Span) day.Date { return v.From })
	if err != nil {
		return month.Span{}, err
	}
	to, err := end(last, func(v month.Span) day.Date { return v.To })
	if err != nil {
		return month.Span{}, err
	}
	if to.Before(from) || from.DaysUntil(to) > longestSpan {
		return month.Span{}, fmt.Errorf("%s is no span of days; name an earlier day and then a later one, within three years", text)
	}
	return month.Span{From: from, To: to}, nil
}

// longestSpan is how many days a report spans at most.
const longestSpan = 3 * 366

// pathOf is how a span stands in an address.
func pathOf(v month.Span) string { return strings.ReplaceAll(v.String(), " to ", "..") }

// pickMonth goes to the month that is asked for, or to this one.
func (s *Server) pickMonth(w http.ResponseWriter, r *http.Request) error {
	if q := r.URL.Query(); q.Has("from") || q.Has("to") {
		span, faults := readReported(q)
		if len(faults) > 0 { // beside its boxes, above the report of this month
			this := actual.MonthOf(s.today())
			p, err := s.monthPage(r, month.Span{From: this.First(), To: this.Last()})
			if err != nil {
				return err
			}
			return s.showAs(w, r, http.StatusUnprocessableEntity, "month", p.title, p.body, p.crumbs...)
		}
		http.Redirect(w, r, "/month/"+pathOf(span), http.StatusSeeOther)
		return nil
	}
	return s.toMonth(w, r, "/month", r.URL.Query().Get("of"))
}

func (s *Server) toMonth(w http.ResponseWriter, r *http.Request, under, text string) error {
	if strings.TrimSpace(text) == "" {
		text = actual.MonthOf(s.today()).String()
	}
	span, err := spanOf(monthInFigures(text))
	if err != nil {
		return wrong("%s Go back and write it so.", sentence(err.Error()))
	}
	http.Redirect(w, r, under+"/"+pathOf(span), http.StatusSeeOther)
	return nil
}

// monthInFigures writes "October 2026" as 2026-10, which is what addresses say.
// Anything else stays as it is.
func monthInFigures(text string) string {
	name, year, two := strings.Cut(strings.TrimSpace(text), " ")
	if !two || len(name) < len("Oct") {
		return text
	}
	for _, language := range document.Languages() {
		for i, m := range document.MessagesFor(language).Months {
			if len(name) <= len(m) && strings.EqualFold(m[:len(name)], name) {
				return fmt.Sprintf("%s-%02d", strings.TrimSpace(year), i+1)
			}
		}
	}
	return text
}

// month names a month as people do: October 2026.
func (w words) month(m actual.Month) string {
	first := m.First()
	return fmt.Sprint(w.locale.Messages().Months[first.Time().Month()-1], " ", first.Year())
}

// span names a span as people do: October 2026, 2026, or from when to when.
func (w words) span(v month.Span) string {
	months := v.Months()
	switch {
	case len(v.String()) == len("2026"):
		return v.String()
	case len(months) == 1:
		return w.month(months[0])
	case len(months) > 0:
		return w.month(months[0]) + " to " + w.month(months[len(months)-1])
	}
	return w.day(v.From) + " to " + w.day(v.To)
}

// spanCalled names a span that a report calls 2026-10.
func (w words) spanCalled(text string) string {
	if v, err := spanOf(strings.Replace(text, " to ", "..", 1)); err == nil {
		return w.span(v)
	}
	return text
}

// monthPick leads to the months beside a span, and to any other.
func (s *Server) monthPick(words words, under string, span month.Span, years bool) page.MonthPick {
	link := func(v month.Span) *page.Link { return &page.Link{Text: words.span(v), Href: under + "/" + pathOf(v)} }
	p := page.MonthPick{Before: link(span.Before())}
	after := month.Span{From: span.To.AddDays(1), To: span.To.AddDays(1 + span.From.DaysUntil(span.To))}
	if months := span.Months(); months != nil {
		m := actual.MonthOf(after.From)
		for range len(months) - 1 {
			m = m.Next()
		}
		after.To = m.Last()
	}
	p.After = link(after)
	f := page.Field{Name: "of", Label: "Month"}
	if len(span.Months()) > 0 { // else other boxes say which days
		f.Value = words.span(span)
	}
	if years {
		f.Label = "Month or year"
	}
	today := s.today()
	m := actual.MonthOf(today)
	for range 24 {
		f.Options = append(f.Options, page.Option{Value: words.span(month.Span{From: m.First(), To: m.Last()})})
		m = actual.MonthOf(m.First().AddDays(-1))
	}
	for i := range 3 {
		if years {
			f.Options = append(f.Options, page.Option{Value: fmt.Sprint(today.Year() - i)})
		}
	}
	p.Form = page.Form{Action: under, Button: "Show", Fields: []page.Field{f}}
	return p
}

// readReported reads the first and the last day of a report.
func readReported(q url.Values) (month.Span, record.Faults) {
	var faults record.Faults
	for _, name := range []string{"from", "to"} {
		if strings.TrimSpace(q.Get(name)) == "" {
			faults.Add(name, record.Missing)
		}
	}
	if len(faults) > 0 {
		return month.Span{}, faults
	}
	from, to, faults := readDays(q, day.Date{}, func(from day.Date) day.Date { return from })
	if len(faults) == 0 && from.DaysUntil(to) > longestSpan {
		faults.Add("to", "that is more than three years; name fewer days")
	}
	return month.Span{From: from, To: to}, faults
}

// spanForm asks for the days of a report, where it is to be neither of a month
// nor of a year.
func spanForm(words words, q url.Values, span month.Span) page.Form {
	var faults record.Faults
	if q.Has("from") || q.Has("to") {
		_, faults = readReported(q)
	}
	var typed url.Values
	if len(faults) > 0 {
		typed = q
	}
	a := ask(typed, words.allDated(faults))
	return page.Form{Title: "From one day to another", Action: "/month", Button: "Report these days", Fields: []page.Field{
		a.field(page.Field{Name: "from", Label: "First day", Kind: "date", Value: span.From.String()}),
		a.field(page.Field{Name: "to", Label: "Last day", Kind: "date", Value: span.To.String()}),
	}}
}

// report makes a report, once until something is written that bears on it.
func (s *Server) report(r *http.Request, span month.Span) (month.Report, error) {
	today := s.today()
	return rememberedOf(r, onQuotes|onJournal, "month "+span.String()+" "+today.String(), func() (month.Report, error) {
		return s.Desk.Report(r.Context(), s.store(r), span, today)
	})
}

func (s *Server) showMonth(w http.ResponseWriter, r *http.Request) error {
	span, err := spanOf(r.PathValue("span"))
	if err != nil {
		return notFound("month")
	}
	return s.showKept(w, r, onQuotes|onJournal, "month", func() (shown, error) { return s.monthPage(r, span) })
}

func (s *Server) monthPage(r *http.Request, span month.Span) (shown, error) {
	x, err := s.book(r)
	if err != nil {
		return shown{}, err
	}
	report, err := s.report(r, span)
	if err != nil {
		return shown{}, err
	}
	words := wordsOf(x.Book.Studio)
	days := spanForm(words, r.URL.Query(), span)
	paper := document.BriefMonth(report, x.Book.Studio)
	body := page.Month{Places: monthPlaces("/month"), Title: paper.Span, Pick: s.monthPick(words, "/month", span, true)}
	body.Pick.Days, body.Pick.DaysOpen = &days, days.Count() > 0 || len(span.Months()) == 0
	if report.Empty() {
		when := "in " + paper.Span
		if len(span.Months()) == 0 {
			when = "from " + paper.Span
		}
		body.Empty = &page.Empty{
			Title: "Nothing happened " + when, Actions: []page.Link{{Text: "See the orders", Href: "/orders"}},
			Text: "An order counts in the month of its event, a quote in the month in which it was issued or decided. Pick another month above, or accept a quote.",
		}
		return shown{http.StatusOK, paper.Span, body, nil}, nil
	}
	at := "/month/" + pathOf(span)
	body.Lead = "Money is without tax unless it says otherwise."
	body.Papers = []page.Link{{Text: "Spreadsheet (XLSX)", Href: at + "/report.xlsx"}, {Text: "For the book-keeper (PDF)", Href: at + "/report.pdf"}, {Text: "Figures (JSON)", Href: at + "/report.json"}}
	body.Key = keyFigures(words, report, paper.Key)
	if body.Beside, err = besideBlock(words, report); err != nil {
		return shown{}, err
	}
	if body.Blocks, err = monthBlocks(words, r.URL.Query(), at, report, paper); err != nil {
		return shown{}, err
	}
	body.Notes = paper.Notes
	return shown{http.StatusOK, paper.Span, body, nil}, nil
}

// monthPaper is a report to save: /month/2026-10/report.pdf.
func (s *Server) monthPaper(w http.ResponseWriter, r *http.Request) error {
	span, err := spanOf(r.PathValue("span"))
	ending, named := strings.CutPrefix(r.PathValue("paper"), "report")
	if err != nil || !named {
		return notFound("paper")
	}
	return s.reportPaper(w, r, span, ending)
}

func (s *Server) reportPaper(w http.ResponseWriter, r *http.Request, span month.Span, ending string) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	report, err := s.report(r, span)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := s.Desk.ReportPaper(&b, ending, x.Book.Studio, report); err != nil {
		return err
	}
	return s.save(w, r, "report-"+pathOf(span)+ending, b.Bytes())
}

// kinds of papers by the ending of their names.
var paperKinds = map[string]string{
	".pdf": "application/pdf", ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	".svg": "image/svg+xml", ".png": "image/png", ".csv": "text/csv; charset=utf-8", ".ics": "text/calendar; charset=utf-8", ".json": "application/json",
}

// save sends a paper: a PDF to be seen, anything else to be saved.
func (s *Server) save(w http.ResponseWriter, r *http.Request, name string, data []byte) error {
	how := "attachment"
	ending := path.Ext(name)
	if ending == ".pdf" {
		how = "inline"
		w.Header().Set("Content-Security-Policy", paperPolicy)
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf("%s; filename=%q", how, name))
	return send(w, r, http.StatusOK, paperKinds[ending], data)
}

// keyFigures are the figures of the first page, each beside those of the span
// before and of the year before.
func keyFigures(words words, r month.Report, paper document.MonthTable) page.Table {
	t := page.Table{Caption: "Key figures", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: unbroken(words.spanCalled(r.Title)), Right: true, Key: true}}}
	if r.Before != "" {
		t.Heads = append(t.Heads, page.Head{Text: unbroken(words.spanCalled(r.Before)), Right: true}, page.Head{Text: "Change", Right: true, Plain: true})
	}
	for _, row := range paper.Rows {
		if row[1] == "" {
			continue
		}
		of := month.KeyFigure{}
		if i := slices.IndexFunc(r.Key, func(k month.KeyFigure) bool { return k.Label == row[0] }); i >= 0 {
			of = r.Key[i]
		}
		now := page.Cell{Text: minus(row[1])}
		if of.Name == month.KeyOverdue && of.Now.Given && of.Now.Value.Sign() > 0 {
			now.Tone = "bad"
		}
		cells := []page.Cell{{Text: capital(row[0])}, now}
		if r.Before != "" {
			before, change := page.Cell{Text: minus(row[2])}, page.Cell{Text: minus(row[3])}
			if row[5] != "" {
				// Where there is no change since, there was nothing a year ago.
				before.Note = minus(row[4]) + " a year before, " + minus(row[5])
			}
			cells = append(cells, before, change)
		}
		out := page.Row{Cells: cells}
		if of.Name == month.KeyNet || of.Name == month.KeyMargin {
			out.Tone = "strong"
		}
		t.Rows = append(t.Rows, out)
	}
	return t
}
