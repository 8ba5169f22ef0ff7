package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/templates/page"
	"marchpane/templates/sheet"
)

func (m *routes) billPages() {
	m.get("/cakes/{id}/bill", m.s.showBill)
	m.get("/cakes/{id}/cost.xlsx", m.s.costSheet)
}

// showBill shows everything a cake takes, in the units it is bought in.
func (s *Server) showBill(w http.ResponseWriter, r *http.Request) error {
	x, c, err := cakes.named(s, r)
	if err != nil {
		return err
	}
	id := c.ID
	body := page.Bill{Title: c.Name, Places: s.cakePlaces(id, s.today(), "bill")}
	takeoff, err := pricing.TakeCake(x, id)
	if err != nil {
		body.Fault = sentence(err.Error())
		return s.show(w, r, "bill", c.Name, body, cakeCrumbs(id, c.Name, "What it takes")...)
	}
	words := wordsOf(x.Book.Studio)
	rates := s.rates(x)
	titles := map[pricing.Kind]string{
		pricing.Ingredient: "Ingredients", pricing.Packaging: "Packaging", pricing.Role: "Hands-on work", pricing.Equipment: "Appliances", pricing.Energy: "Energy", pricing.Overhead: "Overhead",
	}
	var last pricing.Kind = -1
	for _, l := range takeoff.Bill {
		if l.Kind != last {
			last = l.Kind
			body.Groups = append(body.Groups, page.BillGroup{Title: titles[l.Kind]})
		}
		g := &body.Groups[len(body.Groups)-1]
		g.Figures = append(g.Figures, page.Figure{Label: capital(rates.Name(l.Resource)), Href: resourceAt(l.Resource, l.Kind), Value: words.taken(l)})
	}
	body.Files = []page.Link{{Text: "Cost sheet (XLSX)", Href: cakes.at(id) + "/cost.xlsx"}}
	return s.show(w, r, "bill", c.Name, body, cakeCrumbs(id, c.Name, "What it takes")...)
}

// taken writes a quantity of a bill, as scales and clocks show it.
func (w words) taken(l pricing.BillLine) string {
	n, unit := measure.Handy(l.Quantity, l.Unit)
	places := int32(1)
	switch unit {
	case "kg", "l":
		places = 3
	case "m", "m2", "kWh", "h":
		places = 2
	case "min":
		if n.Cmp(exact.Int(60)) >= 0 {
			n, unit, places = n.Mul(exact.Frac(1, 60)), "h", 2
		}
	case "each":
		unit = "pieces"
		if n.Equal(exact.Int(1)) {
			unit = "piece"
		}
	}
	unit = strings.Replace(unit, "2", "²", 1)
	return w.locale.Number(n.Round(places), 0) + "\u00a0" + unit
}

// costSheet is the workbook of a cake's cost, with live formulas.
func (s *Server) costSheet(w http.ResponseWriter, r *http.Request) error {
	x, c, err := cakes.named(s, r)
	if err != nil {
		return err
	}
	id := c.ID
	on, faults := s.asOf(r)
	if len(faults) > 0 {
		return faults
	}
	costing, err := s.costing(r, x, id, on)
	if err != nil {
		return problem{Status: http.StatusUnprocessableEntity, Title: "There is no cost sheet yet", Text: sentence(err.Error()), Actions: []page.Link{{Text: "Back to the cake", Href: cakes.at(id)}}}
	}
	var b bytes.Buffer
	if err := sheet.Cost(&b, x, costing); err != nil {
		return err
	}
	return s.save(w, r, fmt.Sprintf("%s-cost-%s.xlsx", id, on), b.Bytes())
}
