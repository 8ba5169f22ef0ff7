package schedule

import (
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// siteWork returns the work of a tier, of a cake as a whole or of an extra, for
// so many copies: the tasks of the book with the minutes of the takeoff. A wait
// is as long for several as for one.
func siteWork(x *book.Index, tasks []book.Task, uses []pricing.Use, copies int) work {
	var w work
	n := exact.Int(int64(copies))
	next := 0 // of the uses, which stand in the order of the tasks
	for _, t := range tasks {
		if t.Wait.Given() {
			w.wait(t.Name, minutesUp(t.Wait.Base(x.Household())))
			continue
		}
		for next < len(uses) && uses[next].Kind != pricing.Role {
			next++
		}
		// A task that takes no minutes has no use.
		if next < len(uses) && uses[next].Resource == t.Role && uses[next].For == t.Name {
			w.steps = append(w.steps, step{name: t.Name, role: t.Role, roleName: uses[next].Name, minutes: minutesUp(uses[next].Quantity.Mul(n))})
			next++
		}
	}
	for _, u := range uses {
		if u.Kind == pricing.Equipment {
			w.addRun(u.Resource, u.Name, minutesUp(u.Quantity.Mul(n)))
		}
	}
	if len(w.runs) > 0 {
		w.standIn()
	}
	return w
}

func (w *work) wait(name string, minutes int) {
	if minutes > 0 {
		w.steps = append(w.steps, step{name: name, minutes: minutes, wait: true})
	}
}

func (w *work) addRun(id book.ID, name string, minutes int) {
	for i := range w.runs {
		if w.runs[i].id == id {
			w.runs[i].minutes += minutes
			return
		}
	}
	w.runs = append(w.runs, run{id, name, minutes})
}

// standIn puts a step of no minutes before work without hands, so that it has
// a time of day at which somebody sees to it.
func (w *work) standIn() {
	for _, s := range w.steps {
		if !s.wait {
			return
		}
	}
	w.steps = append([]step{{}}, w.steps...)
}

// minutesUp returns a whole number of minutes. What the book may state and an
// order may ask for stays far below what an int holds; anything else is capped.
func minutesUp(n exact.Number) int {
	const endless = 1 << 40
	if up := n.Ceil(); up.IsInt64() && up.Int64() < endless {
		return int(up.Int64())
	}
	return endless
}

// batch is how a need of a component is made, by the formulas of package
// pricing: made = max(need, batch_min), in batches of at most batch_max.
type batch struct {
	c       *book.Component
	made    exact.Number
	batches int
	unit    measure.Dimension
}

// batchOf returns the batches in which a need is made.
func batchOf(x *book.Index, c *book.Component, need exact.Number) (batch, error) {
	it := book.Item{Component: c}
	out, err := x.Output(c)
	if err != nil {
		return batch{}, err
	}
	b := batch{c: c, made: need, batches: 1, unit: out.Dimension}
	if c.BatchMin.Given() {
		least, err := x.Charge(it, x.Amount(c.BatchMin))
		if err != nil {
			return batch{}, err
		}
		b.made = exact.Max(need, least)
	}
	if c.BatchMax.Given() {
		largest, err := x.Charge(it, x.Amount(c.BatchMax))
		if err != nil {
			return batch{}, err
		}
		n := b.made.Quo(largest).Ceil()
		if !n.IsInt64() || n.Int64() > maxBatches {
			return batch{}, fmt.Errorf("%s: more than %d batches of %s are needed; raise its batch_max", c.Name, maxBatches, c.BatchMax)
		}
		b.batches = int(n.Int64())
	}
	return b, nil
}

// maxBatches bounds the batches of one making.
const maxBatches = 100_000

// share returns n of the batches.
func (b batch) share(n int) batch {
	b.made = b.made.Mul(exact.Frac(int64(n), int64(b.batches)))
	b.batches = n
	return b
}

// minutes of setup × batches + rate × driver.
func (b batch) minutes(x *book.Index, setup, rate measure.Quantity, per book.Driver) int {
	h := x.Household()
	sum := setup.Base(h).Mul(exact.Int(int64(b.batches)))
	switch per {
	case book.PerBatch:
		sum = sum.Add(rate.Base(h).Mul(exact.Int(int64(b.batches))))
	case book.PerKg:
		sum = sum.Add(rate.Base(h).Mul(b.made).Mul(exact.Frac(1, 1000)))
	case book.PerEach:
		sum = sum.Add(rate.Base(h).Mul(b.made))
	}
	return minutesUp(sum)
}

// work returns the tasks, waits and appliances of making the batches.
func (b batch) work(x *book.Index, c Capacity) (work, error) {
	var w work
	waits := false
	for i, t := range b.c.Tasks {
		if t.Wait.Given() {
			waits = true
			w.wait(t.Name, minutesUp(t.Wait.Base(x.Household())))
			continue
		}
		role, ok := x.Role(t.Role)
		if !ok {
			return work{}, fmt.Errorf("%s, task %d: %q is no role of the book", b.c.Name, i+1, t.Role)
		}
		if n := b.minutes(x, t.Setup, t.Rate, t.Per); n > 0 {
			w.steps = append(w.steps, step{name: t.Name, role: role.ID, roleName: role.Name, minutes: n})
		}
	}
	for i, u := range b.c.Equipment {
		a, ok := x.Appliance(u.Use)
		if !ok {
			return work{}, fmt.Errorf("%s, appliance %d: %q is no appliance of the book", b.c.Name, i+1, u.Use)
		}
		if n := b.minutes(x, u.Setup, u.Rate, u.Per); n > 0 {
			w.addRun(a.ID, a.Name, n)
		}
	}
	w.standIn()
	b.waitForRuns(&w, c, waits)
	return w, w.check(b.c.Name)
}

// waitForRuns adds a wait for an appliance where the tasks and waits of the book
// are over before it can have run since the end of the first task: one that is
// limited takes batch after batch, and where the book states no wait at all, a
// batch still has to run.
func (b batch) waitForRuns(w *work, c Capacity, waits bool) {
	longest, name := 0, ""
	for _, a := range w.runs {
		takes := 0
		if minutes, limited := c.best(a.id); limited {
			side := max(1, c.hands(minutes)) // several of its kind
			takes = (a.minutes + side - 1) / side
		} else if !waits {
			takes = (a.minutes + b.batches - 1) / b.batches
		}
		if takes > longest {
			longest, name = takes, a.name
		}
	}
	first := slices.IndexFunc(w.steps, func(s step) bool { return !s.wait })
	if rest := longest - (work{steps: w.steps[first+1:]}).net(); rest > 0 {
		w.steps = append(w.steps, step{name: name, minutes: rest, wait: true, runs: true})
	}
}

// most returns how many of the batches one day's appliances can take, at least
// one.
func (b batch) most(x *book.Index, c Capacity) (int, error) {
	w, err := b.work(x, c)
	if err != nil {
		return 0, err
	}
	n := b.batches
	for _, a := range w.runs {
		if minutes, limited := c.best(a.id); limited && a.minutes > minutes {
			n = min(n, max(1, b.batches*minutes/a.minutes))
		}
	}
	return n, nil
}

// inputs returns what the batches take of other components.
func (b batch) inputs(x *book.Index) ([]amount, error) {
	out, err := x.Output(b.c)
	if err != nil {
		return nil, err
	}
	factor := b.made.Quo(out.Number)
	var list []amount
	for i, line := range b.c.Lines {
		it, ok := x.Item(line.Use)
		if !ok {
			return nil, fmt.Errorf("%s, line %d: %q is no ingredient, part or component of the book", b.c.Name, i+1, line.Use)
		}
		if it.Component == nil {
			continue
		}
		n, err := x.Charge(it, x.Amount(line.Qty))
		if err != nil {
			return nil, fmt.Errorf("%s, line %d: %w", b.c.Name, i+1, err)
		}
		if n = n.Mul(factor); !n.IsZero() {
			list = append(list, amount{it.Component, n})
		}
	}
	return list, nil
}

// amount is so much of a component.
type amount struct {
	c        *book.Component
	quantity exact.Number
}
