package plot

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

const (
	width  = 860
	margin = 16
)

// Series is one line of a chart of steps.
type Series struct {
	Name   string
	Points []Point // by day
	Last   string  // the last value, as it is written
}

// Point is a value from a day on.
type Point struct {
	Day   time.Time
	Value float64
}

// Steps draws values that hold from a day until the next, such as prices, up to
// a last day. unit says what the values are: "EUR a kg".
func Steps(title, unit string, until time.Time, list []Series) Figure {
	f := Figure{Title: title, Width: width, Height: 420, Description: title + ", " + unit}
	top := f.opening(unit)
	var from time.Time
	low, high := math.Inf(1), 0.0
	for _, s := range list {
		for _, p := range s.Points {
			if from.IsZero() || p.Day.Before(from) {
				from = p.Day
			}
			low, high = min(low, p.Value), max(high, p.Value)
		}
	}
	if from.IsZero() {
		f.empty("no prices yet")
		return f
	}
	if !until.After(from) {
		until = from.AddDate(0, 1, 0)
	}
	ticks := ticksOf(low, high)
	low, high = ticks[0], ticks[len(ticks)-1]
	left, right, bottom := margin+wide(labelOf(ticks[len(ticks)-1], ticks), 12)+10, f.Width-210, f.Height-36
	x := func(d time.Time) float64 {
		return left + (right-left)*d.Sub(from).Hours()/until.Sub(from).Hours()
	}
	y := func(v float64) float64 { return bottom - (bottom-top)*(v-low)/(high-low) }
	for _, t := range ticks {
		f.line(rule, 1, nil, point{left, y(t)}, point{right, y(t)})
		f.words(quiet, 12, end, point{left - 8, y(t) + 4}, labelOf(t, ticks))
	}
	f.months(from, until, x, bottom)
	var ends []float64
	for i, s := range list {
		if len(s.Points) == 0 {
			continue
		}
		look := series[i%len(series)]
		var path []point
		for k, p := range s.Points {
			if k > 0 {
				path = append(path, point{x(p.Day), y(s.Points[k-1].Value)})
			}
			path = append(path, point{x(p.Day), y(p.Value)})
		}
		last := s.Points[len(s.Points)-1]
		path = append(path, point{x(until), y(last.Value)})
		f.line(look.tone, 2.2, look.dash, path...)
		for _, p := range s.Points {
			f.dot(look.tone, point{x(p.Day), y(p.Value)}, 2.6)
		}
		at := apart(y(last.Value)+4, ends, 30)
		ends = append(ends, at)
		f.words(look.tone, 13, start, point{right + 10, at - 2}, fitted(s.Last, 13, f.Width-right-20))
		f.words(quiet, 12, start, point{right + 10, at + 12}, fitted(s.Name, 12, f.Width-right-20))
		f.Description += fmt.Sprintf("; %s now %s", s.Name, s.Last)
	}
	return f
}

// apart moves a label away from those that are placed, by at least gap.
func apart(at float64, placed []float64, gap float64) float64 {
	for tries := 0; tries < 20; tries++ {
		moved := false
		for _, other := range placed {
			if math.Abs(at-other) < gap {
				at, moved = other-gap, true
			}
		}
		if !moved {
			break
		}
	}
	return at
}

// months marks the months along the foot of a chart, as many as fit.
func (f *Figure) months(from, until time.Time, x func(time.Time) float64, bottom float64) {
	first := time.Date(from.Year(), from.Month()+1, 1, 0, 0, 0, 0, time.UTC)
	count := int(until.Sub(from).Hours()/24/30) + 1
	every := max(1, (count+8)/9)
	for k, m := 0, first; m.Before(until); k, m = k+1, m.AddDate(0, 1, 0) {
		if k%every != 0 {
			continue
		}
		f.line(rule, 1, nil, point{x(m), bottom}, point{x(m), bottom + 5})
		f.words(quiet, 12, middle, point{x(m), bottom + 20}, m.Format("2006-01"))
	}
}

// ticksOf returns round values that span low to high.
func ticksOf(low, high float64) []float64 {
	if high-low <= math.Abs(high)*1e-6 { // the same, to the eye
		low, high = low-math.Abs(low)*0.1-0.5, high+math.Abs(high)*0.1+0.5
	}
	raw := (high - low) / 5
	size := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 2.5, 5, 10} {
		if size*m >= raw {
			size *= m
			break
		}
	}
	var ticks []float64
	for k := math.Floor(low / size); ; k++ {
		ticks = append(ticks, k*size)
		if k*size >= high {
			return ticks
		}
	}
}

