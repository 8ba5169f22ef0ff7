package schedule

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
)

// hotKinds are kinds of component that are boiled sugar by their name.
var hotKinds = []string{"caramel", "sugar work", "boiled sugar", "pulled sugar", "toffee", "brittle"}

// hotWords find boiled sugar in names, tasks and methods.
var hotWords = regexp.MustCompile(`\b(caramel|caramelise|caramelize|nougatine|isomalt|praline|brittle|toffee|honeycomb)\b` +
	`|\b(cook|pull|spin|blow|cast)(ed|ing)?( the)? (sugar|syrup|caramel)\b` +
	`|\bboil(ed|ing)?(\W+\w+){0,3}\W+(sugar|syrup)\b|\bhot (sugar|syrup)\b`)

// HotSugar reports whether making a component burns as boiled sugar does. The
// book has no word for it, so the rule reads what there is, and errs towards
// warning:
//
//   - its kind is one of boiled sugar, or it is a syrup without a method;
//   - its name, a task or its method speaks of caramel and the like, or of
//     cooking or boiling sugar or syrup;
//   - a sentence of its method that is not about an oven names a temperature
//     from 105 °C (221 °F), above what water alone reaches, to 200 °C.
func HotSugar(c *book.Component) bool {
	kind := strings.ToLower(c.Kind.Or(""))
	if slices.Contains(hotKinds, kind) || kind == "syrup" && strings.TrimSpace(c.Method.Or("")) == "" {
		return true
	}
	texts := []string{c.Name, c.Method.Or("")}
	for _, t := range c.Tasks {
		texts = append(texts, t.Name)
	}
	for _, text := range texts {
		if text = strings.ToLower(text); hotWords.MatchString(text) || hotSentence(text) {
			return true
		}
	}
	return false
}

var (
	ovenWords = regexp.MustCompile(`\b(bake|baked|baking|oven|roast|roasted|toast|toasted)\b`)
	degrees   = regexp.MustCompile(`\b(\d{2,3})(?:\.\d+)?\s*°?\s*([cf])\b`)
)

func hotSentence(text string) bool {
	for sentence := range strings.SplitSeq(text, ". ") {
		if ovenWords.MatchString(sentence) {
			continue
		}
		for _, m := range degrees.FindAllStringSubmatch(sentence, -1) {
			n, err := strconv.Atoi(m[1])
			if err == nil && (m[2] == "c" && n >= 105 && n <= 200 || m[2] == "f" && n >= 221 && n <= 392) {
				return true
			}
		}
	}
	return false
}
