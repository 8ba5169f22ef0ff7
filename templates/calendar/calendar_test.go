package calendar_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ical "github.com/emersion/go-ical"

	"marchpane/pricing/day"
	"marchpane/templates/calendar"
)

var stamp = time.Date(2027, 2, 3, 15, 5, 9, 0, time.UTC)

// zone is five and a half hours ahead of UTC; the day in it is another one.
var zone = time.FixedZone("", 5*3600+1800)

// sample has an entry of each sort.
func sample() calendar.Calendar {
	return calendar.Calendar{
		Name: "Drei Türme; Q-2027-0012, B", Language: "de", Stamp: stamp,
		Organizer: calendar.Organizer{Name: `Zoë "Drei Türme", Konditorei`, Address: "hello@drei-tuerme.example"},
		Entries: []calendar.Entry{
			{UID: calendar.UID("studio", "Q-2027-0012", "event"), Title: "Hochzeitstorte, drei Stockwerke; 90 Gäste", Day: day.Must("2027-06-12"),
				Place: "Orangerie, Schloß", Text: "Aufbau ab 14 Uhr.\nZweite Zeile mit \\ und ;,: " + strings.Repeat("Ölgemälde ", 30), Category: "Fest, groß", Sequence: 2, Remind: 15 * time.Hour},
			{UID: calendar.UID("studio", "Q-2027-0012", "tasting"), Title: "Probe", Start: time.Date(2027, 3, 28, 2, 30, 0, 0, zone), End: time.Date(2027, 3, 28, 4, 0, 0, 0, zone)},
			{UID: calendar.UID("studio", "Q-2027-0012", "instalment", "2"), Title: "2. Rate: 340,00 €", Day: day.Must("2027-12-31"), Sequence: 1, Cancelled: true, Remind: time.Hour},
			{UID: calendar.UID("studio", "Q-2027-0012", "task", "sugar flowers"), Title: "Zuckerblumen", Day: day.Must("2028-02-28"), Until: day.Must("2028-02-29")},
			{UID: calendar.UID("studio", "Q-2027-0012", "task", "oven off"), Title: "Ofen aus", Start: time.Date(2027, 6, 11, 23, 59, 59, 999, time.UTC)},
		},
	}
}

// TestLines: the file as a reader of RFC 5545 expects it, worked by hand.
func TestLines(t *testing.T) {
	text := write(t, sample())
	grammar(t, text)
	unfolded := strings.ReplaceAll(text, "\r\n ", "")
	for _, want := range []string{
		"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//marchpane//calendar//EN\r\nMETHOD:PUBLISH\r\nNAME:Drei Türme\\; Q-2027-0012\\, B\r\n",
		"\r\nDTSTAMP:20270203T150509Z\r\nDTSTART;VALUE=DATE:20270612\r\nDTEND;VALUE=DATE:20270613\r\nTRANSP:TRANSPARENT\r\nSEQUENCE:2\r\nSTATUS:CONFIRMED\r\n",
		"\r\nSUMMARY;LANGUAGE=de:Hochzeitstorte\\, drei Stockwerke\\; 90 Gäste\r\nLOCATION;LANGUAGE=de:Orangerie\\, Schloß\r\nDESCRIPTION;LANGUAGE=de:Aufbau ab 14 Uhr.\\nZweite Zeile mit \\\\ und \\;\\,: Ölg",
		"\r\nCATEGORIES;LANGUAGE=de:Fest\\, groß\r\n",
		"\r\nORGANIZER;CN=\"Zoë 'Drei Türme', Konditorei\":mailto:hello@drei-tuerme.example\r\n",
		"\r\nBEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION;LANGUAGE=de:Hochzeitstorte\\, drei Stockwerke\\; 90 Gäste\r\nTRIGGER:-PT900M\r\nEND:VALARM\r\nEND:VEVENT\r\n",
		// 02:30 and 04:00, 5 h 30 min ahead: 21:00 and 22:30 of the day before.
		"\r\nDTSTART:20270327T210000Z\r\nDTEND:20270327T223000Z\r\nTRANSP:OPAQUE\r\nSEQUENCE:0\r\n",
		// The day after the last of a year, and of a leap year's February.
		"\r\nDTSTART;VALUE=DATE:20271231\r\nDTEND;VALUE=DATE:20280101\r\nTRANSP:TRANSPARENT\r\nSEQUENCE:1\r\nSTATUS:CANCELLED\r\n",
		"\r\nDTSTART;VALUE=DATE:20280228\r\nDTEND;VALUE=DATE:20280301\r\n",
		"\r\nDTSTART:20270611T235959Z\r\nTRANSP:OPAQUE\r\n",
	} {
		if !strings.Contains(unfolded, want) {
			t.Errorf("the file lacks %q:\n%s", want, unfolded)
		}
	}
	if n := strings.Count(text, "BEGIN:VALARM"); n != 1 {
		t.Errorf("%d reminders; a cancelled entry needs none", n)
	}
}