// labelOf writes a tick with as many decimals as tell it from its neighbour.
func labelOf(t float64, ticks []float64) string {
	step := ticks[1] - ticks[0]
	places := 0
	for ; places < 12; places++ {
		scaled := step * math.Pow(10, float64(places))
		if whole := math.Round(scaled); whole > 0 && math.Abs(scaled-whole) < 1e-3*scaled {
			break
		}
	}
	return strconv.FormatFloat(t, 'f', places, 64)
}

// Pair is a value before and after a change.
type Pair struct {
	Name          string
	Before, After float64
	Text          string // both, as they are written: "51.2 % → 50.6 %"
	Alarm         bool   // whether the value after is too low
}

// Pairs draws values before and after a change, one row each, with a line at a
// floor. Of a long list only the first rows are shown, and how many are not.
func Pairs(title, note string, floor float64, floorText string, list []Pair) Figure {
	const rows = 40
	shown := list[:min(len(list), rows)]
	f := Figure{Title: title, Width: width, Height: 100 + 26*float64(max(len(shown), 2)), Description: title + ", " + note}
	top := f.opening(note) + 18
	if len(list) == 0 {
		f.empty("nothing uses it")
		return f
	}
	low, high := floor, floor
	for _, p := range shown {
		low, high = min(low, p.Before, p.After), max(high, p.Before, p.After)
	}
	if high-low < 1e-9 {
		low, high = low-0.5, high+0.5
	}
	pad := (high - low) * 0.06
	low, high = low-pad, high+pad
	left, right := 250.0, f.Width-170
	x := func(v float64) float64 { return left + (right-left)*(v-low)/(high-low) }
	bottom := top + 26*float64(len(shown)) - 8
	f.line(bad, 1.2, []float64{4, 3}, point{x(floor), top - 12}, point{x(floor), bottom})
	f.words(bad, 11, middle, point{x(floor), top - 16}, floorText)
	for i, p := range shown {
		y := top + 26*float64(i) + 4
		t := good
		if p.Alarm {
			t = bad
		}
		f.line(rule, 1, nil, point{left, y}, point{right, y})
		f.line(t, 2, nil, point{x(p.Before), y}, point{x(p.After), y})
		f.dot(before, point{x(p.Before), y}, 4.5)
		f.dot(t, point{x(p.After), y}, 5)
		f.words(ink, 12.5, end, point{left - 12, y + 4}, fitted(p.Name, 12.5, left-margin-16))
		f.words(t, 12.5, start, point{right + 14, y + 4}, p.Text)
	}
	if len(list) > rows {
		f.words(quiet, 12, start, point{left, bottom + 22}, fmt.Sprintf("and %d more", len(list)-rows))
	}
	return f
}

// Swing is how far a value moves to both sides.
type Swing struct {
	Name string
	By   float64
	Down string // what stands at the lower end
	Up   string
}

// Tornado draws how far a value moves to both sides of a base as each cause
// moves, the widest on top.
func Tornado(title, note, base string, list []Swing) Figure {
	const rows = 20
	shown := list[:min(len(list), rows)]
	f := Figure{Title: title, Width: width, Height: 96 + 28*float64(max(len(shown), 2)), Description: title + ", " + note}
	top := f.opening(note) + 14
	if len(list) == 0 {
		f.empty("nothing carries the cost")
		return f
	}
	most := 0.0
	for _, s := range shown {
		most = max(most, math.Abs(s.By))
	}
	if most == 0 {
		most = 1
	}
	left, right := 230.0, f.Width-margin
	centre, reach := (left+right)/2, (right-left)/2-76
	bottom := top + 28*float64(len(shown)) - 6
	f.words(quiet, 12, middle, point{centre, top - 8}, base)
	for i, s := range shown {
		y := top + 28*float64(i)
		w := reach * math.Abs(s.By) / most
		f.bar(bad, point{centre - w, y}, point{centre, y + 18})
		f.bar(good, point{centre, y}, point{centre + w, y + 18})
		f.words(ink, 12.5, end, point{left - 12, y + 13.5}, fitted(s.Name, 12.5, left-margin-16))
		f.words(quiet, 12, end, point{centre - w - 6, y + 13.5}, s.Down)
		f.words(quiet, 12, start, point{centre + w + 6, y + 13.5}, s.Up)
	}
	f.line(ink, 1, nil, point{centre, top - 2}, point{centre, bottom})
	return f
}
