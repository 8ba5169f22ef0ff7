package recipe

import (
	"strconv"
	"strings"
	"unicode"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
)

// Source is a recipe as it was found, in the words of whoever wrote it. Lines
// hold headings too.
type Source struct {
	Name     string
	Lines    []string
	Steps    []string
	Yield    string
	Times    []string // "total 1 h 20 min"
	Language string   // BCP 47, "" where it is not said
	Faults   []string // what of the file could not be read
}

// Bounds of a recipe: more is no recipe.
const (
	MaxLines = 300
	MaxSteps = 200
	maxStep  = 4000
	maxName  = 200
)

// Recipe is a source with its lines taken apart.
type Recipe struct {
	Source  Source
	Context Context
	Lines   []Line
	Yield   Yield
	Faults  []string // of the recipe as a whole
}

// Yield is what a recipe says it gives.
type Yield struct {
	Text   string
	Amount Amount
	Pieces bool // made by the piece, "makes 24 biscuits"; else servings, or unsaid
}

// Read takes a source's lines apart. Language and decimal mark are those of the
// whole text; language overrides what it says of itself, "" does not.
func Read(s Source, language Language, household measure.Household) Recipe {
	stated := s.Language
	if language != "" {
		stated = string(language)
	}
	sample := append(append([]string{}, s.Lines...), s.Name)
	r := Recipe{Source: s, Context: ContextOf(sample, stated, household), Faults: s.Faults}
	if r.Context.Language == "" {
		r.Context = withLanguage(r.Context, ContextOf(append(sample, s.Steps...), "", household).Language)
	}
	r.Context.AllCapitals = inCapitals(s.Lines)
	if len(s.Lines) > MaxLines {
		r.Faults = append(r.Faults, "the recipe has more than 300 lines; what follows was not read")
		s.Lines = s.Lines[:MaxLines]
	}
	part, number := "", 0
	for _, text := range s.Lines {
		if strings.TrimSpace(text) == "" {
			continue
		}
		line := ParseLine(text, r.Context)
		number++
		line.Number, line.Part = number, part
		if line.Heading {
			part, line.Part = line.Words, ""
		}
		r.Lines = append(r.Lines, line)
	}
	r.Yield = readYield(s.Yield, r.Context)
	return r
}

func withLanguage(c Context, l Language) Context {
	c.Language = l
	if !c.Proven && l != "" && c.Mark == "" {
		c.Mark = customary(l)
	}
	return c
}

func inCapitals(lines []string) bool {
	upper, lower := 0, 0
	for _, line := range lines {
		for _, r := range line {
			if unicode.IsUpper(r) {
				upper++
			} else if unicode.IsLower(r) {
				lower++
			}
		}
	}
	return upper > 4*lower
}

// yieldPieces are words for what is counted by the piece; others are servings.
var yieldPieces = set("makes stuck stucke ergibt cookies cookie biscuits biscuit cupcakes muffins macarons pieces pieces platzchen sables madeleines financiers truffles pralinen choux buns tartlets tartelettes cakes cake kuchen gateau gateaux")

func readYield(text string, c Context) Yield {
	y := Yield{Text: strings.TrimSpace(text)}
	if len(text) > maxName {
		y.Text = ""
		return y
	}
	ts := tokens(tidy(text))
	for i := range ts {
		if ts[i].kind != figure {
			continue
		}
		p := parser{context: c, line: &Line{}, text: tidy(text)}
		a, n := p.figures(ts[i:])
		if n > 0 && len(p.line.Faults) == 0 {
			if u, m := p.unit(ts, i+n); m > 0 && u.known() && u.Word != "each" && u.Word != "dozen" {
				continue // the size of a tin, or what a batch weighs
			}
			y.Amount = a
		}
		break
	}
	for _, t := range ts {
		if t.kind == word && yieldPieces[t.bare] {
			y.Pieces = true
		}
	}
	return y
}

