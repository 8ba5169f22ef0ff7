package web

import (
	"bytes"
	"context"
	"errors"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/pdf"
)

var testNow = time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC)

// testDesk is the desk of package cli, with a demo studio that is made in less
// time.
type testDesk struct{ Desk }

func (testDesk) OpenDemo(ctx context.Context, path string, now time.Time, progress func(float64)) error {
	demo, err := demoFile()
	if err != nil {
		return err
	}
	return os.WriteFile(path, demo, 0o600)
}

func (d testDesk) QuotePDF(ctx context.Context, s *store.Store, q store.SavedQuote, ask PaperAsk) ([]byte, error) {
	if ask != (PaperAsk{}) {
		return d.Desk.QuotePDF(ctx, s, q, ask)
	}
	var b bytes.Buffer
	_, err := pdf.Quote(&b, drawing.Illustrate(document.FromQuote(q.Quote), pdf.PictureSize))
	return b.Bytes(), err
}

// demoFile is the file of a store with the demo studio and its quote, made once:
// nearly every test begins with a copy.
var demoFile = sync.OnceValues(func() ([]byte, error) {
	folder, err := os.MkdirTemp("", "marchpane-test-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "studio.db")
	s, err := store.Open(context.Background(), path)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(fill(context.Background(), s), s.Close()); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
})

func fill(ctx context.Context, s *store.Store) error {
	file, err := book.Parse(seed.Studio())
	if err != nil {
		return err
	}
	if _, err := s.Import(ctx, file, false, "test", testNow); err != nil {
		return err
	}
	request, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		return err
	}
	q, err := quote.Price(book.NewIndex(file), request)
	if err != nil {
		return err
	}
	_, err = s.IssueQuote(ctx, q, testNow)
	return err
}

// visitor is a browser without script.
type visitor struct {
	t      *testing.T
	server *Server
	store  *store.Store
	url    string
	client *http.Client
}

// visit serves a studio, empty or the demo's, to a new visitor.
func visitStudio(t *testing.T, full bool, change ...func(*Options)) *visitor {
	t.Helper()
	path := filepath.Join(t.TempDir(), "studio.db")
	if full {
		demo, err := demoFile()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, demo, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewUnstartedServer(nil)
	o := Options{
		Store: s, Desk: testDesk{realDesk}, Now: func() time.Time { return testNow }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		Hosts: []string{server.Listener.Addr().String()},
	}
	for _, c := range change {
		c(&o)
	}
	w, err := New(context.WithoutCancel(t.Context()), o)
	if err != nil {
		t.Fatal(err)
	}
	server.Config.Handler = w
	server.Start()
	t.Cleanup(func() {
		server.Close()
		if err := w.Close(); err != nil {
			t.Error(err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	v := &visitor{t: t, server: w, store: s, url: server.URL}
	return v.another()
}

// another is a second browser.
func (v *visitor) another() *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		v.t.Fatal(err)
	}
	o := *v
	o.client = &http.Client{Jar: jar}
	return &o
}

type answer struct {
	status int
	header http.Header
	body   string
	path   string // where redirects led
}

func (v *visitor) do(r *http.Request) answer {
	v.t.Helper()
	res, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return answer{res.StatusCode, res.Header, string(body), res.Request.URL.RequestURI()}
}

func (v *visitor) get(path string) answer {
	v.t.Helper()
	r, err := http.NewRequest("GET", v.url+path, nil)
	if err != nil {
		v.t.Fatal(err)
	}
	return v.do(r)
}

// post sends a form as a browser does from our own pages.
func (v *visitor) post(path string, pairs ...string) answer {
	v.t.Helper()
	form := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r, err := http.NewRequest("POST", v.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", v.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return v.do(r)
}

// has fails where an answer lacks a text, which is compared as it is read.
func (a answer) has(t *testing.T, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(html.UnescapeString(a.body), text) {
			t.Errorf("%s (%d) lacks %q:\n%s", a.path, a.status, text, plainText(a.body))
		}
	}
}

var tags = regexp.MustCompile(`(?s)<svg.*?</svg>|<[^>]*>`)

func plainText(body string) string {
	return strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(body, " "))), " ")
}

// value returns what a hidden or visible box of a page holds.
func (a answer) value(t *testing.T, name string) string {
	t.Helper()
	m := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `"[^>]*value="([^"]*)"`).FindStringSubmatch(a.body)
	if m == nil {
		t.Fatalf("%s has no box %q", a.path, name)
	}
	return html.UnescapeString(m[1])
}

// refusedByPolicy finds what the policy of pages refuses.
var refusedByPolicy = regexp.MustCompile(`(?i)<style|<[^>]*\sstyle=|<[^>]*\son[a-z]+=|<script[^>]*>[^<]|href="javascript:`)

