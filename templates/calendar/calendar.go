package calendar

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/mail"
	"strings"
	"time"
	"unicode"

	"marchpane/pricing/day"
)

// A Calendar is one file.
type Calendar struct {
	Name      string
	Language  string    // of the texts, a BCP 47 tag
	Stamp     time.Time // when the file is made
	Organizer Organizer // zero where nobody is to be told of changes
	Entries   []Entry
}

// An Organizer is who publishes entries and calls them off.
type Organizer struct {
	Name    string
	Address string // e-mail
}

// An Entry is something on a day or at an hour.
type Entry struct {
	UID   string
	Title string
	// A whole day, and the last one of several; or else an hour of the clock.
	// An entry without an end is a moment.
	Day, Until day.Date
	Start, End time.Time

	Place     string
	Text      string
	Category  string
	Cancelled bool
	Tentative bool // not agreed yet
	Sequence  int
	// Remind is how long before the start to show a reminder, in whole
	// minutes; zero for none. A whole day starts at midnight.
	Remind time.Duration
}

// UID makes a unique identifier from names that do not change, such as the
// studio's identifier, the quote's number and "tasting": a UUID of version 8
// (RFC 9562, 5.8), which gives away none of them, as RFC 7986, 5.3 advises.
func UID(names ...string) string {
	h := sha256.New()
	for _, n := range names {
		fmt.Fprintf(h, "%d:%s", len(n), n)
	}
	b := h.Sum(nil)[:16]
	b[6] = b[6]&0x0f | 0x80
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// MediaType is the type of the file as an attachment; its method is that of
// the file (RFC 5545, 8.1).
func (c Calendar) MediaType() string {
	if m := c.method(); m != "" {
		return "text/calendar; charset=utf-8; component=VEVENT; method=" + m
	}
	return "text/calendar; charset=utf-8; component=VEVENT"
}

func (c Calendar) method() string {
	if c.Organizer.Address == "" {
		return ""
	}
	for _, e := range c.Entries {
		if !e.Cancelled {
			return "PUBLISH"
		}
	}
	return "CANCEL"
}

// Write writes the calendar, or nothing where an entry cannot be written.
func Write(w io.Writer, c Calendar) error {
	if err := c.check(); err != nil {
		return err
	}
	l := &lines{language: plainTag(c.Language)}
	l.add("BEGIN", "VCALENDAR")
	l.add("VERSION", "2.0")
	l.add("PRODID", "-//marchpane//calendar//EN")
	if m := c.method(); m != "" {
		l.add("METHOD", m)
	}
	if oneLine(c.Name) != "" {
		l.text("NAME", c.Name)         // RFC 7986, 5.1
		l.text("X-WR-CALNAME", c.Name) // what went before it, and is read more widely
	}
	for _, e := range c.Entries {
		l.entry(e, c)
	}
	l.add("END", "VCALENDAR")
	_, err := io.WriteString(w, l.String())
	return err
}

func (l *lines) entry(e Entry, c Calendar) {
	l.add("BEGIN", "VEVENT")
	l.text("UID", e.UID)
	l.add("DTSTAMP", utc(c.Stamp))
	if e.Start.IsZero() {
		last := day.Later(e.Day, e.Until)
		l.add("DTSTART;VALUE=DATE", compact(e.Day))
		l.add("DTEND;VALUE=DATE", compact(last.AddDays(1)))
		// A day to keep in mind leaves its hours free.
		l.add("TRANSP", "TRANSPARENT")
	} else {
		l.add("DTSTART", utc(e.Start))
		if utc(e.End) > utc(e.Start) && !e.End.IsZero() {
			l.add("DTEND", utc(e.End))
		}
		l.add("TRANSP", "OPAQUE")
	}
	l.add("SEQUENCE", fmt.Sprint(e.Sequence))
	if e.Cancelled {
		l.add("STATUS", "CANCELLED")
	} else {
		status := "CONFIRMED"
		if e.Tentative {
			status = "TENTATIVE"
		}
		l.add("STATUS", status)
	}
	l.spoken("SUMMARY", oneLine(e.Title))
	l.spoken("LOCATION", oneLine(e.Place))
	l.spoken("DESCRIPTION", e.Text)
	l.spoken("CATEGORIES", oneLine(e.Category))
	if o := c.Organizer; o.Address != "" {
		name := "ORGANIZER"
		if cn := strings.ReplaceAll(oneLine(o.Name), `"`, "'"); cn != "" {
			name += `;CN="` + cn + `"` // a quoted value has no escapes, 3.2
		}
		l.add(name, "mailto:"+o.Address)
	}
	if e.Remind > 0 && !e.Cancelled {
		l.add("BEGIN", "VALARM")
		l.add("ACTION", "DISPLAY")
		l.spoken("DESCRIPTION", oneLine(e.Title)) // required, 3.6.6
		l.add("TRIGGER", fmt.Sprintf("-PT%dM", int64(e.Remind/time.Minute)))
		l.add("END", "VALARM")
	}
	l.add("END", "VEVENT")
}

// check reports every fault of the calendar.
func (c Calendar) check() error {
	var faults []error
	if len(c.Entries) == 0 {
		faults = append(faults, errors.New("the calendar has no entries; there is nothing to write")) // 3.4 wants one component
	}
	if !written(c.Stamp) {
		faults = append(faults, errors.New("the calendar's stamp is no time between the years 1 and 9999"))
	}
	if a := c.Organizer.Address; a != "" {
		parsed, err := mail.ParseAddress(a)
		if err != nil || parsed.Address != a || strings.ContainsFunc(a, func(r rune) bool { return r <= ' ' || r > '~' || strings.ContainsRune(`"%?#`, r) }) {
			faults = append(faults, fmt.Errorf("the organizer's address %.60q is no plain e-mail address", a))
		}
	} else if c.Organizer.Name != "" {
		faults = append(faults, fmt.Errorf("the organizer %.60q has no e-mail address", c.Organizer.Name))
	}
	seen := map[string]bool{}
	for i, e := range c.Entries {
		if err := e.check(); err != nil {
			faults = append(faults, fmt.Errorf("entry %d %.60q: %w", i+1, e.Title, err))
		} else if seen[e.UID] {
			faults = append(faults, fmt.Errorf("entry %d %.60q: another entry has the UID %.60q", i+1, e.Title, e.UID))
		}
		seen[e.UID] = true
	}
	return errors.Join(faults...)
}

func (e Entry) check() error {
	timed := !e.Start.IsZero() || !e.End.IsZero()
	switch {
	case e.UID == "" || len(e.UID) > 255 || e.UID != oneLine(e.UID): // RFC 7986, 5.3 has readers take 255 octets
		return fmt.Errorf("the UID %.60q is empty, longer than 255 octets or has characters that cannot be seen", e.UID)
	case oneLine(e.Title) == "":
		return errors.New("has no title")
	case e.Sequence < 0:
		return fmt.Errorf("the sequence %d is below 0", e.Sequence)
	case e.Remind < 0 || e.Remind%time.Minute != 0 || e.Remind > 366*24*time.Hour:
		return fmt.Errorf("the reminder %s before the start is not in whole minutes from none to a year", e.Remind)
	case timed && (!e.Day.IsZero() || !e.Until.IsZero()):
		return errors.New("has both a day and an hour; give one of them")
	case !timed && e.Day.IsZero():
		return errors.New("has neither a day nor a start")
	case !timed && !e.Until.IsZero() && e.Until.Before(e.Day):
		return fmt.Errorf("ends on %s, before it begins on %s", e.Until, e.Day)
	case !timed && day.Later(e.Day, e.Until).AddDays(1) == day.Later(e.Day, e.Until):
		return errors.New("ends on the last day that can be written")
	case timed && e.Start.IsZero():
		return errors.New("has an end but no start")
	case timed && !e.End.IsZero() && e.End.Before(e.Start):
		return errors.New("ends before it starts")
	case timed && (!written(e.Start) || !e.End.IsZero() && !written(e.End)):
		return errors.New("is not between the years 1 and 9999")
	}
	return nil
}

// written reports whether a time can be written with four digits of a year.
func written(t time.Time) bool { y := t.UTC().Year(); return !t.IsZero() && y >= 1 && y <= 9999 }

func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

func compact(d day.Date) string { return strings.ReplaceAll(d.String(), "-", "") }

// oneLine makes every run of white space one blank and drops what RFC 5545
// calls CONTROL (3.1).
func oneLine(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	return strings.Join(strings.FieldsFunc(strings.Map(visible, s), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }), " ")
}

func visible(r rune) rune {
	switch {
	case r == '\n' || r == '\t':
		return r
	case r == '\u2028' || r == '\u2029' || r == '\u0085':
		return '\n'
	case unicode.IsControl(r):
		return -1
	}
	return r
}
