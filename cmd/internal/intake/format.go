package intake

import (
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/pricelist"
)

// format is what a style shows of a number: a day, a percentage, or the number
// with text on either side, as "€" and "kg" mostly stand in the style alone.
type format struct {
	date, percent bool
	before, after string
}

// builtIn are the formats that every workbook has by number (ECMA-376 part 1,
// 18.8.30): 9 and 10 are percentages, 14 to 17 and 22 days, 27 to 36 and 50 to
// 58 days of East Asian workbooks. The currency of 5 to 8 is that of the
// reader's own country, and so tells nothing.
var builtIn = map[string]format{
	"9": {percent: true}, "10": {percent: true},
	"14": {date: true}, "15": {date: true}, "16": {date: true}, "17": {date: true}, "22": {date: true},
	"27": {date: true}, "28": {date: true}, "29": {date: true}, "30": {date: true}, "31": {date: true}, "36": {date: true},
	"50": {date: true}, "51": {date: true}, "52": {date: true}, "53": {date: true}, "54": {date: true}, "57": {date: true}, "58": {date: true},
}

// formatOf reads a format code such as `#,##0.00\ [$€-407];[Red]-0`, of which
// the first section is for numbers above zero.
func formatOf(code string) format {
	var f format
	var text strings.Builder
	digits := false
	literal := func(s string) { text.WriteString(s) }
	runes := []rune(strings.Replace(code, "General", "0", 1))
scan:
	for i := 0; i < len(runes); i++ {
		switch r := runes[i]; r {
		case ';':
			break scan
		case '"':
			end := i + 1
			for end < len(runes) && runes[end] != '"' {
				end++
			}
			literal(string(runes[i+1 : min(end, len(runes))]))
			i = end
		case '[': // [Red], [>1], [h], [$€-407]
			end := i + 1
			for end < len(runes) && runes[end] != ']' {
				end++
			}
			inside := string(runes[i+1 : min(end, len(runes))])
			if sign, ok := strings.CutPrefix(inside, "$"); ok {
				sign, _, _ = strings.Cut(sign, "-")
				literal(sign)
			}
			i = end
		case '\\', '_', '*':
			if i++; r == '\\' && i < len(runes) {
				literal(string(runes[i]))
			} else {
				literal(" ")
			}
		case '0', '#', '?':
			if !digits {
				f.before = text.String()
			}
			digits = true
			text.Reset()
		case '%':
			f.percent = true
		case 'y', 'Y', 'd', 'D':
			f.date = true
		case '.', ',', 'E', 'e', '+', '-', '/', '(', ')', '@', 'm', 'M', 'h', 'H', 's', 'S':
		default:
			if r == ' ' || strings.ContainsRune("€£$¥₹¢", r) {
				literal(string(r))
			}
		}
	}
	f.before, f.after = beside(f.before), ""
	if digits {
		f.after = beside(text.String())
	}
	return f
}

// beside tidies the text beside a number; a sign without a letter or currency
// is but an ornament.
func beside(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if strings.Trim(s, "-+()[]~*'.,:; ") == "" || len(s) > 40 {
		return ""
	}
	return s
}

// Days of serial numbers: 1 is 1 January 1900 or 0 is 1 January 1904. Before
// March 1900 the first way counts a day that never was.
const (
	firstSerial = 61
	lastSerial  = 2_958_465 // 9999-12-31
)

// show returns the cell that a number makes.
func (f format) show(n decimal.Decimal, from1904 bool) pricelist.Cell {
	switch {
	case f.date:
		serial, since := n.Floor(), day.Must("1899-12-30")
		if from1904 {
			serial = serial.Add(decimal.NewFromInt(1462))
		}
		if serial.GreaterThanOrEqual(decimal.NewFromInt(firstSerial)) && serial.LessThanOrEqual(decimal.NewFromInt(lastSerial)) {
			return pricelist.Cell{Text: since.AddDays(int(serial.IntPart())).String(), Kind: pricelist.Date}
		}
	case f.percent:
		return pricelist.Cell{Text: n.Shift(2).String() + " %", Kind: pricelist.Number}
	}
	text := strings.TrimSpace(f.before + " " + n.String() + " " + f.after)
	return pricelist.Cell{Text: text, Kind: pricelist.Number}
}
