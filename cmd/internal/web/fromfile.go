package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"strings"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// fromFile is a page that reads what is to be recorded from a file: first it
// says what would be, then it is.
type fromFile struct {
	path, title, lead, help, accept string
	back                            page.Link // the page that it belongs to
	fields                          func(s *Server, b book.Book, a *asking) []page.Field
	read                            func(s *Server, ctx context.Context, st *store.Store, x *book.Index, held shelved, f form) (actual.Records, *quote.Order, error)
}

var invoiceFile = fromFile{
	path: "/purchases/file", title: "An invoice from a file", back: page.Link{Text: "Purchases", Href: "/purchases"}, accept: ".csv,.txt,.tsv,.xlsx",
	lead: "Nothing is recorded yet: first you see what would be.",
	help: "CSV or XLSX. Its first row names the columns: ingredient, packs, pack, price; and where needed tax_in, order and note.",
	fields: func(s *Server, b book.Book, a *asking) []page.Field {
		return []page.Field{
			a.field(page.Field{Name: "supplier", Label: "Supplier", Options: supplierOptions(b)}),
			a.field(page.Field{Name: "invoice", Label: "Invoice number"}),
			a.field(page.Field{Name: "on", Label: "Day", Kind: "date", Value: s.today().String()}),
			a.field(page.Field{Name: "order", Label: "For one order only", Help: "Its number, where its rows name none. Empty: for the store room."}),
			a.field(page.Field{Name: "tax_in", Label: "Tax in the prices", Kind: "number", Unit: "%", Help: "Empty: as in the price in force."}),
		}
	},
	read: func(s *Server, ctx context.Context, st *store.Store, _ *book.Index, held shelved, f form) (actual.Records, *quote.Order, error) {
		file := InvoiceFile{Path: held.path, Name: held.name, Supplier: f.get("supplier"), Number: f.get("invoice"), Order: f.get("order"), TaxIn: f.percent("tax_in")}
		var err error
		if file.On, err = dayOr(f.get("on"), day.Date{}); err != nil {
			return actual.Records{}, nil, record.Faults{{Path: "on", Problem: err.Error()}}
		}
		entries, err := s.Desk.Invoice(ctx, st, file)
		return entries, nil, err
	},
}

var sheetFile = fromFile{
	path: "/records/file", title: "What an order took, from a file", back: page.Link{Text: "Records", Href: "/records"}, accept: ".json",
	lead:   `For those whose other programs keep the time: work, use, waste and purchases of one order at once. Nothing is recorded yet: first you see what would be.`,
	help:   `JSON: {"order": "2026-0001", "work": [{"role": "decorator", "time": "3 h 20 min"}], "used": [{"use": "butter", "qty": "1.2 kg"}]}; "more", "wasted" and "bought" besides.`,
	fields: func(*Server, book.Book, *asking) []page.Field { return nil },
	read: func(s *Server, ctx context.Context, st *store.Store, x *book.Index, held shelved, _ form) (actual.Records, *quote.Order, error) {
		data, err := os.ReadFile(held.path)
		if err != nil {
			return actual.Records{}, nil, err
		}
		sheet, err := actual.DecodeSheet(data)
		if err != nil {
			return actual.Records{}, nil, err
		}
		o, err := st.Order(ctx, sheet.Order)
		if err != nil {
			return actual.Records{}, nil, record.Faults{{Path: "order", Problem: err.Error()}}
		}
		entries, err := actual.NewDesk(x, s.today()).Read(sheet, o)
		return entries, &o, err
	},
}

func (m *routes) fromFilePages() {
	for _, p := range []fromFile{invoiceFile, sheetFile} {
		m.get(p.path, func(w http.ResponseWriter, r *http.Request) error {
			return m.s.askForFile(w, r, http.StatusOK, p, ask(nil, nil))
		})
		m.upload(p.path, func(w http.ResponseWriter, r *http.Request) error { return m.s.examineRecords(w, r, p) })
		m.post(p.path+"/apply", func(w http.ResponseWriter, r *http.Request) error { return m.s.recordFile(w, r, p) })
	}
}

