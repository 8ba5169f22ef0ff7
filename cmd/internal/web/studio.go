package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

func (m *routes) studioPages() {
	m.section(section{name: "Studio", path: "/studio", key: "s"})
	m.get("/studio", m.s.showStudio)
	for path, part := range map[string]studioPart{"/studio/name": namePart, "/studio/charging": chargingPart, "/studio/terms": termsPart} {
		m.get(path, func(w http.ResponseWriter, r *http.Request) error { return m.s.showPart(w, r, path, part) })
		m.post(path, func(w http.ResponseWriter, r *http.Request) error { return m.s.savePart(w, r, path, part) })
	}
	m.lookPages()
	m.rolePages()
	m.equipmentPages()
	m.tinPages()
	m.runningPages()
	m.letterPages()
	m.mailPages()
	m.accessPages()
	m.keepingPages()
}

// studioCrumbs lead to a page of the section.
func studioCrumbs(title string, between ...page.Link) []page.Link {
	return append(append([]page.Link{{Text: "Studio", Href: "/studio"}}, between...), page.Link{Text: title, Current: true})
}

// showStudio lists the parts of the studio, each with what it is set to.
func (s *Server) showStudio(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	b, words, today := x.Book, wordsOf(x.Book.Studio), s.today()
	st := b.Studio
	item := func(text, href, note, side string) page.Item {
		return page.Item{Text: text, Href: href, Note: note, Side: side}
	}
	tax := "none charged"
	if st.Tax != nil {
		tax = strings.TrimSpace(st.Tax.Label.Or("tax") + " " + words.rate(st.Tax.Rate.Fraction()))
	}
	energy, overhead := "no price yet", "none"
	if e, err := b.EnergyOn(today); err == nil {
		energy = words.price(e.Price) + " a kWh"
	}
	if b.Overhead != nil {
		if o, err := b.Overhead.On(today); err == nil {
			overhead = overheadFigure(words, *b.Overhead, o)
		}
	}
	access := "asks for no passphrase"
	if s.passphrase() != "" {
		access = "asks for a passphrase"
	}
	mail, err := s.mailFigure(r)
	if err != nil {
		return err
	}
	quotes := st.Quote.Value
	body := page.Studio{Title: st.Name, Lead: "What holds for every cake and every paper. Quotes that were issued keep what they were issued with.", Sections: []page.Section{
		{ID: "papers", Title: "On your papers", Items: []page.Item{
			item("Name, address, languages", "/studio/name", strings.Join(strings.Fields(st.Address.Value), " "), ""),
			item("Prices, tax and margins", "/studio/charging", "aims at "+targetFigure(words, st.Target), tax),
			item("Terms of your quotes", "/studio/terms", plural(len(quotes.Terms), "paragraph of terms", "paragraphs of terms"), fmt.Sprintf("open for %s", plural(quotes.ValidDays.Or(30), "day", "days"))),
			item("Logo, colour, paper", "/studio/look", "", lookFigure(st.Look.Value)),
			item("Wording of letters", "/studio/letters", "What your e-mails to clients say", ""),
			item("Mail server", "/studio/mail", "", mail),
		}},
		{ID: "kitchen", Title: "In the kitchen", Items: []page.Item{
			item("Work and wages", "/studio/roles", "", plural(len(b.Roles), "role", "roles")),
			item("Equipment", "/studio/equipment", "", plural(len(b.Equipment), "appliance", "appliances")),
			item("Energy", "/studio/energy", "", energy),
			item("Overhead", "/studio/overhead", "", overhead),
			item("Tins you own", "/studio/tins", "", plural(len(b.Tins), "tin", "tins")),
			item("Extras", extras.path, "What you sell beside cakes, such as delivery", plural(len(b.Extras), "extra", "extras")),
		}},
		{ID: "safe", Title: "Kept safe", Items: []page.Item{
			item("Backup and restore", "/studio/backup", "A copy of everything, to keep elsewhere", ""),
			item("The whole book in a file", "/studio/book", "Take it out, or take one in", ""),
			item("Who may come in", "/studio/passphrase", "", access),
		}},
	}}
	return s.show(w, r, "studio", "Studio", body)
}

func targetFigure(words words, t book.Target) string {
	switch {
	case t.Margin.Given:
		return "a margin of " + words.rate(t.Margin.Value.Fraction())
	case t.Markup.Given:
		return "a markup of " + words.rate(t.Markup.Value.Fraction())
	case t.PerPortion.Given:
		return words.money(t.PerPortion.Value.Number()) + " a portion"
	}
	return words.money(t.Fixed.Value.Number()) + " a cake"
}

