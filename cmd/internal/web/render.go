package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"

	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// handler answers a request, or returns why it could not.
type handler func(http.ResponseWriter, *http.Request) error

// handle makes a handler one of net/http's.
func (s *Server) handle(do handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := do(w, r); err != nil {
			s.fail(w, r, err)
		}
	})
}

// show writes a page in its frame. Crumbs lead from the section's first page to
// this one, which is the last of them.
func (s *Server) show(w http.ResponseWriter, r *http.Request, name, title string, body any, crumbs ...page.Link) error {
	return s.showAs(w, r, http.StatusOK, name, title, body, crumbs...)
}

// showAs is [Server.show] with another status: 422 for a form with faults.
func (s *Server) showAs(w http.ResponseWriter, r *http.Request, status int, name, title string, body any, crumbs ...page.Link) error {
	f := s.frame(r, title)
	f.Body = body
	f.Crumbs = crumbs
	f.Notice = visitOf(r).session.told()
	b := sheets.Get().(*bytes.Buffer)
	defer putSheet(b)
	if err := page.Write(b, name, f); err != nil {
		return err
	}
	return send(w, r, status, "text/html; charset=utf-8", b.Bytes())
}

// fragment writes one template of a page, as the answer to a live form.
func (s *Server) fragment(w http.ResponseWriter, r *http.Request, name, fragment string, v any) error {
	b := sheets.Get().(*bytes.Buffer)
	defer putSheet(b)
	if err := page.WriteFragment(b, name, fragment, v); err != nil {
		return err
	}
	return send(w, r, http.StatusOK, "text/html; charset=utf-8", b.Bytes())
}

// sheets are what pages are written on before they are sent: one that grows with
// each page leaves twice the page behind.
var sheets = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// putSheet keeps a sheet for another page, unless one page made it huge.
func putSheet(b *bytes.Buffer) {
	if b.Cap() <= 1<<20 {
		b.Reset()
		sheets.Put(b)
	}
}

// wantsFragment reports whether the script asks, which puts the answer into a
// page that is there already.
func wantsFragment(r *http.Request) bool { return r.Header.Get("X-Fragment") != "" }

// frame returns what surrounds a page.
func (s *Server) frame(r *http.Request, title string) page.Frame {
	v := visitOf(r)
	f := page.Frame{
		Title: title, Here: r.URL.RequestURI(), Query: r.URL.Query().Get("q"),
		Demo: v.isDemo, SignedIn: s.passphrase() != "" && v.session.signedIn(),
		Scheme: schemeOf(r), Keys: keysOf(r),
		Style: s.asset("studio.css"), Script: s.asset("studio.js"),
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		f.Here = "/"
	}
	if !strings.HasPrefix(r.URL.Path, "/search") {
		f.Query = ""
	}
	if s.passphrase() != "" && !v.session.signedIn() || v.studio == nil {
		f.Bare = true
		return f
	}
	x, err := v.studio.book(r.Context())
	if err != nil {
		f.Bare = true // nothing to lead to yet; the page says what is wrong
		return f
	}
	f.Studio = x.Book.Studio.Name
	for _, section := range s.sections {
		current := r.URL.Path == section.path || section.path != "/" && strings.HasPrefix(r.URL.Path, section.path+"/")
		for _, also := range section.also {
			current = current || r.URL.Path == also || strings.HasPrefix(r.URL.Path, also+"/")
		}
		f.Sections = append(f.Sections, page.Link{Text: section.name, Href: section.path, Current: current, Key: section.key})
	}
	return f
}

// send writes what is ready, packed where the browser takes it so.
func send(w http.ResponseWriter, r *http.Request, status int, kind string, data []byte) error {
	if len(data) > 1200 && takesGzip(r) && !strings.HasPrefix(kind, "application/pdf") {
		return sendPacked(w, r, status, kind, pack(data))
	}
	return sendAs(w, r, status, kind, data)
}

// sendPacked is send of what is packed already, to a browser that takes it so.
func sendPacked(w http.ResponseWriter, r *http.Request, status int, kind string, packed []byte) error {
	w.Header().Set("Content-Encoding", "gzip")
	return sendAs(w, r, status, kind, packed)
}

func sendAs(w http.ResponseWriter, r *http.Request, status int, kind string, data []byte) error {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Add("Vary", "Accept-Encoding, Cookie, X-Fragment")
	h.Set("Content-Length", fmt.Sprint(len(data)))
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(data) // whoever has gone away does not miss the rest
	}
	return nil
}

