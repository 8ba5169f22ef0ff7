package emblem

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// scanner reads the numbers and commands of path data and lists.
type scanner struct {
	s  string
	at int
}

func (n *scanner) skip() {
	for n.at < len(n.s) && strings.IndexByte(" \t\r\n\f,", n.s[n.at]) >= 0 {
		n.at++
	}
}

// number reads a number of the SVG grammar, which may follow another without a
// space: "1-2", ".5.5".
func (n *scanner) number() (float64, bool) {
	n.skip()
	start, at := n.at, n.at
	digits := func() (found bool) {
		for at < len(n.s) && n.s[at] >= '0' && n.s[at] <= '9' {
			at++
			found = true
		}
		return found
	}
	sign := func() {
		if at < len(n.s) && (n.s[at] == '+' || n.s[at] == '-') {
			at++
		}
	}
	sign()
	whole := digits()
	if at < len(n.s) && n.s[at] == '.' {
		at++
		whole = digits() || whole
	}
	if !whole {
		return 0, false
	}
	if at < len(n.s) && (n.s[at] == 'e' || n.s[at] == 'E') {
		mark := at
		at++
		sign()
		if !digits() {
			at = mark // "1em" is 1 and a unit
		}
	}
	v, err := strconv.ParseFloat(n.s[start:at], 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, false
	}
	n.at = at
	return v, true
}

// flag reads 0 or 1, after which the next number may follow at once.
func (n *scanner) flag() (bool, bool) {
	n.skip()
	if n.at < len(n.s) && (n.s[n.at] == '0' || n.s[n.at] == '1') {
		n.at++
		return n.s[n.at-1] == '1', true
	}
	return false, false
}

func readNumbers(s string) ([]float64, error) {
	n := scanner{s: s}
	var list []float64
	for {
		n.skip()
		if n.at == len(s) {
			return list, nil
		}
		v, ok := n.number()
		if !ok {
			return nil, fmt.Errorf("%.40q holds what is no number", s)
		}
		list = append(list, v)
	}
}

// readPath reads path data (SVG 2, chapter 9).
func readPath(data string) ([]Segment, error) {
	p := pathReader{scanner: scanner{s: data}}
	for {
		p.skip()
		if p.at == len(data) {
			return p.out, nil
		}
		if c := data[p.at]; strings.IndexByte("MmLlHhVvCcSsQqTtAaZz", c) >= 0 {
			p.at++
			p.command = c
		} else if p.command == 0 || p.command == 'Z' || p.command == 'z' {
			return nil, fmt.Errorf("the path %.40q… cannot be read at %.10q", data, data[p.at:])
		}
		if len(p.out) == 0 && p.command != 'M' && p.command != 'm' {
			return nil, fmt.Errorf("the path %.40q… does not begin with a move", data)
		}
		if !p.step() {
			return nil, fmt.Errorf("the path %.40q… breaks off in command %c", data, p.command)
		}
	}
}

type pathReader struct {
	scanner
	out         []Segment
	command     byte
	now, start  Point
	lastC       Point // second control point of the last cubic
	lastQ       Point // control point of the last quadratic
	afterC      bool
	afterQ      bool
	needsReturn bool // a close was last: the next step begins at its start
}

// point reads a pair, from now on where the command is in small letters.
func (p *pathReader) point() (Point, bool) {
	x, ok1 := p.number()
	y, ok2 := p.number()
	if p.relative() {
		x, y = x+p.now.X, y+p.now.Y
	}
	return Point{x, y}, ok1 && ok2
}

func (p *pathReader) relative() bool { return p.command >= 'a' }

// step reads the arguments of a command once.
func (p *pathReader) step() bool {
	afterC, afterQ := p.afterC, p.afterQ
	p.afterC, p.afterQ = false, false
	switch p.command {
	case 'Z', 'z':
		p.add(Segment{Kind: Close})
		p.now, p.needsReturn = p.start, true
		return true
	case 'M', 'm':
		to, ok := p.point()
		p.add(Segment{Kind: Move, To: to})
		p.now, p.start, p.needsReturn = to, to, false
		p.command -= 'M' - 'L' // further pairs are lines
		return ok
	}
	if p.needsReturn {
		p.add(Segment{Kind: Move, To: p.start})
		p.needsReturn = false
	}
	switch p.command {
	case 'L', 'l':
		to, ok := p.point()
		p.line(to)
		return ok
	case 'H', 'h':
		x, ok := p.number()
		if p.relative() {
			x += p.now.X
		}
		p.line(Point{x, p.now.Y})
		return ok
	case 'V', 'v':
		y, ok := p.number()
		if p.relative() {
			y += p.now.Y
		}
		p.line(Point{p.now.X, y})
		return ok
	case 'C', 'c':
		c1, ok1 := p.point()
		c2, ok2 := p.point()
		to, ok3 := p.point()
		p.cubic(c1, c2, to)
		return ok1 && ok2 && ok3
	case 'S', 's':
		c1 := p.now
		if afterC {
			c1 = mirrored(p.lastC, p.now)
		}
		c2, ok1 := p.point()
		to, ok2 := p.point()
		p.cubic(c1, c2, to)
		return ok1 && ok2
	case 'Q', 'q':
		c, ok1 := p.point()
		to, ok2 := p.point()
		p.quadratic(c, to)
		return ok1 && ok2
	case 'T', 't':
		c := p.now
		if afterQ {
			c = mirrored(p.lastQ, p.now)
		}
		to, ok := p.point()
		p.quadratic(c, to)
		return ok
	}
	rx, ok1 := p.number()
	ry, ok2 := p.number()
	tilt, ok3 := p.number()
	large, ok4 := p.flag()
	sweep, ok5 := p.flag()
	to, ok6 := p.point()
	p.arc(math.Abs(rx), math.Abs(ry), tilt*math.Pi/180, large, sweep, to)
	return ok1 && ok2 && ok3 && ok4 && ok5 && ok6
}

