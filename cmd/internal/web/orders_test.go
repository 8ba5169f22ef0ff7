package web

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
)

// expect fails where an answer has another status.
func (a answer) expect(t *testing.T, status int) answer {
	t.Helper()
	if a.status != status {
		t.Fatalf("%s: %d, want %d: %s", a.path, a.status, status, plainText(a.body))
	}
	return a
}

// From an enquiry to money in the till, through the pages alone.
func TestFromEnquiryToReceipt(t *testing.T) {
	v := visitStudio(t, true)
	hostile := `<script>alert(1)</script> מרים 🎂`

	// Somebody new asks.
	v.post("/enquiries/new", "name", "", "date", "2027-06-12").expect(t, 422).has(t, "Nothing was saved yet")
	a := v.post("/enquiries/new", "name", hostile, "email", "m@example.org", "occasion", "wedding", "date", "2027-06-12", "guests", "400", "km", "24", "dietary", "two coeliacs").expect(t, 200)
	a.has(t, "is noted as E1", hostile, "Check them against the labels", "Make a quote of it")
	if strings.Contains(a.body, "<script>alert") {
		t.Fatal("a name is not escaped")
	}
	v.get("/enquiries").expect(t, 200).has(t, "wedding", "E1")

	// The builder knows what was asked.
	form := v.get("/quotes/new?enquiry=E1").expect(t, 200)
	if got := form.value(t, "event.guests"); got != "400" {
		t.Errorf("the form has %q guests, want 400", got)
	}
	base := []string{"client.name", hostile, "client.email", "m@example.org", "event.date", "2027-06-12", "event.guests", "400", "event.km", "24", "client_ref", "C1", "enquiry_ref", "E1", "count", "0"}
	with := func(more ...string) []string { return append(append([]string{}, base...), more...) }

	// Without a cake there is no price, and nothing is saved.
	v.post("/quotes/preview", with()...).expect(t, 200).has(t, "There is no price yet")
	v.post("/quotes/new", with("then", "draft")...).expect(t, 422).has(t, "a quote needs at least one")
	v.post("/quotes/new", with("then", "draft", "lines[0].cake", "no-such-cake", "lines[0].quantity", "1")...).expect(t, 422).has(t, `no cake is called "no-such-cake"`)
	v.post("/quotes/new", with("then", "draft", "lines[3].cake", "wedding-three-tier", "lines[3].quantity", "a few")...).expect(t, 422).has(t, "Nothing was saved yet", "a few")

	// Live: what the engine says, to the cent.
	want, err := quote.Price(mustBook(t, v), wantedRequest(t, `{"client":{"name":"x"},"event":{"date":"2027-06-12","km":"24","guests":400},"on":"2026-11-25","lines":[{"cake":"wedding-three-tier","quantity":2}],"discount":"5 %"}`))
	if err != nil {
		t.Fatal(err)
	}
	studio := mustBook(t, v).Book.Studio
	lines := []string{"lines[0].cake", "wedding-three-tier", "lines[0].quantity", "2", "discount", "5"}
	preview := v.post("/quotes/preview", with(lines...)...).expect(t, 200)
	preview.has(t, wordsOf(studio).amount(want.Offer.Total), wordsOf(studio).money(want.Basis.Cost), "400 guests are expected", "Room in the kitchen")
	if m, _ := want.Basis.Margin(); !strings.Contains(preview.body, wordsOf(studio).percent(m)) {
		t.Error("the preview lacks the margin")
	}

	// Save, and go on to issue.
	a = v.post("/quotes/new", with(append(lines, "then", "issue")...)...).expect(t, 200)
	a.has(t, "Issue D1?", wordsOf(studio).amount(want.Offer.Total))
	v.get("/quotes/D1").expect(t, 200).has(t, "A draft", "Answers enquiry")
	v.post("/quotes/D1/accept", "on", "2026-11-25").expect(t, 409).has(t, "is a draft; issue it first")
	v.post("/quotes/D1/issue", "version", "stale").expect(t, 409).has(t, "Nothing was issued")
	v.post("/quotes/D1/issue", "version", a.value(t, "version")).expect(t, 200).has(t, "It is issued as 2026-0002", "Open: the client may accept")
	v.get("/quotes/D1").expect(t, 200).has(t, "Quote 2026-0002")
	v.get("/enquiries/E1").has(t, "quoted", "2026-0002")
	v.get("/orders?q=marim").expect(t, 200).has(t, "Nothing under")
	v.get("/orders?q=0002").has(t, "2026-0002", hostile)

	// The letter and the calendar.
	v.post("/quotes/2026-0002/letter", "kind", "quote", "to", "m@example.org").expect(t, 200).has(t, "Nothing has gone out yet", "m@example.org", "2026-0002-A.pdf", "No mail server is named")
	v.get("/quotes/2026-0002").expect(t, 200)
	if sent, err := v.store.Sendings(t.Context(), "2026-0002"); err != nil || len(sent) != 0 {
		t.Errorf("a letter that was only looked at is noted: %v %v", sent, err)
	}
	eml := v.post("/quotes/2026-0002/letter/file", "kind", "quote", "to", "m@example.org").expect(t, 200)
	if !strings.HasPrefix(eml.header.Get("Content-Type"), "message/rfc822") || !strings.Contains(eml.body, "application/pdf") {
		t.Errorf("the letter is %q", eml.header.Get("Content-Type"))
	}
	v.post("/quotes/2026-0002/letter", "kind", "receipt", "to", "m@example.org").expect(t, 422).has(t, "never accepted")
	v.get("/quotes/2026-0002/calendar.ics").expect(t, 200).has(t, "BEGIN:VCALENDAR", "20270612")
	v.get("/quotes/2026-0002").has(t, "Letter: quote")

	// A revision: a reason is asked for, and what changes is told.
	page := v.get("/quotes/2026-0002/revise").expect(t, 200)
	version := page.value(t, "version")
	fewer := append(with("lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1", "of", "2026-0002"), "version", version)
	v.post("/quotes/preview", fewer...).expect(t, 200).has(t, "What changes")
	v.post("/quotes/2026-0002/revise", fewer...).expect(t, 422).has(t, "Say why it is revised")
	v.post("/quotes/2026-0002/revise", append(fewer, "reason", "one will do")...).expect(t, 200).has(t, "Revision B of 2026-0002 is issued", "What this revision changes", "one will do")
	v.post("/quotes/2026-0002/revise", append(fewer, "reason", "again")...).expect(t, 409).has(t, "Somebody else was here")
	v.get("/quotes/2026-0002?revision=A").expect(t, 200).has(t, "What stands is revision B")

	// An order, and money.
	v.post("/quotes/2026-0002/payments", "way", "in", "amount", "100", "on", "2026-11-25", "means", "cash").expect(t, 404)
	v.post("/quotes/2026-0002/accept", "on", "soon").expect(t, 422).has(t, "Nothing was saved yet")
	v.post("/quotes/2026-0002/accept", "on", "2026-11-25").expect(t, 200).has(t, "is an order now", "Money", "How it really went")
	v.post("/quotes/2026-0002/decline", "on", "2026-11-25").expect(t, 409).has(t, "an order is not declined but cancelled")
	for _, bad := range [][2]string{{"amount", "1.005"}, {"amount", "lots"}, {"amount", "0"}} {
		v.post("/quotes/2026-0002/payments", "way", "in", bad[0], bad[1], "on", "2026-11-25", "means", "cash").expect(t, 422)
	}
	v.post("/quotes/2026-0002/payments", "way", "back", "amount", "5", "on", "2026-11-25", "means", "cash").expect(t, 422).has(t, "refund at most what came in")
	paid := v.post("/quotes/2026-0002/payments", "way", "in", "amount", "100,50", "on", "2026-11-25", "means", "cash", "note", hostile).expect(t, 200)
	paid.has(t, "receipt R2026-0001", "Undo")
	if a := v.get("/payments/R2026-0001.pdf").expect(t, 200); !strings.HasPrefix(a.body, "%PDF") {
		t.Error("the receipt is no PDF")
	}
	v.get("/payments/R2026-0001/undo").expect(t, 200).has(t, "Take R2026-0001 back?")
	v.post("/payments/R2026-0001/undo", "note", "for another").expect(t, 200).has(t, "R2026-0001 is taken back by R2026-0002")
	v.post("/payments/R2026-0001/undo", "note", "again").expect(t, 409)
	v.get("/clients/C1").expect(t, 200).has(t, "2026-0002", "R2026-0001", "E1")
	v.get("/orders/accepted").has(t, "2026-0002")

	// Calling off tells the fee first.
	v.post("/quotes/2026-0001/cancel", "on", "2026-11-25", "reason", "x", "fee", "5").expect(t, 422).has(t, "was never accepted, so cancelling it costs the client nothing")
	order, err := v.store.Order(t.Context(), "2026-0002")
	if err != nil {
		t.Fatal(err)
	}
	fee, _ := order.Quote.CancellationFee(v.server.today())
	v.get("/quotes/2026-0002/cancel").expect(t, 200).has(t, wordsOf(studio).amount(fee), "By the terms")
	v.post("/quotes/2026-0002/cancel", "on", "2026-11-25").expect(t, 422).has(t, "Say why")
	v.post("/quotes/2026-0002/cancel", "on", "2026-11-25", "reason", "x", "fee", "999999").expect(t, 422).has(t, "more than the order comes to")
	v.post("/quotes/2026-0002/cancel", "on", "2026-11-25", "reason", "called off", "fee", "0").expect(t, 200).has(t, "Called off. It cannot be taken up again")
	v.get("/quotes/2026-0002/revise").expect(t, 409).has(t, "cancelled, for good")
	done := v.get("/quotes/2026-0002")
	for _, gone := range []string{"/quotes/2026-0002/revise", "/quotes/2026-0002/accept", "/quotes/2026-0002/decline", "/quotes/2026-0002/cancel"} {
		if strings.Contains(done.body, `"`+gone+`"`) {
			t.Errorf("a cancelled order still offers %s", gone)
		}
	}
}

