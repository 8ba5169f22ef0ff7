package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

// around is how many days before and after an event other orders can take of
// the same hands.
const around = 21

// kitchen is the work of orders on its way to a plan.
type kitchen struct {
	x        *book.Index
	planner  *schedule.Known // by x
	capacity schedule.Capacity
	stated   bool
	hidden   bool // whether extras that nobody sees are still to be done
	orders   []schedule.Order
	accepted map[string]day.Date // when each order was accepted; the zero day for an open quote
	done     []string            // names of extras that are left out as done
	gone     []string            // what has left the book, in a sentence each
}

// kitchenOf gathers the accepted orders with an event from one day to another,
// without the cancelled ones and that of a quote, to be planned by a book of which
// something is known; nil: by as much of the store's book as they take.
func kitchenOf(ctx context.Context, s *store.Store, known *schedule.Known, from, to day.Date, hidden bool, besides ...quote.Quote) (*kitchen, error) {
	list, err := s.Orders(ctx, from, to)
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(o quote.Order) bool {
		return !o.CancelledOn.IsZero() || slices.ContainsFunc(besides, func(q quote.Quote) bool { return q.Number == o.Quote.Number })
	})
	k := &kitchen{hidden: hidden, accepted: map[string]day.Date{}}
	if k.capacity, k.stated, err = s.Capacity(ctx); err != nil {
		return nil, err
	}
	quotes := slices.Clone(besides)
	for _, o := range list {
		quotes = append(quotes, o.Quote)
	}
	if k.planner = known; known == nil {
		x, err := bookFor(ctx, s, quotes)
		if err != nil {
			return nil, err
		}
		k.planner = schedule.NewKnown(x)
	}
	k.x = k.planner.Book()
	for _, o := range list {
		k.add(k.orderOf(o.Quote.Number, o.Quote), o.Accepted)
	}
	return k, nil
}

// bookFor reads as much of the book as quotes take; the whole of it where a
// cake has left it.
func bookFor(ctx context.Context, s *store.Store, quotes []quote.Quote) (*book.Index, error) {
	var ids []book.ID
	for _, q := range quotes {
		for _, one := range q.Choices() {
			for _, c := range one.Basis.Cakes {
				if !slices.Contains(ids, c.ID) {
					ids = append(ids, c.ID)
				}
			}
		}
	}
	b, err := s.BookOf(ctx, ids, true)
	if err != nil {
		if b, err = s.Shared(ctx); err != nil {
			return nil, err
		}
	}
	return book.NewIndex(b), nil
}

func (k *kitchen) add(o schedule.Order, accepted day.Date) {
	k.orders = append(k.orders, o)
	k.accepted[o.Ref] = accepted
}

// orderOf returns the order that a quote of one offer asks for. What has left
// the book, and extras that were done to win the order, are left out and noted.
func (k *kitchen) orderOf(ref string, q quote.Quote) schedule.Order {
	o := schedule.OrderOf(ref, label(q), q.Request)
	o.Cakes, o.Extras = nil, nil
	for _, c := range q.Basis.Cakes {
		if _, ok := k.x.Cake(c.ID); !ok {
			k.leave(fmt.Sprintf("%s: %s has left the book and is not planned; plan it by hand, or bring the cake back", ref, c.Name))
			continue
		}
		o.Cakes = append(o.Cakes, quote.CakeWanted{Cake: c.ID, Quantity: c.Quantity})
	}
	for _, c := range q.Basis.Extras {
		e, ok := k.x.Extra(c.ID)
		switch {
		case !ok:
			k.leave(fmt.Sprintf("%s: %s has left the book and is not planned; plan it by hand, or bring the extra back", ref, c.Name))
		case doneBefore(e) && !k.hidden:
			// A tasting, a consultation: what comes with every quote and nobody
			// is shown was done before the order came.
			if !slices.Contains(k.done, e.Name) {
				k.done = append(k.done, e.Name)
			}
		default:
			o.Extras = append(o.Extras, quote.ExtraWanted{Extra: c.ID, Quantity: c.Quantity})
		}
	}
	return o
}

// doneBefore reports whether an extra belongs to the enquiry: it comes with every
// quote and nobody is shown.
func doneBefore(e *book.Extra) bool { return e.Always.Or(false) && e.Hidden.Or(false) }

func (k *kitchen) leave(what string) {
	if !slices.Contains(k.gone, what) {
		k.gone = append(k.gone, what)
	}
}

// label is what the wall may show of an order: its cakes, and not its client.
func label(q quote.Quote) string {
	var names []string
	for _, d := range q.Offer.Designs {
		if !slices.Contains(names, d.Name) {
			names = append(names, d.Name)
		}
	}
	if len(names) > 2 {
		names = append(names[:2], "…")
	}
	return strings.Join(names, "; ")
}

// known returns the capacity without what is not in the part of the book at
// hand: it limits nothing there, and the planner refuses strangers.
func (k *kitchen) known() schedule.Capacity {
	c := k.capacity
	c.Roles, c.Appliances = map[book.ID]schedule.Hours{}, map[book.ID]schedule.Hours{}
	for id, h := range k.capacity.Roles {
		if _, ok := k.x.Role(id); ok {
			c.Roles[id] = h
		}
	}
	for id, h := range k.capacity.Appliances {
		if _, ok := k.x.Appliance(id); ok {
			c.Appliances[id] = h
		}
	}
	return c
}
