package web

import (
	"net/url"
	"strings"
	"testing"

	"marchpane/pricing/day"
)

// accepted is a studio whose wedding was accepted, so that there is an order.
func acceptedStudio(t *testing.T) (v *visitor, number string) {
	t.Helper()
	v = visitStudio(t, true)
	list, err := v.store.Quotes(t.Context(), day.Of(testNow))
	if err != nil || len(list) == 0 {
		t.Fatalf("the demo has no quote: %v", err)
	}
	if _, err := v.store.Accept(t.Context(), list[0].Ref(), "", "", day.Of(testNow), testNow); err != nil {
		t.Fatal(err)
	}
	return v, list[0].Ref()
}

// sends sends a form.
func (v *visitor) sends(path string, form url.Values) answer {
	v.t.Helper()
	var pairs []string
	for name, values := range form {
		pairs = append(pairs, name, values[0])
	}
	return v.post(path, pairs...)
}

// shows fails where a page lacks one of some texts.
func (a answer) shows(t *testing.T, status int, texts ...string) {
	t.Helper()
	if a.status != status {
		t.Fatalf("%s: status %d, want %d: %.400s", a.path, a.status, status, plainText(a.body))
	}
	for _, text := range texts {
		if !strings.Contains(plainText(a.body), text) {
			t.Errorf("%s does not say %q:\n%s", a.path, text, plainText(a.body))
		}
	}
}

func TestAnOrderIsRecorded(t *testing.T) {
	v, number := acceptedStudio(t)
	at := "/orders/" + number + "/actuals"
	v.get(at).shows(t, 200, "What "+number+" really took", "as planned", "Nothing is recorded of this order yet", "Start: ")

	v.sends(at+"/work", url.Values{"work[0].role": {"decorator"}, "work[0].time": {"3 h 20 min"}, "work[0].as": {"worked"}, "work[0].task": {"sugar flowers"}, "work[0].who": {"<script>alert(1)</script>"}}).
		shows(t, 200, "Recorded: Cake decorator worked 3 h 20 min", "Undo", "sugar flowers", "<script>alert(1)</script>", "Time worked")
	v.sends(at+"/goods", url.Values{"goods[0].use": {"unsalted butter, 82 % fat"}, "goods[0].qty": {"200g"}, "way": {"wasted"}, "goods[0].why": {"it fell"}}).
		shows(t, 200, "200 g", "thrown away", "it fell")
	v.sends(at+"/charge", url.Values{"which": {"less"}, "amount": {"20,00"}, "note": {"an hour late"}}).
		shows(t, 200, "20.00 let off", "an hour late")

	// What makes no sense is refused at its box, with all that was typed.
	for _, c := range []struct {
		form string
		sent url.Values
		says string
	}{
		{"work", url.Values{"work[0].role": {"decorator"}, "work[0].time": {"soon"}}, "soon"},
		{"work", url.Values{"work[0].role": {"decorator"}, "work[0].time": {"1 h"}, "work[0].on": {"2027-01-01"}}, "still to come"},
		{"goods", url.Values{"goods[0].use": {"moonlight"}, "goods[0].qty": {"1 kg"}, "way": {"used"}}, "Nothing of the book is called \"moonlight\""},
		{"goods", url.Values{"goods[0].use": {"white couv"}, "goods[0].qty": {"1 kg"}, "way": {"used"}}, "Perhaps White couverture, 34 %"},
		{"goods", url.Values{"goods[0].use": {"unsalted butter, 82 % fat"}, "goods[0].qty": {"much"}, "way": {"used"}}, "much"},
		{"charge", url.Values{"which": {"less"}, "amount": {"999999.00"}}, "more than the total"},
		{"charge", url.Values{"which": {"more"}, "amount": {"0"}}, "0 says nothing"},
	} {
		before, err := v.store.ActualsOf(t.Context(), number)
		if err != nil {
			t.Fatal(err)
		}
		v.sends(at+"/"+c.form, c.sent).shows(t, 422, "Nothing was saved yet", c.says)
		after, err := v.store.ActualsOf(t.Context(), number)
		if err != nil || after.Len() != before.Len() {
			t.Errorf("refused input left %d entries of %d, %v", after.Len(), before.Len(), err)
		}
	}

	// An entry is taken back for good, after a question.
	v.get("/records/A1/back?to="+url.QueryEscape(at)).shows(t, 200, "Take A1 back?")
	v.sends("/records/A1/back", url.Values{"why": {"another cake"}, "to": {at}}).shows(t, 200, "A1 is taken back", "taken back on 25 November 2026: another cake")
	v.sends("/records/A1/back", url.Values{"to": {at}}).shows(t, 409, "already")
	v.get("/records/A1/back").shows(t, 409, "A1 was taken back on 25 November 2026 already: another cake")
	v.get("/records/A99999/back").shows(t, 404, "A99999")
}

