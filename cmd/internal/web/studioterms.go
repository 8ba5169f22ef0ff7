package web

import (
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// spareRows is how many empty rows a short list offers beyond those in use.
const spareRows = 2

var termsPart = studioPart{
	title: "Terms of your quotes", lead: "How long an offer stands, how it is paid, and the wording that every quote carries.",
	form: func(a *asking, st book.Studio) ([]page.Field, []page.Group) {
		q := st.Quote.Value
		days, deposit := "", ""
		if q.ValidDays.Given {
			days = fmt.Sprint(q.ValidDays.Value)
		}
		if q.Deposit.Given {
			deposit = percentFigure(q.Deposit.Value)
		}
		fields := []page.Field{
			a.field(page.Field{Name: "quote.valid_days", Label: "An offer stands for", Kind: "number", Unit: "days", Value: days, Help: "30 where you leave it empty."}),
			a.field(page.Field{Name: "quote.deposit", Label: "Deposit when the client accepts", Kind: "number", Unit: "%", Value: deposit, Help: "Empty for none."}),
		}
		paid := page.Group{Title: "What is paid when", Open: true, Short: true, Help: "In per cent of the total, so many days before the event. What the instalments leave is due at the last of them."}
		for i := range max(len(q.Instalments)+spareRows, rowsTyped(a, "quote.instalments")) {
			share, before := "", ""
			if i < len(q.Instalments) {
				share, before = percentFigure(q.Instalments[i].Share), fmt.Sprint(q.Instalments[i].DaysBefore)
			}
			at := record.Item("quote.instalments", i)
			paid.Fields = append(paid.Fields,
				a.field(page.Field{Name: at + ".share", Label: fmt.Sprintf("Instalment %d", i+1), Kind: "number", Unit: "%", Value: share}),
				a.field(page.Field{Name: at + ".days_before", Label: fmt.Sprintf("No. %d is due", i+1), Kind: "number", Unit: "days before", Value: before}))
		}
		off := page.Group{Title: "What calling it off costs", Short: true, Open: len(q.Cancellation) > 0 || a.typed != nil, Help: "In per cent of the total, from so many days before the event on. Left empty, the days mean: at any time."}
		for i := range max(len(q.Cancellation)+spareRows, rowsTyped(a, "quote.cancellation")) {
			share, within := "", ""
			if i < len(q.Cancellation) {
				c := q.Cancellation[i]
				share = percentFigure(c.Share)
				if c.WithinDays.Given {
					within = fmt.Sprint(c.WithinDays.Value)
				}
			}
			at := record.Item("quote.cancellation", i)
			off.Fields = append(off.Fields,
				a.field(page.Field{Name: at + ".share", Label: fmt.Sprintf("Step %d", i+1), Kind: "number", Unit: "%", Value: share}),
				a.field(page.Field{Name: at + ".within_days", Label: fmt.Sprintf("Step %d from", i+1), Kind: "number", Unit: "days before", Value: within}))
		}
		wording := page.Group{Title: "The terms themselves", Open: true, Fields: []page.Field{
			a.field(page.Field{Name: "quote.terms", Label: "Terms, a paragraph a line", Kind: "long", Wide: true, Value: strings.Join(q.Terms, "\n"), Help: "The papers number them. Empty lines are passed over."}),
		}}
		return fields, []page.Group{paid, off, wording}
	},
	set: func(f form, st book.Studio) settings {
		set := settings{"quote.deposit": f.percent("quote.deposit"), "quote.valid_days": wholeNumber(f.get("quote.valid_days"))}
		set["quote.instalments"] = orNothing(shared(f.rows("quote.instalments", "share", "days_before"), "days_before"))
		set["quote.cancellation"] = orNothing(shared(f.rows("quote.cancellation", "share", "within_days"), "within_days"))
		var terms []any
		for line := range strings.SplitSeq(f.get("quote.terms"), "\n") {
			if line = strings.TrimSpace(line); line != "" {
				terms = append(terms, line)
			}
		}
		set["quote.terms"] = orNothing(terms)
		return set
	},
	notes: []string{"Have terms looked over by someone who knows the law of your country: what a studio may ask for, above all on cancelling, differs from one to the next."},
}

// rowsTyped is how many rows of a list somebody sent.
func rowsTyped(a *asking, list string) int {
	n := 0
	for name := range a.typed {
		var i int
		if rest, ok := strings.CutPrefix(name, list+"["); ok {
			if _, err := fmt.Sscanf(rest, "%d]", &i); err == nil && i < mostRows {
				n = max(n, i+1)
			}
		}
	}
	return n
}

// mostRows bounds how many rows a form shows again.
const mostRows = 40

// shared makes rows of boxes what a record holds: a percentage, and a number of
// days.
func shared(rows []any, days string) []any {
	for _, r := range rows {
		row := r.(map[string]any)
		if share, ok := row["share"].(string); ok {
			row["share"] = strings.TrimSpace(strings.TrimSuffix(amountText(share), "%")) + " %"
		}
		if n, ok := row[days].(string); ok {
			row[days] = wholeNumber(n)
		}
	}
	return rows
}

func orNothing(list []any) any {
	if len(list) == 0 {
		return nil
	}
	return list
}
