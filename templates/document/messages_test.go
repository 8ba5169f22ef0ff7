package document_test

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/templates/document"
)

// locales are those whose wording differs.
var locales = []string{"en", "fr", "de", "de-AT", "es", "es-MX", "it", "pt", "pt-BR", "nl"}

// texts lists every text of a language by its place in Messages.
func texts(t *testing.T, m document.Messages) map[string]string {
	t.Helper()
	all := map[string]string{}
	v := reflect.ValueOf(m)
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		switch f := v.Field(i); f.Kind() {
		case reflect.String:
			all[name] = f.String()
		case reflect.Array:
			for j := range f.Len() {
				all[fmt.Sprintf("%s[%d]", name, j)] = f.Index(j).String()
			}
		case reflect.Map:
			for _, key := range f.MapKeys() {
				all[fmt.Sprintf("%s[%s]", name, key)] = f.MapIndex(key).String()
			}
		default:
			t.Fatalf("%s is a %s, which this test does not look into", name, f.Kind())
		}
	}
	return all
}

var verb = regexp.MustCompile(`%(\[\d\])?[a-z%]`)

// verbs returns the verbs of a pattern, each with the argument it takes, in the
// order of the arguments.
func verbs(pattern string) []string {
	var list []string
	next := 1
	for _, v := range verb.FindAllString(pattern, -1) {
		if v == "%%" {
			continue
		}
		if v[1] == '[' {
			list = append(list, v)
			continue
		}
		list = append(list, fmt.Sprintf("%%[%d]%s", next, v[1:]))
		next++
	}
	slices.Sort(list)
	return list
}

// Every language says everything that English says, with the same places to
// fill: an empty text would print as nothing, a missing verb would lose a
// figure.
func TestMessagesAreComplete(t *testing.T) {
	english := texts(t, document.MessagesFor("en"))
	for _, locale := range locales {
		own := texts(t, document.MessagesFor(locale))
		for key, text := range own {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s: %s is empty", locale, key)
			}
			if _, ok := english[key]; !ok {
				t.Errorf("%s: %s is not in English", locale, key)
			}
		}
		for key, text := range english {
			translated, ok := own[key]
			if !ok {
				t.Errorf("%s: %s is missing", locale, key)
				continue
			}
			if got, want := verbs(translated), verbs(text); !slices.Equal(got, want) {
				t.Errorf("%s: %s has the verbs %v, want %v as in English: %q", locale, key, got, want, translated)
			}
			if strings.Contains(verb.ReplaceAllString(translated, ""), "%") {
				t.Errorf("%s: %s has a stray %%: %q", locale, key, translated)
			}
		}
	}
}

// alike are the texts that another language has in common with English: the
// same words by nature.
var alike = map[string][]string{
	"*": {"%s: %s", "; ", "%s%%", "%s, %s", "%s %s", "%s", "%d × %s", "Total",
		"%[2]d %[3]s %[4]d", "lupin", "Lupin", "Gluten", "Macadamia"},
	"fr": {"Date", "Client", "Signature"},
	"de": {"April", "August", "September", "November"},
	"es": {"Extras", "Rectangular", "cheque"},
	"pt": {"Extras", "cheque"},
	"nl": {"cheque"},
}

func TestNoEnglishIsLeft(t *testing.T) {
	english := texts(t, document.MessagesFor("en"))
	used := map[string]bool{}
	for _, locale := range locales[1:] {
		base, _, _ := strings.Cut(locale, "-")
		for key, text := range texts(t, document.MessagesFor(locale)) {
			if text == english[key] {
				used["* "+text], used[base+" "+text] = true, true
			}
			if text == english[key] && !slices.Contains(alike["*"], text) && !slices.Contains(alike[base], text) {
				t.Errorf("%s: %s is as in English: %q", locale, key, text)
			}
			for _, word := range []string{" the ", " of the ", " and ", " with ", " please "} {
				if strings.Contains(" "+strings.ToLower(text)+" ", word) {
					t.Errorf("%s: %s has the English word%sin it: %q", locale, key, word, text)
				}
			}
		}
	}
	stale(t, used)
}

// stale exceptions would hide what comes later.
func stale(t *testing.T, used map[string]bool) {
	t.Helper()
	for language, list := range alike {
		for _, text := range list {
			if !used[language+" "+text] {
				t.Errorf("%s: %q is no longer as in English; take it off the list", language, text)
			}
		}
	}
}

// French has a no-break space before its high marks; nobody else has.
func TestSpacesBeforeMarks(t *testing.T) {
	high := regexp.MustCompile(`.[:;!?»]`)
	for _, locale := range locales {
		for key, text := range texts(t, document.MessagesFor(locale)) {
			for _, pair := range high.FindAllString(text, -1) {
				spaced := strings.HasPrefix(pair, "\u202f")
				if spaced != (locale == "fr") || strings.HasPrefix(pair, " ") {
					t.Errorf("%s: %s has %q: %q", locale, key, pair, text)
				}
			}
			if strings.Contains(text, "'") || strings.Contains(text, "  ") {
				t.Errorf("%s: %s has a straight apostrophe or two spaces: %q", locale, key, text)
			}
		}
	}
}

