// Package web serves the studio's pages to a browser: the whole job, without a
// terminal.
//
// # A page
//
// A handler reads the address, loads, computes by calling the engine, fills a
// struct of package page with texts that are ready to show, and renders it. It
// returns an error rather than writing one; [problemOf] alone decides which
// error has which status. Nothing is written before the page is whole.
//
//	func (m *routes) tinPages() {
//		m.section(section{name: "Tins", path: "/tins", key: "n"}) // only for a place of its own
//		m.get("/tins", m.s.listTins)
//	}
//
//	func (s *Server) listTins(w http.ResponseWriter, r *http.Request) error {
//		x, err := s.book(r) // for reading alone; store.ErrEmpty leads to the welcome page by itself
//		if err != nil {
//			return err
//		}
//		words := wordsOf(x.Book.Studio) // money, percentages, days as the studio reads them
//		return s.show(w, r, "tins", "Tins", page.List{Rows: tinRows(words, x.Book.Tins)})
//	}
//
// Then: templates/page/tins.html with {{define "content"}}; a struct of its own in
// templates/page where none fits; m.tinPages() as a line in [Server.routes], where
// the order of the lines is the order of the sections; and an address of it in
// samplePages of sample_test.go, by which the tests of security, weight,
// accessibility, both schemes, phone width and script off cover it.
//
// What both the pages and the command line do, beyond the engine, is a method of
// [Desk], implemented in package cli.
//
// # Addresses
//
// Things are plural nouns with the id behind: GET /prices is the list, GET
// /prices/butter one of it, POST to the same address saves it. GET and POST
// /prices/new add one; GET /prices/butter/remove asks whether it is meant and POST
// does it. Other verbs are POST /prices/butter/price; what shows a draft of it
// while someone types is …/preview, which changes nothing. Nothing ever changes
// on GET. Papers end in their kind: /quotes/2026-0001/A.pdf. The addresses of book
// objects are those of their [kind], of quotes /quotes/2026-0001, of clients
// /clients/C1, of enquiries /enquiries/E1; their lists are part of /orders.
//
// # Forms
//
// The name of a box is the path of its value in the record, as book files and
// faults name it: trim_yield, tax.rate, lines[0].qty. So a form is read by
// [overlay], which sets what was typed in the record and reads that as strictly
// as a book file, and a fault finds its box by its path. [ask] builds the boxes:
// as the record has it, or as it was typed with each fault beside it.
//
//	func tinForm(a *asking, t book.Tin) page.Form {
//		f := page.Form{Action: tins.at(t.ID), Button: "Save", Guard: true, Version: tins.version(t)}
//		f.Fields = []page.Field{a.field(page.Field{Name: "height", Label: "Height", Value: given(t.Height)})}
//		f.Faults = a.rest() // after the boxes: what belongs to none of them
//		return f
//	}
//
//	func (s *Server) saveTin(w http.ResponseWriter, r *http.Request) error {
//		f, err := readForm(r)
//		if err != nil {
//			return err
//		}
//		id := book.ID(r.PathValue("id"))
//		now, undo, err := saveObject(r, s, tins, id, f.version, func(old book.Tin) (book.Tin, record.Faults) {
//			return overlay(old, settings{"height": f.figure("height")})
//		})
//		if faults, ok := faultsOf(err); ok {
//			return s.tinPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
//		}
//		if shown, err := s.showClash(w, r, err, f, tins.at(id), tins.at(id)); shown {
//			return err
//		}
//		if err != nil {
//			return err
//		}
//		return s.done(w, r, tins.at(id), tins.name(now)+" is saved.", undo)
//	}
//
// [form.figure] takes a comma for a decimal point, [form.percent] puts the % back
// that stands behind the box, [form.rows] gathers the rows of a list and drops
// empty ones. A list is set whole: settings{"lines": f.rows("lines", "use",
// "qty", "note")}. Rows that a form offers beyond those that are filled in are
// how something is added without script.
//
// # Live previews
//
// A form whose Live and Target are set is posted to Live whenever something is
// typed, and the answer takes the place of what is in the element of that id. The
// handler reads the same form, computes, and answers with [Server.fragment]: a
// {{define}} of the page's own file, which the page itself uses for the same
// element, so that both look alike. It answers 200 with less while what is typed
// is unfinished. Search boxes do the same by GET: [wantsFragment]. When a fragment
// has come in, static/studio.js sees to the forms in it.
//
// # Undo
//
// [Server.done] goes to the next page, which tells what was done; given a function
// it offers to take that back. [saveObject], [addObject], [removeObject] and
// [saveStudio] return such a function, which refuses where the object was changed
// again since. For anything else give the inverse: func(ctx) (string, error), which
// says what it did. It outlives the request, so it uses neither r nor its context.
// Undo is kept in memory for half an hour. What cannot be taken back asks first:
// [confirmRemoval] and the page "confirm".
//
// # Two people
//
// A form carries the version of the record that it shows, a hash. [saveObject]
// compares it with what is stored in the same transaction that writes. Where they
// differ nothing is saved, and [Server.showClash] shows both with what differs;
// the visitor chooses. Dated prices are only added to, so they are not part of a
// version; their forms have one of their own, so that whoever adds a price is
// shown what somebody else has added since. A form that comes back with faults
// keeps the version that it was first filled in for.
//
// # What is remembered
//
// [Server.book] reads the book once until it changes, by whichever program.
// [ofBook] keeps what follows from it alone, [rememberedOf] what follows from
// quotes, the journal or the hours until such a thing is written, [remembered]
// anything else until anything is. Key it by what else it depends on, such as
// the day. Pages of long lists cost what they show, and nothing else: [paged],
// [found].
//
// # Safety
//
// A request passes [Server.guard] (headers, Host against rebinding of names, other
// sites refused), enter (session, studio), gate (passphrase) and a bound for its
// body. The content policy allows no script, style or handler inside a page: put
// them into static/. Everything a page shows is escaped by html/template; only
// drawings and plots are template.HTML, and the boxes of forms and the trees of
// explanations, which package page writes and escapes itself.
package web
