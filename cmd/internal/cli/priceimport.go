package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/record"
	"marchpane/store"
)

// listOptions are the flags of `price import`.
type listOptions struct {
	supplier                   string
	from                       day.Date
	columns, aliases           []string
	tax, taxRate               string
	decimal, dates             string
	priceOf, customary         string
	sheet, encoding            string
	suspicious, note           string
	accept, skip               []int
	apply, all, skipAll, again bool
}

func priceImport(env *Env) *cobra.Command {
	var o listOptions
	cmd := &cobra.Command{
		Use:   "import FILE --supplier NAME",
		Short: "Take in a supplier's price list, CSV or XLSX",
		Long: `Take in a supplier's price list as it was sent: CSV or XLSX, any order of columns,
headings in English, French, German, Spanish, Italian, Dutch or Portuguese,
decimal comma or point, pack sizes in their many spellings.

Without --apply nothing is stored: each row's fate is shown. A new price, one
that is unchanged, an item that the book does not know (with the ingredients it
may be), a row that cannot be read, and one that looks wrong because the price
moved beyond --suspicious or the pack is of another dimension.

With --apply all new prices are added, or none: rows that cannot be read or look
wrong have to be taken with --accept or left out with --skip, by their number.
Items that the book does not know are left out. What is said of a supplier
(columns, tax, aliases) is remembered for the next list.`,
		Example: `  marchpane price import list.xlsx --supplier "Dairy round" --tax out
  marchpane price import list.csv --supplier Greens --column price=D --alias "ZTR 5kg=lemon"
  marchpane price import list.xlsx --supplier "Dairy round" --from 2026-12-01 --accept 14 --skip 30,31 --apply`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			return o.run(cmd.Context(), env, s, args[0])
		}),
	}
	f := cmd.Flags()
	f.StringVar(&o.supplier, "supplier", "", "whose list it is, `NAME`")
	f.Var(dateFlag{&o.from}, "from", "the `DATE` from which prices hold where the list gives none (default: today)")
	f.StringArrayVar(&o.columns, "column", nil, "where a column is, `WHAT=WHERE`: item, code, pack, count, unit, price, tax, currency or from, by heading or letter")
	f.StringArrayVar(&o.aliases, "alias", nil, "what one of the supplier's items is, `ITEM=INGREDIENT`, by its name or code; nothing after = for one you do not buy")
	f.StringVar(&o.tax, "tax", "", "whether prices hold tax: in or `out`")
	f.StringVar(&o.taxRate, "tax-rate", "", "the `PERCENT` of that tax")
	f.StringVar(&o.decimal, "decimal", "", "the `MARK` before decimals: , or .")
	f.StringVar(&o.dates, "dates", "", "the `ORDER` of day and month: dmy or mdy")
	f.StringVar(&o.priceOf, "price-of", "", "what a price buys where a case holds several: `unit` or pack")
	f.StringVar(&o.customary, "pints", "", "whose pints and ounces, where the list does not say: uk or us")
	f.StringVar(&o.sheet, "worksheet", "", "`NAME` of the sheet of a workbook (default: the one with a heading)")
	f.StringVar(&o.encoding, "encoding", "", "of a text file, such as `windows-1252` (default: found out)")
	f.StringVar(&o.suspicious, "suspicious", pricelist.SuspiciousChange, "a change beyond this `PERCENT` looks wrong")
	f.StringVar(&o.note, "note", "", "goes with every new price")
	f.IntSliceVar(&o.accept, "accept", nil, "`ROWS` that look wrong and are right")
	f.IntSliceVar(&o.skip, "skip", nil, "`ROWS` to leave out")
	f.BoolVar(&o.skipAll, "skip-all", false, "leave out every row that cannot be read or looks wrong")
	f.BoolVar(&o.apply, "apply", false, "add the new prices")
	f.BoolVar(&o.again, "again", false, "go through a list that was taken in before")
	f.BoolVar(&o.all, "all", false, "show rows that change nothing as well")
	cmd.MarkFlagRequired("supplier")
	return cmd
}

