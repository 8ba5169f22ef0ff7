package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"marchpane/seed"
)

// state is a page that no address shows by itself: it comes after something was
// done, or in a studio that stands otherwise than the demo's.
type state struct {
	name string
	answer
}

// states are such pages. What is here is looked at as [samplePages] are.
func states(t *testing.T) []state {
	t.Helper()
	var all []state
	add := func(name string, status int, a answer) answer {
		t.Helper()
		if a.status != status {
			t.Errorf("%s: %d, want %d: %.600s", name, a.status, status, plainText(a.body))
		}
		all = append(all, state{name, a})
		return a
	}
	v := visitStudio(t, true)

	// Things sent in.
	add("the rows of a price list", 200, v.sendFile("/prices/import", "list", "list.csv", []byte(supplierList), "supplier", "Marsh & Daughter"))
	add("a price list of nobody", 200, v.sendFile("/prices/import", "list", "list.csv", []byte(supplierList)))
	add("a price list that cannot be read", 422, v.sendFile("/prices/import", "list", "list.csv", []byte("nonsense\n")))
	add("what a backup holds", 200, v.sendFile("/studio/restore", "backup", "studio.db", backupOf(t)))
	add("no backup", 422, v.sendFile("/studio/restore", "backup", "studio.db", []byte("SQLite format 3\x00 or so")))
	add("what a book would change", 200, v.sendFile("/studio/book/import", "book", "studio.json", []byte(strings.Replace(string(seed.Studio()), `"name": "Unsalted`, `"name": "Salted`, 1)), "how", "replace"))
	add("a book with faults", 422, v.sendFile("/studio/book/import", "book", "studio.json", over200(`{"format":"marchpane-book/1","ingredients":[`, `{"id":"a a"},`, `{}]}`)))
	add("what an invoice would record", 200, v.sendFile("/purchases/file", "file", "invoice.csv", []byte("ingredient,packs,pack,price\nbutter,2,5 kg,41.20\n"), "supplier", "Dairy round", "invoice", "7", "on", "2026-11-24"))
	add("a recipe that was read", 200, v.sendFile("/recipes/read", "file", "", nil, "text", "Lemon curd\n\n4 lemons\n200 g caster sugar\n100g butter, cubed\n3 eggs and 1 yolk\na pinch of salt\nsome glitter"))

	// Faults beside their boxes.
	add("faults of an ingredient", 422, v.post("/prices/new", "name", "", "kind", "ingredient", "measure", "mass", "density", "heavy", "trim_yield", "250", "prices[0].pack", "3 litres", "prices[0].price", "abc", "prices[0].from", "2026-02-30"))
	add("faults of a price", 422, v.post("/prices/butter/price", "price", "abc", "pack", "3 litres", "from", "2026-02-30", "tax_in", "x"))
	add("faults of a recipe", 422, v.post("/recipes/new", "name", "", "lines", "100 g Unsalted butter, 82 % fat\na lot of nothing\n5 furlongs sugar", "yield", "much", "kind", "filling", "bake_loss", "120"))
	add("faults of a cake", 422, v.post("/cakes/new", "name", "", "portions", "many", "tiers[0].shape", "round", "tiers[0].diameter", "wide", "tiers[0].height", "-3 mm", "parts[0].use", "nobody has this", "parts[0].amount", "250g"))
	add("faults of a quote", 422, v.post("/quotes/new", "client.name", "", "client.email", "no address", "event.date", "2027-02-30", "event.km", "far", "count", "0", "lines[0].cake", "no-such-cake", "lines[0].quantity", "a few", "discount", "500", "then", "draft"))
	add("faults of a client", 422, v.post("/clients/new", "name", "", "email", "no address", "phone", "1"))
	add("faults of an enquiry", 422, v.post("/enquiries/new", "name", "", "date", "2027-02-30", "guests", "some"))
	add("faults of the charging", 422, v.post("/studio/charging", "version", v.get("/studio/charging").value(t, "version"), "tax.rate", "a lot", "target.margin", "120"))

	// Somebody else was here.
	version := ""
	for _, f := range formsOf(t, v.get("/prices/butter").body) {
		if f.action == "/prices/butter" {
			version = f.values.Get("version")
		}
	}
	edit := func(name string) answer {
		return v.post("/prices/butter", "version", version, "name", name, "kind", "ingredient", "category", "dairy", "measure", "mass", "density", "", "each", "", "trim_yield", "", "supplier", "")
	}
	add("a notice with its undo", 200, edit("Butter"))
	add("what two people changed", 409, edit("Butter, salted"))

	// Refusals.
	add("in use", 409, v.post("/prices/butter/remove"))
	add("nothing to take back", 409, v.post("/undo", "token", "none"))
	add("a file that is gone", 409, v.post("/studio/restore/apply", "file", "none", "sure", "yes"))
	add("from another site", 403, answerOf(v.ask("POST", "/look", strings.NewReader("look=dark"), "Content-Type", formKind, "Origin", "https://cakes.example")))
	add("too large", 413, v.post("/look", "look", "dark", "back", strings.Repeat("x", bodyLimit)))
	add("no such quote", 404, v.get("/quotes/1999-0001"))
	closed, _ := closedStudio(t)
	add("not the passphrase", 422, closed.post("/come-in", "passphrase", "cake"))
	for range freeTries {
		closed.post("/come-in", "passphrase", "cake")
	}
	add("too many passphrases", 429, closed.post("/come-in", "passphrase", "cake"))
	add("not signed in", 401, closed.post("/prices/butter/remove"))

	// Quotes on their way.
	quote := []string{"client.name", "Ann Marsh", "client.email", "ann@example.org", "event.date", "2027-06-12", "event.km", "24", "count", "0", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1", "then", "draft"}
	add("a draft", 200, v.post("/quotes/new", quote...))
	add("a draft being edited", 200, v.get("/quotes/D1/edit"))
	add("a draft to be issued", 200, v.get("/quotes/D1/issue"))
	v.post("/quotes/2026-0001/accept", "on", "2026-11-25").expect(t, 200)
	add("faults of a payment", 422, v.post("/quotes/2026-0001/payments", "way", "in", "amount", "some", "on", "2027-02-30", "means", "cash"))
	paid := v.post("/quotes/2026-0001/payments", "way", "in", "amount", "250", "on", "2026-11-25", "means", "cash", "note", "at the tasting")
	add("an accepted order with a payment", 200, paid)
	add("a receipt to be read", 200, v.post("/quotes/2026-0001/letter", "kind", "receipt", "to", "ann@example.org"))
	v.post("/records/2026-11/overhead", "amount", "321.00").expect(t, 200)
	add("an entry to be taken back", 200, v.get("/records/A1/back"))

	// The demo, and a studio that has just begun.
	fresh := visitStudio(t, false)
	add("faults of a new studio", 422, fresh.post("/welcome", "name", "", "currency", "XXQ", "locale", "en-GB", "tax.rate", "a lot", "target.margin", "120"))
	add("a book to begin with", 200, fresh.sendFile("/welcome/file", "file", "studio.json", seed.Studio()))
	fresh.post("/demo").expect(t, 200)
	add("in the demo", 200, fresh.get("/prices"))
	fresh.post("/demo/leave")
	add("a studio that has begun", 200, fresh.post("/welcome", "name", "Tier & Crumb", "currency", "EUR", "locale", "en-IE", "tax.rate", "13,5", "target.margin", "35"))
	for _, path := range []string{
		"/", "/prices", "/recipes", "/cakes", "/cakes/new", "/cakes/tiers", "/orders", "/orders/all", "/clients", "/enquiries", "/payments", "/payments/coming", "/quotes/new", "/what-if", "/what-if/reprice", "/what-if/exposure",
		"/month", "/month/2026-11", "/records/2026-11", "/purchases", "/shopping", "/kitchen", "/kitchen/hours", "/clock", "/studio", "/studio/roles", "/studio/equipment", "/studio/tins", "/studio/energy", "/studio/overhead", "/studio/extras", "/search?q=butter",
	} {
		add("empty: "+path, 200, fresh.get(path))
	}

	// Whatever people type.
	long := visitStudio(t, true)
	for i, name := range []string{strings.Repeat("Baumkuchenspitzen", 11), `"><script>alert(1)</script>` + strings.Repeat("<b>", 40), "\u202eكعكة الزفاف " + strings.Repeat("عرس", 55), strings.Repeat("🎂👩🏽‍🍳", 30)} {
		long.post("/prices/new", "name", name, "kind", "ingredient", "measure", "mass", "category", name, "prices[0].pack", "100g", "prices[0].price", "12,50").expect(t, 200)
		long.post("/clients/new", "name", name, "email", fmt.Sprintf("%d@example.org", i), "notes", name, "address", name).expect(t, 200)
		long.post("/enquiries/new", "name", name, "email", fmt.Sprintf("%d@example.org", i), "occasion", name, "date", "2027-06-12", "guests", "40").expect(t, 200)
		long.post("/recipes/new", "name", name, "lines", "100 g Unsalted butter, 82 % fat", "yield", "1 kg").expect(t, 200)
		long.post("/cakes/new", "name", name, "portions", "12", "parts[0].use", "butter", "parts[0].amount", "250g").expect(t, 200)
		long.post("/quotes/new", "client.name", name, "event.date", "2027-06-12", "event.km", "24", "event.place", name, "event.title", name, "count", "0", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1", "then", "draft").expect(t, 200)
	}
	for _, path := range []string{"/", "/prices", "/recipes", "/cakes", "/orders", "/orders/drafts", "/clients", "/clients/C1", "/enquiries", "/enquiries/E1", "/enquiries/E3", "/quotes/D1", "/quotes/D3", "/quotes/D1/edit", "/search?q=baum"} {
		add("long names: "+path, 200, long.get(path))
	}
	for _, o := range long.book().Ingredients {
		if strings.HasPrefix(o.Name, "Baum") || strings.Contains(o.Name, "script") {
			add("long names: "+ingredients.at(o.ID), 200, long.get(ingredients.at(o.ID)))
			add("long names: remove", 200, long.get(ingredients.at(o.ID)+"/remove"))
		}
	}
	for _, o := range long.book().Cakes {
		if strings.HasPrefix(o.Name, "Baum") {
			add("long names: "+cakes.at(o.ID), 200, long.get(cakes.at(o.ID)))
		}
	}
	for _, o := range long.book().Components {
		if strings.HasPrefix(o.Name, "Baum") {
			add("long names: "+components.at(o.ID), 200, long.get(components.at(o.ID)))
		}
	}
	return all
}

// over200 is a head, a text 200 times, and a tail.
func over200(head, text, tail string) []byte { return []byte(head + strings.Repeat(text, 200) + tail) }

// answerOf makes an answer of one that went to no browser.
func answerOf(w *httptest.ResponseRecorder) answer {
	return answer{w.Code, w.Header(), w.Body.String(), "/"}
}

// stateServer shows states to a browser, each at an address of its own and with
// all that a page loads.
func stateServer(t *testing.T, list []state) (urls []string) {
	t.Helper()
	v := visitStudio(t, true)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var i int
		if n, err := fmt.Sscanf(r.URL.Path, "/state/%d", &i); err != nil || n != 1 || i >= len(list) {
			v.server.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Security-Policy", list[i].header.Get("Content-Security-Policy"))
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, list[i].body)
	}))
	t.Cleanup(server.Close)
	at, err := url.Parse(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	v.server.Hosts = append(v.server.Hosts, at.Host)
	for i := range list {
		urls = append(urls, fmt.Sprintf("%s/state/%d", server.URL, i))
	}
	return urls
}

// TestStates: those pages keep to their policy and their weight as all others do.
func TestStates(t *testing.T) {
	for _, s := range states(t) {
		if got := s.header.Get("Content-Security-Policy"); got != policy {
			t.Errorf("%s: the policy is %q", s.name, got)
		}
		if found := refusedByPolicy.FindString(s.body); found != "" {
			t.Errorf("%s has %q, which its policy refuses", s.name, found)
		}
		if strings.Count(s.body, "<h1") != 1 {
			t.Errorf("%s has %d headings of the first level", s.name, strings.Count(s.body, "<h1"))
		}
		if len(s.body) > 150_000 {
			t.Errorf("%s is %d bytes of HTML", s.name, len(s.body))
		}
	}
}
