package web

import (
	"slices"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"

	"marchpane/pricing/book"
)

// byName sorts a list as the studio's language sorts words, and "tin 9" before
// "tin 10".
func byName[T any](list []T, name func(T) string, studio book.Studio) {
	tag, err := language.Parse(studio.Locale.Or("en"))
	if err != nil {
		tag = language.English
	}
	c := collate.New(tag, collate.Loose, collate.Numeric)
	var buffer collate.Buffer
	keys := make(map[string][]byte, len(list))
	for _, v := range list {
		if n := name(v); keys[n] == nil {
			keys[n] = slices.Clone(c.KeyFromString(&buffer, n))
			buffer.Reset()
		}
	}
	slices.SortStableFunc(list, func(a, b T) int { return slices.Compare(keys[name(a)], keys[name(b)]) })
}

// sortBy sorts a list and keeps the order of equals.
func sortBy[T any](list []T, order func(a, b T) int) { slices.SortStableFunc(list, order) }
