package letter

import (
	"embed"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"text/template"

	"golang.org/x/text/language"
)

// A Kind is the occasion of a letter.
type Kind string

// The kinds of letter.
const (
	Quote        Kind = "quote"
	Revision     Kind = "revision"
	Receipt      Kind = "receipt"
	Reminder     Kind = "reminder"
	Cancellation Kind = "cancellation"
)

// Kinds lists every kind.
func Kinds() []Kind { return []Kind{Quote, Revision, Receipt, Reminder, Cancellation} }

// Languages lists the languages that [Default] has wording in.
func Languages() []string { return []string{"en", "fr", "de", "es", "it", "pt", "nl"} }

//go:embed wording
var wordings embed.FS

// Default returns the built-in wording of a kind, in the language of a BCP 47
// tag or, where there is none, in English; nothing for a kind that is none.
func Default(tag string, kind Kind) string {
	base, _ := language.Make(tag).Base()
	for _, name := range []string{base.String(), "en"} {
		if text, err := wordings.ReadFile("wording/" + name + "/" + string(kind) + ".tmpl"); err == nil {
			return string(text)
		}
	}
	return ""
}

// Bounds. A letter of several pages stays far below them.
const (
	longestWording = 20_000
	longestLetter  = 200_000
	longestSubject = 200 // runes; all on one header line they stay under RFC 5322's 998 octets
)

// Fill returns the subject and the plain-text body that a wording makes of the
// facts.
func Fill(wording string, facts Facts) (subject, body string, err error) {
	if err := checkWords(wording); err != nil {
		return "", "", err
	}
	return fill(wording, facts.clean())
}

// Check reports everything wrong with a wording, line by line; nil where it
// makes a letter both of many facts and of few.
func Check(wording string) error {
	if err := checkWords(wording); err != nil {
		return err
	}
	many := Facts{
		Studio: "studio", Signer: "signer", Contact: []string{"contact"}, Client: "client", QuoteName: "quote", EventDate: "day", Venue: "venue",
		Options: []Option{{"one", "1"}, {"two", "2"}}, Total: "total", Previous: "before", Changes: []string{"change"}, ValidUntil: "valid",
		Deposit: "deposit", DepositDue: "due", Receipt: "receipt", Received: "received", ReceivedOn: "on", Balance: "balance", BalanceDue: "due",
		PaidInFull: true, Due: "due", DueFor: "for", DueOn: "on", Overdue: true, PayTo: []string{"account"},
		Cancelled: "cancelled", Kept: "kept", Refund: "refund", Note: "note",
	}
	few := Facts{Studio: "studio", Client: "client", QuoteName: "quote"}
	for _, facts := range []Facts{many, few} {
		if _, _, err := fill(wording, facts); err != nil {
			return err
		}
	}
	return nil
}

// fill executes a checked wording over cleaned facts.
func fill(wording string, facts Facts) (subject, body string, err error) {
	t, err := template.New("letter").Parse(ready(wording))
	if err != nil {
		return "", "", fmt.Errorf("the wording cannot be read: %w", err)
	}
	out := &bounded{left: longestLetter}
	if err := t.Execute(out, facts); err != nil {
		if out.left < 0 {
			return "", "", fmt.Errorf("the letter is longer than %d characters; shorten the wording or the note", longestLetter)
		}
		return "", "", fmt.Errorf("the wording cannot be filled in: %w", err)
	}
	subject, body = split(out.String())
	switch {
	case subject == "":
		return "", "", errors.New("the letter is empty; its first line is the subject, the rest the body")
	case body == "":
		return "", "", errors.New("the letter has a subject, its first line, but no body; write the body below it")
	}
	return shorten(subject), body, nil
}

// controls finds a line that holds one if, else, end or range alone.
var controls = regexp.MustCompile(`(?m)^[ \t]*\{\{-?[ \t]*(?:if|else|end|range)\b[^{}\n]*\}\}[ \t]*\n`)

// ready makes lines of control vanish without moving the lines below: their
// line end goes inside the braces, where it is white space.
func ready(wording string) string {
	return controls.ReplaceAllStringFunc(unified(wording), func(line string) string {
		if strings.HasSuffix(strings.TrimRight(line, " \t\n"), "-}}") {
			return line // trims its line end itself
		}
		return strings.TrimRight(strings.TrimLeft(line, " \t"), "} \t\n") + "\n}}"
	})
}

// unified gives a wording the line ends of Unix, the last one too.
func unified(wording string) string {
	wording = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(wording, "\ufeff"))
	return strings.TrimSuffix(wording, "\n") + "\n"
}

// split takes the first line that is not empty for the subject. In the rest,
// lines lose the blanks at their ends, and several empty lines become one.
func split(text string) (subject, body string) {
	var kept []string
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, " \t\n")
		switch {
		case subject == "":
			subject = oneLine(line)
			continue
		case line == "" && (len(kept) == 0 || kept[len(kept)-1] == ""):
			continue
		case line == "--":
			line = "-- " // the mark before a signature, RFC 3676, 4.3
		}
		kept = append(kept, strings.Map(visible, line))
	}
	return subject, strings.TrimRight(strings.Join(kept, "\n"), "\n")
}

// shorten cuts a subject that no header line could hold, and shows that it did.
func shorten(subject string) string {
	runes := []rune(subject)
	if len(runes) <= longestSubject {
		return subject
	}
	return strings.TrimRight(string(runes[:longestSubject-1]), " ") + "…"
}

// bounded is a buffer that refuses more than it has left.
type bounded struct {
	strings.Builder
	left int
}

func (b *bounded) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errors.New("too long")
	}
	return b.Builder.Write(p)
}
