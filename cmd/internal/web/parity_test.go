package web

import (
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// "Is there room on the 11th?" is answered in the words of the command.
func TestRoomOnADay(t *testing.T) {
	v, number := acceptedStudio(t)
	v.get("/kitchen").has(t, `href="/kitchen/hours#room"`)
	v.get("/kitchen/hours").shows(t, 200, "Is there room on a day?")
	before := v.get("/kitchen/hours?date=2027-06-11")
	before.shows(t, 200, "The room on that day", "11 June 2027:", number, "taken")

	// With hours stated, the same day says of how many, and that they are too few.
	v.post("/kitchen/hours", "opens", "8:00", "closes", "18:00", "works.1", "yes", "works.2", "yes", "works.3", "yes", "works.4", "yes", "works.5", "yes", "works.6", "yes", "hours.decorator.1", "0:10", "hours.decorator.2", "0:10", "hours.decorator.3", "0:10", "hours.decorator.4", "0:10", "hours.decorator.5", "0:10", "hours.decorator.6", "0:10")
	v.get("/kitchen/hours?date=2027-06-11").shows(t, 200, "10 min taken", "too much")
	v.get("/kitchen/hours?date=2027-06-13").shows(t, 200, "the studio is closed")
	bad := v.get("/kitchen/hours?date=the+12th")
	bad.shows(t, 200, "12th")
	bad.has(t, `id="f-date-fault"`)
}

func TestEnquiryAsksForRoom(t *testing.T) {
	v := visitStudio(t, true)
	c, err := v.store.AddClient(t.Context(), enquiry.Client{Name: "Zoë Šimková"}, testNow)
	if err != nil {
		t.Fatal(err)
	}
	e, err := v.store.AddEnquiry(t.Context(), enquiry.Enquiry{Client: c.Ref, Received: day.Of(testNow), Date: day.Must("2027-06-12"), Guests: record.Some(80)})
	if err != nil {
		t.Fatal(err)
	}
	v.get("/enquiries/"+e.Ref).has(t, `href="/kitchen/hours?date=2027-06-12#room"`, "/request.json")

	// Its request is a file that the form of a new quote reads again.
	file := v.get("/enquiries/" + e.Ref + "/request.json")
	file.shows(t, 200, `"guests": 80`, `"lines": []`)
	filled := v.sendFile("/quotes/new/file", "request", "request.json", []byte(file.body))
	filled.expect(t, http.StatusOK).has(t, `value="Zoë Šimková"`, `value="2027-06-12"`, `value="80"`)
}

// A first price may name its supplier, its day and the tax in it, as
// `ingredient add --supplier --from --tax-in` does.
func TestNewIngredientWithItsSupplier(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/prices/new").has(t, `name="prices[0].supplier"`, `name="prices[0].from"`, `name="prices[0].tax_in"`)
	v.post("/prices/new", "name", "House praline", "measure", "mass", "prices[0].pack", "2 kg", "prices[0].price", "31,50", "prices[0].supplier", "Nut & Co <b>", "prices[0].from", "2026-12-01", "prices[0].tax_in", "5", "like", "-").expect(t, 200)
	b := v.book()
	for _, ing := range b.Ingredients {
		if ing.Name != "House praline" {
			continue
		}
		if len(ing.Prices) != 1 {
			t.Fatalf("prices = %v, want one", ing.Prices)
		}
		p := ing.Prices[0]
		if p.Supplier.Value != "Nut & Co <b>" || p.From != day.Must("2026-12-01") || p.TaxIn.Value.String() != "5 %" || p.Price.String() != "31.50" {
			t.Errorf("the price is %v of %v with tax %v from %q", p.Price, p.From, p.TaxIn.Value, p.Supplier.Value)
		}
		// Without them it holds from today, as the command has it.
		v.post("/prices/new", "name", "Plain praline", "measure", "mass", "prices[0].pack", "2 kg", "prices[0].price", "30", "like", "-").expect(t, 200)
		for _, plain := range v.book().Ingredients {
			if plain.Name == "Plain praline" && (plain.Prices[0].From != day.Of(testNow) || plain.Prices[0].Supplier.Given || plain.Prices[0].TaxIn.Given) {
				t.Errorf("without a day the price is from %v", plain.Prices[0].From)
			}
		}
		bad := v.post("/prices/new", "name", "Odd praline", "measure", "mass", "prices[0].pack", "2 kg", "prices[0].price", "30", "prices[0].from", "soon", "prices[0].tax_in", "200", "like", "-")
		bad.expect(t, http.StatusUnprocessableEntity)
		if n := strings.Count(bad.body, `-fault"`); n < 2 {
			t.Errorf("a bad day and a bad tax mark %d boxes, want 2", n)
		}
		return
	}
	t.Fatal("it was not added")
}

// What the tables call otherwise is looked up by other words, as with --like.
func TestLookedUpByOtherWords(t *testing.T) {
	v := visitStudio(t, true)
	for lookup, want := range map[string]bool{"": false, "strawberries": true} {
		body := v.post("/prices/new/known", "name", "Qzxv number nine", "lookup", lookup, "measure", "mass").body
		if found := strings.Contains(body, "as for "); found != want {
			t.Errorf("looked up as %q, found = %t: %.300s", lookup, found, body)
		}
	}
	v.post("/prices/new", "name", "Qzxv number nine", "lookup", "strawberries", "like", "strawberries", "measure", "mass").expect(t, 200)
}

// Whether an open quote has lapsed by another day follows from its dates.
func TestQuoteOnAnotherDay(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/quotes/2026-0001").has(t, "Has it lapsed by")
	v.get("/quotes/2026-0001?on=2028-01-01").has(t, "On 1 January 2028: Lapsed")
	v.get("/quotes/2026-0001?on=soon").has(t, `-fault"`)
}

// A plan as of a day on which its work should have begun says so.
func TestPlanOnAnotherDay(t *testing.T) {
	v, _ := acceptedStudio(t)
	at := "/kitchen?from=2027-06-01&to=2027-06-30"
	if strings.Contains(v.get(at).body, "would have had to begin") {
		t.Error("half a year ahead it is too late")
	}
	v.get(at+"&on=2027-06-12").has(t, `value="2027-06-12"`, "begin")
	v.get(at+"&on=soon").expect(t, http.StatusUnprocessableEntity).has(t, `id="f-on-fault"`)
}

// The paper of a quote can be had on another size, and the page shows it so.
func TestPaperOfAQuote(t *testing.T) {
	v := visitStudio(t, true)
	plain := v.get("/quotes/2026-0001")
	plain.has(t, `src="/quotes/2026-0001/A.pdf"`, `name="paper"`)
	if strings.Contains(plain.body, `name="mark"`) {
		t.Error("a quote that stands asks what is to stand across it")
	}
	v.get("/quotes/2026-0001?paper=letter").has(t, `src="/quotes/2026-0001/A.pdf?paper=letter"`)
	// What a sheet measures is in the file: 612 × 792 points are 8½ × 11 inches.
	for query, box := range map[string]string{"": "595.28 841.89", "?paper=a4": "595.28 841.89", "?paper=letter": "612.00 792.00"} {
		if body := v.get("/quotes/2026-0001/A.pdf" + query).body; !strings.Contains(body, box) {
			t.Errorf("the paper %q does not measure %s", query, box)
		}
	}
	// What lapsed says so, unless it is wanted as it was issued.
	if _, err := v.store.Decline(t.Context(), "2026-0001", "", day.Of(testNow), testNow); err != nil {
		t.Fatal(err)
	}
	v.get("/quotes/2026-0001?mark=no").has(t, `name="mark"`, `src="/quotes/2026-0001/A.pdf?mark=no"`)
	if v.get("/quotes/2026-0001/A.pdf?paper=a4").body == v.get("/quotes/2026-0001/A.pdf?paper=a4&mark=no").body {
		t.Error("the paper of a declined quote is the same with its mark and without")
	}
}

func TestStacksAreDrawn(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/cakes/tiers?guests=90").has(t, `href="/cakes/tiers/stacks.svg?guests=90"`)
	a := v.get("/cakes/tiers/stacks.svg?guests=90").expect(t, 200)
	dec := xml.NewDecoder(strings.NewReader(a.body))
	for {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("the drawing is no XML: %v", err)
		}
	}
	a.has(t, "<svg", "serves")
	v.get("/cakes/tiers/stacks.svg?guests=many").expect(t, http.StatusUnprocessableEntity)
}

