package month

import (
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// Fate is what became of a quote.
type Fate string

// The fates.
const (
	Open      Fate = "open"
	Won       Fate = "won"
	Declined  Fate = "declined"
	Lapsed    Fate = "lapsed"
	Withdrawn Fate = "withdrawn" // called off before it was accepted
)

// Story is what became of a quote, when, and in which revision and option.
type Story struct {
	Issued   day.Date
	Fate     Fate
	Decided  day.Date // the zero day while it is open
	Revision string   // that decides what it is worth
	Option   string   // that was accepted; "" for the first
}

// StoryOf reads the story of an issued quote from its trail, as it is known on
// a day: see the package comment. validUntil is of its newest revision.
func StoryOf(trail []quote.Step, validUntil, today day.Date) Story {
	s := Story{Fate: Open}
	for _, step := range trail {
		s.Revision = step.Revision
		switch step.Move {
		case quote.Issue:
			s.Issued = step.On
		case quote.Revise:
			s.Fate, s.Decided = Open, day.Date{}
		case quote.Accept:
			// What is revised or called off later is an order, not an offer.
			s.Fate, s.Decided, s.Option = Won, step.On, step.Option
			return s
		case quote.Decline:
			s.Fate, s.Decided = Declined, step.On
		case quote.Cancel:
			s.Fate, s.Decided = Withdrawn, step.On
		}
	}
	if s.Fate == Open && today.After(validUntil) {
		s.Fate, s.Decided = Lapsed, validUntil.AddDays(1)
	}
	return s
}

// Offered is a quote that was issued, what became of it, and what it is worth
// without tax: when it was issued, and in the revision of its story.
type Offered struct {
	Number    string
	Client    string
	Event     day.Date
	IssuedNet exact.Number
	Net       exact.Number
	Story
}

// by returns the story as it stood at the end of a day: what was decided later
// was open then.
func (o Offered) by(on day.Date) (Fate, day.Date) {
	if o.Decided.After(on) {
		return Open, day.Date{}
	}
	return o.Fate, o.Decided
}

// Touches reports whether the quote was issued or decided in a span, or open
// at its end.
func (s Story) Touches(span Span) bool {
	within := func(d day.Date) bool { return !d.IsZero() && span.Holds(d) }
	return within(s.Issued) || within(s.Decided) || !s.Issued.After(span.To) && (s.Decided.IsZero() || s.Decided.After(span.To))
}