// TestMethod: RFC 5546, 3.2.1 and 3.2.5; RFC 5545, 8.1 on the media type.
func TestMethod(t *testing.T) {
	for _, c := range []struct {
		organizer bool
		cancelled [2]bool
		want      string
	}{
		{true, [2]bool{}, "PUBLISH"}, {true, [2]bool{true, false}, "PUBLISH"}, {true, [2]bool{true, true}, "CANCEL"}, {false, [2]bool{true, true}, ""},
	} {
		k := sample()
		k.Entries = k.Entries[:2]
		for i := range k.Entries {
			k.Entries[i].Cancelled = c.cancelled[i]
		}
		if !c.organizer {
			k.Organizer = calendar.Organizer{}
		}
		m := regexp.MustCompile(`\r\nMETHOD:(\w+)\r\n`).FindStringSubmatch(write(t, k))
		if c.want == "" && m != nil || c.want != "" && (m == nil || m[1] != c.want) {
			t.Errorf("%+v: method = %v", c, m)
		}
		if kind := k.MediaType(); strings.Contains(kind, "method=") != (c.want != "") || !strings.HasSuffix(kind, c.want) {
			t.Errorf("%+v: media type %s", c, kind)
		}
	}
}

// TestReadGo: the parser of emersion/go-ical, written apart from this writer,
// finds what went in.
func TestReadGo(t *testing.T) {
	k := sample()
	read, err := ical.NewDecoder(strings.NewReader(write(t, k))).Decode()
	if err != nil {
		t.Fatal(err)
	}
	if name, err := read.Props.Text("NAME"); err != nil || name != k.Name {
		t.Errorf("NAME = %q, %v", name, err)
	}
	events := read.Events()
	if len(events) != len(k.Entries) {
		t.Fatalf("%d events, want %d", len(events), len(k.Entries))
	}
	for i, e := range k.Entries {
		for prop, want := range map[string]string{"UID": e.UID, "SUMMARY": e.Title, "LOCATION": e.Place, "DESCRIPTION": e.Text, "SEQUENCE": fmt.Sprint(e.Sequence)} {
			if got := events[i].Props.Get(prop); want == "" && got != nil || want != "" && (got == nil || unescaped(t, got) != want) {
				t.Errorf("%s: %s = %v, want %q", e.Title, prop, got, want)
			}
		}
		start, err := events[i].DateTimeStart(time.UTC)
		wantStart, wantEnd := e.Start.Truncate(time.Second), e.End
		if e.Start.IsZero() {
			wantStart, wantEnd = e.Day.Time(), day.Later(e.Day, e.Until).AddDays(1).Time()
		} else if e.End.IsZero() {
			wantEnd = wantStart
		}
		if err != nil || !start.Equal(wantStart) {
			t.Errorf("%s starts %s, %v, want %s", e.Title, start, err, wantStart)
		}
		if end, err := events[i].DateTimeEnd(time.UTC); err != nil || !end.Equal(wantEnd) {
			t.Errorf("%s ends %s, %v, want %s", e.Title, end, err, wantEnd)
		}
	}
	// Its writer checks how often each property may stand.
	var again bytes.Buffer
	if err := ical.NewEncoder(&again).Encode(read); err != nil {
		t.Errorf("what was read cannot be written again: %v", err)
	}
}

