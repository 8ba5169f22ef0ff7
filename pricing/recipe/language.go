package recipe

import (
	"strings"

	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/pricelist"
)

// Language is the language of a text, as its tag of BCP 47; "" where it shows
// none of those that are read.
type Language string

// The languages whose words are read.
const (
	English Language = "en"
	French  Language = "fr"
	German  Language = "de"
)

func (l Language) name() string {
	return map[Language]string{English: "English", French: "French", German: "German"}[l]
}

// Context is what a line is read by: the whole text shows it.
type Context struct {
	Language Language
	Mark     pricelist.Mark // before decimals
	Proven   bool           // by other figures of the text, not by custom alone
	// AllCapitals says that the whole text is in capitals, which then mean nothing.
	AllCapitals bool
	Household   measure.Household
}

func (c Context) why() string {
	if c.Proven {
		return "the other figures of the text"
	}
	return "the custom of " + c.Language.name()
}

// tells are frequent words that one of the languages has and the others have
// not, or seldom.
var tells = map[string]Language{}

func init() {
	for l, words := range map[Language]string{
		English: "the and of cup cups tsp tbsp teaspoon teaspoons tablespoon tablespoons with flour sugar egg eggs salt milk cream chopped melted unsalted large sifted finely grated lemon lemons oz lb softened juice baking powder soda pinch water into until bake oven plus extra for dusting room temperature to taste yolk yolks white whites dark chocolate almonds vanilla-extract extract serves makes ingredients method",
		French:  "le la les des du de un une et cuillere cuilleres soupe cafe sucre farine beurre oeuf oeufs lait creme sel levure sachet pincee gousse jaune jaunes blanc blancs fondu mou tamisee rape hache amande amandes noix eau au aux dans avec pour chocolat citron citrons poudre vanille jus zeste parts four melanger preparation",
		German:  "der die das und ein eine einer mit fur zum zur mehl zucker butter ei eier milch sahne salz prise el tl pck packchen backpulver gemahlene gehackte weiche geschmolzen zimmertemperatur backofen zitrone zitronen saft schale wasser eigelb eiweiss puderzucker vanillezucker mandeln nusse schokolade dunkle etwas nach belieben stuck den dem von in zutaten zubereitung portionen geriebene bio",
	} {
		for w := range strings.FieldsSeq(words) {
			if old, there := tells[w]; there && old != l {
				tells[w] = ""
				continue
			}
			tells[w] = l
		}
	}
	// Butter and vanilla are said in more than one; "in" and "an" are too.
	for _, w := range []string{"butter", "in", "die", "salt", "an"} {
		delete(tells, w)
	}
}

// mostSample bounds how much of a text is looked at to guess its language.
const mostSample = 64 << 10

// ContextOf reads from the lines of a text, and the language it states, what
// each of them is to be read by.
func ContextOf(lines []string, stated string, household measure.Household) Context {
	c := Context{Household: household}
	switch tag := Language(strings.ToLower(stated[:min(2, len(stated))])); tag {
	case English, French, German:
		c.Language = tag
	}
	counts := map[Language]int{}
	points, commas, read := 0, 0, 0
	for _, line := range lines {
		if read += len(line); read > mostSample {
			break
		}
		for w := range strings.FieldsSeq(names.Words(line)) {
			if l := tells[w]; l != "" {
				counts[l]++
			}
		}
		for _, t := range tokens(tidy(line)) {
			if t.kind == figure {
				switch provenMark(t.text) {
				case pricelist.Point:
					points++
				case pricelist.Comma:
					commas++
				}
			}
		}
	}
	if c.Language == "" {
		best := 0
		for _, l := range []Language{English, French, German} {
			switch n := counts[l]; {
			case n > best:
				best, c.Language = n, l
			case n == best && n > 0:
				c.Language = ""
			}
		}
	}
	switch {
	case points > 0 && commas == 0:
		c.Mark, c.Proven = pricelist.Point, true
	case commas > 0 && points == 0:
		c.Mark, c.Proven = pricelist.Comma, true
	case points > 0 && commas > 0:
	default:
		c.Mark = customary(c.Language)
	}
	return c
}

// customary returns the mark that a language writes before decimals (CLDR:
// numbers of en, fr, de). Swiss German writes a point, which such a text proves
// by its other figures or leaves to be confirmed.
func customary(l Language) pricelist.Mark {
	switch l {
	case English:
		return pricelist.Point
	case French, German:
		return pricelist.Comma
	}
	return pricelist.Unknown
}

// provenMark returns the mark that a figure shows beyond doubt: one or two
// decimals, or a leading zero.
func provenMark(s string) pricelist.Mark {
	i := strings.LastIndexAny(s, ".,")
	if i <= 0 || strings.IndexAny(s, ".,") != i || len(s)-i-1 == 3 && s[0] != '0' {
		return pricelist.Unknown
	}
	if s[i] == '.' {
		return pricelist.Point
	}
	return pricelist.Comma
}
