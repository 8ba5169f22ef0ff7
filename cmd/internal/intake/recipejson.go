package intake

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"

	"marchpane/pricing/recipe"
)

// Bounds of a JSON-LD document.
const (
	mostNodes   = 200_000
	deepest     = 100
	mostRecipes = 50
	longestText = 20_000
)

// fromJSON finds every schema.org Recipe of a JSON-LD document: at its top, in
// a list, in an "@graph", or as the main entity of a page. Properties are read
// as schema.org defines them for Recipe: recipeIngredient (Text, ItemList or
// PropertyValue; formerly ingredients), recipeInstructions (Text, CreativeWork
// or ItemList, of which HowToStep and HowToSection), recipeYield (Text or
// QuantitativeValue), totalTime, prepTime and cookTime (Duration, ISO 8601),
// inLanguage (Text or Language), name.
func fromJSON(data []byte) ([]recipe.Source, error) {
	root, err := parseJSON(data)
	if err != nil {
		// Strings with bare line breaks are the commonest fault of such scripts.
		if root, err = parseJSON(escapeControls(data)); err != nil {
			return nil, err
		}
	}
	w := graph{byID: map[string]map[string]any{}}
	if err := w.index(root); err != nil {
		return nil, err
	}
	var list []recipe.Source
	for _, node := range w.recipes {
		if len(list) < mostRecipes {
			list = append(list, w.source(node))
		}
	}
	return list, nil
}

func parseJSON(data []byte) (any, error) {
	if err := notTooDeep(data); err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var root any
	if err := d.Decode(&root); err != nil {
		if errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, errors.New("it ends in the middle; save the page or file once more")
		}
		return nil, fmt.Errorf("it is no JSON: %w", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("something follows after its end")
	}
	return root, nil
}

// notTooDeep refuses nesting that no recipe has before anything is built of it.
func notTooDeep(data []byte) error {
	depth, quoted := 0, false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > deepest {
				return fmt.Errorf("it is nested deeper than %d levels", deepest)
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return nil
}

func escapeControls(data []byte) []byte {
	var b bytes.Buffer
	quoted := false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case quoted && c == '\\' && i+1 < len(data):
			b.WriteByte(c)
			i++
			b.WriteByte(data[i])
			continue
		case c == '"':
			quoted = !quoted
		case quoted && c == '\n':
			b.WriteString(`\n`)
			continue
		case quoted && c < ' ':
			b.WriteByte(' ')
			continue
		}
		b.WriteByte(data[i])
	}
	return b.Bytes()
}

// graph is a document with its nodes by their "@id".
type graph struct {
	byID    map[string]map[string]any
	recipes []map[string]any
	nodes   int
}

// index finds the recipes and what other nodes refer to.
func (g *graph) index(v any) error {
	if g.nodes++; g.nodes > mostNodes {
		return fmt.Errorf("it holds more than %d values; this is no recipe", mostNodes)
	}
	switch v := v.(type) {
	case []any:
		for _, item := range v {
			if err := g.index(item); err != nil {
				return err
			}
		}
	case map[string]any:
		if id, ok := v["@id"].(string); ok && len(v) > 1 {
			if _, there := g.byID[id]; !there {
				g.byID[id] = v
			}
		}
		if isType(v, "Recipe") {
			g.recipes = append(g.recipes, v)
			return nil // a recipe within a recipe is a related one
		}
		for _, key := range slices.Sorted(maps.Keys(v)) { // the order of the document is lost
			if err := g.index(v[key]); err != nil {
				return err
			}
		}
	}
	return nil
}

// isType reports whether a node is of a type of schema.org, which is written
// bare, with a prefix or as an address, alone or in a list.
func isType(v map[string]any, name string) bool {
	switch t := v["@type"].(type) {
	case string:
		return typeName(t) == name
	case []any:
		for _, item := range t {
			if s, ok := item.(string); ok && typeName(s) == name {
				return true
			}
		}
	}
	return false
}

func typeName(s string) string {
	if i := strings.LastIndexAny(s, "/:#"); i >= 0 {
		s = s[i+1:]
	}
	return s
}

// get returns a property by its bare name, however the document writes it.
func get(v map[string]any, name string) any {
	if p, ok := v[name]; ok {
		return p
	}
	for _, prefix := range []string{"schema:", "http://schema.org/", "https://schema.org/"} {
		if p, ok := v[prefix+name]; ok {
			return p
		}
	}
	return nil
}

