package web

import (
	"context"
	"net/http"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/store"
)

// GCPercent is how much garbage a server of these pages should let gather, as
// debug.SetGCPercent has it. A page leaves some hundred kilobytes behind, and
// each collection holds up those who are being served meanwhile. A studio of ten
// thousand cakes is remembered in some 15 MB, so that this is about 100 MB in
// all, with one collection in some hundreds of pages.
const GCPercent = 600

// studio is a store with what was read of it. What is kept is good until
// somebody, this program or another, writes to the file.
type studio struct {
	store    *store.Store
	watch    *store.Watch
	costings costings

	mu      sync.Mutex
	edition store.Edition
	index   *book.Index
	kept    map[string]any // until anything is written
	of      *book.Index    // what is kept of it, until the book changes
	ofBook  map[string]any
}

func newStudio(ctx context.Context, s *store.Store) (*studio, error) {
	watch, err := s.Watch(ctx)
	if err != nil {
		return nil, err
	}
	return &studio{store: s, watch: watch, kept: map[string]any{}}, nil
}

// look forgets what is out of date. The lock is held.
func (d *studio) look(ctx context.Context) error {
	now, err := d.watch.Edition(ctx)
	if err != nil {
		return err
	}
	if now.Book != d.edition.Book {
		d.index = nil
	}
	if now != d.edition {
		clear(d.kept)
	}
	d.edition = now
	return nil
}

// book returns the studio's book, for reading alone: every page of every
// visitor reads the same one. The error is store.ErrEmpty where there is none.
func (d *studio) book(ctx context.Context) (*book.Index, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.look(ctx); err != nil {
		return nil, err
	}
	if d.index != nil {
		return d.index, nil
	}
	b, err := d.store.Shared(ctx)
	if err != nil {
		return nil, err
	}
	x := book.NewIndex(b)
	for i := range b.Components {
		// An index remembers what recipes yield; asked for all now, it does not
		// change under those who share it.
		_, _ = x.Output(&b.Components[i])
	}
	d.index = x
	return x, nil
}

// book returns the book that a visitor sees; see [studio.book].
func (s *Server) book(r *http.Request) (*book.Index, error) {
	return visitOf(r).studio.book(r.Context())
}

// rates returns the prices of today. They belong to one request.
func (s *Server) rates(x *book.Index) *pricing.Rates { return pricing.NewRates(x, s.today()) }

// remembered returns what work returns, worked out once until something is
// written to the store. The key tells apart what is remembered, and holds
// whatever else the work depends on, such as the day.
func remembered[T any](r *http.Request, key string, work func() (T, error)) (T, error) {
	d := visitOf(r).studio
	d.mu.Lock()
	if err := d.look(r.Context()); err != nil {
		d.mu.Unlock()
		var none T
		return none, err
	}
	edition := d.edition
	known, there := d.kept[key].(T)
	d.mu.Unlock()
	if there {
		return known, nil
	}
	made, err := work()
	if err != nil {
		return made, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.edition == edition {
		if len(d.kept) >= mostKept {
			clear(d.kept)
		}
		d.kept[key] = made
	}
	return made, nil
}

// ofBook returns what work makes of a book and of nothing else that changes,
// worked out once until the book is another: quotes, payments and letters are
// written all day and leave it. The key tells apart what is kept, and holds
// whatever else the work depends on, such as the day.
func ofBook[T any](r *http.Request, x *book.Index, key string, work func() (T, error)) (T, error) {
	d := visitOf(r).studio
	keep := func(do func()) error { // while x is the book of the store
		d.mu.Lock()
		defer d.mu.Unlock()
		if err := d.look(r.Context()); err != nil || d.index != x {
			return err
		}
		if d.of != x || len(d.ofBook) >= mostKept {
			d.of, d.ofBook = x, map[string]any{}
		}
		do()
		return nil
	}
	var made T
	there := false
	if err := keep(func() { made, there = d.ofBook[key].(T) }); err != nil || there {
		return made, err
	}
	made, err := work()
	if err != nil {
		return made, err
	}
	return made, keep(func() { d.ofBook[key] = made })
}

// mostKept bounds what is remembered.
const mostKept = 2000