// studioPart is a page about some of what the record of the studio holds.
type studioPart struct {
	title, lead string
	form        func(*asking, book.Studio) ([]page.Field, []page.Group)
	set         func(form, book.Studio) settings
	faults      func(record.Faults) record.Faults // to the boxes that ask; nil: as they are
	notes       []string
}

func (s *Server) showPart(w http.ResponseWriter, r *http.Request, path string, p studioPart) error {
	return s.partPage(w, r, http.StatusOK, path, p, ask(nil, nil))
}

func (s *Server) partPage(w http.ResponseWriter, r *http.Request, status int, path string, p studioPart, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	f := page.Form{Action: path, Button: "Save", Guard: true, Version: a.version(versionOf(x.Book.Studio))}
	f.Fields, f.Groups = p.form(a, x.Book.Studio)
	f.Faults = a.rest()
	return s.showAs(w, r, status, "part", p.title, page.Part{Title: p.title, Lead: p.lead, Forms: []page.Form{f}, Notes: p.notes}, studioCrumbs(p.title)...)
}

func (s *Server) savePart(w http.ResponseWriter, r *http.Request, path string, p studioPart) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	_, undo, err := saveStudio(r, s, f.version, func(old book.Studio) (book.Studio, record.Faults) { return overlay(old, p.set(f, old)) })
	if faults, ok := faultsOf(err); ok {
		if p.faults != nil {
			faults = p.faults(faults)
		}
		return s.partPage(w, r, http.StatusUnprocessableEntity, path, p, ask(f.values, faults))
	}
	if shown, err := s.showClash(w, r, err, f, path, path); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, path, p.title+": saved. Papers made from now on say so.", undo)
}

var namePart = studioPart{
	title: "Name, address, languages", lead: "How your papers name you, and how they write dates and money.",
	form: func(a *asking, st book.Studio) ([]page.Field, []page.Group) {
		locales := localeOptions()
		locale := st.Locale.Or("en-GB")
		if !slices.ContainsFunc(locales, func(o page.Option) bool { return o.Value == locale }) {
			locales = append(locales, page.Option{Value: locale, Text: locale})
		}
		return []page.Field{
			a.field(page.Field{Name: "name", Label: "Name of the studio", Value: st.Name, Required: true, Wide: true, Auto: "organization"}),
			a.field(page.Field{Name: "address", Label: "Address", Kind: "long", Value: st.Address.Value, Wide: true, Auto: "street-address"}),
			a.field(page.Field{Name: "email", Label: "E-mail", Kind: "email", Value: st.Email.Value, Auto: "email"}),
			a.field(page.Field{Name: "phone", Label: "Telephone", Kind: "tel", Value: st.Phone.Value, Auto: "tel"}),
			a.field(page.Field{Name: "locale", Label: "Language of your papers", Kind: "choice", Value: locale, Options: locales, Help: "Dates and money follow it. A client may still get papers in a language of their own."}),
			a.field(page.Field{Name: "household", Label: "Cups and spoons in your recipes", Kind: "choice", Value: st.Household.Or(measure.Metric).String(), Options: householdOptions()}),
			a.field(page.Field{Name: "allergen_list", Label: "Allergens by the law of", Kind: "choice", Value: string(st.AllergenList.Or("eu")), Options: []page.Option{
				{Value: "eu", Text: "the European Union"}, {Value: "uk", Text: "the United Kingdom"}, {Value: "us", Text: "the United States"}, {Value: "ca", Text: "Canada"}, {Value: "anz", Text: "Australia and New Zealand"},
			}, Help: "Names and order of allergens on papers. Check them against labels and the rules where you sell."}),
		}, nil
	},
	set: func(f form, st book.Studio) settings {
		return settings{
			"name": f.get("name"), "address": f.get("address"), "email": f.get("email"), "phone": f.get("phone"), "locale": f.get("locale"),
			"household": kept(f.get("household"), measure.Metric.String(), st.Household.Given), "allergen_list": kept(f.get("allergen_list"), "eu", st.AllergenList.Given),
		}
	},
}

// kept leaves out what was not stated and is not changed from what holds then.
func kept(text, usual string, stated bool) string {
	if text == usual && !stated {
		return ""
	}
	return text
}

func householdOptions() []page.Option {
	return []page.Option{{Value: measure.Metric.String(), Text: "metric: a cup holds 250 ml"}, {Value: measure.US.String(), Text: "United States: a cup holds 237 ml"}}
}