// done goes to another page, which tells what was done and offers to take it
// back where back is not nil.
func (s *Server) done(w http.ResponseWriter, r *http.Request, to, text string, back func(context.Context) (string, error)) error {
	return s.onwards(w, r, to, text, undo{do: back})
}

// added is [Server.done] for a thing that is new. Taken back, it has no page any
// more, so that leads to the list that it was on.
func (s *Server) added(w http.ResponseWriter, r *http.Request, to, list, text string, back func(context.Context) (string, error)) error {
	gone, _, _ := strings.Cut(to, "?")
	return s.onwards(w, r, to, text, undo{do: back, gone: gone, list: list})
}

// onwards goes to another page, which tells what was done.
func (s *Server) onwards(w http.ResponseWriter, r *http.Request, to, text string, back undo) error {
	if text != "" {
		s.session(w, r).tell(s.Now(), page.Notice{Text: text}, back)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// problem is an error with a page of its own.
type problem struct {
	Status  int
	Title   string
	Text    string
	Details []string
	Actions []page.Link
	Buttons []page.Button
}

// Error returns what the page says.
func (p problem) Error() string { return p.Title + ": " + p.Text }

// notFound says that there is no such thing.
func notFound(what string) error {
	return problem{
		Status: http.StatusNotFound, Title: "There is nothing here", Text: fmt.Sprintf("No %s is at this address. It may have been removed or renamed.", what),
		Actions: []page.Link{{Text: "Go to Today", Href: "/"}},
	}
}

// wrong says that a request is not as our pages send it.
func wrong(format string, args ...any) error {
	return problem{Status: http.StatusBadRequest, Title: "That was not understood", Text: fmt.Sprintf(format, args...)}
}

// problemOf puts an error into a page's words. Only here is decided which error
// has which status.
func problemOf(err error) problem {
	var p problem
	var faults record.Faults
	switch {
	case errors.As(err, &p):
		return p
	case tooLarge(err):
		return problem{Status: http.StatusRequestEntityTooLarge, Title: "That is too large", Text: "Nothing was changed. Send a smaller file, or in parts."}
	case errors.As(err, &faults):
		p = problem{Status: http.StatusUnprocessableEntity, Title: "That cannot be saved as it is", Text: "Nothing was changed. This has to be mended first:"}
		for i, f := range faults {
			if i == 30 {
				p.Details = append(p.Details, fmt.Sprintf("and %d more", len(faults)-i))
				break
			}
			p.Details = append(p.Details, plainly(f.String()))
		}
		return p
	case errors.Is(err, store.ErrNotFound):
		return problem{Status: http.StatusNotFound, Title: "There is nothing here", Text: sentence(err.Error()), Actions: []page.Link{{Text: "Go to Today", Href: "/"}}}
	case errors.Is(err, store.ErrConflict):
		return problem{Status: http.StatusConflict, Title: "That cannot be done", Text: sentence(err.Error())}
	case errors.Is(err, context.Canceled):
		return problem{Status: 499, Title: "That was called off", Text: "Nothing was changed."}
	}
	p = problem{Status: http.StatusInternalServerError, Title: "Something went wrong", Text: sentence(err.Error())}
	var inside interface{ Code() int } // of the database
	if errors.As(err, &inside) {
		// Its words are for the log: they help nobody here.
		p.Text = "The studio's file could not be read or written. Try again; if it stays so, the window in which Marchpane runs says what failed."
	}
	return p
}

// fail shows why a request could not be answered.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, store.ErrEmpty) {
		http.Redirect(w, r, "/welcome", http.StatusSeeOther)
		return
	}
	p := problemOf(err)
	if d := visitOf(r).studio; d != nil {
		if x, err := d.book(r.Context()); err == nil {
			words := wordsOf(x.Book.Studio)
			p.Text, p.Details = words.daysIn(p.Text), slices.Clone(p.Details)
			for i, line := range p.Details {
				p.Details[i] = words.daysIn(line)
			}
		}
	}
	if p.Status >= 500 {
		s.Log.Error("a page could not be made", "method", r.Method, "path", r.URL.Path, "err", err)
	}
	if wantsFragment(r) {
		http.Error(w, p.Title+". "+p.Text, p.Status)
		return
	}
	body := page.Message{Title: p.Title, Text: p.Text, Details: p.Details, Actions: p.Actions, Buttons: p.Buttons}
	if err := s.showAs(w, r, p.Status, "message", p.Title, body); err != nil {
		s.Log.Error("the page of an error could not be made", "path", r.URL.Path, "err", err)
		http.Error(w, p.Title+". "+p.Text, p.Status)
	}
}

// sentence makes a message a sentence.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = capital(plainly(text))
	if !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "?") {
		text += "."
	}
	return text
}