func (o *listOptions) run(ctx context.Context, env *Env, s *store.Store, path string) error {
	b, err := s.Book(ctx)
	if err != nil {
		return err
	}
	mapping, known, err := s.Supplier(ctx, o.supplier)
	if err != nil {
		return err
	}
	suspicious, said, err := o.read(&mapping)
	if err != nil {
		env.started = false
		return err
	}
	x := book.NewIndex(b)
	for _, a := range said {
		if it, ok := x.Item(a.Ingredient); a.Ingredient != "" && (!ok || it.Ingredient == nil || it.Part != nil) {
			return fmt.Errorf("--alias: %q is no ingredient or packaging of the book", a.Ingredient)
		}
	}
	list, err := intake.Open(path, intake.Options{Mapping: mapping, RecoversTax: b.Studio.RecoversTax.Or(false), Sheet: o.sheet, Encoding: o.encoding})
	if err != nil {
		return err
	}
	if err := o.knownRows(list); err != nil {
		return err
	}
	before, err := s.TakenIn(ctx, o.supplier, list.Digest)
	if err != nil {
		return err
	}
	if before != "" && o.apply && !o.again {
		if env.json {
			return env.printJSON(fateDocs(pricelist.Plan{}, true, 0))
		}
		fmt.Fprintf(env.Out, "This very list was taken in on %s; nothing was added. Say --again to go through it once more.\n", before[:len("2026-10-05")])
		return nil
	}
	list.Rows = slices.DeleteFunc(list.Rows, func(r pricelist.Row) bool { return slices.Contains(o.skip, r.Number) })
	accept := map[int]bool{}
	for _, n := range o.accept {
		accept[n] = true
	}
	plan, err := pricelist.NewPlan(x, list.Rows, mapping, append(known, said...), pricelist.Options{
		Supplier: o.supplier, From: env.orToday(o.from), Suspicious: suspicious, Accept: accept, Note: o.note,
	})
	if err != nil {
		return hinted(err)
	}
	if err := o.accepted(plan); err != nil {
		return err
	}
	added := 0
	if o.apply {
		if err := o.ready(plan); err != nil {
			printFates(env, x, plan, o.all)
			return err
		}
		changes, err := s.Import(ctx, pricelist.File(b, plan.Prices()), false, filepath.Base(path), env.Now())
		if err != nil {
			return err
		}
		added = changes.Prices
		if err := s.SaveSupplier(ctx, o.supplier, mapping, said, list.Digest, env.Now()); err != nil {
			return err
		}
	}
	if env.json {
		return env.printJSON(fateDocs(plan, o.apply, added))
	}
	printFates(env, x, plan, o.all)
	o.close(env, plan, added)
	return nil
}

// read takes the flags into a mapping and aliases.
func (o *listOptions) read(m *pricelist.Mapping) (suspicious measure.Percent, aliases []pricelist.Alias, err error) {
	if suspicious, err = measure.ParsePercent(spacedPercent(o.suspicious)); err != nil {
		return suspicious, nil, fmt.Errorf("--suspicious: %w", err)
	}
	for _, text := range o.columns {
		what, where, _ := strings.Cut(text, "=")
		column := map[string]*string{
			"item": &m.Columns.Item, "code": &m.Columns.Code, "pack": &m.Columns.Pack, "count": &m.Columns.Count, "unit": &m.Columns.Unit,
			"price": &m.Columns.Price, "tax": &m.Columns.Tax, "currency": &m.Columns.Currency, "from": &m.Columns.From,
		}[what]
		if column == nil {
			return suspicious, nil, fmt.Errorf("--column %s: %q is unknown; use item, code, pack, count, unit, price, tax, currency or from", text, what)
		}
		*column = where
	}
	for _, text := range o.aliases {
		i := strings.LastIndex(text, "=")
		if i <= 0 {
			return suspicious, nil, fmt.Errorf("--alias %q needs an item, = and an ingredient", text)
		}
		// By name and by code: the user need not know which of the two it was.
		id := book.ID(text[i+1:])
		aliases = append(aliases, pricelist.Alias{Name: text[:i], Ingredient: id}, pricelist.Alias{Code: text[:i], Ingredient: id})
	}
	words := []struct {
		flag, text string
		into       interface{ UnmarshalText([]byte) error }
	}{{"tax", o.tax, &m.Tax}, {"decimal", o.decimal, &m.Decimal}, {"dates", o.dates, &m.Dates}, {"price-of", o.priceOf, &m.PriceOf}, {"pints", o.customary, &m.Customary}}
	for _, w := range words {
		if w.text == "" {
			continue
		}
		if err := w.into.UnmarshalText([]byte(w.text)); err != nil {
			return suspicious, nil, fmt.Errorf("--%s: %w", w.flag, err)
		}
	}
	if o.taxRate != "" {
		rate, err := measure.ParsePercent(spacedPercent(o.taxRate))
		if err != nil {
			return suspicious, nil, fmt.Errorf("--tax-rate: %w", err)
		}
		m.TaxRate = record.Some(rate)
	}
	return suspicious, aliases, nil
}

// knownRows refuses numbers of rows that the list does not have.
func (o *listOptions) knownRows(list intake.List) error {
	for _, n := range append(slices.Clone(o.skip), o.accept...) {
		if !slices.ContainsFunc(list.Rows, func(r pricelist.Row) bool { return r.Number == n }) {
			return fmt.Errorf("the list has no row %d; look at the numbers with --all", n)
		}
	}
	return nil
}

// accepted refuses to accept what is no matter of taste.
func (o *listOptions) accepted(p pricelist.Plan) error {
	for _, f := range p.Fates {
		if slices.Contains(o.accept, f.Row.Number) && (f.Verdict == pricelist.Unreadable || f.Verdict == pricelist.Suspicious || f.Verdict == pricelist.UnknownItem) {
			return fmt.Errorf("row %d cannot be accepted: it is %s: %s; mend the list, or leave the row out with --skip %d", f.Row.Number, f.Verdict, whyText(f), f.Row.Number)
		}
	}
	return nil
}