var chargingPart = studioPart{
	title: "Prices, tax and margins", lead: "What a price aims at, what it must not fall below, and the tax in it.",
	form: func(a *asking, st book.Studio) ([]page.Field, []page.Group) {
		var tax book.Tax
		rate := ""
		if st.Tax != nil {
			tax, rate = *st.Tax, percentFigure(st.Tax.Rate)
		}
		percent := func(p record.Maybe[measure.Percent]) string {
			if !p.Given {
				return ""
			}
			return percentFigure(p.Value)
		}
		code := st.Currency.Code()
		fields := []page.Field{
			a.field(page.Field{Name: "target.margin", Label: "Margin you aim for", Kind: "number", Unit: "%", Value: percent(st.Target.Margin), Help: "Of the price without tax, what is left."}),
			a.field(page.Field{Name: "floor_margin", Label: "Never below a margin of", Kind: "number", Unit: "%", Value: percent(st.FloorMargin), Help: "What falls below it is marked everywhere."}),
			a.field(page.Field{Name: "price_step", Label: "Round prices up to a multiple of", Kind: "number", Unit: code, Value: stated(st.PriceStep)}),
			a.field(page.Field{Name: "minimum_order", Label: "Smallest order", Kind: "number", Unit: code, Value: stated(st.MinimumOrder)}),
			a.field(page.Field{Name: "prices_shown", Label: "Clients see prices", Kind: "choice", Value: string(st.PricesShown.Or(book.Gross)), Options: []page.Option{{Value: "gross", Text: "with tax"}, {Value: "net", Text: "without tax"}}}),
		}
		other := folded("Aim at something else than a margin",
			a.field(page.Field{Name: "target.markup", Label: "A markup on cost", Kind: "number", Unit: "%", Value: percent(st.Target.Markup)}),
			a.field(page.Field{Name: "target.per_portion", Label: "A price a portion", Kind: "number", Unit: code, Value: stated(st.Target.PerPortion)}),
			a.field(page.Field{Name: "target.fixed", Label: "One price for every cake", Kind: "number", Unit: code, Value: stated(st.Target.Fixed)}),
		)
		other.Help = "Fill in one of these and leave the margin above empty."
		return fields, []page.Group{other, {Title: "Tax", Open: true, Fields: []page.Field{
			a.field(page.Field{Name: "tax.rate", Label: "Tax that you charge", Kind: "number", Unit: "%", Value: rate, Help: "Empty where you charge none. Ask your tax adviser which rate your cakes have."}),
			a.field(page.Field{Name: "tax.label", Label: "What that tax is called", Value: tax.Label.Value}),
			a.field(page.Field{Name: "tax.number", Label: "Your tax number", Value: tax.Number.Value}),
			a.field(page.Field{Name: "tax.by", Label: "Tax is rounded", Kind: "choice", Value: string(tax.By.Or(book.ByDocument)), Options: []page.Option{{Value: "document", Text: "once on the whole paper"}, {Value: "line", Text: "on each line"}}}),
			a.field(page.Field{Name: "recovers_tax", Label: "I get back the tax in what I buy", Kind: "tick", Value: "yes", Ticked: st.RecoversTax.Or(false)}),
		}}}
	},
	set: func(f form, st book.Studio) settings {
		set := settings{
			"target.margin": f.percent("target.margin"), "target.markup": f.percent("target.markup"), "target.per_portion": f.price("target.per_portion"), "target.fixed": f.price("target.fixed"),
			"floor_margin": f.percent("floor_margin"), "price_step": f.price("price_step"), "minimum_order": f.price("minimum_order"),
			"prices_shown": kept(f.get("prices_shown"), string(book.Gross), st.PricesShown.Given),
			"tax.rate":     f.percent("tax.rate"), "tax.label": f.get("tax.label"), "tax.number": f.get("tax.number"),
			"tax.by": kept(f.get("tax.by"), string(book.ByDocument), st.Tax != nil && st.Tax.By.Given),
		}
		if f.ticked("recovers_tax") || st.RecoversTax.Given {
			set["recovers_tax"] = f.ticked("recovers_tax")
		}
		if f.get("tax.rate") == "" && f.get("tax.label") == "" && f.get("tax.number") == "" {
			set["tax.by"] = "" // no tax at all
		}
		return set
	},
	faults: func(faults record.Faults) record.Faults {
		return renamed(renamed(faults, "target", "target.margin"), "tax", "tax.rate")
	},
	notes: []string{"Tax on a quote follows the rates that you enter. Which are right is for whoever does your accounts to say."},
}

// stated writes an amount of money that may not be given, for a box.
func stated[T fmt.Stringer](v record.Maybe[T]) string {
	if !v.Given {
		return ""
	}
	return v.Value.String()
}
