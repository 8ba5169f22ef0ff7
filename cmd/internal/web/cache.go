package web

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"net/http"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/store"
	"marchpane/templates/page"
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
	weighed  weighed
	cakes    namesOrder
	folded   foldings

	mu      sync.Mutex
	edition store.Edition
	index   *book.Index
	kept    map[string]*keeping // until what it depends on is written
	of      *book.Index         // what is kept of it, until the book changes
	ofBook  map[string]any
}

// bearing is what of a store some work depends on, besides the book.
type bearing uint8

const (
	onAnything bearing = 1 << iota // whatever is written, also what is not named here
	onQuotes                       // issued quotes and payments; not drafts, and not who a client is
	onJournal                      // the figures of what really happened; not its notes
	onHours                        // what the studio can do in a day
)

// onBook is on the book alone.
const onBook bearing = 0

// bears returns an edition as far as it bears on work.
func (b bearing) bears(e store.Edition) store.Edition {
	if b&onAnything != 0 {
		return e
	}
	as := store.Edition{Book: e.Book}
	if b&onQuotes != 0 {
		as.Quotes = e.Quotes
	}
	if b&onJournal != 0 {
		as.Entries, as.Undone = e.Entries, e.Undone
	}
	if b&onHours != 0 {
		as.Hours = e.Hours
	}
	return as
}

// keeping is a piece of work and what it made, once it is done.
type keeping struct {
	of    bearing
	at    store.Edition // as far as it bears on it
	done  chan struct{} // closed once there is a value, or why there is none
	value any
	err   error
}

func newStudio(ctx context.Context, s *store.Store) (*studio, error) {
	watch, err := s.Watch(ctx)
	if err != nil {
		return nil, err
	}
	return &studio{store: s, watch: watch, kept: map[string]*keeping{}}, nil
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
		maps.DeleteFunc(d.kept, func(_ string, k *keeping) bool { return k.at != k.of.bears(now) })
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
	d.index = SharedIndex(b)
	return d.index, nil
}

// SharedIndex returns an index that several may ask at once.
func SharedIndex(b book.Book) *book.Index {
	x := book.NewIndex(b)
	for i := range b.Components {
		// An index remembers what recipes yield; asked for all now, it does not
		// change under those who share it.
		_, _ = x.Output(&b.Components[i])
	}
	return x
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
	return rememberedOf(r, onAnything, key, work)
}

// rememberedOf is [remembered] until something is written that the work depends
// on. Who asks while it is being worked out waits for that.
func rememberedOf[T any](r *http.Request, of bearing, key string, work func() (T, error)) (made T, err error) {
	d, ctx := visitOf(r).studio, r.Context()
	for {
		k, mine, err := d.claim(ctx, of, key)
		if err != nil {
			return made, err
		}
		if mine {
			defer d.settle(key, k)
			if made, k.err = work(); k.err == nil {
				k.value = made
			}
			return made, k.err
		}
		select {
		case <-k.done:
		case <-ctx.Done():
			return made, ctx.Err()
		}
		if k.err == nil {
			return k.value.(T), nil
		}
		// Whoever began it may have gone away meanwhile, or met a fault that was
		// theirs; then it is begun again.
	}
}

// claim returns the work of a key, and whether it is for the caller to do and to
// [studio.settle].
func (d *studio) claim(ctx context.Context, of bearing, key string) (k *keeping, mine bool, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.look(ctx); err != nil {
		return nil, false, err
	}
	if k, there := d.kept[key]; there {
		return k, false, nil
	}
	if len(d.kept) >= mostRemembered {
		clear(d.kept)
	}
	// Until it is settled, for whatever reason, it came to nothing.
	k = &keeping{of: of, at: of.bears(d.edition), done: make(chan struct{}), err: context.Canceled}
	d.kept[key] = k
	return k, true, nil
}

// settle lets those go on who wait for a piece of work. What came to nothing is
// not kept.
func (d *studio) settle(key string, k *keeping) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if k.err != nil && d.kept[key] == k {
		delete(d.kept, key)
	}
	close(k.done)
}

// shown is a page to show.
type shown struct {
	status int
	title  string
	body   any
	crumbs []page.Link
}

// showKept is [Server.showAs] of a page that follows from its address, the day
// and what it bears on, and from nothing else: it is made once until that
// changes, down to the last byte.
func (s *Server) showKept(w http.ResponseWriter, r *http.Request, of bearing, name string, make func() (shown, error)) error {
	if !takesGzip(r) || visitOf(r).session.isToTell() {
		p, err := make()
		if err != nil {
			return err
		}
		return s.showAs(w, r, p.status, name, p.title, p.body, p.crumbs...)
	}
	type packed struct {
		status int
		data   []byte
	}
	f := s.frame(r, "")
	key := fmt.Sprintf("page %s %s %+v", name, s.today(), f) // with all that tells visitors apart
	p, err := rememberedOf(r, of, key, func() (packed, error) {
		p, err := make()
		if err != nil {
			return packed{}, err
		}
		f.Title, f.Body, f.Crumbs = p.title, p.body, p.crumbs
		b := sheets.Get().(*bytes.Buffer)
		defer putSheet(b)
		err = page.Write(b, name, f)
		return packed{p.status, pack(b.Bytes())}, err
	})
	if err != nil {
		return err
	}
	return sendPacked(w, r, p.status, "text/html; charset=utf-8", p.data)
}

// isToTell reports whether the next page has something to tell.
func (v *session) isToTell() bool {
	if v == nil {
		return false
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.notice != nil
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

// mostKept bounds what is kept of a book, and mostRemembered the rest, of which
// the report of a month takes some hundred kilobytes.
const mostKept, mostRemembered = 2000, 500
