package web

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"marchpane/templates/page"
)

// Parameters of argon2id: the second recommended option of RFC 9106, section 4
// (64 MiB, 3 passes, 4 lanes, a salt of 128 and a tag of 256 bits).
const (
	hashPasses = 3
	hashMemory = 64 << 10 // KiB
	hashLanes  = 4
	saltLength = 16
	tagLength  = 32
)

// shortest is how many letters a passphrase has at least; NIST SP 800-63B asks
// for 8 where nothing else is asked.
const shortest, longest = 12, 1000

// HashPassphrase returns what is kept of a passphrase, as a PHC string.
func HashPassphrase(words string) (string, error) {
	if n := utf8.RuneCountInString(words); n < shortest || len(words) > longest {
		return "", fmt.Errorf("a passphrase has from %d to %d letters; three or four words that have nothing to do with one another are easy to keep in mind", shortest, longest)
	}
	salt := make([]byte, saltLength)
	if _, err := rand.Read(salt); err != nil {
		return "", err
	}
	tag := argon2.IDKey([]byte(words), salt, hashPasses, hashMemory, hashLanes, tagLength)
	text := base64.RawStdEncoding.EncodeToString
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, hashMemory, hashPasses, hashLanes, text(salt), text(tag)), nil
}

// matches reports whether a hash is that of a passphrase.
func matches(hash, words string) (bool, error) {
	var version int
	var memory, passes uint32
	var lanes uint8
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" {
		return false, errors.New("the kept passphrase cannot be read; set it again with: marchpane serve --set-passphrase")
	}
	_, err := fmt.Sscanf(parts[2]+" "+parts[3], "v=%d m=%d,t=%d,p=%d", &version, &memory, &passes, &lanes)
	salt, errSalt := base64.RawStdEncoding.DecodeString(parts[4])
	tag, errTag := base64.RawStdEncoding.DecodeString(parts[5])
	// Bounds, since the file may have been written by anyone.
	if errors.Join(err, errSalt, errTag) != nil || version != argon2.Version || memory > 1<<20 || passes < 1 || passes > 100 || lanes < 1 || len(tag) < 16 || len(tag) > 128 {
		return false, errors.New("the kept passphrase cannot be read; set it again with: marchpane serve --set-passphrase")
	}
	own := argon2.IDKey([]byte(words), salt, passes, memory, lanes, uint32(len(tag)))
	return subtle.ConstantTimeCompare(own, tag) == 1, nil
}

// door lets in who knows the passphrase, and slows down who guesses.
type door struct {
	now func() time.Time
	one chan struct{} // hashing takes 64 MiB: one at a time

	// looks keeps a look at what the store keeps from undoing a change that is
	// being made.
	looks sync.Mutex

	mu      sync.Mutex
	hash    string
	waiting int // for their turn
	failed  int
	until   time.Time // closed until then
}

// After so many wrong passphrases every further one costs a wait, which doubles
// up to a quarter of an hour. It is the same door for everyone: an address is
// easily changed. Who has come in already stays in.
const freeTries, longestWait = 5, 15 * time.Minute

// mostWaiting bounds how many stand before the door at once; a household has not
// as many, and more are turned away at once.
const mostWaiting = 16

// doorLimit bounds the body of a request to come in: a passphrase of the greatest
// length, each letter escaped, and where to go from there. Anybody may send one.
const doorLimit = 64 << 10

// try reports whether a passphrase is right; wait is how long the door stays
// closed to every passphrase.
func (d *door) try(words string) (in bool, wait time.Duration, err error) {
	if wait = d.queue(); wait > 0 {
		return false, wait, nil
	}
	d.one <- struct{}{}
	defer func() { <-d.one }()
	d.mu.Lock()
	d.waiting--
	wait = d.until.Sub(d.now())
	hash := d.hash
	d.mu.Unlock()
	if wait > 0 {
		return false, wait, nil
	}
	if len(words) <= longest {
		if in, err = matches(hash, words); err != nil {
			return false, 0, err
		}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if in {
		d.failed = 0
		return true, 0, nil
	}
	d.failed++
	if d.failed >= freeTries {
		wait = longestWait
		if doublings := d.failed - freeTries; doublings < 20 {
			wait = min(wait, time.Second<<doublings)
		}
		d.until = d.now().Add(wait)
	}
	return false, wait, nil
}

// queue takes a place before the door, or says how long it is no use to.
func (d *door) queue() (wait time.Duration) {
	d.mu.Lock()
	defer d.mu.Unlock()
	switch wait = d.until.Sub(d.now()); {
	case wait > 0:
		return wait
	case d.waiting == mostWaiting:
		return time.Second
	}
	d.waiting++
	return 0
}

// kept returns the hash of the passphrase, "" where nothing is asked.
func (d *door) kept() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.hash
}

