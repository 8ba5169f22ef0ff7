package cli

import (
	"fmt"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/recipe"
)

// showLines shows how lines were read, without a book.
func (o *recipeOptions) showLines(env *Env, r recipe.Recipe) error {
	if env.json {
		doc := recipeDocOf(r)
		for _, l := range r.Lines {
			doc.Lines = append(doc.Lines, recipeLineDocOf(l))
		}
		return env.printJSON(doc)
	}
	recipeHead(env, r)
	t := table{heads: []string{"line>", "amount>", "unit", "ingredient", "note", "to be looked at"}}
	for _, l := range r.Lines {
		if l.Heading {
			t.add("", "", "", strings.TrimRight(l.Words, ":")+":", "", "")
			continue
		}
		t.add(strconv.Itoa(l.Number), amountText(l), unitText(l), l.Words, noteOf(l), strings.Join(append(marked(l.Faults), l.Doubts...), "; "))
	}
	t.print(env)
	return nil
}

// marked puts a mark before what could not be read.
func marked(faults []string) []string {
	var list []string
	for _, f := range faults {
		list = append(list, "not read: "+f)
	}
	return list
}

func recipeHead(env *Env, r recipe.Recipe) {
	language := map[recipe.Language]string{recipe.English: "English", recipe.French: "French", recipe.German: "German"}[r.Context.Language]
	parts := []string{firstOf(r.Source.Name, "A recipe without a name")}
	if r.Yield.Text != "" {
		parts = append(parts, r.Yield.Text)
	}
	fmt.Fprintf(env.Out, "%s; read as %s.\n", strings.Join(parts, ", "), firstOf(language, "no language that is known"))
	for _, f := range r.Faults {
		fmt.Fprintf(env.Out, "Not read: %s.\n", f)
	}
	fmt.Fprintln(env.Out)
}

func amountText(l recipe.Line) string {
	if !l.Amount.Given {
		return ""
	}
	text := figureText(l.Amount.Low)
	if l.Amount.Range() {
		text += "–" + figureText(l.Amount.High)
	}
	if l.Amount.About {
		text = "~" + text
	}
	return text
}

// figureText writes 3/2 as "1 1/2" and 5/8 as it is; decimals of tenths and
// hundredths as such.
func figureText(n exact.Number) string {
	if d := n.Round(2); exact.FromDecimal(d).Equal(n) {
		return d.String()
	}
	whole := exact.FromBig(n.Floor())
	if whole.IsZero() {
		return n.Text()
	}
	if rest := n.Sub(whole); !rest.IsZero() {
		return whole.Text() + " " + rest.Text()
	}
	return whole.Text()
}

func unitText(l recipe.Line) string {
	parts := []string{}
	if l.Size != "" {
		parts = append(parts, l.Size)
	}
	if l.Unit.Word != "" {
		parts = append(parts, l.Unit.Word)
	}
	if l.Plus != nil {
		parts = append(parts, "+ "+figureText(l.Plus.Amount.High)+" "+l.Plus.Unit.Word)
	}
	if l.Also != nil {
		parts = append(parts, "("+figureText(l.Also.Amount.High)+" "+l.Also.Unit.Word+")")
	}
	if l.Packs != nil {
		parts = append(parts, fmt.Sprintf("(%s × %s %s)", figureText(l.Packs.Count.High), figureText(l.Packs.Each.Amount.High), l.Packs.Each.Unit.Word))
	}
	return strings.Join(parts, " ")
}

func noteOf(l recipe.Line) string {
	var parts []string
	if l.Note != "" {
		parts = append(parts, l.Note)
	}
	if l.Optional && !strings.Contains(strings.ToLower(l.Note), "optional") {
		parts = append(parts, "optional")
	}
	return strings.Join(parts, ", ")
}

