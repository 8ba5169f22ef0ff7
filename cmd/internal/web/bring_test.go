package web

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"marchpane/seed"
	"marchpane/store"
)

var hiddenFile = regexp.MustCompile(`name="file" type="hidden" value="([^"]+)"|type="hidden" name="file" value="([^"]+)"`)

func (a answer) shelvedFile(t *testing.T) string {
	t.Helper()
	m := hiddenFile.FindStringSubmatch(a.body)
	if m == nil {
		t.Fatalf("no file waits: %.2000s", a.body)
	}
	return m[1] + m[2]
}

// backupOf makes a backup of the demo studio.
func backupOf(t *testing.T) []byte {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := fill(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "backup.db")
	if err := s.CopyTo(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// An empty store opens with what somebody has of a studio already, and with
// nothing that is none.
func TestBringAStudioAlong(t *testing.T) {
	for _, test := range []struct {
		name, what string
		data       []byte
		quotes     int
	}{{"studio.json", "book", seed.Studio(), 0}, {"old.db", "backup", backupOf(t), 1}} {
		v := visitStudio(t, false)
		looked := v.sendFile("/welcome/file", "file", test.name, test.data)
		if looked.status != http.StatusOK || !strings.Contains(looked.body, "Quillwort Cake Studio") {
			t.Fatalf("%s: %d %.1500s", test.name, looked.status, looked.body)
		}
		if _, err := v.store.Book(t.Context()); err == nil {
			t.Fatalf("%s was stored before anyone said so", test.name)
		}
		done := v.post("/welcome/file/apply", "file", looked.shelvedFile(t), "what", test.what)
		if done.status != http.StatusOK || !strings.Contains(done.body, "is open, with all that was in "+test.name) {
			t.Errorf("%s: %d %.1500s", test.name, done.status, done.body)
		}
		if n := len(v.book().Cakes); n == 0 {
			t.Errorf("%s brought no cakes", test.name)
		}
		quotes, err := v.store.Quotes(t.Context(), seed.Today)
		if err != nil || len(quotes) != test.quotes {
			t.Errorf("%s brought %d quotes (%v), want %d", test.name, len(quotes), err, test.quotes)
		}
		// Once it has begun, nothing is taken in from here.
		if a := v.sendFile("/welcome/file", "file", test.name, test.data); a.status != http.StatusConflict {
			t.Errorf("a second %s: %d, want %d", test.name, a.status, http.StatusConflict)
		}
	}
	v := visitStudio(t, false)
	for name, data := range map[string]string{
		"empty.json": "", "nonsense.json": "{", "other.json": `{"format":"marchpane-book/99"}`, "photo.db": "\x89PNG\r\n\x1a\n",
		"other.db": "SQLite format 3\x00" + strings.Repeat("\x00", 4096), `"><script>x</script>.json`: "[]",
	} {
		a := v.sendFile("/welcome/file", "file", name, []byte(data))
		if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-file-fault"`) || strings.Contains(a.body, "<script>x") {
			t.Errorf("%s: %d %.1500s", name, a.status, a.body)
		}
	}
}

// An invoice and a sheet from files are shown first, and recorded when meant.
func TestRecordsFromAFile(t *testing.T) {
	v := visitStudio(t, true)
	if _, err := v.store.Accept(t.Context(), "2026-0001", "", "", seed.Today, testNow); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ path, name, data, says, bad, fault string }{
		{"/purchases/file", "invoice.csv", "ingredient,packs,pack,price\nbutter,2,5 kg,41.20\n", "2 packs of 5\u00a0kg at €41.20 each", "ingredient,packs,pack,price\nbatter,2,5 kg,41.20\n", "batter"},
		{"/records/file", "order.json", `{"order":"2026-0001","work":[{"role":"decorator","time":"3 h 20 min","task":"sugar flowers"}]}`, "Sugar flowers", `{"order":"2026-0009","work":[]}`, "2026-0009"},
	} {
		if a := v.sendFile(test.path, "file", test.name, []byte(test.bad)); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, test.fault) {
			t.Errorf("%s with a fault: %d %.1500s", test.path, a.status, a.body)
		}
		looked := v.sendFile(test.path, "file", test.name, []byte(test.data), "supplier", "Dairy round", "invoice", "7", "on", "2026-11-24")
		if looked.status != http.StatusOK || !strings.Contains(strings.ToLower(looked.body), strings.ToLower(test.says)) {
			t.Fatalf("%s: %d %.2500s", test.path, looked.status, looked.body)
		}
		done := v.post(test.path+"/apply", "file", looked.shelvedFile(t), "supplier", "Dairy round", "invoice", "7", "on", "2026-11-24")
		if done.status != http.StatusOK || !strings.Contains(done.body, "Recorded: ") {
			t.Errorf("%s: %d %.1500s", test.path, done.status, done.body)
		}
	}
	found, err := v.store.ActualsIn(t.Context(), seed.Today.AddDays(-5), seed.Today)
	if err != nil || len(found.Purchases) != 1 || len(found.Work) != 1 {
		t.Errorf("recorded %d purchases, %d of work (%v), want one each", len(found.Purchases), len(found.Work), err)
	}
}

