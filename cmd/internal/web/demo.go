package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"marchpane/store"
	"marchpane/templates/page"
)

// demoStudio is the demo studio while it is there. Whoever uses it is its guest
// for the length of a request; thrown away, it is there for nobody new at once,
// and its files go when the last guest has left. So nobody waits for a guest who
// takes their time, such as a letter on its way to a slow mail server.
type demoStudio struct {
	mu     sync.Mutex
	studio *studio // nil while there is none
	folder string
	guests *sync.WaitGroup
	going  sync.WaitGroup // those thrown away whose guests have not all left
	errs   []error
}

// join makes a request a guest until it leaves; the studio is nil where there is
// none.
func (d *demoStudio) join() (in *studio, leave func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.studio == nil {
		return nil, func() {}
	}
	d.guests.Add(1)
	return d.studio, d.guests.Done
}

// open lets guests in.
func (d *demoStudio) open(in *studio, folder string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.studio, d.folder, d.guests = in, folder, &sync.WaitGroup{}
}

// throwAway lets nobody in any more and returns what is closed once all has gone.
func (d *demoStudio) throwAway() <-chan struct{} {
	gone := make(chan struct{})
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.studio == nil {
		close(gone)
		return gone
	}
	old, folder, guests := d.studio, d.folder, d.guests
	d.studio, d.folder, d.guests = nil, "", nil
	d.going.Go(func() {
		defer close(gone)
		guests.Wait()
		if err := errors.Join(old.watch.Close(), old.store.Close(), os.RemoveAll(folder)); err != nil {
			d.mu.Lock()
			defer d.mu.Unlock()
			d.errs = append(d.errs, err)
		}
	})
	return gone
}

// gone waits for all that were thrown away, and says what could not be.
func (d *demoStudio) gone() error {
	d.going.Wait()
	d.mu.Lock()
	defer d.mu.Unlock()
	return errors.Join(d.errs...)
}

// demoMaking is the demo studio on its way: a year of it takes some seconds to
// be noted.
type demoMaking struct {
	mu    sync.Mutex
	done  chan struct{} // closed when it is made or failed; nil while none is on its way
	end   context.CancelFunc
	share float64
	err   error
}

// underWay reports whether the demo is being made, or could not be.
func (d *demoMaking) underWay() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.done != nil
}

// state says how far it is.
func (d *demoMaking) state() (share float64, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.share, d.err
}

// stop ends it, waits until it has ended, and forgets it.
func (d *demoMaking) stop() {
	d.mu.Lock()
	done, end := d.done, d.end
	d.mu.Unlock()
	if done == nil {
		return
	}
	end()
	<-done
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.done == done {
		d.done, d.err = nil, nil
	}
}

// beginDemo makes the demo studio in a folder of its own, unless it is there or
// on its way, and returns what is closed when that has ended. It outlives the
// request that asked for it.
func (s *Server) beginDemo(ctx context.Context) <-chan struct{} {
	s.making.mu.Lock()
	defer s.making.mu.Unlock()
	if s.making.done != nil && s.making.err == nil {
		return s.making.done
	}
	ctx, end := context.WithCancel(context.WithoutCancel(ctx))
	done := make(chan struct{})
	s.making.done, s.making.end, s.making.share, s.making.err = done, end, 0, nil
	go func() {
		defer close(done)
		if err := s.makeDemo(ctx); err != nil {
			if ctx.Err() == nil {
				s.Log.Error("the demo studio could not be made", "err", err)
			}
			s.making.mu.Lock()
			s.making.err = err
			s.making.mu.Unlock()
		}
	}()
	return done
}

func (s *Server) makeDemo(ctx context.Context) (err error) {
	folder, err := os.MkdirTemp("", "marchpane-demo-*")
	if err != nil {
		return fmt.Errorf("there is no place for the demo studio: %w", err)
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(folder))
		}
	}()
	path := filepath.Join(folder, "studio.db")
	err = s.Desk.OpenDemo(ctx, path, s.Now(), func(share float64) {
		s.making.mu.Lock()
		defer s.making.mu.Unlock()
		s.making.share = share
	})
	if err != nil {
		return err
	}
	opened, err := store.Open(ctx, path)
	if err != nil {
		return err
	}
	demo, err := newStudio(context.WithoutCancel(ctx), opened)
	if err != nil {
		return errors.Join(err, opened.Close())
	}
	if _, err := demo.book(ctx); err != nil { // so that the first page need not wait for it
		return errors.Join(err, demo.watch.Close(), opened.Close())
	}
	s.demo.open(demo, folder)
	return nil
}

// throwDemoAway ends the demo studio with all that was changed in it; what it
// returns is closed once all of it has gone.
func (s *Server) throwDemoAway() <-chan struct{} {
	s.making.stop()
	return s.demo.throwAway()
}

// patience is how long whoever asks for the demo waits for it before they are
// shown how far it is, and whoever leaves it for those who are still in it.
const patience = 1500 * time.Millisecond

func (s *Server) enterDemo(w http.ResponseWriter, r *http.Request) error {
	v := s.session(w, r)
	done := s.beginDemo(r.Context())
	v.mu.Lock()
	v.demo = 1
	v.mu.Unlock()
	select {
	case <-done:
	case <-time.After(patience):
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// showMaking shows how far the demo is, and looks again by itself.
func (s *Server) showMaking(w http.ResponseWriter, r *http.Request) error {
	share, err := s.making.state()
	if err != nil {
		return problem{
			Status: http.StatusInternalServerError, Title: "The demo studio could not be made", Text: sentence(err.Error()),
			Buttons: []page.Button{{Action: "/demo", Text: "Try again"}, {Action: "/demo/leave", Text: "Leave it", Quiet: true}},
		}
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		return problem{Status: http.StatusServiceUnavailable, Title: "The demo studio is not ready yet", Text: "Nothing was changed. Wait a moment and do it again."}
	}
	w.Header().Set("Refresh", "1")
	return s.show(w, r, "waiting", "Setting up the demo studio", page.Waiting{
		Title: "Setting up the demo studio", Text: "A year of its clients, quotes, orders and purchases is being written down. That takes some seconds, once.",
		Share: fmt.Sprintf("%.0f", 100*share),
	})
}

// leaveDemo throws the demo studio away, for everyone who looks around in it.
func (s *Server) leaveDemo(w http.ResponseWriter, r *http.Request) error {
	v := s.session(w, r)
	select {
	case <-s.throwDemoAway():
	case <-time.After(patience):
	}
	v.mu.Lock()
	v.demo, v.undos, v.notice = -1, map[string]undo{}, nil
	v.mu.Unlock()
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// demoIsGone answers a form that was filled in while somebody else threw the demo
// away.
func demoIsGone(http.ResponseWriter, *http.Request) error {
	return problem{
		Status: http.StatusConflict, Title: "The demo studio is gone", Text: "Somebody threw it away in the meantime. Nothing was changed; from here on you are in your own studio.",
		Actions: []page.Link{{Text: "Go to Today", Href: "/"}},
	}
}