// printDraft shows each line with what it becomes.
func printDraft(env *Env, r recipe.Recipe, d recipe.Draft) {
	recipeHead(env, r)
	t := table{heads: []string{"line>", "as read", "becomes", "quantity>", "confidence", "to be settled"}}
	for _, l := range d.Lines {
		if l.Heading {
			t.add("", strings.TrimRight(l.Words, ":")+":", "", "", "", "")
			continue
		}
		read := strings.TrimSpace(amountText(l.Line) + " " + unitText(l.Line) + " " + l.Words)
		if note := noteOf(l.Line); note != "" {
			read += ", " + note
		}
		use, confidence, qty := string(l.Use), "none", l.Qty.String()
		switch {
		case l.Skipped:
			use, confidence, qty = "left out", "", ""
		case l.Given:
			confidence = "as you said"
		case l.Use != "":
			confidence = l.Matches[0].Confidence.String() + " " + l.Matches[0].Confidence.Word()
		}
		t.add(strconv.Itoa(l.Number), read, use, qty, confidence, strings.Join(l.Open, "; "))
	}
	t.print(env)
	for _, l := range d.Lines {
		if l.Working != "" && l.Qty.Given() && l.Working != "as you said" && !l.Skipped {
			fmt.Fprintf(env.Out, "\nline %d: %s: %s", l.Number, l.Qty, l.Working)
		}
		others := l.Matches
		if l.Use != "" && len(others) > 0 {
			others = others[1:]
		}
		if len(others) > 0 && len(l.Open) > 0 && !l.Given && l.Matches[0].Confidence < recipe.Sure {
			var ids []string
			for _, m := range others {
				ids = append(ids, fmt.Sprintf("%s (%s)", m.Use, m.Confidence))
			}
			fmt.Fprintf(env.Out, "\nline %d: or is it %s?", l.Number, strings.Join(ids, ", "))
		}
	}
	for _, ing := range d.Proposed {
		fmt.Fprintf(env.Out, "\nThe book lacks %q: an ingredient %s, bought by %s, with the price you pay.", ing.Name, ing.ID, ing.Measure)
	}
	fmt.Fprintln(env.Out)
}

type recipeDoc struct {
	Name      string          `json:"name"`
	Language  string          `json:"language"`
	Decimal   string          `json:"decimal_mark"`
	Yield     *yieldDoc       `json:"yield,omitempty"`
	Times     []string        `json:"times,omitempty"`
	Steps     []string        `json:"steps,omitempty"`
	Faults    []string        `json:"faults,omitempty"`
	Lines     []recipeLineDoc `json:"lines"`
	Proposed  []proposedDoc   `json:"proposed,omitempty"`
	Component *book.Component `json:"component,omitempty"`
	Ready     *bool           `json:"ready,omitempty"`
	Saved     bool            `json:"saved"`
}

type yieldDoc struct {
	Text   string `json:"text"`
	Low    string `json:"low,omitempty"`
	High   string `json:"high,omitempty"`
	Pieces bool   `json:"pieces"`
}

type proposedDoc struct {
	ID      book.ID `json:"id"`
	Name    string  `json:"name"`
	Measure string  `json:"measure"`
}

type measuredDoc struct {
	Low   string `json:"low"`
	High  string `json:"high"`
	Unit  string `json:"unit"`
	About bool   `json:"about,omitempty"`
}

type packsDoc struct {
	Count     string      `json:"count"`
	Each      measuredDoc `json:"each"`
	Container string      `json:"container,omitempty"`
}

type matchDoc struct {
	Use        book.ID `json:"use"`
	Name       string  `json:"name"`
	Confidence string  `json:"confidence"`
	Word       string  `json:"word"`
	Why        string  `json:"why"`
}

