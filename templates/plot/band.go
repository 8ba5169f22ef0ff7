package plot

import (
	"cmp"
	"slices"
	"time"
)

// Outlook is within what bounds a value may lie on a day: the median, and the
// bounds of the middle 80 and 95 % of cases.
type Outlook struct {
	Day           time.Time
	Median        float64
	Low80, High80 float64
	Low95, High95 float64
}

// Said is what a chart of bands says of its last day, ready as text, such as
// "median 412", "390 to 441 in 80 %" and "377 to 462 in 95 %".
type Said struct{ Median, In80, In95 string }

// Band draws a median as a line within bands of 80 and 95 %, over days. A
// single day is drawn as a column.
func Band(title string, s Scale, list []Outlook, last Said) Figure {
	const tall = 20 // units of height for a label
	list = slices.DeleteFunc(slices.Clone(list), func(o Outlook) bool {
		return !finite(o.Median, o.Low80, o.High80, o.Low95, o.High95)
	})
	slices.SortStableFunc(list, func(a, b Outlook) int { return cmp.Compare(a.Day.Unix(), b.Day.Unix()) })
	f, top := s.figure(title, 400)
	if len(list) == 0 {
		f.empty("no outlook yet")
		return f
	}
	from, until := list[0].Day, list[len(list)-1].Day
	if !until.After(from) { // the day in the middle of a month
		list = list[len(list)-1:]
		from, until = from.AddDate(0, 0, -15), from.AddDate(0, 0, 15)
	}
	low, high := list[0].Median, list[0].Median
	for _, o := range list {
		low = min(low, o.Median, o.Low80, o.High80, o.Low95, o.High95)
		high = max(high, o.Median, o.Low80, o.High80, o.Low95, o.High95)
	}
	const sign = 32
	room := min(max(wide(clean(last.Median), textSize), wide(clean(last.In80), textSize), wide(clean(last.In95), textSize))+1, 220)
	a := f.axes(s, top, room+sign, low, high, from, until)
	if len(list) == 1 {
		f.days(a, time.DateOnly, list[0].Day)
	} else {
		f.months(a)
	}
	bound := func(of func(Outlook) float64) []point { return edge(a, list, of) }
	f.between(outer, bound(func(o Outlook) float64 { return o.High95 }), bound(func(o Outlook) float64 { return o.Low95 }))
	f.between(inner, bound(func(o Outlook) float64 { return o.High80 }), bound(func(o Outlook) float64 { return o.Low80 }))
	f.line(accent, 2.4, nil, bound(func(o Outlook) float64 { return o.Median })...)

	final := list[len(list)-1]
	labels := []struct {
		text  string
		tone  tone
		value float64 // beside which it stands
	}{
		{last.In95, outer, (final.High80 + final.High95) / 2},
		{last.In80, inner, (final.Median + final.High80) / 2},
		{last.Median, accent, final.Median},
	}
	wanted := make([]float64, len(labels))
	for i, l := range labels {
		wanted[i] = a.y(l.value)
	}
	for i, at := range spread(wanted, tall, top+4, a.bottom-4) {
		l := labels[i]
		if clean(l.text) == "" {
			continue
		}
		if l.tone == accent {
			f.line(accent, 2.4, nil, point{a.right + 12, at}, point{a.right + 24, at})
		} else {
			f.bar(before, point{a.right + 11, at - 6}, point{a.right + 25, at + 6})
			f.bar(l.tone, point{a.right + 12, at - 5}, point{a.right + 24, at + 5})
		}
		f.words(ink, textSize, start, point{a.right + sign, at + 4}, room, l.text)
		f.Description += "; " + clean(l.text)
	}
	return f
}

// edge returns the line of one value over days; for a single day, the width of
// its column.
func edge(a axes, list []Outlook, of func(Outlook) float64) []point {
	points := make([]point, len(list))
	for i, o := range list {
		points[i] = point{a.x(o.Day), a.y(of(o))}
	}
	if len(points) == 1 {
		const half = 26
		at := points[0]
		return []point{{at.x - half, at.y}, {at.x + half, at.y}}
	}
	return points
}

// between fills what lies between two lines.
func (f *Figure) between(t tone, upper, lower []point) {
	slices.Reverse(lower)
	f.area(t, append(upper, lower...)...)
}
