package web

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"marchpane/pricing/day"
	"marchpane/store"
)

// A Desk does what the command line does too, so that there is one way to do
// it. A page that needs more of it adds a method here and in package cli.
type Desk interface {
	// OpenDemo makes a store of the demo studio at path, which takes some
	// seconds; it tells how far it is, from 0 to 1.
	OpenDemo(ctx context.Context, path string, now time.Time, progress func(float64)) error
	// QuotePDF writes the paper of a quote.
	QuotePDF(ctx context.Context, s *store.Store, q store.SavedQuote, ask PaperAsk) ([]byte, error)
	// Mark is what stands across the paper of a quote that is not to be accepted
	// any more; "" where nothing does.
	Mark(q store.SavedQuote) string

	CostDesk
	MonthDesk
	OrderDesk
}

// PaperAsk is how the paper of a quote is wanted.
type PaperAsk struct {
	Size     string // "a4" or "letter"; "": the studio's
	Unmarked bool   // as it was issued, whatever became of it
}

// Options are what a server needs of the world.
type Options struct {
	Store *store.Store // closed by whoever opened it
	Desk  Desk
	Now   func() time.Time
	Log   *slog.Logger
	Hosts []string // names and addresses, with their port, under which it may be asked for
	TLS   bool
	// Passphrase is the hash of what is asked for before anything is shown, where
	// it is given from outside: the pages cannot change it then. "" asks for that
	// of the store, if it has one.
	Passphrase string
	// Reachable: from other machines, so that a passphrase has to stay.
	Reachable bool
	// Demo starts in the demo studio.
	Demo bool
	// Ahead works out in the background what is likely to be asked for next.
	Ahead bool
}

// Server serves the pages of one studio.
type Server struct {
	Options
	own      *studio
	sessions sessions
	doors    door
	sendings sendings
	shelf    shelf
	assets   map[string]asset
	post     chan struct{} // held while a letter goes out
	sections []section
	handler  http.Handler

	addresses []address

	demo   demoStudio
	making demoMaking
	ahead  ahead
}

// New returns a server of a studio.
func New(ctx context.Context, o Options) (*Server, error) {
	own, err := newStudio(ctx, o.Store)
	if err != nil {
		return nil, err
	}
	s := &Server{Options: o, own: own, assets: assets(), post: make(chan struct{}, 1)}
	s.sessions = sessions{now: o.Now, cookie: cookieFor(o), secure: o.TLS, by: map[string]*session{}}
	s.shelf.now = o.Now
	s.doors = door{now: o.Now, hash: o.Passphrase, one: make(chan struct{}, 1)}
	if s.doors.hash == "" {
		if s.doors.hash, _, err = o.Store.Passphrase(ctx); err != nil {
			return nil, errors.Join(err, own.watch.Close())
		}
	}
	s.handler = s.routes()
	if o.Demo {
		s.beginDemo(ctx)
	}
	if o.Ahead {
		s.ahead.begin(ctx, s.workAhead)
	}
	return s, nil
}

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.handler.ServeHTTP(w, r)
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		s.ahead.written()
	}
}

// Close throws the demo away and ends all reading of the store. A letter that is
// under way is waited for, so that it is noted if it goes out.
func (s *Server) Close() error {
	s.post <- struct{}{}
	s.throwDemoAway()
	s.ahead.end()
	return errors.Join(s.demo.gone(), s.own.watch.Close(), s.shelf.close())
}

// today is the day on the calendar of whoever runs the server.
func (s *Server) today() day.Date { return day.Of(s.Now()) }

// visit is what belongs to one request.
type visit struct {
	session *session // nil: a first visit, or one that sends no cookie
	studio  *studio
	isDemo  bool
}

type visitKey struct{}

func visitOf(r *http.Request) visit {
	v, _ := r.Context().Value(visitKey{}).(visit)
	return v
}

// enter puts the visit into the request: who it is, and whose studio they see.
func (s *Server) enter(all http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		next := all
		if !strings.HasPrefix(r.URL.Path, "/static/") {
			s.lookAtDoor(r.Context())
		}
		v := visit{session: s.sessions.of(r), studio: s.own}
		// Those two make the demo and throw it away, and are no guests in it.
		if r.URL.Path != "/demo" && r.URL.Path != "/demo/leave" && v.session.inDemo(s.Demo) {
			demo, leave := s.demo.join()
			defer leave()
			switch {
			case demo != nil:
				v.studio, v.isDemo = demo, true
				v.session.isInDemo()
			case strings.HasPrefix(r.URL.Path, "/static/"):
			case s.making.underWay():
				// Behind the door, like every page.
				next = s.gate(s.handle(s.showMaking))
			case v.session.staysOut(r):
				next = s.gate(s.handle(demoIsGone))
			}
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), visitKey{}, v)))
	})
}

// store returns the store of the studio that a visitor sees.
func (s *Server) store(r *http.Request) *store.Store { return visitOf(r).studio.store }

// token returns 256 random bits as text.
func token() string { return rand.Text() + rand.Text() }
