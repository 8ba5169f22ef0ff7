package cli

import (
	"fmt"
	"io"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
)

func printTiers(env *Env, a tiersAnswer) {
	r := a.Request
	step := "25 mm"
	if r.Step.Given() {
		step = r.Step.String()
	}
	fmt.Fprintf(env.Out, "%s, from %s, a step of at least %s a side\n", env.bold(plural(r.Guests, "guest", "guests")), a.source, step)
	switch {
	case a.Lender == nil:
		fmt.Fprintln(env.Out, "The book has no tiered cake of this kind to take recipes from, so here are portions only; tiers are taken as 100 mm high.")
	case a.Found:
		fmt.Fprintf(env.Out, "Made as %s (%s), the first such cake of the book; name another with --like. Prices of %s in %s.\n", a.Lender.Name, a.Lender.ID, a.on, a.book.Studio.Currency.Code())
	default:
		fmt.Fprintf(env.Out, "Made as %s. Prices of %s in %s.\n", a.Lender.Name, a.on, a.book.Studio.Currency.Code())
	}
	if a.list[0].Made > a.list[0].Served {
		fmt.Fprintln(env.Out, "What is kept is made and not served.")
	}
	fmt.Fprintln(env.Out)
	t := table{heads: []string{">", "tins from the bottom up", "height>", "made>", "served>", "spare>"}}
	looks := false
	for _, p := range a.list {
		looks = looks || !p.Drift.IsZero()
	}
	if looks {
		t.heads = append(t.heads, "drift>")
	}
	if a.Lender != nil {
		t.heads = append(t.heads, "cost>", "price>", "a portion>")
	}
	cur := a.book.Studio.Currency
	for i, p := range a.list {
		row := []string{fmt.Sprint(i + 1), tinsText(p.Tins), millimetresText(p.Height), fmt.Sprint(p.Made), fmt.Sprint(p.Served), fmt.Sprint(p.Spare)}
		if looks {
			row = append(row, percent(p.Drift))
		}
		if c := p.Costing; c != nil {
			price, each := "", ""
			if c.Offer.HasPrice {
				price = cur.Round(c.Offer.Shown).String()
			}
			if per, ok := perPortion(p); ok {
				each = cur.Round(per).String()
			}
			row = append(row, cur.Round(c.Cost.Total()).String(), price, each)
		}
		t.add(row...)
	}
	t.print(env)
	if a.Lender != nil {
		fmt.Fprintln(env.Out, "\nBoards, boxes and whatever else is of a fixed quantity are as that cake has them; look through them before you quote.")
	}
}

// tinsText names the tins of a stack, the shape once where it is the same.
func tinsText(tins []book.Tin) string {
	words := make([]string, len(tins))
	for i, t := range tins {
		words[i] = strings.Replace(t.Outline().String(), ", ", " ", 1)
		if i > 0 && t.Shape == tins[i-1].Shape {
			words[i] = strings.TrimPrefix(words[i], string(t.Shape)+" ")
		}
	}
	return strings.Join(words, " + ")
}

// millimetresText writes a length in cm in whole mm.
func millimetresText(cm exact.Number) string {
	return cm.Mul(exact.Int(10)).Round(0).String() + " mm"
}

// tiersDocument is the document of `tiers`.
type tiersDocument struct {
	Guests    int           `json:"guests"`
	Like      book.ID       `json:"like,omitempty"`
	On        string        `json:"on"`
	Proposals []proposalDoc `json:"proposals"`
	Saved     book.ID       `json:"saved,omitempty"`
}

type proposalDoc struct {
	Tiers           []tierDoc     `json:"tiers"`
	PortionsMade    int           `json:"portions_made"`
	Portions        int           `json:"portions"` // served
	Spare           int           `json:"spare"`
	HeightMM        string        `json:"height_mm"`
	VolumeML        string        `json:"volume_ml"`
	Drift           string        `json:"drift,omitempty"`
	Cost            *machine.Cost `json:"cost,omitempty"`
	PricePerPortion string        `json:"price_per_portion,omitempty"`
}

type tierDoc struct {
	Name     string             `json:"name"`
	Tin      book.ID            `json:"tin,omitempty"`
	Shape    shape.Kind         `json:"shape"`
	Sizes    []measure.Quantity `json:"sizes"`
	Height   measure.Quantity   `json:"height"`
	Portions int                `json:"portions"`
	Kept     bool               `json:"kept"`
}

