package document

import (
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/schedule"
)

// Production is the plan that hangs on the kitchen's wall, with the recipe cards
// for it. It is no paper for clients: it holds recipes.
type Production struct {
	Language string // of the wording, BCP 47
	Title    string // of the file
	Date     day.Date
	Paper    Paper
	Look     Look
	Page     string // pattern of the page number: "Page %d of %d"
	More     string // said in the heading of a table that goes on

	Heading   string
	Studio    string
	Span      string // "9 June 2026 to 13 June 2026"
	Empty     string // said in place of days where nothing is to be made
	Columns   ProductionColumns
	Days      []ProductionDay
	Deadlines ProductionOrders
	Clashes   Section
	Notes     Section
	CardsOver string // heading over the cards
	Cards     []RecipeCard
}

// ProductionDay is what begins on one day.
type ProductionDay struct {
	Date    day.Date
	Heading string
	Lanes   []ProductionLane // the same work in few words, by role
	Rows    []ProductionRow
	Loads   []ProductionLoad
}

// ProductionRow is one stretch of work, or of waiting.
type ProductionRow struct {
	Time    string // "10:00"
	What    string
	Note    string // "" or batches and appliances
	Who     string
	Minutes string // hands-on; "" of a wait
	Orders  string
	Wait    bool // to be shown lightly
}

// ProductionLoad is what a role or appliance has to do on a day.
type ProductionLoad struct {
	Text string
	Over bool
}

// ProductionOrders is a list of orders and when they are due.
type ProductionOrders struct {
	Heading string
	Rows    []ProductionOrder
}

// ProductionOrder is how one order stands.
type ProductionOrder struct {
	Name     string
	HandOver string
	StartBy  string
	Begins   string
}

// RecipeCard is a recipe scaled to one batch.
type RecipeCard struct {
	Title    string // component and day
	Batches  string // "2 batches of 1,200 g"
	Lines    []RecipeLine
	Steps    string
	Method   []string // paragraphs
	Facts    []string // keeping
	Cautions []string
	Orders   string
}

// RecipeLine is how much of one thing goes into a batch.
type RecipeLine struct {
	Amount string // "225 g", "4.8 g"; pieces where it has no mass
	Name   string
	Beside string // "" or pieces and household measures
	Note   string
}

// FromPlan writes out what a plan asks for from one day to another, in a
// studio's locale. Recipe cards are written with household measures where asked.
func FromPlan(p schedule.Plan, cards []schedule.Card, studio book.Studio, words ProductionWords, first, last day.Date, household bool) Production {
	w := productionWriter{Locale: InEnglish(studio.Locale.Or("")), m: words, household: household, makings: map[int]schedule.Making{}, roles: rolesOf(p), cautions: map[int][]string{}}
	for _, m := range p.Makings {
		w.makings[m.Number] = m
	}
	for _, c := range cards {
		for _, n := range c.Makings {
			if c.HotSugar {
				w.cautions[n] = append(w.cautions[n], words.HotSugarMark)
			}
			if len(c.RawEgg) > 0 {
				w.cautions[n] = append(w.cautions[n], words.RawEggMark)
			}
		}
	}
	d := Production{
		Language: words.Language, Title: sentence(words.FileTitle, first, last, studio.Name), Date: first, Paper: paperOf(studio, w.Locale), Look: lookOf(studio),
		Page: words.Page, More: words.Continued, Heading: words.Heading, Studio: studio.Name,
		Span: sentence(words.Span, w.Date(first), w.Date(last)), Columns: words.Columns,
		Days: w.days(p, first, last), Deadlines: ProductionOrders{Heading: words.Deadlines},
		Clashes: Section{Heading: words.Clashes}, Notes: Section{Heading: words.Notes}, CardsOver: words.Cards,
	}
	if len(d.Days) == 0 {
		d.Empty = words.Nothing
	}
	for _, o := range p.Orders {
		if !o.HandOver.Day.Before(first) && !o.Begins.Day.After(last) {
			d.Deadlines.Rows = append(d.Deadlines.Rows, w.order(o))
		}
	}
	for _, c := range p.Clashes {
		if !c.Day.Before(first) && !c.Day.After(last) || c.Trouble == schedule.TooLate {
			d.Clashes.Lines = append(d.Clashes.Lines, w.clash(c))
		}
	}
	for _, c := range cards {
		if !c.Day.Before(first) && !c.Day.After(last) {
			d.Cards = append(d.Cards, w.card(c))
		}
	}
	if len(p.Unstated) > 0 {
		var names []string
		for _, n := range p.Unstated {
			names = append(names, n.Name)
		}
		// Semicolons, since the names themselves hold commas.
		d.Notes.Lines = append(d.Notes.Lines, sentence(words.Unstated, strings.Join(names, "; ")))
	}
	if len(d.Days) > 0 {
		d.Notes.Lines = append(d.Notes.Lines, words.KeepingNote, words.ColdNote)
	}
	return d
}