func mirrored(p, in Point) Point { return Point{2*in.X - p.X, 2*in.Y - p.Y} }

func (p *pathReader) add(s Segment) { p.out = append(p.out, s) }

func (p *pathReader) line(to Point) {
	p.add(Segment{Kind: Line, To: to})
	p.now = to
}

func (p *pathReader) cubic(c1, c2, to Point) {
	p.add(Segment{Kind: Curve, C1: c1, C2: c2, To: to})
	p.now, p.lastC, p.afterC = to, c2, true
}

func (p *pathReader) quadratic(c, to Point) {
	third := func(a Point) Point { return Point{a.X + (c.X-a.X)*2/3, a.Y + (c.Y-a.Y)*2/3} }
	p.add(Segment{Kind: Curve, C1: third(p.now), C2: third(to), To: to})
	p.now, p.lastQ, p.afterQ = to, c, true
}

// arc draws an elliptical arc as cubics of a quarter turn at most, by the
// conversion from end points to a centre that SVG 2 gives in its appendix B.2.
func (p *pathReader) arc(rx, ry, tilt float64, large, sweep bool, to Point) {
	from := p.now
	if rx == 0 || ry == 0 || from == to {
		p.line(to)
		return
	}
	sin, cos := math.Sincos(tilt)
	dx, dy := (from.X-to.X)/2, (from.Y-to.Y)/2
	x, y := cos*dx+sin*dy, -sin*dx+cos*dy
	if l := x*x/(rx*rx) + y*y/(ry*ry); l > 1 { // too small to reach: enlarged
		rx, ry = rx*math.Sqrt(l), ry*math.Sqrt(l)
	}
	k := math.Sqrt(max(0, (rx*rx*ry*ry-rx*rx*y*y-ry*ry*x*x)/(rx*rx*y*y+ry*ry*x*x)))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	middle := Point{cos*cx - sin*cy + (from.X+to.X)/2, sin*cx + cos*cy + (from.Y+to.Y)/2}
	start := math.Atan2((y-cy)/ry, (x-cx)/rx)
	turn := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - start
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	n := int(math.Ceil(math.Abs(turn)/(math.Pi/2) - 1e-9))
	m := matrix{cos, sin, -sin, cos, middle.X, middle.Y}.then(matrix{rx, 0, 0, ry, 0, 0})
	for i := range n {
		s := unitArc(start+turn*float64(i)/float64(n), turn/float64(n))
		s.C1, s.C2, s.To = m.apply(s.C1), m.apply(s.C2), m.apply(s.To)
		if i == n-1 {
			s.To = to
		}
		p.add(s)
	}
	p.now = to
}

// unitArc is the curve along the unit circle from an angle on; for a quarter
// turn it is off by 0.03 % of the radius at most.
func unitArc(start, turn float64) Segment {
	k := 4.0 / 3 * math.Tan(turn/4)
	s0, c0 := math.Sincos(start)
	s1, c1 := math.Sincos(start + turn)
	return Segment{Kind: Curve, C1: Point{c0 - k*s0, s0 + k*c0}, C2: Point{c1 + k*s1, s1 - k*c1}, To: Point{c1, s1}}
}

// ellipse returns a whole ellipse.
func ellipse(cx, cy, rx, ry float64) []Segment {
	out := []Segment{{Kind: Move, To: Point{cx + rx, cy}}}
	m := matrix{rx, 0, 0, ry, cx, cy}
	for i := range 4 {
		s := unitArc(float64(i)*math.Pi/2, math.Pi/2)
		out = append(out, Segment{Kind: Curve, C1: m.apply(s.C1), C2: m.apply(s.C2), To: m.apply(s.To)})
	}
	return append(out, Segment{Kind: Close})
}

// rectangle returns a rectangle with corners rounded by rx and ry.
func rectangle(x, y, w, h, rx, ry float64) []Segment {
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx <= 0 || ry <= 0 {
		return []Segment{{Kind: Move, To: Point{x, y}}, {Kind: Line, To: Point{x + w, y}},
			{Kind: Line, To: Point{x + w, y + h}}, {Kind: Line, To: Point{x, y + h}}, {Kind: Close}}
	}
	out := []Segment{{Kind: Move, To: Point{x + rx, y}}}
	for i, corner := range [4]Point{{x + w - rx, y + ry}, {x + w - rx, y + h - ry}, {x + rx, y + h - ry}, {x + rx, y + ry}} {
		m := matrix{rx, 0, 0, ry, corner.X, corner.Y}
		angle := float64(i-1) * math.Pi / 2
		s := unitArc(angle, math.Pi/2)
		sin, cos := math.Sincos(angle)
		out = append(out, Segment{Kind: Line, To: m.apply(Point{cos, sin})},
			Segment{Kind: Curve, C1: m.apply(s.C1), C2: m.apply(s.C2), To: m.apply(s.To)})
	}
	return append(out, Segment{Kind: Close})
}

// polygon joins points by lines.
func polygon(numbers []float64, closed bool) []Segment {
	var out []Segment
	for i := 0; i+1 < len(numbers); i += 2 {
		kind := Line
		if i == 0 {
			kind = Move
		}
		out = append(out, Segment{Kind: kind, To: Point{numbers[i], numbers[i+1]}})
	}
	if closed && len(out) > 0 {
		out = append(out, Segment{Kind: Close})
	}
	return out
}