// Whatever the rest of the program may put on a paper has its words.
func TestEveryKindHasWords(t *testing.T) {
	for _, locale := range locales {
		m := document.MessagesFor(locale)
		for _, f := range book.Flags() {
			if document.Cautions(m, document.Caution{Flag: string(f)}).Lines == nil {
				t.Errorf("%s: no caution for the flag %q", locale, f)
			}
		}
		for _, means := range quote.AllMeans() {
			if m.MeansNames[string(means)] == "" {
				t.Errorf("%s: no name for the means %q", locale, means)
			}
		}
		for _, s := range []quote.State{quote.Declined, quote.Lapsed, quote.Cancelled} {
			if m.Marks[string(s)] == "" {
				t.Errorf("%s: no mark for the state %q", locale, s)
			}
		}
		for _, kind := range []quote.ChangeKind{quote.ClientChanged, quote.EventMoved, quote.VenueChanged, quote.GuestsChanged,
			quote.OptionAdded, quote.OptionRemoved, quote.LineAdded, quote.LineRemoved, quote.QuantityChanged, quote.UnitPriceChanged,
			quote.DesignChanged, quote.PortionsChanged, quote.DiscountChanged, quote.MinimumChanged, quote.TermsChanged, quote.TotalChanged} {
			if m.ChangeNames[string(kind)] == "" {
				t.Errorf("%s: no words for the change %q", locale, kind)
			}
		}
		for _, shape := range []string{"round", "square", "rectangle", "hexagon", "heart", "measured"} {
			if m.ShapeNames[shape] == "" {
				t.Errorf("%s: no name for the shape %q", locale, shape)
			}
		}
	}
}

// Every word of the book's allergens and every entry of the lists has a name of
// its own in every language.
func TestAllergensHaveNames(t *testing.T) {
	for _, locale := range locales {
		m := document.MessagesFor(locale)
		for _, list := range book.AllergenLists() {
			seen := map[string]book.Allergen{}
			for _, a := range book.Allergens() {
				text := document.AllergenStatement(m, string(list), []string{string(a)}, nil).Facts[0].Value
				if other, ok := seen[text]; ok || m.AllergenName[string(a)] == "" {
					t.Errorf("%s: %s: %s prints as %q, as does %q", locale, list, a, text, other)
				}
				seen[text] = a
			}
		}
	}
}

// A client's papers are in the client's language; what the tag leaves open is
// the studio's.
func TestLocaleFor(t *testing.T) {
	tests := []struct {
		client, studio string
		language       string
		paper          document.Paper
		percent        string
	}{
		{"", "en-IE", "en", document.A4, "12.5%"},
		{"fr", "en-IE", "fr", document.A4, "12,5\u00a0%"},
		{"fr", "en-US", "fr", document.Letter, "12,5\u00a0%"},
		{"fr-CA", "en-IE", "fr", document.Letter, "12,5\u00a0%"},
		{"de", "de-CH", "de", document.A4, "12.5%"},
		{"de", "en-CA", "de", document.Letter, "12,5\u00a0%"},
		{"pt", "pt-BR", "pt-BR", document.A4, "12,5%"},
		{"pt", "en-GB", "pt", document.A4, "12,5%"},
		{"pl", "fr-FR", "fr", document.A4, "12,5\u00a0%"}, // not spoken: the studio's
		{"es", "en-US", "es", document.Letter, "12,5\u00a0%"},
		{"es", "es-MX", "es", document.Letter, "12.5%"},
	}
	for _, tt := range tests {
		l := document.LocaleFor(tt.client, tt.studio)
		if got := l.Messages().Language; got != tt.language {
			t.Errorf("LocaleFor(%q, %q) speaks %q, want %q", tt.client, tt.studio, got, tt.language)
		}
		if got := l.Paper(); got != tt.paper {
			t.Errorf("LocaleFor(%q, %q) writes on %q, want %q", tt.client, tt.studio, got, tt.paper)
		}
		if got := l.Percent(number("12.5")); got != tt.percent {
			t.Errorf("LocaleFor(%q, %q) writes %q, want %q", tt.client, tt.studio, got, tt.percent)
		}
	}
	for _, tag := range append(document.Languages(), "pt-BR", "de-AT") {
		if !document.Speaks(tag) {
			t.Errorf("Speaks(%q) = false", tag)
		}
	}
	if document.Speaks("pl") {
		t.Error(`Speaks("pl") = true, of a language without wording`)
	}
}
