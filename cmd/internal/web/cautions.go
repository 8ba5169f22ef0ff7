package web

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/schedule"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

// cautionsOf warns of what is flagged in all that is taken, in the words that
// clients read on their papers, and of sugar that burns whoever makes it.
func cautionsOf(x *book.Index, taken pricing.Takeoff) page.Notes {
	var flagged []document.Caution
	for _, f := range pricing.Flagged(x, taken) {
		flagged = append(flagged, document.Caution{Flag: string(f.Flag), In: f.In})
	}
	english := document.MessagesFor("en")
	section := document.Cautions(english, flagged...)
	notes := page.Notes{Title: "Take care", Lines: section.Lines}
	var hot []string
	for _, m := range taken.Makings {
		if c := m.Component; schedule.HotSugar(c) && !slices.Contains(hot, c.Name) {
			hot = append(hot, c.Name)
		}
	}
	if len(hot) > 0 {
		concerns := fmt.Sprintf(english.CautionIn, strings.Join(hot, "; "))
		notes.Lines = append(notes.Lines, document.EnglishProduction().HotSugar+" "+concerns)
	}
	return notes
}
