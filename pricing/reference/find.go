package reference

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"marchpane/pricing/names"
)

// Confidence says how surely words mean a food, in thousandths.
type Confidence int

// What is likely may be taken with its source shown; what is less has to be
// confirmed.
const (
	Sure   Confidence = 950
	Likely Confidence = 750
	unsure Confidence = 350
)

// String returns c as a number from 0 to 1, "0.95".
func (c Confidence) String() string { return fmt.Sprintf("%d.%02d", c/1000, c%1000/10) }

// Match is a food that words may mean.
type Match struct {
	Entry      Entry
	Confidence Confidence
	Language   string // of the name that matched, where only one has it
}

const (
	mostMatches = 6
	longestName = 200
)

// alias is a name of a food, folded.
type alias struct {
	entry    int
	words    string
	spaced   string
	sorted   string
	runes    int
	language string
}

var aliases = sync.OnceValue(func() []alias {
	var list []alias
	for i, e := range table() {
		for language, all := range map[string][]string{"en": e.Names.English, "fr": e.Names.French, "de": e.Names.German} {
			for _, name := range all {
				w := names.Words(name)
				list = append(list, alias{i, w, " " + w + " ", sortedWords(w), utf8.RuneCountInString(w), language})
			}
		}
	}
	slices.SortFunc(list, func(a, b alias) int {
		return cmp.Or(cmp.Compare(a.entry, b.entry), strings.Compare(a.language, b.language), strings.Compare(a.words, b.words))
	})
	return list
})

// said of a food without making another one of it.
var said = wordSet("organic bio fresh frais fraiche fraiches frisch frische frischer frisches good quality fine feine fin best ripe mur mure reif reife free range cold warm softened melted room temperature unwaxed unbehandelt unbehandelte non traite traitee")

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		set[w] = true
	}
	return set
}

// Find returns what words may mean, the surest first: a name of a food in
// English, French or German. It returns none where nothing comes near.
func Find(words string) []Match {
	if len(words) > longestName {
		return nil
	}
	q := names.Words(words)
	if q == "" {
		return nil
	}
	best := map[int]Match{}
	texts := []string{q}
	if bare := without(q, said); bare != "" && bare != q {
		texts = append(texts, bare)
	}
	for _, text := range texts {
		w := asked{text, " " + text + " ", sortedWords(text), utf8.RuneCountInString(text)}
		for _, a := range aliases() {
			c := a.confidence(w)
			if text != q {
				c -= 20
			}
			if old, there := best[a.entry]; c >= unsure && (!there || c > old.Confidence) {
				best[a.entry] = Match{table()[a.entry], c, a.language}
			}
		}
	}
	list := make([]Match, 0, len(best))
	for _, m := range best {
		list = append(list, m)
	}
	slices.SortFunc(list, func(a, b Match) int {
		return cmp.Or(cmp.Compare(b.Confidence, a.Confidence), cmp.Compare(a.Entry.ID, b.Entry.ID))
	})
	return list[:min(len(list), mostMatches)]
}

// asked are the folded words that are looked for, in the forms that they are
// compared in.
type asked struct {
	words, spaced, sorted string
	runes                 int
}

// confidence compares folded words with a name.
func (a alias) confidence(q asked) Confidence {
	n, m := q.runes, a.runes
	switch {
	case q.words == a.words:
		return 1000
	case q.sorted == a.sorted:
		return 970
	case n-m == 1 && (q.words == a.words+"s" || q.words == a.words+"n"), m-n == 1 && (a.words == q.words+"s" || a.words == q.words+"n"):
		return 960
	case m < n && strings.Contains(q.spaced, a.spaced):
		// "Coconut flour" holds the name of another flour: never more than unsure.
		return Confidence(500 + 240*m/n)
	case n < m && strings.Contains(a.spaced, q.spaced):
		return Confidence(400 + 300*n/m)
	case n > 5 && n < 40 && m > 5 && n-m < 2 && m-n < 2 && q.words[0] == a.words[0] && names.Distance(q.words, a.words) == 1:
		return 800 // a slip of the keys, seldom on the first
	}
	return 0
}

func sortedWords(s string) string {
	list := strings.Fields(s)
	slices.Sort(list)
	return strings.Join(list, " ")
}

func without(s string, drop map[string]bool) string {
	var kept []string
	for w := range strings.FieldsSeq(s) {
		if !drop[w] {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, " ")
}
