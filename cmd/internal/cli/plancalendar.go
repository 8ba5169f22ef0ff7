package cli

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/schedule"
	"marchpane/templates/calendar"
)

// pause is how many minutes may lie between two tasks of one piece of work for
// them to stay one entry of a calendar.
const pause = 30

// planCalendar makes a calendar of a plan: an entry for each stretch of work,
// and one for each hand-over. What an entry is about decides its identifier, not
// when it is, so that a later plan moves it.
func (e *Env) planCalendar(m madePlan) calendar.Calendar {
	studio := m.k.x.Book.Studio.Name
	c := calendar.Calendar{Name: studio + ", " + strings.ToLower(m.paper.Heading), Language: m.paper.Language, Stamp: e.Now()}
	seen := map[string]int{}
	uid := func(names ...string) string {
		key := strings.Join(names, "\x00")
		seen[key]++
		return calendar.UID(append([]string{studio, "plan"}, append(names, strconv.Itoa(seen[key]))...)...)
	}
	// Calendars keep the entry of the higher sequence: that of the later plan.
	sequence := int(e.Now().Unix() / 60)
	for _, s := range stretches(m.plan.Items) {
		it := s.items[0]
		title := it.Of.Name
		if it.Part == schedule.Tier {
			title += ", " + it.Tier
		}
		if it.Copies > 1 {
			title += fmt.Sprintf(" (%d)", it.Copies)
		}
		if tasks := s.tasks(); len(tasks) > 0 {
			title += ": " + strings.Join(tasks, ", ")
		}
		c.Entries = append(c.Entries, calendar.Entry{
			UID:   uid(string(it.Part), string(it.Of.ID), strconv.Itoa(it.TierNumber), string(it.Role.ID), strings.Join(s.tasks(), "\x00"), strings.Join(it.Orders, " ")),
			Title: title, Text: s.text(m.plan), Category: it.Role.Name, Sequence: sequence,
			Start: e.wall(it.Start), End: e.wall(s.end),
		})
	}
	for _, o := range m.plan.Orders {
		c.Entries = append(c.Entries, calendar.Entry{
			UID: uid("hand-over", o.Ref), Title: "Hand-over " + o.Ref + ": " + o.Label, Text: fmt.Sprintf("Latest safe start: %s", o.StartBy),
			Category: "hand-over", Sequence: sequence, Start: e.wall(o.HandOver),
		})
	}
	return c
}

// wall is a moment by the studio's clock.
func (e *Env) wall(m schedule.Moment) time.Time {
	d := m.Day.Time()
	return time.Date(d.Year(), d.Month(), d.Day(), 0, m.Minute, 0, 0, e.Now().Location())
}

// stretch is work of one role on one thing, with short pauses at most.
type stretch struct {
	items []schedule.Item
	end   schedule.Moment
}

func stretches(items []schedule.Item) []*stretch {
	var list []*stretch
	newest := map[string]*stretch{}
	for _, it := range items {
		if it.Wait || it.Minutes == 0 {
			continue
		}
		key := fmt.Sprint(it.Part, it.Of.ID, it.TierNumber, it.Making, it.Role.ID, it.Orders)
		s := newest[key]
		if s == nil || s.end.Until(it.Start) > pause || s.end.Day != it.Start.Day {
			s = &stretch{}
			newest[key] = s
			list = append(list, s)
		}
		s.items = append(s.items, it)
		if s.end == (schedule.Moment{}) || s.end.Before(it.End) {
			s.end = it.End
		}
	}
	return list
}

func (s *stretch) tasks() (names []string) {
	for _, it := range s.items {
		if it.Task != "" {
			names = append(names, it.Task)
		}
	}
	return names
}

// text tells what to know of a stretch: who, how much and for whom.
func (s *stretch) text(p schedule.Plan) string {
	it := s.items[0]
	minutes := 0
	for _, i := range s.items {
		minutes += i.Minutes
	}
	lines := []string{fmt.Sprintf("%s, %s hands-on", it.Role.Name, hours(minutes))}
	if it.Making > 0 {
		m := p.Makings[it.Making-1]
		unit := " " + m.Unit
		if m.Unit == "each" {
			unit = " pieces"
		}
		lines = append(lines, fmt.Sprintf("%s of %s%s", plural(m.Batches, "batch", "batches"), m.PerBatch().Fixed(0), unit))
		if m.GoodUntil != (schedule.Moment{}) {
			lines = append(lines, "good until "+m.GoodUntil.String())
		}
	}
	return strings.Join(append(lines, "for "+strings.Join(it.Orders, ", ")), "\n")
}
