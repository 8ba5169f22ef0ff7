package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/store"
)

// countingDesk counts the reports that it makes, and can be held up in one.
type countingDesk struct {
	Desk
	made atomic.Int32
	held func(context.Context) error
}

func (d *countingDesk) Report(ctx context.Context, s *store.Store, span month.Span, today day.Date) (month.Report, error) {
	d.made.Add(1)
	if d.held != nil {
		if err := d.held(ctx); err != nil {
			return month.Report{}, err
		}
	}
	return d.Desk.Report(ctx, s, span, today)
}

func (d *countingDesk) reaches(t *testing.T, n int32) {
	t.Helper()
	for range 12000 {
		if d.made.Load() >= n {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatalf("%d reports were made ahead, want %d", d.made.Load(), n)
}

// counted is a studio whose reports are counted.
func counted(t *testing.T, ahead bool, held func(context.Context) error) (*visitor, *countingDesk) {
	d := &countingDesk{Desk: testDesk{realDesk}, held: held}
	return visitStudio(t, true, func(o *Options) { o.Desk, o.Ahead = d, ahead }), d
}

// What is worked out ahead is there for whoever asks, and once more after a write
// that bears on it; other writes leave it.
func TestAhead(t *testing.T) {
	v, d := counted(t, true, nil)
	d.reaches(t, 1)
	v.get("/month/2026-11").shows(t, 200, "November 2026")
	if n := d.made.Load(); n != 1 {
		t.Errorf("%d reports were made, want the one made ahead", n)
	}
	v.post("/records/2026-11/overhead", "amount", "321.00")
	d.reaches(t, 2)
	v.get("/month/2026-11").shows(t, 200, "321.00")
	if _, err := v.store.AddClientOf(t.Context(), "2026-0001", testNow); err != nil {
		t.Fatal(err)
	}
	v.server.ahead.written()
	time.Sleep(2 * settling)
	v.get("/month/2026-11").shows(t, 200, "321.00")
	if n := d.made.Load(); n != 2 {
		t.Errorf("%d reports were made, want none for a client that is new", n)
	}
}

// The end does not wait for what is worked out ahead.
func TestAheadEnds(t *testing.T) {
	begun := make(chan struct{}, 10)
	v, _ := counted(t, true, func(ctx context.Context) error {
		begun <- struct{}{}
		<-ctx.Done()
		return ctx.Err()
	})
	<-begun
	// A write is not held up meanwhile.
	if _, err := v.store.AddClientOf(t.Context(), "2026-0001", testNow); err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() {
		v.server.ahead.end()
		close(ended)
	}()
	select {
	case <-ended:
	case <-time.After(time.Minute):
		t.Fatal("what is worked out ahead does not end")
	}
	v.server.ahead.written() // nobody listens any more
}

// A report that many ask for at once is made once, whoever of them goes away.
func TestManyAskForOne(t *testing.T) {
	begun, goOn := make(chan struct{}, 10), make(chan struct{})
	v, d := counted(t, false, func(ctx context.Context) error {
		begun <- struct{}{}
		select {
		case <-goOn:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	})
	asks := func(ctx context.Context) *httptest.ResponseRecorder {
		r, w := httptest.NewRequest("GET", v.url+"/month/2026-11", nil).WithContext(ctx), httptest.NewRecorder()
		r.Header.Set("Accept-Encoding", "gzip")
		v.server.ServeHTTP(w, r)
		return w
	}
	first, leave := context.WithCancel(t.Context())
	var all sync.WaitGroup
	all.Go(func() { asks(first) })
	<-begun
	answers := make([]*httptest.ResponseRecorder, 6)
	for i := range answers {
		all.Go(func() { answers[i] = asks(t.Context()) })
	}
	time.Sleep(50 * time.Millisecond) // they wait for the first
	leave()
	<-begun // one of them has begun again
	close(goOn)
	all.Wait()
	for _, w := range answers {
		if w.Code != http.StatusOK || strings.TrimSpace(w.Body.String()) == "" || w.Body.String() != answers[0].Body.String() {
			t.Errorf("one of many is answered %d, %d bytes; want the page that all get", w.Code, w.Body.Len())
		}
	}
	if n := d.made.Load(); n != 2 {
		t.Errorf("%d reports were made, want the one given up and one", n)
	}
}

// What a what-if goes by is made ahead too.
func TestAheadRanks(t *testing.T) {
	v, _ := counted(t, true, nil)
	r := httptest.NewRequest(http.MethodGet, "/what-if", nil)
	r = r.WithContext(context.WithValue(r.Context(), visitKey{}, visit{studio: v.server.own}))
	x, err := v.server.book(r)
	if err != nil {
		t.Fatal(err)
	}
	k, err := v.server.ranking(r, x)
	if err != nil {
		t.Fatal(err)
	}
	made := func() bool {
		k.cakes.mu.Lock()
		defer k.cakes.mu.Unlock()
		k.quotes.mu.Lock()
		defer k.quotes.mu.Unlock()
		return k.cakes.cat != nil && k.quotes.ranks != nil
	}
	for range 12000 {
		if made() {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Error("nothing was ranked ahead")
}
