package web

import (
	"bytes"
	"html"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/seed"
)

// sendFile posts a form with a file, as a browser does from our own pages.
func (v *visitor) sendFile(path, box, name string, data []byte, pairs ...string) answer {
	v.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i+1 < len(pairs); i += 2 {
		w.WriteField(pairs[i], pairs[i+1])
	}
	part, err := w.CreateFormFile(box, name)
	if err != nil {
		v.t.Fatal(err)
	}
	part.Write(data)
	w.Close()
	r, err := http.NewRequest("POST", v.url+path, &body)
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Origin", v.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return v.do(r)
}

func (v *visitor) book() book.Book {
	v.t.Helper()
	b, err := v.store.Book(v.t.Context())
	if err != nil {
		v.t.Fatal(err)
	}
	return b
}

// filled returns all the boxes of a page's form as pairs, changed as told: what
// a browser sends that was given the page.
func (a answer) filled(t *testing.T, changes ...string) []string {
	t.Helper()
	var pairs []string
	for _, m := range boxes.FindAllStringSubmatch(a.body, -1) {
		name, value := m[1], html.UnescapeString(m[2])
		if strings.Contains(m[0], `type="checkbox"`) && !strings.Contains(m[0], " checked") {
			continue
		}
		pairs = append(pairs, name, value)
	}
	for _, m := range areas.FindAllStringSubmatch(a.body, -1) {
		pairs = append(pairs, m[1], html.UnescapeString(m[2]))
	}
	for _, m := range selects.FindAllStringSubmatch(a.body, -1) {
		if chosen := chosenOption.FindStringSubmatch(m[2]); chosen != nil {
			pairs = append(pairs, m[1], html.UnescapeString(chosen[1]))
		}
	}
	for i := 0; i+1 < len(changes); i += 2 {
		found := false
		for j := 0; j < len(pairs); j += 2 {
			if pairs[j] == changes[i] {
				pairs[j+1], found = changes[i+1], true
			}
		}
		if !found {
			t.Fatalf("%s has no box %q", a.path, changes[i])
		}
	}
	return pairs
}

func TestStudioPartsAreSavedAndUndone(t *testing.T) {
	v := visitStudio(t, true)
	for _, path := range []string{"/studio/name", "/studio/charging", "/studio/terms", "/studio/look"} {
		before := versionOf(v.book())
		if a := v.post(path, v.get(path).filled(t)...); a.status != http.StatusOK {
			t.Errorf("POST %s as it was = %d: %s", path, a.status, plainText(a.body))
		}
		if versionOf(v.book()) != before {
			t.Errorf("POST %s as it was changed the book", path)
		}
	}
	a := v.post("/studio/terms", v.get("/studio/terms").filled(t, "quote.valid_days", "21", "quote.deposit", "37,5", "quote.terms", "One line.\n\n<script>alert(1)</script>")...)
	a.has(t, "Terms of your quotes: saved.")
	q := v.book().Studio.Quote.Value
	if q.ValidDays.Value != 21 || q.Deposit.Value.String() != "37.5 %" || len(q.Terms) != 2 {
		t.Errorf("the terms are %+v", q)
	}
	if strings.Contains(a.body, "<script>alert") {
		t.Error("terms are not escaped")
	}
	v.post("/undo", "token", a.value(t, "token")).has(t, "The studio is as it was before.")
	if got := v.book().Studio.Quote.Value.ValidDays.Value; got == 21 {
		t.Error("undo did not bring the terms back")
	}
	a = v.post("/studio/charging", v.get("/studio/charging").filled(t, "target.margin", "120", "tax.rate", "a lot")...)
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("a target of 120 %%: %d, want 422", a.status)
	}
	for _, name := range []string{"tax.rate"} {
		if !strings.Contains(a.body, `id="f-`+name+`-fault"`) {
			t.Errorf("no fault beside %s: %s", name, plainText(a.body))
		}
	}
	a = v.post("/studio/charging", v.get("/studio/charging").filled(t, "target.margin", "55", "target.markup", "20")...)
	if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-target.margin-fault"`) {
		t.Errorf("two targets: %d: %s", a.status, plainText(a.body))
	}
}

func TestStudioShowsTheSecondWhatTheFirstChanged(t *testing.T) {
	v := visitStudio(t, true)
	first, second := v.get("/studio/name").filled(t, "name", "Mine"), v.get("/studio/name").filled(t, "name", "Theirs")
	v.post("/studio/name", first...).has(t, "saved")
	a := v.post("/studio/name", second...)
	if a.status != http.StatusConflict {
		t.Fatalf("a second change = %d, want 409", a.status)
	}
	a.has(t, "Mine", "Theirs")
	if got := v.book().Studio.Name; got != "Mine" {
		t.Errorf("the studio is called %q", got)
	}
}

