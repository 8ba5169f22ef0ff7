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

// stop ends it and waits until it has ended.
func (d *demoMaking) stop() {
	d.mu.Lock()
	done, end := d.done, d.end
	d.mu.Unlock()
	if done != nil {
		end()
		<-done
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
	s.turn.Lock()
	defer s.turn.Unlock()
	s.demo, s.demoFolder = demo, folder
	return nil
}

// closeDemo throws the demo studio away with all that was changed in it.
func (s *Server) closeDemo() error {
	s.making.stop()
	s.turn.Lock()
	defer s.turn.Unlock()
	s.making.mu.Lock()
	s.making.done, s.making.err = nil, nil
	s.making.mu.Unlock()
	if s.demo == nil {
		return nil
	}
	err := errors.Join(s.demo.watch.Close(), s.demo.store.Close(), os.RemoveAll(s.demoFolder))
	s.demo, s.demoFolder = nil, ""
	return err
}

// patience is how long whoever asks for the demo waits for it before they are
// shown how far it is.
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
	if err := s.closeDemo(); err != nil {
		return err
	}
	v.mu.Lock()
	v.demo, v.undos, v.notice = -1, map[string]undo{}, nil
	v.mu.Unlock()
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
