package seed

import (
	"slices"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// fate is what becomes of an enquiry.
type fate int

const (
	won fate = iota
	declined
	lapsed   // nobody answers
	withdrew // called off before it was accepted
	silent   // never quoted
)

// deal is one occasion from the enquiry to the last payment.
type deal struct {
	dice     dice
	key      int // of its enquiry and of its quote
	kind     kind
	fate     fate
	event    day.Date
	asked    day.Date
	quoted   day.Date
	client   ClientKey
	request  quote.Request
	accepted day.Date // the zero day where it was not, or not by today
	made     quote.Request
	changed  bool     // after it was accepted
	called   day.Date // off
}

// deals draws every occasion of the year and those to come that have been
// asked about, in the order of the enquiries.
func deals() []*deal {
	var list []*deal
	stream := 0
	add := func(k kind, month string, f fate) {
		stream++
		d := &deal{dice: newDice(stream), kind: k, fate: f}
		m := mannersOf[k]
		d.event = eventDay(d.dice, k, month)
		d.asked = d.event.AddDays(-d.dice.between(m.leadFrom, m.leadTo))
		if d.asked.Before(firstDay) {
			d.asked = firstDay.AddDays(d.dice.between(0, 50))
		}
		d.asked = working(d.asked)
		d.quoted = working(d.asked.AddDays(d.dice.between(0, 4)))
		if !d.asked.After(Today) {
			list = append(list, d)
		}
	}
	chances := newDice(0)
	for _, s := range season {
		for k := range kinds {
			for range s.orders[k] {
				add(k, s.month, won)
			}
			for n := share100(chances, s.orders[k]*mannersOf[k].lost); n > 0; n-- {
				add(k, s.month, draw(chances, []share[fate]{{54, declined}, {41, lapsed}, {5, withdrew}}))
			}
			for n := share100(chances, s.orders[k]*mannersOf[k].silent); n > 0; n-- {
				add(k, s.month, silent)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b *deal) int { return b.asked.DaysUntil(a.asked) })
	for i, d := range list {
		d.key = i + 1
	}
	return list
}

// share100 returns hundredths as a whole number, the rest by chance.
func share100(d dice, hundredths int) int {
	n := hundredths / 100
	if d.chance(hundredths % 100) {
		n++
	}
	return n
}

// live tells a deal's life up to its acceptance or loss, for a client.
func (y *year) live(d *deal, p person, repeat bool) {
	c, m := d.dice, mannersOf[d.kind]
	guests := guestsOf(c, d.kind)
	place, brought := placeOf(c, d.kind)
	e := enquiry.Enquiry{Received: d.asked, Occasion: record.Some(pick(c, m.called)), Date: d.event, Venue: record.Some(place.name), Km: figure(place.km)}
	if guests > 0 {
		e.Guests = record.Some(guests)
	}
	if d.kind != gift && c.chance(24) {
		e.Dietary = record.Some(pick(c, needs))
	}
	if c.chance(45) {
		e.Wishes = record.Some(pick(c, wishes[d.kind]))
	}
	if c.chance(30) {
		each := [kinds]int{wedding: 14, christening: 9, birthday: 8, firm: 9, gift: 0, anniversary: 11}[d.kind]
		if budget := each * guests / 50 * 50; budget > 0 {
			e.Budget = record.Some(money.PriceOf(whole(budget)))
		}
	}
	if d.kind == wedding && c.chance(60) {
		at, _ := enquiry.ParseClock(pick(c, []string{"10:30", "14:00", "15:30", "17:30"}))
		e.Tasting = &enquiry.Tasting{Date: working(d.quoted.AddDays(c.between(6, 16))), Time: record.Some(at)}
	}
	y.note(d.asked, c.minute(9, 11), Asked{EnquiryKey(d.key), p.key, e})

	if d.fate == silent {
		y.note(working(d.asked.AddDays(c.between(4, 20))), c.minute(14, 16), Closed{EnquiryKey(d.key), pick(c, []string{
			"the day was full", "beyond what we make", "did not write again", "too far to deliver", "the party was put off",
		})})
		return
	}
	w, options := want(c, d.kind, guests)
	if brought {
		w.Extras = append(w.Extras, extras(1, "delivery"))
	}
	w.Discount = takenOff(c, repeat)
	d.request = e.Request(p.client, d.quoted)
	d.request.Wanted, d.request.Options = w, options
	draft := d.fate != won && !d.quoted.Before(Today.AddDays(-1))
	y.note(d.quoted, c.minute(11, 14), Quoted{QuoteKey(d.key), EnquiryKey(d.key), d.request, draft})
	if draft {
		return
	}
	on := d.quoted
	if often := [kinds]int{wedding: 30, christening: 12, birthday: 6, firm: 15, anniversary: 8}[d.kind]; c.chance(often) {
		later := working(on.AddDays(c.between(3, 12)))
		if later.AddDays(8).Before(d.event) {
			revised, why := moreGuests(c, d.kind, d.request)
			revised.On, d.request, on = later, revised, later
			y.note(later, c.minute(11, 14), Revised{QuoteKey(d.key), revised, why})
		}
	}
	answer := working(on.AddDays(c.between(1, m.decide)))
	if last := d.event.AddDays(-5); answer.After(last) {
		answer = last
	}
	switch at := c.minute(14, 16); d.fate {
	case won:
		y.accept(d, answer, at)
	case declined:
		y.note(answer, at, Declined{QuoteKey(d.key), pick(c, []string{
			"dearer than they had thought", "went for a smaller cake elsewhere", "a relative bakes it", "chose a dessert from the caterer", "no reason given", "wanted another day, which is full",
		})})
	case withdrew:
		y.note(answer, at, Cancelled{Quote: QuoteKey(d.key), Reason: pick(c, []string{"the party is put off", "the venue fell through"})})
	}
}

// accept tells the life of an order from its acceptance on.
func (y *year) accept(d *deal, on day.Date, at int) {
	c, key := d.dice, QuoteKey(d.key)
	option := ""
	d.made = d.request
	if n := len(d.request.Options); n > 0 {
		i := c.below(n)
		option = d.request.Options[i].Name
		d.made = d.request.Only(i)
	}
	d.accepted = on
	how := []string{"accepted by email", "accepted by email", "accepted on the telephone", "signed paper by post"}
	if d.kind == wedding {
		how = append(how, "accepted at the tasting")
	}
	y.note(on, at, Accepted{key, option, pick(c, how)})

	if days := on.DaysUntil(d.event); days > 20 && c.chance(6) {
		d.called = on.AddDays(c.between(10, days-4))
	} else if days > 50 && c.chance(9) {
		revised, why := moreGuests(c, d.kind, d.made)
		revised.On = working(d.event.AddDays(-c.between(24, 38)))
		y.note(revised.On, c.minute(11, 14), Revised{key, revised, why + ", after accepting"})
		if again := revised.On.AddDays(c.between(1, 4)); !again.After(Today) {
			y.note(again, c.minute(14, 15), Accepted{Quote: key, Reason: "accepted the change by email"})
			d.made, d.changed = revised, true
		}
	}
	y.pay(d)
	if !d.called.IsZero() {
		waived := c.chance(15)
		if early := on.DaysUntil(d.called) > 20; early && !y.forgave && on.After(firstEvent) && !d.called.After(Today) {
			y.forgave, waived = true, true
		}
		y.note(d.called, c.minute(14, 15), Cancelled{key, waived, pick(c, []string{"the party is called off", "illness in the family", "moved abroad", "the venue closed"})})
		y.note(working(d.called.AddDays(c.between(2, 6))), c.minute(16, 17), Refunded{key, quote.Transfer, "paid beyond what the cancellation costs"})
	}
}

// pay tells when an order's three instalments come in: the deposit after
// accepting, the others about sixty and fourteen days before the event. What
// is due at once by then comes together.
func (y *year) pay(d *deal) {
	c := d.dice
	on := working(d.accepted.AddDays(c.between(0, 4)))
	upto := 1
	means := draw(c, []share[quote.Means]{{70, quote.Transfer}, {23, quote.Card}, {5, quote.Cash}, {2, quote.Cheque}})
	paid := false
	give := func() {
		if d.called.IsZero() || on.Before(d.called) {
			y.note(on, c.minute(16, 17), Paid{QuoteKey(d.key), upto, means, ""})
			paid = true
		}
	}
	for i, before := range []int{60, 14} {
		due := d.event.AddDays(-before)
		if !due.After(on.AddDays(3)) {
			upto = i + 2
			continue
		}
		give()
		upto = i + 2
		late := draw(c, []share[int]{{80, 0}, {11, 1}, {7, 2}, {2, 3}})
		if d.kind == firm {
			late = draw(c, []share[int]{{55, 0}, {15, 1}, {30, 2}})
		}
		from, to := [4]int{-6, 1, 7, 60}[late], [4]int{0, 6, 24, 120}[late]
		on = day.Later(working(due.AddDays(c.between(from, to))), working(on.AddDays(1)))
	}
	give()
	if d.changed {
		y.note(working(d.event.AddDays(c.between(1, 8))), c.minute(16, 17), Paid{QuoteKey(d.key), upto, means, "the rest"})
	}
	if paid && c.chance(2) && on.Before(Today.AddDays(-2)) {
		y.note(on, 17*60+10, PaidAgain{QuoteKey(d.key)})
		y.note(working(on.AddDays(1)), 9*60, Undone{QuoteKey(d.key), "entered twice"})
	}
}

// enquiryOf returns what an enquiry knew before a request was made of it.
func enquiryOf(r quote.Request) enquiry.Enquiry {
	return enquiry.Enquiry{Date: r.Event.Date, Venue: r.Event.Venue, Km: r.Event.Km, Guests: r.Event.Guests}
}
