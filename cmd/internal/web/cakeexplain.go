package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/templates/page"
)

// explainCake unfolds the price of a cake down to the gram, and leads to its
// lines from every figure of the page.
func (s *Server) explainCake(r *http.Request, body *page.Cake, words words, studio book.Studio, c pricing.Costing, on day.Date) error {
	query := r.URL.Query()
	explain, by := pricing.ByPlace, "place"
	if query.Get("by") == "class" {
		explain, by = pricing.ByClass, "class"
	}
	e, err := explain(c)
	if err != nil {
		return err
	}
	all := query.Get("open") == "all"
	at := func(by, open, line string) string {
		q := s.onDay(on)
		for key, value := range map[string]string{"by": by, "open": open} {
			if value != "" {
				q.Set(key, value)
			}
		}
		return withQuery(cakes.at(c.Cake.ID), q) + "#" + line
	}
	own := url.Values{"by": {by}}
	if by == "place" {
		own.Del("by")
	}
	body.Views = []page.Link{
		{Text: "By place", Href: at("", "", "explain"), Current: by == "place" && !all},
		{Text: "By kind of cost", Href: at("class", "", "explain"), Current: by == "class" && !all},
		{Text: "Every line open", Href: at(own.Get("by"), "all", "explain"), Current: all},
	}
	cost := costNode(words, e.Cost, "why", c.Cost)
	cost.Label = "Costs"
	for i := range cost.Children {
		cost.Children[i].ID = lineOf(by, cost.Children[i].Label)
	}
	body.Tree = priceNode(words, studio, c, cost)
	for i, made := range e.Made {
		body.Made = append(body.Made, nodeOf(words, made, fmt.Sprintf("made-%d", i+1)))
	}
	below := map[string]string{}
	for _, made := range body.Made {
		below[made.Label] = "#" + made.ID
	}
	leadDown(&body.Tree, below)
	for i := range body.Made {
		for j := range body.Made[i].Children {
			leadDown(&body.Made[i].Children[j], below)
		}
	}
	body.Tree.Open = true
	if n := len(body.Tree.Children); n > 0 && body.Tree.ID != "why" {
		body.Tree.Children[n-1].Open = true // what it costs
	}
	if all {
		unfold(&body.Tree)
		for i := range body.Made {
			unfold(&body.Made[i])
		}
	}
	for i := range body.Figures {
		f := &body.Figures[i]
		switch f.Label {
		case "Serves":
			if len(body.Tiers.Rows) > 0 {
				f.Href = "#tiers"
			}
		case "Costs":
			f.Href = "#explain"
		case "Hands-on time":
			f.Href = at("class", "", lineOf("class", "labour"))
		default:
			f.Href = at("", "all", "explain")
		}
	}
	for i := range body.Classes.Rows {
		cell := &body.Classes.Rows[i].Cells[0]
		cell.Href = at("class", "", lineOf("class", cell.Text))
	}
	for i := range body.Tiers.Rows {
		cell := &body.Tiers.Rows[i].Cells[0]
		cell.Href = at("", "", lineOf("place", "tier "+cell.Text))
	}
	return nil
}

// lineOf is how an address names a line of the first level: class-labour.
func lineOf(by, label string) string {
	return by + "-" + string(idFor(label, func(book.ID) bool { return false }))
}

// priceNode puts the price above what it is made of: tax, what is earned, and
// the cost. Without a price the cost stands alone.
func priceNode(words words, studio book.Studio, c pricing.Costing, cost page.Node) page.Node {
	if !c.Offer.HasPrice {
		return cost
	}
	tax, earned := c.Split()
	root := page.Node{ID: "price", Label: "Sells at", Amount: words.money(c.Offer.Shown), Working: priceWorking(words, studio, c)}
	if !tax.IsZero() {
		root.Children = append(root.Children, page.Node{ID: "price-tax", Label: studio.Tax.Label.Or("Tax"), Amount: words.money(tax), Working: words.rate(c.Offer.TaxRate) + " on " + words.money(c.Offer.Net)})
	}
	working := ""
	if m, ok := c.Margin(); ok {
		working = words.percent(m) + " of the price without tax"
	}
	root.Children = append(root.Children, page.Node{ID: "price-earned", Label: "What it earns", Amount: words.money(earned), Working: working}, cost)
	return root
}

// priceWorking says where the price of a cake comes from.
func priceWorking(words words, studio book.Studio, c pricing.Costing) string {
	var parts []string
	if c.Offer.Listed {
		parts = append(parts, "your list price")
	}
	if c.Offer.HasGoal {
		target := studio.Target
		if c.Cake.Target != nil {
			target = *c.Cake.Target
		}
		text := targetFigure(words, target)
		if studio.PriceStep.Given {
			text += ", in steps of " + words.money(studio.PriceStep.Value.Number())
		}
		if c.Offer.Listed {
			text = fmt.Sprintf("your target, %s, asks for %s", text, words.money(c.Offer.Target))
		} else {
			text = "by your target: " + text
		}
		parts = append(parts, text)
	}
	return capital(strings.Join(parts, "; "))
}

// leadDown gives lines of what is made in the kitchen the address of its own.
func leadDown(n *page.Node, below map[string]string) {
	if len(n.Children) == 0 {
		n.Href = below[n.Label]
	}
	for i := range n.Children {
		leadDown(&n.Children[i], below)
	}
}

func unfold(n *page.Node) {
	n.Open = true
	for i := range n.Children {
		unfold(&n.Children[i])
	}
}
