package web

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// requestPages take in requests for quotes as files, and give them out.
func (m *routes) requestPages() {
	m.upload("/quotes/new/file", m.s.fillFromFile)
	m.upload("/quotes/{ref}/edit/file", m.s.fillFromFile)
	m.upload("/quotes/{ref}/revise/file", m.s.fillFromFile)
	m.get("/quotes/{ref}/request.json", m.s.quoteRequest)
	m.get("/enquiries/{ref}/request.json", m.s.enquiryRequest)
}

// longestRequest bounds a request file; the longest that can be asked for is
// far shorter.
const longestRequest = 1 << 20

// fileForm asks for a request file to fill the boxes of a quote from.
func fileForm(a *asking, action string) *page.Form {
	return &page.Form{
		Title: "Fill it in from a request file", Action: action, Button: "Fill in what it says", Quiet: true, Files: true, Folded: true,
		Lead: "It takes the place of what is filled in above. Nothing is saved until you save it.",
		Fields: []page.Field{a.field(page.Field{
			Name: "request", Label: "Request file", Kind: "file", Accept: ".json,application/json", Required: true, Wide: true,
			Help: "JSON, as any quote or enquiry gives it out under “Its request as a file”.",
		})},
	}
}

// fillFromFile shows the form of a quote with what a request file says, with
// whatever is wrong with it, and saves nothing.
func (s *Server) fillFromFile(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "request")
	if err != nil {
		return err
	}
	defer up.drop()
	r.URL.Path = strings.TrimSuffix(r.URL.Path, "/file") // of the form that is filled in
	b, err := s.building(r)
	if err != nil {
		return err
	}
	b.values = url.Values{"keep": {"yes"}}
	if b.of != nil {
		b.values = valuesOf(base(*b.of))
	}
	refuse := func(text string) error {
		b.unread.Add("request", "%s", text)
		return s.buildPage(w, r, http.StatusUnprocessableEntity, b)
	}
	if up.file == nil {
		return refuse("choose a file")
	}
	if up.size > longestRequest {
		return refuse("this is longer than any request")
	}
	data, err := up.bytes()
	if err != nil {
		return err
	}
	values, ok := requestValues(data)
	if !ok {
		faults := quote.Diagnose(b.x, data)
		if len(faults) == 0 {
			faults.Add("", "it holds no request")
		}
		return refuse("this is no request file: " + faults[0].Problem)
	}
	if b.of == nil {
		values.Set("keep", "yes")
	}
	b.values = values
	status := http.StatusOK
	for _, f := range quote.Diagnose(b.x, data) {
		// What an unfinished request lacks is filled in here.
		if f.Problem == record.Missing || f.Path == "lines" || f.Path == "options" {
			continue
		}
		b.faults, status = append(b.faults, f), http.StatusUnprocessableEntity
	}
	return s.buildPage(w, r, status, b)
}

// requestValues fills the boxes of a form from a request file as far as it can
// be read, and reports whether it is one at all.
func requestValues(data []byte) (url.Values, bool) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	var tree map[string]any
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	if err := dec.Decode(&tree); err != nil || dec.More() {
		return nil, false
	}
	if !slices.ContainsFunc([]string{"client", "event", "lines", "options", "extras"}, func(key string) bool { return tree[key] != nil }) {
		return nil, false
	}
	options, _ := tree["options"].([]any)
	return requestBoxes(tree, min(len(options), mostOptions)), true
}

// quoteRequest is what a quote was made from, as a file.
func (s *Server) quoteRequest(w http.ResponseWriter, r *http.Request) error {
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), r.URL.Query().Get("revision"), s.today())
	if err != nil {
		return err
	}
	data, err := s.Desk.QuoteRequest(q)
	if err != nil {
		return err
	}
	return s.save(w, r, "request-"+q.Ref()+".json", data)
}

// enquiryRequest is the request for a quote that answers an enquiry, as a file.
func (s *Server) enquiryRequest(w http.ResponseWriter, r *http.Request) error {
	e, err := s.store(r).Enquiry(r.Context(), r.PathValue("ref"))
	if err != nil {
		return err
	}
	if needs := e.Needs(); len(needs) > 0 {
		return needs
	}
	c, err := s.store(r).Client(r.Context(), e.Client)
	if err != nil {
		return err
	}
	data, err := s.Desk.EnquiryRequest(e, c)
	if err != nil {
		return err
	}
	return s.save(w, r, "request-"+e.Ref+".json", data)
}
