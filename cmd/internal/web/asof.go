package web

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"net/url"

	"marchpane/pricing/day"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

// asOf returns the day whose prices a page was asked for: today, where the
// address names none or what it names is no day.
func (s *Server) asOf(r *http.Request) (day.Date, record.Faults) {
	text := r.URL.Query().Get("on")
	if text == "" {
		return s.today(), nil
	}
	on, err := day.Parse(text)
	if err != nil {
		var faults record.Faults
		faults.Add("on", "%s", err)
		return s.today(), faults
	}
	return on, nil
}

// dayOr reads the day of a box, or what stands in for an empty one.
func dayOr(text string, otherwise day.Date) (day.Date, error) {
	if text == "" {
		return otherwise, nil
	}
	return day.Parse(text)
}

// priceDay is the day whose prices a page rests on.
func (s *Server) priceDay(r *http.Request) day.Date {
	on, _ := s.asOf(r) // what is no day is told beside its box
	return on
}

// asOfForm asks for another day of the prices. Whatever else the address says
// stays, but for where in a list it was.
func (s *Server) asOfForm(r *http.Request, on day.Date, faults record.Faults) page.AsOf {
	query := r.URL.Query()
	typed := query
	if typed.Get("on") == "" {
		typed = nil
	}
	f := page.AsOf{Action: r.URL.Path, Field: ask(typed, faults).field(page.Field{Name: "on", In: "asof", Label: "With prices of", Kind: "date", Value: on.String()})}
	rest := url.Values{}
	for key, values := range query {
		if key != "on" && key != "from" && values[0] != "" {
			f.Kept = append(f.Kept, page.Field{Name: key, Kind: "hidden", Value: values[0]})
			rest.Set(key, values[0])
		}
	}
	sortBy(f.Kept, func(a, b page.Field) int { return cmp.Compare(a.Name, b.Name) })
	if query.Get("on") != "" && on != s.today() || len(faults) > 0 {
		f.Back = withQuery(r.URL.Path, rest)
	}
	return f
}

// onDay is a query that asks for the prices of a day, empty for today.
func (s *Server) onDay(on day.Date) url.Values {
	if on == s.today() {
		return url.Values{}
	}
	return url.Values{"on": {on.String()}}
}

func withQuery(path string, query url.Values) string { return path + queryOf(query) }

// picked keeps of an address what some of its names say.
func picked(query url.Values, names ...string) url.Values {
	kept := url.Values{}
	for _, name := range names {
		if v := query.Get(name); v != "" {
			kept.Set(name, v)
		}
	}
	return kept
}

// pictureScale is how many pixels a unit of a saved plot has: sharp on a phone.
const pictureScale = 2

// savePlot sends a plot to be saved, as what an ending says: ".svg" or ".png".
func (s *Server) savePlot(w http.ResponseWriter, r *http.Request, name, ending string, f plot.Figure) error {
	var b bytes.Buffer
	var err error
	switch ending {
	case ".svg":
		err = f.SVG(&b)
	case ".png":
		err = f.PNG(&b, pictureScale)
	default:
		return fmt.Errorf("%s is %w as a form of a plot", ending, store.ErrNotFound)
	}
	if err != nil {
		return err
	}
	return s.save(w, r, name+ending, b.Bytes())
}

// plotFiles leads to the forms in which a plot can be saved.
func plotFiles(path string, query url.Values) []page.Link {
	return []page.Link{{Text: "Save the plot (SVG)", Href: withQuery(path+".svg", query)}, {Text: "As a picture (PNG)", Href: withQuery(path+".png", query)}}
}
