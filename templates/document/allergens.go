package document

import (
	"slices"
	"strings"
)

// An entry is one line of a legal list and the words of the book it covers.
type entry struct {
	name  string   // key of its name in Messages.AllergenName
	words []string // in the order of the law
	bare  string   // a word that the entry's name says already
}

// one is an entry that covers the one word it is named after.
func one(list, word string) entry {
	return entry{name: list + ":" + word, words: []string{word}, bare: word}
}

var (
	glutenWords = []string{"wheat", "spelt", "khorasan", "rye", "barley", "oats"}
	wheatWords  = glutenWords[:3]

	// Regulation (EU) No 1169/2011, Annex II, points 1 to 14: names, order and
	// the nuts it counts. Cereals and nuts are named singly. Pine nuts are not
	// in it.
	euList = []entry{
		{name: "gluten-cereals", words: glutenWords},
		one("eu", "crustaceans"), one("eu", "egg"), one("eu", "fish"), one("eu", "peanut"), one("eu", "soy"), one("eu", "milk"),
		{name: "nuts", words: []string{"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil-nut", "pistachio", "macadamia"}},
		one("eu", "celery"), one("eu", "mustard"), one("eu", "sesame"), one("eu", "sulphites"), one("eu", "lupin"), one("eu", "molluscs"),
	}

	// United States: Food Allergen Labeling and Consumer Protection Act of 2004
	// and FASTER Act of 2021, nine major food allergens. The nut has to be
	// named. Spelt and khorasan are wheats; other cereals are not listed.
	usList = []entry{
		one("us", "milk"), one("us", "egg"), one("us", "fish"), one("us", "crustaceans"),
		{name: "tree-nuts", words: []string{"almond", "brazil-nut", "cashew", "hazelnut", "macadamia", "pecan", "pine-nut", "pistachio", "walnut"}},
		{name: "us:wheat", words: wheatWords, bare: "wheat"},
		one("us", "peanut"), one("us", "soy"), one("us", "sesame"),
	}

	// Health Canada, priority food allergens (2017) with the gluten sources
	// that are declared besides wheat.
	caList = []entry{
		one("ca", "peanut"),
		{name: "tree-nuts", words: []string{"almond", "brazil-nut", "cashew", "hazelnut", "macadamia", "pecan", "pine-nut", "pistachio", "walnut"}},
		one("ca", "sesame"), one("ca", "milk"), one("ca", "egg"), one("ca", "fish"), one("ca", "crustaceans"), one("ca", "molluscs"),
		one("ca", "soy"),
		{name: "ca:wheat", words: wheatWords, bare: "wheat"},
		{name: "gluten-sources", words: []string{"barley", "oats", "rye"}},
		one("ca", "mustard"), one("ca", "sulphites"),
	}

	// Australia and New Zealand: the foods and the order of the National
	// Allergy Council's page on plain English allergen labelling. Every nut is
	// an entry of its own; wheat is declared both as wheat and as gluten.
	anzList = []entry{
		one("anz", "peanut"),
		one("anz", "almond"), one("anz", "brazil-nut"), one("anz", "cashew"), one("anz", "hazelnut"), one("anz", "macadamia"),
		one("anz", "pecan"), one("anz", "pine-nut"), one("anz", "pistachio"), one("anz", "walnut"),
		one("anz", "egg"), one("anz", "milk"), one("anz", "fish"), one("anz", "crustaceans"), one("anz", "molluscs"),
		one("anz", "sesame"), one("anz", "soy"),
		{name: "anz:wheat", words: wheatWords, bare: "wheat"},
		{name: "gluten", words: glutenWords},
		one("anz", "lupin"), one("anz", "sulphites"),
	}
)

// legalList returns the list that a book calls name. The United Kingdom keeps
// the fourteen of the European Union; they also stand where no list is named.
func legalList(name string) []entry {
	switch name {
	case "us":
		return usList
	case "ca":
		return caList
	case "anz":
		return anzList
	}
	return euList
}

// AllergenStatement says what a cake contains and may contain, in the names
// and order of the legal list called list: "eu", "uk", "us", "ca" or "anz".
// The words are those of the book. A food that is contained is not repeated as
// one that may be; a word outside the list comes last, under "also".
func AllergenStatement(m Messages, list string, contains, mayContain []string) Statement {
	var traces []string
	for _, word := range mayContain {
		if !slices.Contains(contains, word) {
			traces = append(traces, word)
		}
	}
	s := Statement{Heading: m.Allergens, Note: m.AllergenNote}
	if len(contains) == 0 {
		s.Facts = append(s.Facts, Fact{m.Contains, m.NoneDeclared})
	} else {
		s.Facts = append(s.Facts, Fact{m.Contains, listed(m, list, contains)})
	}
	if len(traces) > 0 {
		s.Facts = append(s.Facts, Fact{m.MayContain, listed(m, list, traces)})
	}
	if list == "us" && (slices.Contains(contains, "fish") || slices.Contains(contains, "crustaceans")) {
		s.Note += " " + m.SpeciesNote
	}
	return s
}

// listed writes words under the names of a list: "Cereals containing gluten
// (wheat, rye), Milk; also: pine nuts".
func listed(m Messages, list string, words []string) string {
	var names []string
	covered := map[string]bool{}
	for _, e := range legalList(list) {
		var present []string
		for _, word := range e.words {
			if slices.Contains(words, word) {
				present = append(present, word)
				covered[word] = true
			}
		}
		if len(present) == 0 {
			continue
		}
		name := m.allergen(e.name)
		if !slices.Equal(present, []string{e.bare}) {
			name += " (" + joinNames(m, present) + ")"
		}
		names = append(names, name)
	}
	var others []string
	for _, word := range words {
		if !covered[word] {
			others = append(others, word)
			covered[word] = true
		}
	}
	text := strings.Join(names, ", ")
	if len(others) == 0 {
		return text
	}
	also := sentence(m.Also, joinNames(m, others))
	if text == "" {
		return also
	}
	return text + m.Semicolon + also
}

func joinNames(m Messages, words []string) string {
	names := make([]string, len(words))
	for i, word := range words {
		names[i] = m.allergen(word)
	}
	return strings.Join(names, ", ")
}

// allergen returns the name filed under key. A word without one stands for
// itself: better plain than lost.
func (m Messages) allergen(key string) string {
	if name, ok := m.AllergenName[key]; ok {
		return name
	}
	return key
}
