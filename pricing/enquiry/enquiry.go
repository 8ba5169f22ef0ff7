package enquiry

import (
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// Enquiry is one occasion that a client asks about. Its json tags are the keys
// of an enquiry's file. Little is known at first: all but the client may be
// left out.
type Enquiry struct {
	Client   string                       `json:"client"`            // C1
	Received day.Date                     `json:"received,omitzero"` // the day on which it came
	Occasion record.Maybe[string]         `json:"occasion,omitzero"` // wedding, 40th birthday
	Date     day.Date                     `json:"date,omitzero"`     // of the event
	Venue    record.Maybe[string]         `json:"venue,omitzero"`
	Km       record.Maybe[measure.Figure] `json:"km,omitzero"` // there and back
	Guests   record.Maybe[int]            `json:"guests,omitzero"`
	Budget   record.Maybe[money.Price]    `json:"budget,omitzero"` // at most, in the studio's currency
	Dietary  record.Maybe[string]         `json:"dietary,omitzero"`
	Wishes   record.Maybe[string]         `json:"wishes,omitzero"`
	Tasting  *Tasting                     `json:"tasting,omitempty"`
}

// Tasting is when the client comes to taste.
type Tasting struct {
	Date day.Date            `json:"date"`
	Time record.Maybe[Clock] `json:"time,omitzero"`
}

// State is what became of an enquiry.
type State string

// The states of an enquiry.
const (
	Open   State = "open"   // no quote answers it yet
	Quoted State = "quoted" // a quote does
	Closed State = "closed" // the studio gave a reason to leave it
)

// ReadEnquiry reads an enquiry's file. The error holds every fault with its
// path.
func ReadEnquiry(data []byte) (Enquiry, error) {
	var e Enquiry
	faults := record.Decode(data, &e)
	if len(faults) == 0 {
		faults = e.Check()
	}
	if err := faults.Err(); err != nil {
		return Enquiry{}, err
	}
	return e, nil
}

// mostGuests bounds a party that one studio bakes for.
const mostGuests = 100_000

// Check returns everything wrong with an enquiry.
func (e Enquiry) Check() record.Faults {
	var faults record.Faults
	if e.Client == "" {
		faults.Add("client", "is empty; an enquiry belongs to a client, such as C1")
	}
	checkLine(&faults, "occasion", e.Occasion)
	if !e.Date.IsZero() && e.Date.Before(e.Received) {
		faults.Add("date", "%s is before the day on which the enquiry came, %s; mend one of them", e.Date, e.Received)
	}
	checkLine(&faults, "venue", e.Venue)
	if e.Guests.Given && (e.Guests.Value < 1 || e.Guests.Value > mostGuests) {
		faults.Add("guests", "must be from 1 to %d, not %d; leave them out while they are not known", mostGuests, e.Guests.Value)
	}
	checkText(&faults, "dietary", e.Dietary)
	checkText(&faults, "wishes", e.Wishes)
	if e.Tasting != nil {
		switch d := e.Tasting.Date; {
		case d.IsZero():
			faults.Add("tasting.date", "is missing; a tasting needs a day")
		case d.Before(e.Received):
			faults.Add("tasting.date", "%s is before the day on which the enquiry came, %s; mend one of them", d, e.Received)
		case !e.Date.IsZero() && d.After(e.Date):
			faults.Add("tasting.date", "%s is after the event, %s; mend one of them", d, e.Date)
		}
	}
	return faults
}

// Needs returns what a quote needs of an enquiry that it does not say yet.
func (e Enquiry) Needs() record.Faults {
	var faults record.Faults
	if e.Date.IsZero() {
		faults.Add("date", "is not known yet; a quote needs the day of the event")
	}
	return faults
}

// Request returns what is known of a quote for the enquiry: all but the cakes.
func (e Enquiry) Request(c Client, on day.Date) quote.Request {
	return quote.Request{
		Client:   quote.Client{Name: c.Name, Email: c.Email, Phone: c.Phone, Address: c.Address},
		Event:    quote.Event{Date: e.Date, Venue: e.Venue, Km: e.Km, Guests: e.Guests},
		On:       on,
		Language: c.Language,
	}
}
