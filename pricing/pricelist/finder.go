package pricelist

import (
	"cmp"
	"math/bits"
	"slices"
	"strings"
	"unicode/utf8"

	"marchpane/pricing/book"
	"marchpane/pricing/names"
)

// Suggestion is an ingredient that a row may mean.
type Suggestion struct {
	Ingredient book.ID
	Name       string
	Likeness   int // in thousandths; 1000 is the same name
}

// finder knows which ingredient a row means, and which it may mean.
type finder struct {
	ingredients []book.Ingredient
	byID        map[string]int
	byName      map[string][]int
	codes       map[string]Alias
	names       map[string]Alias

	words  []word         // of all ingredients' names
	wordAt map[string]int // index in words
	totals []int          // weight of each ingredient's words together
	near   map[string][]likeWord

	asked   int   // words asked for so far
	counted []int // for each ingredient, the word that it last counted as used
}

// word is a word of ingredients' names; a rare one tells more.
type word struct {
	text   string
	in     []int // ingredients, rising
	weight int
}

// likeWord is a word of ingredients' names that looks like one of a list.
type likeWord struct{ word, likeness int }

func newFinder(ingredients []book.Ingredient, aliases []Alias) *finder {
	f := &finder{
		ingredients: ingredients,
		byID:        map[string]int{}, byName: map[string][]int{},
		codes: map[string]Alias{}, names: map[string]Alias{},
		wordAt: map[string]int{}, totals: make([]int, len(ingredients)), near: map[string][]likeWord{},
		counted: make([]int, len(ingredients)),
	}
	for i, ing := range ingredients {
		f.byID[string(ing.ID)] = i
		name := names.Words(ing.Name)
		f.byName[name] = append(f.byName[name], i)
		for text := range uniqueWords(name) {
			at, known := f.wordAt[text]
			if !known {
				at = len(f.words)
				f.wordAt[text], f.words = at, append(f.words, word{text: text})
			}
			f.words[at].in = append(f.words[at].in, i)
		}
	}
	for at := range f.words {
		w := &f.words[at]
		w.weight = 1 + bits.Len(uint(len(ingredients)/len(w.in)))
		for _, i := range w.in {
			f.totals[i] += w.weight
		}
	}
	for _, a := range aliases { // a later alias corrects an earlier one
		if a.Code != "" {
			f.codes[codeKey(a.Code)] = a
		} else if a.Name != "" {
			f.names[names.Words(a.Name)] = a
		}
	}
	return f
}

// codeKey is how codes are compared: signs count, since A-1 and A1 may differ.
func codeKey(s string) string { return strings.ToLower(clean(s)) }

// match is how a row's item was found.
type match struct {
	index   int  // of the ingredient, -1 for none
	ignored bool // an alias says that the studio does not buy it
	remark  string
	twice   []int // ingredients that share the name
}

// find takes only what leaves no doubt: a saved alias, an id, or a name that
// is the same but for case, accents and signs.
func (f *finder) find(code, name string) match {
	none := match{index: -1}
	for _, known := range []struct {
		alias Alias
		ok    bool
	}{lookup(f.codes, code, codeKey), lookup(f.names, name, names.Words)} {
		if !known.ok {
			continue
		}
		if known.alias.Ingredient == "" {
			return match{index: -1, ignored: true}
		}
		if i, ok := f.byID[string(known.alias.Ingredient)]; ok {
			m := match{index: i}
			if was := known.alias.Name; was != "" && name != "" && names.Words(was) != names.Words(name) {
				m.remark = "the code went with the name " + quoted(was) + " when it was saved; look whether it is still the same goods"
			}
			return m
		}
		none.remark = "was saved as " + string(known.alias.Ingredient) + ", which the book no longer has"
	}
	for _, id := range []string{slug(name), slug(code)} {
		if i, ok := f.byID[id]; ok {
			return match{index: i, remark: none.remark}
		}
	}
	switch same := f.byName[names.Words(name)]; {
	case names.Words(name) == "":
	case len(same) == 1:
		return match{index: same[0], remark: none.remark}
	case len(same) > 1:
		none.twice = same
	}
	return none
}

// slug writes a name as an id is written: lower-case words joined by hyphens.
func slug(name string) string { return strings.Join(strings.Fields(names.Words(name)), "-") }

func lookup(table map[string]Alias, text string, key func(string) string) (found struct {
	alias Alias
	ok    bool
}) {
	if text != "" {
		found.alias, found.ok = table[key(text)]
	}
	return found
}

