package web

import (
	"fmt"
	"html/template"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

// words writes figures as the studio reads them, by its locale, with the English
// of the pages around them.
type words struct {
	locale   document.Locale
	currency money.Currency
}

func wordsOf(s book.Studio) words {
	return words{document.InEnglish(s.Locale.Or("en")), s.Currency}
}

// money writes an amount, rounded to the minor unit.
func (w words) money(n exact.Number) string { return w.amount(w.currency.Round(n)) }

// price writes a price as it was typed, which may be finer than the minor unit.
func (w words) price(p money.Price) string {
	var a money.Amount
	if a.UnmarshalText([]byte(p.String())) != nil {
		return w.money(p.Number())
	}
	return w.amount(a)
}

// scale is how a chart of values is marked: the unit as it is said, and figures as
// the studio writes them.
func (w words) scale(unit string) plot.Scale {
	return plot.Scale{Unit: unit, Write: func(plain string) string {
		n, err := decimal.NewFromString(plain)
		if err != nil {
			return plain
		}
		_, decimals, _ := strings.Cut(plain, ".")
		return minus(w.locale.Number(n, uint8(len(decimals))))
	}}
}

// beside is the scale of a chart that shares its row with figures.
func (w words) beside(unit string) plot.Scale {
	s := w.scale(unit)
	s.Width = 620
	return s
}

// amount writes an amount that is rounded already.
func (w words) amount(a money.Amount) string { return w.locale.Money(a, w.currency) }

// percent writes a fraction with one decimal always, so that figures beneath one
// another line up.
func (w words) percent(n exact.Number) string {
	return minus(fmt.Sprintf(w.locale.Messages().Percent, w.locale.Number(n.Round(3).Shift(2), 1)))
}

// percents sets the percentages of a text as those beside it are set.
func (w words) percents(text string) string {
	if strings.Contains(w.locale.Messages().Percent, "%s%%") {
		text = strings.ReplaceAll(text, " %", "%")
	}
	return errorBar.ReplaceAllString(text, "±$1")
}

// errorBar is a figure behind its ±.
var errorBar = regexp.MustCompile(`± (\d)`)

// rate writes a fraction that somebody set, such as a tax, as it was set.
func (w words) rate(n exact.Number) string {
	return w.locale.Percent(n.Mul(exact.Int(100)).Round(4))
}

// quantity writes a quantity as people read it, in the unit it was typed in.
func (w words) quantity(q measure.Quantity) string {
	if q.Given() && q.Unit().String() == "each" {
		if figure := w.locale.Number(q.Figure(), 0); figure != "1" {
			return figure + "\u00a0pieces"
		}
		return "1\u00a0piece"
	}
	return w.locale.Quantity(q)
}

// pack writes what a pack holds as people read it: "10 × 250 g", "33.75 m²",
// "50 pieces". A box holds it as it is typed.
func (w words) pack(p measure.Pack) string {
	times, each, several := strings.Cut(p.String(), " x ")
	if !several {
		times, each = "", times
	}
	q, err := measure.Parse(each)
	if err != nil {
		return p.String() // a pack of nothing
	}
	if several {
		return times + "\u00a0×\u00a0" + w.quantity(q)
	}
	return w.quantity(q)
}

// unbroken keeps the words of a heading in one line.
func unbroken(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") }

// minus sets a true minus before figures that a paper wrote with a hyphen.
func minus(text string) string {
	var b strings.Builder
	list := []rune(text)
	for i, r := range list {
		begins := i == 0 || list[i-1] == ' ' || list[i-1] == '(' || list[i-1] == '\u00a0'
		if r == '-' && begins && i+1 < len(list) && (unicode.IsDigit(list[i+1]) || unicode.Is(unicode.Sc, list[i+1])) {
			r = '−'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// count writes how many there are.
func (w words) count(n int) string { return w.locale.Number(decimal.NewFromInt(int64(n)), 0) }

// counted writes how many there are of something.
func (w words) counted(n int, one, many string) string {
	if n == 1 {
		many = one
	}
	return w.count(n) + " " + many
}

// change writes a fraction with its sign.
func (w words) change(n exact.Number) string {
	text := w.percent(n)
	if n.Sign() > 0 {
		return "+" + text
	}
	return text
}

// day writes a day in words.
func (w words) day(d day.Date) string { return w.locale.Date(d) }

// isoDay is a day as the engine's refusals and records write it; with what stands
// before it, since a day that is to be typed like that stays so.
var isoDay = regexp.MustCompile(`(?:(?:such as|like|as) "?)?\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b`)

// daysIn writes the days in a refusal as the studio reads them.
func (w words) daysIn(text string) string {
	return isoDay.ReplaceAllStringFunc(text, func(found string) string {
		d, err := day.Parse(found)
		if err != nil {
			return found
		}
		return w.day(d)
	})
}

// allDated is [words.daysIn] for faults.
func (w words) allDated(faults record.Faults) record.Faults {
	list := slices.Clone(faults)
	for i := range list {
		list[i].Problem = w.daysIn(list[i].Problem)
	}
	return list
}

// per writes money for the amount in which people compare prices.
func (w words) per(perBase exact.Number, d measure.Dimension) string {
	times, unit := pricing.Spoken(d)
	return w.money(perBase.Mul(times)) + " " + unit
}

// share writes a fraction as a length out of a hundred.
func share(n exact.Number) string {
	if n.Sign() < 0 {
		return "0"
	}
	if n.Cmp(exact.Int(1)) > 0 {
		return "100"
	}
	return n.Mul(exact.Int(100)).Fixed(1)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	_, first := utf8.DecodeRuneInString(text)
	return strings.ToUpper(text[:first]) + text[first:]
}

func escapeQuery(text string) string { return url.QueryEscape(text) }

// drawn returns a plot to stand in a page. Its colours are in the stylesheet,
// since the policy allows no style within the page.
func drawn(f plot.Figure) (template.HTML, error) {
	var b strings.Builder
	if err := f.SVG(&b); err != nil {
		return "", err
	}
	before, rest, found := strings.Cut(b.String(), "<style>")
	_, after, closed := strings.Cut(rest, "</style>")
	if !found || !closed {
		return "", fmt.Errorf("a plot has no style to take out")
	}
	return template.HTML(before + after), nil
}

// pageSize is how many rows of a list a page shows.
const pageSize = 50

// paged returns the part of a list that a page shows, and the way to the
// others. from is counted from 0 and comes from the address.
func paged[T any](list []T, r url.Values, path string) ([]T, page.Pager) {
	from := 0
	fmt.Sscanf(r.Get("from"), "%d", &from)
	if from < 0 || from >= len(list) {
		from = 0
	}
	to := min(from+pageSize, len(list))
	if len(list) <= pageSize {
		return list, page.Pager{}
	}
	at := func(from int) string { return partAt(path, r, from) }
	p := page.Pager{Text: fmt.Sprintf("%d to %d of %d", from+1, to, len(list))}
	if from > 0 {
		p.Previous = at(max(from-pageSize, 0))
	}
	if to < len(list) {
		p.Next = at(to)
	}
	return list[from:to], p
}

// partAt is the address of the part of a list that begins at from.
func partAt(path string, query url.Values, from int) string {
	q := url.Values{}
	for key, values := range query {
		if key != "from" && values[0] != "" {
			q.Set(key, values[0])
		}
	}
	if from > 0 {
		q.Set("from", fmt.Sprint(from))
	}
	return withQuery(path, q)
}