// TestSamplePages: every page answers, with the headers that keep others out,
// within its weight, and with nothing that its own policy would refuse.
func TestSamplePages(t *testing.T) {
	v := visitStudio(t, true)
	for _, path := range samplePages {
		a := v.get(path)
		want := http.StatusOK
		if path == "/nowhere" {
			want = http.StatusNotFound
		}
		if a.status != want {
			t.Errorf("GET %s = %d, want %d: %s", path, a.status, want, plainText(a.body))
		}
		for name, value := range map[string]string{
			"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "no-store",
		} {
			if got := a.header.Get(name); got != value {
				t.Errorf("GET %s: %s = %q, want %q", path, name, got, value)
			}
		}
		if found := refusedByPolicy.FindString(a.body); found != "" {
			t.Errorf("GET %s has %q, which its policy refuses", path, found)
		}
		if strings.Count(a.body, "<h1") != 1 {
			t.Errorf("GET %s has %d headings of the first level", path, strings.Count(a.body, "<h1"))
		}
		weight := len(pack([]byte(a.body)))
		for _, asset := range v.server.assets {
			weight += len(asset.plain)
		}
		if weight > 150_000 {
			t.Errorf("GET %s weighs %d bytes with all it loads", path, weight)
		}
		if len(a.body) > 150_000 {
			t.Errorf("GET %s is %d bytes of HTML before it is packed", path, len(a.body))
		}
		t.Logf("%-40s %6d bytes, %6d packed", path, len(a.body), len(pack([]byte(a.body))))
	}
}