type productionWriter struct {
	Locale
	m         ProductionWords
	household bool
	makings   map[int]schedule.Making
	cautions  map[int][]string // by making, in a word or two
	roles     []schedule.Named
}

func (w productionWriter) days(p schedule.Plan, first, last day.Date) []ProductionDay {
	var days []ProductionDay
	for d := first; !d.After(last); d = d.AddDays(1) {
		out := ProductionDay{Date: d, Heading: w.LongDate(d), Lanes: w.lanes(p, d)}
		for _, it := range p.Items {
			if it.Start.Day == d {
				out.Rows = append(out.Rows, w.row(it))
			}
		}
		for _, l := range p.Loads {
			// Of appliances, those that are short of time.
			if l.Day == d && (!l.Appliance || l.Limited) {
				out.Loads = append(out.Loads, w.load(l))
			}
		}
		if len(out.Rows)+len(out.Loads) > 0 {
			days = append(days, out)
		}
		if d == d.AddDays(1) {
			break // the last day that can be written
		}
	}
	return days
}

func (w productionWriter) row(it schedule.Item) ProductionRow {
	task := it.Task
	switch {
	case it.Runs:
		task = sentence(w.m.Runs, task, w.until(it))
	case it.Wait:
		task = sentence(w.m.Waits, task, w.until(it))
	case task == "":
		task = w.m.Made
	case it.Pieces > 1:
		task = sentence(w.m.Spread, task, it.Piece, it.Pieces)
	}
	of := it.Of.Name
	if it.Copies > 1 {
		of = w.filled(w.m.Copies, of, it.Copies)
	}
	r := ProductionRow{
		Time: clock(it.Start), What: sentence(w.m.Of, of, task), Who: it.Role.Name, Orders: strings.Join(it.Orders, ", "), Wait: it.Wait,
	}
	if it.Part == schedule.Tier {
		r.What = sentence(w.m.OfTier, of, it.Tier, task)
	}
	if it.Minutes > 0 {
		r.Minutes = w.time(it.Minutes)
	}
	var notes []string
	// Said once, at the beginning of a making.
	if m, ok := w.makings[it.Making]; ok && m.Start == it.Start && !it.Wait {
		notes = append(notes, w.batches(m.Batches, m.PerBatch(), m.Unit))
	}
	for _, a := range it.Appliances {
		notes = append(notes, sentence(w.m.Running, a.Name, w.time(a.Minutes)))
	}
	r.Note = strings.Join(notes, "; ")
	return r
}

// until says when a wait ends, with the day where it is another.
func (w productionWriter) until(it schedule.Item) string {
	if it.End.Day == it.Start.Day {
		return clock(it.End)
	}
	return w.moment(it.End)
}

func (w productionWriter) moment(m schedule.Moment) string {
	return sentence(w.m.NextDay, clock(m), w.LongDate(m.Day))
}

// clock writes a time of day by the 24 hours of kitchen clocks.
func clock(m schedule.Moment) string { return fmt.Sprintf("%02d:%02d", m.Minute/60, m.Minute%60) }

// time writes minutes as hours where there are some.
func (w productionWriter) time(minutes int) string {
	switch {
	case minutes < 60:
		return sentence(w.m.Minutes, minutes)
	case minutes%60 == 0:
		return sentence(w.m.OnlyHour, minutes/60)
	}
	return sentence(w.m.Hours, minutes/60, minutes%60)
}

func (w productionWriter) load(l schedule.Load) ProductionLoad {
	switch {
	case !l.Limited:
		return ProductionLoad{Text: sentence(w.m.LoadOpen, l.Of.Name, w.time(l.Minutes))}
	case l.Over() > 0:
		return ProductionLoad{sentence(w.m.LoadOver, l.Of.Name, w.time(l.Minutes), w.time(l.Capacity), w.time(l.Over())), true}
	}
	return ProductionLoad{Text: sentence(w.m.Load, l.Of.Name, w.time(l.Minutes), w.time(l.Capacity))}
}