func TestLogoAndAccent(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/studio/look", v.get("/studio/look").filled(t, "look.accent", "#ffcc00")...)
	if a.status != http.StatusUnprocessableEntity {
		t.Errorf("yellow on white = %d, want 422", a.status)
	}
	a.has(t, "too light to read on white", "the nearest that can be read is")
	v.post("/studio/look/preview", "look.accent", "#2f5d62").has(t, "Dark enough to read on white.")
	if a := v.post("/studio/look/preview", "look.accent", `#"><script>`); strings.Contains(a.body, "<script>") {
		t.Error("a preview is not escaped")
	}
	drawing := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 0h40v20z" fill="#234"/></svg>`)
	a = v.sendFile("/studio/look/logo", "logo", "logo.svg", drawing)
	a.has(t, "The logo is on your papers.")
	undo := a.value(t, "token")
	logo := v.get("/studio/look/logo")
	if logo.status != http.StatusOK || !strings.Contains(logo.header.Get("Content-Security-Policy"), "sandbox") {
		t.Errorf("the logo = %d, shut in by %q", logo.status, logo.header.Get("Content-Security-Policy"))
	}
	for name, data := range map[string][]byte{
		"script.svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><script>alert(1)</script></svg>`),
		"text.png":   []byte("no picture"), "empty.png": nil,
	} {
		if a := v.sendFile("/studio/look/logo", "logo", name, data); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-logo-fault"`) {
			t.Errorf("%s as a logo = %d, want 422 and a fault beside the box", name, a.status)
		}
	}
	v.post("/studio/look/logo/remove").has(t, "The logo is off")
	if v.book().Studio.Look.Value.Logo.Given {
		t.Error("the logo is still there")
	}
	v.post("/undo", "token", undo) // was changed again since, so it stays
}

func TestRolesEquipmentTins(t *testing.T) {
	v := visitStudio(t, true)
	for _, c := range []struct{ path, at, name string }{{"/studio/roles/new", "/studio/roles/sugar-florist", "Sugar florist"}, {"/studio/equipment/new", "/studio/equipment/proofer", "Proofer"}} {
		pairs := []string{"name", c.name}
		if strings.Contains(c.path, "roles") {
			pairs = append(pairs, "wage[0].per_hour", "22,50", "wage[0].from", "2026-11-01", "productive", "80")
		} else {
			pairs = append(pairs, "power", "1.2 kW", "duty", "60")
		}
		a := v.post(c.path, pairs...)
		if a.path != c.at {
			t.Fatalf("POST %s led to %s: %s", c.path, a.path, plainText(a.body))
		}
		a.has(t, c.name+" is added.")
		undo := a.value(t, "token")
		v.post(c.at+"/remove").has(t, c.name+" was removed.")
		v.post("/undo", "token", undo)
		if got := v.get(c.at).status; got != http.StatusNotFound {
			t.Errorf("%s is there again: %d", c.at, got)
		}
	}
	a := v.post("/studio/tins/new", "shape", "round", "diameter", "28 cm", "height", "10 cm", "owned", "2", "name", "")
	if !strings.HasPrefix(a.path, "/studio/tins/round-28-cm") {
		t.Fatalf("a new tin led to %s: %s", a.path, plainText(a.body))
	}
	if a := v.post("/studio/tins/new", "shape", "round", "diameter", "wide", "owned", "many"); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-diameter-fault"`) {
		t.Errorf("a faulty tin = %d", a.status)
	}
	role := v.book().Roles[0]
	a = v.post("/studio/roles/"+string(role.ID)+"/wage", "per_hour", "31,00", "from", "2026-12-01")
	a.has(t, "has a new wage", "€31.00")
	if got := len(v.book().Roles[0].Wage); got != len(role.Wage)+1 {
		t.Errorf("%d wages, want one more than %d", got, len(role.Wage))
	}
	if a := v.post("/studio/roles/"+string(role.ID)+"/wage", "per_hour", "much", "from", "soon"); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-per_hour-fault"`) || !strings.Contains(a.body, `id="f-from-fault"`) {
		t.Errorf("a faulty wage = %d", a.status)
	}
	if a := v.post("/studio/roles/" + string(role.ID) + "/remove"); a.status != http.StatusConflict {
		t.Errorf("removing a role in use = %d, want 409", a.status)
	}
}

