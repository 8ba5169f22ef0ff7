package plot

import (
	"fmt"
	"slices"
	"time"
)

// Column is a group of values that stand beside one another, such as those of a
// month.
type Column struct {
	Name   string
	Values []float64 // one for each kind
	Texts  []string  // as they are written
}

// Columns draws groups of values side by side, in the order given, a column for
// each kind. Of a long list the last 24 groups are shown.
func Columns(title string, s Scale, kinds []string, list []Column) Figure {
	const most = 24
	list = slices.DeleteFunc(slices.Clone(list), func(c Column) bool { return !finite(c.Values...) || len(c.Values) != len(kinds) })
	list = list[max(0, len(list)-most):]
	f, top := s.figure(title, 360)
	if len(list) == 0 || len(kinds) == 0 {
		f.empty("there is nothing to show")
		return f
	}
	low, high := 0.0, 0.0
	for _, c := range list {
		low, high = min(low, slices.Min(c.Values)), max(high, slices.Max(c.Values))
	}
	a := f.axes(s, top+26, 0, low, high, time.Time{}, time.Time{})
	// The kinds are named by a patch of their colour, in the order in which their
	// columns stand.
	at := a.left
	for i, k := range kinds {
		f.bar(lookOf(i).tone, point{at, top - 2}, point{at + 12, top + 10})
		f.words(ink, smallSize, start, point{at + 18, top + 9}, 200, k)
		at += 18 + min(wide(clean(k), smallSize), 200) + 24
	}
	room := (a.right - a.left) / float64(len(list))
	each := min(room*0.78/float64(len(kinds)), 46)
	for i, c := range list {
		x := a.left + room*(float64(i)+0.5) - each*float64(len(kinds))/2
		for k, v := range c.Values {
			f.bar(lookOf(k).tone, point{x + each*float64(k), a.y(0)}, point{x + each*float64(k+1) - 1, a.y(v)})
		}
		f.words(quiet, smallSize, middle, point{a.left + room*(float64(i)+0.5), a.bottom + 20}, room, c.Name)
		if i < 12 {
			f.Description += "; " + clean(c.Name)
			for k := range kinds {
				f.Description += fmt.Sprintf(" %s %s", clean(kinds[k]), clean(c.Texts[k]))
			}
		}
	}
	return f
}
