package cli

import (
	"context"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/store"
)

// margins is what changes do to the cakes that use what moves, in the order of
// the book, by the catalogue: figures exact to the digits that documents
// print, without the exact arithmetic of every line.
func (e *Env) margins(ctx context.Context, w wanted, on day.Date) ([]pricing.Impact, error) {
	s, err := e.open(ctx)
	if err != nil {
		return nil, err
	}
	defer s.Close()
	b, written, err := s.WrittenOn(ctx, on)
	if err != nil {
		return nil, err
	}
	changes, err := w.within(b)
	if err != nil {
		return nil, err
	}
	x := book.NewIndex(b)
	rates := pricing.NewRates(x, on)
	resources := map[book.ID]bool{}
	for _, c := range changes {
		if err := checkResource(ctx, s, x, c.Resource); err != nil {
			return nil, err
		}
		resources[c.Resource] = true
	}
	cakes, bills, err := users(x, rates, written, resources)
	if err != nil || len(cakes) == 0 {
		return nil, err
	}
	perUnit, err := pricing.Moves(x, rates, changes...)
	if err != nil {
		return nil, err
	}
	cat, err := catalogue.New(rates, b.Studio.Currency.Places(), cakes, func(i int) (pricing.Bill, error) {
		t, err := bills[i].Read()
		return t.Bill, err
	})
	if err != nil {
		return nil, err
	}
	return cat.Impacts(perUnit, b.Studio.FloorMargin.Or(measure.Percent{}).Fraction())
}

// checkResource refuses what is no resource. x may hold less than the store
// does, which then says what the name stands for.
func checkResource(ctx context.Context, s *store.Store, x *book.Index, id book.ID) error {
	if _, err := pricing.ResourceKind(x, id); err == nil {
		return nil
	}
	b, err := s.Book(ctx)
	if err != nil {
		return err
	}
	_, err = pricing.ResourceKind(book.NewIndex(b), id)
	return err
}

// users returns the cakes whose bill holds one of the resources, with their
// bills; of the others not even prices are looked up.
func users(x *book.Index, rates *pricing.Rates, written []store.Written, resources map[book.ID]bool) (cakes []catalogue.Cake, bills []store.Written, err error) {
	for i, w := range written {
		lines, err := catalogue.ReadLines(w.Bill)
		if err != nil {
			return nil, nil, err
		}
		if !slices.ContainsFunc(lines, func(l catalogue.Line) bool { return resources[l.Resource] }) {
			continue
		}
		offer, err := offerOf(x, rates, &x.Book.Cakes[i], w)
		if err != nil {
			return nil, nil, err
		}
		cakes = append(cakes, catalogue.Cake{ID: w.Takeoff.ID, Lines: lines, Net: offer.Net, HasPrice: offer.HasPrice && !offer.Net.IsZero()})
		bills = append(bills, w)
	}
	return cakes, bills, nil
}

// offerOf prices a cake: by its list price alone where it has one, else by its
// exact cost.
func offerOf(x *book.Index, rates *pricing.Rates, c *book.Cake, w store.Written) (pricing.Offer, error) {
	if c.ListPriceOn(rates.On()).Given {
		return pricing.Price(x.Book.Studio, c, rates.On(), pricing.Cost{}.Total(), w.Takeoff.Served), nil
	}
	t, err := w.Read()
	if err != nil {
		return pricing.Offer{}, err
	}
	costing, err := t.Costing(x, rates)
	return costing.Offer, err
}
