package web

import (
	"io"
	"mime"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"marchpane/store"
)

// placeholders are what stands in addresses, by an example of the demo studio.
var placeholders = map[string]string{
	"number": "2026-0001", "ref": "2026-0001", "paper": "A.pdf", "month": "2026-11", "language": "en", "kind": "quote",
	"name": "studio.css", "receipt": "R2026-0001.pdf", "view": "list", "span": "2026-11",
}

var placeholder = regexp.MustCompile(`\{(\w+)(\.\.\.)?\}`)

// example fills in an address.
func (a address) example() string {
	return placeholder.ReplaceAllStringFunc(a.path, func(in string) string {
		name := strings.Trim(in, "{.}")
		switch {
		case name == "id" && strings.HasPrefix(a.path, "/cakes"):
			return "wedding-three-tier"
		case name == "id" && strings.HasPrefix(a.path, "/recipes"):
			return "vanilla-sponge"
		case name == "id" && strings.HasPrefix(a.path, "/studio/roles"):
			return "decorator"
		case name == "ref" && strings.HasPrefix(a.path, "/clients"):
			return "C1"
		case name == "ref" && strings.HasPrefix(a.path, "/enquiries"):
			return "E1"
		case placeholders[name] != "":
			return placeholders[name]
		}
		return "butter"
	})
}

// ask sends a request straight to the server, as nobody's browser does.
func (v *visitor) ask(method, path string, body io.Reader, header ...string) *httptest.ResponseRecorder {
	v.t.Helper()
	r := httptest.NewRequest(method, path, body)
	r.Host = v.server.Hosts[0]
	for i := 0; i < len(header); i += 2 {
		if r.Header.Set(header[i], header[i+1]); header[i] == "Host" {
			r.Host = header[i+1]
		}
	}
	w := httptest.NewRecorder()
	v.server.ServeHTTP(w, r)
	return w
}

const formKind = "application/x-www-form-urlencoded"

// edition is another one whenever anything was written to the store.
func (v *visitor) edition() store.Edition {
	v.t.Helper()
	own := v.server.own
	own.mu.Lock()
	defer own.mu.Unlock()
	now, err := own.watch.Edition(v.t.Context())
	if err != nil {
		v.t.Fatal(err)
	}
	return now
}

