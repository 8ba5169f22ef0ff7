package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zone of the studio, wherever the test runs

	ical "github.com/emersion/go-ical"

	"marchpane/pricing/schedule"
	"marchpane/seed"
)

// runAt runs a command line in a folder at an instant.
func runAt(t *testing.T, folder string, now time.Time, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	env := &Env{
		In: strings.NewReader(""), Out: &out, Err: &errs, Now: func() time.Time { return now },
		Getenv: func(string) string { return "" }, Home: func() (string, error) { return folder, nil },
	}
	if status := Main(append(args, "--store", filepath.Join(folder, "studio.db")), env); status != 0 {
		t.Fatalf("%v: %d\n%s%s", args, status, out.String(), errs.String())
	}
	return out.String()
}

// TestPlanCalendar has the parser of emersion/go-ical read a plan over the night
// in which Irish clocks go forward, 28 March 2027 at 1:00 UTC (from memory: the
// last Sunday of March), and finds each entry where the plan has it by the clock
// on the wall.
func TestPlanCalendar(t *testing.T) {
	folder := t.TempDir()
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2027, 1, 4, 9, 0, 0, 0, zone)
	for name, data := range map[string][]byte{"demo.json": seed.Studio(), "request.json": bytes.Replace(seed.WeddingRequest(), []byte("2027-06-12"), []byte("2027-03-31"), 1)} {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	runAt(t, folder, now, "book", "import", filepath.Join(folder, "demo.json"))
	runAt(t, folder, now, "quote", "new", "--from", filepath.Join(folder, "request.json"))
	runAt(t, folder, now, "quote", "accept", "2026-0001", "--on", "2026-12-01")

	plan := func(now time.Time, more ...string) (entries map[string]*ical.Component, doc schedule.Document) {
		t.Helper()
		file := filepath.Join(folder, "plan.ics")
		args := append([]string{"plan", "--from", "2027-03-25", "--to", "2027-04-02", "-o", file, "--json"}, more...)
		if err := json.Unmarshal([]byte(runAt(t, folder, now, args...)), &doc); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		read, err := ical.NewDecoder(bytes.NewReader(text)).Decode()
		if err != nil {
			t.Fatal(err)
		}
		entries = map[string]*ical.Component{}
		for _, c := range read.Children {
			uid, err := c.Props.Text(ical.PropUID)
			if err != nil || entries[uid] != nil {
				t.Fatalf("UID %q twice, or %v", uid, err)
			}
			entries[uid] = c
		}
		return entries, doc
	}
	entries, doc := plan(now)

	const wall = "2006-01-02T15:04"
	begins := map[string]bool{}
	days, last := map[string]bool{}, ""
	for _, d := range doc.Days {
		for _, it := range d.Items {
			if !it.Wait {
				begins[it.Starts] = true
				days[d.Day], last = true, it.Ends
			}
		}
	}
	if !days["2027-03-27"] && !days["2027-03-26"] || !days["2027-03-30"] {
		t.Fatalf("the plan does not span the night of the change: %v", days)
	}
	summers, winters := 0, 0
	for _, c := range entries {
		start, err := c.Props.DateTime(ical.PropDateTimeStart, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		title, _ := c.Props.Text(ical.PropSummary)
		if strings.HasPrefix(title, "Hand-over") {
			if got := start.In(zone).Format(wall); got != doc.Orders[0].HandOver {
				t.Errorf("%s is at %s, want %s", title, got, doc.Orders[0].HandOver)
			}
			continue
		}
		if got := start.In(zone).Format(wall); !begins[got] {
			t.Errorf("%s begins at %s; nothing of the plan does", title, got)
		}
		if start.In(zone).IsDST() {
			summers++
		} else {
			winters++
		}
	}
	if summers == 0 || winters == 0 {
		t.Errorf("%d entries in summer time, %d in winter time, want some of each", summers, winters)
	}
	if last == "" || len(entries) < 10 {
		t.Errorf("only %d entries", len(entries))
	}

	// A later plan moves its entries instead of adding new ones.
	moved, _ := plan(now.AddDate(0, 0, 3), "--handover", "15:00")
	same := 0
	for uid, c := range moved {
		old := entries[uid]
		if old == nil {
			continue
		}
		same++
		before, _ := old.Props.Get(ical.PropSequence).Int()
		after, _ := c.Props.Get(ical.PropSequence).Int()
		if after <= before {
			t.Errorf("sequence %d after %d", after, before)
		}
	}
	if same < len(entries)*3/4 {
		t.Errorf("of %d entries %d kept their identifier", len(entries), same)
	}
}

// Worked by hand.
func TestParseHours(t *testing.T) {
	for in, want := range map[string]int{"7": 420, "7.5": 450, "7,25": 435, "7:30": 450, "0": 0, "24": 1440, " 7 h": 420, "0:05": 5, "1.05": 63} {
		if got, err := parseHours(in); err != nil || got != want {
			t.Errorf("parseHours(%q) = %d, %v, want %d", in, got, err, want)
		}
	}
	for _, in := range []string{"", "h", "-1", "7.", ".5", "7:3", "7:60", "7:300", "1e3", "99999", "7.333", "７"} {
		if got, err := parseHours(in); err == nil {
			t.Errorf("parseHours(%q) = %d, want an error", in, got)
		}
	}
}

func TestParseWeekdays(t *testing.T) {
	for in, want := range map[string]string{
		"mon-sat": "Monday to Saturday", "tue,thu-sat": "Tuesday, Thursday to Saturday", "sat-mon": "Monday, Saturday, Sunday", "Sunday": "Sunday", "mon-sun": "Monday to Sunday",
	} {
		works, err := parseWeekdays(in)
		if got := workingDays(schedule.Capacity{Works: works}); err != nil || got != want {
			t.Errorf("parseWeekdays(%q) = %s, %v, want %s", in, got, err, want)
		}
	}
}
