package sheet

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// maxText is how much text a cell holds, in UTF-16 units.
const maxText = 32767

// plain returns text as a cell can hold it: valid, in one line, without
// control characters, and cut with an ellipsis where it is too long.
func plain(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF:
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return shortened(text, maxText)
}

// shortened cuts text to most UTF-16 units, the ellipsis among them.
func shortened(text string, most int) string {
	units, cut := 0, 0
	for i, r := range text {
		if units < most {
			cut = i // up to here there is room for the ellipsis
		}
		units += utf16.RuneLen(r)
		if units > most {
			return text[:cut] + "…"
		}
	}
	return text
}

// printed returns text for a header or footer, where & is a command and all of
// it has to stay below 255 letters.
func printed(text string) string {
	return strings.ReplaceAll(shortened(plain(text), 60), "&", "&&")
}

func cellName(column string, row int) string { return fmt.Sprintf("%s%d", column, row) }

func rangeOf(column string, row int, toColumn string, toRow int) string {
	return fmt.Sprintf("%s%d:%s%d", column, row, toColumn, toRow)
}

// cellOf names a cell for a formula on any sheet, fixed against copying.
func cellOf(sheet, column string, row int) string {
	return fmt.Sprintf("%s!$%s$%d", quoted(sheet), column, row)
}

// columnOf names a stretch of a column likewise.
func columnOf(sheet, column string, first, last int) string {
	return fmt.Sprintf("%s!$%s$%d:$%s$%d", quoted(sheet), column, first, column, last)
}

// quoted returns a sheet's name as formulas want it.
func quoted(sheet string) string {
	for _, r := range sheet {
		if r >= utf8.RuneSelf || !unicode.IsLetter(r) {
			return "'" + strings.ReplaceAll(sheet, "'", "''") + "'"
		}
	}
	return sheet
}
