package risk

import "fmt"

// Method tells in plain words how an outlook was reached, a sentence an entry.
func Method(o Outlook) []string {
	drift := "The average change of these months is taken off, so that on average prices go neither up nor down."
	if o.KeptDrift {
		drift = "The average change of these months is taken to go on."
	}
	return []string{
		fmt.Sprintf("The price of each good is read at the end of every month; the %d changes from month to month of %s to %s are what may happen again.",
			o.Changes, monthOf(o.From), monthOf(o.To)),
		fmt.Sprintf("For the %d %s to the event, months are drawn in blocks of %d in a row, the same ones for every good, and their changes added to the prices in the book (circular block bootstrap).",
			o.Months, plural(o.Months, "month"), o.Block),
		drift,
		fmt.Sprintf("%d such futures are drawn, with seed %d; the same seed gives the same figures.", o.Paths, o.Seed),
		"A band leaves out as many futures below it as above it. The chance is the share of futures whose margin is below the floor; ± is the error from drawing no more futures than these, one standard deviation.",
		fmt.Sprintf("The surcharge is the least that leaves no more than %s of the futures below the floor.", percent(o.Level)),
	}
}

// Assumptions tells in plain words what an outlook takes for granted.
func Assumptions(o Outlook) []string {
	list := []string{
		"Prices move as they did in these months, and no more than they did; the seasons of the year are not followed.",
		fmt.Sprintf("%d changes are few: how far prices spread is itself known only to about ± %s, and that is not in the bands.", o.Changes, percent(spreadError(o.Changes))),
		driftNote(o),
		"A price stands still between two entries of the book. Where another supplier or pack came into force in the past, that counts as a movement; from now on suppliers and packs stay.",
		"Prices that the book already has for days up to the event are in the starting cost.",
		"A month that is begun counts in full.",
		"Quantities stay as in the order; wages, energy, wear and overhead as in the book for the day of the event.",
	}
	if o.PercentOverhead {
		list[len(list)-1] = "Quantities stay as in the order; wages, energy and wear as in the book for the day of the event. Overhead by percentage moves with the cost."
	}
	if len(o.Held) > 0 {
		list = append(list, fmt.Sprintf("Goods with too little history (%d) are held at the price in the book, so that the true bands are wider; what moves is %s of the cost of ingredients and packaging.",
			len(o.Held), percent(o.Covered)))
	}
	return list
}

// driftNote says what the drift of the window was and what became of it.
func driftNote(o Outlook) string {
	was := "stood still on average"
	switch o.YearlyDrift.Sign() {
	case 1:
		was = "rose by " + percent(o.YearlyDrift) + " a year"
	case -1:
		was = "fell by " + percent(o.YearlyDrift.Neg()) + " a year"
	}
	was = "In these months the prices that move " + was + ", weighted by cost"
	doubt := "so short a history can hardly tell a lasting rise or fall from chance"
	other := fmt.Sprintf("the median cost would be %s %s and the chance %s", o.OtherDrift.Median, o.Currency.Code(), chanceOf(o.OtherDrift))
	if o.KeptDrift {
		return was + "; this is taken to go on, though " + doubt + ". Without it " + other + "."
	}
	return was + "; this is left out, since " + doubt + ". Were it to go on, " + other + "."
}

func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}