func TestEnergyAndOverhead(t *testing.T) {
	v := visitStudio(t, true)
	b := v.book()
	a := v.post("/studio/energy", "price", "0,41", "from", "2026-11-20")
	a.has(t, "Energy has a new price.", "€0.41")
	v.post("/undo", "token", a.value(t, "token")).has(t, "Energy is as it was before.")
	if versionOf(v.book()) != versionOf(b) {
		t.Error("undo did not bring the book back")
	}
	if a := v.post("/studio/energy", "price", "dear", "from", "x"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a faulty price of energy = %d", a.status)
	}
	page := v.get("/studio/overhead")
	a = v.post("/studio/overhead", page.filled(t, "amount", "2100")...)
	a.has(t, "The overhead is saved.", "€2,100.00")
	if got := len(v.book().Overhead.Dated); got != len(b.Overhead.Dated)+1 {
		t.Errorf("%d entries, want one more than %d", got, len(b.Overhead.Dated))
	}
	a = v.post("/studio/overhead", v.get("/studio/overhead").filled(t, "method", "percent", "share", "12")...)
	a.has(t, "12% on top")
	a = v.post("/studio/overhead", v.get("/studio/overhead").filled(t, "method", "cake", "share", "12")...)
	if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-amount-fault"`) {
		t.Errorf("a share a cake = %d: %s", a.status, plainText(a.body))
	}
}

func TestLettersAndMail(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/studio/letters/fr/quote", "wording", "Votre gâteau {{.QuoteName}}\n\nBonjour {{.Client}}", "version", v.get("/studio/letters/fr/quote").value(t, "version"))
	a.has(t, "Your wording is kept.", "Votre gâteau 2026-0001 A", "Bonjour Zoë Šimková")
	undo := a.value(t, "token")
	if a := v.post("/studio/letters/fr/quote", "wording", "{{.Margin}}"); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-wording-fault"`) {
		t.Errorf("a fact that there is none of = %d", a.status)
	}
	v.post("/undo", "token", undo).has(t, "The wording is as it was before.")
	if _, own, err := v.store.Wording(t.Context(), "fr", "quote"); own || err != nil {
		t.Errorf("the wording is still our own: %t, %v", own, err)
	}
	if got := v.get("/studio/letters/xx/quote").status; got != http.StatusNotFound {
		t.Errorf("a language that there is none of = %d", got)
	}
	v.post("/studio/mail", "host", "mail.example.org", "user", "zoe", "security", "tls", "port", "", "password", "open sesame").has(t, "The mail server is kept; its password is not.")
	data, err := os.ReadFile(v.store.Path() + "-wal")
	if err != nil || bytes.Contains(data, []byte("open sesame")) {
		t.Errorf("a password reached the store, or the file could not be read: %v", err)
	}
	if a := v.post("/studio/mail", "host", "mail.example.org", "security", "none"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("letters in the open = %d, want 422", a.status)
	}
	a = v.post("/studio/mail/forget")
	v.post("/undo", "token", a.value(t, "token")).has(t, "as it was before")
	v.get("/studio/mail").has(t, "Forget the mail server")
	if got := v.get("/studio/mail").value(t, "host"); got != "mail.example.org" {
		t.Errorf("after undo the mail server is %q", got)
	}
}

func TestBackupAndRestore(t *testing.T) {
	v := visitStudio(t, true)
	a := v.get("/studio/backup/studio.db")
	if a.status != http.StatusOK || !strings.HasPrefix(a.body, "SQLite format 3") || !strings.Contains(a.header.Get("Content-Disposition"), "marchpane-2026-11-25.db") {
		t.Fatalf("a backup = %d, %q", a.status, a.header.Get("Content-Disposition"))
	}
	before := versionOf(v.book())
	v.post("/studio/name", v.get("/studio/name").filled(t, "name", "Changed since")...)
	shown := v.sendFile("/studio/restore", "backup", "old.db", []byte(a.body))
	shown.has(t, "Bring this backup back?", "Quillwort Cake Studio", "Changed since")
	file := shown.value(t, "file")
	if a := v.post("/studio/restore/apply", "file", file); a.status != http.StatusUnprocessableEntity || versionOf(v.book()) == before {
		t.Errorf("without the tick = %d", a.status)
	}
	if a := v.another().post("/studio/restore/apply", "file", file, "sure", "yes"); a.status != http.StatusConflict {
		t.Errorf("somebody else's file = %d, want 409", a.status)
	}
	v.post("/studio/restore/apply", "file", file, "sure", "yes").has(t, "old.db is in place.")
	if versionOf(v.book()) != before {
		t.Error("the book is not that of the backup")
	}
	v.get("/studio").has(t, "Quillwort Cake Studio")
	if kept, _ := filepath.Glob(v.store.Path() + ".before-restore-*.backup"); len(kept) != 1 {
		t.Errorf("kept aside: %v", kept)
	}
	if a := v.sendFile("/studio/restore", "backup", "list.csv", []byte("butter;3.20")); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, "no store of marchpane") {
		t.Errorf("a price list as a backup = %d", a.status)
	}
}