// FromText makes a source of pasted text: the first line is the name unless it
// is an ingredient; lines of ingredients, then steps. A word such as
// "Ingredients" or "Zubereitung" on a line of its own parts them; without one,
// steps begin with the first lines of prose or of numbered sentences.
func FromText(text string) Source {
	var s Source
	text = strings.TrimPrefix(strings.ToValidUTF8(text, " "), "\ufeff")
	const most = 2000
	state := before
	blank := false
	count := 0
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n", "\v", "\n", "\f", "\n").Replace(text)
	for raw := range strings.SplitSeq(text, "\n") {
		line := strings.TrimSpace(raw)
		if line == "" {
			blank = true
			continue
		}
		if cells, ok := tableRow(line); ok {
			if line = cells; line == "" { // the rule under the heads of a table
				if n := len(s.Lines); n > 0 && !looksMeasured(s.Lines[n-1]) {
					s.Lines = s.Lines[:n-1]
				} else if n == 0 && s.Name != "" && count == 1 {
					s.Name, state = "", inLines
				}
				continue
			}
		}
		if count++; count > most {
			s.Faults = append(s.Faults, "the text is longer than 2000 lines; the rest was not read")
			break
		}
		words := names.Words(line)
		switch {
		case sectionWords[words] == "lines" || sectionStarts(words, "lines"):
			state = inLines
			if y := yieldIn(line); y != "" && s.Yield == "" {
				s.Yield = y
			}
		case sectionWords[words] == "steps":
			state = inSteps
		case state != inSteps && isYield(words):
			if s.Yield == "" {
				s.Yield = line
			}
		case state != inSteps && isTime(words):
			s.Times = append(s.Times, line)
		case state == before && s.Name == "" && !looksMeasured(line):
			s.Name = strings.Trim(line, "#*_= ")
			if len(s.Name) > maxName {
				s.Name, state = "", inSteps
				s.Steps = append(s.Steps, line)
			}
		case state == before && !looksMeasured(line) && isProse(line):
			// An introduction between the name and the ingredients.
		case state == inLines && (isStep(line) || isOrder(words) && !looksMeasured(line) || blank && isProse(line)):
			state = inSteps
			s.Steps = append(s.Steps, line)
		case state == inSteps:
			s.Steps = append(s.Steps, line)
		default:
			state = inLines
			if n := len(s.Lines); n > 0 && amountAlone(s.Lines[n-1]) { // copied from a page, on a line of its own
				s.Lines[n-1] += " " + line
				break
			}
			s.Lines = append(s.Lines, line)
		}
		blank = false
	}
	s.Lines = withoutNumbers(s.Lines)
	if len(s.Lines) == 0 && s.Name != "" && len(s.Steps) == 0 { // one line was pasted
		s.Lines, s.Name = []string{s.Name}, ""
	}
	if len(s.Steps) > MaxSteps {
		s.Steps = s.Steps[:MaxSteps]
		s.Faults = append(s.Faults, "the recipe has more than 200 steps; the rest was not read")
	}
	for i, step := range s.Steps {
		if len(step) > maxStep {
			s.Steps[i] = strings.ToValidUTF8(step[:maxStep], "") + " …"
		}
	}
	return s
}

// tableRow reads a row of a table that is drawn with bars: its cells joined, ""
// for the rule under the heads.
func tableRow(line string) (string, bool) {
	if len(line) < 3 || line[0] != '|' {
		return "", false
	}
	var cells []string
	for cell := range strings.SplitSeq(strings.Trim(line, "|"), "|") {
		if cell = strings.TrimSpace(cell); strings.Trim(cell, "-: ") != "" {
			cells = append(cells, cell)
		}
	}
	if len(cells) == 0 {
		return "", true
	}
	if strings.ContainsAny(cells[0][:1], "0123456789") {
		return strings.Join(cells, " "), true
	}
	return strings.Join(cells, " : "), true
}

