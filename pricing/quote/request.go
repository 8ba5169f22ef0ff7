package quote

import (
	"slices"
	"strings"

	"golang.org/x/text/language"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// Request is what a client asks for. Its json tags are the keys of a request
// file. It wants one order, or lets the client choose among options; then what
// the request itself wants holds for every option.
type Request struct {
	Client   Client               `json:"client"`
	Event    Event                `json:"event"`
	On       day.Date             `json:"on"`                // the day the quote is made
	Language record.Maybe[string] `json:"language,omitzero"` // of the client's papers, BCP 47; the studio's
	Wanted
	Options []OptionWanted `json:"options,omitempty"`
}

// Wanted is an order: cakes, extras and what is taken off.
type Wanted struct {
	Lines    []CakeWanted                  `json:"lines,omitempty"`
	Extras   []ExtraWanted                 `json:"extras,omitempty"`
	Discount record.Maybe[measure.Percent] `json:"discount,omitzero"`
}

// OptionWanted is one of the orders that the client may choose.
type OptionWanted struct {
	Name string `json:"name"`
	Wanted
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
	// Guests to be served. Only the studio is told where they are more than the
	// portions.
	Guests record.Maybe[int] `json:"guests,omitzero"`
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
	faults := record.Decode(data, &r)
	if r.Lines == nil && r.Options == nil && !slices.ContainsFunc(faults, func(f record.Fault) bool {
		return f.Path == "" || record.Related(f.Path, "lines") || record.Related(f.Path, "options")
	}) {
		faults.Add("lines", "is missing; add it, or options for the client to choose from")
	}
	if len(faults) > 0 {
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
	for _, o := range r.orders() {
		for _, l := range o.Lines {
			if !seen[l.Cake] {
				seen[l.Cake] = true
				ids = append(ids, l.Cake)
			}
		}
	}
	return ids
}

// orders lists what r wants: one order without a name, or each option with
// what the request wants of all of them. An option's own quantity of an extra,
// and its own discount, go before those of the request.
func (r Request) orders() []OptionWanted {
	if len(r.Options) == 0 {
		return []OptionWanted{{Wanted: r.Wanted}}
	}
	list := make([]OptionWanted, len(r.Options))
	for i, o := range r.Options {
		own := map[book.ID]bool{}
		for _, e := range o.Extras {
			own[e.Extra] = true
		}
		o.Extras = slices.Clone(o.Extras)
		for _, e := range r.Extras {
			if !own[e.Extra] {
				o.Extras = append(o.Extras, e)
			}
		}
		if !o.Discount.Given {
			o.Discount = r.Discount
		}
		list[i] = o
	}
	return list
}

// What bounds a request.
const (
	maxQuantity   = 10_000 // of one thing in an order
	maxGuests     = 100_000
	fewestOptions = 2
	mostOptions   = 5
)

// check returns everything wrong with a request that book x is to price.
func (r Request) check(x *book.Index) record.Faults {
	var faults record.Faults
	if strings.TrimSpace(r.Client.Name) == "" {
		faults.Add("client.name", "is empty; a quote needs the client's name")
	}
	if !r.Event.Date.IsZero() && r.Event.Date.Before(r.On) {
		faults.Add("event.date", "%s is before the day of the quote, %s; mend one of them", r.Event.Date, r.On)
	}
	if g := r.Event.Guests; g.Given && (g.Value < 1 || g.Value > maxGuests) {
		faults.Add("event.guests", "must be from 1 to %d, not %d", maxGuests, g.Value)
	}
	if l := r.Language; l.Given {
		if _, err := language.Parse(l.Value); err != nil {
			faults.Add("language", "%.20q is no language tag; write one such as fr or pt-BR", l.Value)
		}
	}
	if n := len(r.Options); n == 0 {
		r.Wanted.check(x, "", &faults)
	} else {
		if len(r.Lines) > 0 {
			faults.Add("lines", "stand beside options; put each cake into the options that have it")
		}
		if n < fewestOptions || n > mostOptions {
			faults.Add("options", "must be %d to %d for the client to choose from, not %d; for a single offer write lines instead", fewestOptions, mostOptions, n)
		}
		r.Wanted.checkExtras(x, "", &faults)
		names := map[string]bool{}
		for i, o := range r.Options {
			path := record.Item("options", i)
			switch name := strings.ToLower(strings.TrimSpace(o.Name)); {
			case name == "":
				faults.Add(record.Join(path, "name"), "is empty; name the option so that the client can choose it")
			case names[name]:
				faults.Add(record.Join(path, "name"), "%q is the name of another option too; give each its own", o.Name)
			default:
				names[name] = true
			}
			o.Wanted.check(x, path, &faults)
		}
	}
	if !r.Event.Km.Given {
		named := map[book.ID]bool{}
		for _, o := range r.orders() {
			for _, e := range o.extras(x) {
				if needsKm(e.extra) && !named[e.extra.ID] {
					named[e.extra.ID] = true
					faults.Add("event.km", "is missing; %s is charged or costed by the km, so say how many are driven there and back", e.extra.Name)
				}
			}
		}
	}
	return faults
}

// check returns everything wrong with the order at a path of the request.
func (w Wanted) check(x *book.Index, at string, faults *record.Faults) {
	if len(w.Lines) == 0 {
		faults.Add(under(at, "lines"), "add a cake; a quote needs at least one")
	}
	for i, l := range w.Lines {
		path := record.Item(under(at, "lines"), i)
		if _, ok := x.Cake(l.Cake); !ok {
			faults.Add(record.Join(path, "cake"), "%q is no cake of the book", l.Cake)
		}
		checkQuantity(faults, path, l.Quantity)
	}
	w.checkExtras(x, at, faults)
}

func (w Wanted) checkExtras(x *book.Index, at string, faults *record.Faults) {
	for i, e := range w.Extras {
		path := record.Item(under(at, "extras"), i)
		if _, ok := x.Extra(e.Extra); !ok {
			faults.Add(record.Join(path, "extra"), "%q is no extra of the book", e.Extra)
		}
		checkQuantity(faults, path, e.Quantity)
	}
	if w.Discount.Given && w.Discount.Value.Fraction().Cmp(exact.Int(1)) > 0 {
		faults.Add(under(at, "discount"), "%s must be at most 100 %%", w.Discount.Value)
	}
}

// under is the path of a key, which may be one of the request itself.
func under(path, key string) string {
	if path == "" {
		return key
	}
	return record.Join(path, key)
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
func (w Wanted) extras(x *book.Index) []extraLine {
	var list []extraLine
	requested := map[book.ID]bool{}
	for _, want := range w.Extras {
		if e, ok := x.Extra(want.Extra); ok {
			list = append(list, extraLine{e, want.Quantity})
			requested[want.Extra] = true
		}
	}
	for i := range x.Book.Extras {
		if e := &x.Book.Extras[i]; e.Always.Or(false) && !requested[e.ID] {
			list = append(list, extraLine{e, 1})
		}
	}
	return list
}

// Only returns the request with option i alone, counted from 0.
func (r Request) Only(i int) Request {
	r.Wanted, r.Options = r.orders()[i].Wanted, nil
	return r
}

// Replace returns the request with one cake in the place of another, and how
// many lines that changed.
func (r Request) Replace(old, new book.ID) (Request, int) {
	n := 0
	swap := func(lines []CakeWanted) []CakeWanted {
		lines = slices.Clone(lines)
		for i := range lines {
			if lines[i].Cake == old {
				lines[i].Cake = new
				n++
			}
		}
		return lines
	}
	r.Lines = swap(r.Lines)
	r.Options = slices.Clone(r.Options)
	for i := range r.Options {
		r.Options[i].Lines = swap(r.Options[i].Lines)
	}
	return r, n
}
