package pdf

import (
	"slices"
	"unicode"
)

// Lacking lists the characters of a text that no face has, such as emoji, each
// once: on paper [substitute] stands in their place, and whoever writes them
// should know before a client sees it.
func Lacking(text string) []string {
	var list []string
	if plainASCII(text) {
		return nil
	}
	for _, r := range letters(text) {
		if _, ok := pick(r, sans); !ok && r != unicode.ReplacementChar && !slices.Contains(list, string(r)) {
			list = append(list, string(r))
		}
	}
	return list
}
