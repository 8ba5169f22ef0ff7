package web

import "net/http"

// routes are the addresses of the studio, being gathered.
type routes struct {
	s   *Server
	mux *http.ServeMux
}

// section is a place of the studio that the head of every page leads to.
type section struct {
	name string
	path string
	key  string   // that leads there after g
	also []string // other paths that are part of it
}

// routes returns the handler of everything. A group of pages is one line here:
// a function in the group's own file, which adds its section and its addresses.
func (s *Server) routes() http.Handler {
	m := &routes{s, http.NewServeMux()}
	m.todayPages()
	m.pricePages()
	m.recipePages()
	m.cakePages()
	m.quotePages()
	m.whatIfPages()
	m.monthPages()
	m.studioPages()
	m.searchPages()
	m.welcomePages()
	m.choicePages()

	m.mux.HandleFunc("GET /static/{name}", s.serveStatic)
	m.get("/come-in", s.showLogin)
	m.post("/come-in", s.comeIn)
	m.post("/leave", s.leave)
	m.mux.Handle("/", s.handle(func(w http.ResponseWriter, r *http.Request) error { return notFound("page") }))
	return s.guard(s.enter(s.gate(m.mux)))
}

// section adds a place to the head of every page, in the order of the calls.
func (m *routes) section(v section) { m.s.sections = append(m.s.sections, v) }

// get adds a page.
func (m *routes) get(path string, do handler) { m.mux.Handle("GET "+path, m.s.handle(do)) }

// post adds what a form does: it changes something and goes to another page.
func (m *routes) post(path string, do handler) {
	m.mux.Handle("POST "+path, bounded(bodyLimit, m.s.handle(do)))
}

// upload is post for forms with files.
func (m *routes) upload(path string, do handler) {
	m.mux.Handle("POST "+path, bounded(uploadLimit, m.s.handle(do)))
}
