package machine

import (
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// RankedImpact is an entry of the full document of `impact`: the impact, and
// what a portion costs and what would restore the target after the change.
type RankedImpact struct {
	Impact
	PerPortionBefore string `json:"per_portion_before,omitempty"`
	PerPortionAfter  string `json:"per_portion_after,omitempty"`
	Restoring        string `json:"restoring_price,omitempty"`
}

// RankedImpactOf returns the entry of one cake.
func RankedImpactOf(im pricing.Impact) RankedImpact {
	doc := RankedImpact{Impact: ImpactOf(im)}
	if per, ok := pricing.PerPortion(im.Before, im.Served); ok {
		doc.PerPortionBefore = per.Fixed(places)
	}
	if per, ok := pricing.PerPortion(im.After, im.Served); ok {
		doc.PerPortionAfter = per.Fixed(places)
	}
	if im.Restorable {
		doc.Restoring = im.Restoring.Fixed(places)
	}
	return doc
}

// Standing is an open quote in the full document of `impact`.
type Standing struct {
	Number      string `json:"number"`
	Revision    string `json:"revision"`
	Client      string `json:"client"`
	EventDate   string `json:"event_date"`
	CostSold    string `json:"cost_sold"`
	CostToday   string `json:"cost_today"`
	CostAfter   string `json:"cost_after"`
	MarginSold  string `json:"margin_sold,omitempty"`
	MarginToday string `json:"margin_today,omitempty"`
	MarginAfter string `json:"margin_after,omitempty"`
	LessEarned  string `json:"less_earned"`
}

// StandingOf returns the entry of one quote.
func StandingOf(s quote.Standing) Standing {
	doc := Standing{
		Number: s.Quote.Number, Revision: s.Quote.Revision, Client: s.Quote.Offer.Client.Name, EventDate: s.Quote.Offer.EventDate.String(),
		CostSold: s.Sold.Fixed(places), CostToday: s.Now.Fixed(places), CostAfter: s.After.Fixed(places), LessEarned: s.Lost().Fixed(places),
	}
	if s.HasMargin {
		doc.MarginSold, doc.MarginToday, doc.MarginAfter = s.MarginWas.Fixed(places), s.MarginNow.Fixed(places), s.MarginIs.Fixed(places)
	}
	return doc
}

// Totals are the sums of the full document of `impact`: of the cakes one of
// each.
type Totals struct {
	Cakes      int    `json:"cakes"`
	BelowFloor int    `json:"below_floor"`
	CostBefore string `json:"cost_before"`
	CostAfter  string `json:"cost_after"`
	Quotes     int    `json:"quotes"`
	LessEarned string `json:"less_earned"`
}

// TotalsOf sums cakes and quotes.
func TotalsOf(cakes []pricing.Impact, quotes []quote.Standing) Totals {
	var before, after, lost exact.Number
	t := Totals{Cakes: len(cakes), Quotes: len(quotes)}
	for _, im := range cakes {
		before, after = before.Add(im.Before), after.Add(im.After)
		if im.BelowFloor {
			t.BelowFloor++
		}
	}
	for _, s := range quotes {
		lost = lost.Add(s.Lost())
	}
	t.CostBefore, t.CostAfter, t.LessEarned = before.Fixed(places), after.Fixed(places), lost.Fixed(places)
	return t
}

// Exposure is an entry of the document of `exposure`.
type Exposure struct {
	Resource   book.ID `json:"resource"`
	Kind       string  `json:"kind"`
	Amount     string  `json:"amount"`
	Share      string  `json:"share"`
	Elasticity string  `json:"elasticity"`             // of the cost: per cent for each per cent of the price
	Swing      string  `json:"margin_swing,omitempty"` // either way, for the step asked for
}

// ExposuresOf returns the entries of one cake.
func ExposuresOf(list []pricing.Exposure) []Exposure {
	docs := make([]Exposure, len(list))
	for i, e := range list {
		docs[i] = Exposure{e.Resource, e.Kind.String(), e.Amount.Fixed(places), e.Share.Fixed(places), e.Share.Fixed(places), ""}
		if e.HasSwing {
			docs[i].Swing = e.Swing.Fixed(places)
		}
	}
	return docs
}

// Proposal is an entry of the document of `reprice`.
type Proposal struct {
	Cake      book.ID `json:"cake"`
	OldPrice  string  `json:"old_price"`
	NewPrice  string  `json:"new_price"`
	OldMargin string  `json:"old_margin"`
	NewMargin string  `json:"new_margin,omitempty"`
	Capped    bool    `json:"capped"`
	Changes   bool    `json:"changes"`
}

// ProposalOf returns the entry of one cake.
func ProposalOf(p pricing.Proposal) Proposal {
	doc := Proposal{
		Cake: p.Cake.ID, OldPrice: p.Old.Shown.Fixed(places), NewPrice: p.New.Fixed(places),
		OldMargin: p.MarginIs.Fixed(places), Capped: p.Capped, Changes: p.Changes,
	}
	if !p.New.IsZero() {
		doc.NewMargin = p.Margin.Fixed(places)
	}
	return doc
}

// History is the document of `price history`.
type History struct {
	Prices   []HistoryEntry `json:"prices"`
	From     string         `json:"from,omitempty"` // of the span
	To       string         `json:"to,omitempty"`
	Change   string         `json:"change,omitempty"` // over the span
	Cheapest *HistoryEntry  `json:"cheapest"`         // in force now
}

// HistoryEntry is one price of a history.
type HistoryEntry struct {
	From     string `json:"from"`
	Supplier string `json:"supplier,omitempty"`
	Pack     string `json:"pack"`
	Price    string `json:"price"`
	TaxIn    string `json:"tax_in,omitempty"`
	PerBase  string `json:"per_base"`
	Change   string `json:"change,omitempty"`
	Note     string `json:"note,omitempty"`
}

// HistoryOf returns the document of a history.
func HistoryOf(h pricing.History) History {
	doc := History{Prices: []HistoryEntry{}, From: h.First.String(), To: h.Last.String()}
	for _, e := range h.Entries {
		doc.Prices = append(doc.Prices, entryOf(e))
	}
	if h.HasSpan {
		doc.Change = h.Span.Fixed(places)
	}
	if h.Cheapest != nil {
		cheapest := entryOf(*h.Cheapest)
		doc.Cheapest = &cheapest
	}
	return doc
}

func entryOf(e pricing.HistoryEntry) HistoryEntry {
	doc := HistoryEntry{
		From: e.Price.From.String(), Supplier: e.Price.Supplier.Value, Pack: e.Price.Pack.String(), Price: e.Price.Price.String(),
		PerBase: e.PerBase.Fixed(breakEvenPlaces), Note: e.Price.Note.Value,
	}
	if e.Price.TaxIn.Given {
		doc.TaxIn = e.Price.TaxIn.Value.String()
	}
	if e.HasChange {
		doc.Change = e.Change.Fixed(places)
	}
	return doc
}
