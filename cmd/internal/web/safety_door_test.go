package web

import (
	"bufio"
	"encoding/base64"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"
)

const knownWords = "sugar paste and patience"

// quickHash is that of knownWords, worked out in less time and memory than a real
// one.
var quickHash = func() string {
	const salt = "sixteen letters."
	tag := argon2.IDKey([]byte(knownWords), []byte(salt), 1, 8, 1, tagLength)
	text := base64.RawStdEncoding.EncodeToString
	return fmt.Sprintf("$argon2id$v=%d$m=8,t=1,p=1$%s$%s", argon2.Version, text([]byte(salt)), text(tag))
}()

// closedStudio is a studio behind a passphrase, with a clock that a test moves.
func closedStudio(t *testing.T, change ...func(*Options)) (v *visitor, pass func(time.Duration)) {
	t.Helper()
	var mu sync.Mutex
	now := testNow
	v = visitStudio(t, true, append(change, func(o *Options) {
		if err := o.Store.SetPassphrase(t.Context(), quickHash, testNow); err != nil {
			t.Fatal(err)
		}
		o.Now = func() time.Time {
			mu.Lock()
			defer mu.Unlock()
			return now
		}
	})...)
	return v, func(d time.Duration) {
		mu.Lock()
		defer mu.Unlock()
		now = now.Add(d)
	}
}

// comeIn signs in and returns the cookie that was given.
func (v *visitor) comeIn(words string, with ...*http.Cookie) (w *httptest.ResponseRecorder, given *http.Cookie) {
	v.t.Helper()
	r := httptest.NewRequest("POST", "/come-in", strings.NewReader(formOf("passphrase", words)))
	r.Host = v.server.Hosts[0]
	r.Header.Set("Content-Type", formKind)
	for _, c := range with {
		r.AddCookie(c)
	}
	w = httptest.NewRecorder()
	v.server.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if c.Name == v.server.sessions.cookie {
			given = c
		}
	}
	return w, given
}

// inside reports whether a cookie shows pages and takes forms.
func (v *visitor) inside(c *http.Cookie) bool {
	v.t.Helper()
	shown := v.ask("GET", "/prices", nil, "Cookie", c.Name+"="+c.Value)
	taken := v.ask("POST", "/prices/butter/remove", strings.NewReader(""), "Cookie", c.Name+"="+c.Value, "Content-Type", formKind)
	if in := shown.Code == http.StatusOK; in != (taken.Code != http.StatusUnauthorized) || in != strings.Contains(shown.Body.String(), "utter") {
		v.t.Errorf("a cookie shows pages (%d) and does not do what forms ask (%d), or the other way round", shown.Code, taken.Code)
	}
	return shown.Code == http.StatusOK
}

// TestDoorLeadsBack: who is asked to come in on the way of a form comes back to where
// it was filled in, and not to another site.
func TestDoorLeadsBack(t *testing.T) {
	v, _ := closedStudio(t)
	for from, want := range map[string]string{"": "/come-in", "/clients/new?enquiry=E1": "/come-in?back=%2Fclients%2Fnew%3Fenquiry%3DE1"} {
		r := httptest.NewRequest("POST", "/clients/new", strings.NewReader("name=Ann"))
		r.Host = v.server.Hosts[0]
		r.Header.Set("Content-Type", formKind)
		if from != "" {
			r.Header.Set("Referer", v.url+from)
		}
		w := httptest.NewRecorder()
		v.server.ServeHTTP(w, r)
		if w.Code != http.StatusUnauthorized || !strings.Contains(w.Body.String(), `href="`+want+`"`) {
			t.Errorf("a form of %q leads to no %s (%d)", from, want, w.Code)
		}
	}
}