// A clock that began earlier and ended earlier says so.
func TestClockOfEarlier(t *testing.T) {
	v := visitStudio(t, true)
	if _, err := v.store.Accept(t.Context(), "2026-0001", "", "", seed.Today, testNow); err != nil {
		t.Fatal(err)
	}
	if a := v.post("/orders/2026-0001/actuals/clock", "role", "pastry", "as", "worked", "at", "8:15"); a.status != http.StatusOK || !strings.Contains(a.body, "since 08:15") {
		t.Fatalf("start: %d %.1500s", a.status, a.body)
	}
	if a := v.post("/clock/stop", "who", "pastry", "asked", "yes", "at", "nine", "back", "/clock"); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, "is no time") {
		t.Errorf("stop at nine: %d %.1500s", a.status, a.body)
	}
	if a := v.post("/clock/stop", "who", "pastry", "asked", "yes", "at", "9:00", "note", "lace", "back", "/clock"); a.status != http.StatusOK || !strings.Contains(a.body, "45") {
		t.Errorf("stop at 9:00: %d %.1500s", a.status, a.body)
	}
}

// The kitchen plans open quotes along, and the list shops for designs alone, as
// the commands do.
func TestAskAsTheCommandsDo(t *testing.T) {
	v := visitStudio(t, true)
	for path, want := range map[string]string{
		"/kitchen?from=2027-06-01&to=2027-06-30&with=2026-0001":                       "2026-0001",
		"/kitchen?from=2027-06-01&to=2027-06-30&with=2026-0001&tasks=yes":             "2026-0001",
		"/shopping?cakes=wedding-three-tier%3D2&only=yes":                             "wedding-three-tier=2",
		"/shopping?cakes=wedding-three-tier&on=2026-09-01&hidden=yes":                 "2026",
		"/kitchen/plan.pdf?from=2027-06-01&to=2027-06-30&with=2026-0001&paper=letter": "%PDF",
		"/studio/book/schema.json":                                                    "json-schema.org",
	} {
		if a := v.get(path); a.status != http.StatusOK || !strings.Contains(a.body, want) {
			t.Errorf("%s: %d, want %q in %.1500s", path, a.status, want, a.body)
		}
	}
	for path, want := range map[string]string{
		"/kitchen?with=2026-0404":            `id="f-with-fault"`,
		"/kitchen?handover=noon":             `id="f-handover-fault"`,
		"/kitchen?handover=2026-0404%3D9:00": `id="f-handover-fault"`,
		"/shopping?cakes=no+such+cake":       `id="f-cakes-fault"`,
		"/shopping?only=yes":                 `id="f-cakes-fault"`,
		"/shopping?on=yesterday":             `id="f-on-fault"`,
	} {
		if a := v.get(path); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, want) || strings.Contains(a.body, "--") && strings.Contains(a.body, "--with") {
			t.Errorf("%s: %d, want %q in %.2500s", path, a.status, want, a.body)
		}
	}
}
