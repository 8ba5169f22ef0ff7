package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// newPriceGroup asks for a new price in place of a change: of a pack, of an
// hour, of a kWh. which offers what else moves.
func newPriceGroup(x *book.Index, which page.Field, a *asking) page.Group {
	which.Name, which.Label = "set", "What has a new price"
	which.Options = slices.DeleteFunc(slices.Clone(which.Options), func(o page.Option) bool { return strings.HasPrefix(o.Value, categoryPrefix) })
	if len(x.Book.Energy) > 0 {
		which.Options = append(which.Options[:1:1], append([]page.Option{{Value: string(book.EnergyID), Text: "Energy"}}, which.Options[1:]...)...)
	}
	g := page.Group{Title: "Or a new price for a pack", Help: "As on the shelf: the price of 10 x 250 g. Of work and appliances the price of 1 h, of energy that of 1 kWh.", Fields: []page.Field{
		a.field(which),
		a.field(page.Field{Name: "set_pack", Label: "A pack holds"}),
		a.field(page.Field{Name: "set_price", Label: "It costs then", Kind: "number", Unit: x.Book.Studio.Currency.Code()}),
	}}
	for _, f := range g.Fields {
		g.Open = g.Open || f.Value != ""
	}
	return g
}

// readNewPrice reads what [newPriceGroup] asked for. Until all of it is filled
// in, nothing is said.
func readNewPrice(f form, others []pricing.Change) (list []pricing.Change, faults record.Faults) {
	id, pack, price := book.ID(f.get("set")), f.get("set_pack"), f.price("set_price")
	if id == "" || pack == "" || price == "" {
		return nil, nil
	}
	if slices.ContainsFunc(others, func(c pricing.Change) bool { return c.Resource == id }) {
		faults.Add("set", "it is moved above already; say one change of it")
		return nil, faults
	}
	size, err := f.readPack("set_pack", false)
	if pack == "1 cake" { // overhead by the cake
		size, err = measure.ParsePack("1 each")
	}
	if err != nil {
		faults.Add("set_pack", "%s", err)
	}
	figure, err := money.ParsePrice(price)
	if err != nil {
		faults.Add("set_price", "%s", err)
	}
	return []pricing.Change{{Resource: id, Pack: &size, Price: figure}}, faults
}

// changeLabel says what is changed: "Butter +18 %", "Butter at €25.25 for 10 x
// 250 g".
func changeLabel(words words, x *book.Index, c pricing.Change) string {
	if c.Pack != nil {
		return fmt.Sprintf("%s at %s for %s", pricingName(x, c.Resource), words.money(c.Price.Number()), c.Pack)
	}
	return pricingName(x, c.Resource) + " " + words.change(c.Factor.Sub(exact.Int(1)))
}

// moving keeps of an address what says how prices move, and on which day.
func moving(query url.Values) url.Values {
	kept := url.Values{}
	for key := range query {
		if v := query.Get(key); v != "" && (strings.HasPrefix(key, movePrefix) || strings.HasPrefix(key, "set") || key == "on") {
			kept.Set(key, v)
		}
	}
	return kept
}

// breakEvenUnit says in what people price the one resource that moves, and how
// many base units that is; "" where several move.
func breakEvenUnit(x *book.Index, rates *pricing.Rates, perUnit map[book.ID]exact.Number) (times exact.Number, unit string) {
	if len(perUnit) != 1 {
		return times, ""
	}
	for id := range perUnit {
		kind, err := pricing.ResourceKind(x, id)
		if err != nil {
			return times, ""
		}
		rate, err := rates.Of(id, kind)
		if err != nil {
			return times, ""
		}
		for _, d := range []measure.Dimension{measure.Mass, measure.Volume, measure.Count, measure.Length, measure.Area} {
			if d.Base() == rate.Unit {
				return pricing.Spoken(d)
			}
		}
		if rate.Unit == "min" {
			return exact.Int(60), "an hour"
		}
		return exact.Int(1), "a " + rate.Unit
	}
	return times, ""
}

// impactPaper is what moved prices do, to save: /what-if/impact.xlsx.
func (s *Server) impactPaper(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	changes, categories, on, faults := s.readChanges(r)
	if len(faults) > 0 {
		return faults
	}
	if len(changes)+len(categories) == 0 {
		return wrong("Move a price first, and then save what it does.")
	}
	ending := path.Ext(r.URL.Path)
	var b bytes.Buffer
	if err := s.Desk.ImpactPaper(r.Context(), &b, ending, s.store(r), changes, categories, on); err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	return s.save(w, r, fmt.Sprintf("what-if-%s%s", on, ending), b.Bytes())
}
