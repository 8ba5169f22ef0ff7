package emblem

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
)

// Bounds of a drawing. Logos have some hundreds of elements.
const (
	maxElements = 20_000
	maxDepth    = 60
	maxSegments = 150_000
	maxDrawn    = 50_000 // elements, each as often as it is used
	maxRules    = 300
)

const svgSpace = "http://www.w3.org/2000/svg"

// element is a part of the drawing as it was written.
type element struct {
	name     string
	attrs    map[string]string
	children []*element
	text     string // of a style
}

// readDrawing makes a logo of an SVG.
func readDrawing(data []byte) (Logo, error) {
	root, err := readElements(data)
	if err != nil {
		return Logo{}, err
	}
	d := drawer{byID: map[string]*element{}}
	if err := d.collect(root); err != nil {
		return Logo{}, err
	}
	x, y, err := d.size(root)
	if err != nil {
		return Logo{}, err
	}
	if err := d.element(root, inherited(), matrix{1, 0, 0, 1, -x, -y}, nil, 0); err != nil {
		return Logo{}, err
	}
	if !d.showsSomething() {
		return Logo{}, errNothing
	}
	return Logo{Width: d.width, Height: d.height, Paths: d.paths}, nil
}

// readElements reads the elements of SVG; those of drawing programs' own spaces
// are left out.
func readElements(data []byte) (*element, error) {
	dec := xml.NewDecoder(bytes.NewReader(data))
	var stack []*element
	var root *element
	count := 0
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("is no SVG that can be read (%w); save it afresh as plain SVG", err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			if count++; count > maxElements || len(stack) > maxDepth {
				return nil, errors.New("is too intricate for a logo; simplify it, or save it as a PNG of 1600 pixels across")
			}
			if t.Name.Space != "" && t.Name.Space != svgSpace {
				if err := dec.Skip(); err != nil {
					return nil, fmt.Errorf("is no SVG that can be read (%w); save it afresh as plain SVG", err)
				}
				continue
			}
			e := &element{name: t.Name.Local, attrs: map[string]string{}}
			for _, a := range t.Attr {
				if a.Name.Space == "" || a.Name.Local == "href" {
					e.attrs[a.Name.Local] = strings.TrimSpace(a.Value)
				}
			}
			if err := e.harmless(); err != nil {
				return nil, err
			}
			if len(stack) > 0 {
				parent := stack[len(stack)-1]
				parent.children = append(parent.children, e)
			} else if root == nil {
				root = e
			}
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			if len(stack) > 0 && stack[len(stack)-1].name == "style" {
				stack[len(stack)-1].text += string(t)
			}
		}
	}
	if root == nil || root.name != "svg" {
		return nil, errors.New("is no SVG: its outermost element is not svg")
	}
	return root, nil
}

// harmless refuses scripts and whatever would be fetched.
func (e *element) harmless() error {
	if e.name == "image" {
		return errors.New("holds a picture inside the drawing; save the whole logo as a PNG")
	}
	if e.name == "script" || e.name == "foreignObject" {
		return fmt.Errorf("holds a %s, which no paper can run; remove it, or save the logo as a PNG", e.name)
	}
	for name, value := range e.attrs {
		if strings.HasPrefix(strings.ToLower(name), "on") {
			return fmt.Errorf("holds a script in %s; remove it, or save the logo as a PNG", name)
		}
		if name == "href" && e.name != "a" && !strings.HasPrefix(value, "#") {
			return fmt.Errorf("%s refers to %.40q outside the drawing; embed it, or save the logo as a PNG", e.name, value)
		}
	}
	return nil
}

// drawer turns elements into paths.
type drawer struct {
	byID          map[string]*element
	rules         []styleRule
	width, height float64
	paths         []Path
	segments      int
	drawn         int
}

// collect finds what has a name, and the style sheets.
func (d *drawer) collect(e *element) error {
	if id := e.attrs["id"]; id != "" && d.byID[id] == nil {
		d.byID[id] = e
	}
	if e.name == "style" {
		rules, err := readStyleSheet(e.text, len(d.rules))
		if err != nil {
			return err
		}
		d.rules = append(d.rules, rules...)
	}
	for _, c := range e.children {
		if err := d.collect(c); err != nil {
			return err
		}
	}
	return nil
}

// size reads the edges of the drawing and returns where they begin.
func (d *drawer) size(root *element) (x, y float64, err error) {
	if box := root.attrs["viewBox"]; box != "" {
		n, err := readNumbers(box)
		if err != nil || len(n) != 4 || n[2] <= 0 || n[3] <= 0 {
			return 0, 0, fmt.Errorf("has the viewBox %.40q, which is no place and size; save it afresh", box)
		}
		d.width, d.height = n[2], n[3]
		return n[0], n[1], nil
	}
	for _, key := range []string{"width", "height"} {
		v, err := d.length(root.attrs[key], 0)
		if err != nil || v <= 0 || strings.HasSuffix(root.attrs[key], "%") {
			return 0, 0, errors.New("does not say how large it is; give its svg element a viewBox, such as viewBox=\"0 0 400 120\"")
		}
		if key == "width" {
			d.width = v
		} else {
			d.height = v
		}
	}
	return 0, 0, nil
}

