package actual

import (
	"errors"
	"fmt"
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Minutes is a length of time as people write it down.
type Minutes struct {
	number exact.Number
}

// longestEntry is how much work one entry can hold: a day and night. Whatever
// is longer is a slip, or belongs on several days.
var longestEntry = exact.Int(24 * 60)

// ParseMinutes reads "95", "95 min", "1:35", "1.5 h" or "1 h 35 min".
func ParseMinutes(s string) (Minutes, error) {
	n, err := minutesOf(s)
	switch {
	case err != nil:
		return Minutes{}, err
	case n.Sign() <= 0:
		return Minutes{}, errors.New("0 minutes say nothing; enter how long it took")
	case n.Cmp(longestEntry) > 0:
		return Minutes{}, fmt.Errorf("%s is more than 24 hours; enter the work of each day apart", strings.TrimSpace(s))
	}
	return Minutes{n}, nil
}

func minutesOf(s string) (exact.Number, error) {
	wrong := fmt.Errorf("%.40q is no length of time; write minutes as 95, or 1:35, or \"1 h 35 min\"", s)
	text := strings.TrimSpace(s)
	if h, m, ok := strings.Cut(text, ":"); ok {
		hours, errH := measure.Number(h)
		minutes, errM := measure.Number(m)
		if errH != nil || errM != nil || len(m) != 2 || strings.Contains(h, ".") || m > "59" {
			return exact.Number{}, wrong
		}
		return exact.FromDecimal(hours).Mul(exact.Int(60)).Add(exact.FromDecimal(minutes)), nil
	}
	if n, err := measure.Number(text); err == nil {
		return exact.FromDecimal(n), nil
	}
	var sum exact.Number
	words := strings.Fields(spaced(text))
	if len(words) == 0 || len(words)%2 != 0 || len(words) > 4 {
		return exact.Number{}, wrong
	}
	for i := 0; i < len(words); i += 2 {
		n, err := measure.Number(words[i])
		if err != nil {
			return exact.Number{}, wrong
		}
		times := int64(1)
		switch unit := words[i+1]; {
		case (unit == "h" || unit == "hour" || unit == "hours") && i == 0:
			times = 60
		case (unit == "min" || unit == "minute" || unit == "minutes") && i == len(words)-2:
		default:
			return exact.Number{}, wrong
		}
		sum = sum.Add(exact.FromDecimal(n).Mul(exact.Int(times)))
	}
	return sum, nil
}

// spaced parts figures from units: "1h35min" is "1 h 35 min".
func spaced(s string) string {
	var b strings.Builder
	figure := func(r rune) bool { return r >= '0' && r <= '9' || r == '.' }
	var before rune
	for _, r := range s {
		if before != 0 && figure(r) != figure(before) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		before = r
	}
	return b.String()
}

// MinutesOf returns n minutes, of which a clock has made sure.
func MinutesOf(n exact.Number) Minutes { return Minutes{n} }

// Number returns the minutes.
func (m Minutes) Number() exact.Number { return m.number }

// IsZero reports whether no time is given.
func (m Minutes) IsZero() bool { return m.number.IsZero() }

// String returns m as "1 h 35 min".
func (m Minutes) String() string { return InHours(m.number) }

// InHours prints minutes as "1 h 35 min", to a tenth of a minute.
func InHours(minutes exact.Number) string {
	sign := ""
	if minutes.Sign() < 0 {
		sign, minutes = "-", minutes.Neg()
	}
	tenths := exact.FromDecimal(minutes.Round(1)) // before hours part off, so that none shows 60 min
	hours := exact.FromBig(tenths.Quo(exact.Int(60)).Floor())
	rest := tenths.Sub(hours.Mul(exact.Int(60)))
	text := rest.Round(1).String() + " min"
	switch {
	case hours.IsZero():
		return sign + text
	case rest.IsZero():
		return sign + hours.Text() + " h"
	}
	return sign + hours.Text() + " h " + text
}

// MarshalText writes m as [Minutes.String] does.
func (m Minutes) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads m as [ParseMinutes] does.
func (m *Minutes) UnmarshalText(text []byte) (err error) {
	*m, err = ParseMinutes(string(text))
	return err
}
