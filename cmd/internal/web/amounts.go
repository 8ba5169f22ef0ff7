package web

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/record"
)

// price returns what is in a box for money as a plain figure, however it was
// written: "18,50 €", "1.234,50" and "1 234.50" too. Money of another currency,
// and what is no figure, is left alone, to be refused.
func (f form) price(name string) string {
	text := f.get(name)
	if text == "" || strings.HasSuffix(text, "p") || strings.HasSuffix(text, "c") { // pence and cents are for lists
		return f.figure(name)
	}
	a, err := pricelist.ReadAmount(text, pricelist.Unknown)
	if err != nil || a.Per != nil || !a.In(f.currency) {
		return f.figure(name)
	}
	return measure.Plain(a.Figure)
}

// eitherWay is a figure of which nobody can tell whether its mark stands before
// decimals or before thousands.
var eitherWay = regexp.MustCompile(`^[1-9][0-9]{0,2}[.,][0-9]{3}$`)

// oneWay refuses an amount of whole coins that could be a thousand times as much:
// 1.000 is a thousand in half of Europe. A currency whose coins are that small
// has such figures every day.
func oneWay(cur money.Currency, text string) error {
	if cur.Places() >= 3 || !eitherWay.MatchString(text) {
		return nil
	}
	plain := strings.NewReplacer(".", "", ",", "")
	point := strings.Replace(text, ",", ".", 1)
	return fmt.Errorf("%s may be %s or %s; write it without the mark, or with two digits behind it", text, plain.Replace(text), strings.TrimSuffix(point, "0"))
}

var plainNumber = regexp.MustCompile(`^[0-9]+([.][0-9]+)?$`)

// inUnit gives a bare number the unit that its box asks for.
func inUnit(text, unit string) string {
	text = amountText(text)
	if plainNumber.MatchString(text) {
		return text + " " + unit
	}
	return text
}

// amountText brings what is in a box for an amount to the spelling of records:
// "½", "2½kg", "1 1/2 cups", "1.000,50 g", "1h30", "14 days", "25cm" and "10%",
// with spaces and digits as other programs write them. What a record writes
// stays as it is, to the last digit. What could be either of two amounts, and
// what is none, is left as it was typed, to be refused beside its box.
func amountText(text string) string {
	if _, err := measure.Parse(text); err == nil || plainNumber.MatchString(text) {
		return text
	}
	tidy := tidied(text)
	if m := hoursAndMinutes.FindStringSubmatch(tidy); m != nil {
		hours, errHours := strconv.Atoi(m[1])
		minutes, errMinutes := strconv.Atoi(m[2])
		if errHours == nil && errMinutes == nil && hours < 10_000 && minutes < 60 {
			return strconv.Itoa(hours*60+minutes) + " min"
		}
	}
	number, rest, ok := numberAhead(tidy)
	if !ok {
		return text
	}
	if unit, ok := unitOf(strings.TrimSpace(rest)); ok {
		return strings.TrimSpace(number + " " + unit)
	}
	return number + rest
}

// hoursAndMinutes is a time as clocks are read out.
var hoursAndMinutes = regexp.MustCompile(`(?i)^([0-9]+) ?(?:h|hr|hrs|hour|hours)[ ,]{0,2}([0-9]{1,2}) ?(?:m|min|mins|minute|minutes)?[.]?$`)

// signs are what tidied text has in place of what cannot be seen or says the
// same in another way.
var signs = strings.NewReplacer("\u200b", "", "\ufeff", "", "\u200e", "", "\u200f", "", "\u2044", "/", "\u2019", "'", "\u02bc", "'")

// tidied gives text plain digits, single spaces, and fractions that are written
// out: "２½　kg" is "2 1/2 kg".
func tidied(text string) string {
	var b strings.Builder
	for _, r := range text {
		written := norm.NFKC.String(string(r))
		if before, after, fraction := strings.Cut(written, "\u2044"); fraction && before != "" && after != "" { // ½, but not a slash by itself
			written = " " + before + "/" + after
		}
		b.WriteString(written)
	}
	return strings.Join(strings.Fields(signs.Replace(b.String())), " ")
}

var (
	// fraction is "1/2" or "1 1/2" at the beginning of a text.
	fraction = regexp.MustCompile(`^(?:([0-9]{1,9}) )?([0-9]{1,3})/([0-9]{1,3})($|[^0-9/.,])`)
	// grouped is a number whose thousands stand apart.
	grouped = regexp.MustCompile(`^[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]+)?`)
	marked  = regexp.MustCompile(`^(?:[0-9]+(?:[.,'][0-9]+)*|[.,][0-9]+)`)
)

// numberAhead reads the number that a tidied text begins with, as a record
// writes it, and returns what stands behind. A fraction without an end, such as a
// third, is none.
func numberAhead(text string) (number, rest string, ok bool) {
	if m := fraction.FindStringSubmatch(text); m != nil {
		whole, _ := strconv.ParseInt("0"+m[1], 10, 64)
		over, _ := strconv.ParseInt(m[2], 10, 64)
		under, _ := strconv.ParseInt(m[3], 10, 64)
		if under == 0 || m[1] != "" && over >= under {
			return "", text, false
		}
		n := exact.Int(whole).Add(exact.Frac(over, under))
		number = n.Round(9).String()
		if !exact.Must(number).Equal(n) {
			return "", text, false
		}
		return number, text[len(m[0])-len(m[4]):], true
	}
	core := grouped.FindString(text)
	if rest := text[len(core):]; core == "" || rest != "" && strings.ContainsRune("0123456789.,'", rune(rest[0])) {
		core = marked.FindString(text)
	}
	rest = text[len(core):]
	if core == "" || rest != "" && strings.ContainsRune("0123456789.,'/:", rune(rest[0])) {
		return "", text, false
	}
	if plainNumber.MatchString(core) {
		return core, rest, true
	}
	a, err := pricelist.ReadAmount(core, pricelist.Unknown)
	if err != nil {
		return "", text, false
	}
	return measure.Plain(a.Figure), rest, true
}

