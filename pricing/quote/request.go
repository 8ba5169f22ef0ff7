package quote

import (
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// Request is what a client asks for. Its json tags are the keys of a request
// file.
type Request struct {
	Client   Client                        `json:"client"`
	Event    Event                         `json:"event"`
	On       day.Date                      `json:"on"` // the day the quote is made
	Lines    []CakeWanted                  `json:"lines"`
	Extras   []ExtraWanted                 `json:"extras,omitempty"`
	Discount record.Maybe[measure.Percent] `json:"discount,omitzero"`
}

// Client is who asks.
type Client struct {
	Name    string               `json:"name"`
	Email   record.Maybe[string] `json:"email,omitzero"`
	Phone   record.Maybe[string] `json:"phone,omitzero"`
	Address record.Maybe[string] `json:"address,omitzero"`
}

// Event is the occasion: its day, its place, and the way there and back.
type Event struct {
	Date  day.Date                     `json:"date"`
	Venue record.Maybe[string]         `json:"venue,omitzero"`
	Km    record.Maybe[measure.Figure] `json:"km,omitzero"`
}

// CakeWanted is a number of cakes of one design.
type CakeWanted struct {
	Cake     book.ID `json:"cake"`
	Quantity int     `json:"quantity"`
}

// ExtraWanted is a number of extras of one kind.
type ExtraWanted struct {
	Extra    book.ID `json:"extra"`
	Quantity int     `json:"quantity"`
}

// ReadRequest reads a request file. The error holds every fault with its path.
func ReadRequest(data []byte) (Request, error) {
	var r Request
	if faults := record.Decode(data, &r); len(faults) > 0 {
		return Request{}, faults
	}
	return r, nil
}

// Diagnose returns everything wrong with a request file for book x: what could
// not be read, and what is wrong with the rest all the same.
func Diagnose(x *book.Index, data []byte) record.Faults {
	var r Request
	faults := record.Decode(data, &r)
	if len(faults) > 0 && faults[0].Path == "" {
		return faults
	}
	unread := len(faults)
	for _, f := range r.check(x) {
		if !slices.ContainsFunc(faults[:unread], func(u record.Fault) bool { return record.Related(u.Path, f.Path) }) {
			faults = append(faults, f)
		}
	}
	return faults
}

// Cakes lists the designs that r names, each once.
func (r Request) Cakes() []book.ID {
	var ids []book.ID
	seen := map[book.ID]bool{}
	for _, l := range r.Lines {
		if !seen[l.Cake] {
			seen[l.Cake] = true
			ids = append(ids, l.Cake)
		}
	}
	return ids
}

// maxQuantity bounds how many of one thing an order holds.
const maxQuantity = 10_000

// check returns everything wrong with a request that book x is to price.
func (r Request) check(x *book.Index) record.Faults {
	var faults record.Faults
	if strings.TrimSpace(r.Client.Name) == "" {
		faults.Add("client.name", "is empty; a quote needs the client's name")
	}
	if !r.Event.Date.IsZero() && r.Event.Date.Before(r.On) {
		faults.Add("event.date", "%s is before the day of the quote, %s; mend one of them", r.Event.Date, r.On)
	}
	if len(r.Lines) == 0 {
		faults.Add("lines", "is empty; a quote needs at least one cake")
	}
	for i, l := range r.Lines {
		path := record.Item("lines", i)
		if _, ok := x.Cake(l.Cake); !ok {
			faults.Add(record.Join(path, "cake"), "%q is no cake of the book", l.Cake)
		}
		checkQuantity(&faults, path, l.Quantity)
	}
	for i, e := range r.Extras {
		path := record.Item("extras", i)
		if _, ok := x.Extra(e.Extra); !ok {
			faults.Add(record.Join(path, "extra"), "%q is no extra of the book", e.Extra)
		}
		checkQuantity(&faults, path, e.Quantity)
	}
	if !r.Event.Km.Given {
		for _, e := range r.extras(x) {
			if needsKm(e.extra) {
				faults.Add("event.km", "is missing; %s is charged or costed by the km, so say how many are driven there and back", e.extra.Name)
			}
		}
	}
	if r.Discount.Given && r.Discount.Value.Fraction().Cmp(exact.Int(1)) > 0 {
		faults.Add("discount", "%s must be at most 100 %%", r.Discount.Value)
	}
	return faults
}

func checkQuantity(faults *record.Faults, path string, n int) {
	if n < 1 || n > maxQuantity {
		faults.Add(record.Join(path, "quantity"), "must be from 1 to %d, not %d", maxQuantity, n)
	}
}

// needsKm reports whether an extra's price or cost grows with the distance.
func needsKm(e *book.Extra) bool {
	if e.PricePerKm.Given && !e.PricePerKm.Value.IsZero() {
		return true
	}
	for _, p := range e.Parts {
		if p.Per == book.PerKm {
			return true
		}
	}
	for _, t := range e.Tasks {
		if t.Per == book.PerKm {
			return true
		}
	}
	for _, u := range e.Equipment {
		if u.Per == book.PerKm {
			return true
		}
	}
	return false
}

type extraLine struct {
	extra    *book.Extra
	quantity int
}

// extras lists the extras of the order: the requested ones, then the others
// that come with every quote, in the order of the book.
func (r Request) extras(x *book.Index) []extraLine {
	var list []extraLine
	requested := map[book.ID]bool{}
	for _, w := range r.Extras {
		if e, ok := x.Extra(w.Extra); ok {
			list = append(list, extraLine{e, w.Quantity})
			requested[w.Extra] = true
		}
	}
	for i := range x.Book.Extras {
		if e := &x.Book.Extras[i]; e.Always.Or(false) && !requested[e.ID] {
			list = append(list, extraLine{e, 1})
		}
	}
	return list
}
