package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/pricing/shopping"
	"marchpane/store"
	"marchpane/templates/csvfile"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
	"marchpane/templates/sheet"
)

// shop is what the flags of `shopping` say.
type shop struct {
	from, to, on day.Date
	cakes        []string
	stock, out   string
	have, skip   []string
	one, hidden  bool
	onHand       map[book.ID]measure.Quantity // read elsewhere
}

func shoppingCommand(env *Env) *cobra.Command {
	var f shop
	cmd := &cobra.Command{
		Use:   "shopping --from DATE --to DATE",
		Short: "What to buy for the orders between two dates, in whole packs by supplier",
		Long: `List what the accepted orders with an event between two dates take, in whole packs:
the cheapest choice of packs, or those of the supplier that an ingredient names.
Eggs and the like are cracked once for the whole list: whites or yolks that are left
are told, with what could use them.

Recipes are those of today's book. What is on hand is subtracted: a JSON file such as
{"butter": "2 kg", "egg": "12 each"} or --have butter="2 kg".
The end of -o FILE says the form: .pdf for the shop, .xlsx with live formulas, .csv.`,
		Example: `  marchpane shopping --from 2027-06-07 --to 2027-06-13
  marchpane shopping --from 2027-06-07 --to 2027-06-13 --have butter="2 kg" --skip water -o list.pdf
  marchpane shopping --cake wedding-three-tier=2 -o list.xlsx`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if len(f.cakes) == 0 && (f.from.IsZero() || f.to.IsZero()) {
				env.started = false
				return errors.New("say which orders: --from and --to, the days of their events; or --cake CAKE=NUMBER")
			}
			if f.to.Before(f.from) {
				env.started = false
				return fmt.Errorf("--to %s is before --from %s", f.to, f.from)
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			b, err := s.Shared(cmd.Context())
			if err != nil {
				return err
			}
			list, err := env.shoppingList(cmd.Context(), s, schedule.NewKnown(book.NewIndex(b)), f)
			if err != nil {
				return err
			}
			if f.out != "" {
				if err := writeShopping(env, f.out, b.Studio, list); err != nil {
					return err
				}
			}
			if env.json {
				return env.printJSON(shoppingDocument(list))
			}
			if f.out != "" {
				fmt.Fprintf(env.Out, "The list of %s for %s is in %s: %s to pay.\n", plural(len(list.Lines), "thing", "things"), plural(len(list.Orders), "order", "orders"), f.out, list.Sum.PaidShown)
				return nil
			}
			printShopping(env, f, list)
			return nil
		},
	}
	cmd.Flags().Var(dateFlag{&f.from}, "from", "the `DATE` of the first event")
	cmd.Flags().Var(dateFlag{&f.to}, "to", "the `DATE` of the last event")
	cmd.Flags().StringArrayVar(&f.cakes, "cake", nil, "a design to shop for besides, or instead of orders: `CAKE=NUMBER`; may be given several times")
	cmd.Flags().StringVar(&f.stock, "stock", "", "what is on hand, in a JSON `FILE`")
	cmd.Flags().StringArrayVar(&f.have, "have", nil, "what is on hand, such as `butter=\"2 kg\"`; may be given several times")
	cmd.Flags().StringSliceVar(&f.skip, "skip", nil, "what nobody shops for, such as `water`")
	cmd.Flags().BoolVar(&f.hidden, "hidden", false, "shop for hidden extras too, such as a tasting, which was mostly done before the order came")
	cmd.Flags().BoolVar(&f.one, "one-supplier", false, "keep each thing to one supplier, even where packs of two are cheaper")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this `FILE`: .pdf, .xlsx or .csv")
	onFlag(cmd, &f.on)
	return cmd
}

// shoppingList works the list out from what the store has, by its book.
func (e *Env) shoppingList(ctx context.Context, s *store.Store, known *schedule.Known, f shop) (list shopping.List, err error) {
	x := known.Book()
	r := shopping.Request{On: e.orToday(f.on), OneSupplier: f.one}
	for _, id := range f.skip {
		if !slices.ContainsFunc(x.Book.Ingredients, func(i book.Ingredient) bool { return i.ID == book.ID(id) }) {
			return list, fmt.Errorf("--skip %s: the book has no such ingredient or packaging", id)
		}
		r.Skip = append(r.Skip, book.ID(id))
	}
	if r.OnHand, err = e.stock(f); err != nil {
		return list, err
	}
	if !f.from.IsZero() {
		orders, err := s.Orders(ctx, f.from, f.to)
		if err != nil {
			return list, err
		}
		for _, o := range orders {
			if !o.CancelledOn.IsZero() {
				continue
			}
			wanted, err := wantedOf(known, o, f.hidden)
			if err != nil {
				return list, fmt.Errorf("order %s: %w", o.Quote.Number, err)
			}
			r.Orders = append(r.Orders, shopping.Order{Ref: o.Quote.Number, Wanted: wanted})
		}
	}
	for _, text := range f.cakes {
		wanted, err := wantedCake(known, text)
		if err != nil {
			return list, err
		}
		r.Orders = append(r.Orders, shopping.Order{Ref: text, Wanted: []shopping.Wanted{wanted}})
	}
	return shopping.ListOf(x, r)
}