// TestSessionsEnd: by leaving, by staying away, by another passphrase; and none is
// one that somebody else chose.
func TestSessionsEnd(t *testing.T) {
	v, pass := closedStudio(t)
	enter := func(with ...*http.Cookie) *http.Cookie {
		t.Helper()
		w, given := v.comeIn(knownWords, with...)
		if w.Code != http.StatusSeeOther || given == nil || !v.inside(given) {
			t.Fatalf("the passphrase gives no way in: %d", w.Code)
		}
		return given
	}
	// Leaving ends it, not only in the browser that forgets the cookie.
	c := enter()
	out := v.ask("POST", "/leave", strings.NewReader(""), "Cookie", c.Name+"="+c.Value, "Content-Type", formKind)
	if gone := out.Result().Cookies(); len(gone) != 1 || gone[0].MaxAge >= 0 || gone[0].Value != "" {
		t.Errorf("leaving gives the cookies %v", gone)
	}
	if v.inside(c) {
		t.Error("after leaving, the cookie still opens the pages")
	}
	// Staying away ends it; being there keeps it.
	c = enter()
	pass(sessionTime - time.Minute)
	if !v.inside(c) {
		t.Errorf("a session ends before %v", sessionTime)
	}
	pass(sessionTime - time.Minute)
	if !v.inside(c) {
		t.Error("a session that is used ends")
	}
	pass(sessionTime + time.Second)
	if v.inside(c) {
		t.Errorf("a session goes on after %v away", sessionTime)
	}
	// A cookie that was there before, or that somebody made up, is not the one that
	// is signed in.
	made := &http.Cookie{Name: v.server.sessions.cookie, Value: "chosen-by-somebody-else"}
	if c = enter(made); c.Value == made.Value || v.inside(made) {
		t.Error("a session goes by a name that somebody else chose")
	}
	if again := enter(c); again.Value == c.Value || v.inside(c) {
		t.Error("coming in again keeps the name of the session")
	}
	// Another passphrase ends all but the one who set it, and that one's name too.
	own, other := enter(), enter()
	w := v.ask("POST", "/studio/passphrase", strings.NewReader(formOf("old", knownWords, "new", "another four odd words", "again", "another four odd words")),
		"Cookie", own.Name+"="+own.Value, "Content-Type", formKind)
	if w.Code != http.StatusSeeOther || v.inside(other) || v.inside(own) {
		t.Errorf("another passphrase (%d) leaves a session open", w.Code)
	}
	i := slices.IndexFunc(w.Result().Cookies(), func(c *http.Cookie) bool { return c.Name == v.server.sessions.cookie })
	if i < 0 || !v.inside(w.Result().Cookies()[i]) {
		t.Error("who set the passphrase has to come in again")
	}
	if w, _ := v.comeIn(knownWords); w.Code == http.StatusSeeOther {
		t.Error("the old passphrase still opens the door")
	}
	// One that is set elsewhere, by a command, holds from the next request on; that
	// it is taken away elsewhere opens nothing that others can reach.
	w, c = v.comeIn("another four odd words")
	if w.Code != http.StatusSeeOther || !v.inside(c) {
		t.Fatalf("the new passphrase gives no way in: %d", w.Code)
	}
	if err := v.store.SetPassphrase(t.Context(), quickHash, testNow); err != nil {
		t.Fatal(err)
	}
	if v.inside(c) {
		t.Error("a passphrase that was set elsewhere leaves a session open")
	}
	if w, _ := v.comeIn("another four odd words"); w.Code == http.StatusSeeOther {
		t.Error("the passphrase of before still opens the door")
	}
	c = enter()
	v.server.Reachable = true
	if err := v.store.SetPassphrase(t.Context(), "", testNow); err != nil {
		t.Fatal(err)
	}
	if a := v.ask("GET", "/cakes", nil); a.Code != http.StatusSeeOther || !v.inside(c) {
		t.Errorf("without a kept passphrase, pages that others can reach answer %d", a.Code)
	}
	// What was remembered of a session is gone with it.
	v.server.sessions.mu.Lock()
	defer v.server.sessions.mu.Unlock()
	if n := len(v.server.sessions.by); n > 3 {
		t.Errorf("%d sessions are remembered", n)
	}
}

// TestCookies: no script reads them, no other site's form brings them, and over
// TLS they go by nothing else.
func TestCookies(t *testing.T) {
	for _, tls := range []bool{false, true} {
		v, _ := closedStudio(t, func(o *Options) { o.TLS = tls })
		w, session := v.comeIn(knownWords)
		if session == nil {
			t.Fatalf("no cookie: %d", w.Code)
		}
		cookies := w.Result().Cookies()
		for _, at := range []struct{ path, form string }{{"/look", "look=dark"}, {"/shortcuts", "keys=off"}, {"/leave", ""}} {
			w := v.ask("POST", at.path, strings.NewReader(at.form), "Cookie", session.Name+"="+session.Value, "Content-Type", formKind)
			if len(w.Result().Cookies()) == 0 {
				t.Errorf("POST %s gives no cookie", at.path)
			}
			cookies = append(cookies, w.Result().Cookies()...)
		}
		for _, c := range cookies {
			if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != tls {
				t.Errorf("TLS %t: a cookie is %s", tls, c)
			}
		}
		// RFC 6265bis, 4.1.3.2: what begins so is taken from this very host alone.
		if strings.HasPrefix(session.Name, "__Host-") != tls {
			t.Errorf("TLS %t: the session's cookie is called %s", tls, session.Name)
		}
		if _, port, _ := net.SplitHostPort(v.server.Hosts[0]); !strings.HasSuffix(session.Name, "-"+port) {
			t.Errorf("a second server on this machine has a cookie of the same name, %s", session.Name)
		}
	}
}

