package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"marchpane/pricing/actual"
	"marchpane/store"
)

// ahead works out in the background what the next visitor is likely to ask for:
// at the start, and after each write. One thing after another, so that it takes
// few of the hands of those who are being served, and as any visitor would: it
// reads, and nobody who writes waits for it. Who asks for the very thing meanwhile
// waits for it instead of working it out twice.
type ahead struct {
	wake chan struct{} // something may have been written
	stop context.CancelFunc
	done chan struct{} // closed once it has ended
}

// settling is how long it waits after a write: they come several at a time, and
// the page that follows the write is to have the machine first.
const settling = 300 * time.Millisecond

// begin begins to work ahead.
func (a *ahead) begin(ctx context.Context, work func(context.Context)) {
	ctx, a.stop = context.WithCancel(context.WithoutCancel(ctx))
	a.wake, a.done = make(chan struct{}, 1), make(chan struct{})
	go func() {
		defer close(a.done)
		for {
			work(ctx)
			select {
			case <-a.wake:
			case <-ctx.Done():
				return
			}
			select {
			case <-time.After(settling):
			case <-ctx.Done():
				return
			}
		}
	}()
}

// written tells that something may have been written.
func (a *ahead) written() {
	select {
	case a.wake <- struct{}{}:
	default: // it knows already, or nobody works ahead
	}
}

// end ends it, and returns once it has.
func (a *ahead) end() {
	if a.stop != nil {
		a.stop()
		<-a.done
	}
}

// workAhead asks for the pages of these days, of the studio itself: the demo is
// small.
func (s *Server) workAhead(ctx context.Context) {
	ctx = context.WithValue(ctx, visitKey{}, visit{studio: s.own})
	month := actual.MonthOf(s.today()).String()
	for _, v := range []struct {
		path string
		show handler
	}{{"/", s.showToday}, {"/month/" + month, s.showMonth}, {"/kitchen", s.showKitchen}, {"/shopping", s.showShopping}, {"/payments", s.listDue}, {"/what-if", s.rankAhead}} {
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, v.path, nil)
		if err != nil {
			return
		}
		r.RequestURI = v.path
		r.Header.Set("Accept-Encoding", "gzip")
		r.SetPathValue("span", month)
		err = v.show(nowhere{http.Header{}}, r)
		switch {
		case ctx.Err() != nil, errors.Is(err, store.ErrEmpty):
			return
		case err != nil: // whoever asks for the page is told
			s.Log.Debug("a page could not be made ahead", "path", v.path, "err", err)
		}
	}
}

// rankAhead makes what a what-if goes by: what every cake and open quote costs at
// the prices of today.
func (s *Server) rankAhead(w http.ResponseWriter, r *http.Request) error {
	if err := s.showWhatIf(w, r); err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	k, err := s.ranking(r, x)
	if err != nil {
		return err
	}
	_, err = s.rankedCakes(r, k)
	if err != nil {
		return err
	}
	_, err = s.openQuotes(r, k)
	return err
}

// nowhere is where a page goes that nobody asked for.
type nowhere struct{ header http.Header }

func (n nowhere) Header() http.Header            { return n.header }
func (n nowhere) Write(data []byte) (int, error) { return len(data), nil }
func (n nowhere) WriteHeader(int)                {}
