package month

import (
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/variance"
)

// task is a task of a role; the name is "" where none is known.
type task struct {
	role book.ID
	name string
}

// taskSum is minutes of a task.
type taskSum struct{ planned, spent, recorded exact.Number }

func (s taskSum) add(t taskSum) taskSum {
	return taskSum{s.planned.Add(t.planned), s.spent.Add(t.spent), s.recorded.Add(t.recorded)}
}

// taskTimes are the minutes of a task under way.
type taskTimes struct {
	planned, spent, recorded exact.Running
	orders                   int // that have it
}

func (t *taskTimes) add(s taskSum) {
	t.planned.Add(s.planned)
	t.spent.Add(s.spent)
	t.recorded.Add(s.recorded)
}

func (t *taskTimes) sum() taskSum {
	return taskSum{t.planned.Number(), t.spent.Number(), t.recorded.Number()}
}

func (t *taskTimes) fold() {
	t.planned.Fold()
	t.spent.Fold()
	t.recorded.Fold()
}

// Works knows the tasks of the book's cakes and extras, each worked out once.
// Several goroutines may ask it.
type Works struct {
	mu     sync.Mutex // an index remembers what it has looked up too
	x      *book.Index
	cakes  map[book.ID]map[task]exact.Number
	extras map[extraDriven]map[task]exact.Number
}

type extraDriven struct {
	id book.ID
	km string
}

// NewWorks returns the works of a book, for tallies to share.
func NewWorks(x *book.Index) *Works {
	return &Works{x: x, cakes: map[book.ID]map[task]exact.Number{}, extras: map[extraDriven]map[task]exact.Number{}}
}

// times returns the minutes of an order by task. For each role, what is
// planned and what was spent add up to what the variances of the role rest on.
func (w *Works) times(o quote.Order, r variance.Result, entries []actual.Work) map[task]taskSum {
	planned := w.planned(o)
	times := map[task]taskSum{}
	for _, v := range r.Lines {
		if v.Line.Kind != pricing.Role {
			continue
		}
		role, standard, rest := v.Line.Resource, v.Line.StandardQuantity, v.Quantity.Value
		if standard.IsZero() { // an order that was called off plans nothing
			delete(planned, role)
		}
		for _, e := range entries {
			if e.Role == role {
				key := task{role, e.Task}
				times[key] = times[key].add(taskSum{spent: e.Minutes, recorded: e.Minutes})
				rest = rest.Sub(e.Minutes)
			}
		}
		// What no entry tells went as planned, or nobody knows where.
		asPlanned := rest.Equal(standard)
		for key, minutes := range planned[role] {
			sum := taskSum{planned: minutes}
			if asPlanned {
				sum.spent = minutes
			}
			times[key] = times[key].add(sum)
		}
		if !asPlanned && !rest.IsZero() {
			key := task{role: role}
			times[key] = times[key].add(taskSum{spent: rest})
		}
	}
	return times
}

// planned returns the planned minutes of an order by role and task. The tasks
// are those of the book as it stands, of each cake and extra whose roles still
// take the very minutes that were quoted; of any other no task is known.
func (w *Works) planned(o quote.Order) map[book.ID]map[task]exact.Number {
	sum := map[book.ID]map[task]exact.Number{}
	add := func(key task, minutes exact.Number) {
		if sum[key.role] == nil {
			sum[key.role] = map[task]exact.Number{}
		}
		sum[key.role][key] = sum[key.role][key].Add(minutes)
	}
	take := func(c quote.Costed, known map[task]exact.Number) {
		times := exact.Int(int64(c.Quantity))
		byRole := map[book.ID]exact.Number{}
		for key, minutes := range known {
			byRole[key.role] = byRole[key.role].Add(minutes)
		}
		for _, line := range c.Bill {
			if line.Kind != pricing.Role.String() {
				continue
			}
			if !byRole[line.ID].Equal(line.Quantity) {
				add(task{role: line.ID}, line.Quantity.Mul(times))
				continue
			}
			for key, minutes := range known {
				if key.role == line.ID {
					add(key, minutes.Mul(times))
				}
			}
		}
	}
	for _, c := range o.Quote.Basis.Cakes {
		take(c, w.cake(c.ID))
	}
	km := o.Quote.Request.Event.Km.Or(measure.Figure{}).Number()
	for _, c := range o.Quote.Basis.Extras {
		take(c, w.extra(c.ID, km))
	}
	return sum
}

func (w *Works) cake(id book.ID) map[task]exact.Number {
	w.mu.Lock()
	defer w.mu.Unlock()
	known, there := w.cakes[id]
	if !there {
		if t, err := pricing.TakeCake(w.x, id); err == nil { // else it has left the book
			known = tasksOf(t)
		}
		w.cakes[id] = known
	}
	return known
}

func (w *Works) extra(id book.ID, km exact.Number) map[task]exact.Number {
	w.mu.Lock()
	defer w.mu.Unlock()
	key := extraDriven{id, km.Text()}
	known, there := w.extras[key]
	if !there {
		if t, err := pricing.TakeExtra(w.x, id, km); err == nil {
			known = tasksOf(t)
		}
		w.extras[key] = known
	}
	return known
}

func tasksOf(t pricing.Takeoff) map[task]exact.Number {
	known := map[task]exact.Number{}
	for _, u := range t.AllUses() {
		if u.Kind == pricing.Role && !u.Quantity.IsZero() {
			key := task{u.Resource, u.For}
			known[key] = known[key].Add(u.Quantity)
		}
	}
	return known
}
