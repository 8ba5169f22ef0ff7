package web

import (
	"net/http"
	"strings"

	"marchpane/templates/page"
)

// choicePages are what each browser chooses for itself, and what was done being
// taken back.
func (m *routes) choicePages() {
	m.repeat("/look", m.s.chooseLook)
	m.get("/shortcuts", m.s.showShortcuts)
	m.post("/shortcuts", m.s.chooseKeys)
	m.repeat("/undo", m.s.undo)
}

const (
	lookCookie = "marchpane-look"
	keysCookie = "marchpane-keys"
)

// schemeOf returns the colours that a browser has chosen.
func schemeOf(r *http.Request) string {
	if c, err := r.Cookie(lookCookie); err == nil && (c.Value == "dark" || c.Value == "light") {
		return c.Value
	}
	return ""
}

// keysOf reports whether single letters are shortcuts; they are until somebody
// switches them off.
func keysOf(r *http.Request) bool {
	c, err := r.Cookie(keysCookie)
	return err != nil || c.Value != "off"
}

func (s *Server) choose(w http.ResponseWriter, name, value string) {
	http.SetCookie(w, &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, Secure: s.TLS, SameSite: http.SameSiteLaxMode})
}

func (s *Server) chooseLook(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	look := f.get("look")
	if look != "dark" && look != "light" {
		look = "screen"
	}
	s.choose(w, lookCookie, look)
	return s.done(w, r, here(f.get("back")), "", nil)
}

func (s *Server) chooseKeys(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	keys := "on"
	if f.get("keys") == "off" {
		keys = "off"
	}
	s.choose(w, keysCookie, keys)
	return s.done(w, r, "/shortcuts", "Single letters are "+keys+".", nil)
}

func (s *Server) showShortcuts(w http.ResponseWriter, r *http.Request) error {
	t := page.Table{Caption: "Keys", Brief: true, Heads: []page.Head{{Text: "Keys"}, {Text: "What they do", Key: true}}}
	add := func(keys, what string) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: keys}, {Text: what}}})
	}
	add("/", "Search everything")
	for _, v := range s.sections {
		add("g, then "+v.key, "Go to "+v.name)
	}
	add("?", "This page")
	add("Ctrl and Enter", "Send the form you are in")
	add("Tab, Enter", "Step through everything, and open it")
	body := page.Shortcuts{Keys: t, Text: "Single letters work while you are in no box. If they get in the way of a screen reader or of speaking to the computer, switch them off.", Next: "off", Button: "Switch single letters off"}
	if !keysOf(r) {
		body.Next, body.Button = "on", "Switch single letters on"
	}
	return s.show(w, r, "shortcuts", "Keys and help", body)
}

// undo takes back what a notice told of.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	u, there := visitOf(r).session.takeUndo(s.Now(), f.get("token"))
	if !there {
		return problem{Status: http.StatusConflict, Title: "That cannot be taken back any more", Text: "It was done more than half an hour ago, or it was taken back already."}
	}
	text, err := u.do(r.Context())
	if err != nil {
		return err
	}
	to := "/"
	if from := r.Referer(); from != "" {
		to = refererPath(from)
	}
	path, _, _ := strings.Cut(to, "?")
	if u.gone != "" && (path == u.gone || strings.HasPrefix(path, u.gone+"/")) {
		to = u.list
	}
	return s.done(w, r, to, text, nil)
}
