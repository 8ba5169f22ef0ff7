package document

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/bojanz/currency"
	"github.com/shopspring/decimal"
	"golang.org/x/text/language"

	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/shape"
)

// Locale writes figures the way readers of one place expect them.
type Locale struct {
	messages *Messages // for reading alone: it is everybody's
	region   string
	figures  *currency.Formatter
	coded    *currency.Formatter // with the code of the currency for its sign
	bare     *currency.Formatter // without a currency
	patterns *patterns
}

// NewLocale returns the locale called tag (BCP 47), with the wording of its
// language or English.
func NewLocale(tag string) Locale {
	if tag == "" {
		tag = "en"
	}
	return keep(tag, func() Locale { return newLocale(tag) })
}

// keep returns the locale that goes by a name, made once while there is room.
func keep(name string, make func() Locale) Locale {
	locales.RLock()
	l, there := locales.of[name]
	locales.RUnlock()
	if there {
		return l
	}
	l = make()
	locales.Lock()
	defer locales.Unlock()
	if len(locales.of) < mostLocales {
		locales.of[name] = l
	}
	return l
}

func newLocale(tag string) Locale {
	// Region gives the likely one where the tag names none: en is US. A tag of
	// plain English says nothing about the Atlantic, and most of the world
	// writes the day first.
	region, sure := language.Make(tag).Region()
	messages := MessagesFor(tag)
	l := Locale{messages: &messages}
	if sure >= language.Exact {
		l.region = region.String()
	}
	l.format(tag)
	if !legible(l.number(decimal.New(12345, -1), 1)) {
		// Digits that the papers' faces lack: the ones that all the world reads.
		l.format("en")
	}
	return l
}

// LocaleFor returns the locale of a client's papers: that of the client's
// language, where papers are written in it, else the studio's. A language
// without a region takes that of the studio for dates and paper; where it is
// the studio's own language, its figures too: a Swiss studio writes to a client
// who reads German as the Swiss do.
func LocaleFor(client, studio string) Locale {
	if client == "" || !Speaks(client) {
		return NewLocale(studio)
	}
	tag, home := language.Make(client), language.Make(studio)
	if _, sure := tag.Region(); sure == language.Exact {
		return NewLocale(client)
	}
	base, _ := tag.Base()
	if own, _ := home.Base(); own == base && studio != "" {
		return NewLocale(studio)
	}
	l := NewLocale(client)
	l.region = NewLocale(studio).region
	return l
}

func (l *Locale) format(tag string) {
	if language.Make(tag) == language.Portuguese {
		// CLDR's plain pt is Brazilian; the wording under that tag is of Portugal.
		tag = "pt-PT"
	}
	l.figures = currency.NewFormatter(currency.NewLocale(tag))
	l.coded = currency.NewFormatter(currency.NewLocale(tag))
	l.coded.CurrencyDisplay = currency.DisplayCode
	l.bare = currency.NewFormatter(currency.NewLocale(tag))
	l.bare.CurrencyDisplay = currency.DisplayNone
	l.patterns = &patterns{known: map[patternOf]figurePattern{}}
}

// legible reports whether money and figures can be set in the faces of the
// papers: Latin, Greek and Cyrillic letters, punctuation, and the signs of
// currencies that a face of wide coverage has.
func legible(text string) bool {
	for _, r := range text {
		switch {
		case r < 0x0530, r >= 0x2000 && r <= 0x206F, r >= 0x20A0 && r <= 0x20B5, r == '₸', r == '₹', r == '₺', r == '₽', r == '฿', r == '−':
		default:
			return false
		}
	}
	return true
}

// Messages returns the wording.
func (l Locale) Messages() Messages { return *l.messages }

// Paper returns the paper of the region: Letter where the Unicode CLDR's
// supplemental data (paperSize US-Letter, from memory) have it, else A4.
func (l Locale) Paper() Paper {
	switch l.region {
	case "BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE":
		return Letter
	}
	return A4
}

// Money writes an amount by the CLDR pattern of the locale: "€1,234.50" or
// "1.234,50 €"; with the currency's code where its sign could not be read.
func (l Locale) Money(a money.Amount, c money.Currency) string {
	plain := a.String()
	which := patternOf{l.region, c.Code(), a.Sign() < 0}
	p, there := l.patterns.of(which)
	if !there {
		p = l.patterns.learn(which, func(plain string) string { return l.money(plain, c) })
	}
	if text, ok := p.write(strings.TrimPrefix(plain, "-"), p.decimals); ok {
		return text
	}
	return l.money(plain, c)
}

// money is [Locale.Money] by the formatter.
func (l Locale) money(plain string, c money.Currency) string {
	amount, err := currency.NewAmount(plain, c.Code())
	if err != nil {
		// A currency withdrawn since has no pattern; its code is clear.
		return c.Code() + "\u00a0" + l.number(decimal.RequireFromString(plain), uint8(c.Places()))
	}
	return below(plain, l.sum(amount, c))
}

// sum is what [Locale.Money] writes, with the minus of the CLDR.
func (l Locale) sum(amount currency.Amount, c money.Currency) string {
	// Japanese and Chinese write the yen and yuan sign in full width.
	text := strings.ReplaceAll(l.figures.Format(amount), "￥", "¥")
	if !legible(text) || l.foreignDollar(text, c) {
		return l.coded.Format(amount)
	}
	return text
}