// unit is how many px each unit of CSS is (CSS Values 4, section 6.2).
var unit = map[string]float64{"": 1, "px": 1, "pt": 4.0 / 3, "pc": 16, "mm": 96 / 25.4, "cm": 96 / 2.54, "in": 96, "Q": 96 / 101.6}

// length reads a length; a percentage is of whole.
func (d *drawer) length(s string, whole float64) (float64, error) {
	if s == "" {
		return 0, nil
	}
	n := scanner{s: s}
	v, ok := n.number()
	rest := strings.TrimSpace(s[n.at:])
	if rest == "%" {
		return v / 100 * whole, nil
	}
	k, known := unit[rest]
	if !ok || !known {
		return 0, fmt.Errorf("has the length %.30q, which is not understood; use plain numbers or px", s)
	}
	return v * k, nil
}

// element draws e and what is in it. m leads to the drawing's own units.
func (d *drawer) element(e *element, outer style, m matrix, clips []Outline, depth int) error {
	if d.drawn++; d.drawn > maxDrawn {
		return errors.New("reuses its parts too often for a logo; simplify it, or save it as a PNG of 1600 pixels across")
	}
	if depth > 2*maxDepth {
		return errors.New("reuses a part inside itself; save it afresh as plain SVG")
	}
	st, err := d.style(e, outer)
	if err != nil {
		return err
	}
	if st.hidden {
		return nil
	}
	step, err := readTransform(e.attrs["transform"])
	if err != nil {
		return err
	}
	m = m.then(step)
	if st.clip != "" {
		clip, err := d.clip(st.clip, m)
		if err != nil {
			return err
		}
		clips = append(clips[:len(clips):len(clips)], clip)
	}
	switch e.name {
	case "svg", "g", "a", "switch", "symbol":
		if depth > 0 && (e.name == "svg" || e.name == "symbol" && e.attrs["viewBox"] != "") {
			return fmt.Errorf("holds a %s with a scale of its own; ungroup it, or save the logo as a PNG", e.name)
		}
		for _, c := range e.children {
			if c.name == "symbol" {
				continue // drawn where it is used
			}
			if err := d.element(c, st, m, clips, depth+1); err != nil {
				return err
			}
		}
		return nil
	case "use":
		return d.use(e, st, m, clips, depth)
	case "defs", "clipPath", "style", "title", "desc", "metadata", "linearGradient", "radialGradient", "pattern", "filter", "mask", "marker":
		return nil // seen only where something refers to it
	case "text", "tspan", "textPath":
		return errors.New("holds text, which prints only where its font is; turn text into paths in your drawing program, or save the logo as a PNG")
	}
	segments, err := d.outline(e)
	if err != nil {
		return err
	}
	return d.draw(segments, st, m, clips)
}

// use draws a part again.
func (d *drawer) use(e *element, st style, m matrix, clips []Outline, depth int) error {
	part := d.byID[strings.TrimPrefix(e.attrs["href"], "#")]
	if part == nil {
		return fmt.Errorf("reuses %.40q, which is not in it; save it afresh as plain SVG", e.attrs["href"])
	}
	x, err1 := d.length(e.attrs["x"], d.width)
	y, err2 := d.length(e.attrs["y"], d.height)
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	return d.element(part, st, m.then(matrix{1, 0, 0, 1, x, y}), clips, depth+1)
}

// outline returns the outline of a shape.
func (d *drawer) outline(e *element) ([]Segment, error) {
	var failed error
	get := func(key string, whole float64) float64 {
		v, err := d.length(e.attrs[key], whole)
		failed = errors.Join(failed, err)
		return v
	}
	diagonal := math.Hypot(d.width, d.height) / math.Sqrt2
	var out []Segment
	switch e.name {
	case "path":
		out, failed = readPath(e.attrs["d"])
	case "rect":
		w, h := get("width", d.width), get("height", d.height)
		rx, ry := get("rx", d.width), get("ry", d.height)
		if e.attrs["rx"] == "" {
			rx = ry
		}
		if e.attrs["ry"] == "" {
			ry = rx
		}
		if w > 0 && h > 0 {
			out = rectangle(get("x", d.width), get("y", d.height), w, h, rx, ry)
		}
	case "circle":
		if r := get("r", diagonal); r > 0 {
			out = ellipse(get("cx", d.width), get("cy", d.height), r, r)
		}
	case "ellipse":
		if rx, ry := get("rx", d.width), get("ry", d.height); rx > 0 && ry > 0 {
			out = ellipse(get("cx", d.width), get("cy", d.height), rx, ry)
		}
	case "line":
		out = polygon([]float64{get("x1", d.width), get("y1", d.height), get("x2", d.width), get("y2", d.height)}, false)
	case "polyline", "polygon":
		var n []float64
		n, failed = readNumbers(e.attrs["points"])
		out = polygon(n, e.name == "polygon")
	default:
		return nil, fmt.Errorf("holds a %.30q, which is not understood; use plain shapes and paths, or save the logo as a PNG", e.name)
	}
	return out, failed
}