func (g *graph) source(v map[string]any) recipe.Source {
	s := recipe.Source{Name: oneLine(g.text(get(v, "name"), 0)), Language: g.language(get(v, "inLanguage"))}
	if s.Name == "" {
		s.Name = oneLine(g.text(get(v, "headline"), 0))
	}
	if runes := []rune(s.Name); len(runes) > 200 {
		s.Name = string(runes[:200])
	}
	for _, key := range []string{"recipeIngredient", "ingredients", "supply"} {
		if s.Lines = g.lines(get(v, key), 0); len(s.Lines) > 0 {
			break
		}
	}
	if len(s.Lines) == 0 {
		s.Faults = append(s.Faults, "the recipe lists no ingredients (recipeIngredient)")
	}
	if len(s.Lines) > recipe.MaxLines {
		s.Lines = s.Lines[:recipe.MaxLines]
		s.Faults = append(s.Faults, fmt.Sprintf("the recipe has more than %d lines; the rest was not read", recipe.MaxLines))
	}
	s.Steps = g.steps(get(v, "recipeInstructions"), 0)
	if len(s.Steps) > recipe.MaxSteps {
		s.Steps = s.Steps[:recipe.MaxSteps]
		s.Faults = append(s.Faults, fmt.Sprintf("the recipe has more than %d steps; the rest was not read", recipe.MaxSteps))
	}
	for _, y := range g.lines(get(v, "recipeYield"), 0) {
		// ["8", "8 slices"]: the one with words says more.
		if s.Yield == "" || strings.Trim(s.Yield, "0123456789") == "" {
			s.Yield = oneLine(y)
		}
	}
	for _, t := range []struct{ key, name string }{{"prepTime", "Preparation"}, {"cookTime", "Cooking"}, {"totalTime", "Total time"}} {
		if text := oneLine(g.text(get(v, t.key), 0)); text != "" {
			s.Times = append(s.Times, t.name+": "+duration(text))
		}
	}
	return s
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// language reads inLanguage, a tag or a Language with one.
func (g *graph) language(v any) string {
	if m, ok := v.(map[string]any); ok {
		for _, key := range []string{"alternateName", "name", "@value"} {
			if s := oneLine(g.text(get(m, key), 0)); s != "" {
				v = s
				break
			}
		}
	}
	s := oneLine(g.text(v, 0))
	switch strings.ToLower(s) {
	case "english":
		return "en"
	case "french", "français", "francais":
		return "fr"
	case "german", "deutsch":
		return "de"
	}
	if len(s) > 35 {
		return ""
	}
	return s
}

// follow returns the node that a bare reference names.
func (g *graph) follow(m map[string]any) map[string]any {
	if id, ok := m["@id"].(string); ok && len(m) == 1 {
		if node := g.byID[id]; node != nil {
			return node
		}
	}
	return m
}

// lines flattens a property that may be a text, a number, a node or a list.
func (g *graph) lines(v any, depth int) []string {
	if depth > 8 {
		return nil
	}
	var list []string
	switch v := v.(type) {
	case []any:
		for _, item := range v {
			if len(list) > 2*recipe.MaxLines {
				break
			}
			list = append(list, g.lines(item, depth+1)...)
		}
		return list
	case map[string]any:
		v = g.follow(v)
		for _, key := range []string{"@list", "@set", "itemListElement"} {
			if inner := get(v, key); inner != nil {
				var heading []string
				if name := oneLine(g.text(get(v, "name"), 0)); name != "" {
					heading = []string{strings.TrimRight(name, ": ") + ":"}
				}
				return append(heading, g.lines(inner, depth+1)...)
			}
		}
		if item, ok := get(v, "item").(map[string]any); ok {
			return g.lines(item, depth+1)
		}
	}
	for line := range strings.SplitSeq(g.text(v, depth), "\n") {
		if line = oneLine(line); line != "" {
			list = append(list, line)
		}
	}
	return list
}

// text returns the text of a value: of a node its text, name or value, with the
// unit and what it is a value of.
func (g *graph) text(v any, depth int) string {
	if depth > 8 {
		return ""
	}
	switch v := v.(type) {
	case string:
		return plainText(v)
	case json.Number:
		if len(v) < 20 {
			return v.String()
		}
	case []any:
		if len(v) > 0 {
			return g.text(v[0], depth+1)
		}
	case map[string]any:
		v = g.follow(v)
		if s, ok := v["@value"]; ok {
			return g.text(s, depth+1)
		}
		if amount := get(v, "requiredQuantity"); amount != nil {
			return strings.TrimSpace(g.text(amount, depth+1) + " " + g.text(get(v, "name"), depth+1))
		}
		if value := get(v, "value"); value != nil {
			parts := []string{g.text(value, depth+1), g.text(get(v, "unitText"), depth+1), g.text(get(v, "name"), depth+1)}
			if parts[1] == "" {
				parts[1] = unitCode(g.text(get(v, "unitCode"), depth+1))
			}
			return strings.TrimSpace(strings.Join(parts, " "))
		}
		for _, key := range []string{"text", "name", "item", "url"} {
			if s := g.text(get(v, key), depth+1); s != "" && key != "url" {
				return s
			}
		}
	}
	return ""
}

// unitCode turns the commonest codes of UN/CEFACT Recommendation 20, which
// schema.org's unitCode takes, into symbols; from memory.
func unitCode(code string) string {
	symbols := map[string]string{"GRM": "g", "KGM": "kg", "MLT": "ml", "LTR": "l", "CLT": "cl", "DLT": "dl", "ONZ": "oz", "LBR": "lb", "C62": "", "H87": "", "EA": ""}
	if s, ok := symbols[code]; ok {
		return s
	}
	return code
}

// steps flattens instructions; a section's name stands before its steps.
func (g *graph) steps(v any, depth int) []string {
	if depth > 8 {
		return nil
	}
	switch v := v.(type) {
	case []any:
		var list []string
		for _, item := range v {
			if len(list) > recipe.MaxSteps {
				break
			}
			list = append(list, g.steps(item, depth+1)...)
		}
		return list
	case map[string]any:
		v = g.follow(v)
		inner := get(v, "itemListElement")
		if inner == nil {
			inner = get(v, "@list")
		}
		if inner != nil {
			var list []string
			if name := oneLine(g.text(get(v, "name"), 0)); name != "" && !isType(v, "ItemList") {
				list = append(list, strings.TrimRight(name, ": ")+":")
			}
			return append(list, g.steps(inner, depth+1)...)
		}
		if item, ok := get(v, "item").(map[string]any); ok {
			return g.steps(item, depth+1)
		}
	}
	var list []string
	for line := range strings.SplitSeq(g.text(v, depth), "\n") {
		if line = oneLine(line); line != "" {
			list = append(list, line)
		}
	}
	return list
}

// plainText turns a text that may hold tags and entities, escaped once or
// twice, into lines.
func plainText(s string) string {
	if len(s) > longestText {
		s = strings.ToValidUTF8(s[:longestText], "")
	}
	for range 2 {
		if !strings.ContainsAny(s, "&<") {
			break
		}
		s = withoutTags(s)
	}
	if !utf8.ValidString(s) {
		s = strings.ToValidUTF8(s, " ")
	}
	return strings.TrimSpace(s)
}

// tag looks like the start or end of an element: "<3" does not.
var tag = regexp.MustCompile(`</?[a-zA-Z]|<!--`)

func withoutTags(s string) string {
	if !tag.MatchString(s) {
		return html.UnescapeString(s)
	}
	z := html.NewTokenizer(strings.NewReader(s))
	var b strings.Builder
	for {
		switch z.Next() {
		case html.ErrorToken:
			return b.String()
		case html.TextToken:
			b.WriteString(html.UnescapeString(string(z.Raw())))
		case html.StartTagToken, html.EndTagToken, html.SelfClosingTagToken:
			name, _ := z.TagName()
			switch string(name) {
			case "br", "p", "li", "div", "tr", "ol", "ul", "h1", "h2", "h3", "h4":
				b.WriteByte('\n')
			case "script", "style":
				z.Next() // its content is no text
			}
		}
	}
}

var isoDuration = regexp.MustCompile(`^P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:\d+(?:\.\d+)?S)?)?$`)

// duration writes an ISO 8601 duration in words: PT1H20M is 1 h 20 min.
func duration(s string) string {
	m := isoDuration.FindStringSubmatch(s)
	if m == nil {
		return s
	}
	var parts []string
	for i, unit := range []string{"d", "h", "min"} {
		if n := strings.TrimLeft(m[i+1], "0"); n != "" && len(n) < 6 {
			parts = append(parts, n+" "+unit)
		}
	}
	if len(parts) == 0 {
		return s
	}
	return strings.Join(parts, " ")
}
