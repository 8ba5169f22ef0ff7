package plot

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Swing is how far a value moves to both sides.
type Swing struct {
	Name string
	By   float64
	Down string // what stands at the lower end
	Up   string
}

// Tornado draws how far a value moves to both sides of a base as each cause
// moves, the widest on top. Of a long list the 20 widest are shown, and how
// many are not.
func Tornado(title, note, base string, list []Swing) Figure {
	const most, tall = 20, 28
	list = slices.DeleteFunc(slices.Clone(list), func(s Swing) bool { return !finite(s.By) })
	slices.SortStableFunc(list, func(a, b Swing) int { return cmp.Compare(math.Abs(b.By), math.Abs(a.By)) })
	shown := list[:min(len(list), most)]
	f, top := newFigure(wideCanvas, title, note, 112+tall*float64(max(len(shown), 2)))
	if len(shown) == 0 {
		f.empty("nothing carries the cost")
		return f
	}
	names, ends := 0.0, 0.0
	for _, s := range shown {
		names = max(names, wide(clean(s.Name), textSize))
		ends = max(ends, wide(clean(s.Down), smallSize), wide(clean(s.Up), smallSize))
	}
	names, ends = min(names+1, 260), min(ends+1, 110)
	left, right := margin+names+16, float64(f.Width-margin)
	centre, reach := (left+right)/2, (right-left)/2-ends-8
	widest := math.Abs(shown[0].By)
	if widest == 0 {
		widest = 1
	}

	top += 18
	bottom := top + tall*float64(len(shown)) - 4
	f.words(quiet, smallSize, middle, point{centre, top - 10}, right-left, base)
	for i, s := range shown {
		y := top + tall*float64(i)
		w := reach * math.Abs(s.By) / widest
		f.bar(bad, point{centre - w, y}, point{centre, y + 18})
		f.bar(good, point{centre, y}, point{centre + w, y + 18})
		f.words(ink, textSize, end, point{margin + names, y + 13.5}, names, s.Name)
		f.words(quiet, smallSize, end, point{centre - w - 7, y + 13.5}, ends, s.Down)
		f.words(quiet, smallSize, start, point{centre + w + 7, y + 13.5}, ends, s.Up)
		if i < 5 {
			f.Description += fmt.Sprintf("; %s %s to %s", clean(s.Name), clean(s.Down), clean(s.Up))
		}
	}
	f.line(ink, 1, nil, point{centre, top - 4}, point{centre, bottom})
	if more := len(list) - len(shown); more > 0 {
		f.words(quiet, smallSize, start, point{margin, bottom + 16}, f.Width-2*margin, fmt.Sprintf("and %d more that move it less", more))
	}
	return f
}