type recipeLineDoc struct {
	Line       int          `json:"line"`
	Text       string       `json:"text"`
	Heading    bool         `json:"heading,omitempty"`
	Part       string       `json:"part,omitempty"`
	Amount     *measuredDoc `json:"amount,omitempty"`
	Size       string       `json:"size,omitempty"`
	Packs      *packsDoc    `json:"packs,omitempty"`
	Also       *measuredDoc `json:"also,omitempty"`
	Plus       *measuredDoc `json:"plus,omitempty"`
	Ingredient string       `json:"ingredient"`
	Of         string       `json:"of,omitempty"`
	Note       string       `json:"note,omitempty"`
	Optional   bool         `json:"optional,omitempty"`
	Unmeasured bool         `json:"unmeasured,omitempty"`
	Faults     []string     `json:"faults,omitempty"`
	Doubts     []string     `json:"doubts,omitempty"`
	Matches    []matchDoc   `json:"matches,omitempty"`
	Use        book.ID      `json:"use,omitempty"`
	Qty        string       `json:"qty,omitempty"`
	Working    string       `json:"working,omitempty"`
	Skipped    bool         `json:"skipped,omitempty"`
	Open       []string     `json:"open,omitempty"`
}

func recipeDocOf(r recipe.Recipe) recipeDoc {
	doc := recipeDoc{
		Name: r.Source.Name, Language: string(r.Context.Language), Decimal: string(r.Context.Mark),
		Times: r.Source.Times, Steps: r.Source.Steps, Faults: r.Faults, Lines: []recipeLineDoc{},
	}
	if r.Yield.Text != "" {
		doc.Yield = &yieldDoc{Text: r.Yield.Text, Pieces: r.Yield.Pieces}
		if r.Yield.Amount.Given {
			doc.Yield.Low, doc.Yield.High = decimalText(r.Yield.Amount.Low), decimalText(r.Yield.Amount.High)
		}
	}
	return doc
}

// decimalText writes a figure with the decimals it has, six at most.
func decimalText(n exact.Number) string { return n.Round(6).String() }

func measuredDocOf(a recipe.Amount, u recipe.Unit) measuredDoc {
	return measuredDoc{Low: decimalText(a.Low), High: decimalText(a.High), Unit: u.Word, About: a.About}
}

func recipeLineDocOf(l recipe.Line) recipeLineDoc {
	doc := recipeLineDoc{
		Line: l.Number, Text: l.Text, Heading: l.Heading, Part: l.Part, Size: l.Size, Ingredient: l.Words, Of: l.Of, Note: l.Note,
		Optional: l.Optional, Unmeasured: l.Unmeasured, Faults: l.Faults, Doubts: l.Doubts,
	}
	if l.Amount.Given {
		m := measuredDocOf(l.Amount, l.Unit)
		doc.Amount = &m
	}
	if l.Also != nil {
		m := measuredDocOf(l.Also.Amount, l.Also.Unit)
		doc.Also = &m
	}
	if l.Plus != nil {
		m := measuredDocOf(l.Plus.Amount, l.Plus.Unit)
		doc.Plus = &m
	}
	if l.Packs != nil {
		doc.Packs = &packsDoc{Count: l.Packs.Count.Text(), Each: measuredDocOf(l.Packs.Each.Amount, l.Packs.Each.Unit), Container: l.Packs.Word}
	}
	return doc
}

func draftDocOf(r recipe.Recipe, d recipe.Draft, saved bool) recipeDoc {
	doc := recipeDocOf(r)
	ready := d.Ready()
	doc.Ready, doc.Saved, doc.Component = &ready, saved, &d.Component
	for _, l := range d.Lines {
		line := recipeLineDocOf(l.Line)
		line.Use, line.Qty, line.Working, line.Skipped, line.Open = l.Use, l.Qty.String(), l.Working, l.Skipped, l.Open
		for _, m := range l.Matches {
			line.Matches = append(line.Matches, matchDoc{m.Use, m.Name, m.Confidence.String(), m.Confidence.Word(), m.Why})
		}
		doc.Lines = append(doc.Lines, line)
	}
	for _, ing := range d.Proposed {
		doc.Proposed = append(doc.Proposed, proposedDoc{ing.ID, ing.Name, ing.Measure.String()})
	}
	return doc
}
