package calendar

import (
	"strings"
	"unicode/utf8"
)

// lines gathers content lines (RFC 5545, 3.1).
type lines struct {
	strings.Builder
	language string
}

// widest is the most octets that a line should have, its end left out.
const widest = 75

// add writes one content line, folded. Folding counts octets and never parts
// a character: readers that unfold later than they decode would see rubbish.
func (l *lines) add(name, value string) {
	line := name + ":" + value
	room := widest
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		l.WriteString(line[:cut])
		l.WriteString("\r\n ")
		line, room = line[cut:], widest-1 // the blank counts
	}
	l.WriteString(line)
	l.WriteString("\r\n")
}

// text writes a property of type TEXT.
func (l *lines) text(name, value string) {
	value = strings.ToValidUTF8(value, "\uFFFD")
	value = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(value)
	value = strings.Map(visible, value)
	l.add(name, escapes.Replace(value))
}

// escapes are those of RFC 5545, 3.3.11.
var escapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// spoken writes a text in the calendar's language, if there is any text.
func (l *lines) spoken(name, value string) {
	if strings.TrimSpace(value) == "" {
		return
	}
	if l.language != "" {
		name += ";LANGUAGE=" + l.language // 3.2.10
	}
	l.text(name, value)
}

// plainTag returns a language tag that is letters, digits and hyphens, and
// nothing for another one.
func plainTag(tag string) string {
	for _, r := range tag {
		if r != '-' && (r < '0' || r > '9') && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') {
			return ""
		}
	}
	return tag
}
