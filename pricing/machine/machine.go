package machine

import (
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// places of the figures in a document.
const (
	places          = 6
	breakEvenPlaces = 12
)

// Cost is the document of `cost`.
type Cost struct {
	Cake         book.ID `json:"cake"`
	On           string  `json:"on"`
	Portions     int     `json:"portions"`
	PortionsMade int     `json:"portions_made"`
	Cost         Classes `json:"cost"`
	PerPortion   string  `json:"per_portion,omitempty"`
	Minutes      string  `json:"labour_minutes"`
	TargetPrice  string  `json:"target_price,omitempty"`
	ShownPrice   string  `json:"shown_price,omitempty"`
	NetPrice     string  `json:"net_price,omitempty"`
	Margin       string  `json:"margin,omitempty"`
}

// Classes is a cost by class.
type Classes struct {
	Ingredients string `json:"ingredients"`
	Packaging   string `json:"packaging"`
	Labour      string `json:"labour"`
	Equipment   string `json:"equipment"`
	Overhead    string `json:"overhead"`
	Total       string `json:"total"`
}

// CostOf returns the document of a costed cake.
func CostOf(c pricing.Costing) Cost {
	total := c.Cost.Total()
	doc := Cost{
		Cake: c.Cake.ID, On: c.Rates.On().String(),
		Portions: c.Takeoff.Served, PortionsMade: c.Takeoff.Made,
		Cost:    ClassesOf(c.Cost),
		Minutes: c.Takeoff.Bill.Minutes().Fixed(places),
	}
	if per, ok := pricing.PerPortion(total, c.Takeoff.Served); ok {
		doc.PerPortion = per.Fixed(places)
	}
	if c.Offer.HasGoal {
		doc.TargetPrice = c.Offer.Target.Fixed(places)
	}
	if c.Offer.HasPrice {
		doc.ShownPrice, doc.NetPrice = c.Offer.Shown.Fixed(places), c.Offer.Net.Fixed(places)
	}
	if m, ok := c.Margin(); ok {
		doc.Margin = m.Fixed(places)
	}
	return doc
}

// ClassesOf returns a cost by class as a document has it.
func ClassesOf(c pricing.Cost) Classes {
	return Classes{
		Ingredients: c.Ingredients.Fixed(places), Packaging: c.Packaging.Fixed(places),
		Labour: c.Labour.Fixed(places), Equipment: c.Equipment.Fixed(places),
		Overhead: c.Overhead.Fixed(places), Total: c.Total().Fixed(places),
	}
}

// BillLine is one entry of the document of `bill`.
type BillLine struct {
	Resource book.ID `json:"resource"`
	Kind     string  `json:"kind"`
	Quantity string  `json:"quantity"`
	Unit     string  `json:"unit"`
}

// BillOf returns the document of a bill.
func BillOf(b pricing.Bill) []BillLine {
	doc := make([]BillLine, len(b))
	for i, l := range b {
		doc[i] = BillLine{l.Resource, l.Kind.String(), l.Quantity.Fixed(places), l.Unit}
	}
	return doc
}

// Impact is one entry of the document of `impact`. BreakEven is null where no
// price can reach the floor; a cake without a price has neither it nor margins.
type Impact struct {
	Cake         book.ID  `json:"cake"`
	CostBefore   string   `json:"cost_before"`
	CostAfter    string   `json:"cost_after"`
	MarginBefore string   `json:"margin_before,omitempty"`
	MarginAfter  string   `json:"margin_after,omitempty"`
	BelowFloor   *bool    `json:"below_floor,omitempty"`
	BreakEven    **string `json:"break_even,omitempty"`
}

// ImpactOf returns the entry of one cake.
func ImpactOf(im pricing.Impact) Impact {
	doc := Impact{Cake: im.Cake, CostBefore: im.Before.Fixed(places), CostAfter: im.After.Fixed(places)}
	if !im.HasMargin {
		return doc
	}
	doc.MarginBefore, doc.MarginAfter, doc.BelowFloor = im.MarginWas.Fixed(places), im.MarginIs.Fixed(places), &im.BelowFloor
	if !im.HasBreakEven() {
		return doc
	}
	var reached *string
	if im.Reachable {
		text := im.BreakEven.Fixed(breakEvenPlaces)
		reached = &text
	}
	doc.BreakEven = &reached
	return doc
}

// Quote is the document of `quote new`, and with its standing that of `quote
// show` and of every move. A quote that lets the
// client choose has its figures in Options, and no total of its own.
type Quote struct {
	Number      *string        `json:"number"` // null for a draft
	Revision    string         `json:"revision"`
	Draft       string         `json:"draft,omitempty"` // what a draft is called instead
	State       quote.State    `json:"state,omitempty"`
	ValidUntil  string         `json:"valid_until,omitempty"`
	Accepted    string         `json:"accepted,omitempty"` // the revision that is the order
	Choice      string         `json:"accepted_option,omitempty"`
	Lines       []QuoteLine    `json:"lines"`
	Tax         []Tax          `json:"tax"`
	Total       *string        `json:"total"`
	Instalments []Instalment   `json:"instalments"`
	Options     []QuoteOption  `json:"options,omitempty"`
	Changes     []quote.Change `json:"changes,omitempty"` // against the revision before
}

// QuoteOption is one of the offers that the client may choose.
type QuoteOption struct {
	Name        string       `json:"name"`
	Portions    int          `json:"portions"` // served
	Lines       []QuoteLine  `json:"lines"`
	Tax         []Tax        `json:"tax"`
	Total       string       `json:"total"`
	Instalments []Instalment `json:"instalments"`
}

// QuoteLine is a line of a quote.
type QuoteLine struct {
	Kind      quote.LineKind `json:"kind"`
	Name      string         `json:"name"`
	Quantity  int            `json:"quantity"`
	UnitPrice string         `json:"unit_price"`
	Amount    string         `json:"amount"`
}

// Tax is the tax of a quote at one rate.
type Tax struct {
	Rate string `json:"rate"`
	Net  string `json:"net"`
	Tax  string `json:"tax"`
}

// Instalment is a payment and its day.
type Instalment struct {
	Due    string `json:"due"`
	Amount string `json:"amount"`
}

// QuoteOf returns the document of a quote; draft is what the store calls it
// while it has no number.
func QuoteOf(q quote.Quote, draft string) Quote {
	doc := Quote{Revision: q.Revision, Changes: q.Changes}
	if q.Draft() {
		doc.Draft = draft
	} else {
		doc.Number = &q.Number
	}
	sale := optionOf("", q.Offer.Sale)
	doc.Lines, doc.Tax, doc.Instalments = sale.Lines, sale.Tax, sale.Instalments
	if len(q.Options) == 0 {
		doc.Total = &sale.Total
	}
	for _, o := range q.Options {
		doc.Options = append(doc.Options, optionOf(o.Name, o.Sale))
	}
	return doc
}

// QuoteStanding returns the document of a quote that says where it stands too.
func QuoteStanding(q quote.Quote, draft string, l quote.Life) Quote {
	d := QuoteOf(q, draft)
	d.ValidUntil, d.State, d.Accepted, d.Choice = q.Offer.ValidUntil.String(), l.State, l.Order, l.Option
	for i := range d.Options {
		if d.Options[i].Name == l.Option && q.Revision == l.Order {
			d.Total = &d.Options[i].Total
		}
	}
	return d
}

func optionOf(name string, s quote.Sale) QuoteOption {
	doc := QuoteOption{Name: name, Portions: s.Served(), Lines: []QuoteLine{}, Tax: []Tax{}, Instalments: []Instalment{}, Total: s.Total.String()}
	for _, l := range s.Lines {
		doc.Lines = append(doc.Lines, QuoteLine{l.Kind, l.Name, l.Quantity, l.UnitPrice.String(), l.Amount.String()})
	}
	for _, t := range s.Tax {
		doc.Tax = append(doc.Tax, Tax{Fraction(t.Rate), t.Net.String(), t.Tax.String()})
	}
	for _, i := range s.Instalments {
		doc.Instalments = append(doc.Instalments, Instalment{i.Due.String(), i.Amount.String()})
	}
	return doc
}

// Fraction prints a margin or a rate at the places of documents.
func Fraction(n exact.Number) string { return n.Fixed(places) }

// Explanation is the document of `explain`.
type Explanation struct {
	Cost Node   `json:"cost"`
	Made []Node `json:"made"` // components, whose cost is contained in Cost
}

// Node is one figure of an explanation.
type Node struct {
	Label    string `json:"label"`
	Working  []Fact `json:"working,omitempty"`
	Quantity string `json:"quantity,omitempty"`
	Unit     string `json:"unit,omitempty"`
	PerUnit  string `json:"per_unit,omitempty"`
	Price    string `json:"price,omitempty"`
	Amount   string `json:"amount"`
	Children []Node `json:"children,omitempty"`
}

// Fact is one figure of a working.
type Fact struct {
	Label  string `json:"label,omitempty"`
	Figure string `json:"figure"`
	Unit   string `json:"unit,omitempty"`
}

// perUnitPlaces prints money per gram with digits that matter.
const perUnitPlaces = 12

// ExplanationOf returns the document of an explanation.
func ExplanationOf(e pricing.Explanation) Explanation {
	return Explanation{nodeOf(e.Cost), nodesOf(e.Made)}
}

func nodesOf(nodes []pricing.Node) []Node {
	list := make([]Node, len(nodes))
	for i, n := range nodes {
		list[i] = nodeOf(n)
	}
	return list
}

func nodeOf(n pricing.Node) Node {
	doc := Node{Label: n.Label, Unit: n.Unit, Price: n.Price, Amount: n.Amount.Fixed(places), Children: nodesOf(n.Children)}
	if n.Unit != "" {
		doc.Quantity, doc.PerUnit = n.Quantity.Fixed(places), n.PerUnit.Fixed(perUnitPlaces)
	}
	for _, f := range n.Working {
		figure := f.Written
		if figure == "" {
			figure = f.Figure.Fixed(places)
		}
		doc.Working = append(doc.Working, Fact{f.Label, figure, f.Unit})
	}
	return doc
}
