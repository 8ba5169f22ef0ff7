package web

import (
	"fmt"
	"html/template"
	"net/http"
	"regexp"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/page"
)

func (m *routes) cakePages() {
	m.section(section{name: "Cakes", path: "/cakes", key: "c"})
	m.get("/cakes", m.s.listCakes)
	m.get("/cakes/{id}", m.s.showCake)
	m.cakeEditPages()
	m.billPages()
	m.exposurePages()
	m.outlookPages()
	m.extraPages()
}

// listCakes shows the designs, with what each costs and earns today. Only those
// on the page are costed.
func (s *Server) listCakes(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	query := r.URL.Query()
	sorted, err := ofBook(r, x, "cakes", func() ([]*book.Cake, error) {
		all := x.Book.Cakes
		list := make([]*book.Cake, len(all))
		for i, place := range visitOf(r).studio.cakes.of(x.Book.Studio, len(all), func(i int) string { return all[i].Name }) {
			list[i] = &all[place]
		}
		return list, nil
	})
	if err != nil {
		return err
	}
	body := page.List{Search: page.Search{Action: "/cakes", Label: "Find a cake by name", Query: query.Get("q"), Live: "list"}}
	if len(sorted) == 0 {
		body.Empty = &page.Empty{
			Title: "No cakes yet", Text: "A cake is tiers of a size, with what each is filled, covered and decorated with. Begin with the prices of what you buy, then your recipes; a cake puts them together.",
			Actions: []page.Link{{Text: "Begin with prices", Href: "/prices"}, {Text: "Add a cake", Href: "/cakes/new"}},
		}
		return s.show(w, r, "cakes", "Cakes", body)
	}
	matching, err := found(r, x, "cakes", sorted, query.Get("q"), func(c *book.Cake) string { return c.Name + " " + string(c.ID) + " " + c.Description.Value })
	if err != nil {
		return err
	}
	body.None = fmt.Sprintf("No cake has %q in its name or description.", query.Get("q"))
	shown, pager := paged(matching, query, "/cakes")
	body.Pager = pager
	on, faults := s.asOf(r)
	body.AsOf = s.asOfForm(r, on, faults)
	if on != s.today() {
		body.Search.Kept = []page.Field{{Name: "on", Kind: "hidden", Value: on.String()}}
	}
	body.Rows, err = ofBook(r, x, "cake rows "+on.String()+" "+query.Encode(), func() (page.Table, error) { return s.cakeRows(r, x, shown, on) })
	if err != nil {
		return err
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "cakes", "cakes-list", body)
	}
	return s.show(w, r, "cakes", "Cakes", body)
}

