package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/recipe"
	"marchpane/templates/page"
)

// askRecipe asks for a recipe as it was found.
func (s *Server) askRecipe(w http.ResponseWriter, r *http.Request) error {
	return s.askRecipePage(w, r, http.StatusOK, nil, recipeSaid{}, "")
}

// recipeSaid is what the form of a recipe was filled in with.
type recipeSaid struct{ Text, Language string }

func (s *Server) askRecipePage(w http.ResponseWriter, r *http.Request, status int, which []recipe.Source, said recipeSaid, fault string) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	text := page.Field{Name: "text", Label: "Paste the recipe", Kind: "long", Wide: true, Value: said.Text, Help: "Name, ingredients and method as they stand, in English, French or German."}
	if fault != "" {
		text.Faults = []string{fault}
	}
	form := page.Form{Action: "/recipes/read", Button: "Read it", Cancel: "/recipes", Files: true, Fields: []page.Field{
		text,
		{Name: "file", Label: "Or choose a file", Kind: "file", Accept: ".txt,.html,.htm,.json,.jsonld,text/plain,text/html,application/json", Help: "Text, a saved web page, or a recipe as JSON-LD. You can drop it here."},
	}}
	form.Fields = append(form.Fields, page.Field{Name: "language", Label: "Written in", Kind: "choice", Options: []page.Option{
		{Text: "found by itself", Chosen: said.Language == ""}, {Value: "en", Text: "English", Chosen: said.Language == "en"}, {Value: "fr", Text: "French", Chosen: said.Language == "fr"}, {Value: "de", Text: "German", Chosen: said.Language == "de"},
	}})
	if len(which) > 1 {
		pick := page.Field{Name: "pick", Label: "Which of them?", Kind: "choice"}
		for i, source := range which {
			pick.Options = append(pick.Options, page.Option{Value: fmt.Sprint(i + 1), Text: cmp.Or(source.Name, fmt.Sprintf("recipe %d", i+1))})
		}
		form.Fields = append(form.Fields, pick)
	}
	body := page.FormPage{Title: "Read a recipe in", Lead: "Nothing is stored until you have looked at every line. What the writer left open is asked, and nothing is guessed in silence.", Form: form}
	return s.showAs(w, r, status, "formpage", body.Title, body, page.Link{Text: "Recipes", Href: "/recipes"}, page.Link{Text: "Read in", Current: true})
}

// readRecipe makes a draft of what was pasted or sent: the form of a new recipe,
// filled in, whose open lines ask what they mean.
func (s *Server) readRecipe(w http.ResponseWriter, r *http.Request) error {
	u, err := readUpload(r, "file")
	if err != nil {
		return err
	}
	defer u.drop()
	x, err := s.book(r)
	if err != nil {
		return err
	}
	said := recipeSaid{Text: u.form.get("text"), Language: u.form.get("language")}
	data, err := u.bytes()
	if err != nil {
		return err
	}
	if len(data) == 0 {
		data = []byte(said.Text)
	}
	refuse := func(which []recipe.Source, why string) error {
		return s.askRecipePage(w, r, http.StatusUnprocessableEntity, which, said, why)
	}
	if len(strings.TrimSpace(string(data))) == 0 {
		return refuse(nil, "Paste a recipe, or choose a file that holds one.")
	}
	sources, err := intake.Recipes(data)
	if err != nil {
		return refuse(nil, sentence(err.Error()))
	}
	source := sources[0]
	if len(sources) > 1 {
		n := 0
		fmt.Sscanf(u.form.get("pick"), "%d", &n)
		if n < 1 || n > len(sources) {
			// What was pasted comes back with the question; a file has to be chosen
			// again, which browsers leave to people.
			return refuse(sources, fmt.Sprintf("There are %d recipes in it. Say which, and send it again.", len(sources)))
		}
		source = sources[n-1]
	}
	read := recipe.Read(source, recipe.Language(said.Language), x.Household())
	var lines []string
	for _, l := range read.Lines {
		text := strings.Join(strings.Fields(l.Text), " ")
		if l.Heading && !strings.HasSuffix(text, ":") {
			text += ":"
		}
		lines = append(lines, text)
	}
	f := form{values: url.Values{"name": {source.Name}, "lines": {strings.Join(lines, "\n")}, "method": {read.Method()}, "language": {said.Language}}}
	d := readRecipeForm(x, f, blank(x, f))
	lead := "This is a draft, and nothing is stored yet. Settle the lines that ask, then add it."
	if len(read.Faults) > 0 {
		lead += " Not read: " + strings.Join(read.Faults, "; ") + "."
	}
	return s.newRecipePage(w, r, http.StatusOK, &d, lead)
}