// hinted names the flags by which a list is explained.
func hinted(err error) error {
	return fmt.Errorf("%w (--tax, --column, --decimal, --dates, --price-of, --pints and --encoding say how to read a list; see price import --help)", err)
}

// ready refuses to apply a plan with rows that nobody has decided on.
func (o *listOptions) ready(p pricelist.Plan) error {
	var open []string
	for _, n := range p.Open() {
		open = append(open, strconv.Itoa(n))
	}
	if len(open) == 0 || o.skipAll {
		return nil
	}
	return fmt.Errorf("nothing was added: row %s cannot be taken as it is; mend the list, take a row that is right with --accept, or leave rows out with --skip %s", strings.Join(open, ", "), strings.Join(open, ","))
}

func (o *listOptions) close(env *Env, p pricelist.Plan, added int) {
	var parts []string
	for _, v := range []pricelist.Verdict{pricelist.NewPrice, pricelist.Unchanged, pricelist.UnknownItem, pricelist.Suspicious, pricelist.Unreadable, pricelist.Duplicate, pricelist.PassedOver} {
		if n := p.Count(v); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, v))
		}
	}
	fmt.Fprintf(env.Out, "\n%s.\n", strings.Join(parts, ", "))
	switch {
	case o.apply:
		fmt.Fprintf(env.Out, "%s added.\n", plural(added, "dated price", "dated prices"))
	case p.Count(pricelist.NewPrice) > 0:
		fmt.Fprintln(env.Out, "Nothing is stored yet; add --apply to take the new prices.")
	}
}

func printFates(env *Env, x *book.Index, p pricelist.Plan, all bool) {
	t := table{heads: []string{"row>", "fate", "item", "ingredient", "pack", "price>", "change>", "why"}}
	for _, f := range p.Fates {
		if !all && (f.Verdict == pricelist.Unchanged || f.Verdict == pricelist.PassedOver) {
			continue
		}
		pack, price, change := "", "", ""
		if f.Read {
			pack, price = f.Price.Pack.String(), f.Price.Price.String()
		}
		if f.Compared {
			change = signedPercent(f.Change)
		}
		t.add(strconv.Itoa(f.Row.Number), string(f.Verdict), firstOf(f.Item, f.Code), string(f.Ingredient), pack, price, change, whyText(f))
	}
	if len(t.rows) > 0 {
		t.print(env)
	}
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// whyText says why, where, and what an unknown item may be.
func whyText(f pricelist.Fate) string {
	var parts []string
	if f.Reason != "" {
		reason := f.Reason
		if f.At != "" {
			reason = f.At + ": " + reason
		}
		parts = append(parts, reason)
	}
	if len(f.Suggestions) > 0 {
		var ids []string
		for _, s := range f.Suggestions {
			ids = append(ids, string(s.Ingredient))
		}
		parts = append(parts, "is it "+strings.Join(ids, ", ")+"?")
	}
	if f.Verdict == pricelist.UnknownItem {
		guess := "INGREDIENT"
		if len(f.Suggestions) > 0 {
			guess = string(f.Suggestions[0].Ingredient)
		}
		parts = append(parts, fmt.Sprintf("if so: --alias %q", firstOf(f.Item, f.Code)+"="+guess))
	}
	return strings.Join(append(parts, f.Remarks...), "; ")
}

type fateDoc struct {
	Row         int      `json:"row"`
	Fate        string   `json:"fate"`
	Item        string   `json:"item"`
	Code        string   `json:"code,omitempty"`
	Ingredient  string   `json:"ingredient,omitempty"`
	From        string   `json:"from,omitempty"`
	Pack        string   `json:"pack,omitempty"`
	Price       string   `json:"price,omitempty"`
	OldPack     string   `json:"old_pack,omitempty"`
	OldPrice    string   `json:"old_price,omitempty"`
	Change      string   `json:"change,omitempty"`
	Cell        string   `json:"cell,omitempty"`
	Reason      string   `json:"reason,omitempty"`
	Suggestions []string `json:"suggestions,omitempty"`
	Remarks     []string `json:"remarks,omitempty"`
}

func fateDocs(p pricelist.Plan, applied bool, added int) any {
	rows := []fateDoc{}
	for _, f := range p.Fates {
		d := fateDoc{
			Row: f.Row.Number, Fate: string(f.Verdict), Item: f.Item, Code: f.Code, Ingredient: string(f.Ingredient),
			Cell: f.At, Reason: f.Reason, Remarks: f.Remarks,
		}
		if f.Read {
			d.From, d.Pack, d.Price = f.Price.From.String(), f.Price.Pack.String(), f.Price.Price.String()
		}
		if f.Compared {
			d.OldPack, d.OldPrice, d.Change = f.OldPrice.Pack.String(), f.OldPrice.Price.String(), machine.Fraction(f.Change)
		}
		for _, s := range f.Suggestions {
			d.Suggestions = append(d.Suggestions, string(s.Ingredient))
		}
		rows = append(rows, d)
	}
	return map[string]any{"rows": rows, "applied": applied, "prices_added": added}
}
