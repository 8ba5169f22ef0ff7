package web

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/quote"
	"marchpane/templates/pdf"
)

// LackingNote names what a quote says to the client and its paper cannot print,
// such as emoji. It is "" where all can be printed.
func LackingNote(q quote.Quote) string {
	var lacking []string
	for _, one := range q.Choices() {
		text, err := json.Marshal(one.Offer) // all that the paper is made of
		if err != nil {
			continue
		}
		for _, sign := range pdf.Lacking(string(text)) {
			if !slices.Contains(lacking, sign) {
				lacking = append(lacking, sign)
			}
		}
	}
	const most = 5
	switch n := len(lacking); {
	case n == 0:
		return ""
	case n > most:
		lacking = append(lacking[:most:most], fmt.Sprintf("%d more", n-most))
	}
	return fmt.Sprintf("the paper cannot print %s and shows □ instead", strings.Join(lacking, ", "))
}