// mostSuggestions is how many ingredients are suggested at most, and
// leastLikeness how alike they must be.
const (
	mostSuggestions = 3
	leastLikeness   = 350
)

// suggest returns the ingredients that a name is most like, the likest first.
// Each word of an ingredient's name looks for its like in the list's; seven
// tenths of the likeness is how much of the ingredient's name was found, the
// rest how much of the list's name was used.
func (f *finder) suggest(name string) []Suggestion {
	if len(name) > maxCell {
		return nil
	}
	best := map[int]int{}                   // word of ingredients' names → likeness
	used := make([]int, len(f.ingredients)) // words of the list's name that an ingredient used
	asked := 0
	for text := range uniqueWords(names.Words(name)) {
		if isPackWord(text) {
			continue
		}
		asked++
		for _, like := range f.like(text) {
			best[like.word] = max(best[like.word], like.likeness)
			for _, i := range f.words[like.word].in {
				if f.counted[i] != f.asked+asked {
					f.counted[i] = f.asked + asked
					used[i]++
				}
			}
		}
	}
	f.asked += asked
	found := make([]int, len(f.ingredients))
	for at, likeness := range best {
		for _, i := range f.words[at].in {
			found[i] += f.words[at].weight * likeness
		}
	}
	var list []Suggestion
	said := sayings(name)
	for i, sum := range found {
		named := holdsAll(said, string(f.ingredients[i].ID))
		if sum == 0 && !named {
			continue
		}
		likeness := 0
		if asked > 0 {
			likeness = (700*sum/f.totals[i] + 300*1000*used[i]/asked) / 1000
		}
		if named { // the studio's own word for it
			likeness = min(max(likeness, leastLikeness)+namedBonus, 999)
		}
		if likeness >= leastLikeness {
			list = append(list, Suggestion{f.ingredients[i].ID, f.ingredients[i].Name, likeness})
		}
	}
	slices.SortFunc(list, func(a, b Suggestion) int {
		return cmp.Or(cmp.Compare(b.Likeness, a.Likeness), cmp.Compare(a.Ingredient, b.Ingredient))
	})
	return list[:min(len(list), mostSuggestions)]
}

// namedBonus is what it adds to the likeness that a name holds every word of an
// id.
const namedBonus = 300

// sayings returns the words of a name, and the figures of those that begin
// with one: 400mm is 400 too.
func sayings(name string) map[string]bool {
	said := map[string]bool{}
	for text := range uniqueWords(names.Words(name)) {
		said[text] = true
		if figure := text[:len(text)-len(strings.TrimLeft(text, "0123456789"))]; figure != "" {
			said[figure] = true
		}
	}
	return said
}

// holdsAll reports whether every word of an id was said.
func holdsAll(said map[string]bool, id string) bool {
	for text := range strings.SplitSeq(id, "-") {
		if !said[text] {
			return false
		}
	}
	return true
}

// like returns the words of ingredients' names that look like text. Lists
// repeat their words, so that the answer is remembered.
func (f *finder) like(text string) []likeWord {
	if known, ok := f.near[text]; ok {
		return known
	}
	var list []likeWord
	length := utf8.RuneCountInString(text)
	for at, w := range f.words {
		if likeness := alike(text, w.text, length); likeness > 0 {
			list = append(list, likeWord{at, likeness})
		}
	}
	f.near[text] = list
	return list
}

// alike returns how alike two words are in thousandths, 0 where they are too
// different to mean one thing: three tenths of the letters may differ, and a
// compound may begin with the word.
func alike(a, b string, lengthOfA int) int {
	if a == b {
		return 1000
	}
	short, long := lengthOfA, utf8.RuneCountInString(b)
	if short > long {
		short, long = long, short
	}
	if short >= 4 && (strings.HasPrefix(a, b) || strings.HasPrefix(b, a)) {
		return 700
	}
	if short < 3 || 10*(long-short) > 3*long || long > 40 {
		return 0
	}
	if d := names.Distance(a, b); 10*d <= 3*long {
		return 1000 - 1000*d/long
	}
	return 0
}

// isPackWord reports whether a word of a name says how the goods are packed.
func isPackWord(text string) bool {
	first, _ := utf8.DecodeRuneInString(text)
	u := unitWords[text]
	return first >= '0' && first <= '9' || u.symbol != "" && u.symbol != "each" || ofWords[text] || text == "x"
}

// uniqueWords yields each word of a folded name once.
func uniqueWords(folded string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		words := strings.Fields(folded)
		for i, w := range words {
			if !slices.Contains(words[:i], w) && !yield(w) {
				return
			}
		}
	}
}