func (s *Server) cakeRows(r *http.Request, x *book.Index, list []*book.Cake, on day.Date) (page.Table, error) {
	words := wordsOf(x.Book.Studio)
	rates := pricing.NewRates(x, on)
	floor := x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	t := page.Table{Caption: "Cakes at the prices of " + words.day(on), Brief: true, Heads: []page.Head{
		{Text: "Cake"}, {Text: "Portions", Right: true}, {Text: "Costs", Right: true}, {Text: "Sells at", Right: true, Key: true}, {Text: "Margin", Right: true},
	}}
	ids := make([]book.ID, len(list))
	for i, c := range list {
		ids[i] = c.ID
	}
	compiled, err := s.store(r).Compiled(r.Context(), ids)
	if err != nil {
		return t, err
	}
	takeoffs := map[book.ID]pricing.Takeoff{}
	for _, takeoff := range compiled.Takeoffs {
		takeoffs[takeoff.ID] = takeoff
	}
	for _, c := range list {
		row := page.Row{Cells: []page.Cell{{Text: c.Name, Href: withQuery(cakes.at(c.ID), s.onDay(on))}}}
		costing, err := takeoffs[c.ID].Costing(x, rates)
		if err != nil {
			row.Cells = append(row.Cells, page.Cell{Text: "a price is missing", Tone: "bad"}, page.Cell{}, page.Cell{}, page.Cell{})
			t.Rows = append(t.Rows, row)
			continue
		}
		price, margin := page.Cell{}, page.Cell{}
		if costing.Offer.HasPrice {
			price.Text = words.money(costing.Offer.Shown)
		}
		if m, ok := costing.Margin(); ok {
			margin.Text = words.percent(m)
			if m.Cmp(floor) < 0 {
				margin.Tone, margin.Note = "bad", "below your floor"
			}
		}
		row.Cells = append(row.Cells, page.Cell{Text: words.count(costing.Takeoff.Served)}, page.Cell{Text: words.money(costing.Cost.Total())}, price, margin)
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

// showCake shows a design: to scale, what it costs and earns, and every figure
// down to the gram.
func (s *Server) showCake(w http.ResponseWriter, r *http.Request) error {
	return s.showKept(w, r, onBook, "cake", func() (shown, error) { return s.cakePage(r, http.StatusOK, ask(nil, nil)) })
}

// cakePage is a design with the form of a new list price, as it came back where
// something was wrong with it.
func (s *Server) cakePage(r *http.Request, status int, price *asking) (shown, error) {
	x, c, err := cakes.named(s, r)
	if err != nil {
		return shown{}, err
	}
	words := wordsOf(x.Book.Studio)
	at := cakes.at(c.ID)
	body := page.Cake{
		Title: c.Name, Description: c.Description.Value,
		Actions: []page.Link{{Text: "Change it", Href: at + "/edit"}, {Text: "For other guests", Href: "/cakes/tiers?keep_look=yes&like=" + string(c.ID)}, {Text: "Copy it", Href: "/cakes/new?like=" + string(c.ID)}, {Text: "Remove it", Href: at + "/remove"}},
		Price:   listPriceForm(price, words, c, s.today()), Past: listPriceRows(words, c),
	}
	if body.Drawing, err = cakeDrawing(words, c); err != nil {
		return shown{}, err
	}
	crumbs := []page.Link{{Text: "Cakes", Href: "/cakes"}, {Text: c.Name, Current: true}}
	on, faults := s.asOf(r)
	body.AsOf, body.Places = s.asOfForm(r, on, faults), s.cakePlaces(c.ID, on, "")
	costing, err := s.costing(r, x, c.ID, on)
	if err != nil {
		// Recipes and prices may be unfinished; what there is is shown.
		body.Fault = sentence(err.Error())
		return shown{status, c.Name, body, crumbs}, nil
	}
	body.Figures, body.Warning = cakeFigures(words, x.Book.Studio, costing)
	body.Tiers = tierRows(words, c, costing.Takeoff)
	body.Classes = classRows(words, costing.Cost)
	body.Files = []page.Link{{Text: "Cost sheet (XLSX)", Href: withQuery(at+"/cost.xlsx", s.onDay(on))}}
	body.Allergens, body.Caution = s.allergenLines(x, costing.Takeoff)
	body.Cautions = cautionsOf(x, costing.Takeoff)
	if err := s.explainCake(r, &body, words, x.Book.Studio, costing, on); err != nil {
		return shown{}, err
	}
	return shown{status, c.Name, body, crumbs}, nil
}

// cakeDrawing draws a cake's tiers to scale.
func cakeDrawing(words words, c book.Cake) (page.Picture, error) {
	return drawnCake(drawing.Elevation(drawable(words, c), 105, 95), "To scale, from the front.")
}

// drawable is a cake as drawings have it.
func drawable(words words, c book.Cake) document.Cake {
	d := document.Cake{Name: c.Name, Unit: document.Centimetres}
	for _, t := range c.Tiers {
		solid := t.Solid()
		d.Tiers = append(d.Tiers, document.Tier{
			Name: capital(t.Name), Form: solid, Size: words.locale.Size(solid), Width: frontWidth(words, t),
			Height: words.locale.Quantity(t.Height), Dummy: t.Dummy.Or(false), Kept: t.Kept.Or(false) && !t.Dummy.Or(false),
		})
	}
	return d
}

func drawnCake(picture document.Picture, caption string) (page.Picture, error) {
	if picture.Empty() {
		return page.Picture{}, nil
	}
	var b strings.Builder
	if err := drawing.SVG(&b, picture); err != nil {
		return page.Picture{}, err
	}
	return page.Picture{SVG: template.HTML(b.String()), Caption: caption}, nil
}

// frontWidth is what a tier measures from the front, where one of its sizes
// says so.
func frontWidth(words words, t book.Tier) string {
	switch {
	case t.Diameter.Given():
		return words.locale.Quantity(t.Diameter)
	case t.Side.Given():
		return words.locale.Quantity(t.Side)
	case t.Length.Given() && t.Width.Given():
		if t.Width.Base(measure.Metric).Cmp(t.Length.Base(measure.Metric)) > 0 {
			return words.locale.Quantity(t.Width)
		}
		return words.locale.Quantity(t.Length)
	}
	return ""
}

func cakeFigures(words words, studio book.Studio, c pricing.Costing) (figures []page.Figure, warning string) {
	portions := words.counted(c.Takeoff.Served, "portion", "portions")
	if c.Takeoff.Made != c.Takeoff.Served {
		portions = portions + " served, " + words.count(c.Takeoff.Made) + " made"
	}
	figures = append(figures, page.Figure{Label: "Serves", Value: portions}, page.Figure{Label: "Costs", Value: words.money(c.Cost.Total())})
	if c.Offer.HasPrice {
		label := "Sells at, by your target"
		if c.Offer.Listed {
			label = "Sells at, by your list"
		}
		figures = append(figures, page.Figure{Label: label, Value: words.money(c.Offer.Shown), Strong: true})
		if !c.Offer.TaxRate.IsZero() && studio.PricesShown.Or(book.Gross) == book.Gross {
			figures = append(figures, page.Figure{Label: "Without tax", Value: words.money(c.Offer.Net)})
		}
		if c.Offer.Listed && c.Offer.HasGoal {
			figures = append(figures, page.Figure{Label: "Your target asks for", Value: words.money(c.Offer.Target)})
		}
		if per, ok := pricing.PerPortion(c.Offer.Shown, c.Takeoff.Served); ok {
			figures = append(figures, page.Figure{Label: "A portion", Value: words.money(per)})
		}
	}
	if m, ok := c.Margin(); ok {
		f := page.Figure{Label: "Margin", Value: words.percent(m), Strong: true}
		if floor := studio.FloorMargin.Or(measure.Percent{}).Fraction(); m.Cmp(floor) < 0 {
			f.Tone = "bad"
			warning = "This is below your floor of " + words.rate(floor) + "."
		}
		figures = append(figures, f)
	}
	hours := c.Takeoff.Bill.Minutes().Mul(exact.Frac(1, 60))
	figures = append(figures, page.Figure{Label: "Hands-on time", Value: words.locale.Number(hours.Round(1), 0) + " h"})
	return figures, warning
}

func tierRows(words words, c book.Cake, takeoff pricing.Takeoff) page.Table {
	t := page.Table{Caption: "Tiers from the bottom up", Brief: true, Heads: []page.Head{{Text: "Tier"}, {Text: "Size", Plain: true}, {Text: "Portions", Right: true}}}
	for i, tier := range c.Tiers {
		note := ""
		switch {
		case tier.Dummy.Or(false):
			note = "not to be eaten"
		case tier.Kept.Or(false):
			note = "kept for later"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{
			{Text: capital(tier.Name), Note: note}, {Text: words.locale.Size(tier.Solid())}, {Text: words.count(takeoff.Tiers[i].Portions)},
		}})
	}
	return t
}

// byClass is a cost by class, exactly and as it is shown.
func byClass(words words, c pricing.Cost) ([]exact.Number, []money.Amount) {
	parts := []exact.Number{c.Ingredients, c.Packaging, c.Labour, c.Equipment, c.Overhead}
	return parts, money.Apportion(words.currency.Round(c.Total()), parts)
}

// classRows is the cost by class, the parts adding up to the rounded total.
func classRows(words words, c pricing.Cost) page.Table {
	total := c.Total()
	parts, rounded := byClass(words, c)
	t := page.Table{Caption: "Cost by class", Brief: true, Heads: []page.Head{{Text: "Class"}, {Text: "Cost", Right: true, Key: true}, {Text: "Share", Right: true, Plain: true}}}
	for i, name := range []string{"Ingredients", "Packaging", "Labour", "Equipment and energy", "Overhead"} {
		cell := page.Cell{}
		if !total.IsZero() {
			part := parts[i].Quo(total)
			cell = page.Cell{Text: words.percent(part), Bar: &page.Bar{Share: share(part), Tone: fmt.Sprint(i + 1)}}
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: name}, {Text: words.amount(rounded[i])}, cell}})
	}
	t.Foot = []page.Row{{Cells: []page.Cell{{Text: "Total"}, {Text: words.money(total)}, {}}}}
	return t
}