func TestStrangersAreRefused(t *testing.T) {
	v := visitStudio(t, true)
	send := func(method, path, host string, header ...string) answer {
		r, err := http.NewRequest(method, v.url+path, strings.NewReader("look=dark"))
		if err != nil {
			t.Fatal(err)
		}
		if host != "" {
			r.Host = host
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		for i := 0; i < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		return v.do(r)
	}
	port := v.url[strings.LastIndex(v.url, ":"):]
	tests := []struct {
		name, method, path, host string
		header                   []string
		want                     int
	}{
		{"a name that was made to point here", "GET", "/", "cakes.example" + port, nil, http.StatusMisdirectedRequest},
		{"our name at another port", "GET", "/", "127.0.0.1:1", nil, http.StatusMisdirectedRequest},
		{"another site by its origin", "POST", "/look", "", []string{"Origin", "https://cakes.example"}, http.StatusForbidden},
		{"another site by the browser's word", "POST", "/look", "", []string{"Sec-Fetch-Site", "cross-site"}, http.StatusForbidden},
		{"a sandboxed frame", "POST", "/look", "", []string{"Origin", "null"}, http.StatusForbidden},
		{"our own page", "POST", "/look", "", []string{"Origin", v.url, "Sec-Fetch-Site", "same-origin"}, http.StatusOK},
		{"a method that no page uses", "DELETE", "/prices/butter", "", nil, http.StatusNotFound},
	}
	for _, test := range tests {
		if a := send(test.method, test.path, test.host, test.header...); a.status != test.want {
			t.Errorf("%s: %d, want %d", test.name, a.status, test.want)
		}
	}
	if a := v.post("/look", "look", "dark", "back", strings.Repeat("x", bodyLimit)); a.status != http.StatusRequestEntityTooLarge {
		t.Errorf("a body beyond the limit: %d, want 413", a.status)
	}
	for _, to := range []string{"//cakes.example/", "https://cakes.example/", "/\\cakes.example", "nowhere"} {
		if a := v.post("/look", "look", "dark", "back", to); a.path != "/" {
			t.Errorf("back=%s led to %s, want /", to, a.path)
		}
	}
}

func TestStaticFiles(t *testing.T) {
	v := visitStudio(t, true)
	for name, asset := range v.server.assets {
		a := v.get(asset.address(name))
		if a.status != http.StatusOK || a.body != string(asset.plain) || !strings.Contains(a.header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s: %d, %s", name, a.status, a.header.Get("Cache-Control"))
		}
		r, _ := http.NewRequest("GET", v.url+"/static/"+name, nil)
		r.Header.Set("If-None-Match", a.header.Get("ETag"))
		if again := v.do(r); again.status != http.StatusNotModified {
			t.Errorf("%s again: %d, want 304", name, again.status)
		}
	}
	if a := v.get("/static/nothing.css"); a.status != http.StatusNotFound {
		t.Errorf("no such file: %d", a.status)
	}
}

func TestEditUndoAndConflict(t *testing.T) {
	v := visitStudio(t, true)
	first := v.get("/prices/butter")
	edit := func(v *visitor, version, name, category string) answer {
		return v.post("/prices/butter", "version", version, "name", name, "kind", "ingredient", "category", category,
			"measure", "mass", "density", first.value(t, "density"), "each", "", "trim_yield", "", "supplier", "")
	}
	version := first.versionIn(t, "/prices/butter")

	hostile := `<script>alert("butter")</script>`
	a := edit(v, version, hostile, "dairy")
	a.has(t, hostile+" is saved.", "Undo")
	if strings.Contains(a.body, "<script>alert") {
		t.Error("a name is not escaped")
	}

	// Another browser still shows the butter that was.
	other := v.another()
	a = edit(other, version, "Butter, salted", "dairy")
	if a.status != http.StatusConflict {
		t.Fatalf("a form that is out of date: %d, want 409", a.status)
	}
	a.has(t, "Somebody else was here", hostile, "Butter, salted")
	mine := a.value(t, "version")
	if x := edit(other, mine, "Butter, salted", "dairy"); x.status != http.StatusOK {
		t.Errorf("save mine over it: %d", x.status)
	}
	v.get("/prices/butter").has(t, "Butter, salted")

	// What the first had done cannot be taken back over what came after.
	a = v.post("/undo", "token", a.orToken(v, "x"))
	if a.status != http.StatusConflict {
		t.Errorf("an undo that nobody was given: %d, want 409", a.status)
	}
}

// orToken is a token that no session knows.
func (a answer) orToken(*visitor, string) string { return "none" }

func TestUndoOnce(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/prices/new", "name", "Rose petals", "kind", "ingredient", "measure", "mass", "prices[0].pack", "100g", "prices[0].price", "12,50")
	if a.path != "/prices/rose-petals" {
		t.Fatalf("a new ingredient led to %s: %s", a.path, plainText(a.body))
	}
	a.has(t, "Rose petals is added.", "100 g")
	token := a.value(t, "token")
	a = v.post("/prices/rose-petals/remove")
	a.has(t, "Rose petals was removed.")
	back := a.value(t, "token")
	v.post("/undo", "token", back).has(t, "Rose petals is back.")
	if a := v.get("/prices/rose-petals"); a.status != http.StatusOK {
		t.Errorf("what was taken back: %d", a.status)
	}
	if a := v.post("/undo", "token", back); a.status != http.StatusConflict {
		t.Errorf("an undo done twice: %d, want 409", a.status)
	}
	v.post("/undo", "token", token).has(t, "Rose petals is gone again.")
	if a := v.get("/prices/rose-petals"); a.status != http.StatusNotFound {
		t.Errorf("what was undone: %d, want 404", a.status)
	}
	if a := v.post("/prices/butter/remove"); a.status != http.StatusConflict || !strings.Contains(a.body, "in use") {
		t.Errorf("removing what is in use: %d", a.status)
	}
	if a := v.get("/prices/butter/remove"); !strings.Contains(a.body, "It is used by") {
		t.Error("the page does not say what uses butter")
	}
}

func TestFaultsStandBesideTheirBox(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/prices/butter/price", "price", "abc", "pack", "3 litres", "from", "2026-02-30", "tax_in", "x", "new_supplier", "", "note", "")
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("a price with faults: %d, want 422", a.status)
	}
	for _, name := range []string{"price", "pack", "from", "tax_in"} {
		if !strings.Contains(a.body, `id="f-`+name+`-fault"`) {
			t.Errorf("no fault beside %s", name)
		}
	}
	a.has(t, "Nothing was saved yet.")
	if got := a.value(t, "price"); got != "abc" {
		t.Errorf("what was typed is gone: %q", got)
	}
	a = v.post("/prices/butter/price", "price", "30,50", "pack", "10 x 250 g", "from", "2026-11-20", "tax_in", "", "new_supplier", "", "note", "")
	a.has(t, "€30.50 for 10\u00a0×\u00a0250\u00a0g from 20 November 2026 is added.")
	v.post("/undo", "token", a.value(t, "token")).has(t, "is as it was before.")
}

func TestPreviewChangesNothing(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/prices/butter/price/preview", "price", "40.00", "pack", "10 x 250 g", "from", "2026-11-25")
	a.has(t, "That comes to", "What it does to margins")
	if strings.Contains(a.body, "<html") {
		t.Error("a preview is a whole page")
	}
	if b := v.get("/prices/butter"); strings.Contains(b.body, "€40.00") {
		t.Error("a preview was saved")
	}
	if a := v.post("/prices/butter/price/preview", "price", "4"); a.status != http.StatusOK {
		t.Errorf("an unfinished price: %d", a.status)
	}
}