// TestEveryAddressIsGuarded walks all addresses: those that came by another name
// and what another site sends are refused on each, and change nothing.
func TestEveryAddressIsGuarded(t *testing.T) {
	v := visitStudio(t, true)
	if len(v.server.addresses) < 200 {
		t.Fatalf("only %d addresses are known", len(v.server.addresses))
	}
	port := v.server.Hosts[0][strings.LastIndex(v.server.Hosts[0], ":"):]
	before := v.edition()
	for _, a := range v.server.addresses {
		path := a.example()
		// Rebinding: the name is another's, the address ours.
		for _, host := range []string{"cakes.example" + port, "cakes.example", "127.0.0.1", "127.0.0.1:1", "127.0.0.1.cakes.example" + port, "", "[::1]:99999"} {
			w := v.ask(a.method, path, strings.NewReader(""), "Host", host, "Content-Type", formKind)
			if w.Code != http.StatusMisdirectedRequest || strings.Contains(w.Body.String(), "<") {
				t.Errorf("%s %s asked of %q: %d, want 421 and nothing of the studio", a.method, path, host, w.Code)
			}
			if len(w.Result().Cookies()) > 0 {
				t.Errorf("%s %s asked of %q gives cookies", a.method, path, host)
			}
		}
		if a.method == http.MethodGet {
			continue
		}
		for _, header := range [][]string{
			{"Origin", "https://cakes.example"}, {"Origin", "null"}, {"Origin", "http://127.0.0.1:1"}, {"Origin", "http://" + v.server.Hosts[0] + ".cakes.example"},
			{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Sec-Fetch-Site", "cross-site", "Origin", "http://" + v.server.Hosts[0]},
		} {
			w := v.ask(a.method, path, strings.NewReader("name=Theirs&look=dark"), append(header, "Content-Type", formKind)...)
			if w.Code != http.StatusForbidden {
				t.Errorf("%s %s with %v: %d, want 403", a.method, path, header, w.Code)
			}
		}
	}
	if v.edition() != before {
		t.Error("a request that was refused changed something")
	}
}

// endless is a body without an end, and counts what is read of it.
type endless struct {
	head string
	read int64
}

func (e *endless) Read(p []byte) (int, error) {
	n := copy(p, e.head[min(e.read, int64(len(e.head))):])
	for i := n; i < len(p); i++ {
		p[i] = 'x'
	}
	e.read += int64(len(p))
	return len(p), nil
}

// TestEveryBodyIsBounded walks all addresses: none reads more of a body than it
// may, and one that is too long changes nothing.
func TestEveryBodyIsBounded(t *testing.T) {
	v := visitStudio(t, true)
	usual := map[string]int64{
		"/come-in": doorLimit, "/prices/import": uploadLimit, "/quotes/new/file": uploadLimit, "/quotes/{ref}/edit/file": uploadLimit, "/quotes/{ref}/revise/file": uploadLimit, "/recipes/read": uploadLimit, "/studio/look/logo": uploadLimit, "/studio/book/import": uploadLimit,
		"/purchases/file": uploadLimit, "/records/file": uploadLimit, "/studio/restore": backupLimit, "/welcome/file": backupLimit,
	}
	for _, a := range v.server.addresses {
		want := usual[a.path]
		if a.method == http.MethodGet {
			want = 0
		} else if want == 0 {
			want = bodyLimit
		}
		if a.limit != want {
			t.Errorf("%s %s takes a body of %d bytes, want %d; if it is meant, say so here", a.method, a.path, a.limit, want)
		}
		kinds := []struct{ kind, head string }{
			{formKind, "name="},
			{"multipart/form-data; boundary=b", "--b\r\nContent-Disposition: form-data; name=\"name\"\r\n\r\n"},
			{"multipart/form-data; boundary=b", "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"f\"\r\n\r\n"},
		}
		if a.limit > bodyLimit {
			kinds = kinds[:2] // 32 MB to the disk, or 4 GB, is not what a test should write
		}
		for _, k := range kinds {
			body, before := &endless{head: k.head}, v.edition()
			w := v.ask(a.method, a.example(), body, "Content-Type", k.kind)
			// A buffer's length more may be taken off the line.
			if most := max(a.limit, 12<<20) + 64<<10; body.read > a.limit+64<<10 && (a.limit <= bodyLimit || body.read > most) {
				t.Errorf("%s %s read %d bytes of a body without end, want at most %d", a.method, a.path, body.read, a.limit)
			}
			if a.method != http.MethodGet && w.Code < 400 && body.read > 0 {
				t.Errorf("%s %s with a body without end: %d, want a refusal", a.method, a.path, w.Code)
			}
			if body.read > 0 && v.edition() != before {
				t.Errorf("%s %s with a body without end changed something", a.method, a.path)
			}
			if w.Code == http.StatusInternalServerError {
				t.Errorf("%s %s with a body without end: %d", a.method, a.path, w.Code)
			}
		}
	}
}

// TestEveryAnswerHasItsPolicy walks all addresses that show something: none may
// load from elsewhere, be framed, be sniffed or stay in a cache; and looking at
// them changes nothing.
func TestEveryAnswerHasItsPolicy(t *testing.T) {
	v := visitStudio(t, true)
	before := v.edition()
	for _, a := range v.server.addresses {
		if a.method != http.MethodGet {
			continue
		}
		w := v.ask(a.method, a.example(), nil)
		h, csp := w.Header(), w.Header().Get("Content-Security-Policy")
		if !strings.HasPrefix(csp, "default-src 'none'") || strings.Contains(csp, "unsafe-eval") || strings.Contains(csp, "http") || strings.Contains(csp, "*") {
			t.Errorf("GET %s: the policy is %q", a.path, csp)
		}
		kind := h.Get("Content-Type")
		if strings.HasPrefix(kind, "text/html") && csp != policy {
			t.Errorf("GET %s is a page, and its policy is %q", a.path, csp)
		}
		if strings.Contains(csp, "script-src") && csp != policy {
			t.Errorf("GET %s: the policy is %q", a.path, csp)
		}
		if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Cross-Origin-Resource-Policy") != "same-origin" || h.Get("Referrer-Policy") != "same-origin" {
			t.Errorf("GET %s: the headers are %v", a.path, h)
		}
		if cached := h.Get("Cache-Control"); cached != "no-store" && !strings.HasPrefix(a.path, "/static/") {
			t.Errorf("GET %s may be kept: %q", a.path, cached)
		}
		if w.Code >= 500 {
			t.Errorf("GET %s: %d %.300s", a.example(), w.Code, plainText(w.Body.String()))
		}
		disposition := h.Get("Content-Disposition")
		if w.Code != http.StatusOK || disposition == "" {
			continue
		}
		if how, with, err := mime.ParseMediaType(disposition); err != nil || how != "inline" && how != "attachment" || !plainName.MatchString(with["filename"]) {
			t.Errorf("GET %s: Content-Disposition is %q", a.path, disposition)
		}
	}
	if v.edition() != before {
		t.Error("looking at pages changed something")
	}
}

