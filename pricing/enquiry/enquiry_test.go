package enquiry_test

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
)

const wholeClient = `{"name":"Zoë Šimková","email":"zoe@example.com","phone":"+353 1 496 0123","address":"1 Mill Lane\nHarrowgate","language":"cs",` +
	`"dietary":"no nuts","notes":"met at the fair"}`

const wholeEnquiry = `{"client":"C1","received":"2026-11-25","occasion":"wedding","date":"2027-06-12","venue":"The Old Barn","km":"24",` +
	`"guests":90,"budget":"850.00","dietary":"two coeliacs","wishes":"ivory, figs","tasting":{"date":"2027-03-06","time":"14:30"}}`

// What is read is written back as it was.
func TestFilesReadBack(t *testing.T) {
	c, err := enquiry.ReadClient([]byte(wholeClient))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := json.Marshal(c); err != nil || string(got) != wholeClient {
		t.Errorf("the client is written back as %s, %v", got, err)
	}
	for _, text := range []string{wholeEnquiry, `{"client":"C1"}`} {
		e, err := enquiry.ReadEnquiry([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := json.Marshal(e); err != nil || string(got) != text {
			t.Errorf("%s is written back as %s, %v", text, got, err)
		}
	}
}

// TestClientFaults wants faults at these paths, and no others. Addresses of
// email are those of RFC 5322 and 6532.
func TestClientFaults(t *testing.T) {
	long := strings.Repeat("x", 201)
	for _, test := range []struct{ text, paths string }{
		{`{"name":"A"}`, ""},
		{`{"name":"A","email":"zoë@exämple.com","phone":"0123 / 45-67 ext. 8","language":"pt-BR"}`, ""},
		{`{}`, "name"},
		{`{"name":" "}`, "name"},
		{`{"name":"A\nB"}`, "name"},
		{`{"name":"` + long + `"}`, "name"},
		{`{"name":"A","email":"zoe"}`, "email"},
		{`{"name":"A","email":"Zoe <zoe@example.com>"}`, "email"},
		{`{"name":"A","email":"zoe@example.com, max@example.com"}`, "email"},
		{`{"name":"A","email":""}`, "email"},
		{`{"name":"A","phone":"call me"}`, "phone"},
		{`{"name":"A","phone":"12"}`, "phone"},
		{`{"name":"A","language":"English please"}`, "language"},
		{`{"name":"A","tel":"1"}`, "tel"},
		{`{"name":"","email":"?","phone":"?","language":"?"}`, "name email phone language"},
	} {
		_, err := enquiry.ReadClient([]byte(test.text))
		if got := paths(t, err); got != test.paths {
			t.Errorf("ReadClient(%.60s) has faults at %q, want %q (%v)", test.text, got, test.paths, err)
		}
	}
}

func TestEnquiryFaults(t *testing.T) {
	for _, test := range []struct{ text, paths string }{
		{`{"client":"C1","date":"2027-06-12"}`, ""},
		{`{}`, "client"},
		{`{"client":""}`, "client"},
		{`{"client":"C1","date":"12.6.2027"}`, "date"},
		{`{"client":"C1","received":"2027-06-13","date":"2027-06-12"}`, "date"},
		{`{"client":"C1","guests":0}`, "guests"},
		{`{"client":"C1","guests":100001}`, "guests"},
		{`{"client":"C1","guests":"90"}`, "guests"},
		{`{"client":"C1","budget":"-5"}`, "budget"},
		{`{"client":"C1","budget":"1,000"}`, "budget"},
		{`{"client":"C1","budget":850}`, "budget"},
		{`{"client":"C1","km":"24 km"}`, "km"},
		{`{"client":"C1","tasting":{}}`, "tasting.date"},
		{`{"client":"C1","tasting":{"date":"2027-03-06","time":"2 pm"}}`, "tasting.time"},
		{`{"client":"C1","date":"2027-06-12","tasting":{"date":"2027-06-13"}}`, "tasting.date"},
		{`{"client":"C1","received":"2027-03-07","tasting":{"date":"2027-03-06"}}`, "tasting.date"},
		{`{"client":"C1","venue":"a\tb","occasion":"a\nb"}`, "occasion venue"},
	} {
		_, err := enquiry.ReadEnquiry([]byte(test.text))
		if got := paths(t, err); got != test.paths {
			t.Errorf("ReadEnquiry(%s) has faults at %q, want %q (%v)", test.text, got, test.paths, err)
		}
	}
}

func paths(t *testing.T, err error) string {
	t.Helper()
	if err == nil {
		return ""
	}
	faults, ok := err.(record.Faults)
	if !ok {
		t.Fatalf("%v is no list of faults", err)
	}
	var list []string
	for _, f := range faults {
		list = append(list, f.Path)
	}
	return strings.Join(list, " ")
}

func TestParseClock(t *testing.T) {
	for in, want := range map[string]int{"00:00": 0, "09:05": 545, "14:30": 870, "23:59": 1439} {
		if c, err := enquiry.ParseClock(in); err != nil || c.Minutes() != want || c.String() != in {
			t.Errorf("ParseClock(%q) = %s of %d minutes, %v, want %d", in, c, c.Minutes(), err, want)
		}
	}
	for _, in := range []string{"", "9:05", "24:00", "12:60", "12.30", "-1:00", "+1:00", "1_:00", "12:3０", "noon", "12:30:00"} {
		if c, err := enquiry.ParseClock(in); err == nil {
			t.Errorf("ParseClock(%q) = %s, want an error", in, c)
		}
	}
}

// TestRequest: a quote's request has all that the enquiry and the client say.
func TestRequest(t *testing.T) {
	c, errC := enquiry.ReadClient([]byte(wholeClient))
	e, errE := enquiry.ReadEnquiry([]byte(wholeEnquiry))
	if errC != nil || errE != nil {
		t.Fatal(errC, errE)
	}
	got, err := json.Marshal(e.Request(c, day.Must("2026-11-26")))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"client":{"name":"Zoë Šimková","email":"zoe@example.com","phone":"+353 1 496 0123","address":"1 Mill Lane\nHarrowgate"},` +
		`"event":{"date":"2027-06-12","venue":"The Old Barn","km":"24","guests":90},"on":"2026-11-26","language":"cs"}`
	if string(got) != want {
		t.Errorf("Request = %s, want %s", got, want)
	}
	if needs := e.Needs(); len(needs) > 0 {
		t.Errorf("Needs = %v, want none", needs)
	}
	e.Date = day.Date{}
	if needs := e.Needs(); len(needs) != 1 || needs[0].Path != "date" {
		t.Errorf("Needs without a day = %v, want one at date", needs)
	}
}

func TestAbsorb(t *testing.T) {
	c := enquiry.Client{Name: "Zoë Šimková", Email: record.Some("zoe@example.com"), Notes: record.Some("")}
	other := enquiry.Client{Name: "Simkova, Z.", Email: record.Some("z@example.com"), Phone: record.Some("01 496 0123"), Notes: record.Some("figs")}
	whole, left := c.Absorb(other)
	if whole.Name != c.Name || whole.Email != c.Email || whole.Phone != other.Phone || whole.Notes != other.Notes {
		t.Errorf("Absorb = %+v", whole)
	}
	if got, want := strings.Join(left, "|"), "name: Simkova, Z.|email: z@example.com"; got != want {
		t.Errorf("Absorb leaves %s, want %s", got, want)
	}
	if c.Phone.Given {
		t.Error("Absorb changed its receiver")
	}
}

// Whatever a quote says of its client, a record can be made of it that loses
// nothing but what is too long for any.
func TestMended(t *testing.T) {
	c := enquiry.Client{Name: "Zoë\nŠimková", Email: record.Some("by letter"), Phone: record.Some("none"), Address: record.Some("1 Mill Lane")}
	got := c.Mended()
	want := enquiry.Client{Name: "Zoë Šimková", Address: c.Address, Notes: record.Some("name: Zoë\nŠimková\nemail: by letter\nphone: none")}
	if got != want {
		t.Errorf("Mended = %+v, want %+v", got, want)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", " ", "zoe@example.com", "01 496 0123", "fr", strings.Repeat("long ", 5000)}))
		maybe := func(label string) record.Maybe[string] {
			return record.Maybe[string]{Value: text.Draw(t, label), Given: true}
		}
		c := enquiry.Client{Name: text.Draw(t, "name"), Email: maybe("email"), Phone: maybe("phone"), Address: maybe("address"), Language: maybe("language"), Dietary: maybe("dietary"), Notes: maybe("notes")}
		mended := c.Mended()
		if faults := mended.Check(); len(faults) > 0 {
			t.Fatalf("%+v mended still has %s", c, faults)
		}
		if len(c.Check()) == 0 && mended != c {
			t.Fatalf("%+v has no faults and became %+v", c, mended)
		}
	})
}