func TestAClockRunsAndStops(t *testing.T) {
	v, number := acceptedStudio(t)
	at := "/orders/" + number + "/actuals"
	v.get("/clock").shows(t, 200, "No clock runs")
	start := url.Values{"role": {"decorator"}, "as": {"worked"}, "who": {"Ann"}}
	v.sends(at+"/clock", start).shows(t, 200, "The clock of Ann runs", "since 09:30")
	v.later()
	v.sends(at+"/clock", start).shows(t, 422, "runs for "+number+" already")
	v.get("/clock").shows(t, 200, "Ann, Cake decorator")
	v.sends("/clock/stop", url.Values{"who": {"Ann"}, "minutes": {"1:35"}, "back": {at}}).shows(t, 200, "Cake decorator worked 1 h 35 min")
	v.sends(at+"/clock", start).shows(t, 200, "runs")
	v.sends("/clock/stop", url.Values{"who": {"Ann"}, "drop": {"yes"}}).shows(t, 200, "nothing was recorded")
	v.sends("/clock/stop", url.Values{"who": {"Ann"}}).shows(t, 404)
}

func TestAMonthIsRecordedAndReported(t *testing.T) {
	v, number := acceptedStudio(t)
	v.get("/month").shows(t, 200, "November 2026", "Quotes", "Owed by clients", "Spreadsheet (XLSX)")
	v.get("/month?of=2027-06").shows(t, 200, "June 2027", number, "Cost by class", "Quotes", "Sales by tax rate")
	v.get("/month/2027").shows(t, 200, "Month by month", "June 2027")
	v.get("/month/2027-06-07..2027-06-13").shows(t, 200, number)
	v.get("/month/2001-01").shows(t, 200, "Nothing happened in January 2001")
	v.get("/month/soon").shows(t, 404)
	v.get("/month?of=soon").shows(t, 400, "neither a month")

	v.sends("/records/2026-11/overhead", url.Values{"amount": {"4180.00"}, "note": {"rent"}}).shows(t, 200, "Overhead paid", "€4,180.00", "rent")
	v.sends("/records/2026-11/energy", url.Values{"kwh": {"412"}, "amount": {"138,40"}}).shows(t, 200, "A kWh cost", "0.3359")
	v.sends("/records/2026-11/plan", url.Values{"cakes": {"14"}, "margin": {"5200"}}).shows(t, 200, "Planned margin of 14 cakes €5,200.00")
	v.sends("/records/2026-11/wage", url.Values{"role": {"decorator"}, "price": {"24.10"}, "from": {"2026-11-01"}}).shows(t, 200, "is paid €24.10 an hour from 1 November 2026")
	for _, c := range []struct {
		form string
		sent url.Values
		says string
	}{
		{"overhead", url.Values{"amount": {""}}, "says nothing"},
		{"overhead", url.Values{"amount": {"12.3456"}}, "finer than the smallest coin"},
		{"overhead", url.Values{"amount": {"12.345"}}, "may be 12345"},
		{"energy", url.Values{}, "says nothing"},
		{"energy", url.Values{"kwh": {"many"}}, "many"},
		{"plan", url.Values{"cakes": {"14"}}, "enter both"},
		{"plan", url.Values{"cakes": {"0"}}, "at least one"},
		{"wage", url.Values{"role": {"decorator"}, "price": {"x"}}, "x"},
	} {
		v.sends("/records/2026-11/"+c.form, c.sent).shows(t, 422, "Nothing was saved yet", c.says)
	}
}

func TestAnInvoiceIsEntered(t *testing.T) {
	v := visitStudio(t, true)
	invoice := url.Values{
		"supplier": {"Dairy round"}, "invoice": {"123"}, "on": {"2026-11-24"},
		"bought[0].use": {"Unsalted butter, 82 % fat"}, "bought[0].packs": {"2"}, "bought[0].pack": {"5 kg"}, "bought[0].price": {"41,20"},
		"bought[3].use": {"Lemon, for juice and zest"}, "bought[3].packs": {"1"}, "bought[3].pack": {"5 kg"}, "bought[3].price": {"12.90"},
	}
	bad := url.Values{}
	for key, values := range invoice {
		bad[key] = values
	}
	bad["bought[3].use"] = []string{"moonlight"}
	v.sends("/purchases", bad).shows(t, 422, "Nothing of the book is called", "Nothing was saved yet")
	v.sends("/purchases", url.Values{}).shows(t, 422, "Nothing is filled in")
	invoice["bought[3].use"] = []string{"lemon"}
	v.sends("/purchases", invoice).shows(t, 200, "bought Unsalted butter, 82 % fat, 2 packs of 5 kg at €41.20 each", "invoice 123", "€8.24 a kg, and was €11.58 a kg (−28.8%); was that the pack and its price?", "added to the book")
	v.later()
	v.sends("/purchases", invoice).shows(t, 422, "is recorded already")
}