var plainName = regexp.MustCompile(`^[\w][\w.-]*\.\w+$`)

// TestPathsStayInside: nothing that is written into an address leads to a file of
// the machine, or out of the studio.
func TestPathsStayInside(t *testing.T) {
	v := visitStudio(t, true)
	ups := []string{"..%2f..%2f..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "..%5c..%5cwindows%5cwin.ini", "..%00.css", "%2fetc%2fpasswd", "....//etc/passwd"}
	for _, a := range v.server.addresses {
		if a.method != http.MethodGet || !strings.Contains(a.path, "{") {
			continue
		}
		for _, up := range ups {
			path := placeholder.ReplaceAllString(a.path, up)
			w := v.ask(a.method, path, nil)
			if w.Code < 300 || w.Code >= 500 || strings.Contains(w.Body.String(), "root:") {
				t.Errorf("GET %s: %d %.200s", path, w.Code, plainText(w.Body.String()))
			}
			if to := w.Header().Get("Location"); to != "" && (strings.HasPrefix(to, "//") || !strings.HasPrefix(to, "/")) {
				t.Errorf("GET %s leads to %s", path, to)
			}
		}
	}
}

// TestRedirectsStayHere: wherever a page says where to go back to, nobody else's
// page is.
func TestRedirectsStayHere(t *testing.T) {
	out := []string{
		"//cakes.example/", "///cakes.example", "https://cakes.example/", "/\\cakes.example", "\\\\cakes.example", "/\t/cakes.example", "/\n/cakes.example", "/\r\n/cakes.example",
		"javascript:alert(1)", "data:text/html,x", "nowhere", " //cakes.example", "/%0d%0aLocation:%20//cakes.example", "http:cakes.example", "/\x00/cakes.example", "//cakes.example@127.0.0.1/",
	}
	for _, path := range out {
		to := here(path)
		if !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n\t\x00") {
			t.Errorf("here(%q) = %q", path, to)
		}
		if from := refererPath(path); !strings.HasPrefix(from, "/") || strings.HasPrefix(from, "//") {
			t.Errorf("refererPath(%q) = %q", path, from)
		}
	}
	if from := refererPath("http://cakes.example//cakes.example/x"); from != "/" {
		t.Errorf("refererPath with two strokes = %q, want /", from)
	}
	for _, keep := range []string{"/", "/cakes?by=class", "/prices/butter#history", "/search?q=%C3%A9"} {
		if to := here(keep); to != keep {
			t.Errorf("here(%q) = %q", keep, to)
		}
	}
	v := visitStudio(t, true)
	closed, _ := closedStudio(t)
	for _, path := range out {
		for _, test := range []struct {
			v     *visitor
			at    string
			pairs []string
		}{
			{v, "/look", []string{"look", "dark", "back", path}}, {closed, "/come-in", []string{"passphrase", knownWords, "back", path}},
			{v, "/clock/stop", []string{"who", "nobody", "back", path}},
		} {
			w := test.v.ask("POST", test.at, strings.NewReader(formOf(test.pairs...)), "Content-Type", formKind)
			if to := w.Header().Get("Location"); strings.Contains(to, "cakes.example") && !strings.HasPrefix(to, "/%0") || to != "" && to[0] != '/' || strings.HasPrefix(to, "//") {
				t.Errorf("POST %s with back=%q leads to %q", test.at, path, to)
			}
		}
		w := closed.ask("GET", "/come-in?back="+escapeQuery(path), nil)
		if strings.Contains(w.Body.String(), `value="//`) || strings.Contains(w.Body.String(), `value="http`) {
			t.Errorf("the door keeps back=%q", path)
		}
	}
	for _, a := range v.server.addresses {
		if a.method == http.MethodGet {
			for _, name := range []string{"back", "next", "return", "url", "to"} {
				w := v.ask("GET", a.example()+"?"+name+"=%2F%2Fcakes.example%2F", nil)
				if strings.Contains(w.Body.String(), `href="//`) || strings.HasPrefix(w.Header().Get("Location"), "//") {
					t.Errorf("GET %s leads out by %s", a.path, name)
				}
			}
		}
	}
}