func TestBookOutAndIn(t *testing.T) {
	v := visitStudio(t, true)
	out := v.get("/studio/book/studio.json")
	v.sendFile("/studio/book/import", "book", "studio.json", []byte(out.body), "how", "replace").has(t, "Nothing: everything in it is here already.")
	changed := strings.Replace(out.body, `"Quillwort Cake Studio"`, `"Renamed <b>"`, 1)
	a := v.sendFile("/studio/book/import", "book", "studio.json", []byte(changed), "how", "merge")
	a.has(t, "What this book would change", "Studio, name", "Quillwort Cake Studio", "Renamed <b>")
	if v.book().Studio.Name != "Quillwort Cake Studio" {
		t.Fatal("a dry run changed the store")
	}
	a = v.post("/studio/book/import/apply", "file", a.value(t, "file"), "how", "merge", "version", a.value(t, "version"))
	a.has(t, "studio.json is taken in")
	if v.book().Studio.Name != "Renamed <b>" {
		t.Errorf("the studio is called %q", v.book().Studio.Name)
	}
	v.post("/undo", "token", a.value(t, "token")).has(t, "The book is as it was before.")
	a = v.sendFile("/studio/book/import", "book", "studio.json", []byte(strings.Replace(out.body, `"margin": "`, `"margin": "x`, 1)), "how", "merge")
	if a.status != http.StatusUnprocessableEntity {
		t.Errorf("a faulty book = %d", a.status)
	}
	a.has(t, "target.margin")
	// Into an empty store.
	e := visitStudio(t, false)
	a = e.sendFile("/studio/book/import", "book", "studio.json", seed.Studio(), "how", "merge")
	if a.path == "/welcome" {
		return // the way in there is the welcome page
	}
	if a.status != http.StatusOK {
		t.Errorf("into an empty store = %d: %s", a.status, plainText(a.body))
	}
}

func TestPassphraseIsChangedInPlace(t *testing.T) {
	v := visitStudio(t, true)
	const first, second = "sugar paste and patience", "four tiers of lemon"
	if a := v.post("/studio/passphrase", "new", "short", "again", "short"); a.status != http.StatusUnprocessableEntity || strings.Contains(a.body, `value="short"`) {
		t.Errorf("a short one = %d, or it was sent back", a.status)
	}
	v.post("/studio/passphrase", "new", first, "again", first).has(t, "The passphrase is set.")
	if a := v.another().get("/cakes"); !strings.HasPrefix(a.path, "/come-in") {
		t.Errorf("a stranger is at %s", a.path)
	}
	if got := v.get("/cakes").status; got != http.StatusOK {
		t.Errorf("who set it is locked out: %d", got)
	}
	if a := v.post("/studio/passphrase", "old", "wrong", "new", second, "again", second); a.status != http.StatusUnprocessableEntity {
		t.Errorf("changed without knowing it: %d", a.status)
	}
	hash, there, err := v.store.Passphrase(t.Context())
	if err != nil || !there || strings.Contains(hash, first) || !strings.HasPrefix(hash, "$argon2id$") {
		t.Errorf("kept as %q, %t, %v", hash, there, err)
	}
	v.server.Reachable = true
	if a := v.post("/studio/passphrase", "old", first, "new", "", "again", ""); a.status != http.StatusUnprocessableEntity {
		t.Errorf("taken away though others can reach it: %d", a.status)
	}
	v.server.Reachable = false
	v.post("/studio/passphrase", "old", first, "new", "", "again", "").has(t, "Nothing is asked for any more.")
	if got := v.another().get("/cakes").path; got != "/cakes" {
		t.Errorf("without a passphrase a visitor is led to %s", got)
	}
}

// TestHostileStudio: whatever the studio is called breaks no page.
func TestHostileStudio(t *testing.T) {
	v := visitStudio(t, true)
	const name = `<img src=x onerror=alert(1)> "' ` + "\u202eRTL 🎂"
	v.post("/studio/name", v.get("/studio/name").filled(t, "name", name, "address", strings.Repeat("long", 200))...).has(t, "saved")
	for _, path := range []string{"/studio", "/studio/name", "/studio/book", "/studio/backup", "/studio/letters/en/quote"} {
		if a := v.get(path); a.status != http.StatusOK || strings.Contains(a.body, "<img src=x") {
			t.Errorf("GET %s = %d, or the name is not escaped", path, a.status)
		}
	}
}

var (
	boxes        = regexp.MustCompile(`<input[^>]*?name="([^"]+)"[^>]*?value="([^"]*)"[^>]*>`)
	areas        = regexp.MustCompile(`(?s)<textarea[^>]*?name="([^"]+)"[^>]*>(.*?)</textarea>`)
	selects      = regexp.MustCompile(`(?s)<select[^>]*?name="([^"]+)"[^>]*>(.*?)</select>`)
	chosenOption = regexp.MustCompile(`<option value="([^"]*)" selected`)
)
