package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/sheet"
)

func impactCommand(env *Env) *cobra.Command {
	var on day.Date
	var opts impactOptions
	cmd := &cobra.Command{
		Use:   "impact [RESOURCE]",
		Short: "What changed prices do to the margin of every cake and open quote",
		Long: `What changed prices do to every cake that uses what they are for: cost and margin
before and after at the price the cake has today, whether it falls below the
floor, the break-even price of a base unit at which it would just meet the floor,
and the price that brings it back to its target. Issued quotes whose event is
still to come are held against the margin they were sold at. What hurts most
comes first.

A resource is an ingredient, packaging, a role, an appliance, energy or overhead.
Name a change in per cent, which may be negative, or a new price for a pack,
"10 x 250 g=25.25", for an hour of work or wear, "1 h=19.50", for energy
"1 kWh=0.41". Several at once: repeat --change butter=18% for each, or change a
whole category of ingredients with --category dairy=10%.

With --json the document lists the cakes in the order of the book; with --full
as well it holds the ranking, the quotes and the totals.`,
		Example: `  marchpane impact butter --change "18 %"
  marchpane impact butter --price "10 x 250 g=25.25" --on 2026-10-05
  marchpane impact --change butter=18% --change egg=5% --change decorator=4%
  marchpane impact --category dairy=10%
  marchpane impact butter --change 18% --sheet impact.xlsx --plot impact.svg`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			wanted, err := opts.read(args)
			if err != nil {
				env.started = false
				return err
			}
			if env.json && !opts.full && opts.sheet == "" && opts.plot == "" {
				cakes, err := env.margins(cmd.Context(), wanted, env.orToday(on))
				if err != nil {
					return err
				}
				return env.printJSON(impactDocs(cakes))
			}
			r, err := env.impact(cmd.Context(), wanted, env.orToday(on))
			if err != nil {
				return err
			}
			if err := opts.write(r); err != nil {
				return err
			}
			switch {
			case env.json && opts.full:
				return env.printJSON(r.document())
			case env.json:
				return env.printJSON(impactDocs(r.cakes))
			}
			r.print(env)
			return nil
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().StringArrayVar(&opts.changes, "change", nil, "a rise or fall, `\"18 %\"` or \"-5 %\"; or RESOURCE=CHANGE, as often as you like")
	cmd.Flags().StringArrayVar(&opts.categories, "category", nil, "a rise or fall of a whole category, `CATEGORY=CHANGE`")
	cmd.Flags().StringVar(&opts.price, "price", "", "a new price for a pack, such as `\"10 x 250 g=25.25\"`")
	cmd.Flags().BoolVar(&opts.full, "full", false, "with --json: the ranking, open quotes and totals as well")
	cmd.Flags().StringVar(&opts.sheet, "sheet", "", "also write a workbook with live formulas to this XLSX `FILE`")
	cmd.Flags().StringVar(&opts.plot, "plot", "", "also draw the margins before and after to this SVG or PNG `FILE`")
	return cmd
}

type impactOptions struct {
	changes, categories []string
	price               string
	full                bool
	sheet, plot         string
}

// wanted are changes as they were asked for: those of categories wait for the
// book to say what is in them.
type wanted struct {
	changes    []pricing.Change
	categories []pricing.CategoryChange
}

func (o impactOptions) read(args []string) (w wanted, err error) {
	if len(args) == 1 && o.price != "" {
		c, err := readPackPrice(args[0], o.price)
		if err != nil {
			return w, err
		}
		w.changes = append(w.changes, c)
	} else if o.price != "" {
		return w, errors.New("--price needs the resource that it is the price of, such as: impact butter --price \"10 x 250 g=25.25\"")
	}
	for _, text := range o.changes {
		id, figure, named := strings.Cut(text, "=")
		if !named {
			if len(args) == 0 {
				return w, fmt.Errorf("--change %q needs a resource: impact RESOURCE --change %q, or --change RESOURCE=%s", text, text, text)
			}
			id, figure = args[0], text
		}
		factor, err := pricing.ReadFactor(figure)
		if err != nil {
			return w, fmt.Errorf("--change %s: %w", text, err)
		}
		w.changes = append(w.changes, pricing.Change{Resource: book.ID(id), Factor: factor})
	}
	for _, text := range o.categories {
		name, figure, _ := strings.Cut(text, "=")
		factor, err := pricing.ReadFactor(figure)
		if err != nil {
			return w, fmt.Errorf("--category %s: %w", text, err)
		}
		w.categories = append(w.categories, pricing.CategoryChange{Category: name, Factor: factor})
	}
	seen := map[book.ID]bool{}
	for _, c := range w.changes {
		if seen[c.Resource] {
			return w, fmt.Errorf("%s is changed twice; say one change of it", c.Resource)
		}
		seen[c.Resource] = true
	}
	if len(w.changes)+len(w.categories) == 0 {
		return w, errors.New("say what changes: --change \"18 %\", --price \"10 x 250 g=25.25\" or --category dairy=10%")
	}
	if len(args) == 1 && !slices.ContainsFunc(w.changes, func(c pricing.Change) bool { return c.Resource == book.ID(args[0]) }) {
		return w, fmt.Errorf("nothing is said of %s; give it a --change or a --price", args[0])
	}
	return w, nil
}

// readPackPrice reads "10 x 250 g=25.25".
func readPackPrice(resource, text string) (pricing.Change, error) {
	c := pricing.Change{Resource: book.ID(resource)}
	i := strings.LastIndex(text, "=")
	if i < 0 {
		return c, fmt.Errorf("--price %q needs a pack, = and a price, such as \"10 x 250 g=25.25\"", text)
	}
	size := strings.TrimSpace(text[:i])
	if size == "1 cake" { // flat overhead is priced by the cake
		size = "1 each"
	}
	pack, err := measure.ParsePack(size)
	if err != nil {
		return c, fmt.Errorf("--price: %w", err)
	}
	figure, err := money.ParsePrice(strings.TrimSpace(text[i+1:]))
	if err != nil {
		return c, fmt.Errorf("--price: %w", err)
	}
	c.Pack, c.Price = &pack, figure
	return c, nil
}

// within returns all changes, those of categories spelt out.
func (w wanted) within(b book.Book) ([]pricing.Change, error) {
	return pricing.SpellOut(b, w.changes, w.categories)
}

// impactResult is what changes do to a studio.
type impactResult struct {
	x      *book.Index
	rates  *pricing.Rates
	per    map[book.ID]exact.Number // the new price of a unit of each resource
	bills  map[book.ID]pricing.Bill
	labels []string // what changes, in words
	cakes  []pricing.Impact
	quotes []quote.Standing
}

func (e *Env) impact(ctx context.Context, w wanted, on day.Date) (r impactResult, err error) {
	s, err := e.open(ctx)
	if err != nil {
		return r, err
	}
	defer s.Close()
	return impactOn(ctx, s, w, on)
}

// impactOn works out what changes do to the studio of a store.
func impactOn(ctx context.Context, s *store.Store, w wanted, on day.Date) (r impactResult, err error) {
	p, err := s.PricedOn(ctx, on)
	if err != nil {
		return r, err
	}
	r.x, r.bills = book.NewIndex(p.Book), map[book.ID]pricing.Bill{}
	r.rates = pricing.NewRates(r.x, on)
	for _, t := range p.Takeoffs {
		r.bills[t.ID] = t.Bill
	}
	changes, err := w.within(p.Book)
	if err != nil {
		return r, err
	}
	for _, c := range changes {
		if err := checkResource(ctx, s, r.x, c.Resource); err != nil {
			return r, err
		}
	}
	if o := p.Book.Overhead; o != nil && o.Method == book.ByPercent && slices.ContainsFunc(changes, func(c pricing.Change) bool { return c.Resource == book.OverheadID }) {
		return r, errors.New("overhead is a share of all other costs here and has no price of its own; change what it is a share of, or its share in a book file")
	}
	if r.cakes, err = pricing.Impacts(r.x, r.rates, p.Takeoffs, changes...); err != nil {
		return r, err
	}
	r.labels = changeLabels(r.x, changes)
	if len(r.cakes) == 0 {
		return r, nil // no price need be known of what nothing uses
	}
	if r.per, err = pricing.Moves(r.x, r.rates, changes...); err != nil {
		return r, err
	}
	r.quotes, err = standings(ctx, s, r.x, r.rates, changes)
	return r, err
}

func changeLabels(x *book.Index, changes []pricing.Change) []string {
	var labels []string
	for _, c := range changes {
		switch {
		case c.Pack != nil:
			labels = append(labels, fmt.Sprintf("%s at %s for %s", c.Resource, c.Price, c.Pack))
		default:
			by := c.Factor.Sub(exact.Int(1)).Mul(exact.Int(100))
			sign := "+"
			if by.Sign() < 0 {
				sign = ""
			}
			labels = append(labels, fmt.Sprintf("%s %s%s %%", c.Resource, sign, pricing.Brief(by)))
		}
	}
	return labels
}

// standings holds every open quote that uses what changes against the margin
// it was sold at, the greatest loss first.
func standings(ctx context.Context, s *store.Store, x *book.Index, rates *pricing.Rates, changes []pricing.Change) ([]quote.Standing, error) {
	open, err := s.OpenQuotes(ctx, rates.On())
	if err != nil {
		return nil, err
	}
	quotes := make([]quote.Quote, len(open))
	for i, saved := range open {
		quotes[i] = saved.Quote
	}
	return quote.Standings(x, quotes, rates, changes...)
}

// write writes the workbook and the plot that were asked for.
func (o impactOptions) write(r impactResult) error {
	if o.sheet != "" {
		if err := writeFile(o.sheet, r.workbook); err != nil {
			return err
		}
	}
	if o.plot != "" {
		return writePlot(o.plot, impactPlot(r))
	}
	return nil
}

// workbook writes the workbook of what changes do.
func (r impactResult) workbook(w io.Writer) error {
	c, err := r.change()
	if err != nil {
		return err
	}
	return sheet.Impact(w, c)
}

// change returns what the workbook shows.
func (r impactResult) change() (sheet.Change, error) {
	share, err := r.rates.Share()
	if err != nil {
		return sheet.Change{}, err
	}
	c := sheet.Change{Studio: r.x.Book.Studio, On: r.rates.On(), Title: strings.Join(r.labels, ", "), Share: share}
	ids := slices.Sorted(maps.Keys(r.per))
	for _, id := range ids {
		kind, err := pricing.ResourceKind(r.x, id)
		if err != nil {
			return c, err
		}
		rate, err := r.rates.Of(id, kind)
		if err != nil {
			return c, err
		}
		c.Moved = append(c.Moved, sheet.Moved{ID: id, Unit: rate.Unit, Old: rate.PerUnit, New: r.per[id]})
	}
	of := func(bill pricing.Bill) (quantities []exact.Number) {
		for _, id := range ids {
			line, _ := bill.Line(id)
			quantities = append(quantities, line.Quantity)
		}
		return quantities
	}
	for _, im := range pricing.Ranked(r.cakes) {
		cake, _ := r.x.Cake(im.Cake)
		c.Cakes = append(c.Cakes, sheet.ChangedCake{Impact: im, Name: cake.Name, Quantity: of(r.bills[im.Cake])})
	}
	for _, s := range r.quotes {
		bill, err := s.Quote.Basis.Bill(r.x)
		if err != nil {
			return c, err
		}
		c.Quotes = append(c.Quotes, sheet.ChangedQuote{
			Number: s.Quote.Number, Client: s.Quote.Offer.Client.Name, Event: s.Quote.Offer.EventDate, Net: s.Quote.Basis.Net,
			Sold: s.Sold, Now: s.Now, After: s.After, Quantity: of(bill),
		})
	}
	return c, nil
}

func impactDocs(cakes []pricing.Impact) []machine.Impact {
	docs := []machine.Impact{}
	for _, im := range cakes {
		docs = append(docs, machine.ImpactOf(im))
	}
	return docs
}

func (r impactResult) document() any {
	quotes := []machine.Standing{}
	for _, s := range r.quotes {
		quotes = append(quotes, machine.StandingOf(s))
	}
	cakes := []machine.RankedImpact{}
	for _, im := range pricing.Ranked(r.cakes) {
		cakes = append(cakes, machine.RankedImpactOf(im))
	}
	return map[string]any{"on": r.rates.On().String(), "changes": r.labels, "cakes": cakes, "quotes": quotes, "totals": machine.TotalsOf(r.cakes, r.quotes)}
}

func (r impactResult) print(env *Env) {
	if len(r.cakes) == 0 {
		fmt.Fprintf(env.Out, "No cake uses %s.\n", strings.Join(r.labels, " or "))
		return
	}
	cur := r.x.Book.Studio.Currency
	fmt.Fprintf(env.Out, "%s, with prices of %s, in %s\n\n", env.bold(strings.Join(r.labels, ", ")), r.rates.On(), cur.Code())
	one := r.cakes[0].HasBreakEven()
	t := table{heads: []string{"cake", "price>", "cost before>", "after>", "a portion>", "margin before>", "after>", "price to restore>", "", ""}}
	if one {
		t.heads[8] = "break-even" + r.unit() + ">"
	}
	below := 0
	var costBefore, costAfter exact.Number
	for _, im := range pricing.Ranked(r.cakes) {
		row := []string{string(im.Cake), "", cur.Round(im.Before).String(), cur.Round(im.After).String(), "", "", "", "", "", ""}
		costBefore, costAfter = costBefore.Add(im.Before), costAfter.Add(im.After)
		if per, ok := pricing.PerPortion(im.After, im.Served); ok {
			row[4] = cur.Round(per).String()
		}
		if im.HasMargin {
			row[1] = cur.Round(im.Shown).String()
			row[5], row[6] = percent(im.MarginWas), percent(im.MarginIs)
			if one {
				row[8] = "none"
				if im.Reachable {
					row[8] = im.BreakEven.Fixed(6)
				}
			}
			if im.BelowFloor {
				below++
				row[9] = "below floor"
			}
		}
		if im.Restorable {
			row[7] = cur.Round(im.Restoring).String()
		}
		t.add(row...)
	}
	t.foot = []string{"one of each", "", cur.Round(costBefore).String(), cur.Round(costAfter).String(), "", "", "", "", "", ""}
	t.print(env)
	fmt.Fprintf(env.Out, "\n%s, %d of them below the floor of %s after it\n", plural(len(r.cakes), "cake uses it", "cakes use it"), below,
		percent(r.x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()))
	r.printQuotes(env)
}

// unit says what a break-even price is of: " a g". Where several resources
// move there is none.
func (r impactResult) unit() string {
	for id := range r.per {
		kind, err := pricing.ResourceKind(r.x, id)
		if err != nil {
			return ""
		}
		if rate, err := r.rates.Of(id, kind); err == nil {
			return " a " + rate.Unit
		}
	}
	return ""
}

func (r impactResult) printQuotes(env *Env) {
	if len(r.quotes) == 0 {
		fmt.Fprintln(env.Out, "No open quote uses it.")
		return
	}
	cur := r.x.Book.Studio.Currency
	fmt.Fprintf(env.Out, "\n%s\n", env.bold("Quotes issued, whose event is still to come"))
	t := table{heads: []string{"quote", "client", "event", "sold at>", "today>", "after>", "less earned>"}}
	var lost exact.Number
	for _, s := range r.quotes {
		sold, now, after := "", "", ""
		if s.HasMargin {
			sold, now, after = percent(s.MarginWas), percent(s.MarginNow), percent(s.MarginIs)
		}
		t.add(s.Quote.Number, s.Quote.Offer.Client.Name, s.Quote.Offer.EventDate.String(), sold, now, after, cur.Round(s.Lost()).String())
		lost = lost.Add(s.Lost())
	}
	t.foot = []string{"in all", "", "", "", "", "", cur.Round(lost).String()}
	t.print(env)
}
