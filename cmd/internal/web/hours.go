package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/record"
	"marchpane/pricing/schedule"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) hoursPages() {
	m.get("/kitchen/hours", m.s.showHours)
	m.post("/kitchen/hours", m.s.saveHours)
	m.post("/kitchen/hours/usual", m.s.usualHours)
}

// weekDays are the days of a week as a form asks for them, Monday first.
var weekDays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday, time.Saturday, time.Sunday}

func (s *Server) showHours(w http.ResponseWriter, r *http.Request) error {
	return s.hoursPage(w, r, http.StatusOK, ask(nil, nil))
}

func (s *Server) hoursPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	c, stated, err := s.store(r).Capacity(r.Context())
	if err != nil {
		return err
	}
	h := s.Desk.Hours(c)
	body := page.Hours{Places: monthPlaces("/kitchen/hours"), Version: a.version(versionOf(c)), Lead: "The kitchen plan spreads the work over days that hold it, and a new quote tells how full its days are."}
	body.Ask, body.Room, err = s.askRoom(r, wordsOf(x.Book.Studio))
	if err != nil {
		return err
	}
	if !stated {
		body.Lead += " Nothing is stated yet: these are the usual hours of a studio."
	} else {
		body.Reset = &page.Button{Action: "/kitchen/hours/usual", Text: "Go back to the usual hours", Quiet: true}
	}
	body.Day = []page.Field{
		a.field(page.Field{Name: "opens", Label: "Work begins", Value: h.Opens, Help: "By the clock of a day: 8:00, 18:30."}),
		a.field(page.Field{Name: "closes", Label: "Work ends", Value: h.Closes}),
	}
	for _, d := range weekDays {
		body.Works = append(body.Works, a.field(page.Field{Name: fmt.Sprintf("works.%d", d), Label: d.String(), Kind: "tick", Ticked: h.Works[d]}))
	}
	body.Closed = []page.Field{
		a.field(page.Field{Name: "closed", Label: "Closed on", Kind: "long", Value: h.Closed, Wide: true, Help: "Holidays, with commas: 2026-12-24..2027-01-03, 2027-03-17."}),
		a.field(page.Field{Name: "open", Label: "Open besides", Value: h.Open, Wide: true, Help: "Days that are worked though their weekday is not: 2027-06-13."}),
	}
	group := func(id book.ID, name, note string) {
		of := h.Of[id]
		g := page.HoursGroup{Title: name, Note: note, Side: hoursSide(of)}
		for _, d := range weekDays {
			g.Fields = append(g.Fields, a.field(page.Field{Name: fmt.Sprintf("hours.%s.%d", id, d), Label: d.String(), Value: of.Week[d], Kind: "number"}))
		}
		g.Fields = append(g.Fields, a.field(page.Field{Name: fmt.Sprintf("hours.%s.on", id), Label: "On single days", Value: of.On, Wide: true, Help: "A day and its hours: 2027-06-11=16 2027-06-12=8."}))
		g.Open = page.Form{Fields: g.Fields}.Count() > 0
		body.Groups = append(body.Groups, g)
	}
	for _, v := range x.Book.Roles {
		group(v.ID, v.Name, "")
	}
	for _, v := range x.Book.Equipment {
		group(v.ID, v.Name, "For how long it may run in a day.")
	}
	body.Form = page.Form{Action: "/kitchen/hours", Button: "Save the hours", Version: body.Version, Faults: a.rest()}
	for _, list := range [][]page.Field{body.Day, body.Works, body.Closed} {
		body.Form.Fields = append(body.Form.Fields, list...)
	}
	for _, g := range body.Groups {
		body.Form.Fields = append(body.Form.Fields, g.Fields...)
	}
	return s.showAs(w, r, status, "hours", "Hours and holidays", body, page.Link{Text: "Month", Href: "/month"}, page.Link{Text: "Kitchen plan", Href: "/kitchen"}, page.Link{Text: "Hours", Current: true})
}

// roomAt asks how full a day is.
func roomAt(date day.Date) string { return "/kitchen/hours?date=" + date.String() + "#room" }

