package plot

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Scale says what the values of a chart are, and how it shows them.
type Scale struct {
	Unit  string                    // such as "EUR a kg"
	Write func(plain string) string // sets a round value, "-12500" or "0.5", as its reader does; nil: −12 500 and 0.5
	Width float64                   // of the canvas, for a chart that shares a row with something; 0: the whole row
}

// figure returns the canvas of a chart with this scale.
func (s Scale) figure(title string, height float64) (Figure, float64) {
	if s.Width == 0 {
		s.Width = wideCanvas
	}
	return newFigure(s.Width, title, s.Unit, height)
}

// axes place days and values on a canvas.
type axes struct {
	left, right, top, bottom float64
	from, until              time.Time
	low, high                float64
}

func (a axes) x(d time.Time) float64 {
	// Seconds, for a time.Duration ends after 292 years.
	share := float64(d.Unix()-a.from.Unix()) / float64(a.until.Unix()-a.from.Unix())
	return a.left + (a.right-a.left)*min(max(share, 0), 1)
}

func (a axes) y(v float64) float64 {
	return a.bottom - (a.bottom-a.top)*(v-a.low)/(a.high-a.low)
}

// axes draws a grid of round values that span low to high, for the days from
// one until another, if it has any. room is what the labels at the right need.
func (f *Figure) axes(s Scale, top, room, low, high float64, from, until time.Time) axes {
	ticks := ticksOf(low, high)
	a := axes{right: f.Width - margin - room, top: top, bottom: f.Height - 36, from: from, until: until, low: ticks[0], high: ticks[len(ticks)-1]}
	labels, widest := make([]string, len(ticks)), 0.0
	for i, t := range ticks {
		labels[i] = s.label(t, ticks)
		widest = max(widest, wide(labels[i], smallSize))
	}
	a.left = margin + max(widest, 34) + 10 // a label of the first day reaches to both sides
	for i, t := range ticks {
		tone := rule
		if t == 0 {
			tone = before // the line that values stand on, or cross, is darker
		}
		f.line(tone, 1, nil, point{a.left, a.y(t)}, point{a.right, a.y(t)})
		f.words(quiet, smallSize, end, point{a.left - 8, a.y(t) + 4}, widest+1, labels[i])
	}
	return a
}

// monthRoom and dayRoom are the widths of labels, and some air.
const (
	monthRoom = 64
	dayRoom   = 84
)

// monthSteps are the steps of months between two marks along the foot of a chart.
var monthSteps = []int{1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 6000, 12000, 120000}

// months marks months along the foot of a chart, as many as fit; both ends by
// their days where there are fewer than two.
func (f *Figure) months(a axes) {
	span := max(1, float64(a.until.Unix()-a.from.Unix())/86400/30.44)
	every := monthSteps[len(monthSteps)-1]
	for _, s := range monthSteps {
		if (a.right-a.left)*float64(s)/span >= monthRoom {
			every = s
			break
		}
	}
	var marks []time.Time
	first := a.from.Year()*12 + int(a.from.Month()) - 1
	first += (every - first%every) % every
	for m := first; ; m += every {
		day := time.Date(0, time.Month(m+1), 1, 0, 0, 0, 0, time.UTC)
		if day.After(a.until) {
			break
		}
		if !day.Before(a.from) {
			marks = append(marks, day)
		}
	}
	layout := "2006-01"
	switch {
	case len(marks) < 2:
		marks, layout = []time.Time{a.from, a.until}, time.DateOnly
	case every%12 == 0:
		layout = "2006"
	}
	f.days(a, layout, marks...)
}

// days marks days along the foot of a chart.
func (f *Figure) days(a axes, layout string, marks ...time.Time) {
	for _, m := range marks {
		f.line(before, 1, nil, point{a.x(m), a.bottom}, point{a.x(m), a.bottom + 5})
		f.words(quiet, smallSize, middle, point{a.x(m), a.bottom + 20}, dayRoom, m.Format(layout))
	}
}

// ticksOf returns round values that span low to high; from 0 on where no value
// is below it.
func ticksOf(low, high float64) []float64 {
	floor := math.Inf(-1)
	if low >= 0 {
		floor = 0
	}
	if size := max(math.Abs(low), math.Abs(high)); high-low <= size*1e-6 { // the same, to the eye
		pad := size * 0.1
		if pad == 0 {
			pad = 1
		}
		low, high = low-pad, high+pad
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
	for k := math.Floor(max(low, floor) / size); ; k++ {
		ticks = append(ticks, k*size)
		if k*size >= high && len(ticks) > 1 {
			return ticks
		}
	}
}

// label writes a tick with as many decimals as tell it from its neighbour, and
// thousands apart.
func (s Scale) label(t float64, ticks []float64) string {
	step := ticks[1] - ticks[0]
	places := 0
	for ; places < 12; places++ {
		scaled := step * math.Pow(10, float64(places))
		if whole := math.Round(scaled); whole > 0 && math.Abs(scaled-whole) < 1e-3*scaled {
			break
		}
	}
	plain := strconv.FormatFloat(t, 'f', places, 64)
	if s.Write != nil {
		return s.Write(plain)
	}
	whole, rest, pointed := strings.Cut(strings.TrimPrefix(plain, "-"), ".")
	groups := []string{}
	for ; len(whole) > 3; whole = whole[:len(whole)-3] {
		groups = append(groups, whole[len(whole)-3:])
	}
	groups = append(groups, whole)
	slices.Reverse(groups)
	label := strings.Join(groups, "\u00a0")
	if pointed {
		label += "." + rest
	}
	if t < 0 {
		return "−" + label
	}
	return label
}
