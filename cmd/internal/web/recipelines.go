package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/recipe"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
)

// cookLine is a line of a recipe as a cook wrote it, and what it became.
type cookLine struct {
	text    string
	key     string // names the question that it asks
	heading bool
	skipped bool
	line    book.Line // where it is settled
	settled bool
	as      string // what was made of it, where that is not what stands there
	open    []string
	matches []recipe.Match
	guess   book.ID // what it is taken for until somebody says
	words   string  // for what it is an amount of
	offer   bool    // whether a pick would settle it
}

// What can be picked beside something of the book.
const (
	pickSkip = "-"
	pickNew  = "+"
)

// lineText writes a stored line as a cook would.
func lineText(x *book.Index, l book.Line) string {
	name := string(l.Use)
	if it, ok := x.Item(l.Use); ok {
		name = it.Name()
	}
	text := l.Qty.String() + " " + name
	if l.Note.Given {
		text += " (" + l.Note.Value + ")"
	}
	return strings.Join(strings.Fields(text), " ")
}

// linesText writes the lines of a recipe, each on its own.
func linesText(x *book.Index, lines []book.Line) string {
	list := make([]string, len(lines))
	for i, l := range lines {
		list[i] = lineText(x, l)
	}
	return strings.Join(list, "\n")
}

// readLines reads the lines of a recipe. A line that stands as it was stored is
// kept to the last digit. One that begins with a quantity and goes on with a name
// of the book means just that. Any other is read as people write recipes, and
// stands only where it is sure or somebody has picked what it means; picked holds
// what was, under "pick." and the key of the line. New ingredients that were asked
// for come second, without prices.
func readLines(x *book.Index, stored []book.Line, text string, picked url.Values, today func(book.ID) bool) ([]cookLine, []book.Ingredient) {
	kept := map[string][]book.Line{}
	for _, l := range stored {
		t := lineText(x, l)
		kept[t] = append(kept[t], l)
	}
	var lines []cookLine
	var rows []string
	for row := range strings.SplitSeq(text, "\n") {
		if row = strings.Join(strings.Fields(row), " "); row != "" && len(rows) < recipe.MaxLines {
			rows = append(rows, row)
		}
	}
	context := recipe.ContextOf(rows, picked.Get("language"), x.Household())
	var added []book.Ingredient
	var read recipe.Recipe
	answers := recipe.Answers{Use: map[int]book.ID{}, Accept: map[int]bool{}, Skip: map[int]bool{}}
	part := ""
	for i, row := range rows {
		l := cookLine{text: row, key: lineKey(row)}
		if same := kept[row]; len(same) > 0 {
			l.line, l.settled, kept[row] = same[0], true, same[1:]
		} else if line, ok := exactLine(x, row); ok {
			l.line, l.settled = line, true
		} else {
			line := recipe.ParseLine(row, context)
			line.Number, line.Part = i+1, part
			if l.heading = line.Heading; l.heading {
				part, line.Part = line.Words, ""
			}
			l.words = line.Words
			switch pick := picked.Get("pick." + l.key); {
			case pick == pickSkip:
				answers.Skip[i+1] = true
			case pick == pickNew && line.Words != "":
				ing := newFood(x, line, &added, today)
				answers.Use[i+1], answers.Accept[i+1] = ing, true
			case pick != "":
				answers.Use[i+1], answers.Accept[i+1] = book.ID(pick), true
			}
			read.Lines = append(read.Lines, line)
		}
		lines = append(lines, l)
	}
	if len(read.Lines) == 0 {
		return lines, added
	}
	if len(added) > 0 {
		b := x.Book
		b.Ingredients = append(slices.Clone(b.Ingredients), added...)
		x = book.NewIndex(b)
	}
	draft := recipe.NewDraft(x, read, "draft", recipe.NewMatcher(x.Book, nil), reference.Weigh, answers)
	for _, d := range draft.Lines {
		l := &lines[d.Number-1]
		l.settle(x, d)
	}
	return lines, added
}

// settle takes over what package recipe made of a line.
func (l *cookLine) settle(x *book.Index, d recipe.DraftLine) {
	if l.heading {
		return
	}
	if l.skipped = d.Skipped; l.skipped {
		return
	}
	l.open, l.guess = d.Open, d.Use
	l.matches = d.Matches[:min(len(d.Matches), 6)]
	l.offer = d.Qty.Given() && !d.Stuck && len(d.Faults) == 0 || d.Use == "" && d.Amount.Given
	if d.Use == "" {
		l.open = []string{fmt.Sprintf("nothing that you buy or make is called %q", d.Words)}
	} else if it, ok := x.Item(d.Use); ok && len(d.Matches) > 0 && !d.Given && d.Matches[0].Confidence < recipe.Sure {
		l.open = slices.Clone(l.open)
		l.open[0] = fmt.Sprintf("is it %s? %s", it.Name(), sentence(d.Matches[0].Why))
	}
	if d.Qty.Given() {
		l.line = book.Line{Use: d.Use, Qty: d.Qty}
		if note := d.Note; note != "" || d.Part != "" {
			note = strings.Trim(strings.TrimRight(d.Part, ": ")+", "+note, ", ")
			if runes := []rune(note); len(runes) > 200 {
				note = string(runes[:200])
			}
			l.line.Note = record.Some(note)
		}
		l.as = d.Working
	}
	l.settled = len(d.Open) == 0 && d.Use != "" && d.Qty.Given()
}