func TestFirstUse(t *testing.T) {
	v := visitStudio(t, false)
	for _, path := range []string{"/", "/prices", "/cakes", "/search?q=x"} {
		if a := v.get(path); a.path != "/welcome" {
			t.Errorf("GET %s of an empty store led to %s", path, a.path)
		}
	}
	a := v.post("/welcome", "name", "", "currency", "XXQ", "locale", "en-GB", "tax.rate", "a lot", "target.margin", "120")
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("a wrong start: %d, want 422", a.status)
	}
	for _, name := range []string{"currency", "tax.rate"} {
		if !strings.Contains(a.body, `id="f-`+name+`-fault"`) {
			t.Errorf("no fault beside %s", name)
		}
	}
	a = v.post("/welcome", "name", "Tier & Crumb", "currency", "EUR", "locale", "en-IE", "tax.rate", "13,5", "target.margin", "35")
	a.has(t, "Tier & Crumb is open.", "What do you buy?")
	for _, path := range []string{"/", "/cakes", "/prices", "/search"} {
		if a := v.get(path); a.status != http.StatusOK {
			t.Errorf("GET %s of a new studio: %d", path, a.status)
		}
	}
	if a := v.post("/welcome", "name", "Again", "currency", "EUR", "target.margin", "30"); a.status != http.StatusConflict {
		t.Errorf("a second start: %d, want 409", a.status)
	}
}

func TestDemoIsThrownAway(t *testing.T) {
	v := visitStudio(t, false)
	v.post("/demo").has(t, "You are in the demo studio")
	v.get("/cakes").has(t, "You are in the demo studio")
	v.get("/quotes/2026-0001/A.pdf")
	path := v.server.demo.studio.store.Path()
	if a := v.post("/demo/leave"); a.path != "/welcome" {
		t.Errorf("throwing the demo away led to %s", a.path)
	}
	if found, _ := filepath.Glob(path + "*"); len(found) > 0 {
		t.Errorf("the demo is still there: %v", found)
	}
	if _, err := v.store.Book(t.Context()); err != store.ErrEmpty {
		t.Errorf("the own store was touched: %v", err)
	}
}

func TestQuotePaper(t *testing.T) {
	v := visitStudio(t, true)
	a := v.get("/quotes/2026-0001/A.pdf")
	if a.status != http.StatusOK || a.header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(a.body, "%PDF-") {
		t.Fatalf("the paper of a quote: %d %s", a.status, a.header.Get("Content-Type"))
	}
	if got := a.header.Get("Content-Security-Policy"); !strings.Contains(got, "frame-ancestors 'self'") {
		t.Errorf("a page of ours cannot show it: %s", got)
	}
	for _, path := range []string{"/quotes/2026-0001/B.pdf", "/quotes/1999-0001/A.pdf", "/quotes/2026-0001/A.exe"} {
		if a := v.get(path); a.status != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", path, a.status)
		}
	}
}

func TestPassphrase(t *testing.T) {
	const words = "sugar paste and patience"
	hash, err := HashPassphrase(words)
	if err != nil {
		t.Fatal(err)
	}
	now := testNow
	v := visitStudio(t, true, func(o *Options) { o.Passphrase = hash; o.Now = func() time.Time { return now } })
	for _, path := range samplePages {
		if a := v.get(path); !strings.HasPrefix(a.path, "/come-in") || strings.Contains(a.body, "Butter") {
			t.Errorf("GET %s without the passphrase led to %s", path, a.path)
		}
	}
	if a := v.post("/prices/butter/remove"); a.status != http.StatusUnauthorized {
		t.Errorf("a form without the passphrase: %d, want 401", a.status)
	}
	for i := 1; i < freeTries; i++ {
		if a := v.post("/come-in", "passphrase", "wrong"); a.status != http.StatusUnprocessableEntity {
			t.Errorf("wrong passphrase %d: %d, want 422", i, a.status)
		}
	}
	if a := v.post("/come-in", "passphrase", "wrong"); a.status != http.StatusTooManyRequests || a.header.Get("Retry-After") == "" {
		t.Errorf("one too many: %d, want 429", a.status)
	}
	if a := v.post("/come-in", "passphrase", words); a.status != http.StatusTooManyRequests {
		t.Errorf("the right one too early: %d, want 429", a.status)
	}
	now = now.Add(time.Minute)
	a := v.post("/come-in", "passphrase", words, "back", "/cakes")
	if a.path != "/cakes" {
		t.Fatalf("the right passphrase led to %s: %s", a.path, plainText(a.body))
	}
	for _, c := range v.client.Jar.Cookies(must(url.Parse(v.url))) {
		if c.Name == v.server.sessions.cookie && len(c.Value) < 43 {
			t.Errorf("a session is called %q, which holds fewer than 256 bits", c.Value)
		}
	}
	v.post("/leave")
	if a := v.get("/cakes"); !strings.HasPrefix(a.path, "/come-in") {
		t.Errorf("signed out, yet at %s", a.path)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
