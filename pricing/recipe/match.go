package recipe

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"marchpane/pricing/book"
	"marchpane/pricing/names"
)

// Confidence says how surely words mean something, in thousandths.
type Confidence int

// The least confidence of each word.
const (
	Sure   Confidence = 950
	Likely Confidence = 750
	Unsure Confidence = 350
	// Proposed is the least that a line is proposed as; what is less is offered
	// beside a new ingredient.
	Proposed Confidence = 500
)

// Word returns sure, likely, unsure or none.
func (c Confidence) Word() string {
	switch {
	case c >= Sure:
		return "sure"
	case c >= Likely:
		return "likely"
	case c >= Unsure:
		return "unsure"
	}
	return "none"
}

// String returns c as a number from 0 to 1, "0.95".
func (c Confidence) String() string {
	return fmt.Sprintf("%d.%02d", c/1000, c%1000/10)
}

// Match is an ingredient, part or component of the book that a line may mean.
type Match struct {
	Use        book.ID
	Name       string
	Confidence Confidence
	Why        string
}

// Alias is a name that the studio has said means something of its book.
type Alias struct {
	Name string
	Use  book.ID
}

// Matcher finds what in a book words mean.
type Matcher struct {
	entries []entry
	aliases map[string]book.ID
}

type entry struct {
	id      book.ID
	name    string
	plain   string   // the name's words
	head    []string // stems of what stands before the first comma or bracket, without sizes
	words   []string // stems of the whole name
	ids     []string // stems of the id
	size    string
	concept string
}

// NewMatcher indexes what a recipe may use of a book: ingredients, their parts,
// and components. Packaging is left out.
func NewMatcher(b book.Book, aliases []Alias) *Matcher {
	m := &Matcher{aliases: map[string]book.ID{}}
	for _, ing := range b.Ingredients {
		if ing.Kind.Or(book.Edible) != book.Edible {
			continue
		}
		m.add(ing.ID, ing.Name)
		for _, part := range ing.Parts {
			m.add(part.ID, part.Name)
		}
	}
	for _, c := range b.Components {
		m.add(c.ID, c.Name)
	}
	for _, a := range aliases {
		m.aliases[names.Words(a.Name)] = a.Use
	}
	return m
}

func (m *Matcher) add(id book.ID, name string) {
	head := name
	if i := strings.IndexAny(name, ",("); i > 0 {
		head = name[:i]
	}
	e := entry{id: id, name: name, plain: names.Words(name), ids: stems(strings.ReplaceAll(string(id), "-", " "))}
	for _, w := range strings.Fields(e.plain) {
		if s := sizes[w]; s != "" && s != "whole" && e.size == "" {
			e.size = s
		}
	}
	e.head, e.words = stems(withoutSizes(names.Words(head))), stems(withoutSizes(e.plain))
	if e.concept = conceptOf(head); e.concept == "" {
		if e.concept = conceptOf(name); e.concept == "" {
			e.concept = conceptOf(strings.ReplaceAll(string(id), "-", " "))
		}
	}
	m.entries = append(m.entries, e)
}

func withoutSizes(words string) string {
	var kept []string
	for w := range strings.FieldsSeq(words) {
		if s := sizes[w]; s != "" && s != "whole" || w == "size" || w == "grosse" {
			continue
		}
		kept = append(kept, w)
	}
	return strings.Join(kept, " ")
}

// mostMatches is how many are offered.
const mostMatches = 4

// Match returns what a line may mean, the surest first; none where nothing of
// the book has anything in common with it.
func (m *Matcher) Match(l Line) []Match {
	queries := []string{l.Words}
	if l.Unit.Said != "" && !l.Unit.known() && !l.Unit.packs { // a pod of vanilla, a leaf of gelatine
		queries = append(queries, l.Unit.Said+" "+l.Words)
	}
	best := map[book.ID]Match{}
	for _, q := range queries {
		for _, found := range m.words(q, l) {
			if old, there := best[found.Use]; !there || found.Confidence > old.Confidence {
				best[found.Use] = found
			}
		}
	}
	list := make([]Match, 0, len(best))
	for _, found := range best {
		list = append(list, found)
	}
	slices.SortFunc(list, func(a, b Match) int {
		return cmp.Or(cmp.Compare(b.Confidence, a.Confidence), cmp.Compare(a.Use, b.Use))
	})
	if len(list) > 1 && list[1].Confidence >= Sure && list[0].Confidence-list[1].Confidence < 15 {
		for i := range list {
			if list[i].Confidence >= Sure {
				list[i].Confidence, list[i].Why = 700, "several have this name"
			}
		}
	}
	return list[:min(len(list), mostMatches)]
}

