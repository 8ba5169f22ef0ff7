package plot

import (
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// mostPixels bounds a picture: 64 million take 256 MB.
const mostPixels = 64e6

// PNG writes the figure as a PNG image on white, scale pixels to a unit. It
// fails where that makes no picture: none of a pixel, or more than 64 million.
func (f Figure) PNG(w io.Writer, scale float64) error {
	width, height := math.Ceil(f.Width*scale), math.Ceil(f.Height*scale)
	if !(width >= 1 && height >= 1 && width*height <= mostPixels) {
		return fmt.Errorf("chart %q: a scale of %g makes no picture of 1 to 64 million pixels; choose one nearer 1", f.Title, scale)
	}
	img := image.NewRGBA(image.Rect(0, 0, int(width), int(height)))
	p := painter{img, scale}
	draw.Draw(img, img.Bounds(), image.NewUniform(shades[paper].light.rgba()), image.Point{}, draw.Src)
	for _, m := range f.marks {
		p.mark(m)
	}
	return png.Encode(w, img)
}

type painter struct {
	img   *image.RGBA
	scale float64
}

func (p painter) mark(m mark) {
	switch m.kind {
	case line:
		longer := m.width / 2 // strokes meet in corners
		if len(m.dash) > 0 {
			longer = 0 // gaps stay open
		}
		for _, s := range strokes(m.points, m.dash) {
			p.fill(m.tone, polygon(ribbon(s[0], s[1], m.width, longer)))
		}
	case area:
		p.fill(m.tone, polygon(m.points))
	case dot:
		p.fill(m.tone, polygon(m.outline()))
	case words:
		p.letters(m)
	}
}

// stroke is a piece of an outline: to a point, by up to two control points.
type stroke struct {
	op     sfnt.SegmentOp
	points [3]point
}

func polygon(points []point) []stroke {
	list := make([]stroke, len(points))
	for i, at := range points {
		list[i] = stroke{sfnt.SegmentOpLineTo, [3]point{at}}
	}
	if len(list) > 0 {
		list[0].op = sfnt.SegmentOpMoveTo
	}
	return list
}

// fill fills an outline, on the part of the picture that it covers.
func (p painter) fill(t tone, outline []stroke) {
	low, high := point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, s := range outline {
		for _, at := range s.points[:reach(s.op)] {
			low = point{min(low.x, at.x), min(low.y, at.y)}
			high = point{max(high.x, at.x), max(high.y, at.y)}
		}
	}
	box := image.Rect(int(math.Floor(low.x*p.scale)), int(math.Floor(low.y*p.scale)), int(math.Ceil(high.x*p.scale)), int(math.Ceil(high.y*p.scale)))
	if box = box.Intersect(p.img.Bounds()); box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	on := func(at point) (x, y float32) {
		return float32(at.x*p.scale - float64(box.Min.X)), float32(at.y*p.scale - float64(box.Min.Y))
	}
	for _, s := range outline {
		ax, ay := on(s.points[0])
		bx, by := on(s.points[1])
		cx, cy := on(s.points[2])
		switch s.op {
		case sfnt.SegmentOpMoveTo:
			r.ClosePath()
			r.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			r.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			r.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			r.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	r.ClosePath()
	r.Draw(p.img, box, image.NewUniform(shades[t].light.rgba()), image.Point{})
}

// reach returns how many points a piece of an outline has.
func reach(op sfnt.SegmentOp) int {
	switch op {
	case sfnt.SegmentOpQuadTo:
		return 2
	case sfnt.SegmentOpCubeTo:
		return 3
	}
	return 1
}

// letters fills the outlines of the glyphs of words.
func (p painter) letters(m mark) {
	var buf sfnt.Buffer
	list, width := letters(m.words)
	for _, l := range list {
		em := fixed.Int26_6(l.face.UnitsPerEm()) << 6
		segments, err := l.face.LoadGlyph(&buf, l.glyph, em, nil)
		if err != nil {
			continue // nothing drawn, as for a space
		}
		origin := point{m.left(width*m.size) + l.x*m.size, m.points[0].y}
		outline := make([]stroke, 0, len(segments))
		for _, s := range segments {
			piece := stroke{op: s.Op}
			for i, at := range s.Args {
				piece.points[i] = point{origin.x + float64(at.X)/float64(em)*m.size, origin.y + float64(at.Y)/float64(em)*m.size}
			}
			outline = append(outline, piece)
		}
		p.fill(m.tone, outline)
	}
}

// ribbon returns the corners of a stroke from a to b, longer by so much at both
// ends.
func ribbon(a, b point, width, longer float64) []point {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	if length == 0 {
		return nil
	}
	ux, uy := (b.x-a.x)/length, (b.y-a.y)/length
	a, b = point{a.x - ux*longer, a.y - uy*longer}, point{b.x + ux*longer, b.y + uy*longer}
	sx, sy := -uy*width/2, ux*width/2 // to the side
	return []point{{a.x + sx, a.y + sy}, {b.x + sx, b.y + sy}, {b.x - sx, b.y - sy}, {a.x - sx, a.y - sy}}
}

// strokes cuts a line into the pieces of it that are drawn.
func strokes(points []point, dash []float64) (pieces [][2]point) {
	on, left, k := true, math.Inf(1), 0
	if len(dash) > 0 {
		left = dash[0]
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		length := math.Hypot(b.x-a.x, b.y-a.y)
		for done := 0.0; done < length; {
			step := min(left, length-done)
			if on {
				at := func(d float64) point { return point{a.x + (b.x-a.x)*d/length, a.y + (b.y-a.y)*d/length} }
				pieces = append(pieces, [2]point{at(done), at(done + step)})
			}
			done += step
			if left -= step; left <= 0 {
				k = (k + 1) % len(dash)
				on, left = !on, dash[k]
			}
		}
	}
	return pieces
}