// askRoom asks for a day, and says how full it is once one is given.
func (s *Server) askRoom(r *http.Request, words words) (page.Form, page.Notes, error) {
	var faults record.Faults
	var answer page.Notes
	text := strings.TrimSpace(r.URL.Query().Get("date"))
	date, err := day.Parse(text)
	switch {
	case text == "":
	case err != nil:
		faults.Add("date", "%s", err)
	default:
		room, err := rememberedOf(r, onQuotes|onHours, "room on "+date.String(), func() (DayRoom, error) { return s.Desk.RoomOn(r.Context(), s.store(r), date) })
		if err != nil {
			return page.Form{}, answer, err
		}
		answer = page.Notes{Title: "The room on that day", Bad: room.Over, Lines: []string{words.daysIn(room.Heading)}, More: []page.Link{{Text: "Plan with that day", Href: "/kitchen?from=" + date.String() + "&to=" + date.String()}}}
		answer.Lines = append(answer.Lines, room.Taken...)
		if len(room.Taken) == 0 {
			answer.Lines = append(answer.Lines, "No hours are stated, so nothing is limited: say below how many hours a day has.")
		}
		answer.Shown = len(answer.Lines) // all: that is what was asked for
		for _, ref := range room.Orders {
			answer.More = append(answer.More, page.Link{Text: ref, Href: quoteAt(ref)})
		}
	}
	a := ask0(r.URL.Query(), faults)
	f := page.Form{Title: "Is there room on a day?", Lead: "What the accepted orders take of it, with the work of the days around their events.", Action: "/kitchen/hours#room", Get: true, Quiet: true, Button: "Look at that day"}
	f.Fields = []page.Field{a.field(page.Field{Name: "date", Label: "Day", Kind: "date", Value: text})}
	f.Faults = a.rest()
	return f, answer, nil
}

// hoursSide says the hours of a week in few words.
func hoursSide(of HoursOf) string {
	said := ""
	for _, d := range weekDays {
		switch text := of.Week[d]; {
		case text == "" || text == said:
		case said == "":
			said = text
		default:
			return "by the day"
		}
	}
	switch {
	case said != "":
		return said + " h a day"
	case of.On != "":
		return "on single days"
	}
	return "not limited"
}

// readHours gathers what the form says.
func readHours(x *book.Index, f form) Hours {
	h := Hours{Opens: f.get("opens"), Closes: f.get("closes"), Closed: f.get("closed"), Open: f.get("open"), Of: map[book.ID]HoursOf{}}
	for _, d := range weekDays {
		h.Works[d] = f.ticked(fmt.Sprintf("works.%d", d))
	}
	read := func(id book.ID) {
		of := HoursOf{On: f.get(fmt.Sprintf("hours.%s.on", id))}
		for _, d := range weekDays {
			of.Week[d] = f.get(fmt.Sprintf("hours.%s.%d", id, d))
		}
		h.Of[id] = of
	}
	for _, v := range x.Book.Roles {
		read(v.ID)
	}
	for _, v := range x.Book.Equipment {
		read(v.ID)
	}
	return h
}

func (s *Server) saveHours(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st := s.store(r)
	old, stated, err := st.Capacity(r.Context())
	if err != nil {
		return err
	}
	now, err := st.ChangeCapacity(r.Context(), s.Now(), func(x *book.Index, c *schedule.Capacity) error {
		read, faults := s.Desk.ReadHours(x, readHours(x, f))
		if len(faults) > 0 {
			return faults
		}
		if f.version != "" && f.version != versionOf(*c) && versionOf(read) != versionOf(*c) {
			return clash{version: versionOf(*c), name: "What is stated of the hours", stored: flat(*c), typed: flat(read)}
		}
		old, *c = *c, read
		// What has hours and has left the book is forgotten; it is not on the page.
		return nil
	})
	if faults, ok := faultsOf(err); ok {
		return s.hoursPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if shown, err := s.showClash(w, r, err, f, "/kitchen/hours", "/kitchen/hours"); shown {
		return err
	}
	if err != nil {
		if p := problemOf(err); p.Status == http.StatusConflict {
			return s.hoursPage(w, r, http.StatusUnprocessableEntity, ask(f.values, unplaced(err)))
		}
		return err
	}
	return s.done(w, r, "/kitchen/hours", "The hours are saved.", s.hoursBack(st, now, old, stated))
}

func (s *Server) usualHours(w http.ResponseWriter, r *http.Request) error {
	st := s.store(r)
	old, stated, err := st.Capacity(r.Context())
	if err != nil {
		return err
	}
	if err := st.ForgetCapacity(r.Context()); err != nil {
		return err
	}
	return s.done(w, r, "/kitchen/hours", "The usual hours hold again.", s.hoursBack(st, schedule.Usual(), old, stated))
}

// hoursBack states what was stated before, while nobody has changed it again.
func (s *Server) hoursBack(st *store.Store, now, old schedule.Capacity, stated bool) back {
	return func(ctx context.Context) (string, error) {
		is, _, err := st.Capacity(ctx)
		if err != nil {
			return "", err
		}
		if versionOf(is) != versionOf(now) {
			return "", tooLate("What is stated of the hours")
		}
		if !stated {
			err = st.ForgetCapacity(ctx)
		} else {
			_, err = st.ChangeCapacity(ctx, s.Now(), func(_ *book.Index, c *schedule.Capacity) error { *c = old; return nil })
		}
		return "The hours are as they were before.", err
	}
}