func TestDaysOfAReport(t *testing.T) {
	v, _ := acceptedStudio(t)
	v.get("/month/2026-11").has(t, `name="from"`, `value="2026-11-01"`, `name="to"`, `value="2026-11-30"`)
	if a := v.get("/month?from=2026-10-05&to=2026-10-20"); a.path != "/month/2026-10-05..2026-10-20" {
		t.Errorf("the days lead to %s", a.path)
	}
	// Days that are whole months are called so, and lead to a page.
	v.get("/month?from=2026-10-01&to=2026-11-30").shows(t, 200, "October 2026 to November 2026")
	for query, box := range map[string]string{"from=2026-10-20&to=2026-10-05": "to-fault", "from=&to=2026-10-05": "from-fault", "from=soon&to=2026-10-05": "from-fault", "from=2016-10-20&to=2026-10-05": "to-fault"} {
		v.get("/month?"+query).expect(t, http.StatusUnprocessableEntity).has(t, `id="f-`+box+`"`)
	}
}

// A request goes out as a file and fills the form again; nothing is saved by that.
func TestRequestFiles(t *testing.T) {
	v := visitStudio(t, true)
	file := v.get("/quotes/2026-0001/request.json").expect(t, 200).body
	request, err := quote.ReadRequest([]byte(file))
	if err != nil {
		t.Fatalf("the file cannot be read again: %v", err)
	}
	v.get("/quotes/2026-0001").has(t, "/quotes/2026-0001/request.json?revision=A")
	v.get("/quotes/new").has(t, `action="/quotes/new/file"`, `type="file"`)
	before := v.edition()
	v.sendFile("/quotes/new/file", "request", "r.json", []byte(file)).expect(t, 200).
		has(t, `action="/quotes/new"`, `value="`+request.Event.Date.String()+`"`, string(request.Cakes()[0]))
	v.sendFile("/quotes/2026-0001/revise/file", "request", "r.json", []byte(file)).expect(t, 200).has(t, `action="/quotes/2026-0001/revise"`, `name="reason"`)

	// What is wrong is told beside its box; what is no request, beside the file's.
	bad := `{"client": {"name": "<script>alert(1)</script>"}, "event": {"date": "2027-06-12", "km": "far"}, "lines": [{"cake": "no-such-cake", "quantity": 1}]}`
	wrong := v.sendFile("/quotes/new/file", "request", "r.json", []byte(bad)).expect(t, 422)
	wrong.has(t, `-fault"`, "no-such-cake", "far")
	if strings.Contains(wrong.body, "<script>alert") {
		t.Error("what a file says is not escaped")
	}
	for _, junk := range []string{"", "no json", "[1]", `{"ingredients": []}`, "{}", "{} {}"} {
		v.sendFile("/quotes/new/file", "request", "r.json", []byte(junk)).expect(t, 422).has(t, `id="f-request-fault"`)
	}
	if v.edition() != before {
		t.Error("filling in the form wrote to the store")
	}
}
