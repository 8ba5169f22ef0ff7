package plot

import (
	"fmt"
	"slices"
)

// Pair is a value before and after a change.
type Pair struct {
	Name          string
	Before, After float64
	Text          string // both, as they are written: "51.2 % → 50.6 %"
	Alarm         bool   // whether the value after is too low
}

// Pairs draws values before and after a change, one row each in the order
// given, with a line at a floor. Without a text for it there is no floor. Of a
// long list only the first 40 rows are shown, and how many are not. A value
// after that is too low is a red diamond, any other a disc.
func Pairs(title, note string, floor float64, floorText string, list []Pair) Figure {
	const most, tall = 40, 26
	list = slices.DeleteFunc(slices.Clone(list), func(p Pair) bool { return !finite(p.Before, p.After) })
	shown := list[:min(len(list), most)]
	f, top := newFigure(wideCanvas, title, note, 104+tall*float64(max(len(shown), 2)))
	if len(shown) == 0 {
		f.empty("nothing uses it")
		return f
	}
	floored := floorText != "" && finite(floor)
	low, high := shown[0].Before, shown[0].Before
	if floored {
		low, high = floor, floor
	}
	names, texts := 0.0, 0.0
	for _, p := range shown {
		low, high = min(low, p.Before, p.After), max(high, p.Before, p.After)
		names, texts = max(names, wide(clean(p.Name), textSize)), max(texts, wide(clean(p.Text), textSize))
	}
	names, texts = min(names+1, 300), min(texts+1, 200)
	if span := high - low; span <= 1e-9*max(1, max(high, -low)) {
		low, high = low-0.5*max(1, max(high, -low)), high+0.5*max(1, max(high, -low))
	}
	left, right := margin+names+22, f.Width-margin-texts-22
	x := func(v float64) float64 { return left + (right-left)*(v-low)/(high-low) }

	top += 22
	bottom := top + tall*float64(len(shown)-1)
	for i := range shown {
		y := top + tall*float64(i)
		f.line(rule, 1, nil, point{left - 10, y}, point{right + 10, y})
	}
	if floored {
		f.line(bad, 1.2, []float64{4, 3}, point{x(floor), top - 14}, point{x(floor), bottom + 12})
		room := 2 * min(x(floor)-margin, f.Width-margin-x(floor))
		f.words(bad, 11.5, middle, point{x(floor), top - 19}, room, floorText)
		f.Description += ", " + clean(floorText)
	}
	for i, p := range shown {
		y := top + tall*float64(i)
		t, s := good, disc
		if p.Alarm {
			t, s = bad, diamond
		}
		f.line(t, 2, nil, point{x(p.Before), y}, point{x(p.After), y})
		f.dot(before, disc, point{x(p.Before), y}, 4.5)
		f.dot(paper, disc, point{x(p.Before), y}, 2.5)
		f.dot(t, s, point{x(p.After), y}, 5)
		f.words(ink, textSize, end, point{margin + names, y + 4}, names, p.Name)
		f.words(t, textSize, start, point{right + 22, y + 4}, texts, p.Text)
		if i < 5 {
			f.Description += fmt.Sprintf("; %s %s", clean(p.Name), clean(p.Text))
		}
	}
	if more := len(list) - len(shown); more > 0 {
		f.words(quiet, smallSize, start, point{margin, bottom + 32}, f.Width-2*margin, fmt.Sprintf("and %d more", more))
	}
	return f
}