// wantedOf lists the cakes and extras of an order by today's recipes; what has
// left the book since, by the bill it was quoted with. What comes with every
// quote and nobody is shown, such as a tasting, was done before the order came.
func wantedOf(k *schedule.Known, o quote.Order, hidden bool) ([]shopping.Wanted, error) {
	x := k.Book()
	var list []shopping.Wanted
	take := func(c quote.Costed, takeoff pricing.Takeoff, err error, known bool) error {
		w := shopping.Wanted{Takeoff: takeoff, Quantity: c.Quantity}
		if known && err != nil {
			return err
		}
		if !known {
			// The bill of this one alone, made of a basis that has no other.
			bill, err := quote.Basis{Cakes: []quote.Costed{{ID: c.ID, Name: c.Name, Quantity: 1, Bill: c.Bill}}}.Bill(x)
			if err != nil {
				return err
			}
			w.Takeoff, w.Frozen = pricing.Takeoff{}, bill
		}
		list = append(list, w)
		return nil
	}
	for _, c := range o.Quote.Basis.Cakes {
		_, known := x.Cake(c.ID)
		var takeoff pricing.Takeoff
		var err error
		if known {
			takeoff, err = k.Cake(c.ID)
		}
		if err := take(c, takeoff, err, known); err != nil {
			return nil, err
		}
	}
	km := o.Quote.Request.Event.Km.Value.Number()
	for _, c := range o.Quote.Basis.Extras {
		extra, known := x.Extra(c.ID)
		if known && doneBefore(extra) && !hidden {
			continue
		}
		var takeoff pricing.Takeoff
		var err error
		if known {
			takeoff, err = k.Extra(c.ID, km)
		}
		if err := take(c, takeoff, err, known); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// wantedCake reads CAKE or CAKE=NUMBER.
func wantedCake(k *schedule.Known, text string) (shopping.Wanted, error) {
	id, number, counted := strings.Cut(text, "=")
	n := 1
	if counted {
		if _, err := fmt.Sscanf(number, "%d", &n); err != nil || n < 1 || n > 10_000 {
			return shopping.Wanted{}, fmt.Errorf("--cake %q: write how many as a number from 1 to 10000", text)
		}
	}
	takeoff, err := k.Cake(book.ID(id))
	return shopping.Wanted{Takeoff: takeoff, Quantity: n}, err
}

// stock reads what is on hand.
func (e *Env) stock(f shop) (map[book.ID]measure.Quantity, error) {
	on := map[book.ID]measure.Quantity{}
	maps.Copy(on, f.onHand)
	if f.stock != "" {
		data, err := e.readFile(f.stock)
		if err != nil {
			return nil, err
		}
		if err := json.Unmarshal(data, &on); err != nil {
			return nil, fmt.Errorf(`%s: write what is on hand as {"butter": "2 kg"}: %w`, f.stock, err)
		}
	}
	for _, pair := range f.have {
		id, text, ok := strings.Cut(pair, "=")
		q, err := measure.Parse(strings.Trim(text, `"`))
		if !ok || err != nil {
			return nil, fmt.Errorf("--have %s: write the ingredient and how much there is, such as butter=\"2 kg\"", pair)
		}
		on[book.ID(id)] = q
	}
	return on, nil
}

// shoppingPapers are the forms that a list is written in, by the ending of the
// file's name.
var shoppingPapers = map[string]func(*Env, io.Writer, book.Studio, shopping.List) error{
	".pdf": func(env *Env, w io.Writer, studio book.Studio, list shopping.List) error {
		warnings, err := pdf.Shopping(w, document.FromShopping(list, studio, document.EnglishShopping()))
		env.warn(warnings)
		return err
	},
	".xlsx": func(_ *Env, w io.Writer, studio book.Studio, list shopping.List) error {
		return sheet.Shopping(w, studio, list)
	},
	".csv": func(_ *Env, w io.Writer, _ book.Studio, list shopping.List) error { return csvfile.Shopping(w, list) },
}

func writeShopping(env *Env, path string, studio book.Studio, list shopping.List) error {
	paper := shoppingPapers[strings.ToLower(filepath.Ext(path))]
	if paper == nil {
		return fmt.Errorf("%s: the list is written as .pdf, .xlsx or .csv; end the name of the file so", path)
	}
	return writeFile(path, func(w io.Writer) error { return paper(env, w, studio, list) })
}

func printShopping(env *Env, f shop, list shopping.List) {
	if len(list.Orders) == 0 {
		fmt.Fprintf(env.Out, "No order has its event from %s to %s. Accepted quotes are orders: marchpane quote accept QUOTE\n", f.from, f.to)
		return
	}
	refs := make([]string, len(list.Orders))
	for i, o := range list.Orders {
		refs[i] = o.Ref
	}
	fmt.Fprintf(env.Out, "%s at prices of %s\nfor %s\n", env.bold("Shopping list"), list.On, strings.Join(refs, ", "))
	for _, g := range list.Groups {
		name := g.Supplier
		if name == "" {
			name = "any supplier"
		}
		fmt.Fprintf(env.Out, "\n%s\n", env.bold(name))
		t := table{heads: []string{"item", "to buy>", "", "packs>", "", "each>", list.Currency.Code() + ">", "left over>", ""}}
		for _, b := range g.Buys {
			need, unit, left, leftUnit := "", "", "", ""
			if b.First {
				need, unit = handy(b.Line.ToBuy, b.Line.Unit)
				left, leftUnit = handy(b.Line.Left, b.Line.Unit)
			}
			t.add(b.Line.Name, need, unit, pricing.Brief(b.Pick.Packs), "× "+b.Pick.Price.Pack.String(), b.Pick.Price.Price.String(), b.Pick.Sum.PaidShown.String(), left, leftUnit)
		}
		t.foot = []string{"", "", "", "", "", "", g.Sum.PaidShown.String(), "", ""}
		t.print(env)
	}
	fmt.Fprintf(env.Out, "\nto pay in all: %s", env.bold(list.Sum.PaidShown.String()+" "+list.Currency.Code()))
	if list.Recovers {
		fmt.Fprintf(env.Out, ", %s of it tax that comes back", list.Sum.Tax())
	}
	fmt.Fprintln(env.Out)
	for _, l := range list.Lines {
		if l.Split == nil {
			continue
		}
		for _, p := range l.Split.Parts {
			if p.Left.Sign() <= 0 {
				continue
			}
			fmt.Fprintf(env.Out, "left over: %s of %s%s\n", inWords(p.Left, "g"), p.Name, usedIn(p.UsedIn))
		}
	}
}

// handy returns a quantity in the unit that is said aloud.
func handy(n exact.Number, unit string) (figure, in string) {
	n, in = measure.Handy(n, unit)
	return pricing.Brief(n), in
}

func inWords(n exact.Number, unit string) string {
	figure, in := handy(n, unit)
	return figure + " " + in
}

func usedIn(list []shopping.Outlet) string {
	if len(list) == 0 {
		return ""
	}
	var names []string
	for _, o := range list {
		if !slices.Contains(names, o.Name) {
			names = append(names, o.Name)
		}
	}
	if len(names) > 4 {
		names = append(names[:4], "…")
	}
	return "; could go into " + strings.Join(names, ", ")
}

// shoppingJSON is the document of `shopping`.
type shoppingJSON struct {
	On       string             `json:"on"`
	Currency string             `json:"currency"`
	Orders   []string           `json:"orders"`
	Lines    []shoppingLineJSON `json:"lines"`
	Paid     string             `json:"paid"`
	Cost     string             `json:"cost"` // without recoverable tax
}

type shoppingLineJSON struct {
	ID     book.ID            `json:"id"`
	Name   string             `json:"name"`
	Unit   string             `json:"unit"`
	Needed string             `json:"needed"`
	OnHand string             `json:"on_hand"`
	ToBuy  string             `json:"to_buy"`
	Bought string             `json:"bought"`
	Left   string             `json:"left_over"`
	Packs  []shoppingPackJSON `json:"packs"`
	Parts  []shoppingPartJSON `json:"parts,omitempty"`
	Paid   string             `json:"paid"`
}

type shoppingPackJSON struct {
	Supplier string `json:"supplier,omitempty"`
	Pack     string `json:"pack"`
	Price    string `json:"price"`
	Packs    string `json:"packs"`
}

type shoppingPartJSON struct {
	ID   book.ID `json:"id"`
	Left string  `json:"left_over"`
}

func shoppingDocument(list shopping.List) shoppingJSON {
	const places = 6
	d := shoppingJSON{On: list.On.String(), Currency: list.Currency.Code(), Orders: []string{}, Lines: []shoppingLineJSON{}, Paid: list.Sum.PaidShown.String(), Cost: list.Sum.CostShown.String()}
	for _, o := range list.Orders {
		d.Orders = append(d.Orders, o.Ref)
	}
	for _, l := range list.Lines {
		line := shoppingLineJSON{
			ID: l.ID, Name: l.Name, Unit: l.Unit, Needed: l.Needed.Fixed(places), OnHand: l.OnHand.Fixed(places), ToBuy: l.ToBuy.Fixed(places),
			Bought: l.Bought.Fixed(places), Left: l.Left.Fixed(places), Packs: []shoppingPackJSON{}, Paid: l.Sum.PaidShown.String(),
		}
		for _, p := range l.Picks {
			line.Packs = append(line.Packs, shoppingPackJSON{p.Supplier(), p.Price.Pack.String(), p.Price.Price.String(), pricing.Brief(p.Packs)})
		}
		if l.Split != nil {
			for _, p := range l.Split.Parts {
				line.Parts = append(line.Parts, shoppingPartJSON{p.ID, p.Left.Fixed(places)})
			}
		}
		d.Lines = append(d.Lines, line)
	}
	return d
}
