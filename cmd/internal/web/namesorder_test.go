package web

import (
	"slices"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

// TestNamesOrder: what is kept is the order of the names as they are now, in the
// language of now.
func TestNamesOrder(t *testing.T) {
	var o namesOrder
	english, swedish := book.Studio{Locale: record.Some("en")}, book.Studio{Locale: record.Some("sv")}
	for _, c := range []struct {
		studio book.Studio
		names  []string
		want   []int
	}{
		{english, []string{"tin 10", "Äpple", "tin 9", "Zest"}, []int{1, 2, 0, 3}},
		{english, []string{"tin 10", "Äpple", "tin 9", "Zest"}, []int{1, 2, 0, 3}},
		{swedish, []string{"tin 10", "Äpple", "tin 9", "Zest"}, []int{2, 0, 3, 1}}, // Ä is the last but one of its letters
		{swedish, []string{"tin 10", "Apple", "tin 9", "Zest"}, []int{1, 2, 0, 3}},
		{swedish, []string{"tin 10", "Apple"}, []int{1, 0}},
		{swedish, nil, []int{}},
	} {
		if got := o.of(c.studio, len(c.names), func(i int) string { return c.names[i] }); !slices.Equal(got, c.want) {
			t.Errorf("of %q in %s = %v, want %v", c.names, c.studio.Locale.Value, got, c.want)
		}
	}
}
