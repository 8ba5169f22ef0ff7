package web

import (
	"bytes"
	"crypto/sha256"
	"io"
	"net"
	"net/http"
	"sync"
	"time"
)

// twiceTime is how long after a form was answered the same form, sent again by
// the same visitor, is a second press of its button and no second order. Nobody
// opens a form, fills it in alike and sends it in so short a time.
const twiceTime = 3 * time.Second

// sendings remember the last form that each visitor sent, so that two presses of
// a button take in one payment and note one enquiry. Only the last: whoever did
// something else in between means what they send.
type sendings struct {
	mu sync.Mutex
	by map[string]*sending
}

// sending is a form that is being answered, or was.
type sending struct {
	of    [sha256.Size]byte
	ended chan struct{} // closed when it is answered

	at time.Time // of the answer
	to string    // where it led; "" nowhere, so that nothing was done
}

// mostSendings bounds what is remembered. Beyond it all is forgotten, which costs
// a second press its protection and nothing else.
const mostSendings = 1000

// once answers a form that is sent twice as the first was answered, and does
// nothing again. A form that comes back with faults led nowhere, and is read
// again.
func (s *Server) once(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if wantsFragment(r) {
			next.ServeHTTP(w, r)
			return
		}
		body, err := io.ReadAll(r.Body)
		switch {
		case tooLarge(err):
			s.fail(w, r, err)
			return
		case err != nil:
			s.fail(w, r, wrong("The form could not be read. Go back and send it again."))
			return
		}
		r.Body = readAgain{bytes.NewReader(body), r.Body}
		mine, first := s.sendings.begin(sender(r), sending{of: sha256.Sum256(append([]byte(r.URL.RequestURI()+"\n"), body...))}, s.Now)
		if first != nil {
			select {
			case <-first.ended:
			case <-r.Context().Done():
				return
			}
			if first.to != "" {
				http.Redirect(w, r, first.to, http.StatusSeeOther)
				return
			}
		}
		watch := &led{ResponseWriter: w}
		defer func() {
			mine.at, mine.to = s.Now(), watch.to
			close(mine.ended)
			// A session that began with this answer comes along with the next press.
			for _, c := range (&http.Response{Header: w.Header()}).Cookies() {
				if c.Name == s.sessions.cookie && c.Value != "" {
					s.sendings.put(c.Value, mine)
				}
			}
		}()
		next.ServeHTTP(watch, r)
	})
}

// begin notes a sending as the visitor's last, and returns the one before where
// this is the same again. While that one is still being answered no time has
// passed yet.
func (v *sendings) begin(who string, it sending, now func() time.Time) (mine, first *sending) {
	it.ended = make(chan struct{})
	v.mu.Lock()
	defer v.mu.Unlock()
	if last := v.by[who]; last != nil && last.of == it.of {
		select {
		case <-last.ended:
			if last.to != "" && now().Sub(last.at) <= twiceTime {
				return &it, last
			}
		default:
			return &it, last
		}
	}
	v.keep(who, &it)
	return &it, nil
}

// put notes a sending as that of a visitor who is known by another name now.
func (v *sendings) put(who string, it *sending) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.keep(who, it)
}

// keep notes a sending. The lock is held.
func (v *sendings) keep(who string, it *sending) {
	if len(v.by) >= mostSendings || v.by == nil {
		v.by = map[string]*sending{}
	}
	v.by[who] = it
}

// sender tells who sends: the session, or before there is one the machine.
func sender(r *http.Request) string {
	if v := visitOf(r).session; v != nil {
		return v.id
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	return host + " " + r.UserAgent()
}

// led notes where an answer leads.
type led struct {
	http.ResponseWriter
	to string
}

func (w *led) WriteHeader(status int) {
	if status == http.StatusSeeOther {
		w.to = w.Header().Get("Location")
	}
	w.ResponseWriter.WriteHeader(status)
}

// Unwrap lets what needs more of the connection find it.
func (w *led) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// readAgain is a body that was read and is read once more.
type readAgain struct {
	io.Reader
	io.Closer
}
