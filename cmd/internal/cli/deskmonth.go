package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"marchpane/cmd/internal/intake"
	"marchpane/cmd/internal/web"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/schedule"
	"marchpane/pricing/shopping"
	"marchpane/store"
)

// Report makes the report of a span.
func (d desk) Report(ctx context.Context, s *store.Store, span month.Span, today day.Date) (month.Report, error) {
	return d.months.report(ctx, s, span, today)
}

// ReportPaper writes a report.
func (d desk) ReportPaper(w io.Writer, ending string, studio book.Studio, r month.Report) error {
	paper := reportPapers[ending]
	if paper == nil {
		return fmt.Errorf("%s is %w as a form of a report", ending, store.ErrNotFound)
	}
	return paper(d.env, w, studio, r)
}

// Shopping works out what to buy.
func (d desk) Shopping(ctx context.Context, s *store.Store, ask web.ShoppingAsk) (book.Studio, shopping.List, error) {
	f := shop{from: ask.From, to: ask.To, one: ask.OneSupplier, onHand: ask.OnHand, hidden: ask.Hidden, on: ask.On}
	if ask.CakesOnly {
		f.from, f.to = day.Date{}, day.Date{}
	}
	for _, c := range ask.Cakes {
		f.cakes = append(f.cakes, fmt.Sprintf("%s=%d", c.Cake, c.Number))
	}
	for _, id := range ask.Skip {
		f.skip = append(f.skip, string(id))
	}
	known, err := d.months.months(s).planner(ctx)
	if err != nil {
		return book.Studio{}, shopping.List{}, err
	}
	list, err := d.env.shoppingList(ctx, s, known, f)
	return known.Book().Book.Studio, list, err
}

// ShoppingPaper writes a shopping list.
func (d desk) ShoppingPaper(w io.Writer, ending string, studio book.Studio, list shopping.List) error {
	paper := shoppingPapers[ending]
	if paper == nil {
		return fmt.Errorf("%s is %w as a form of a shopping list", ending, store.ErrNotFound)
	}
	return paper(d.env, w, studio, list)
}

// Kitchen plans the work of the orders between two days.
func (d desk) Kitchen(ctx context.Context, s *store.Store, ask web.KitchenAsk) (web.Kitchen, error) {
	m, err := d.planned(ctx, s, ask)
	return web.Kitchen{Plan: m.plan, Paper: m.paper, Later: m.later}, err
}

// KitchenPaper writes that plan.
func (d desk) KitchenPaper(ctx context.Context, w io.Writer, ending string, s *store.Store, ask web.KitchenAsk) error {
	if ending != ".pdf" && ending != ".ics" {
		return fmt.Errorf("%s is %w as a form of a plan", ending, store.ErrNotFound)
	}
	m, err := d.planned(ctx, s, ask)
	if err != nil {
		return err
	}
	return d.env.planPaper(w, ending, planFlags{from: ask.From, to: ask.To}, m)
}

func (d desk) planned(ctx context.Context, s *store.Store, ask web.KitchenAsk) (madePlan, error) {
	f := planFlags{from: ask.From, to: ask.To, household: ask.Household, hidden: ask.Hidden, paper: ask.Letter, with: ask.With, over: ask.HandOver}
	if err := f.complete(d.env.orToday(ask.On)); err != nil {
		return madePlan{}, record.Faults{{Path: "to", Problem: err.Error()}}
	}
	known, err := d.months.months(s).planner(ctx)
	if err != nil {
		return madePlan{}, err
	}
	m, err := d.env.makePlan(ctx, s, known, f)
	if err != nil {
		// What the flags are called is what the boxes are called.
		for path, flag := range map[string]string{"handover": "--handover ", "with": "--with "} {
			if said, ok := strings.CutPrefix(err.Error(), flag); ok {
				return m, record.Faults{{Path: path, Problem: strings.Replace(said, "; write "+flag, "; write ", 1)}}
			}
		}
		if len(ask.With) > 0 && errors.Is(err, store.ErrNotFound) {
			return m, record.Faults{{Path: "with", Problem: err.Error()}}
		}
	}
	return m, err
}

// Hours writes a capacity as people write it.
func (d desk) Hours(c schedule.Capacity) web.Hours {
	h := web.Hours{Opens: clockTime(c.Opens), Closes: clockTime(c.Closes), Works: c.Works, Closed: spans(c.Closed), Open: spans(c.Open), Of: map[book.ID]web.HoursOf{}}
	for _, list := range []map[book.ID]schedule.Hours{c.Roles, c.Appliances} {
		for id, is := range list {
			var of web.HoursOf
			for i, n := range is.Week {
				of.Week[i] = hoursShort(n)
			}
			var own []string
			for _, day := range slices.SortedFunc(maps.Keys(is.On), compareDates) {
				own = append(own, day.String()+"="+hoursShort(is.On[day]))
			}
			of.On = strings.Join(own, " ")
			h.Of[id] = of
		}
	}
	return h
}

