package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) clockPages() {
	m.get("/clock", m.s.showClock)
	m.get("/clock/stop", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.stopPage(w, r, http.StatusOK, r.URL.Query(), ask(nil, nil))
	})
	m.post("/clock/stop", m.s.stopClock)
}

// The clock page lists orders with an event in the last weeks and the next ones.
const (
	recordBack  = 35
	recordAhead = 35
)

func (s *Server) showClock(w http.ResponseWriter, r *http.Request) error {
	return s.clockPage(w, r, http.StatusOK, returned{})
}

func (s *Server) clockPage(w http.ResponseWriter, r *http.Request, status int, back returned) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words, today := wordsOf(x.Book.Studio), s.today()
	body := page.OrdersToRecord{
		Places: monthPlaces("/clock"), Lead: "Start a clock when work on an order begins and stop it when it ends. It goes on while this page is closed and the machine is off.",
		None: "No order has its event in these weeks. Accepted quotes are orders.",
	}
	if body.Clocks, err = s.clocksAs(r, x, "/clock", "", back); err != nil {
		return err
	}
	body.Clocks.None = "No clock runs. Choose an order below to start one."
	orders, err := s.store(r).Orders(r.Context(), today.AddDays(-recordBack), today.AddDays(recordAhead))
	if err != nil {
		return err
	}
	body.Orders = page.Table{Caption: "Orders to record", Brief: true, Heads: []page.Head{{Text: "Order"}, {Text: "Event", Plain: true}, {Text: "When", Key: true}}}
	for _, o := range recordable(orders, today) {
		h := o.Quote.Offer.Heading
		when := inDays(today.DaysUntil(h.EventDate))
		if h.EventDate.Before(today) {
			when = plural(h.EventDate.DaysUntil(today), "day", "days") + " ago"
		}
		body.Orders.Rows = append(body.Orders.Rows, page.Row{Cells: []page.Cell{{Text: h.Client.Name, Href: actualsAt(o.Quote.Number), Note: o.Quote.Number}, {Text: words.day(h.EventDate)}, {Text: when}}})
		if len(body.Orders.Rows) == pageSize {
			break
		}
	}
	return s.showAs(w, r, status, "clock", "Clocks and records", body)
}

// clocks are those that run, of one order where it is named.
func (s *Server) clocks(r *http.Request, x *book.Index, at, order string) (page.Clocks, error) {
	return s.clocksAs(r, x, at, order, returned{})
}

func (s *Server) clocksAs(r *http.Request, x *book.Index, at, order string, back returned) (page.Clocks, error) {
	var p page.Clocks
	list, err := s.store(r).Clocks(r.Context())
	if err != nil {
		return p, err
	}
	now := s.Now()
	for _, c := range list {
		if order != "" && c.Order != order {
			continue
		}
		started, err := time.Parse(time.RFC3339, c.Started)
		if err != nil {
			return p, fmt.Errorf("the clock of %s: %w", c.Who, err)
		}
		seconds := int64(now.Sub(started) / time.Second)
		since := started.In(now.Location())
		who := c.Who
		if v, ok := x.Role(c.Role); ok {
			who = v.Name
			if c.Who != string(c.Role) {
				who = c.Who + ", " + v.Name
			}
		}
		clock := page.Clock{Text: fmt.Sprintf("%s: %s", who, actual.InHours(actual.Measured(seconds))), Stop: "/clock/stop", Who: c.Who, Back: at, More: "/clock/stop?who=" + escapeQuery(c.Who) + "&back=" + escapeQuery(at), Note: "since " + since.Format("15:04")}
		if since.Format(time.DateOnly) != now.Format(time.DateOnly) {
			clock.Note = "since " + since.Format("2006-01-02 15:04")
		}
		if c.Task != "" {
			clock.Note = c.Task + ", " + clock.Note
		}
		if order == "" {
			clock.Href, clock.Note = actualsAt(c.Order), clock.Note+", for "+c.Order
		}
		if actual.Forgotten(seconds) {
			a := ask(nil, nil)
			if back.which == "stop" && back.typed.Get("who") == c.Who {
				a = ask(back.typed, back.faults)
			}
			clock.Forgotten = &page.Form{Action: "/clock/stop", Lead: "It has run so long that it was forgotten. How long did the work take?", Button: "Stop", Fields: []page.Field{
				a.field(page.Field{Name: "minutes", Label: "Time", Required: true, Help: "95, 1:35 or 1 h 35 min."}),
				{Name: "who", Kind: "hidden", Value: c.Who}, {Name: "back", Kind: "hidden", Value: at},
			}, Faults: a.rest()}
		}
		p.Running = append(p.Running, clock)
	}
	return p, nil
}

