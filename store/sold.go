package store

import (
	"encoding/json"
	"fmt"
	"sync"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// sold is as much of a frozen quote as sums over many orders read: what was
// sold to whom and when, and the bills and prices that it rests on. Most of the
// rest is words for papers.
type sold struct {
	Number   string `json:"number"`
	Revision string `json:"revision"`
	Request  struct {
		Event struct {
			Km record.Maybe[measure.Figure] `json:"km"`
		} `json:"event"`
	} `json:"request"`
	Offer struct {
		Studio struct {
			Currency money.Currency `json:"currency"`
		} `json:"studio"`
		Client struct {
			Name string `json:"name"`
		} `json:"client"`
		EventDate day.Date   `json:"event_date"`
		IssuedOn  day.Date   `json:"issued_on"`
		Guests    int        `json:"guests"`
		Shown     book.Shown `json:"prices_shown"`
		soldSale
	} `json:"offer"`
	Basis   soldBasis `json:"basis"`
	Options []struct {
		Name string `json:"name"`
		soldSale
		Basis soldBasis `json:"basis"`
	} `json:"options"`
}

type soldSale struct {
	Designs []struct {
		Cake   book.ID `json:"cake"`
		Served int     `json:"portions_served"`
	} `json:"designs"`
	Lines []quote.Line    `json:"lines"`
	Tax   []quote.TaxLine `json:"tax"`
	Total money.Amount    `json:"total"`
}

type soldBasis struct {
	Cakes  []soldCosted    `json:"cakes"`
	Extras []soldCosted    `json:"extras"`
	Rates  json.RawMessage `json:"rates"`
	Share  exact.Number    `json:"overhead_share"`
	Net    exact.Number    `json:"net"`
	Cost   exact.Number    `json:"cost"`
}

type soldCosted struct {
	ID       book.ID         `json:"id"`
	Name     string          `json:"name"`
	Quantity int             `json:"quantity"`
	Hidden   bool            `json:"hidden"`
	Bill     json.RawMessage `json:"bill"`
}

// thawer reads the sold part of many frozen quotes, in several goroutines at
// once. Orders of one cake have its bill in the same words, and quotes of one
// day their prices: each is read once and shared, since nobody writes to them.
type thawer struct {
	bills memo[[]quote.Resource]
	rates memo[[]quote.Rate]
}

// thaw reads a frozen quote in the option that was accepted, from 1; 0 where it
// has none. Only what [sold] names is set.
func (t *thawer) thaw(snapshot string, choice int) (q quote.Quote, err error) {
	var s sold
	if err := json.Unmarshal([]byte(snapshot), &s); err != nil {
		return q, fmt.Errorf("the quote cannot be read; this program may be older than the one that wrote it: %w", err)
	}
	q.Number, q.Revision = s.Number, s.Revision
	q.Request.Event.Km = s.Request.Event.Km
	o := &q.Offer
	o.Studio.Currency, o.Client.Name, o.Guests, o.Shown = s.Offer.Studio.Currency, s.Offer.Client.Name, s.Offer.Guests, s.Offer.Shown
	o.EventDate, o.IssuedOn = s.Offer.EventDate, s.Offer.IssuedOn
	sale, basis := s.Offer.soldSale, s.Basis
	if choice > 0 {
		if choice > len(s.Options) {
			return q, fmt.Errorf("it has no option %d", choice)
		}
		chosen := s.Options[choice-1]
		sale, basis, q.Chosen = chosen.soldSale, chosen.Basis, chosen.Name
	}
	for _, d := range sale.Designs {
		o.Designs = append(o.Designs, quote.Design{Cake: d.Cake, Served: d.Served})
	}
	o.Lines, o.Tax, o.Total = sale.Lines, sale.Tax, sale.Total
	q.Basis = quote.Basis{Share: basis.Share, Net: basis.Net, Cost: basis.Cost}
	if q.Basis.Cakes, err = t.costed(basis.Cakes); err != nil {
		return q, err
	}
	if q.Basis.Extras, err = t.costed(basis.Extras); err != nil {
		return q, err
	}
	q.Basis.Rates, err = t.rates.read(basis.Rates)
	return q, err
}

func (t *thawer) costed(list []soldCosted) ([]quote.Costed, error) {
	all := make([]quote.Costed, len(list))
	for i, c := range list {
		bill, err := t.bills.read(c.Bill)
		if err != nil {
			return nil, err
		}
		all[i] = quote.Costed{ID: c.ID, Name: c.Name, Quantity: c.Quantity, Hidden: c.Hidden, Bill: bill}
	}
	return all, nil
}

// memo remembers what a text was read as.
type memo[T any] struct {
	mu    sync.Mutex
	known map[string]T
}

// mostKnown bounds the memory of a memo.
const mostKnown = 2000

func (m *memo[T]) read(text []byte) (T, error) {
	m.mu.Lock()
	v, there := m.known[string(text)]
	m.mu.Unlock()
	if there {
		return v, nil
	}
	if err := json.Unmarshal(text, &v); err != nil {
		return v, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.known == nil {
		m.known = map[string]T{}
	}
	if len(m.known) < mostKnown {
		m.known[string(text)] = v
	}
	return v, nil
}
