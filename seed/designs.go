package seed

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// The cakes of the demo studio that orders are made of, and what they serve.
const (
	threeTier   book.ID = "wedding-three-tier"  // 90
	display     book.ID = "display-three-tier"  // 20
	semiNaked   book.ID = "two-tier-semi-naked" // 55
	chouxTower  book.ID = "choux-tower"         // 60
	squareCake  book.ID = "square-christening"  // 50
	heart       book.ID = "raspberry-heart"
	hexagon     book.ID = "pistachio-hexagon"
	opera       book.ID = "opera-rectangle"
	number      book.ID = "number-birthday"
	pearMousse  book.ID = "chocolate-pear"
	caramelDrip book.ID = "caramel-drip"
	fruitCake   book.ID = "winter-fruit"
)

func cakes(n int, id book.ID) quote.CakeWanted   { return quote.CakeWanted{Cake: id, Quantity: n} }
func extras(n int, id book.ID) quote.ExtraWanted { return quote.ExtraWanted{Extra: id, Quantity: n} }

// want draws what is offered for an occasion of so many guests.
func want(d dice, k kind, guests int) (w quote.Wanted, options []quote.OptionWanted) {
	switch k {
	case wedding:
		w, options = weddingWanted(d, guests)
	case christening:
		w.Lines = []quote.CakeWanted{cakes(max(1, (guests+25)/50), squareCake)}
		if d.chance(35) {
			w.Extras = append(w.Extras, extras(5*d.between(4, 9), "macaron-box"))
		}
	case birthday:
		w.Lines = []quote.CakeWanted{cakes(1, draw(d, []share[book.ID]{{30, number}, {28, caramelDrip}, {16, heart}, {14, pearMousse}, {12, hexagon}}))}
		if guests > 45 {
			w.Lines = append(w.Lines, cakes(1, draw(d, []share[book.ID]{{2, opera}, {1, hexagon}})))
		}
	case firm:
		w.Lines = []quote.CakeWanted{cakes(max(1, (guests+20)/48), opera)}
		if d.chance(45) {
			w.Lines = append(w.Lines, cakes(1, draw(d, []share[book.ID]{{2, hexagon}, {1, pearMousse}})))
		}
		if d.chance(70) {
			w.Extras = append(w.Extras, extras(10*d.between(4, 12), "macaron-box"))
		}
	case gift:
		n := draw(d, []share[int]{{40, 1}, {30, 2}, {14, 3}, {8, 6}, {8, 10}})
		w.Lines = []quote.CakeWanted{cakes(n, fruitCake)}
		if n > 1 && d.chance(40) {
			w.Extras = append(w.Extras, extras(5*d.between(2, 6), "macaron-box"))
		}
	case anniversary:
		w.Lines = []quote.CakeWanted{cakes(1, draw(d, []share[book.ID]{{30, semiNaked}, {25, chouxTower}, {25, heart}, {20, pearMousse}}))}
	}
	return w, options
}

// weddingWanted draws a wedding's cakes, or the two or three designs that the
// couple may choose from.
func weddingWanted(d dice, guests int) (w quote.Wanted, options []quote.OptionWanted) {
	styles := []share[book.ID]{{46, threeTier}, {18, display}, {24, semiNaked}, {12, chouxTower}}
	if guests <= 60 {
		styles = []share[book.ID]{{15, threeTier}, {55, semiNaked}, {30, chouxTower}}
	}
	style := draw(d, styles)
	if d.chance(50) {
		w.Extras = append(w.Extras, extras(1, "stand-hire"))
	}
	if d.chance(30) {
		w.Extras = append(w.Extras, extras(1, "cutting-set"))
	}
	if style != chouxTower && d.chance(18) {
		w.Extras = append(w.Extras, extras(1, "sugar-posy"))
	}
	if d.chance(58) { // one a couple, or one each
		w.Extras = append(w.Extras, extras((guests+9)/10*pick(d, []int{5, 5, 10}), "macaron-box"))
	}
	if !d.chance(24) {
		w.Lines = enough(style, guests)
		return w, nil
	}
	names := map[book.ID]string{threeTier: "Three tiers", display: "Three tiers, one to cut, and cutting cakes", semiNaked: "Two tiers with fresh flowers", chouxTower: "Choux tower"}
	order := []book.ID{threeTier, display, semiNaked, chouxTower}
	for i := len(order) - 1; i > 0; i-- {
		j := d.below(i + 1)
		order[i], order[j] = order[j], order[i]
	}
	for _, id := range order[:d.between(2, 3)] {
		options = append(options, quote.OptionWanted{Name: names[id], Wanted: quote.Wanted{Lines: enough(id, guests)}})
	}
	return w, options
}

// enough returns a wedding cake, with square cutting cakes beside it until
// most of the guests are served.
func enough(style book.ID, guests int) []quote.CakeWanted {
	served := map[book.ID]int{threeTier: 90, display: 20, semiNaked: 55, chouxTower: 60}[style]
	lines := []quote.CakeWanted{cakes(1, style)}
	if n := (guests - served + 35) / 50; n > 0 {
		lines = append(lines, cakes(n, squareCake))
	}
	return lines
}

// guestsOf draws how many come.
func guestsOf(d dice, k kind) int {
	between := [kinds][2]int{wedding: {50, 165}, christening: {25, 55}, birthday: {14, 60}, firm: {30, 120}, gift: {0, 0}, anniversary: {18, 55}}[k]
	return d.between(between[0], between[1])
}

// placeOf draws where it is, and whether the cake is brought there.
func placeOf(d dice, k kind) (v venue, brought bool) {
	switch k {
	case wedding:
		return pick(d, venues), d.chance(90)
	case firm:
		return pick(d, offices), d.chance(75)
	case gift:
		return pick(d, rooms), d.chance(15)
	}
	return pick(d, rooms), d.chance(35)
}

// moreGuests changes a request as clients do some weeks on, and says why.
func moreGuests(d dice, k kind, r quote.Request) (quote.Request, string) {
	before := r.Event.Guests.Or(40)
	delta := d.between(6, 22)
	if d.chance(35) && before > 40 {
		delta = -delta
	}
	r.Event.Guests = record.Some(before + delta)
	reason := fmt.Sprintf("%d more guests", delta)
	if delta < 0 {
		reason = fmt.Sprintf("%d fewer guests", -delta)
	}
	r.Extras = append([]quote.ExtraWanted(nil), r.Extras...)
	for i, e := range r.Extras {
		if e.Extra == "macaron-box" {
			r.Extras[i].Quantity = max(5, e.Quantity+delta/10*5)
		}
	}
	if k == wedding {
		r.Lines = again(r.Lines, before+delta)
		options := append([]quote.OptionWanted(nil), r.Options...)
		for i := range options {
			options[i].Lines = again(options[i].Lines, before+delta)
		}
		r.Options = options
	}
	return r, reason
}

// again returns a wedding's cakes for another number of guests.
func again(lines []quote.CakeWanted, guests int) []quote.CakeWanted {
	if len(lines) == 0 {
		return nil
	}
	return enough(lines[0].Cake, guests)
}

// takenOff is a discount: rare, and for those who come again or order much.
func takenOff(d dice, repeat bool) record.Maybe[measure.Percent] {
	switch {
	case repeat && d.chance(18):
		return record.Some(measure.MustPercent("5 %"))
	case d.chance(2):
		return record.Some(measure.MustPercent("10 %"))
	}
	return record.Maybe[measure.Percent]{}
}