func (p fromFile) crumbs() []page.Link {
	return []page.Link{p.back, {Text: "From a file", Current: true}}
}

func (s *Server) askForFile(w http.ResponseWriter, r *http.Request, status int, p fromFile, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	f := page.Form{Action: p.path, Button: "Show what it would record", Files: true}
	f.Fields = append(p.fields(s, x.Book, a), a.field(page.Field{Name: "file", Label: "File", Kind: "file", Accept: p.accept, Required: true, Wide: true, Help: p.help}))
	f.Faults = a.rest()
	return s.showAs(w, r, status, "part", p.title, page.Part{Title: p.title, Lead: p.lead, Forms: []page.Form{f}}, p.crumbs()...)
}

// examineRecords says what a file would record.
func (s *Server) examineRecords(w http.ResponseWriter, r *http.Request, p fromFile) error {
	up, err := readUpload(r, "file")
	if err != nil {
		return err
	}
	defer up.drop()
	refuse := func(faults record.Faults) error {
		return s.askForFile(w, r, http.StatusUnprocessableEntity, p, ask(up.form.values, ofFile(faults)))
	}
	if up.file == nil {
		return refuse(record.Faults{{Path: "file", Problem: "choose a file first"}})
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	session, st := s.session(w, r), s.store(r)
	id, held, err := s.shelf.put(session, up.name, up.file)
	if err != nil {
		return err
	}
	entries, _, err := p.read(s, r.Context(), st, x, held, up.form)
	if err != nil {
		s.shelf.drop(id)
		if errors.Is(err, context.Canceled) {
			return err
		}
		return refuse(unplaced(err))
	}
	j, err := s.Desk.Journal(r.Context(), st, entries, actual.Month{})
	if err != nil {
		return err
	}
	t := page.Table{Caption: "What would be recorded", Heads: []page.Head{{Text: "Day"}, {Text: "What"}}}
	for i, e := range j.Entries {
		if i == mostChanges {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{}, {Text: fmt.Sprintf("and %d more", len(j.Entries)-mostChanges)}}})
			break
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: dayText(wordsOf(x.Book.Studio), e.On)}, {Text: capital(e.Says)}}})
	}
	form := page.Form{Action: p.path + "/apply", Button: "Record it", Cancel: p.path, Fields: []page.Field{{Name: "file", Kind: "hidden", Value: id}}}
	for _, f := range p.fields(s, x.Book, ask(nil, nil)) {
		form.Fields = append(form.Fields, page.Field{Name: f.Name, Kind: "hidden", Value: up.form.get(f.Name)})
	}
	body := page.Part{Title: "What this file would record", Lead: up.name + ": nothing is recorded yet.", Shows: []page.Table{t}, Forms: []page.Form{form}}
	return s.show(w, r, "part", body.Title, body, p.crumbs()...)
}

// ofFile gives faults of what is in a file to the box of the file, each with its
// place there.
func ofFile(faults record.Faults) record.Faults {
	const most = 30
	var own record.Faults
	for i, f := range faults {
		switch {
		case i == most:
			own.Add("file", "and %d more", len(faults)-most)
			return own
		case f.Path == "file" || f.Path == "on":
			own = append(own, f)
		default:
			own.Add("file", "%s", strings.TrimSpace(f.String()))
		}
	}
	return own
}

// recordFile records a file that was looked at.
func (s *Server) recordFile(w http.ResponseWriter, r *http.Request, p fromFile) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	held, err := s.shelf.find(visitOf(r).session, f.get("file"))
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	st := s.store(r)
	entries, o, err := p.read(s, r.Context(), st, x, held, f)
	var kept Kept
	if err == nil {
		kept, err = s.Desk.Record(r.Context(), st, entries, o)
	}
	if refusedInput(err) {
		return s.askForFile(w, r, http.StatusUnprocessableEntity, p, ask(f.values, ofFile(unplaced(err))))
	}
	if err != nil {
		return err
	}
	s.shelf.drop(f.get("file"))
	to := p.back.Href
	if o != nil {
		to = actualsAt(o.Quote.Number)
	}
	return s.recorded(w, r, to, kept)
}