func TestOptionsAndDrafts(t *testing.T) {
	v := visitStudio(t, true)
	base := []string{"client.name", "Ann Marsh", "event.date", "2027-06-12", "event.km", "24", "keep", "yes"}
	with := func(more ...string) []string { return append(append([]string{}, base...), more...) }

	// What was filled in becomes the first of three options, and nothing is saved.
	a := v.post("/quotes/new", with("count", "0", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "2", "options", "3")...).expect(t, 200)
	a.has(t, "Option 1", "Option 3", "With every option")
	if got := a.value(t, "options[0].lines[0].quantity"); got != "2" {
		t.Errorf("the first option has %q cakes, want 2", got)
	}
	a = v.post("/quotes/new", with("count", "2", "then", "draft", "options[0].name", "Large", "options[0].lines[0].cake", "wedding-three-tier", "options[0].lines[0].quantity", "1", "options[1].name", "large", "options[1].lines[2].cake", "wedding-three-tier")...).expect(t, 422)
	a.has(t, "is the name of another option too")
	a = v.post("/quotes/new", with("count", "2", "then", "draft", "options[0].name", "Large", "options[0].lines[0].cake", "wedding-three-tier", "options[0].lines[0].quantity", "2", "options[1].name", "Small", "options[1].lines[2].cake", "wedding-three-tier")...).expect(t, 200)
	a.has(t, "D1 is saved as a draft", "Large", "Small", "Undo")
	v.get("/clients/C1").expect(t, 200).has(t, "Ann Marsh", "draft D1")

	// Two people edit the draft.
	version := v.get("/quotes/D1/edit").value(t, "version")
	one := with("count", "0", "then", "draft", "version", version, "lines[0].cake", "wedding-three-tier")
	v.post("/quotes/D1/edit", one...).expect(t, 200).has(t, "D1 is saved")
	a = v.another().post("/quotes/D1/edit", append(one, "event.guests", "80")...).expect(t, 409)
	a.has(t, "Somebody else was here", "guests")

	// At the same moment too: whatever comes between what was read and what is
	// written, one of them is told.
	for round := range 5 {
		version := v.get("/quotes/D1/edit").value(t, "version")
		answers := make(chan answer)
		for i, who := range []*visitor{v, v.another()} {
			go func() {
				answers <- who.post("/quotes/D1/edit", with("count", "0", "then", "draft", "version", version, "lines[0].cake", "wedding-three-tier", "event.guests", fmt.Sprint(40+2*round+i))...)
			}()
		}
		if got := []int{(<-answers).status, (<-answers).status}; got[0]+got[1] != 200+409 {
			t.Errorf("two who save one draft at once are answered %d, want one 200 and one 409", got)
		}
	}

	// Thrown away, and back again.
	v.get("/quotes/D1/drop").expect(t, 200)
	a = v.post("/quotes/D1/drop").expect(t, 200)
	a.has(t, "is gone")
	v.post("/undo", "token", a.value(t, "token")).expect(t, 200)
	v.get("/orders/drafts").has(t, "Ann Marsh")

	// The quote that has a number is not thrown away.
	v.post("/quotes/2026-0001/drop").expect(t, 409)
	v.get("/quotes/2026-0001/edit").expect(t, 409).has(t, "revise it instead")
	v.get("/quotes/D99").expect(t, 404)
	v.get("/orders/attic").expect(t, 404)
}

