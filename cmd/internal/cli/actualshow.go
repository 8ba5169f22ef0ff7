package cli

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/web"
	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

func actualShow(env *Env) *cobra.Command {
	var recorded bool
	cmd := &cobra.Command{
		Use:   "show ORDER",
		Short: "An order as planned and as it went, and what that did to its margin",
		Long: `Show an order line by line, as its quote planned it and as it went. Where nothing is
recorded the plan stands in, "as planned". Below, the way from the planned margin to
the real one, and the entries that it rests on.`,
		Example: `  marchpane actual show 2026-0001
  marchpane actual show 2026-0001 --recorded    leave out what went as planned`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.work(cmd.Context(), func(b bench) error {
				o, err := b.Order(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				found, r, err := b.worked(cmd.Context(), o)
				if err != nil {
					return err
				}
				entries := b.entryDocs(ofOrder(found, o.Quote.Number))
				if env.json {
					return env.printJSON(b.showDoc(o, r, entries))
				}
				b.printShow(o, r, entries, recorded)
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&recorded, "recorded", false, "list only what something is recorded of")
	return cmd
}

// worked works an order out with all that is recorded of it.
func (b bench) worked(ctx context.Context, o quote.Order) (actual.Records, variance.Result, error) {
	found, err := b.ActualsOf(ctx, o.Quote.Number)
	if err != nil {
		return found, variance.Result{}, err
	}
	plan, err := actual.Planned(o)
	if err != nil {
		return found, variance.Result{}, err
	}
	r, err := variance.Work(actual.NewLedger(found).Apply(plan, o))
	return found, r, err
}

// doubts says what looks wrong with an order once some entries are recorded of
// it, about what those entries are of.
func (b bench) doubts(ctx context.Context, o *quote.Order, entries actual.Records) ([]string, error) {
	if o == nil {
		return nil, nil
	}
	_, r, err := b.worked(ctx, *o)
	if err != nil {
		return nil, err
	}
	about := map[book.ID]bool{}
	for _, e := range entries.Work {
		about[e.Role] = true
	}
	for _, e := range entries.Goods {
		for _, g := range e.Goods {
			about[g.Resource] = true
		}
	}
	var list []string
	for _, d := range actual.Doubts(r) {
		if !about[d.Line.Resource] {
			continue
		}
		text := fmt.Sprintf("%s recorded of %s, and %s planned", quantityText(d.Quantity, d.Line), b.name(d.Line.Resource), quantityText(d.Line.StandardQuantity, d.Line))
		switch {
		case d.Over:
			text += "; take a slip back with: marchpane actual undo"
		case d.Line.Kind == pricing.Role:
			text += "; what is missing counts as saved, until the rest is recorded"
		default:
			text += "; is that all that was used?"
		}
		list = append(list, text)
	}
	return list, nil
}

// ofOrder leaves out what is recorded of no order in particular.
func ofOrder(r actual.Records, number string) actual.Records {
	r.Wages, r.Bills, r.Plans = nil, nil, nil
	r.Purchases = slices.DeleteFunc(slices.Clone(r.Purchases), func(p actual.Purchase) bool { return p.Order != number })
	return r
}

// name returns what a resource is called in the book.
func (b bench) name(id book.ID) string {
	return pricing.NewRates(b.x, b.env.today()).Name(id)
}

// quantityText prints a quantity as a kitchen says it.
func quantityText(n exact.Number, l variance.Line) string {
	thousand := exact.Int(1000)
	switch {
	case l.Kind == pricing.Role || l.Unit == "min":
		return actual.InHours(n)
	case l.Unit == "g" && n.Cmp(thousand) >= 0:
		return n.Quo(thousand).Round(3).String() + " kg"
	case l.Unit == "ml" && n.Cmp(thousand) >= 0:
		return n.Quo(thousand).Round(3).String() + " l"
	case l.Unit == "mm" && n.Cmp(thousand) >= 0:
		return n.Quo(thousand).Round(3).String() + " m"
	}
	return n.Round(2).String() + " " + l.Unit
}

// pricePer prints a price for the amount in which people compare prices.
func pricePer(n exact.Number, l variance.Line) string {
	switch l.Kind {
	case pricing.Role, pricing.Equipment:
		return n.Mul(exact.Int(60)).Fixed(2) + " an hour"
	case pricing.Energy:
		return n.Fixed(4) + " a kWh"
	case pricing.Overhead:
		return n.Fixed(2) + " a " + map[string]string{"h": "labour hour"}[l.Unit] + map[bool]string{true: "cake"}[l.Unit == "cake"]
	}
	for d := measure.Mass; d <= measure.Area; d++ {
		if d.Base() == l.Unit {
			return perUsual(n, d)
		}
	}
	return n.Fixed(4)
}

const asPlanned = "as planned"

// lines puts an order's lines into words; those of which nothing is recorded
// only where they are asked for and planned.
func (b bench) lines(r variance.Result, recorded bool) (list []web.ActualLine) {
	rates := pricing.NewRates(b.x, b.env.today())
	for _, v := range r.Lines {
		if !v.Recorded() && (recorded || v.Line.StandardQuantity.IsZero()) {
			continue
		}
		l := web.ActualLine{Name: rates.Name(v.Line.Resource), Planned: quantityText(v.Line.StandardQuantity, v.Line), PlannedAt: pricePer(v.Line.StandardPrice, v.Line), Recorded: v.Recorded()}
		if v.Quantity.Recorded {
			l.Took = quantityText(v.Quantity.Value, v.Line)
		}
		if v.Price.Recorded {
			l.Paid = pricePer(v.Price.Value, v.Line)
		}
		if l.Recorded {
			l.Difference = b.book.Studio.Currency.Round(v.Split.Total())
		}
		list = append(list, l)
	}
	return list
}

func (b bench) printShow(o quote.Order, r variance.Result, entries []entryDoc, recorded bool) {
	out := b.env.Out
	fmt.Fprintf(out, "%s for %s, event %s\n", b.env.bold(o.Quote.Number), o.Quote.Offer.Client.Name, o.Quote.Offer.EventDate)
	if !o.CancelledOn.IsZero() {
		fmt.Fprintf(out, "cancelled on %s for a fee of %s; nothing is planned any more, so only what was recorded counts\n", o.CancelledOn, o.Fee)
	}
	fmt.Fprintln(out)
	t := table{heads: []string{"", "planned>", "actual>", "planned at>", "paid>", "difference>"}}
	cur := b.book.Studio.Currency
	for _, l := range b.lines(r, recorded) {
		difference := ""
		if l.Recorded {
			difference = signedMoney(l.Difference)
		}
		t.add(l.Name, l.Planned, firstOf(l.Took, asPlanned), l.PlannedAt, firstOf(l.Paid, asPlanned), difference)
	}
	if len(t.rows) > 0 {
		t.print(b.env)
		fmt.Fprintln(out)
	}

	p := r.Bridge.Print(cur)
	steps := table{heads: []string{"from the planned margin to the real one", cur.Code() + ">", ""}}
	steps.add("planned margin", p.Planned.String(), "")
	for _, s := range p.Steps {
		note := ""
		if !s.Recorded {
			note = asPlanned
		}
		steps.add("  "+month.StepLabel(s.Key), signedMoney(s.Amount), note)
	}
	steps.add("actual margin", p.Actual.String(), marginText(r))
	steps.print(b.env)
	fmt.Fprintln(out)
	if len(entries) == 0 {
		fmt.Fprintf(out, "Nothing is recorded of this order itself. See how with: marchpane actual --help\n")
		return
	}
	printEntries(b.env, entries)
}

// marginText says what share of the net price the planned and the real margin
// are.
func marginText(r variance.Result) string {
	planned, real := share(r.PlannedNet, r.Bridge.Planned), share(r.Net, r.Bridge.Actual)
	switch {
	case !real.Given:
		return ""
	case !planned.Given:
		return percent(real.Value)
	}
	return fmt.Sprintf("%s, planned %s", percent(real.Value), percent(planned.Value))
}

// share is what part of a net price a margin is, absent where there is no price.
func share(net, margin exact.Number) record.Maybe[exact.Number] {
	if m, ok := pricing.Margin(net, net.Sub(margin)); ok {
		return record.Some(m)
	}
	return record.Maybe[exact.Number]{}
}

// signedMoney prints money with a plus where it raises the margin.
func signedMoney(a money.Amount) string {
	if a.Sign() > 0 {
		return "+" + a.String()
	}
	return a.String()
}

func actualUndo(env *Env) *cobra.Command {
	var on day.Date
	var why string
	cmd := &cobra.Command{
		Use:   "undo ENTRY",
		Short: "Take back an entry that was made by mistake",
		Long: `Take back an entry. It stays in the journal, with the day and the reason, and counts
for nothing. A price that a purchase brought into the price history stays there: put
it right with "price set" and a note.`,
		Example: `  marchpane actual undo A12 --why "another cake"`,
		Args:    arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.work(cmd.Context(), func(b bench) error {
				undone, err := b.UndoActual(cmd.Context(), args[0], why, env.orToday(on), env.Now())
				if err != nil {
					return err
				}
				docs := b.entryDocs(undone)
				if env.json {
					docs[0].Undone, docs[0].UndoneWhy = env.orToday(on).String(), why
					return env.printJSON(docs[0])
				}
				fmt.Fprintf(env.Out, "%s is taken back: %s\n", docs[0].ID, docs[0].Says)
				for _, p := range undone.Purchases {
					fmt.Fprintf(env.Out, "Its price stays in the price history; look with: marchpane price history %s\n", p.Ingredient)
				}
				return nil
			})
		},
	}
	cmd.Flags().Var(dateFlag{&on}, "on", "the `DATE` of the correction (default: today)")
	cmd.Flags().StringVar(&why, "why", "", "why, in `WORDS`")
	return cmd
}

// showDoc is the document of `actual show`.
type showDoc struct {
	Order     string     `json:"order"`
	Client    string     `json:"client"`
	Event     string     `json:"event_date"`
	Cancelled string     `json:"cancelled_on,omitempty"`
	Currency  string     `json:"currency"`
	Lines     []lineDoc  `json:"lines"`
	Bridge    bridgeDoc  `json:"bridge"`
	Entries   []entryDoc `json:"entries"`
}

// lineDoc is a line; what stands in for a figure is not marked as recorded.
type lineDoc struct {
	Resource         string `json:"resource"`
	Kind             string `json:"kind"`
	Unit             string `json:"unit"`
	PlannedQuantity  string `json:"planned_quantity"`
	Quantity         string `json:"quantity"`
	QuantityRecorded bool   `json:"quantity_recorded"`
	PlannedPrice     string `json:"planned_price"`
	Price            string `json:"price"`
	PriceRecorded    bool   `json:"price_recorded"`
	PriceVariance    string `json:"price_variance"`
	UsageVariance    string `json:"usage_variance"`
	LostVariance     string `json:"lost_variance"`
}

type bridgeDoc struct {
	Planned string    `json:"planned_margin"`
	Steps   []stepDoc `json:"steps"`
	Actual  string    `json:"actual_margin"`
}

type stepDoc struct {
	Key      string          `json:"key"`
	Amount   string          `json:"amount"`
	Effect   variance.Effect `json:"effect"`
	Recorded bool            `json:"recorded"`
}

func (b bench) showDoc(o quote.Order, r variance.Result, entries []entryDoc) showDoc {
	h := o.Quote.Offer.Heading
	d := showDoc{Order: o.Quote.Number, Client: h.Client.Name, Event: h.EventDate.String(), Cancelled: o.CancelledOn.String(), Currency: h.Studio.Currency.Code(), Lines: []lineDoc{}, Entries: entries}
	const places = 6 // as every other document has them
	for _, v := range r.Lines {
		d.Lines = append(d.Lines, lineDoc{
			Resource: string(v.Line.Resource), Kind: v.Line.Kind.String(), Unit: v.Line.Unit,
			PlannedQuantity: v.Line.StandardQuantity.Fixed(places), Quantity: v.Quantity.Value.Fixed(places), QuantityRecorded: v.Quantity.Recorded,
			PlannedPrice: v.Line.StandardPrice.Fixed(places), Price: v.Price.Value.Fixed(places), PriceRecorded: v.Price.Recorded,
			PriceVariance: v.Split.Price.Fixed(places), UsageVariance: v.Split.Usage.Fixed(places), LostVariance: v.Split.Lost.Fixed(places),
		})
	}
	p := r.Bridge.Print(h.Studio.Currency)
	d.Bridge = bridgeDoc{Planned: p.Planned.String(), Steps: []stepDoc{}, Actual: p.Actual.String()}
	for _, s := range p.Steps {
		d.Bridge.Steps = append(d.Bridge.Steps, stepDoc{s.Key.String(), s.Amount.String(), s.Effect, s.Recorded})
	}
	return d
}
