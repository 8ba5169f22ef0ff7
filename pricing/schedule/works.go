package schedule

import (
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// siteWork returns the work of a tier, of a cake as a whole or of an extra, for
// so many copies.
func siteWork(x *book.Index, tasks []book.Task, uses []pricing.Use, copies int) work {
	w := workOf(x, tasks, uses, exact.Int(int64(copies)))
	if len(w.runs) > 0 {
		w.standIn()
	}
	return w
}

// workOf returns the tasks of the book with the minutes of the takeoff × n. A
// wait is as long for several as for one.
func workOf(x *book.Index, tasks []book.Task, uses []pricing.Use, n exact.Number) work {
	var w work
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

// batch is how a need of a component is made.
type batch struct {
	c       *book.Component
	made    exact.Number
	batches int
	unit    string
	whole   pricing.Making
	part    exact.Number // of the whole
}

// batchOf returns the batches in which a need is made.
func batchOf(x *book.Index, c *book.Component, need exact.Number) (batch, error) {
	m, err := pricing.Make(x, c, need)
	if err != nil {
		return batch{}, err
	}
	n := m.Batches.Ceil()
	if !n.IsInt64() || n.Int64() > maxBatches {
		return batch{}, fmt.Errorf("%s: more than %d batches of %s are needed; raise its batch_max", c.Name, maxBatches, c.BatchMax)
	}
	return batch{c: c, made: m.Made, batches: int(n.Int64()), unit: m.Unit, whole: m, part: exact.Int(1)}, nil
}

// maxBatches bounds the batches of one making.
const maxBatches = 100_000

// share returns n of the batches.
func (b batch) share(n int) batch {
	of := exact.Frac(int64(n), int64(b.batches))
	b.made, b.part = b.made.Mul(of), b.part.Mul(of)
	b.batches = n
	return b
}

// work returns the tasks, waits and appliances of making the batches.
func (b batch) work(x *book.Index, c Capacity) (work, error) {
	w := workOf(x, b.c.Tasks, b.whole.Uses, b.part)
	w.standIn()
	b.waitForRuns(&w, c, slices.ContainsFunc(b.c.Tasks, func(t book.Task) bool { return t.Wait.Given() }))
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
func (b batch) inputs(x *book.Index) []amount {
	var list []amount
	for _, in := range b.whole.Inputs {
		if it, ok := x.Item(in.Component); ok {
			list = append(list, amount{it.Component, in.Quantity.Mul(b.part)})
		}
	}
	return list
}

// amount is so much of a component.
type amount struct {
	c        *book.Component
	quantity exact.Number
}