func unescaped(t *testing.T, p *ical.Prop) string {
	if p.ValueType() != ical.ValueText {
		return p.Value
	}
	s, err := p.Text()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestReadPython: so does the icalendar package of Python.
func TestReadPython(t *testing.T) {
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import icalendar").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("python3 with icalendar (Debian: python3-icalendar) is not installed")
		}
		t.Skip("python3 with icalendar is not installed")
	}
	k := sample()
	cmd := exec.Command(python, "-c", `
import sys, json, icalendar
c = icalendar.Calendar.from_ical(sys.stdin.buffer.read())
def iso(e, n): return e[n].dt.isoformat() if n in e else ''
json.dump([dict(UID=str(e['UID']), Title=str(e['SUMMARY']), Place=str(e.get('LOCATION','')), Text=str(e.get('DESCRIPTION','')), Status=str(e['STATUS']), Sequence=int(e['SEQUENCE']),
  Start=iso(e,'DTSTART'), End=iso(e,'DTEND'), Stamp=iso(e,'DTSTAMP'), Organizer=str(e['ORGANIZER']), CN=e['ORGANIZER'].params['CN'],
  Alarms=[a['TRIGGER'].dt.total_seconds() for a in e.walk('VALARM')], Errors=[str(x) for x in e.errors]) for e in c.walk('VEVENT')], sys.stdout)
`)
	cmd.Stdin = strings.NewReader(write(t, k))
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3: %v\n%s", err, complaints.String())
	}
	type event struct {
		UID, Title, Place, Text, Status string
		Sequence                        int
		Start, End, Stamp, Organizer    string
		CN                              string
		Alarms                          []float64
		Errors                          []string
	}
	var got []event
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	when := [][2]string{
		{"2027-06-12", "2027-06-13"}, {"2027-03-27T21:00:00+00:00", "2027-03-27T22:30:00+00:00"}, {"2027-12-31", "2028-01-01"},
		{"2028-02-28", "2028-03-01"}, {"2027-06-11T23:59:59+00:00", ""},
	}
	for i, e := range k.Entries {
		want := event{UID: e.UID, Title: e.Title, Place: e.Place, Text: e.Text, Status: "CONFIRMED", Sequence: e.Sequence, Start: when[i][0], End: when[i][1],
			Stamp: "2027-02-03T15:05:09+00:00", Organizer: "mailto:hello@drei-tuerme.example", CN: "Zoë 'Drei Türme', Konditorei", Alarms: []float64{}, Errors: []string{}}
		if e.Cancelled {
			want.Status = "CANCELLED"
		}
		if i == 0 {
			want.Alarms = []float64{-15 * 3600}
		}
		if i >= len(got) || !reflect.DeepEqual(got[i], want) {
			t.Errorf("icalendar read\n%+v\nwant\n%+v", got[min(i, len(got)-1)], want)
		}
	}
}