// unitNames are units as people write them, in small letters; common practice, no
// source. Ounces of volume, pints and gallons differ between countries, so none
// is here.
var unitNames = map[string]string{
	"kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "gr": "g", "grs": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g",
	"ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb",
	"litre": "l", "litres": "l", "liter": "l", "liters": "l", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "mls": "ml",
	"teaspoon": "tsp", "teaspoons": "tsp", "tsps": "tsp", "tablespoon": "tbsp", "tablespoons": "tbsp", "tbsps": "tbsp", "cups": "cup",
	"piece": "each", "pieces": "each", "pc": "each", "pcs": "each", "dozens": "dozen", "doz": "dozen",
	"millimetre": "mm", "millimetres": "mm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"inch": "in", "inches": "in", "\"": "in", "″": "in", "′′": "in", "”": "in", "foot": "ft", "feet": "ft", "sq cm": "cm2", "sq m": "m2", "sq in": "in2",
	"second": "s", "seconds": "s", "sec": "s", "secs": "s", "minute": "min", "minutes": "min", "mins": "min", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "days": "day", "d": "day",
	"watt": "W", "watts": "W", "kilowatt": "kW", "kilowatts": "kW", "g/cm3": "g/ml", "kg/l": "g/ml", "g per ml": "g/ml", "g / ml": "g/ml", "percent": "%", "per cent": "%",
}

// unitOf is a unit as a record writes it.
func unitOf(text string) (string, bool) {
	if text == "" || text == "%" || text == "g/ml" {
		return text, true
	}
	text = strings.TrimSuffix(text, ".")
	for _, u := range measure.Symbols(measure.None) {
		if u == text || strings.EqualFold(u, text) && len(text) > 1 { // "KG" is kg, but "M" may be a metre or a minute
			return u, true
		}
	}
	if strings.EqualFold(text, "g") || strings.EqualFold(text, "l") || strings.EqualFold(text, "w") {
		return map[string]string{"g": "g", "l": "l", "w": "W"}[strings.ToLower(text)], true
	}
	unit, ok := unitNames[strings.ToLower(text)]
	return unit, ok
}

// wholeWords stand behind whole numbers and say what they count.
var wholeWords = regexp.MustCompile(`(?i) ?(days?|guests?|portions?|people|persons?|pieces?|pcs|each|tins?|wedges?)[.]?$`)

// thousands is a whole number with a mark before each three digits.
var thousands = regexp.MustCompile(`^[1-9][0-9]{0,2}([.,' ][0-9]{3})+$`)

// wholeNumber is the number in a box for a whole one, where its mark can only
// stand before thousands; what is none is left, to be refused at its path.
func wholeNumber(text string) any {
	plain := wholeWords.ReplaceAllString(tidied(text), "")
	if thousands.MatchString(plain) {
		plain = strings.NewReplacer(".", "", ",", "", "'", "", " ", "").Replace(plain)
	}
	if n, err := strconv.Atoi(plain); err == nil {
		return n
	}
	return text
}

// readPack reads what a pack holds as people write it: "10x250g", "2½ kg". Of
// what is counted a bare number is so many pieces. In a studio that writes a
// decimal comma 1.000 may be a thousand, and is asked back unless it is what
// the box was shown with.
func (f form) readPack(name string, counted bool, shown ...string) (measure.Pack, error) {
	text := f.get(name)
	if text == "" {
		return measure.Pack{}, errors.New(record.Missing)
	}
	if tidy := tidied(text); strings.Contains(tidy, "/") && !strings.Contains(text, "/") { // the sign ½, and no slash, which parts a case from its units
		number, rest, ok := numberAhead(tidy)
		if ok {
			text = number + rest
		}
	}
	written, none := measure.ParsePack(text)
	if none == nil && (!f.comma || slices.Contains(shown, written.String())) {
		return written, nil
	}
	if n, ok := wholeNumber(text).(int); ok && counted && n > 0 && none != nil {
		return measure.ParsePack(strconv.Itoa(n) + " each")
	}
	mark := pricelist.Unknown
	if !f.comma && !strings.Contains(text, ",") {
		mark = pricelist.Point
	}
	p, err := pricelist.ReadPack(text, mark)
	switch {
	case errors.Is(err, pricelist.ErrAmbiguous):
		return p, fmt.Errorf("%s can be read two ways; write it without the mark, or with two digits behind it", text)
	case err != nil && none == nil:
		return written, nil
	}
	return p, err
}

// writes says in what currency the studio's book is, and whether it writes
// decimals behind a comma; nothing where there is no book yet, or it cannot be
// read, which whoever reads the form finds out by themselves.
func (d *studio) writes(ctx context.Context) (money.Currency, bool) {
	if d == nil {
		return money.Currency{}, false
	}
	x, err := d.book(ctx)
	if err != nil {
		return money.Currency{}, false
	}
	half := wordsOf(x.Book.Studio).locale.Number(exact.Frac(1, 2).Round(1), 1)
	return x.Book.Studio.Currency, strings.Contains(half, ",")
}
