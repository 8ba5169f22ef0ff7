package web

import (
	"errors"
	"net/http"
	"net/url"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) welcomePages() {
	m.get("/welcome", m.s.showWelcome)
	m.post("/welcome", m.s.begin)
	m.bringPages()
	m.repeat("/demo", m.s.enterDemo)
	m.repeat("/demo/leave", m.s.leaveDemo)
}

func (s *Server) showWelcome(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err == nil {
		return s.done(w, r, "/", "", nil)
	} else if !errors.Is(err, store.ErrEmpty) {
		return err
	}
	return s.welcome(w, r, http.StatusOK, ask(nil, nil))
}

func (s *Server) welcome(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	return s.welcomeWith(w, r, status, a, ask(nil, nil))
}

// welcomeWith shows the welcome page, with the form of a new studio or that of a
// file as it came back.
func (s *Server) welcomeWith(w http.ResponseWriter, r *http.Request, status int, a, bring *asking) error {
	form := page.Form{
		Title: "Start with your own studio", Action: "/welcome", Button: "Start", Guard: true,
		Lead: "A few answers are enough. Each can be changed later, and prices, recipes and cakes come one by one.",
		Fields: []page.Field{
			a.field(page.Field{Name: "name", Label: "What is your studio called?", Required: true, Wide: true, Auto: "organization"}),
			a.field(page.Field{Name: "currency", Label: "Currency", Value: "EUR", Required: true, Help: "Three letters: EUR, GBP, USD.", Options: []page.Option{{Value: "EUR", Text: "euro"}, {Value: "GBP", Text: "pound sterling"}, {Value: "USD", Text: "US dollar"}, {Value: "CHF", Text: "Swiss franc"}, {Value: "CAD", Text: "Canadian dollar"}, {Value: "AUD", Text: "Australian dollar"}, {Value: "NZD", Text: "New Zealand dollar"}}}),
			a.field(page.Field{Name: "locale", Label: "Language of your papers", Kind: "choice", Value: "en-GB", Options: localeOptions()}),
			a.field(page.Field{Name: "tax.rate", Label: "Sales tax or VAT you charge", Kind: "number", Unit: "%", Help: "Empty where you charge none. Ask your tax adviser which rate your cakes have."}),
			a.field(page.Field{Name: "target.margin", Label: "Margin you aim for", Kind: "number", Unit: "%", Value: "35", Required: true, Help: "Of the price without tax, what is left once ingredients, work and overhead are paid."}),
		},
	}
	form.Faults = a.rest()
	return s.showAs(w, r, status, "welcome", "Welcome", page.Welcome{
		Lead: "Marchpane works out what your cakes cost, to the gram, and what to ask for them. This store is still empty.",
		Demo: "A made-up studio with prices, recipes, cakes and orders. Change whatever you like in it: it is a copy, and throwing it away takes one press of a button.",
		Form: form, Bring: bringForm(bring),
	})
}

func localeOptions() []page.Option {
	return []page.Option{
		{Value: "en-GB", Text: "English (Britain)"}, {Value: "en-IE", Text: "English (Ireland)"}, {Value: "en-US", Text: "English (United States)"}, {Value: "en-CA", Text: "English (Canada)"}, {Value: "en-AU", Text: "English (Australia)"},
		{Value: "de-DE", Text: "Deutsch"}, {Value: "de-AT", Text: "Deutsch (Österreich)"}, {Value: "de-CH", Text: "Deutsch (Schweiz)"}, {Value: "fr-FR", Text: "Français"}, {Value: "es-ES", Text: "Español"}, {Value: "it-IT", Text: "Italiano"}, {Value: "nl-NL", Text: "Nederlands"}, {Value: "pt-PT", Text: "Português"},
	}
}

// begin makes the book of a new studio: nothing but the studio itself.
func (s *Server) begin(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	set := settings{
		"name": f.get("name"), "currency": f.get("currency"), "locale": f.get("locale"),
		"tax.rate": f.percent("tax.rate"), "target.margin": f.percent("target.margin"),
	}
	studio, faults := overlay(book.Studio{}, set)
	if len(faults) == 0 {
		_, err = s.store(r).Edit(r.Context(), "the pages", s.Now(), func(old book.Book) (book.Book, error) {
			if old.Format != "" {
				return old, problem{Status: http.StatusConflict, Title: "The studio has begun already", Text: "Its book was made in the meantime. It was left as it is.", Actions: []page.Link{{Text: "Go to Today", Href: "/"}}}
			}
			return book.Book{Format: book.Format, Studio: studio}, nil
		})
		if err == nil {
			return s.done(w, r, "/prices", studio.Name+" is open. Begin with what you buy.", nil)
		}
		var ok bool
		if faults, ok = faultsOf(under(err, "studio.")); !ok {
			return err
		}
	}
	return s.welcome(w, r, http.StatusUnprocessableEntity, ask(f.values, renamed(faults, "target", "target.margin")))
}

// renamed gives a fault of a whole object to the one box that asks about it.
func renamed(faults record.Faults, from, to string) record.Faults {
	for i := range faults {
		if faults[i].Path == from {
			faults[i].Path = to
		}
	}
	return faults
}

// refererPath is the page of ours that a form was on.
func refererPath(from string) string {
	u, err := url.Parse(from)
	if err != nil {
		return "/"
	}
	return here(u.RequestURI())
}
