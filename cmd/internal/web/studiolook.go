package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/emblem"
	"marchpane/templates/page"
)

func (m *routes) lookPages() {
	m.get("/studio/look", m.s.showLook)
	m.post("/studio/look", m.s.saveLook)
	m.post("/studio/look/preview", m.s.previewLook)
	m.upload("/studio/look/logo", m.s.saveLogo)
	m.post("/studio/look/logo/remove", m.s.removeLogo)
	m.get("/studio/look/logo", m.s.showLogo)
}

func lookFigure(l book.Look) string {
	if l.Logo.Given {
		return "with a logo"
	}
	return "no logo yet"
}

func (s *Server) showLook(w http.ResponseWriter, r *http.Request) error {
	return s.lookPage(w, r, http.StatusOK, returned{})
}

func (s *Server) lookPage(w http.ResponseWriter, r *http.Request, status int, came returned) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	look := x.Book.Studio.Look.Value
	a := came.of("look")
	f := page.Form{
		Action: "/studio/look", Title: "Colour and paper", Button: "Save", Guard: true, Version: a.version(versionOf(x.Book.Studio)),
		Live: "/studio/look/preview", Target: "accent",
		Fields: []page.Field{
			a.field(page.Field{Name: "look.accent", Label: "Colour of headings and sums", Value: string(look.Accent.Value), Help: "Such as #2f5d62, or empty for our own. It has to be dark enough to read on white."}),
			a.field(page.Field{Name: "look.paper", Label: "Paper", Kind: "choice", Value: string(look.Paper.Value), Options: []page.Option{{Text: "as usual in your language"}, {Value: "a4", Text: "A4"}, {Value: "letter", Text: "US Letter"}}}),
		},
	}
	f.Faults = a.rest()
	a = came.of("logo")
	logo := page.Form{
		Action: "/studio/look/logo", Title: "Logo", Button: "Use this logo", Files: true, Lead: "It stands at the head of the first page, up to 72 mm wide and 24 mm high. Drop the file here or choose it.",
		Fields: []page.Field{a.field(page.Field{Name: "logo", Label: "Picture", Kind: "file", Accept: ".svg,.png,.jpg,.jpeg", Required: true, Wide: true, Help: "An SVG prints sharpest, of at most 512 KB, its text turned into paths. A PNG or JPEG is made smaller where it is finer than print shows."})},
	}
	logo.Faults = a.rest()
	body := page.Part{Title: "Logo, colour, paper", Lead: "How your quotes and receipts look. Those that were issued stay as they are.", Forms: []page.Form{f, logo}, Live: "accent"}
	if look.Accent.Given {
		body.Trial = accentPreview(string(look.Accent.Value))
	}
	if look.Logo.Given {
		body.Picture = page.Image{Src: "/studio/look/logo?" + look.Logo.Value.Fingerprint()[:12], Alt: "Your logo"}
		body.Buttons = []page.Button{{Action: "/studio/look/logo/remove", Text: "Take the logo off", Loss: true}}
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

func readLook(f form, old book.Studio) (book.Studio, record.Faults) {
	accent := strings.ToLower(f.get("look.accent"))
	now, faults := overlay(old, settings{"look.accent": accent, "look.paper": f.get("look.paper")})
	if a := now.Look.Value.Accent; len(faults) == 0 && a.Given {
		if err := a.Value.Check(); err != nil {
			faults.Add("look.accent", "%s", err)
		}
	}
	return now, faults
}

func (s *Server) saveLook(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	_, undo, err := saveStudio(r, s, f.version, func(old book.Studio) (book.Studio, record.Faults) { return readLook(f, old) })
	if faults, ok := faultsOf(err); ok {
		return s.lookPage(w, r, http.StatusUnprocessableEntity, returned{"look", f.values, faults})
	}
	if shown, err := s.showClash(w, r, err, f, "/studio/look", "/studio/look"); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/look", "Colour and paper are saved.", undo)
}

// previewLook shows the colour that is being typed, or what is wrong with it.
func (s *Server) previewLook(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	return s.fragment(w, r, "part", "trial", accentPreview(f.get("look.accent")))
}

func accentPreview(text string) page.Trial {
	var a book.Accent
	if text == "" {
		return page.Trial{}
	}
	if err := a.UnmarshalText([]byte(text)); err != nil {
		return page.Trial{Text: sentence(err.Error())}
	}
	if err := a.Check(); err != nil {
		return page.Trial{Text: sentence(err.Error()), Bad: true}
	}
	// The colour is # and six digits: UnmarshalText takes nothing else.
	sample := fmt.Sprintf(`<svg viewBox="0 0 320 64" role="img" aria-label="A heading in %[1]s on white"><rect width="320" height="64" fill="#ffffff"/><text x="16" y="32" font-size="22" font-family="Georgia, serif" fill="%[1]s">Three-tier cake</text><rect x="16" y="44" width="288" height="2" fill="%[1]s"/></svg>`, string(a))
	return page.Trial{Title: "On paper", Sample: page.Picture{SVG: template.HTML(sample), Caption: "Dark enough to read on white."}}
}

func (s *Server) saveLogo(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "logo")
	if err != nil {
		return err
	}
	defer up.drop()
	var faults record.Faults
	data, err := up.bytes()
	var picture book.Picture
	note := ""
	switch {
	case err != nil:
		return err
	case len(data) == 0:
		faults.Add("logo", "choose a picture first")
	default:
		var width, height int
		if picture, width, height, err = emblem.Reduce(data); err != nil {
			faults.Add("logo", "%s", err)
		} else if width > 0 {
			note = fmt.Sprintf(" It was finer than print shows and is kept at %d × %d pixels.", width, height)
		}
	}
	if len(faults) > 0 {
		return s.lookPage(w, r, http.StatusUnprocessableEntity, returned{"logo", up.form.values, faults})
	}
	_, undo, err := saveStudio(r, s, "", func(old book.Studio) (book.Studio, record.Faults) {
		old.Look.Given, old.Look.Value.Logo = true, record.Some(picture)
		return old, nil
	})
	if faults, ok := faultsOf(err); ok {
		return s.lookPage(w, r, http.StatusUnprocessableEntity, returned{"logo", up.form.values, renamed(faults, "look.logo", "logo")})
	}
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/look", "The logo is on your papers."+note, undo)
}

func (s *Server) removeLogo(w http.ResponseWriter, r *http.Request) error {
	_, undo, err := saveStudio(r, s, "", func(old book.Studio) (book.Studio, record.Faults) {
		old.Look.Value.Logo = record.Maybe[book.Picture]{}
		old.Look.Given = old.Look.Value != book.Look{}
		return old, nil
	})
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/look", "The logo is off; your name stands in its place.", undo)
}

// showLogo is the picture itself. A drawing may hold anything, so it is shut in.
func (s *Server) showLogo(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	logo := x.Book.Studio.Look.Value.Logo
	if !logo.Given {
		return notFound("logo")
	}
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	kind := string(logo.Value.Kind())
	return send(w, r, http.StatusOK, kind, logo.Value.Bytes())
}