// Of several options the one that the client took is gone on with.
func TestAcceptOneOfSeveral(t *testing.T) {
	v := visitStudio(t, true)
	v.post("/quotes/new", "client.name", "Ann", "event.date", "2027-06-12", "event.km", "24", "count", "2", "then", "draft", "options[0].name", "Large", "options[0].lines[0].cake", "wedding-three-tier", "options[0].lines[0].quantity", "2",
		"options[1].name", "Small", "options[1].lines[0].cake", "wedding-three-tier").expect(t, 200)
	v.post("/quotes/D1/issue").expect(t, 200)
	v.post("/quotes/2026-0002/accept", "on", "2026-11-25").expect(t, 422).has(t, "Choose the one that the client wants")
	v.post("/quotes/2026-0002/accept", "on", "2026-11-25", "option", "2").expect(t, 200).has(t, "option “Small”")
	a := v.get("/quotes/2026-0002/revise").expect(t, 200)
	if got := a.value(t, "lines[0].quantity"); got != "1" || strings.Contains(a.body, "Option 1") {
		t.Errorf("the revision begins with %q cakes, want the option that was taken", got)
	}
}

func TestClients(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/clients").expect(t, 200).has(t, "No clients yet")
	v.post("/clients/new", "name", "", "email", "nonsense").expect(t, 422).has(t, "Nothing was saved yet", "nonsense")
	v.post("/clients/new", "name", "Zoë Šimková", "email", "zoe@example.org").expect(t, 200).has(t, "is added")
	v.post("/clients/new", "name", "Zoe Simkova", "phone", "+353 87 496 0123").expect(t, 200).has(t, "Perhaps the same person")
	v.get("/clients?q=simkova").expect(t, 200).has(t, "Zoë Šimková", "Zoe Simkova")
	v.get("/clients?q=nobody").has(t, "No client has")
	v.get("/clients/doubles").expect(t, 200).has(t, "Keep C1", "Keep C2")

	version := v.get("/clients/C1").value(t, "version")
	save := func(v *visitor, version, notes string) answer {
		return v.post("/clients/C1", "version", version, "name", "Zoë Šimková", "email", "zoe@example.org", "notes", notes)
	}
	a := save(v, version, "likes figs").expect(t, 200)
	a.has(t, "is saved", "Undo")
	save(v.another(), version, "likes plums").expect(t, 409).has(t, "likes figs", "likes plums")
	v.post("/undo", "token", a.value(t, "token")).expect(t, 200)
	if c, err := v.store.Client(t.Context(), "C1"); err != nil || c.Notes.Given {
		t.Errorf("after Undo the notes are %v, %v", c.Notes, err)
	}

	v.get("/clients/C2/merge?with=C1").expect(t, 200).has(t, "cannot be undone", "+353 87 496 0123")
	v.post("/clients/C2/merge", "with", "C1").expect(t, 200).has(t, "C2 is now part of C1")
	v.get("/clients/C2").expect(t, 404).has(t, "merged into C1")
	if a := v.get("/clients/C1/export.json").expect(t, 200); !strings.Contains(a.body, "marchpane-client/1") || !strings.Contains(a.header.Get("Content-Disposition"), "attachment") {
		t.Error("the export is not a client's file")
	}
	v.get("/clients/C1/erase").expect(t, 200).has(t, "cannot be undone")
	v.post("/clients/C1/erase", "client", "yes").expect(t, 422).has(t, "Write C1 to confirm")
	v.post("/clients/C1/erase", "client", "C1").expect(t, 200).has(t, "are erased")
	v.get("/clients/C1").expect(t, 404)
}