// words matches one reading of a line's words.
func (m *Matcher) words(text string, l Line) []Match {
	plain := names.Words(text)
	if plain == "" || len(plain) > maxName {
		return nil
	}
	q := stems(withoutSizes(plain))
	concept := conceptOf(text)
	alias := m.aliases[plain]
	inName, sameHead, sameConcept := 0, 0, 0
	for _, e := range m.entries {
		if within(q, e.words) {
			inName++
		}
		if same(q, e.head) {
			sameHead++
		}
		if concept != "" && concept == e.concept {
			sameConcept++
		}
	}
	var list []Match
	for _, e := range m.entries {
		c, why := Confidence(0), ""
		is := func(n Confidence, reason string) {
			if n > c {
				c, why = n, reason
			}
		}
		switch {
		case alias == e.id:
			is(1000, "the studio's word for it")
		case strings.EqualFold(strings.TrimSpace(text), e.name):
			is(1000, "the same name")
		case plain == e.plain:
			is(980, "the same name")
		case same(q, e.ids) && sameHead > 1:
			is(900, "the same id, but others are called so too")
		case same(q, e.ids):
			is(980, "the same id")
		case len(q) > 0 && same(q, e.words):
			is(970, "the same words")
		case len(q) > 0 && same(q, e.head):
			is(960, "the same words")
			if sameHead > 1 {
				c, why = 740, "several are called so"
			}
		}
		if c < Sure && len(q) > 0 && within(q, e.words) {
			if inName == 1 {
				is(800, "the only name with all of these words")
			} else {
				is(650, "it has all of these words, and others have too")
			}
		}
		if concept != "" && concept == e.concept {
			if sameConcept == 1 {
				is(820, "it means the same in the trade")
			} else {
				is(720, "it means the same in the trade, and others do too")
			}
		}
		if c < Unsure {
			is(overlap(q, e), "they have some words in common")
		}
		if e.size != "" && l.Size != "" && e.size != l.Size && c > 850 {
			c, why = 850, fmt.Sprintf("the recipe says %s, the book's is %s", l.Size, e.size)
		}
		if c >= Unsure {
			list = append(list, Match{e.id, e.name, c, why})
		}
	}
	return list
}

// overlap weighs the words that two names share, a word with a slip of the
// keys a little less: twice the shared ones over all.
func overlap(q []string, e entry) Confidence {
	words := e.head
	if len(e.head) == 0 {
		words = e.words
	}
	if len(q) == 0 || len(words) == 0 {
		return 0
	}
	shared := 0
	for _, a := range q {
		best := 0
		for _, b := range words {
			switch n := utf8.RuneCountInString(a); {
			case a == b:
				best = 100
			case n > 4 && len(b) > 4 && len(b) < 40 && n < 40 && names.Distance(a, b) == 1:
				best = max(best, 85)
			}
		}
		shared += best
	}
	return Confidence(min(740, 740*2*shared/(100*(len(q)+len(words)))))
}

func same(a, b []string) bool { return len(a) > 0 && slices.Equal(a, b) }

// within reports whether every word of a stands in b.
func within(a, b []string) bool {
	if len(a) == 0 {
		return false
	}
	for _, w := range a {
		if !slices.Contains(b, w) {
			return false
		}
	}
	return true
}

// joining words tell nothing of an ingredient.
var joining = set("of the a an de d du des la le les l en von der die das mit und and et for fur pour type size taille")

// stems returns the words of a folded text in the singular, sorted, each once.
func stems(text string) []string {
	var list []string
	for w := range strings.FieldsSeq(text) {
		if !joining[w] {
			list = append(list, stem(w))
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

var odd = map[string]string{"eier": "ei", "leaves": "leaf", "loaves": "loaf", "halves": "half", "knives": "knife", "geese": "goose", "eiweisse": "eiweiss", "blatter": "blatt", "walnusse": "walnuss", "nusse": "nuss", "gelatin": "gelatin"}

// stem takes the ending of a plural off a folded word: lightly, and the same
// way for English, French and German, since names mix them. What two words have
// in common after that is the same word but for rare cases that a person sees.
func stem(w string) string {
	if s, ok := odd[w]; ok {
		return s
	}
	n := len(w)
	switch {
	case n > 4 && strings.HasSuffix(w, "ies"):
		w = w[:n-3] + "y"
	case n > 4 && (strings.HasSuffix(w, "ches") || strings.HasSuffix(w, "shes") || strings.HasSuffix(w, "sses") || strings.HasSuffix(w, "xes") || strings.HasSuffix(w, "oes")):
		w = w[:n-2]
	case n > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && !strings.HasSuffix(w, "us") && !strings.HasSuffix(w, "is"):
		w = w[:n-1]
	case n > 4 && (strings.HasSuffix(w, "aux") || strings.HasSuffix(w, "eux")):
		w = w[:n-1]
	}
	n = len(w)
	switch {
	case n > 5 && strings.HasSuffix(w, "en"):
		w = w[:n-2]
	case n > 4 && (strings.HasSuffix(w, "eln") || strings.HasSuffix(w, "ern")):
		w = w[:n-1]
	case n > 3 && strings.HasSuffix(w, "e"):
		w = w[:n-1]
	}
	return w
}