// amountAlone reports whether a line says how much, and not of what.
func amountAlone(line string) bool {
	if len(line) > 40 {
		return false
	}
	l := ParseLine(line, Context{})
	return l.Amount.Given && l.Words == "" && !l.Heading
}

// withoutNumbers takes the numbers off a list whose every line has one.
func withoutNumbers(lines []string) []string {
	bare := make([]string, len(lines))
	for i, line := range lines {
		rest, ok := strings.CutPrefix(line, strconv.Itoa(i+1))
		if !ok || len(rest) < 3 || rest[0] != '.' && rest[0] != ')' || rest[1] != ' ' {
			return lines
		}
		bare[i] = strings.TrimSpace(rest[1:])
	}
	if len(lines) < 2 {
		return lines
	}
	return bare
}

// orders are what steps begin with, folded.
var orders = set("preheat heat mix beat cream add bake stir whisk melt fold line grease put place combine sift pour cook make bring leave let spread roll cut knead cover chill remove transfer blend whip simmer boil dissolve rub spoon " +
	"prechauffer prechauffez melanger melangez ajouter ajoutez battre battez fouetter fouettez verser versez faire faites cuire enfourner enfournez incorporer incorporez laisser laissez mettre mettez fondre beurrer beurrez " +
	"backofen ofen vorheizen")

// isOrder reports whether a line tells to do something: its first word does,
// or in German its last.
func isOrder(words string) bool {
	list := strings.Fields(words)
	if len(list) < 3 || list[0] == "cream" && (list[1] == "cheese" || list[1] == "of") {
		return false
	}
	last := list[len(list)-1]
	return orders[list[0]] || (list[0] == "den" || list[0] == "die" || list[0] == "das" || list[0] == "alles") && strings.HasSuffix(last, "en")
}

type section int

const (
	before section = iota
	inLines
	inSteps
)

var sectionWords = map[string]string{}

func init() {
	for kind, words := range map[string]string{
		"lines": "ingredients,ingredient list,you will need,what you need,ingredients list,zutaten,zutatenliste,ingredient,liste des ingredients,les ingredients,die zutaten,you ll need",
		"steps": "method,instructions,directions,preparation,steps,procedure,how to make it,zubereitung,anleitung,so geht s,realisation,etapes,recette,preparation de la recette,schritte,la preparation,the method,etapes de preparation,arbeitsschritte",
	} {
		for w := range strings.SplitSeq(words, ",") {
			sectionWords[w] = kind
		}
	}
}

// sectionStarts reports "Zutaten für 12 Stück" and its like.
func sectionStarts(words, kind string) bool {
	for _, start := range []string{"zutaten fur ", "ingredients pour ", "ingredients for ", "ingredients serves ", "ingredients makes "} {
		if strings.HasPrefix(words, start) {
			return sectionWords[strings.Fields(start)[0]] == kind && len(strings.Fields(words)) <= 8
		}
	}
	return false
}

func yieldIn(line string) string {
	i := strings.IndexFunc(line, unicode.IsSpace)
	if i < 0 || !strings.ContainsAny(line, "0123456789") {
		return ""
	}
	return strings.Trim(line[i:], " :()")
}

func isYield(words string) bool {
	if !strings.ContainsAny(words, "0123456789") && !strings.Contains(words, "dozen") || len(strings.Fields(words)) > 9 {
		return false
	}
	for _, w := range []string{"serves ", "makes ", "yield ", "yields ", "servings ", "portions ", "pour ", "fur ", "ergibt ", "portionen ", "nombre de ", "for ", "personen ", "stuckzahl ", "donne ", "rendement ", "reicht fur ", "quantity ", "amount "} {
		if strings.HasPrefix(words, w) {
			if w != "pour " && w != "fur " && w != "for " {
				return true
			}
			for _, kind := range []string{"person", "portion", "stuck", "part", "serving", "people", "piece", "biscuit", "cookie", "muffin", "cupcake", "form", "springform", "kuchen", "cake", "gateau", "moule", "tin", "convive", "macaron", "tart", "blech", "torte"} {
				if strings.Contains(words, kind) {
					return true
				}
			}
		}
	}
	fields := strings.Fields(words)
	if len(fields) <= 3 && len(fields) > 1 && strings.Trim(fields[0], "0123456789") == "" {
		switch fields[len(fields)-1] {
		case "servings", "serves", "portions", "portionen", "personnes", "personen", "people", "parts", "persons":
			return true
		}
	}
	return false
}