func TestEnquiries(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/enquiries").expect(t, 200).has(t, "No enquiries yet")
	if _, err := v.store.AddClient(t.Context(), enquiry.Client{Name: "Ann"}, testNow); err != nil {
		t.Fatal(err)
	}
	v.post("/enquiries/new", "client", "C1", "guests", "ninety").expect(t, 422).has(t, "ninety")
	v.post("/enquiries/new", "client", "C1", "guests", "90", "tasting.date", "2027-03-06", "tasting.time", "14:30", "budget", "850,50").expect(t, 200).has(t, "850.50", "14:30", "Which tiers serve 90")
	version := v.get("/enquiries/E1").value(t, "version")
	a := v.post("/enquiries/E1", "version", version, "guests", "110", "received", "2026-11-25").expect(t, 200)
	a.has(t, "E1 is saved", "110")
	v.another().post("/enquiries/E1", "version", version, "guests", "70", "received", "2026-11-25").expect(t, 409)
	v.post("/undo", "token", a.value(t, "token")).expect(t, 200)
	v.get("/enquiries/E1").has(t, "90")
	v.post("/enquiries/E1/close", "why", "").expect(t, 422)
	a = v.post("/enquiries/E1/close", "why", "the date was taken").expect(t, 200)
	a.has(t, "closed on", "the date was taken", "Open it again")
	v.get("/enquiries?state=closed").has(t, "the date was taken")
	v.post("/enquiries/E1/reopen").expect(t, 200).has(t, "is open again")
	v.get("/enquiries?state=attic").expect(t, http.StatusNotFound)
}

func mustBook(t *testing.T, v *visitor) *book.Index {
	t.Helper()
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

func wantedRequest(t *testing.T, text string) quote.Request {
	t.Helper()
	r, err := quote.ReadRequest([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Whoever puts an emoji into a name is told before a client sees what the paper
// makes of it.
func TestEmojiIsToldOf(t *testing.T) {
	v := visitStudio(t, true)
	form := func(name string) []string {
		return []string{"client.name", name, "event.date", "2027-06-12", "event.km", "24", "count", "0", "then", "draft", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1"}
	}
	const said = "The paper cannot print 🎂 and shows □ instead"
	if a := v.post("/quotes/preview", form("Zoë Šimková")...).expect(t, 200); strings.Contains(a.body, "cannot print") {
		t.Error("accents are told of")
	}
	v.post("/quotes/preview", form("Zoë 🎂🎂")...).expect(t, 200).has(t, said)
	v.post("/quotes/new", form("Zoë 🎂")...).expect(t, 200).has(t, said)
	v.get("/quotes/D1/issue").expect(t, 200).has(t, said)
}