// Taken writes what a day has of a role: "Decorator: 11 h of 14 h taken".
func (words ProductionWords) Taken(r schedule.Room) string {
	return productionWriter{m: words}.load(schedule.Load{Day: r.Day, Of: r.Of, Minutes: r.Taken, Capacity: r.Capacity, Limited: r.Limited}).Text
}

func (w productionWriter) order(o schedule.Deadline) ProductionOrder {
	name := o.Ref
	if o.Label != "" {
		name = sentence(w.m.Order, o.Ref, o.Label)
	}
	return ProductionOrder{name, sentence(w.m.HandOver, w.moment(o.HandOver)), sentence(w.m.StartBy, w.moment(o.StartBy)), sentence(w.m.Begins, w.moment(o.Begins))}
}

func (w productionWriter) clash(c schedule.Clash) string {
	return fmt.Sprintf(w.m.Clash[string(c.Trouble)], c.Of.Name, w.LongDate(c.Day), w.time(c.Minutes), strings.Join(c.Orders, ", "))
}

func (w productionWriter) card(c schedule.Card) RecipeCard {
	card := RecipeCard{
		Title: sentence(w.m.CardTitle, c.Component.Name, w.LongDate(c.Day)), Batches: w.batches(c.Batches, c.PerBatch, c.Unit), Orders: strings.Join(c.Orders, ", "),
	}
	for _, l := range c.Lines {
		card.Lines = append(card.Lines, w.line(l))
	}
	if len(c.Tasks) > 0 {
		card.Steps = sentence(w.m.Tasks, strings.Join(c.Tasks, "; "))
	}
	for paragraph := range strings.SplitSeq(c.Method, "\n") {
		if paragraph = strings.TrimSpace(paragraph); paragraph != "" {
			card.Method = append(card.Method, paragraph)
		}
	}
	if c.Keeps.Given() {
		card.Facts = append(card.Facts, sentence(w.m.Keeps, shoppingWriter{Locale: w.Locale, m: ShoppingWords{Spans: w.m.Spans}}.span(c.Keeps)), sentence(w.m.GoodUntil, w.moment(c.GoodUntil)))
	}
	if c.HotSugar {
		card.Cautions = append(card.Cautions, w.m.HotSugar)
	}
	if len(c.RawEgg) > 0 {
		card.Cautions = append(card.Cautions, sentence(w.m.RawEgg, strings.Join(c.RawEgg, "; ")))
	}
	return card
}

func (w productionWriter) batches(n int, each exact.Number, unit string) string {
	amount := w.amount(each, unit)
	if unit == "each" {
		amount = sentence(w.m.Each, amount)
	}
	if n == 1 {
		return sentence(w.m.Batches[0], n, amount)
	}
	return sentence(w.m.Batches[1], n, amount)
}

func (w productionWriter) line(l schedule.CardLine) RecipeLine {
	out := RecipeLine{Name: l.Name, Note: l.Note}
	var beside []string
	switch {
	case !l.Weighed:
		out.Amount = w.amount(l.Amount, l.Unit)
	default:
		out.Amount = w.amount(l.Grams, "g")
		switch amount := w.amount(l.Amount, l.Unit); l.Unit {
		case "":
		case "each":
			beside = append(beside, sentence(w.m.Each, amount))
		default:
			beside = append(beside, amount)
		}
	}
	if w.household && l.Spoons.Quarters > 0 {
		beside = append(beside, sentence(w.m.About, sentence(w.m.Measures[l.Spoons.Unit], quarters(l.Spoons.Quarters))))
	}
	out.Beside = strings.Join(beside, ", ")
	return out
}

// amount writes a quantity as scales show it: from 100 to the whole unit,
// below to a tenth, and what is less than a tenth to a hundredth or as "less
// than" that. Pieces have no unit here.
func (w productionWriter) amount(n exact.Number, unit string) string {
	places := int32(1)
	switch hundredth := exact.Frac(1, 100); {
	case n.Cmp(exact.Int(100)) >= 0:
		places = 0
	case n.Sign() > 0 && n.Cmp(hundredth) < 0:
		return "< " + w.amount(hundredth, unit)
	case n.Cmp(exact.Frac(1, 10)) < 0:
		places = 2
	}
	text := w.Number(n.Round(places), 0)
	switch unit {
	case "", "each":
		return text
	case "cm2":
		unit = "cm²"
	}
	return text + "\u00a0" + unit
}

// quarters writes a number of quarters: ¾, 1, 2½.
func quarters(n int) string {
	part := []string{"", "¼", "½", "¾"}[n%4]
	if n < 4 {
		return part
	}
	return fmt.Sprint(n/4) + part
}
