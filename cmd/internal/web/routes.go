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

	m.handle(http.MethodGet, "/static/{name}", 0, http.HandlerFunc(m.s.serveStatic))
	m.get("/come-in", s.showLogin)
	m.handle(http.MethodPost, "/come-in", doorLimit, m.s.handle(m.s.comeIn))
	m.post("/leave", s.leave)
	m.mux.Handle("/", s.handle(func(w http.ResponseWriter, r *http.Request) error { return notFound("page") }))
	return s.guard(s.enter(s.gate(m.mux)))
}

// address is one that is answered, and how much of a body is read there.
type address struct {
	method, path string
	limit        int64
}

// handle adds an address. All are added here, so that each is bounded and none is
// forgotten by those who walk them.
func (m *routes) handle(method, path string, limit int64, do http.Handler) {
	m.s.addresses = append(m.s.addresses, address{method, path, limit})
	m.mux.Handle(method+" "+path, bounded(limit, do))
}

// section adds a place to the head of every page, in the order of the calls.
func (m *routes) section(v section) { m.s.sections = append(m.s.sections, v) }

// get adds a page.
func (m *routes) get(path string, do handler) {
	m.handle(http.MethodGet, path, 0, m.s.handle(do))
}

// post adds what a form does: it changes something and goes to another page.
func (m *routes) post(path string, do handler) {
	m.handle(http.MethodPost, path, bodyLimit, m.s.once(m.s.handle(do)))
}

// repeat is post for what may well be meant each time that it is sent.
func (m *routes) repeat(path string, do handler) {
	m.handle(http.MethodPost, path, bodyLimit, m.s.handle(do))
}

// upload is post for forms with files.
func (m *routes) upload(path string, do handler) {
	m.handle(http.MethodPost, path, uploadLimit, m.s.handle(do))
}

// whole is upload for a whole store, which takes its time.
func (m *routes) whole(path string, do handler) {
	m.handle(http.MethodPost, path, backupLimit, patient(m.s.handle(do)))
}