// nodeOf makes an explanation ready to show. What it is made of adds up to it to
// the last minor unit.
func nodeOf(words words, n pricing.Node, id string) page.Node {
	return nodeAt(words, n, id, words.currency.Round(n.Amount))
}

// costNode is [nodeOf] for all of a cost. Its overhead is what the table of
// classes says, to the last minor unit.
func costNode(words words, n pricing.Node, id string, c pricing.Cost) page.Node {
	_, classes := byClass(words, c)
	overhead := classes[len(classes)-1]
	last := len(n.Children) - 1
	total := words.currency.Round(n.Amount)
	if last < 0 || n.Children[last].Label != "overhead" {
		return nodeOf(words, n, id)
	}
	others := n
	others.Children = n.Children[:last]
	out := nodeAt(words, others, id, total.Sub(overhead))
	out.Amount = words.amount(total)
	out.Children = append(out.Children, nodeAt(words, n.Children[last], fmt.Sprintf("%s-%d", id, last+1), overhead))
	return out
}

func nodeAt(words words, n pricing.Node, id string, amount money.Amount) page.Node {
	out := page.Node{ID: id, Label: capital(n.Label), Amount: words.amount(amount), Working: workingOf(n.Working)}
	if n.Unit != "" && n.Price != "" {
		taken := asRead(pricing.Brief(n.Quantity) + " " + n.Unit)
		out.Price = taken + priceOf(words, n.Price)
		if out.Working == taken {
			out.Working = ""
		}
	}
	parts := make([]exact.Number, len(n.Children))
	for i, child := range n.Children {
		parts[i] = child.Amount
	}
	shares := money.Apportion(amount, parts)
	for i, child := range n.Children {
		out.Children = append(out.Children, nodeAt(words, child, fmt.Sprintf("%s-%d", id, i+1), shares[i]))
	}
	return out
}