func isTime(words string) bool {
	for _, w := range []string{"prep time", "cook time", "total time", "preparation time", "cooking time", "baking time", "bake time", "ready in", "zeit ", "backzeit", "arbeitszeit", "gesamtzeit", "ruhezeit", "zubereitungszeit", "kochzeit", "temps de", "temps total", "duree", "cuisson ", "repos ", "temps ", "chilling time", "prep ", "cook ", "oven ", "ofen ", "preparation "} {
		if strings.HasPrefix(words, w) && strings.ContainsAny(words, "0123456789") && len(strings.Fields(words)) <= 8 {
			return true
		}
	}
	return false
}

// looksMeasured reports whether a line begins with an amount, or ends with one.
func looksMeasured(line string) bool {
	if utf8Len(line) > longestLine {
		return false
	}
	l := ParseLine(line, Context{})
	return l.Amount.Given && !l.Heading && (l.Unit.Word != "" || startsWithFigure(line)) && !isStep(line)
}

func startsWithFigure(line string) bool {
	ts := tokens(withoutBullet(tidy(line)))
	return len(ts) > 1 && (ts[0].kind == figure || numberWord(ts[0].bare))
}

// isStep reports whether a line is a numbered sentence, or "Step 1".
func isStep(line string) bool {
	ts := tokens(tidy(line))
	if len(ts) < 3 {
		return false
	}
	if (ts[0].bare == "step" || ts[0].bare == "etape" || ts[0].bare == "schritt") && ts[1].kind == figure {
		return true
	}
	if ts[0].kind != figure || !allDigits(ts[0].text) || ts[1].text != "." && ts[1].text != ")" || !ts[2].spaced {
		return false
	}
	return ts[2].kind == word && len(ts) > 4 && isProse(line)
}

// isProse reports whether a line reads as sentences: it ends like one, or is
// long, and holds no amount at its head.
func isProse(line string) bool {
	fields := strings.Fields(line)
	if len(fields) > 22 {
		return true
	}
	ends := strings.HasSuffix(line, ".") || strings.HasSuffix(line, "!")
	if !ends && !strings.Contains(line, ". ") {
		return false
	}
	ts := tokens(tidy(line))
	if len(ts) > 2 && ts[0].kind == figure && (ts[1].text == "." || ts[1].text == ")") && ts[2].kind == word {
		return len(fields) > 4
	}
	return len(fields) > 5 && !(len(ts) > 0 && ts[0].kind == figure)
}

func utf8Len(s string) int { return len([]rune(s)) }

// longestMethod keeps a method within what a book file holds.
const longestMethod = 18_000

// Method writes yield, times and steps as the method of a component.
func (r Recipe) Method() string {
	var b strings.Builder
	add := func(s string) {
		if s = strings.Join(strings.Fields(s), " "); s == "" || b.Len()+len(s) > longestMethod {
			return
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(s)
	}
	if r.Yield.Text != "" {
		if isWholeFigure(r.Yield) {
			add("Serves or makes " + r.Yield.Text)
		} else {
			add(r.Yield.Text)
		}
	}
	for _, t := range r.Source.Times {
		add(t)
	}
	for _, step := range r.Source.Steps {
		add(step)
	}
	return b.String()
}

func isWholeFigure(y Yield) bool {
	return y.Amount.Given && allDigits(y.Text) && y.Amount.Low.Cmp(exact.Int(0)) > 0
}