// TestRefused: what no reader could take is refused, and all of it is told.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*calendar.Calendar)
		want   string
	}{
		{func(c *calendar.Calendar) { c.Entries = nil }, "the calendar has no entries"},
		{func(c *calendar.Calendar) { c.Stamp = time.Time{} }, "the calendar's stamp is no time"},
		{func(c *calendar.Calendar) { c.Organizer.Address = "a@b.example\r\nX:y" }, "is no plain e-mail address"},
		{func(c *calendar.Calendar) { c.Organizer.Address = "" }, "has no e-mail address"},
		{func(c *calendar.Calendar) { c.Entries[1].UID = "" }, `entry 2 "Probe": the UID "" is empty`},
		{func(c *calendar.Calendar) { c.Entries[1].UID = "a\r\nb" }, "characters that cannot be seen"},
		{func(c *calendar.Calendar) { c.Entries[1].UID = c.Entries[0].UID }, `entry 2 "Probe": another entry has the UID`},
		{func(c *calendar.Calendar) { c.Entries[1].Title = " \x00" }, "has no title"},
		{func(c *calendar.Calendar) { c.Entries[1].Sequence = -1 }, "the sequence -1 is below 0"},
		{func(c *calendar.Calendar) { c.Entries[1].Remind = time.Second }, "is not in whole minutes"},
		{func(c *calendar.Calendar) { c.Entries[1].Day = day.Must("2027-01-01") }, "has both a day and an hour"},
		{func(c *calendar.Calendar) { c.Entries[0].Day = day.Date{} }, "has neither a day nor a start"},
		{func(c *calendar.Calendar) { c.Entries[0].Until = day.Must("2027-06-11") }, "ends on 2027-06-11, before it begins on 2027-06-12"},
		{func(c *calendar.Calendar) { c.Entries[0].Day = day.Must("9999-12-31") }, "the last day that can be written"},
		{func(c *calendar.Calendar) { c.Entries[1].Start = time.Time{} }, "has an end but no start"},
		{func(c *calendar.Calendar) { c.Entries[1].End = c.Entries[1].Start.Add(-1) }, "ends before it starts"},
		{func(c *calendar.Calendar) {
			c.Entries[1].End = time.Date(9999, 12, 31, 23, 0, 0, 0, time.FixedZone("", -7200))
		}, "is not between the years 1 and 9999"},
		{func(c *calendar.Calendar) { c.Entries[1].Title, c.Entries[2].Sequence = "", -1 }, "entry 3"},
	} {
		k := sample()
		c.change(&k)
		var b bytes.Buffer
		if err := calendar.Write(&b, k); err == nil || !strings.Contains(err.Error(), c.want) || b.Len() > 0 {
			t.Errorf("Write = %v and %d bytes, want none and %q", err, b.Len(), c.want)
		}
	}
}

// TestUID: of the form of RFC 9562, 4 and 5.8, the same for the same names, and
// another for names that run together alike.
func TestUID(t *testing.T) {
	form := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	seen := map[string]bool{}
	for _, names := range [][]string{{}, {""}, {"a"}, {"a", "b"}, {"ab"}, {"a", "", "b"}, {"b", "a"}} {
		uid := calendar.UID(names...)
		if !form.MatchString(uid) || uid != calendar.UID(names...) || seen[uid] {
			t.Errorf("UID(%q) = %s", names, uid)
		}
		seen[uid] = true
	}
}

// FuzzRead: whatever the strings, the file keeps the grammar and gives the
// strings back, or is refused.
func FuzzRead(f *testing.F) {
	f.Add("Title", "Place, with; all\\n", "one\ntwo\r\nthree", "category", "uid-1", "de", "name")
	f.Add(strings.Repeat("ä", 100), strings.Repeat("€", 80), strings.Repeat("🎂", 60), "\x00", "é", "x y", "\u2028")
	f.Add("BEGIN:VEVENT", "\r\nX:y", " leading", ",", strings.Repeat("u", 255), "en\r\nX:y", "\xff")
	f.Add("\xd0\xd0a", "\xff\xfe", "\xff\xff", "\xff\xff", "u", "", "")
	f.Fuzz(func(t *testing.T, title, place, text, category, uid, tag, name string) {
		k := calendar.Calendar{Name: name, Language: tag, Stamp: stamp, Entries: []calendar.Entry{
			{UID: uid, Title: title, Day: day.Must("2027-06-12"), Place: place, Text: text, Category: category, Remind: time.Hour},
		}}
		var b strings.Builder
		if err := calendar.Write(&b, k); err != nil {
			if b.Len() > 0 {
				t.Error("refused, and yet written")
			}
			return
		}
		grammar(t, b.String())
		read, err := ical.NewDecoder(strings.NewReader(b.String())).Decode()
		if err != nil {
			t.Fatalf("%v:\n%q", err, b.String())
		}
		events := read.Events()
		if len(events) != 1 {
			t.Fatalf("%d events", len(events))
		}
		for prop, want := range map[string]string{"UID": uid, "SUMMARY": line(title), "LOCATION": line(place), "CATEGORIES": line(category)} {
			if got, err := events[0].Props.Text(prop); err != nil || got != want {
				t.Errorf("%s = %q, %v, want %q", prop, got, err, want)
			}
		}
		if got, err := events[0].Props.Text("DESCRIPTION"); err != nil || line(got) != line(text) {
			t.Errorf("DESCRIPTION = %q, %v, want %q", got, err, text)
		}
	})
}