// metric sets units and percentages as pages do.
var metric = strings.NewReplacer("cm2", "cm²", "cm3", "cm³", " %", "%")

// pieces is what comes by the piece, as the book writes it.
var pieces = regexp.MustCompile(`\b([0-9][0-9.,]*) each\b`)

// measured are the units that stay in one line with their figure.
var measured = map[string]bool{"g": true, "kg": true, "l": true, "cl": true, "ml": true, "m": true, "cm": true, "mm": true, "min": true, "h": true, "W": true, "kW": true, "Wh": true, "kWh": true}

// heldTogether sets a hard space between a figure and its unit. A tree of costs has
// thousands of them, for which a regular expression takes longer than the tree.
func heldTogether(text string) string {
	var b strings.Builder
	done := 0
	for i := 1; i+1 < len(text); i++ {
		if text[i] != ' ' || text[i-1] < '0' || text[i-1] > '9' {
			continue
		}
		end := i + 1
		for end < len(text) && isWordByte(text[end]) {
			end++
		}
		if measured[text[i+1:end]] {
			b.WriteString(text[done:i])
			b.WriteString("\u00a0")
			done = i + 1
		}
	}
	if done == 0 {
		return text
	}
	b.WriteString(text[done:])
	return b.String()
}

func isWordByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_'
}

// asRead sets a quantity and its unit as pages do.
func asRead(text string) string {
	text = heldTogether(metric.Replace(text))
	if !strings.Contains(text, " each") {
		return text
	}
	return pieces.ReplaceAllStringFunc(text, func(each string) string {
		figure := strings.TrimSuffix(each, " each")
		if figure == "1" {
			return "1 piece"
		}
		return figure + " pieces"
	})
}

// costOf is what stands before what a price is of: "27.00 for 6 x 500 ml",
// "0.358 a kWh".
var costOf = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) (for|an?) (.*)$`)

// workingOf says how a quantity came about, without what changes nothing.
func workingOf(facts []pricing.Fact) string {
	var parts []string
	whole := slices.ContainsFunc(facts, func(f pricing.Fact) bool {
		return f.Label == "so lines are taken times" && f.Figure.Equal(exact.Int(1))
	})
	for _, f := range facts {
		one := f.Written == "" && f.Figure.Equal(exact.Int(1))
		text := f.String()
		switch {
		case one && (f.Label == "times" || f.Label == "in batches"), whole && f.Label == "the recipe gives":
			continue
		case f.Label == "times":
			text = "× " + pricing.Brief(f.Figure)
		case f.Label == "in batches":
			text = "in " + pricing.Brief(f.Figure) + " batches"
		case f.Label == "so lines are taken times":
			if text = "each line × " + pricing.Brief(f.Figure); one {
				continue
			}
		}
		parts = append(parts, text)
	}
	return asRead(strings.Join(parts, ", "))
}

// priceOf says what a unit costs and since when.
func priceOf(words words, price string) string {
	if price == "made as below" {
		return ", " + price
	}
	if before, from, dated := strings.Cut(price, ", from "); dated {
		if d, err := day.Parse(from); err == nil {
			price = before + ", from " + unbroken(words.day(d))
		}
	}
	if part := costOf.FindStringSubmatch(price); part != nil {
		var a money.Amount
		if a.UnmarshalText([]byte(part[1])) == nil {
			what, rest, more := part[3], "", ""
			for _, behind := range []string{", from ", " with "} {
				if what, rest, _ = strings.Cut(what, behind); rest != "" {
					more = behind + rest + more
				}
			}
			if pack, err := measure.ParsePack(what); err == nil {
				what = words.pack(pack)
			}
			price = words.amount(a) + " " + part[2] + " " + what + strings.ReplaceAll(more, " %", "%")
		}
	}
	return " at " + price
}
