package risk

import (
	"time"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// History is the price of one resource at the ends of months.
type History struct {
	Name   string    // in the user's words
	Months []Monthly // one a calendar month, without a gap, oldest first
}

// Monthly is the price in force at the end of a month.
type Monthly struct {
	End     day.Date     // last day of the month
	PerUnit exact.Number // money per base unit, as costed
	From    day.Date     // when the price came into force
}

// prices counts the dated prices that h rests on.
func (h History) prices() int {
	n := 0
	for i, m := range h.Months {
		if i == 0 || m.From != h.Months[i-1].From {
			n++
		}
	}
	return n
}

// Histories returns the histories of the ingredients and packaging of a bill,
// from the end of the month of the first price to the last end of a month that
// is not after until. Of several suppliers the price in force counts, as in
// every costing; a history may be empty.
func Histories(x *book.Index, bill pricing.Bill, until day.Date) map[book.ID]History {
	list := map[book.ID]History{}
	for _, l := range bill {
		it, ok := x.Item(l.Resource)
		if l.Kind != pricing.Ingredient && l.Kind != pricing.Packaging || !ok || it.Ingredient == nil {
			continue
		}
		list[l.Resource] = historyOf(x.Book.Studio, it.Ingredient, until)
	}
	return list
}

func historyOf(s book.Studio, ing *book.Ingredient, until day.Date) History {
	h := History{Name: ing.Name}
	if len(ing.Prices) == 0 {
		return h
	}
	first := ing.Prices[0].From
	for _, p := range ing.Prices {
		if p.From.Before(first) {
			first = p.From
		}
	}
	for month := monthOf(first); !month.end().After(until); month++ {
		p, err := ing.PriceOn(month.end())
		if err != nil {
			continue // the first prices are another supplier's
		}
		h.Months = append(h.Months, Monthly{month.end(), p.PerBase(s), p.From})
	}
	return h
}

// month counts calendar months from January of the year 0.
type month int

func monthOf(d day.Date) month {
	t := d.Time()
	return month(t.Year()*12 + int(t.Month()) - 1)
}

// end returns the last day of m.
func (m month) end() day.Date {
	return day.Of(time.Date(int(m)/12, time.Month(int(m)%12+1)+1, 0, 0, 0, 0, 0, time.UTC))
}

// String returns m as 2026-10.
func (m month) String() string { return m.end().String()[:len("2026-10")] }

// monthsAhead counts the months from today to the event, a begun one in full.
// The day of the month is that of today, or the last of a shorter month.
func monthsAhead(today, event day.Date) int {
	n := int(monthOf(event) - monthOf(today))
	reached := monthOf(event).end()
	if dom := today.Time().Day(); dom < reached.Time().Day() {
		reached = reached.AddDays(dom - reached.Time().Day())
	}
	if event.After(reached) {
		n++
	}
	return n
}
