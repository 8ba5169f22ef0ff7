package plot

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// Series is one line of a chart of steps.
type Series struct {
	Name   string
	Points []Point
	Last   string // the last value, as it is written
}

// Point is a value from a day on.
type Point struct {
	Day   time.Time
	Value float64
}

// Steps draws values that hold from a day until the next, such as prices, up to
// a last day. Of a long list the first 12 series that have values are shown.
func Steps(title string, scale Scale, until time.Time, list []Series) Figure {
	const most, tall = 12, 32 // series; units of height for a label of two lines
	shown, left := drawable(list), 0
	if len(shown) > most {
		shown, left = shown[:most], len(shown)-most
	}
	f, top := scale.figure(title, max(420, 130+tall*float64(len(shown))))
	if len(shown) == 0 {
		f.empty("no prices yet")
		return f
	}
	from := shown[0].Points[0].Day
	low, high := shown[0].Points[0].Value, shown[0].Points[0].Value
	const sign = 32 // from the line to its label: a leader and the mark
	room := 0.0
	for _, s := range shown {
		for _, p := range s.Points {
			if p.Day.Before(from) {
				from = p.Day
			}
			if p.Day.After(until) {
				until = p.Day
			}
			low, high = min(low, p.Value), max(high, p.Value)
		}
		room = max(room, wide(clean(s.Last), 13), wide(clean(s.Name), smallSize))
	}
	room = min(room+1, 190)
	if !until.After(from) {
		until = from.AddDate(0, 1, 0)
	}
	a := f.axes(scale, top, room+sign, low, high, from, until)
	f.months(a)
	wanted := make([]float64, len(shown))
	for i, s := range shown {
		look := lookOf(i)
		f.steps(a, look, s.Points)
		wanted[i] = a.y(s.Points[len(s.Points)-1].Value)
	}
	foot := a.bottom - 12
	if left > 0 {
		foot -= 16
		f.words(quiet, smallSize, start, point{a.right + sign, a.bottom}, room, fmt.Sprintf("and %d more", left))
		f.Description += fmt.Sprintf("; %d more are not shown", left)
	}
	for i, at := range spread(wanted, tall, top+4, foot) {
		s, look := shown[i], lookOf(i)
		f.line(look.tone, 1, nil, point{a.right + 2, wanted[i]}, point{a.right + 16, at})
		f.dot(look.tone, look.shape, point{a.right + 22, at}, 4)
		f.words(ink, 13, start, point{a.right + sign, at + 1}, room, s.Last)
		f.words(quiet, smallSize, start, point{a.right + sign, at + 15}, room, s.Name)
		f.Description += fmt.Sprintf("; %s now %s", clean(s.Name), clean(s.Last))
	}
	return f
}

// steps draws one series.
func (f *Figure) steps(a axes, l look, points []Point) {
	var path []point
	for i, p := range points {
		if i > 0 {
			path = append(path, point{a.x(p.Day), a.y(points[i-1].Value)})
		}
		path = append(path, point{a.x(p.Day), a.y(p.Value)})
	}
	path = append(path, point{a.right, path[len(path)-1].y})
	f.line(l.tone, 2, l.dash, path...)
	for _, p := range points {
		f.dot(l.tone, l.shape, point{a.x(p.Day), a.y(p.Value)}, 3)
	}
}

// drawable returns the series that have values to draw, each in order of days.
func drawable(list []Series) (shown []Series) {
	for _, s := range list {
		s.Points = slices.DeleteFunc(slices.Clone(s.Points), func(p Point) bool { return !finite(p.Value) })
		slices.SortStableFunc(s.Points, func(a, b Point) int { return cmp.Compare(a.Day.Unix(), b.Day.Unix()) })
		if len(s.Points) > 0 {
			shown = append(shown, s)
		}
	}
	return shown
}