// line is what a text is on one line, without what cannot be seen.
func line(s string) string {
	s = strings.NewReplacer("\r\n", " ", "\t", " ", "\n", " ", "\u2028", " ", "\u2029", " ", "\u0085", " ").Replace(strings.ToValidUTF8(s, "\uFFFD"))
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return -1
		}
		return r
	}, s)
	for strings.Contains(s, "  ") {
		s = strings.ReplaceAll(s, "  ", " ")
	}
	return strings.Trim(s, " ")
}

// property is the grammar of a content line, RFC 5545, 3.1, for ASCII names.
var property = regexp.MustCompile(`^[A-Z-]+(;[A-Z-]+=("[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x1f\x7f]*))*:[^\x00-\x08\x0a-\x1f\x7f]*$`)

// grammar checks the rules of RFC 5545 that need no parser.
func grammar(t *testing.T, text string) {
	t.Helper()
	for l := range strings.Lines(text) {
		l, ended := strings.CutSuffix(l, "\r\n") // 3.1: lines end in CR LF
		if !ended || len(l) > 75 || !utf8.ValidString(l) {
			t.Fatalf("line %q has %d octets, or a character cut in two (3.1)", l, len(l))
		}
	}
	var open []string
	count := map[string]int{}
	for l := range strings.SplitSeq(strings.TrimSuffix(strings.ReplaceAll(text, "\r\n ", ""), "\r\n"), "\r\n") {
		if !property.MatchString(l) {
			t.Fatalf("line %q is no content line (3.1)", l)
		}
		name, value, _ := strings.Cut(l, ":")
		name, _, _ = strings.Cut(name, ";")
		switch name {
		case "BEGIN":
			open = append(open, value)
			if value != "VCALENDAR" {
				count = map[string]int{}
			}
			continue
		case "END":
			if len(open) == 0 || open[len(open)-1] != value {
				t.Fatalf("END:%s closes %v (3.6)", value, open)
			}
			open = open[:len(open)-1]
			if value == "VALARM" { // 3.6.6
				for _, once := range []string{"ACTION", "DESCRIPTION", "TRIGGER"} {
					if count[once] != 1 {
						t.Fatalf("an alarm has %s %d times", once, count[once])
					}
				}
			}
			count = map[string]int{}
			continue
		}
		if count[name]++; count[name] > 1 {
			t.Fatalf("%s stands twice (3.6.1)", name)
		}
	}
	if len(open) != 0 {
		t.Fatalf("%v is not closed", open)
	}
	if !strings.HasPrefix(text, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:") { // 3.6
		t.Fatalf("the file begins %.60q", text)
	}
	for _, required := range []string{"UID:", "DTSTAMP:", "DTSTART"} { // 3.6.1
		if n := strings.Count(text, "\r\n"+required); n != strings.Count(text, "\r\nBEGIN:VEVENT\r\n") {
			t.Fatalf("%s stands %d times", required, n)
		}
	}
	if !slices.Contains([]int{0, 1}, strings.Count(text, "\r\nMETHOD:")) {
		t.Fatal("METHOD stands twice (3.6)")
	}
}

func write(t *testing.T, c calendar.Calendar) string {
	t.Helper()
	var b strings.Builder
	if err := calendar.Write(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
