package web

import (
	"fmt"
	"net/http"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) purchasePages() {
	m.get("/purchases", m.s.showPurchases)
	m.post("/purchases", m.s.recordPurchases)
	m.fromFilePages()
}

// invoiceRows is how many lines of an invoice a form holds at once, and
// shownRows how many of them it shows before somebody asks for more.
const (
	invoiceRows = 8
	shownRows   = 3
)

func (s *Server) showPurchases(w http.ResponseWriter, r *http.Request) error {
	return s.purchasesPage(w, r, http.StatusOK, ask(nil, nil))
}

func (s *Server) purchasesPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words, today := wordsOf(x.Book.Studio), s.today()
	part := store.Span{From: fromOf(r.URL.Query()), Most: pageSize}
	found, n, err := s.store(r).PurchasesPage(r.Context(), today.AddDays(-92), today, part)
	if err != nil {
		return err
	}
	j, err := s.Desk.Journal(r.Context(), s.store(r), found, actual.Month{})
	if err != nil {
		return err
	}
	body := page.Purchases{
		Places: monthPlaces("/purchases"), Journal: journalPart(words, "Bought in the last three months", "No purchase is recorded in these months.", j, pagerIn(part, found.Len(), n, r, "/purchases"), "/purchases"),
		Lead: "Enter an invoice as it came. Its prices go into the price history, and orders that used the goods are costed at what was really paid.",
	}
	body.Head = []page.Field{
		a.field(page.Field{Name: "supplier", Label: "Supplier", Options: supplierOptions(x.Book)}),
		a.field(page.Field{Name: "invoice", Label: "Invoice number"}),
		a.field(page.Field{Name: "on", Label: "Day", Kind: "date", Value: today.String()}),
		a.field(page.Field{Name: "order", Label: "For one order only", Help: "Its number, such as 2026-0001. Empty: for the store room."}),
	}
	for _, v := range x.Book.Ingredients {
		body.Things = append(body.Things, page.Option{Value: v.Name})
	}
	for i := range invoiceRows {
		name := func(key string) string { return fmt.Sprintf("bought[%d].%s", i, key) }
		packs, help := "", ""
		if i == 0 {
			packs, help = "1", "5 kg, or 10 x 250 g."
		}
		row := page.PurchaseRow{Title: fmt.Sprintf("Line %d", i+1), Fields: []page.Field{
			a.field(page.Field{Name: name("use"), Label: "What", List: "bought"}),
			a.field(page.Field{Name: name("packs"), Label: "Packs", Kind: "number", Value: packs}),
			a.field(page.Field{Name: name("pack"), Label: "A pack holds", Help: help}),
			a.field(page.Field{Name: name("price"), Label: "A pack cost", Kind: "number"}),
			a.field(page.Field{Name: name("tax_in"), Label: "Tax in it", Kind: "number", Unit: "%"}),
		}}
		if i < shownRows {
			body.Rows = append(body.Rows, row)
			continue
		}
		body.Further = append(body.Further, row)
		for _, f := range row.Fields {
			body.Long = body.Long || f.Value != "" || len(f.Faults) > 0
		}
	}
	body.Note = a.field(page.Field{Name: "note", Label: "Note", Wide: true})
	body.Files = []page.Link{{Text: "An invoice from a file", Href: "/purchases/file"}}
	body.Form = page.Form{Action: "/purchases", Title: "An invoice", Button: "Record the purchases", Faults: a.rest()}
	body.Form.Fields = append(append(body.Form.Fields, body.Head...), body.Note)
	for _, row := range append(body.Rows, body.Further...) {
		body.Form.Fields = append(body.Form.Fields, row.Fields...)
	}
	return s.showAs(w, r, status, "purchases", "Purchases", body)
}

// supplierOptions are the suppliers that prices name.
func supplierOptions(b book.Book) (list []page.Option) {
	known := map[string]bool{}
	for _, ing := range b.Ingredients {
		for _, p := range ing.Prices {
			if name := p.Supplier.Or(""); name != "" && !known[name] {
				known[name] = true
				list = append(list, page.Option{Value: name})
			}
		}
	}
	return list
}

func (s *Server) recordPurchases(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	typed, rows := gathered(f, "bought", "use", "packs", "pack", "price", "tax_in")
	again := func(faults record.Faults) error {
		return s.purchasesPage(w, r, http.StatusUnprocessableEntity, ask(typed, faults))
	}
	var lines []any
	var unknown record.Faults
	for i, row := range rows {
		line := row.(map[string]any)
		if len(line) == 1 && line["packs"] != nil {
			continue // the number that the form begins with, and nothing else
		}
		for key, value := range line {
			text, _ := value.(string)
			switch key {
			case "use":
				if line[key], err = goodsID(x.Book, text); err != nil {
					unknown.Add(record.Item("bought", i)+".use", "%s", err)
				}
			case "packs", "price":
				line[key] = amountText(text)
			case "tax_in":
				line[key] = taxText(text)
			}
		}
		if line["packs"] == nil {
			line["packs"] = "1"
		}
		for _, key := range []string{"supplier", "invoice", "on", "note"} {
			if text := f.get(key); text != "" {
				line[key] = text
			}
		}
		lines = append(lines, line)
	}
	if len(unknown) > 0 {
		return again(unknown)
	}
	if len(lines) == 0 {
		return again(record.Faults{{Path: "bought[0].use", Problem: "nothing is filled in; say what was bought"}})
	}
	var o quote.Order
	var of *quote.Order
	if number := f.get("order"); number != "" {
		if o, err = s.store(r).Order(r.Context(), number); err != nil {
			return again(record.Faults{{Path: "order", Problem: err.Error()}})
		}
		of = &o
	}
	entries, err := func() (actual.Records, error) {
		sheet, err := sheetLines(o.Quote.Number, "bought", lines)
		if err != nil {
			return actual.Records{}, err
		}
		return actual.NewDesk(x, s.today()).Read(sheet, o)
	}()
	var kept Kept
	if err == nil {
		kept, err = s.Desk.Record(r.Context(), s.store(r), entries, of)
	}
	if refusedInput(err) {
		return again(unplaced(err))
	}
	if err != nil {
		return err
	}
	return s.recorded(w, r, "/purchases", kept)
}

// taxText writes what stands in a box before a % as a percentage.
func taxText(text string) string {
	f := form{values: map[string][]string{"x": {text}}}
	return f.percent("x")
}
