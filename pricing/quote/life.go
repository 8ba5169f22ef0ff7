package quote

import (
	"fmt"
	"slices"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// State is where a quote stands on a day.
type State string

// The states. A quote lapses by the date alone: nobody moves it there.
const (
	DraftState State = "draft"
	Issued     State = "issued"
	Accepted   State = "accepted"
	Declined   State = "declined"
	Lapsed     State = "lapsed"
	Cancelled  State = "cancelled"
)

// States lists all states in the order of a quote's life.
func States() []State { return []State{DraftState, Issued, Accepted, Declined, Lapsed, Cancelled} }

// Move is what someone does with a quote.
type Move string

// The moves.
const (
	Issue   Move = "issue"
	Revise  Move = "revise"
	Accept  Move = "accept"
	Decline Move = "decline"
	Cancel  Move = "cancel"
)

// Step is one entry of a quote's trail.
type Step struct {
	At       string       `json:"at"` // when it was recorded, 2026-11-25T09:30:00Z
	On       day.Date     `json:"on"` // the day it holds from
	Move     Move         `json:"move"`
	Revision string       `json:"revision"`
	Option   string       `json:"option,omitempty"` // that was accepted
	Fee      money.Amount `json:"fee,omitzero"`     // that a cancellation costs the client
	Reason   string       `json:"reason"`
}

// Life is where a quote stands: what its trail and the date make of it.
//
// A revision of an accepted quote is an offer to change the order. Until the
// client accepts it the order stands as it was accepted; a revision that is
// declined or lapses leaves it so.
type Life struct {
	State      State    `json:"state"`
	Newest     string   `json:"revision"`                  // the revision on the table
	Order      string   `json:"accepted,omitempty"`        // the revision that was accepted last; "" if none
	Refused    bool     `json:"declined,omitempty"`        // whether the client declined the newest revision
	Option     string   `json:"accepted_option,omitempty"` // that was accepted
	ValidUntil day.Date `json:"valid_until"`
	since      day.Date
}

// LifeOf returns where a quote stands on a day. validUntil is of its newest
// revision.
func LifeOf(trail []Step, validUntil, on day.Date) Life {
	l := Life{State: DraftState, Newest: "A", ValidUntil: validUntil}
	for _, s := range trail {
		l.since = day.Later(l.since, s.On)
		switch s.Move {
		case Issue, Revise:
			l.State, l.Newest, l.Refused = Issued, s.Revision, false
		case Accept:
			l.State, l.Order, l.Option = Accepted, s.Revision, s.Option
		case Decline:
			l.State, l.Refused = Declined, true
			if l.Order != "" {
				l.State = Accepted
			}
		case Cancel:
			l.State = Cancelled
		}
	}
	if l.State == Issued && on.After(validUntil) {
		l.State = Lapsed
		if l.Order != "" {
			l.State = Accepted
		}
	}
	return l
}

// Stands returns the revision that speaks for the quote: the newest, unless an
// order stands that the newest did not change.
func (l Life) Stands() string {
	if l.Order != "" && (l.State == Accepted || l.State == Cancelled) {
		return l.Order
	}
	return l.Newest
}

// Pending reports whether an accepted order has a revision that the client has
// not decided on.
func (l Life) Pending() bool { return l.State == Issued && l.Order != "" }

// legal lists the moves that each state allows.
var legal = map[State][]Move{
	DraftState: {Issue},
	Issued:     {Revise, Accept, Decline, Cancel},
	Accepted:   {Revise, Cancel},
	Declined:   {Revise},
	Lapsed:     {Revise, Decline, Cancel},
	Cancelled:  {},
}

// Check refuses a move that a quote's state does not allow on a day, with the
// reason and what can be done instead. name is what the quote is called.
func (l Life) Check(name string, m Move, on day.Date) error {
	legal := slices.Contains(legal[l.State], m)
	switch {
	case legal && on.Before(l.since):
		return fmt.Errorf("%s moved on %s last; %s is before that, so name that day or a later one", name, l.since, on)
	case legal:
		return nil
	case l.State == DraftState:
		return fmt.Errorf("%s is a draft; issue it first", name)
	case m == Issue:
		return fmt.Errorf("%s is issued already; revise it to offer something else", name)
	case l.State == Cancelled:
		return fmt.Errorf("%s is cancelled, for good; make a new quote", name)
	case l.State == Declined:
		return fmt.Errorf("%s was declined; revise it to offer it anew", name)
	case l.State == Lapsed:
		return fmt.Errorf("%s lapsed on %s, the end of its validity; revise it to offer it anew, or %s it with --on a day up to then", name, l.ValidUntil.AddDays(1), m)
	case m == Accept && l.Order == l.Newest:
		return fmt.Errorf("%s is accepted already, in revision %s", name, l.Order)
	case m == Accept:
		return fmt.Errorf("%s has no revision on the table after %s, which is accepted; revise it first", name, l.Order)
	default: // Decline
		return fmt.Errorf("%s is accepted; an order is not declined but cancelled", name)
	}
}

// CancellationFee returns what the client owes where the order is cancelled on
// a day: the share of the last step whose days have begun, of the total,
// rounded. A quote that states no steps asks for nothing.
func (q Quote) CancellationFee(on day.Date) (fee money.Amount, share exact.Number) {
	days := on.DaysUntil(q.Offer.EventDate)
	for _, f := range q.Offer.Cancellation {
		if f.WithinDays == 0 || days <= f.WithinDays {
			share = f.Share.Fraction()
		}
	}
	return q.Offer.Studio.Currency.Round(q.Offer.Total.Number().Mul(share)), share
}
