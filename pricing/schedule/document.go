package schedule

import (
	"fmt"

	"marchpane/pricing/day"
)

// places of the decimals in a document.
const places = 6

// Document is a plan as scripts read it: days with what to do on each. Minutes
// are whole numbers, quantities strings, moments 2026-06-02T08:30 by the clock
// of the studio.
type Document struct {
	Days     []DayPlan     `json:"days"` // those with work, and no others
	Makings  []MakingEntry `json:"makings"`
	Clashes  []ClashEntry  `json:"clashes"`
	Orders   []OrderEntry  `json:"orders"`
	Unstated []Named       `json:"no_keeping_time"`
}

// DayPlan is one day: what begins on it, and what it has to hold.
type DayPlan struct {
	Day   string      `json:"day"`
	Items []ItemEntry `json:"items"`
	Loads []LoadEntry `json:"loads"`
}

// ItemEntry is one stretch of work or waiting.
type ItemEntry struct {
	Starts     string    `json:"starts"`
	Ends       string    `json:"ends"`
	Part       Part      `json:"part"`
	ID         string    `json:"id"`
	Name       string    `json:"name"`
	Tier       string    `json:"tier,omitempty"`
	TierNumber int       `json:"tier_number,omitempty"`
	Copies     int       `json:"copies,omitempty"`
	Task       string    `json:"task,omitempty"`
	Wait       bool      `json:"wait,omitempty"`
	Runs       bool      `json:"appliance_runs,omitempty"` // a wait until the appliance named as the task has run
	Role       string    `json:"role,omitempty"`
	Minutes    int       `json:"minutes"`         // hands-on
	Piece      string    `json:"piece,omitempty"` // "1/2" where a task is spread
	Making     int       `json:"making,omitempty"`
	Batches    int       `json:"batches,omitempty"`
	PerBatch   string    `json:"per_batch,omitempty"`
	Unit       string    `json:"unit,omitempty"` // of PerBatch
	Appliances []Running `json:"appliances,omitempty"`
	Orders     []string  `json:"orders"`
}

// LoadEntry is what a role or appliance has to do on a day.
type LoadEntry struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Appliance bool     `json:"appliance,omitempty"`
	Minutes   int      `json:"minutes"`
	Capacity  *int     `json:"capacity,omitempty"` // absent where not limited
	Over      int      `json:"over"`
	Orders    []string `json:"orders"`
}

// MakingEntry is a component made in one go.
type MakingEntry struct {
	Number    int        `json:"making"`
	Component string     `json:"component"`
	Name      string     `json:"name"`
	Batches   int        `json:"batches"`
	PerBatch  string     `json:"per_batch"`
	Quantity  string     `json:"quantity"`
	Unit      string     `json:"unit"`
	Starts    string     `json:"starts"`
	Ready     string     `json:"ready"`
	KeptFrom  string     `json:"kept_from"`
	GoodUntil string     `json:"good_until,omitempty"`
	Uses      []UseEntry `json:"uses"`
	Orders    []string   `json:"orders"`
}

// UseEntry is what takes a making.
type UseEntry struct {
	By         string   `json:"by"`
	Until      string   `json:"until"`
	Quantity   string   `json:"quantity"`
	Into       string   `json:"into"`
	Tier       string   `json:"tier,omitempty"`
	TierNumber int      `json:"tier_number,omitempty"`
	Orders     []string `json:"orders"`
}

// ClashEntry is something that does not fit.
type ClashEntry struct {
	Trouble  Trouble  `json:"trouble"`
	Day      string   `json:"day"`
	ID       string   `json:"id,omitempty"`
	Name     string   `json:"name,omitempty"`
	Minutes  int      `json:"minutes_over"`
	Capacity int      `json:"capacity"`
	Orders   []string `json:"orders"`
}

// OrderEntry is how an order stands.
type OrderEntry struct {
	Ref      string `json:"order"`
	Label    string `json:"label,omitempty"`
	Event    string `json:"event"`
	HandOver string `json:"hand_over"`
	Begins   string `json:"begins"`
	Done     string `json:"done"`
	StartBy  string `json:"start_by"`
}

func (m Moment) text() string {
	if m == (Moment{}) {
		return ""
	}
	return fmt.Sprintf("%sT%02d:%02d", m.Day, m.Minute/60, m.Minute%60)
}

// Document returns the plan as scripts read it.
func (p Plan) Document() Document {
	doc := Document{Days: p.days(), Makings: []MakingEntry{}, Clashes: []ClashEntry{}, Orders: []OrderEntry{}, Unstated: append([]Named{}, p.Unstated...)}
	for _, m := range p.Makings {
		doc.Makings = append(doc.Makings, m.entry())
	}
	for _, c := range p.Clashes {
		doc.Clashes = append(doc.Clashes, c.entry())
	}
	for _, o := range p.Orders {
		doc.Orders = append(doc.Orders, o.entry())
	}
	return doc
}

