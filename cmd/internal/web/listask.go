package web

import (
	"net/http"
	"regexp"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/pricelist"
	"marchpane/templates/page"
)

// askForList asks for a supplier's file.
func (s *Server) askForList(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	names := supplierOptions(x.Book)
	f := page.Form{
		Action: "/prices/import", Button: "Show what each row would do", Files: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "list", Label: "Price list", Kind: "file", Accept: ".csv,.txt,.tsv,.xlsx", Required: true, Wide: true, Help: "CSV or XLSX, as it was sent to you, with its columns in any order. Drop it here or choose it."}),
			a.field(page.Field{Name: "supplier", Label: "Whose list it is", Required: true, Options: names}),
			a.field(page.Field{Name: "from", Label: "Its prices hold from", Kind: "date", Value: s.today().String(), Help: "Where the list itself gives no day."}),
		},
	}
	f.Faults = a.rest()
	body := page.Intake{Title: "Take in a price list", Lead: "Nothing is stored yet: first you see what each row would do.", Ask: f}
	return s.showAs(w, r, status, "intake", body.Title, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: "Price list", Current: true})
}

// supplierOf finds whose list a file is by its name: that of the one supplier
// all of whose words are in it, "" where there is none, or several.
func supplierOf(b book.Book, file string) string {
	file = enquiry.Fold(file)
	found := ""
	for _, o := range supplierOptions(b) {
		terms := enquiry.Terms(o.Value)
		if len(terms) == 0 || !holds(file, terms) {
			continue
		}
		if found != "" {
			return ""
		}
		found = o.Value
	}
	return found
}

// dropForm takes a supplier's list that is dropped on a page.
func dropForm(b book.Book) *page.Form {
	return &page.Form{
		Action: "/prices/import", Title: "A supplier’s price list", Button: "Show what each row would do",
		Lead: "Drop it anywhere on this page, or choose it here. Nothing is stored until you have seen what each row would do.",
		Fields: []page.Field{
			{Name: "list", Label: "Price list", Kind: "file", Accept: ".csv,.txt,.tsv,.xlsx", Help: "CSV or XLSX, as it was sent to you."},
			{Name: "supplier", Label: "Whose list it is", Options: supplierOptions(b)},
		},
	}
}

// readingForm asks how a list is to be read, where it does not tell.
func readingForm(a *asking, t taking) page.Form {
	m := t.mapping
	choice := func(name, label, value string, options ...page.Option) page.Field {
		return a.field(page.Field{Name: name, Label: label, Kind: "choice", Value: value, Options: append([]page.Option{{Text: "as the list shows"}}, options...)})
	}
	f := page.Form{Action: "/prices/import/rows", Button: "Read it again", Title: "How the list is read", Fields: []page.Field{
		a.field(page.Field{Name: "file", Kind: "hidden"}),
		a.field(page.Field{Name: "supplier", Label: "Whose list it is", Required: true, Options: supplierOptions(t.book)}),
		a.field(page.Field{Name: "from", Label: "Its prices hold from", Kind: "date"}),
		choice("tax", "Its prices", string(m.Tax), page.Option{Value: "in", Text: "hold tax"}, page.Option{Value: "out", Text: "hold no tax"}),
		a.field(page.Field{Name: "tax_rate", Label: "Rate of that tax", Kind: "number", Unit: "%", Value: percentOf(m.TaxRate)}),
		choice("decimal", "Before decimals stands", string(m.Decimal), page.Option{Value: "comma", Text: "a comma"}, page.Option{Value: "point", Text: "a point"}),
		choice("dates", "In 5/10/2026 first comes", string(m.Dates), page.Option{Value: "dmy", Text: "the day"}, page.Option{Value: "mdy", Text: "the month"}),
		choice("price_of", "A price is for", string(m.PriceOf), page.Option{Value: "pack", Text: "the whole case"}, page.Option{Value: "unit", Text: "one of those in it"}),
		choice("pints", "Pints and ounces are", string(m.Customary), page.Option{Value: "uk", Text: "British"}, page.Option{Value: "us", Text: "American"}),
		a.field(page.Field{Name: "suspicious", Label: "A change looks wrong beyond", Kind: "number", Unit: "%", Help: "25 where empty."}),
		a.field(page.Field{Name: "note", Label: "Note on every new price"}),
	}}
	columns := []page.Field{
		a.field(page.Field{Name: "sheet", Label: "Sheet of the workbook"}),
		a.field(page.Field{Name: "encoding", Label: "Encoding of a text file", Help: "Such as windows-1252. Empty: found by itself."}),
	}
	for _, c := range []struct{ name, label, value string }{
		{"item", "Column of the goods", m.Columns.Item}, {"code", "of their numbers", m.Columns.Code}, {"pack", "of the packs", m.Columns.Pack}, {"count", "of how many a case holds", m.Columns.Count},
		{"unit", "of the units", m.Columns.Unit}, {"price", "of the prices", m.Columns.Price}, {"tax", "of the tax", m.Columns.Tax}, {"currency", "of the currency", m.Columns.Currency}, {"from", "of the days", m.Columns.From},
	} {
		field := page.Field{Name: "column." + c.name, Label: c.label, Value: c.value}
		if c.name == "item" {
			field.Help = "By its heading, or by its letter. Empty: found by itself."
		}
		columns = append(columns, a.field(field))
	}
	f.Groups = []page.Group{folded("Sheet and columns", columns...)}
	return f
}

var changesBy = regexp.MustCompile(`changes by \S+ %, more than (\S+) %`)

// whyOf says why, where, and what an unknown item may be.
func whyOf(x *book.Index, f pricelist.Fate) string {
	var parts []string
	if f.Reason != "" {
		// By how much stands beside it.
		reason := changesBy.ReplaceAllString(f.Reason, "changes by more than $1%")
		if f.Verdict == pricelist.UnknownItem {
			reason = "say which of what you buy it is, that it is something new, or that it is not bought"
		}
		// The row stands beside it; a cell of it is worth finding.
		if f.At != "" && !strings.HasPrefix(f.At, "row ") && f.Verdict != pricelist.UnknownItem {
			reason = "cell " + f.At + ": " + reason
		}
		parts = append(parts, reason)
	}
	var names []string
	for _, s := range f.Suggestions {
		names = append(names, s.Name)
	}
	if len(names) > 0 {
		parts = append(parts, "perhaps "+strings.Join(names, ", or "))
	}
	return capital(strings.Join(append(parts, f.Remarks...), "; "))
}