// keep changes the passphrase.
func (d *door) keep(hash string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.hash, d.failed, d.until = hash, 0, time.Time{}
}

// lookAtDoor takes over a passphrase that was set in the store elsewhere, by a
// command or another server of the same store: it holds from the next request
// on, and all have to come in again. One that was given from outside stays, and
// so does one that others than this machine are asked for, until there is
// another. Where the store cannot be read, the door stays as it is.
func (s *Server) lookAtDoor(ctx context.Context) {
	if s.Passphrase != "" || !s.doors.looks.TryLock() {
		return // somebody else is just looking
	}
	defer s.doors.looks.Unlock()
	hash, _, err := s.own.store.Passphrase(ctx)
	if err != nil || hash == s.doors.kept() || hash == "" && s.Reachable {
		return
	}
	s.doors.keep(hash)
	s.sessions.endAll()
}

// passphrase returns the hash of what is asked for before anything is shown.
func (s *Server) passphrase() string { return s.doors.kept() }

// gate sends everyone to the door who has not come in, where one is kept.
func (s *Server) gate(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		open := r.URL.Path == "/come-in" || r.URL.Path == "/look" || strings.HasPrefix(r.URL.Path, "/static/")
		if s.passphrase() == "" || open || visitOf(r).session.signedIn() {
			next.ServeHTTP(w, r)
			return
		}
		if r.Method != http.MethodGet || wantsFragment(r) {
			door := "/come-in"
			if from := r.Referer(); from != "" {
				door += "?back=" + escapeQuery(refererPath(from)) // to where it was typed
			}
			s.fail(w, r, problem{Status: http.StatusUnauthorized, Title: "You are not signed in", Text: "Nothing was changed. Sign in and do it again.", Actions: []page.Link{{Text: "Sign in", Href: door}}})
			return
		}
		to := "/come-in"
		if r.URL.Path != "/" {
			to = "/come-in?" + "back=" + escapeQuery(r.URL.RequestURI())
		}
		http.Redirect(w, r, to, http.StatusSeeOther)
	})
}

func (s *Server) showLogin(w http.ResponseWriter, r *http.Request) error {
	if s.passphrase() == "" || visitOf(r).session.signedIn() {
		return s.done(w, r, "/", "", nil)
	}
	return s.login(w, r, http.StatusOK, here(r.URL.Query().Get("back")), "")
}

func (s *Server) login(w http.ResponseWriter, r *http.Request, status int, back, fault string) error {
	field := page.Field{Name: "passphrase", Label: "Passphrase", Kind: "password", Auto: "current-password", Required: true}
	if fault != "" {
		field.Faults = []string{fault}
	}
	return s.showAs(w, r, status, "login", "Come in", page.Login{Form: page.Form{
		Action: "/come-in", Button: "Come in", Lead: "This studio is open to those who know its passphrase.",
		Fields: []page.Field{field, {Name: "back", Kind: "hidden", Value: back}},
	}})
}

func (s *Server) comeIn(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	back := here(f.get("back"))
	if s.passphrase() == "" {
		return s.done(w, r, back, "", nil)
	}
	in, wait, err := s.doors.try(f.values.Get("passphrase"))
	switch {
	case err != nil:
		return err
	case wait > 0:
		seconds := int(math.Ceil(wait.Seconds()))
		w.Header().Set("Retry-After", fmt.Sprint(seconds))
		return s.login(w, r, http.StatusTooManyRequests, back, fmt.Sprintf("Too many passphrases were tried just now. Wait %s and try again.", plural(seconds, "second", "seconds")))
	case !in:
		return s.login(w, r, http.StatusUnprocessableEntity, back, "That is not the passphrase.")
	}
	v := s.sessions.begin(w, visitOf(r).session)
	v.mu.Lock()
	v.in = true
	v.mu.Unlock()
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

func (s *Server) leave(w http.ResponseWriter, r *http.Request) error {
	s.sessions.end(w, visitOf(r).session)
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
