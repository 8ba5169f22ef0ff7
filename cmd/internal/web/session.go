package web

import (
	"context"
	"net"
	"net/http"
	"sync"
	"time"

	"marchpane/templates/page"
)

// sessions are those who come and go, in memory: when the program ends everyone
// signs in again, and nothing can be taken back any more.
type sessions struct {
	now    func() time.Time
	cookie string // its name
	secure bool   // cookies go over TLS alone

	mu sync.Mutex
	by map[string]*session
}

// session is one browser.
type session struct {
	id   string
	seen time.Time

	mu     sync.Mutex
	in     bool // the passphrase was given
	demo   int8 // 1 in the demo studio, -1 out of it, 0 has not said
	notice *page.Notice
	undos  map[string]undo
	mail   keptMail // password of the mail server
}

// undo takes back what was done, and says so.
type undo struct {
	until time.Time
	do    func(context.Context) (string, error)
	gone  string // address that is no more once it is taken back; "" none
	list  string // where to go instead
}

// cookieFor names the cookie of a server. Browsers send cookies to every port of
// a machine, so that two servers on one would end each other's sessions under
// one name. Over TLS it begins so that browsers take it from this host alone
// (RFC 6265bis, 4.1.3.2).
func cookieFor(o Options) string {
	name := "marchpane"
	if len(o.Hosts) > 0 {
		if _, port, err := net.SplitHostPort(o.Hosts[0]); err == nil {
			name += "-" + port
		}
	}
	if o.TLS {
		name = "__Host-" + name
	}
	return name
}

const (
	sessionTime  = 12 * time.Hour
	undoTime     = 30 * time.Minute
	mostSessions = 1000
	mostUndos    = 50
)

// of returns the session of a request, or nil.
func (s *sessions) of(r *http.Request) *session {
	cookie, err := r.Cookie(s.cookie)
	if err != nil {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	found := s.by[cookie.Value]
	if found == nil || s.now().Sub(found.seen) > sessionTime {
		return nil
	}
	found.seen = s.now()
	return found
}

// begin opens a session and gives its cookie. What an earlier one of the same
// browser knew goes over to it, under a new name.
func (s *sessions) begin(w http.ResponseWriter, earlier *session) *session {
	now := s.now()
	made := &session{id: token(), seen: now, undos: map[string]undo{}}
	s.mu.Lock()
	defer s.mu.Unlock()
	if earlier != nil {
		earlier.mu.Lock()
		made.demo, made.undos, made.notice = earlier.demo, earlier.undos, earlier.notice
		earlier.mu.Unlock()
		delete(s.by, earlier.id)
	}
	for id, old := range s.by {
		if now.Sub(old.seen) > sessionTime {
			delete(s.by, id)
		}
	}
	for len(s.by) >= mostSessions {
		s.dropOldest()
	}
	s.by[made.id] = made
	http.SetCookie(w, &http.Cookie{Name: s.cookie, Value: made.id, Path: "/", HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteLaxMode})
	return made
}

// dropOldest ends the session that was longest away. The lock is held.
func (s *sessions) dropOldest() {
	var oldest *session
	for _, v := range s.by {
		if oldest == nil || v.seen.Before(oldest.seen) {
			oldest = v
		}
	}
	delete(s.by, oldest.id)
}

// end forgets a session.
func (s *sessions) end(w http.ResponseWriter, v *session) {
	if v != nil {
		s.mu.Lock()
		delete(s.by, v.id)
		s.mu.Unlock()
	}
	http.SetCookie(w, &http.Cookie{Name: s.cookie, Path: "/", MaxAge: -1, HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteLaxMode})
}

// endAll forgets everyone: who was signed in has to come in again.
func (s *sessions) endAll() {
	s.mu.Lock()
	defer s.mu.Unlock()
	clear(s.by)
}

// session returns the visitor's session, which begins now where there is none.
func (s *Server) session(w http.ResponseWriter, r *http.Request) *session {
	if v := visitOf(r); v.session != nil {
		return v.session
	}
	return s.sessions.begin(w, nil)
}

// inDemo reports whether the visitor is in the demo studio; those who have not
// said are where the server begins.
func (v *session) inDemo(otherwise bool) bool {
	if v == nil {
		return otherwise
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.demo > 0 || v.demo == 0 && otherwise
}

// isInDemo notes that the visitor is in the demo studio, where the server may
// begin without their saying so.
func (v *session) isInDemo() {
	if v == nil {
		return
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.demo == 0 {
		v.demo = 1
	}
}

// staysOut reports whether a request was meant for a demo studio that somebody
// else threw away, and is not to be done to the visitor's own. That is over once
// they have looked at a page of their own.
func (v *session) staysOut(r *http.Request) bool {
	if v == nil {
		return false
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	switch {
	case v.demo <= 0:
		return false
	case r.Method == http.MethodGet && !wantsFragment(r):
		v.demo = -1
		return false
	}
	return r.URL.Path != "/come-in" && r.URL.Path != "/leave" && r.URL.Path != "/look"
}

func (v *session) signedIn() bool {
	if v == nil {
		return false
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.in
}

// tell keeps a notice for the next page, with the way to take back what it
// tells of where there is one.
func (v *session) tell(now time.Time, n page.Notice, back undo) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if back.do != nil {
		for t, u := range v.undos {
			if now.After(u.until) || len(v.undos) >= mostUndos {
				delete(v.undos, t)
			}
		}
		n.Undo = token()
		back.until = now.Add(undoTime)
		v.undos[n.Undo] = back
	}
	v.notice = &n
}

// told returns the notice that waits, once.
func (v *session) told() *page.Notice {
	if v == nil {
		return nil
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	n := v.notice
	v.notice = nil
	return n
}

// takeUndo returns what a token takes back, once.
func (v *session) takeUndo(now time.Time, t string) (undo, bool) {
	if v == nil {
		return undo{}, false
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	u, there := v.undos[t]
	delete(v.undos, t)
	return u, there && !now.After(u.until)
}
