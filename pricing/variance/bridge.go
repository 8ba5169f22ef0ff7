package variance

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// Step is one variance on the way from a planned margin to the real one.
type Step struct {
	Key      Key
	Amount   exact.Number // above 0 raises the margin
	Recorded bool         // whether anything was recorded that could have moved it
}

// Effect says whether the step raised or lowered the margin.
func (s Step) Effect() Effect { return effectOf(s.Amount.Sign()) }

// Bridge leads from a planned margin, in money, to the real one: Planned plus
// the amounts of all steps is exactly Actual. Steps are in the order of their
// keys, each key once; those that do not apply are absent, those that came to
// nothing are there with 0.
type Bridge struct {
	Planned exact.Number
	Steps   []Step
	Actual  exact.Number
}

// Variance returns how far the real margin is above the planned one.
func (b Bridge) Variance() exact.Number { return b.Actual.Sub(b.Planned) }

// Amount returns the amount of a step, 0 where the bridge has none of its key.
func (b Bridge) Amount(k Key) exact.Number {
	for _, s := range b.Steps {
		if s.Key == k {
			return s.Amount
		}
	}
	return exact.Number{}
}

// Sum joins bridges into one: of orders into a month's, of months into a
// year's. A step stands where any of them has it.
func Sum(bridges ...Bridge) Bridge {
	var s span
	for _, b := range bridges {
		s.add(b)
	}
	return s.bridge()
}

// span sums bridges as they come.
type span struct {
	planned, actual exact.Number
	steps           [keys]Step
	present         [keys]bool
}

func (s *span) add(b Bridge) {
	s.planned = s.planned.Add(b.Planned)
	s.actual = s.actual.Add(b.Actual)
	for _, step := range b.Steps {
		s.step(step.Key, step.Amount, step.Recorded)
	}
}

// step adds to a step of the bridge; it does not touch where the bridge leads.
func (s *span) step(k Key, amount exact.Number, recorded bool) {
	s.present[k] = true
	at := &s.steps[k]
	at.Key, at.Amount, at.Recorded = k, at.Amount.Add(amount), at.Recorded || recorded
}

func (s *span) bridge() Bridge {
	b := Bridge{Planned: s.planned, Actual: s.actual}
	for k, there := range s.present {
		if there {
			b.Steps = append(b.Steps, s.steps[k])
		}
	}
	return b
}

// runningSpan is a span under way, out of which bridges may be taken again.
type runningSpan struct {
	planned, actual   exact.Running
	steps             [keys]exact.Running
	present, recorded [keys]int // how many bridges have the step, and recorded
}

// put adds a bridge, or with a sign of −1 takes one out that was added.
func (s *runningSpan) put(b Bridge, sign int) {
	s.planned.Add(signed(b.Planned, sign))
	s.actual.Add(signed(b.Actual, sign))
	for _, step := range b.Steps {
		s.steps[step.Key].Add(signed(step.Amount, sign))
		s.present[step.Key] += sign
		if step.Recorded {
			s.recorded[step.Key] += sign
		}
	}
}

// join adds all the bridges of another.
func (s *runningSpan) join(o *runningSpan) {
	s.planned.Add(o.planned.Number())
	s.actual.Add(o.actual.Number())
	for k := range s.steps {
		s.steps[k].Add(o.steps[k].Number())
		s.present[k] += o.present[k]
		s.recorded[k] += o.recorded[k]
	}
}

func (s *runningSpan) fold() {
	s.planned.Fold()
	s.actual.Fold()
	for k := range s.steps {
		s.steps[k].Fold()
	}
}

func (s *runningSpan) copied() runningSpan {
	c := *s
	c.planned, c.actual = s.planned.Copy(), s.actual.Copy()
	for k := range c.steps {
		c.steps[k] = s.steps[k].Copy()
	}
	return c
}

// span returns the sum.
func (s *runningSpan) span() span {
	sum := span{planned: s.planned.Number(), actual: s.actual.Number()}
	for k := range s.steps {
		if s.present[k] > 0 {
			sum.step(Key(k), s.steps[k].Number(), s.recorded[k] > 0)
		}
	}
	return sum
}

// signed returns n, or −n for a sign below 0.
func signed(n exact.Number, sign int) exact.Number {
	if sign < 0 {
		return n.Neg()
	}
	return n
}

// Printed is a bridge as paper shows it: Planned plus the amounts of all steps
// is Actual, to the minor unit.
type Printed struct {
	Planned money.Amount
	Steps   []PrintedStep
	Actual  money.Amount
}

// PrintedStep is a step as paper shows it.
type PrintedStep struct {
	Key      Key
	Amount   money.Amount
	Effect   Effect // of the amount shown
	Recorded bool
}

// Print rounds a bridge for show. Both ends are rounded as they are everywhere
// else; the steps share what lies between them, so that each is within a minor
// unit of its exact amount, none changes sides and a step of 0 stays 0.
func (b Bridge) Print(cur money.Currency) Printed {
	p := Printed{Planned: cur.Round(b.Planned), Actual: cur.Round(b.Actual)}
	total := p.Actual.Sub(p.Planned)
	// Apportion hands out what rounding down leaves over, so it is asked for a
	// total that is not below 0: adverse and favourable change sides.
	turned := total.Sign() < 0
	if turned {
		total = total.Neg()
	}
	var values []exact.Number
	for _, s := range b.Steps {
		switch {
		case s.Amount.IsZero():
		case turned:
			values = append(values, s.Amount.Neg())
		default:
			values = append(values, s.Amount)
		}
	}
	amounts := money.Apportion(total, values)
	for _, s := range b.Steps {
		shown := cur.Round(exact.Number{})
		if !s.Amount.IsZero() {
			shown, amounts = amounts[0], amounts[1:]
			if turned {
				shown = shown.Neg()
			}
		}
		p.Steps = append(p.Steps, PrintedStep{s.Key, shown, effectOf(shown.Sign()), s.Recorded})
	}
	return p
}
