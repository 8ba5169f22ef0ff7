package plot

import (
	"fmt"
	"slices"
)

// Pier is a step of a bridge from one value to another: it stands at the
// value that the steps before have come to.
type Pier struct {
	Name  string
	By    float64 // of a whole value, the value
	Text  string  // as it is written: "−12.40"
	Whole bool    // a value itself, such as the first and the last
}

// Bridge draws how steps lead from one value to another, one row each in the
// order given. What raises the value and what lowers it are told apart by
// colour, by the side on which their words stand and by their sign. Of a long
// list the first 40 are shown.
func Bridge(title, note string, list []Pier) Figure {
	const most, tall = 40, 30
	list = slices.DeleteFunc(slices.Clone(list), func(p Pier) bool { return !finite(p.By) })
	list = list[:min(len(list), most)]
	f, top := newFigure(wideCanvas, title, note, 84+tall*float64(max(len(list), 2)))
	if len(list) == 0 {
		f.empty("nothing leads from one to the other")
		return f
	}
	low, high, at := 0.0, 0.0, 0.0
	names, texts := 0.0, 0.0
	from := make([]float64, len(list))
	for i, p := range list {
		if p.Whole {
			at = 0
		}
		from[i] = at
		at += p.By
		low, high = min(low, at), max(high, at)
		names, texts = max(names, wide(clean(p.Name), textSize)), max(texts, wide(clean(p.Text), textSize))
	}
	if high-low <= 0 {
		high = low + 1
	}
	names, texts = min(names+1, 320), min(texts+1, 140)
	left, right := margin+names+16+texts, f.Width-margin-texts-10
	x := func(v float64) float64 { return left + (right-left)*(v-low)/(high-low) }
	bottom := top + tall*float64(len(list)) - 4
	f.line(before, 1, nil, point{x(0), top - 4}, point{x(0), bottom})
	for i, p := range list {
		y := top + tall*float64(i)
		a, b := x(from[i]), x(from[i]+p.By)
		t := good
		switch {
		case p.Whole:
			t = accent
		case p.By < 0:
			t = bad
		}
		f.words(ink, textSize, end, point{margin + names, y + 14.5}, names, p.Name)
		f.bar(t, point{min(a, b), y}, point{max(a, b, min(a, b)+1.5), y + 20})
		if b >= a {
			f.words(t, textSize, start, point{max(a, b) + 8, y + 14.5}, texts, p.Text)
		} else {
			f.words(t, textSize, end, point{min(a, b) - 8, y + 14.5}, texts, p.Text)
		}
		if i+1 < len(list) && !list[i+1].Whole || i+2 == len(list) {
			f.line(before, 1, []float64{2, 3}, point{b, y + 20}, point{b, y + tall})
		}
		if i < 14 {
			f.Description += fmt.Sprintf("; %s %s", clean(p.Name), clean(p.Text))
		}
	}
	return f
}
