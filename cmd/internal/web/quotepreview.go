package web

import (
	"net/http"

	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// previewQuote says what the form would come to.
func (s *Server) previewQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	b := building{x: x}
	if ref := f.get("of"); ref != "" {
		q, err := s.store(r).Quote(r.Context(), ref, "", s.today())
		if err != nil {
			return err
		}
		b.of = &q
	}
	q, faults := s.priced(&b, f)
	v := s.previewOf(b, q, faults)
	if len(faults) == 0 {
		ref := "this one"
		if b.of != nil {
			ref = b.of.Ref()
			q.Number = b.of.Quote.Number
		}
		v.Room = s.roomFor(r, wordsOf(x.Book.Studio), ref, q)
	}
	return s.fragment(w, r, "quoteform", "comes-to", v)
}

func (s *Server) previewOf(b building, q quote.Quote, faults record.Faults) page.QuotePreview {
	var v page.QuotePreview
	if len(faults) > 0 {
		v.Text = "There is no price yet. What is missing:"
		for _, f := range wordsOf(b.x.Book.Studio).allDated(faults) {
			v.Faults = append(v.Faults, faultText(f))
			if len(v.Faults) == 8 {
				break
			}
		}
		return v
	}
	v.Offers, v.Notes = offersOf(b.x, q, s.today(), nil)
	v.Short = shortOf(b, q, v.Offers)
	if b.of != nil {
		before := b.of.Quote
		if i, err := b.of.Choice(b.of.Life.Option); err == nil && i > 0 && len(q.Options) == 0 && b.of.Life.Order == b.of.Quote.Revision {
			before = before.Choose(i - 1)
		}
		for _, c := range changesOf(withChanges(before, q)) {
			text := c.Text
			if c.Option != "" {
				text = c.Option + ": " + text
			}
			if c.Money != "" {
				text += " (" + c.Money + ")"
			}
			v.Changes = append(v.Changes, text)
		}
	}
	return v
}

// shortOf is the total, and the margin where there is one offer: what stays in
// view while somebody chooses.
func shortOf(b building, q quote.Quote, offers []page.Offer) []page.Figure {
	words := wordsOf(b.x.Book.Studio)
	short := []page.Figure{totalFigure(words, store.SavedQuote{Quote: q})}
	if len(offers) == 1 {
		for _, f := range offers[0].Own {
			if f.Strong {
				short = append(short, f)
			}
		}
	}
	return short
}

// faultText says what is missing where the boxes are not at hand.
func faultText(f record.Fault) string {
	names := map[string]string{"client.name": "The client's name", "event.date": "The day of the event", "event.km": "The distance", "event.guests": "The guests", "on": "The day it is made", "lines": "The cakes", "discount": "The discount", "client": "The client", "event": "The event"}
	if name, ok := names[f.Path]; ok {
		return sentence(name + " " + f.Problem)
	}
	if f.Path == "" {
		return sentence(f.Problem)
	}
	return sentence(plainPath(f.Path) + ": " + f.Problem)
}