// exactLine reads "250 g Unsalted butter, 82 % fat (melted)": a quantity as the
// book writes it, and a whole name of the book, with a note behind it.
func exactLine(x *book.Index, text string) (book.Line, bool) {
	words := strings.Fields(text)
	for n := min(3, len(words)-1); n > 0; n-- {
		q, err := cookQuantity(strings.Join(words[:n], " "))
		if err != nil {
			continue
		}
		rest := strings.Join(words[n:], " ")
		var best book.Line
		longest := 0
		try := func(id book.ID, name string) {
			name = strings.Join(strings.Fields(name), " ")
			if len(name) <= longest || len(rest) < len(name) || !strings.EqualFold(rest[:len(name)], name) {
				return
			}
			note := rest[len(name):]
			if note != "" && !strings.HasPrefix(note, ",") && !strings.HasPrefix(note, " (") {
				return
			}
			best, longest = book.Line{Use: id, Qty: q}, len(name)
			if note = strings.TrimSpace(strings.TrimPrefix(note, ",")); note != "" {
				if strings.HasPrefix(note, "(") && strings.HasSuffix(note, ")") {
					note = note[1 : len(note)-1]
				}
				best.Note = record.Some(note)
			}
		}
		for _, ing := range x.Book.Ingredients {
			try(ing.ID, ing.Name)
			for _, p := range ing.Parts {
				try(p.ID, p.Name)
			}
		}
		for _, c := range x.Book.Components {
			try(c.ID, c.Name)
		}
		if longest == 0 {
			continue
		}
		it, _ := x.Item(best.Use)
		if _, err := x.Charge(it, x.Amount(best.Qty)); err != nil {
			return book.Line{}, false // read again, where a table may weigh it
		}
		return best, true
	}
	return book.Line{}, false
}

// newFood makes an ingredient of a line's words, with what the tables know of
// the food, and puts it among those that are added. What is bought by that name
// already, perhaps since the line was written, is taken as it is.
func newFood(x *book.Index, l recipe.Line, added *[]book.Ingredient, taken func(book.ID) bool) book.ID {
	for _, ing := range slices.Concat(x.Book.Ingredients, *added) {
		if names.Words(ing.Name) == names.Words(l.Words) {
			return ing.ID
		}
	}
	id := idFor(l.Words, func(id book.ID) bool {
		return taken(id) || slices.ContainsFunc(*added, func(ing book.Ingredient) bool { return ing.ID == id })
	})
	ing := book.Ingredient{ID: id, Name: capital(l.Words), Measure: measure.Mass, Prices: []book.Price{}}
	if m, ok := l.Unit.Measure(); l.Amount.Given && (l.Unit.Word == "" || ok && m.Dimension() == measure.Count) {
		ing.Measure = measure.Count
	}
	if known := reference.Find(l.Words); len(known) > 0 && known[0].Confidence >= reference.Likely {
		ing, _ = reference.Fill(ing, known[0].Entry, true)
		if ing.Measure == measure.Count && !ing.Each.Given() && len(ing.Parts) == 0 && ing.Density.Known() {
			ing.Measure = measure.Mass
		}
	}
	*added = append(*added, ing)
	return id
}

// lineKey names a line by what it says, so that lines put in before it do not
// move what was picked.
func lineKey(text string) string {
	sum := sha256.Sum256([]byte(names.Words(text)))
	return hex.EncodeToString(sum[:6])
}

// cookQuantity reads a quantity as it is typed in a hurry: "1,2kg", "3 days".
func cookQuantity(text string) (measure.Quantity, error) { return measure.Parse(amountText(text)) }

// lineRows are the settled lines for a record.
func lineRows(lines []cookLine) []any {
	rows := []any{}
	for _, l := range lines {
		if !l.settled {
			continue
		}
		row := map[string]any{"use": string(l.line.Use), "qty": l.line.Qty.String()}
		if l.line.Note.Given {
			row["note"] = l.line.Note.Value
		}
		rows = append(rows, row)
	}
	return rows
}

// openLines are faults of the lines that are not settled.
func openLines(lines []cookLine) record.Faults {
	var faults record.Faults
	for _, l := range lines {
		if l.settled || l.heading || l.skipped {
			continue
		}
		faults.Add("lines", "“%s”: %s", l.text, cmp.Or(strings.Join(l.open, "; "), "that could not be read"))
	}
	return faults
}