func tiersDoc(a tiersAnswer, saved book.ID) tiersDocument {
	doc := tiersDocument{Guests: a.Request.Guests, On: a.on.String(), Proposals: []proposalDoc{}, Saved: saved}
	if a.Lender != nil {
		doc.Like = a.Lender.ID
	}
	for _, p := range a.list {
		d := proposalDoc{PortionsMade: p.Made, Portions: p.Served, Spare: p.Spare, HeightMM: p.Height.Mul(exact.Int(10)).Fixed(6), VolumeML: p.Volume.Fixed(6)}
		for i, t := range p.Cake.Tiers {
			d.Tiers = append(d.Tiers, tierDoc{
				Name: t.Name, Tin: p.Tins[i].ID, Shape: t.Shape, Sizes: t.Solid().Outline.Sizes(), Height: t.Height,
				Portions: p.Portions[i], Kept: t.Kept.Or(false),
			})
		}
		if !p.Drift.IsZero() {
			d.Drift = p.Drift.Fixed(6)
		}
		if p.Costing != nil {
			cost := machine.CostOf(*p.Costing)
			d.Cost = &cost
		}
		if per, ok := perPortion(p); ok {
			d.PricePerPortion = per.Fixed(6)
		}
		doc.Proposals = append(doc.Proposals, d)
	}
	return doc
}

// Fields of the drawing for one proposal, in mm.
const tiersFieldWide, tiersFieldHigh = 90, 110

// plotTiers draws the proposals side by side at one scale.
func plotTiers(path string, a tiersAnswer) error {
	if !strings.HasSuffix(strings.ToLower(path), ".svg") {
		return fmt.Errorf("%s: the proposals are drawn as .svg; name the file so", path)
	}
	picture := lineup(a.book, a.list)
	if picture.Empty() {
		return fmt.Errorf("%s: these tiers cannot be drawn", path)
	}
	return writeFile(path, func(w io.Writer) error { return drawing.SVG(w, picture) })
}

// StacksPaper draws proposals side by side.
func (d desk) StacksPaper(w io.Writer, b book.Book, list []stack.Costed) error {
	picture := lineup(b, list)
	if picture.Empty() {
		return fmt.Errorf("a drawing of these tiers is %w", store.ErrNotFound)
	}
	return drawing.SVG(w, picture)
}

// lineup is the drawing of proposals at one scale, with what each costs.
func lineup(b book.Book, list []stack.Costed) document.Picture {
	cakes := make([]document.Cake, len(list))
	for i, p := range list {
		cakes[i] = pictured(i+1, p.Proposal)
		if per, ok := perPortion(p); ok {
			cur := b.Studio.Currency
			cakes[i].Portions += fmt.Sprintf(", %s %s, %s a portion", cur.Code(), cur.Round(p.Costing.Offer.Shown), cur.Round(per))
		}
	}
	return drawing.Row(cakes, tiersFieldWide, tiersFieldHigh)
}

// pictured is a proposal as the drawing labels it.
func pictured(number int, p stack.Proposal) document.Cake {
	c := document.Cake{
		Name: fmt.Sprintf("%d: %s", number, tinsText(p.Tins)), Portions: fmt.Sprintf("serves %d", p.Served),
		Height: millimetresText(p.Height), Unit: document.Centimetres,
	}
	for i, t := range p.Cake.Tiers {
		outline := t.Solid().Outline
		tier := document.Tier{
			Name: t.Name, Size: outline.String(), Height: t.Height.String(), Form: t.Solid(),
			Dummy: t.Dummy.Or(false), Kept: t.Kept.Or(false), Portions: plural(p.Portions[i], "portion", "portions"),
		}
		switch outline.Kind() {
		case shape.Round, shape.Square:
			tier.Width = outline.Sizes()[0].String()
		case shape.Rectangle:
			long, short := outline.Sizes()[0], outline.Sizes()[1]
			if long.Base(measure.Metric).Cmp(short.Base(measure.Metric)) < 0 {
				long = short
			}
			tier.Width = long.String()
		}
		if u := outline.Sizes()[0].Unit().String(); u == "in" {
			c.Unit = document.Inches
		}
		if tier.Dummy {
			tier.Note = "not edible"
		} else if tier.Kept {
			tier.Note, tier.Portions = "kept", tier.Portions+", kept"
		}
		c.Tiers = append(c.Tiers, tier)
	}
	return c
}