// clip returns the area that a clipPath leaves.
func (d *drawer) clip(id string, m matrix) (Outline, error) {
	e := d.byID[id]
	if e == nil || e.name != "clipPath" || e.attrs["clipPathUnits"] == "objectBoundingBox" || e.attrs["clip-path"] != "" {
		return Outline{}, fmt.Errorf("is cut by %.40q in a way that is not understood; release the clipping, or save the logo as a PNG", id)
	}
	step, err := readTransform(e.attrs["transform"])
	if err != nil {
		return Outline{}, err
	}
	var area Outline
	for _, c := range e.children {
		if c.name == "title" || c.name == "desc" {
			continue
		}
		st, err := d.style(c, inherited())
		if err != nil {
			return Outline{}, err
		}
		inner, err := readTransform(c.attrs["transform"])
		if err != nil {
			return Outline{}, err
		}
		if c.name == "use" || st.clip != "" {
			return Outline{}, fmt.Errorf("is cut by %.40q in a way that is not understood; release the clipping, or save the logo as a PNG", id)
		}
		segments, err := d.outline(c)
		if err != nil {
			return Outline{}, err
		}
		segments, err = d.placed(segments, m.then(step).then(inner))
		if err != nil {
			return Outline{}, err
		}
		area.Segments = append(area.Segments, segments...)
		area.EvenOdd = st.clipEvenOdd
	}
	return area, nil
}

// draw adds a shape with the inks of its style.
func (d *drawer) draw(segments []Segment, st style, m matrix, clips []Outline) error {
	fill, stroke, err := st.inks()
	if err != nil {
		return err
	}
	p := Path{Fill: fill, Stroke: stroke, Clips: clips}
	if len(segments) < 2 || !p.Fill.Seen() && !p.Stroke.Seen() {
		return nil
	}
	if segments, err = d.placed(segments, m); err != nil {
		return err
	}
	p.Outline = Outline{segments, st.evenOdd}
	if p.Stroke.Seen() {
		k := m.scale()
		p.Pen = Pen{Width: st.pen.Width * k, Cap: st.pen.Cap, Join: st.pen.Join, Miter: st.pen.Miter, Offset: st.pen.Offset * k}
		for _, dash := range st.pen.Dashes {
			p.Pen.Dashes = append(p.Pen.Dashes, dash*k)
		}
		p.Pen.Dashes = visibleDashes(p.Pen.Dashes, math.Hypot(d.width, d.height))
	}
	d.paths = append(d.paths, p)
	return nil
}

// visibleDashes drops dashes too fine to be seen, which a reader of the paper
// would draw for minutes.
func visibleDashes(dashes []float64, diagonal float64) []float64 {
	sum := 0.0
	for _, v := range dashes {
		sum += v
	}
	if sum < diagonal/5000 || len(dashes) > 20 {
		return nil
	}
	return dashes
}

// placed returns segments in the drawing's own units, and counts them.
func (d *drawer) placed(segments []Segment, m matrix) ([]Segment, error) {
	if d.segments += len(segments); d.segments > maxSegments {
		return nil, errors.New("is too intricate for a logo; simplify it, or save it as a PNG of 1600 pixels across")
	}
	limit := 1000 * (d.width + d.height)
	out := make([]Segment, len(segments))
	for i, s := range segments {
		out[i] = Segment{s.Kind, m.apply(s.To), m.apply(s.C1), m.apply(s.C2)}
		for _, p := range [3]Point{out[i].To, out[i].C1, out[i].C2} {
			if !(math.Abs(p.X) <= limit && math.Abs(p.Y) <= limit) {
				return nil, errors.New("reaches far outside its own edges; crop it to its artwork and save it afresh")
			}
		}
	}
	return out, nil
}

// showsSomething reports whether a shape reaches into the edges.
func (d *drawer) showsSomething() bool {
	for _, p := range d.paths {
		least, most := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
		for _, s := range p.Segments {
			if s.Kind == Close {
				continue
			}
			points := []Point{s.To}
			if s.Kind == Curve {
				points = append(points, s.C1, s.C2)
			}
			for _, q := range points {
				least = Point{min(least.X, q.X), min(least.Y, q.Y)}
				most = Point{max(most.X, q.X), max(most.Y, q.Y)}
			}
		}
		if least.X <= d.width && least.Y <= d.height && most.X >= 0 && most.Y >= 0 {
			return true
		}
	}
	return false
}
