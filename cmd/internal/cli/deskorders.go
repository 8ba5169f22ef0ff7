package cli

import (
	"bytes"
	"context"
	"fmt"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/calendar"
	"marchpane/templates/letter"
)

// ReceiptPDF writes the receipt of a payment.
func (d desk) ReceiptPDF(ctx context.Context, s *store.Store, o quote.Order, p quote.Payment) ([]byte, error) {
	return d.env.receiptPDF(ctx, s, o, p)
}

// LetterKinds lists the letters that can be written about a quote, that which
// fits best first.
func (d desk) LetterKinds(q store.SavedQuote) []string {
	var kinds []string
	best, err := letterKind(q, "")
	if err == nil {
		kinds = append(kinds, string(best))
	}
	for _, k := range letter.Kinds() {
		if _, err := letterKind(q, string(k)); err == nil && k != best {
			kinds = append(kinds, string(k))
		}
	}
	return kinds
}

// Letter writes a letter as a file and notes that it was written.
func (d desk) Letter(ctx context.Context, s *store.Store, q store.SavedQuote, ask web.LetterAsk) (web.LetterFile, error) {
	l, err := d.env.writeLetter(ctx, s, q, sending{to: ask.To, kind: ask.Kind, payment: ask.Payment, note: ask.Note, invite: ask.Calendar})
	if err != nil {
		return web.LetterFile{}, web.LetterFault{Err: err}
	}
	var text bytes.Buffer
	if err := letter.Write(&text, l); err != nil {
		return web.LetterFile{}, web.LetterFault{Err: err}
	}
	note := store.Sending{Revision: q.Quote.Revision, Kind: string(l.Kind), How: "file"}
	name := q.Ref() + "-" + q.Quote.Revision + "-" + note.Kind + ".eml"
	return web.LetterFile{Name: name, Data: text.Bytes()}, s.NoteSending(ctx, q.Ref(), note, d.env.Now())
}

// Calendar writes the days of a quote.
func (d desk) Calendar(ctx context.Context, s *store.Store, ref string) ([]byte, error) {
	c, err := d.env.gatherCalendar(ctx, s, []string{ref})
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	err = calendar.Write(&text, c)
	return text.Bytes(), err
}

// Room says how full the days of a quote are with it.
func (d desk) Room(ctx context.Context, s *store.Store, ref string, q quote.Quote) ([]web.Room, error) {
	event := q.Offer.EventDate
	known, err := d.months.months(s).planner(ctx)
	if err != nil {
		return nil, err
	}
	k, err := kitchenOf(ctx, s, known, event.AddDays(-around), event.AddDays(around), false, q)
	if err != nil {
		return nil, err
	}
	var rooms []web.Room
	for _, one := range q.Choices() {
		f, err := k.fit(ref, one, day.Later(q.Offer.IssuedOn, d.env.today()))
		if err != nil {
			return nil, err
		}
		room := web.Room{Option: one.Chosen, StartBy: f.Order.StartBy.String()}
		for _, r := range f.Rooms {
			if r.After > r.Taken {
				room.Days = append(room.Days, fmt.Sprintf("%s: %s %s of %s taken, %s with this one", r.Day, r.Of.Name, hours(r.Taken), hours(r.Capacity), hours(r.After)))
			}
		}
		for _, c := range f.Clashes {
			room.Trouble = append(room.Trouble, clashInWords(c))
		}
		rooms = append(rooms, room)
	}
	return rooms, nil
}

// RoomOn says what accepted orders take of one day.
func (d desk) RoomOn(ctx context.Context, s *store.Store, date day.Date) (web.DayRoom, error) {
	known, err := d.months.months(s).planner(ctx)
	if err != nil {
		return web.DayRoom{}, err
	}
	r, err := roomOn(ctx, s, known, date)
	if err != nil {
		return web.DayRoom{}, err
	}
	room := web.DayRoom{Heading: r.heading(), Orders: r.refs}
	for _, of := range r.rooms {
		room.Taken = append(room.Taken, taken(of))
		room.Over = room.Over || of.Limited && !of.Fits()
	}
	return room, nil
}

// QuoteRequest writes what a quote was made from.
func (d desk) QuoteRequest(q store.SavedQuote) ([]byte, error) { return quoteRequestFile(q) }

// EnquiryRequest writes the request for a quote that answers an enquiry.
func (d desk) EnquiryRequest(e store.SavedEnquiry, c store.SavedClient) ([]byte, error) {
	var text bytes.Buffer
	err := writeEnquiryRequest(&text, e, c, d.env.today())
	return text.Bytes(), err
}