func TestTheKitchenIsPlanned(t *testing.T) {
	v, number := acceptedStudio(t)
	days := "?from=2027-06-07&to=2027-06-13"
	v.get("/kitchen").shows(t, 200, "No cake to make")
	v.get("/kitchen"+days).shows(t, 200, number, "Latest safe start", "Recipe cards", "Cake decorator")
	v.get("/kitchen/cards"+days).shows(t, 200, "1 batch", "Vanilla")
	v.get("/kitchen"+days+"&handover=noon").shows(t, 422, "no time of day")
	v.get("/kitchen?from=2027-06-13&to=2027-06-07").shows(t, 422, "name the first day and then the last")
	v.get("/shopping").shows(t, 200, "No order to shop for")
	v.get("/shopping"+days).shows(t, 200, "Whole packs", number, "Unsalted butter")
	v.get("/shopping"+days+"&stock=yes").shows(t, 200, "On hand", "Unsalted butter, 82 % fat")
	v.get("/shopping"+days+"&have.butter=1000kg").shows(t, 200, "On hand", "Unsalted butter, 82 % fat")
	v.get("/shopping"+days+"&have.butter=lots").shows(t, 422, "lots")
	for path, kind := range map[string]string{
		"/shopping/list.pdf" + days: "%PDF", "/shopping/list.xlsx" + days: "PK", "/shopping/list.csv" + days: "", "/kitchen/plan.pdf" + days: "%PDF", "/kitchen/plan.ics" + days: "BEGIN:VCALENDAR",
		"/month/2027-06/report.pdf": "%PDF", "/month/2027-06/report.xlsx": "PK", "/month/2027-06/report.json": "{",
	} {
		a := v.get(path)
		if a.status != 200 || !strings.HasPrefix(a.body, kind) || !strings.Contains(a.header.Get("Content-Disposition"), "filename=") {
			t.Errorf("%s: status %d, %q, begins %.20q", path, a.status, a.header.Get("Content-Disposition"), a.body)
		}
	}
	for _, path := range []string{"/shopping/list.exe", "/kitchen/plan.xlsx", "/month/2027-06/report.doc", "/month/2027-06/other.pdf"} {
		if a := v.get(path + days); a.status != 404 {
			t.Errorf("%s: status %d, want 404", path, a.status)
		}
	}
}

func TestHoursAreStated(t *testing.T) {
	v := visitStudio(t, true)
	first := v.get("/kitchen/hours")
	first.shows(t, 200, "Nothing is stated yet", "Cake decorator", "Work begins")
	sent := url.Values{"version": {first.value(t, "version")}, "opens": {"7:30"}, "closes": {"17:00"}, "works.2": {"yes"}, "works.6": {"yes"}, "closed": {"2026-12-24..2027-01-03"}, "hours.decorator.2": {"14"}, "hours.decorator.6": {"7,5"}, "hours.decorator.on": {"2027-06-12=16"}}
	v.sends("/kitchen/hours", sent).shows(t, 200, "The hours are saved", "Undo")
	c, stated, err := v.store.Capacity(t.Context())
	if h := c.Roles["decorator"]; err != nil || !stated || c.Opens != 450 || !c.Works[2] || c.Works[1] || h.Week[2] != 840 || h.Week[6] != 450 || h.On[day.Must("2027-06-12")] != 960 || len(c.Closed) != 11 {
		t.Errorf("capacity %+v, %t, %v", c, stated, err)
	}
	sent["opens"] = []string{"9:00"}
	v.sends("/kitchen/hours", sent).shows(t, 409, "Somebody else was here")
	delete(sent, "version")
	for name, value := range map[string]string{"opens": "dawn", "closed": "Easter", "hours.decorator.2": "plenty", "hours.decorator.on": "2027-06-12"} {
		bad := url.Values{}
		for key, values := range sent {
			bad[key] = values
		}
		bad.Set(name, value)
		v.sends("/kitchen/hours", bad).shows(t, 422, "Nothing was saved yet")
	}
	v.sends("/kitchen/hours/usual", url.Values{}).shows(t, 200, "The usual hours hold again", "Nothing is stated yet")
}