// below sets the true minus (U+2212) before a figure below nothing, where the
// data of most locales have the hyphen of a keyboard: beside a digit it is the
// sign that is as wide as the plus, and a line cannot end behind it.
func below(plain, text string) string {
	if strings.HasPrefix(plain, "-") {
		text = strings.Replace(text, "-", "−", 1)
	}
	return text
}

// foreignDollar reports whether a bare $ would pass for the dollar or peso of
// the reader's own country.
func (l Locale) foreignDollar(text string, c money.Currency) bool {
	before, after, found := strings.Cut(text, "$")
	if !found || strings.ContainsFunc(before+after, unicode.IsLetter) {
		return false // US$ and $US say whose it is
	}
	switch l.region {
	case "AR", "AU", "CA", "CL", "CO", "HK", "MX", "NZ", "SG", "TW", "UY":
		own, ok := currency.ForCountryCode(l.region)
		return ok && own != c.Code()
	}
	return false
}

// Number writes a plain number with all its decimals, and at least digits of
// them.
func (l Locale) Number(d decimal.Decimal, digits uint8) string {
	which := patternOf{negative: d.Sign() < 0}
	p, there := l.patterns.of(which)
	if !there {
		p = l.patterns.learn(which, func(plain string) string { return l.number(decimal.RequireFromString(plain), 0) })
	}
	if d.Exponent() <= 0 && d.Exponent() >= -mostDecimals {
		if text, ok := p.write(strings.TrimPrefix(d.String(), "-"), int(digits)); ok {
			return text
		}
	}
	return l.number(d, digits)
}

// number is [Locale.Number] by the formatter.
func (l Locale) number(d decimal.Decimal, digits uint8) string {
	if d.NumDigits() > 30 {
		return below(d.String(), measure.Plain(d)) // beyond what the formatter can hold
	}
	// Any currency does: the formatter shows none.
	amount, err := currency.NewAmount(d.String(), "USD")
	if err != nil {
		return below(d.String(), measure.Plain(d))
	}
	// The formatter rounds to a number of places; it gets those that d has.
	bare := *l.bare
	bare.MinDigits = digits
	bare.MaxDigits = max(digits, uint8(min(max(-d.Exponent(), 0), 30)))
	return below(d.String(), bare.Format(amount))
}

// Percent writes a percentage given in per cent: 13.5 is "13.5%".
func (l Locale) Percent(d decimal.Decimal) string {
	return sentence(l.messages.Percent, l.Number(d, 0))
}

// Quantity writes a quantity in the unit it was typed in.
func (l Locale) Quantity(q measure.Quantity) string {
	if !q.Given() {
		return ""
	}
	unit := q.Unit().String()
	if q.Dimension() == measure.Area {
		unit = strings.Replace(unit, "2", "²", 1)
	}
	return l.Number(q.Figure(), 0) + "\u00a0" + unit
}

// Signed writes an amount that is added to another, with its sign: "+€120.00".
func (l Locale) Signed(a money.Amount, c money.Currency) string {
	if a.Sign() > 0 {
		return "+" + l.Money(a, c)
	}
	return l.Money(a, c)
}

// Date writes a day in words: "12 June 2027", or "June 12, 2027" where the
// month comes first.
func (l Locale) Date(d day.Date) string {
	return l.date(d, l.messages.DayFirst, l.messages.MonthFirst)
}

// LongDate writes a day with its weekday.
func (l Locale) LongDate(d day.Date) string {
	return l.date(d, l.messages.DayFirstLong, l.messages.MonthFirstLong)
}

func (l Locale) date(d day.Date, dayFirst, monthFirst string) string {
	if d.IsZero() {
		return ""
	}
	pattern := dayFirst
	switch l.region {
	case "US", "CA", "PH": // CLDR, English date patterns of these regions (from memory)
		pattern = monthFirst
	}
	t := d.Time()
	return fmt.Sprintf(pattern, l.messages.Weekdays[t.Weekday()], t.Day(), l.messages.Months[t.Month()-1], t.Year())
}

// Size writes a tier's size in words: "Round, 225 mm across, 110 mm high".
func (l Locale) Size(s shape.Solid) string {
	m := l.messages
	plan := m.ShapeNames[string(s.Outline.Kind())]
	sizes := s.Outline.Sizes()
	switch s.Outline.Kind() {
	case shape.Round:
		plan += ", " + sentence(m.Across, l.Quantity(sizes[0]))
	case shape.Square:
		plan += ", " + sentence(m.AcrossSquare, l.Quantity(sizes[0]))
	case shape.Rectangle:
		plan += ", " + l.Quantity(sizes[0]) + " × " + l.Quantity(sizes[1])
	case shape.Hexagon, shape.Heart, shape.Measured:
		plan += " " + l.Quantity(sizes[0])
	}
	return sentence(m.Stands, plan, sentence(m.High, l.Quantity(s.Height)))
}

// sentence fills a pattern's %s in order.
func sentence(pattern string, parts ...any) string { return fmt.Sprintf(pattern, parts...) }
