package pricelist

import (
	"errors"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"
	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/measure"
)

// Mark is the sign that a list writes before the decimals.
type Mark string

// The marks. Under Unknown a figure that can be read two ways is refused.
const (
	Unknown Mark = ""
	Point   Mark = "point" // 1,234.50
	Comma   Mark = "comma" // 1.234,50
)

// UnmarshalText reads "point", "comma" or "".
func (m *Mark) UnmarshalText(text []byte) error {
	switch Mark(text) {
	case Unknown, Point, Comma:
		*m = Mark(text)
		return nil
	}
	return fmt.Errorf("decimal mark %.20q is unknown; use point or comma", text)
}

// other returns the mark that separates thousands where m separates decimals.
func (m Mark) other() Mark {
	switch m {
	case Point:
		return Comma
	case Comma:
		return Point
	}
	return Unknown
}

func markOf(r rune) Mark {
	switch r {
	case '.':
		return Point
	case ',':
		return Comma
	}
	return Unknown
}

// ErrAmbiguous is wrapped by the error for a figure that means one number with
// a decimal point and another with a decimal comma.
var ErrAmbiguous = errors.New("it can be read two ways")

// maxCell bounds the text of a figure or pack; nobody writes longer ones.
const maxCell = 200

// apostrophes turns all that lists put for an apostrophe into one, and drops
// marks that cannot be seen.
var apostrophes = strings.NewReplacer("’", "'", "‘", "'", "ʼ", "'", "´", "'", "`", "'", "\u200b", "", "\ufeff", "")

// clean brings a cell to one spelling of spaces, widths and apostrophes.
func clean(s string) string {
	s = norm.NFKC.String(s)
	s = apostrophes.Replace(s)
	return strings.Join(strings.Fields(s), " ")
}

// figure reads a bare figure: digits that points, commas, spaces and
// apostrophes may part. It returns also the mark that the figure itself
// proves, Unknown where it would read the same under both.
func figure(s string, mark Mark) (decimal.Decimal, Mark, error) {
	groups, marks := split(s)
	whole, fraction, proven, err := groups, "", Unknown, error(nil)
	if last := len(marks) - 1; last >= 0 && markOf(marks[last]) != Unknown {
		final := markOf(marks[last])
		switch {
		case last == 0 && thousands(groups, marks): // 1.234
			switch mark {
			case Unknown:
				err = ambiguous(s, groups)
			case final:
				whole, fraction = groups[:1], groups[1]
			}
		case last > 0 && marks[last-1] == marks[last]: // 1.234.567
			proven = final.other()
		default:
			whole, fraction, marks, proven = groups[:last+1], groups[last+1], marks[:last], final
			if fraction == "" {
				return decimal.Decimal{}, Unknown, notFigure(s)
			}
		}
	}
	if err == nil && len(whole) > 1 && !thousands(whole, marks) {
		err = fmt.Errorf("%s has its thousands marks in odd places; write it as 1234.50", quoted(s))
	}
	if err != nil {
		return decimal.Decimal{}, Unknown, err
	}
	plain := strings.TrimLeft(strings.Join(whole, ""), "0")
	if plain == "" {
		if len(whole) == 0 || whole[0] == "" && fraction == "" {
			return decimal.Decimal{}, Unknown, notFigure(s)
		}
		plain = "0"
	}
	if fraction != "" {
		plain += "." + fraction
	}
	d, err := measure.Number(plain)
	return d, proven, err
}

// split cuts a figure into groups of digits and the marks between them.
func split(s string) (groups []string, marks []rune) {
	start := 0
	for i, r := range s {
		if r < '0' || r > '9' {
			groups, marks = append(groups, s[start:i]), append(marks, r)
			start = i + len(string(r))
		}
	}
	return append(groups, s[start:]), marks
}

// thousands reports whether marks part whole thousands: one mark throughout,
// groups of three. In the South Asian way the groups above the last have two.
func thousands(groups []string, marks []rune) bool {
	n := len(groups) - 1
	if n != len(marks) || n == 0 || groups[0] == "" || groups[0][0] == '0' || len(groups[0]) > 3 || len(groups[n]) != 3 {
		return false
	}
	size := 3
	if n > 1 && marks[0] == ',' && len(groups[0]) <= 2 && len(groups[1]) == 2 {
		size = 2
	}
	for i, m := range marks {
		if m != marks[0] || !strings.ContainsRune(".,' ", m) || i > 0 && len(groups[i]) != size {
			return false
		}
	}
	return true
}

func ambiguous(s string, groups []string) error {
	return fmt.Errorf("%s is %s or %s.%s: %w; say whether decimals follow a point or a comma",
		quoted(s), groups[0]+groups[1], groups[0], groups[1], ErrAmbiguous)
}

func notFigure(s string) error {
	return fmt.Errorf("%s is not a figure; write digits such as 1234.50", quoted(s))
}

// quoted repeats what stands in the list, cut where it is too long.
func quoted(s string) string {
	const most = 40
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
