package store

import (
	"context"
	"fmt"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
)

// taken is every cake's takeoff as this process last read it. What it wrote since
// tells which cakes have another; where another program wrote, all are read.
type taken struct {
	loading sync.Mutex // held while they are read, so that they are once
	number  int64      // of the import that made the book theirs; 0: nothing is remembered
	list    []pricing.Takeoff

	mu    sync.Mutex
	edits []recompiled // by this process, one after another without a gap
}

// recompiled is an edit of the book and the cakes that it compiled again.
type recompiled struct {
	number int64
	cakes  []book.ID
}

// mostEdits bounds how many edits are remembered: whoever wants the takeoffs after
// more of them reads them all.
const mostEdits = 200

// edited remembers an edit. Numbers of imports only ever rise, also where the file
// becomes another; see [Store.Restore].
func (k *taken) edited(number int64, cakes []book.ID) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if n := len(k.edits); n > 0 && k.edits[n-1].number != number-1 || n == mostEdits {
		k.edits = nil
	}
	k.edits = append(k.edits, recompiled{number, cakes})
}

// since returns the cakes that were compiled again after an import and up to
// another, and whether that is known.
func (k *taken) since(after, upto int64) (cakes []book.ID, known bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if after == 0 || after > upto {
		return nil, false
	}
	next := after + 1
	for _, e := range k.edits {
		if e.number == next && e.number <= upto {
			cakes = append(cakes, e.cakes...)
			next++
		}
	}
	return cakes, next == upto+1
}

func (k *taken) forget() {
	k.loading.Lock()
	defer k.loading.Unlock()
	k.mu.Lock()
	defer k.mu.Unlock()
	k.number, k.list, k.edits = 0, nil, nil
}

// Takeoffs returns the takeoffs of all cakes in their order, with bills and
// without single uses, as [Store.Priced] has them. They are for reading alone:
// each is read once until it changes, and everybody is given the same.
func (s *Store) Takeoffs(ctx context.Context) (list []pricing.Takeoff, err error) {
	err = s.read(ctx, func(r *reader) error {
		b, _, err := s.current(r)
		switch {
		case err != nil:
			return err
		case b.Format == "":
			return ErrEmpty
		}
		number := r.edition()
		k := &s.taken
		k.loading.Lock()
		defer k.loading.Unlock()
		if r.err != nil || k.number == number {
			list = k.list
			return r.err
		}
		of, was := whole, map[book.ID]pricing.Takeoff{}
		if cakes, known := k.since(k.number, number); known {
			if len(cakes) == 0 && k.stillOf(b) {
				k.number, list = number, k.list
				return nil
			}
			of = only(distinct(cakes))
			for _, t := range k.list {
				was[t.ID] = t
			}
		}
		if of.whole || len(of.ids) > 0 {
			for id, t := range r.bills(of) {
				was[id] = t
			}
		}
		if r.err != nil {
			return r.err
		}
		if list, err = r.takeoffs(b, was); err == nil {
			k.number, k.list = number, list
		}
		return err
	})
	return list, err
}

// stillOf reports whether what is remembered is that of a book too of which no
// cake was compiled again.
func (k *taken) stillOf(b book.Book) bool {
	method := overheadOf(b)
	if len(k.list) != len(b.Cakes) {
		return false
	}
	for i := range k.list {
		if t, c := &k.list[i], &b.Cakes[i]; t.ID != c.ID || t.Name != c.Name || t.Overhead != method {
			return false
		}
	}
	return true
}

// overheadOf returns how overhead is shared; "" where there is none.
func overheadOf(b book.Book) book.OverheadMethod {
	if b.Overhead == nil {
		return ""
	}
	return b.Overhead.Method
}

// ofThisEdition is the column of a compiled cake's id, for those that this edition
// of the program compiled.
var ofThisEdition = fmt.Sprintf("engine = %d AND cake", pricing.Edition)

// bills reads compiled cakes. Those of one design share their bill.
func (r *reader) bills(s scope) map[book.ID]pricing.Takeoff {
	bills := map[book.ID]pricing.Takeoff{}
	read := map[string]pricing.Bill{}
	var t pricing.Takeoff
	var text string
	query, args := s.of(`SELECT cake, portions_made, portions_served, bill FROM compiled`, ofThisEdition, "cake")
	r.each(func() {
		bill, there := read[text]
		if !there {
			if r.err = bill.UnmarshalText([]byte(text)); r.err != nil {
				return
			}
			read[text] = bill
		}
		t.Bill = bill
		bills[t.ID] = t
	}, query, args, name(&t.ID), &t.Made, &t.Served, &text)
	return bills
}

// takeoffs puts compiled cakes in the order of the book's, with what they have
// from it.
func (r *reader) takeoffs(b book.Book, bills map[book.ID]pricing.Takeoff) ([]pricing.Takeoff, error) {
	list := make([]pricing.Takeoff, 0, len(b.Cakes))
	for i := range b.Cakes {
		c := &b.Cakes[i]
		t, there := bills[c.ID]
		if !there && r.err == nil {
			// An earlier edition of the program compiled it.
			var err error
			if t, err = r.takeAfresh(c.ID); err != nil {
				return nil, err
			}
		}
		t.Name, t.Overhead = c.Name, overheadOf(b)
		list = append(list, t)
	}
	return list, r.err
}
