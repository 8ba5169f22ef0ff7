package seed

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// Wedding is the key of the quote that [WeddingRequest] asks for: the last
// thing that happens in [Year].
const Wedding QuoteKey = 0

// Year returns what happened in the demo studio in the twelve months up to
// [Today]: clients and enquiries, quotes and what became of them, money, work,
// goods and bills, and what has been asked and ordered for the months to come.
// It comes in the order in which it was noted, and is the same on every call.
func Year() ([]Happening, error) {
	b, err := book.Parse(Studio())
	if err != nil {
		return nil, err
	}
	y := &year{x: book.NewIndex(b), bills: map[string]takeoff{}}
	list := deals()
	y.meet(list)
	if err := y.make(list); err != nil {
		return nil, err
	}
	if err := y.stock(list); err != nil {
		return nil, err
	}
	if err := y.keepBooks(list); err != nil {
		return nil, err
	}
	if err := y.askForWedding(); err != nil {
		return nil, err
	}
	y.happened = slices.DeleteFunc(y.happened, func(h Happening) bool { return h.On.After(Today) })
	slices.SortStableFunc(y.happened, func(a, b Happening) int {
		return cmp.Or(b.On.DaysUntil(a.On), cmp.Compare(a.Minute, b.Minute))
	})
	return y.happened, nil
}

// year is what is being told.
type year struct {
	x        *book.Index
	happened []Happening
	people   people
	bills    map[string]takeoff
	forgave  bool // whether the fee of an order that was called off early has been waived
}

func (y *year) note(on day.Date, minute int, what Deed) {
	y.happened = append(y.happened, Happening{on, minute, what})
}

// meet gives every deal its client and tells its life. Once, in spring, a
// client who rings again is added anew.
func (y *year) meet(list []*deal) {
	y.people.names = map[string]bool{}
	doubled := false
	for _, d := range list {
		p, came := y.people.find(d.dice, d.kind)
		if came == nil && !doubled && d.kind == birthday && d.fate == won && p.client.Phone.Given && d.asked.After(day.Must("2026-03-01")) {
			doubled = true
			var twin ClientCame
			p, twin = y.people.again(p)
			came = &twin
		}
		d.client = p.key
		if came != nil {
			y.note(d.asked, 8*60+d.dice.below(60), *came)
		}
		y.live(d, p, came == nil)
	}
}

// askForWedding ends the year with the client and the quote of the demo's own
// request.
func (y *year) askForWedding() error {
	r, err := quote.ReadRequest(WeddingRequest())
	if err != nil {
		return err
	}
	p := person{key: ClientKey(len(y.people.known)), kind: wedding}
	p.client.Name = r.Client.Name
	p.client.Email = record.Some("zoe.simkova@mail.example")
	p.client.Phone = record.Some("+353 20 919 0455")
	asked := Today.AddDays(-4)
	y.note(asked, 8*60+5, ClientCame{p.key, p.client})
	e := enquiryOf(r)
	e.Received = asked
	e.Occasion = record.Some("wedding")
	y.note(asked, 9*60+5, Asked{EnquiryKey(Wedding), p.key, e})
	y.note(Today, 17*60+30, Quoted{Key: Wedding, Enquiry: EnquiryKey(Wedding), Request: r})
	return nil
}

func figure(n int) record.Maybe[measure.Figure] {
	var f measure.Figure
	if err := f.UnmarshalText([]byte(strconv.Itoa(n))); err != nil {
		panic(err) // a whole number is a figure
	}
	return record.Some(f)
}

func whole(n int) decimal.Decimal { return decimal.NewFromInt(int64(n)) }