// ReadHours reads what [desk.Hours] writes, with every fault at the box of it.
func (d desk) ReadHours(x *book.Index, h web.Hours) (schedule.Capacity, record.Faults) {
	var faults record.Faults
	note := func(path string, err error) {
		if err != nil {
			faults.Add(path, "%s", err)
		}
	}
	c := schedule.Capacity{Works: h.Works, Roles: map[book.ID]schedule.Hours{}, Appliances: map[book.ID]schedule.Hours{}}
	var err error
	c.Opens, err = parseClock(h.Opens)
	note("opens", err)
	c.Closes, err = parseClock(h.Closes)
	note("closes", err)
	apart := func(text string) []string {
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == '\n' || r == ';' })
	}
	c.Closed, err = parseDays(apart(h.Closed))
	note("closed", err)
	c.Open, err = parseDays(apart(h.Open))
	note("open", err)
	c.Closed, c.Open = with(nil, c.Closed), with(nil, c.Open)
	for id, of := range h.Of {
		list := c.Roles
		if _, appliance := x.Appliance(id); appliance {
			list = c.Appliances
		}
		var is schedule.Hours
		filled := false
		for i, text := range of.Week {
			if text == "" {
				continue
			}
			filled = true
			is.Week[i], err = parseHours(text)
			note(fmt.Sprintf("hours.%s.%d", id, i), err)
		}
		if pairs := strings.Fields(strings.NewReplacer(",", " ", ";", " ").Replace(of.On)); len(pairs) > 0 {
			is, err = onDays(is, pairs)
			note("hours."+string(id)+".on", plainOn(err))
			if !filled {
				note("hours."+string(id)+".on", fmt.Errorf("state the hours of the usual days first"))
			}
		}
		if filled {
			list[id] = is
		}
	}
	return c, faults
}

// plainOn says what is wrong with hours of a single day to somebody who types
// no flags.
func plainOn(err error) error {
	if err == nil {
		return nil
	}
	return errors.New(strings.TrimPrefix(err.Error(), "--on "))
}

// at is a bench of a store that is open already.
func (d desk) at(ctx context.Context, s *store.Store) (bench, error) {
	known, err := d.months.months(s).planner(ctx)
	if err != nil {
		return bench{}, err
	}
	x := known.Book()
	return bench{s, d.env, x.Book, actual.NewDesk(x, d.env.today()), x, web.TellingOf(x.Book.Studio)}, nil
}

// Actuals sets what is recorded of an order beside its plan.
func (d desk) Actuals(ctx context.Context, s *store.Store, o quote.Order) (web.Actuals, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return web.Actuals{}, err
	}
	found, r, err := b.worked(ctx, o)
	if err != nil {
		return web.Actuals{}, err
	}
	p := r.Bridge.Print(b.book.Studio.Currency)
	a := web.Actuals{Lines: b.lines(r, false), Planned: p.Planned, Actual: p.Actual, MarginWas: share(r.PlannedNet, r.Bridge.Planned), MarginIs: share(r.Net, r.Bridge.Actual), Journal: web.Journal{Entries: entriesOf(b.entryDocs(ofOrder(found, o.Quote.Number)))}}
	for _, step := range p.Steps {
		a.Steps = append(a.Steps, web.ActualStep{Label: month.StepLabel(step.Key), Amount: step.Amount, Recorded: step.Recorded})
	}
	return a, nil
}

// Journal says what entries are, and what those of a month come to.
func (d desk) Journal(ctx context.Context, s *store.Store, entries actual.Records, of actual.Month) (web.Journal, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return web.Journal{}, err
	}
	j := web.Journal{Entries: entriesOf(b.entryDocs(entries))}
	if !of.IsZero() {
		sum, err := d.months.months(s).recorded(ctx, of)
		if err != nil {
			return j, err
		}
		j.Sums = b.monthSums(sum)
	}
	return j, nil
}

func entriesOf(docs []entryDoc) (list []web.Entry) {
	for _, e := range docs {
		list = append(list, web.Entry{ID: e.ID, On: e.On, Kind: e.Kind, Order: e.Order, Says: e.Says, Undone: e.Undone, Why: e.UndoneWhy})
	}
	return list
}

// Record keeps entries.
func (d desk) Record(ctx context.Context, s *store.Store, entries actual.Records, o *quote.Order) (web.Kept, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return web.Kept{}, err
	}
	k, err := b.keep(ctx, entries, o)
	if err != nil {
		return web.Kept{}, err
	}
	return web.Kept{Entries: entriesOf(b.entryDocs(k.entries)), Prices: k.added, Doubts: k.doubts}, nil
}

// Invoice reads the file of an invoice.
func (d desk) Invoice(ctx context.Context, s *store.Store, file web.InvoiceFile) (actual.Records, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return actual.Records{}, err
	}
	list, err := intake.Open(file.Path, intake.Options{RecoversTax: b.book.Studio.RecoversTax.Or(false)})
	if err != nil {
		return actual.Records{}, err
	}
	return b.invoiceEntries(ctx, buyFlags{from: file.Name, supplier: file.Supplier, invoice: file.Number, on: file.On, order: file.Order, taxIn: file.TaxIn}, list)
}

// Moment reads a time of the day, the last that has gone by, or one of another
// day.
func (d desk) Moment(text string) (time.Time, error) {
	at, err := d.env.moment(text)
	if err != nil {
		err = errors.New(strings.TrimPrefix(err.Error(), "--at "))
	}
	return at, err
}

// StartClock starts a clock for work that begins.
func (d desk) StartClock(ctx context.Context, s *store.Store, line actual.WorkDone, o quote.Order, started time.Time) (actual.Clock, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return actual.Clock{}, err
	}
	return b.startClock(ctx, line, o, started)
}

// StopClock stops a clock, and records its work unless it is thrown away.
func (d desk) StopClock(ctx context.Context, s *store.Store, stop store.Stop) (actual.Clock, web.Kept, error) {
	b, err := d.at(ctx, s)
	if err != nil {
		return actual.Clock{}, web.Kept{}, err
	}
	c, work, err := s.StopClock(ctx, stop, d.env.Now())
	if err != nil || stop.Drop {
		return c, web.Kept{}, err
	}
	o, err := s.Order(ctx, work.Order)
	if err != nil {
		return c, web.Kept{}, err
	}
	entries := actual.Records{Work: []actual.Work{work}}
	doubts, err := b.doubts(ctx, &o, entries)
	return c, web.Kept{Entries: entriesOf(b.entryDocs(entries)), Doubts: doubts}, err
}
