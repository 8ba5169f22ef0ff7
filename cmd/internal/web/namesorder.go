package web

import (
	"sync"

	"marchpane/pricing/book"
)

// namesOrder is the order of a long list by name. To sort words as a language does
// takes longer than all else of a page, and a book is edited often and the names in
// it seldom: the order stays until one of them changes.
type namesOrder struct {
	mu     sync.Mutex
	locale string
	names  []string
	places []int // in the list, in the order of their names
}

// of returns the places of a list of n in the order of their names. It is not to
// be written to.
func (o *namesOrder) of(studio book.Studio, n int, name func(i int) string) []int {
	o.mu.Lock()
	defer o.mu.Unlock()
	locale := studio.Locale.Or("en")
	same := o.locale == locale && len(o.names) == n
	for i := 0; same && i < n; i++ {
		same = o.names[i] == name(i)
	}
	if same {
		return o.places
	}
	names, places := make([]string, n), make([]int, n)
	for i := range n {
		names[i], places[i] = name(i), i
	}
	byName(places, func(i int) string { return names[i] }, studio)
	o.locale, o.names, o.places = locale, names, places
	return places
}