// TestGuessing: many who guess at once are slowed down, take little memory, and
// keep out neither who is in nor, after a wait, who knows the passphrase.
func TestGuessing(t *testing.T) {
	hash, err := HashPassphrase(knownWords)
	if err != nil {
		t.Fatal(err)
	}
	v, pass := closedStudio(t)
	v.server.doors.keep(hash)
	_, in := v.comeIn(knownWords)
	sessions := len(v.server.sessions.by)

	var before, now runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	const guesses = 300
	var mu sync.Mutex
	answers := map[int]int{}
	var all sync.WaitGroup
	for i := range guesses {
		all.Go(func() {
			w, given := v.comeIn(fmt.Sprintf("guess number %d of many", i))
			mu.Lock()
			defer mu.Unlock()
			answers[w.Code]++
			if given != nil {
				t.Errorf("a guess gives a session")
			}
			if w.Code == http.StatusTooManyRequests && w.Header().Get("Retry-After") == "" {
				t.Error("whoever is to wait is not told how long")
			}
		})
	}
	all.Wait()
	runtime.ReadMemStats(&now)
	if tried := answers[http.StatusUnprocessableEntity]; tried >= freeTries+1 || answers[http.StatusTooManyRequests] < guesses-freeTries || len(answers) > 2 {
		t.Errorf("%d guesses were answered %v, want fewer than %d tried", guesses, answers, freeTries)
	}
	// Each try hashes with 64 MiB: those that were tried, and no more than one at a
	// time. 300 would have taken 19 GB in all.
	if took := (now.TotalAlloc - before.TotalAlloc) >> 20; took > (freeTries+2)*70+100 {
		t.Errorf("%d guesses took %d MB", guesses, took)
	}
	if n := len(v.server.sessions.by); n != sessions {
		t.Errorf("guesses began %d sessions", n-sessions)
	}
	if !v.inside(in) {
		t.Error("who is in is kept out by others' guesses")
	}
	// A whole night of it: each wait is bounded, and the guesses few.
	v.server.doors.mu.Lock()
	v.server.doors.hash = quickHash
	v.server.doors.mu.Unlock()
	tried, night := 0, 12*time.Hour
	for slept := time.Duration(0); slept < night; {
		w, _ := v.comeIn("wrong, as always")
		if w.Code != http.StatusTooManyRequests && w.Code != http.StatusUnprocessableEntity {
			t.Fatalf("a wrong passphrase: %d", w.Code)
		}
		var seconds int
		if _, err := fmt.Sscan(w.Header().Get("Retry-After"), &seconds); err != nil || time.Duration(seconds)*time.Second > longestWait {
			t.Fatalf("wait %q", w.Header().Get("Retry-After"))
		}
		slept += time.Duration(seconds) * time.Second
		pass(time.Duration(seconds) * time.Second)
		tried++
	}
	if tried > 70 {
		t.Errorf("%d guesses in a night", tried)
	}
	if w, c := v.comeIn(knownWords); w.Code != http.StatusSeeOther || !v.inside(c) {
		t.Errorf("the right passphrase after the wait: %d", w.Code)
	}
	if v.server.doors.waiting != 0 {
		t.Errorf("%d places before the door are lost", v.server.doors.waiting)
	}
	// And a mistake later costs no wait.
	if w, _ := v.comeIn("a slip of the finger"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a first mistake after that: %d", w.Code)
	}
}