// days gathers items by the day on which they begin, and loads by theirs.
func (p Plan) days() []DayPlan {
	days := []DayPlan{}
	items, loads := p.Items, p.Loads
	for len(items) > 0 || len(loads) > 0 {
		var d DayPlan
		next := first(items, loads)
		d.Day, d.Items, d.Loads = next.String(), []ItemEntry{}, []LoadEntry{}
		for len(items) > 0 && items[0].Start.Day == next {
			d.Items = append(d.Items, p.entry(items[0]))
			items = items[1:]
		}
		for len(loads) > 0 && loads[0].Day == next {
			d.Loads = append(d.Loads, loads[0].entry())
			loads = loads[1:]
		}
		days = append(days, d)
	}
	return days
}

func (p Plan) entry(it Item) ItemEntry {
	e := ItemEntry{
		Starts: it.Start.text(), Ends: it.End.text(), Part: it.Part, ID: string(it.Of.ID), Name: it.Of.Name, Tier: it.Tier, TierNumber: it.TierNumber, Copies: it.Copies,
		Task: it.Task, Wait: it.Wait, Runs: it.Runs, Role: string(it.Role.ID), Minutes: it.Minutes, Making: it.Making, Appliances: it.Appliances, Orders: it.Orders,
	}
	if it.Pieces > 1 {
		e.Piece = fmt.Sprintf("%d/%d", it.Piece, it.Pieces)
	}
	if it.Making > 0 {
		m := p.Makings[it.Making-1]
		e.Batches, e.PerBatch, e.Unit = m.Batches, m.PerBatch().Fixed(places), m.Unit
	}
	return e
}

func (l Load) entry() LoadEntry {
	e := LoadEntry{ID: string(l.Of.ID), Name: l.Of.Name, Appliance: l.Appliance, Minutes: l.Minutes, Over: l.Over(), Orders: l.Orders}
	if l.Limited {
		e.Capacity = &l.Capacity
	}
	return e
}

func (m Making) entry() MakingEntry {
	e := MakingEntry{
		Number: m.Number, Component: string(m.Component.ID), Name: m.Component.Name, Batches: m.Batches,
		PerBatch: m.PerBatch().Fixed(places), Quantity: m.Quantity.Fixed(places), Unit: m.Unit,
		Starts: m.Start.text(), Ready: m.Ready.text(), KeptFrom: m.KeptFrom.text(), GoodUntil: m.GoodUntil.text(), Orders: m.Orders,
	}
	for _, u := range m.Uses {
		e.Uses = append(e.Uses, UseEntry{u.By.text(), u.Until.text(), u.Quantity.Fixed(places), string(u.Into.ID), u.Tier, u.TierNumber, u.Orders})
	}
	return e
}

// first returns the first day of what is left of items and loads.
func first(items []Item, loads []Load) day.Date {
	switch {
	case len(items) == 0:
		return loads[0].Day
	case len(loads) == 0 || items[0].Start.Day.Before(loads[0].Day):
		return items[0].Start.Day
	}
	return loads[0].Day
}

func (c Clash) entry() ClashEntry {
	return ClashEntry{c.Trouble, c.Day.String(), string(c.Of.ID), c.Of.Name, c.Minutes, c.Capacity, c.Orders}
}

func (o Deadline) entry() OrderEntry {
	return OrderEntry{o.Ref, o.Label, o.Event.String(), o.HandOver.text(), o.Begins.text(), o.Done.text(), o.StartBy.text()}
}

// FittingDocument says to scripts whether one more order fits.
type FittingDocument struct {
	Order   OrderEntry   `json:"order"`
	Rooms   []RoomEntry  `json:"days"`
	Clashes []ClashEntry `json:"clashes"`
}

// RoomEntry is a role or appliance on one day, in minutes.
type RoomEntry struct {
	Day      string `json:"day"`
	ID       string `json:"id"`
	Name     string `json:"name"`
	Taken    int    `json:"taken"`
	Capacity int    `json:"capacity"`
	After    int    `json:"after"`
	Fits     bool   `json:"fits"`
}

// Document returns the answer as scripts read it.
func (f Fitting) Document() FittingDocument {
	doc := FittingDocument{f.Order.entry(), []RoomEntry{}, []ClashEntry{}}
	for _, r := range f.Rooms {
		doc.Rooms = append(doc.Rooms, RoomEntry{r.Day.String(), string(r.Of.ID), r.Of.Name, r.Taken, r.Capacity, r.After, r.Fits()})
	}
	for _, c := range f.Clashes {
		doc.Clashes = append(doc.Clashes, c.entry())
	}
	return doc
}
