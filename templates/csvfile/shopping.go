package csvfile

import (
	"io"
	"strings"

	"marchpane/pricing/shopping"
)

// shoppingHeads are the columns of a shopping list.
var shoppingHeads = []string{
	"supplier", "category", "id", "name", "kind", "unit", "needed", "on_hand", "to_buy",
	"packs", "pack", "pack_holds", "pack_price", "tax_in_percent", "price_since", "paid", "cost", "currency", "left_over", "for",
}

// Shopping writes a shopping list: a row for each size of pack that is bought,
// by supplier, and after them a row for each thing that is on hand already, with
// no packs. Where a thing is bought in several packs its needed, on_hand, to_buy
// and left_over stand in the first of its rows alone, so that each column adds
// up. Paid holds all tax, cost only what the studio does not recover; both add
// up to the totals of the other forms of the list.
func Shopping(out io.Writer, list shopping.List) error {
	t := newTable(out, shoppingHeads...)
	currency := list.Currency.Code()
	for _, g := range list.Groups {
		for _, b := range g.Buys {
			l, p := b.Line, b.Pick
			amounts, left := []string{"", "", ""}, ""
			if b.First {
				amounts, left = []string{figure(l.Needed), figure(l.OnHand), figure(l.ToBuy)}, figure(l.Left)
			}
			tax := ""
			if p.Price.TaxIn.Given {
				tax = strings.TrimSuffix(p.Price.TaxIn.Value.String(), " %")
			}
			cells := append(shoppingThing(g.Supplier, l), amounts...)
			t.row(append(cells, figure(p.Packs), p.Price.Pack.String(), figure(p.Size), p.Price.Price.String(), tax, p.Price.From.String(),
				p.Sum.PaidShown.String(), p.Sum.CostShown.String(), currency, left, shoppingFor(l))...)
		}
	}
	for _, l := range list.Lines {
		if len(l.Picks) > 0 {
			continue
		}
		cells := append(shoppingThing("", l), figure(l.Needed), figure(l.OnHand), figure(l.ToBuy))
		none := list.Currency.Round(l.Sum.Paid).String()
		t.row(append(cells, "0", "", "", "", "", "", none, none, currency, figure(l.Left), shoppingFor(l))...)
	}
	return t.close()
}

// shoppingThing returns the cells that say what is bought.
func shoppingThing(supplier string, l shopping.Line) []string {
	return []string{text(supplier), text(l.Category), string(l.ID), text(l.Name), l.Kind.String(), l.Unit}
}

// shoppingFor names the orders that take a thing.
func shoppingFor(l shopping.Line) string {
	refs := make([]string, len(l.For))
	for i, s := range l.For {
		refs[i] = s.Ref
	}
	return text(strings.Join(refs, "; "))
}