// TestSlowAndLongRequests: whoever sends slowly is cut off, and a head that is too
// long is refused, while others are served.
func TestSlowAndLongRequests(t *testing.T) {
	v := visitStudio(t, true)
	h := HTTPServer(v.server)
	if h.ReadHeaderTimeout <= 0 || h.ReadHeaderTimeout > 15*time.Second || h.ReadTimeout <= 0 || h.ReadTimeout > 2*time.Minute ||
		h.WriteTimeout <= mailPatience || h.WriteTimeout > 5*time.Minute || h.IdleTimeout <= 0 || h.IdleTimeout > 5*time.Minute || h.MaxHeaderBytes <= 0 || h.MaxHeaderBytes > 64<<10 {
		t.Fatalf("the bounds are %v, %v, %v, %v, %d", h.ReadHeaderTimeout, h.ReadTimeout, h.WriteTimeout, h.IdleTimeout, h.MaxHeaderBytes)
	}
	// The same server in less time.
	h.ReadHeaderTimeout, h.ReadTimeout = 300*time.Millisecond, 600*time.Millisecond
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	v.server.Hosts = append(v.server.Hosts, l.Addr().String())
	ended := make(chan error, 1)
	go func() { ended <- h.Serve(l) }()
	defer func() { h.Close(); <-ended }()
	host := "Host: " + l.Addr().String() + "\r\n"

	// talk sends a text at once and then the drip again and again, and returns what
	// came back before the line was cut, and when that was.
	talk := func(text, drip string) (got string, after time.Duration) {
		t.Helper()
		conn, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		begin := time.Now()
		go func() {
			if _, err := io.WriteString(conn, text); err != nil || drip == "" {
				return
			}
			for time.Since(begin) < 20*time.Second {
				if _, err := io.WriteString(conn, drip); err != nil {
					return
				}
				time.Sleep(50 * time.Millisecond)
			}
		}()
		conn.SetReadDeadline(begin.Add(20 * time.Second))
		data, err := io.ReadAll(conn)
		if ne, ok := err.(net.Error); ok && ne.Timeout() {
			t.Errorf("%.40q… was never cut off", text)
		}
		return string(data), time.Since(begin)
	}
	for _, test := range []struct{ name, text, drip string }{
		{"a head of one letter at a time", "GET / HTTP/1.1\r\n" + host + "X: ", "x"},
		{"a head of one line at a time", "GET / HTTP/1.1\r\n" + host, "X: y\r\n"},
		{"nothing at all", "", ""},
		{"a body of one letter at a time", "POST /look HTTP/1.1\r\n" + host + "Content-Type: " + formKind + "\r\nContent-Length: 100000\r\n\r\nlook=", "x"},
		{"a body that never comes", "POST /look HTTP/1.1\r\n" + host + "Content-Type: " + formKind + "\r\nContent-Length: 100000\r\n\r\n", ""},
		{"chunks of one letter", "POST /look HTTP/1.1\r\n" + host + "Content-Type: " + formKind + "\r\nTransfer-Encoding: chunked\r\n\r\n", "1\r\nx\r\n"},
		{"a file of one letter at a time", "POST /prices/import HTTP/1.1\r\n" + host + "Content-Type: multipart/form-data; boundary=b\r\nContent-Length: 100000\r\n\r\n--b\r\nContent-Disposition: form-data; name=\"list\"; filename=\"l.csv\"\r\n\r\n", "x"},
	} {
		got, after := talk(test.text, test.drip)
		if after > 10*time.Second {
			t.Errorf("%s went on for %v", test.name, after)
		}
		if strings.Contains(got, "HTTP/1.1 200") || strings.Contains(got, "HTTP/1.1 303") {
			t.Errorf("%s was answered: %.200q", test.name, got)
		}
	}
	// While some are slow, others are served.
	conn, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	fmt.Fprintf(conn, "POST /look HTTP/1.1\r\n%sContent-Type: %s\r\nContent-Length: 100000\r\n\r\n", host, formKind)
	if res, err := http.Get("http://" + l.Addr().String() + "/prices"); err != nil || res.StatusCode != http.StatusOK {
		t.Errorf("beside a slow one: %v", err)
	} else {
		res.Body.Close()
	}
	for name, head := range map[string]string{
		"one long line": "Cookie: " + strings.Repeat("x", 3*headerLimit) + "\r\n", "many lines": strings.Repeat("X-A: "+strings.Repeat("y", 100)+"\r\n", 3*headerLimit/100),
	} {
		got, _ := talk("GET / HTTP/1.1\r\n"+host+head+"\r\n", "")
		if res, err := http.ReadResponse(bufio.NewReader(strings.NewReader(got)), nil); err != nil || res.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
			t.Errorf("a head of %s: %v, %.100q", name, err, got)
		}
	}
}
