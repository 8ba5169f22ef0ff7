package web

import (
	"net/http"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// objectPages are the pages of a plain list of the studio: the list, one of it,
// one more, and one fewer.
type objectPages[T any] struct {
	s     *Server
	kind  kind[T]
	title string // of the list
	lead  string
	one   string // "a role"
	empty page.Empty
	heads []page.Head
	row   func(words, T) page.Row
	ask   func(*asking, T) []page.Field
	set   func(form) settings
	first func(form) (settings, []page.Field) // what is asked of a new one besides; nil: nothing
	ident func(form) string                   // what the id of a new one is made of
	more  func(words, *page.Part, T, returned)
}

func addObjectPages[T any](m *routes, o objectPages[T]) {
	m.get(o.kind.path, o.showAll)
	m.get(o.kind.path+"/new", func(w http.ResponseWriter, r *http.Request) error {
		return o.newPage(w, r, http.StatusOK, form{}, ask(nil, nil))
	})
	m.post(o.kind.path+"/new", o.add)
	m.get(o.kind.path+"/{id}", func(w http.ResponseWriter, r *http.Request) error {
		return o.page(w, r, http.StatusOK, returned{})
	})
	m.post(o.kind.path+"/{id}", o.save)
	m.get(o.kind.path+"/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return confirmRemoval(w, r, m.s, o.kind) })
	m.post(o.kind.path+"/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return remove(w, r, m.s, o.kind) })
}

func (o objectPages[T]) showAll(w http.ResponseWriter, r *http.Request) error {
	x, err := o.s.book(r)
	if err != nil {
		return err
	}
	add := page.Link{Text: "Add " + o.one, Href: o.kind.path + "/new"}
	body := page.Part{Title: o.title, Lead: o.lead, Add: &add}
	list := *o.kind.list(&x.Book)
	if len(list) == 0 {
		empty := o.empty
		empty.Actions = []page.Link{add}
		body.Empty, body.Add = &empty, nil
		return o.s.show(w, r, "part", o.title, body, studioCrumbs(o.title)...)
	}
	t := page.Table{Caption: o.title, Brief: true, Heads: o.heads}
	for _, v := range list {
		row := o.row(wordsOf(x.Book.Studio), v)
		row.Cells[0].Href = o.kind.at(o.kind.id(v))
		t.Rows = append(t.Rows, row)
	}
	body.Tables = []page.Table{t}
	return o.s.show(w, r, "part", o.title, body, studioCrumbs(o.title)...)
}

func (o objectPages[T]) page(w http.ResponseWriter, r *http.Request, status int, came returned) error {
	x, err := o.s.book(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	v, err := o.kind.find(x.Book, id)
	if err != nil {
		return err
	}
	name := o.kind.name(v)
	a := came.of("details")
	f := page.Form{Action: o.kind.at(id), Button: "Save", Guard: true, Version: a.version(o.kind.version(v)), Fields: o.ask(a, v)}
	f.Faults = a.rest()
	body := page.Part{Title: name, Forms: []page.Form{f}, Remove: o.kind.at(id) + "/remove"}
	if o.more != nil {
		o.more(wordsOf(x.Book.Studio), &body, v, came)
	}
	return o.s.showAs(w, r, status, "part", name, body, studioCrumbs(name, page.Link{Text: o.title, Href: o.kind.path})...)
}

func (o objectPages[T]) save(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	now, undo, err := saveObject(r, o.s, o.kind, id, f.version, func(old T) (T, record.Faults) { return overlay(old, o.set(f)) })
	if faults, ok := faultsOf(err); ok {
		return o.page(w, r, http.StatusUnprocessableEntity, returned{"details", f.values, faults})
	}
	if shown, err := o.s.showClash(w, r, err, f, o.kind.at(id), o.kind.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return o.s.done(w, r, o.kind.at(id), o.kind.name(now)+" is saved.", undo)
}

func (o objectPages[T]) newPage(w http.ResponseWriter, r *http.Request, status int, typed form, a *asking) error {
	if _, err := o.s.book(r); err != nil {
		return err
	}
	var none T
	f := page.Form{Action: o.kind.path + "/new", Button: "Add it", Guard: true, Cancel: o.kind.path, Fields: o.ask(a, none)}
	if o.first != nil {
		_, fields := o.first(typed)
		for _, field := range fields {
			f.Fields = append(f.Fields, a.field(field))
		}
	}
	f.Faults = a.rest()
	title := "Add " + o.one
	return o.s.showAs(w, r, status, "part", title, page.Part{Title: title, Forms: []page.Form{f}}, studioCrumbs("New", page.Link{Text: o.title, Href: o.kind.path})...)
}

func (o objectPages[T]) add(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := o.s.book(r)
	if err != nil {
		return err
	}
	set := o.set(f)
	if o.first != nil {
		more, _ := o.first(f)
		for path, value := range more {
			set[path] = value
		}
	}
	list := *o.kind.list(&x.Book)
	set["id"] = string(idFor(o.ident(f), func(id book.ID) bool { return taken(x, id) || o.kind.index(list, id) >= 0 }))
	var none T
	v, faults := overlay(none, set)
	var same page.Link
	if len(faults) == 0 {
		faults, same = o.kind.likeNamed(list, v)
	}
	if len(faults) == 0 {
		var undo back
		undo, err = addObject(r, o.s, o.kind, v)
		if err == nil {
			return o.s.added(w, r, o.kind.at(o.kind.id(v)), o.kind.path, o.kind.name(v)+" is added.", undo)
		}
		var ok bool
		if faults, ok = faultsOf(err); !ok {
			return err
		}
	}
	return o.newPage(w, r, http.StatusUnprocessableEntity, f, ask(f.values, faults).leads("name", same))
}