// startForm is a big button for each role.
func (s *Server) startForm(x *book.Index, o quote.Order, a *asking) *page.StartClock {
	f := &page.StartClock{Action: actualsAt(o.Quote.Number) + "/clock", Roles: roleOptions(x, o), Fields: []page.Field{
		a.field(page.Field{Name: "task", Label: "Task to time", Options: s.taskOptions(x)}),
		a.field(page.Field{Name: "who", Label: "Whose clock", Help: "Everyone has one at a time, by name or else by role."}),
		a.field(page.Field{Name: "as", Label: "The time counts", Kind: "choice", Value: string(actual.Worked), Options: wayOptions()}),
		a.field(page.Field{Name: "at", Label: "It began at", Help: "8:15, where that was a while ago. Empty: now."}),
	}}
	f.Faults = a.rest()
	return f
}

func (s *Server) startClock(w http.ResponseWriter, r *http.Request) error {
	f, x, o, err := s.orderForm(r)
	if err != nil {
		return err
	}
	line := actual.WorkDone{Role: book.ID(f.get("role")), As: actual.Way(f.get("as")), Task: f.get("task"), Who: f.get("who")}
	st := s.store(r)
	started, err := s.Desk.Moment(f.get("at"))
	if err != nil {
		return s.actualsPage(w, r, http.StatusUnprocessableEntity, returned{"clock", f.values, record.Faults{{Path: "at", Problem: err.Error()}}})
	}
	if started.IsZero() {
		started = s.Now()
	}
	c, err := s.Desk.StartClock(r.Context(), st, line, o, started)
	if refusedInput(err) {
		return s.actualsPage(w, r, http.StatusUnprocessableEntity, returned{"clock", f.values, unplaced(plainWords(err))})
	}
	if err != nil {
		return err
	}
	return s.done(w, r, actualsAt(o.Quote.Number)+"#clock", fmt.Sprintf("The clock of %s runs.", clockOf(x, c.Who, c.Role)), nil)
}

// clockOf is whose clock it is: a name, or what the role is called that has it.
func clockOf(x *book.Index, who string, role book.ID) string {
	if v, ok := x.Role(role); ok && who == string(role) {
		return v.Name
	}
	return who
}

// plainWords takes the names of flags out of what the store says.
func plainWords(err error) error {
	text := err.Error()
	for flag, words := range map[string]string{" with --who": "", " with --at, or how long it took with --minutes": ", or how long it took", "--": ""} {
		text = strings.ReplaceAll(text, flag, words)
	}
	return errors.New(text)
}

// stopPage asks when work ended whose clock still runs.
func (s *Server) stopPage(w http.ResponseWriter, r *http.Request, status int, q url.Values, a *asking) error {
	body := page.Part{Title: "Stop a clock", Lead: "Say when the work ended, or how long it took. With both left empty it ended now.", Forms: []page.Form{{
		Action: "/clock/stop", Button: "Stop and record", Cancel: here(q.Get("back")), Fields: []page.Field{
			a.field(page.Field{Name: "at", Label: "It ended at", Help: "17:30; of another day 2026-11-25 17:30."}),
			a.field(page.Field{Name: "minutes", Label: "or it took", Help: "95, 1:35 or 1 h 35 min."}),
			a.field(page.Field{Name: "note", Label: "Note", Wide: true}),
			{Name: "who", Kind: "hidden", Value: q.Get("who")}, {Name: "back", Kind: "hidden", Value: here(q.Get("back"))}, {Name: "asked", Kind: "hidden", Value: "yes"},
		}, Faults: a.rest(),
	}}}
	if who := q.Get("who"); who != "" {
		body.Title = "Stop the clock of " + who
	}
	return s.showAs(w, r, status, "part", body.Title, body, page.Link{Text: "Clock", Href: "/clock"}, page.Link{Text: "Stop", Current: true})
}

func (s *Server) stopClock(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	to := here(f.get("back"))
	if to == "/" {
		to = "/clock"
	}
	stop := store.Stop{Who: f.get("who"), Drop: f.ticked("drop"), Note: f.get("note")}
	again := func(path string, err error) error {
		if f.ticked("asked") {
			return s.stopPage(w, r, http.StatusUnprocessableEntity, f.values, ask(f.values, record.Faults{{Path: path, Problem: plainWords(err).Error()}}))
		}
		return s.clockPage(w, r, http.StatusUnprocessableEntity, returned{"stop", f.values, record.Faults{{Path: path, Problem: plainWords(err).Error()}}})
	}
	if text := f.get("minutes"); text != "" {
		m, err := actual.ParseMinutes(text)
		if err != nil {
			return again("minutes", err)
		}
		stop.Minutes = record.Some(m.Number())
	}
	if stop.Ended, err = s.Desk.Moment(f.get("at")); err != nil {
		return again("at", err)
	}
	if stop.Minutes.Given && !stop.Ended.IsZero() {
		return again("minutes", errors.New("when it ended and how long it took say the same thing twice; leave one of them empty"))
	}
	c, kept, err := s.Desk.StopClock(r.Context(), s.store(r), stop)
	if refusedInput(err) {
		return again("minutes", err)
	}
	if err != nil {
		return err
	}
	if stop.Drop {
		return s.done(w, r, to, fmt.Sprintf("The clock of %s is thrown away; nothing was recorded.", c.Who), nil)
	}
	slices.Sort(kept.Doubts)
	return s.recorded(w, r, to, kept)
}
