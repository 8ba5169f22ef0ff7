package document

import "strings"

// The facts about a cake that a client is warned of, by the words of the book.
const (
	CautionInedible    = "inedible"
	CautionAlcohol     = "alcohol"
	CautionRawEgg      = "raw-egg"
	CautionGelatine    = "gelatine"
	CautionFreshFlower = "fresh-flower"
)

// cautionOrder puts first what can hurt soonest.
var cautionOrder = [...]string{CautionInedible, CautionFreshFlower, CautionRawEgg, CautionAlcohol, CautionGelatine}

// Caution is a fact to warn of and the names of what it concerns.
type Caution struct {
	Flag string
	In   []string
}

// Cautions returns the section that warns of what is flagged. The wording is
// the usual caution and sends the reader on to labels and local advice; it
// claims no more than that.
func Cautions(m Messages, flagged ...Caution) Section {
	s := Section{Heading: m.Cautions}
	for _, known := range cautionOrder {
		for _, c := range flagged {
			if c.Flag != known {
				continue
			}
			text := m.Caution[known]
			if len(c.In) > 0 {
				// Semicolons, since the names themselves hold commas.
				text += " " + sentence(m.CautionIn, strings.Join(c.In, m.Semicolon))
			}
			s.Lines = append(s.Lines, text)
		}
	}
	return s
}
