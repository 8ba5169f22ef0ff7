package plot

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// PNG writes the figure as a PNG image, scale pixels to a unit.
func (f Figure) PNG(w io.Writer, scale float64) error {
	img := image.NewRGBA(image.Rect(0, 0, int(math.Ceil(f.Width*scale)), int(math.Ceil(f.Height*scale))))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	p := painter{img, scale}
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
		for _, s := range dashes(m.points, m.dash) {
			p.segment(m.tone, s[0], s[1], m.width)
		}
	case bar:
		a, size := m.points[0], m.points[1]
		p.fill(m.tone, a, point{a.x + size.x, a.y}, point{a.x + size.x, a.y + size.y}, point{a.x, a.y + size.y})
	case dot:
		var round []point
		for i := range 32 {
			angle := float64(i) / 32 * 2 * math.Pi
			round = append(round, point{m.points[0].x + m.width*math.Cos(angle), m.points[0].y + m.width*math.Sin(angle)})
		}
		p.fill(m.tone, round...)
	case words:
		p.words(m)
	}
}

func (p painter) fill(t tone, points ...point) {
	size := p.img.Bounds().Size()
	r := vector.NewRasterizer(size.X, size.Y)
	for i, at := range points {
		x, y := float32(at.x*p.scale), float32(at.y*p.scale)
		if i == 0 {
			r.MoveTo(x, y)
			continue
		}
		r.LineTo(x, y)
	}
	r.ClosePath()
	r.Draw(p.img, p.img.Bounds(), image.NewUniform(t.rgba()), image.Point{})
}

// segment fills a stroke from a to b, half its width longer at both ends so
// that strokes meet in corners.
func (p painter) segment(t tone, a, b point, width float64) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	if length == 0 {
		return
	}
	ux, uy := (b.x-a.x)/length*width/2, (b.y-a.y)/length*width/2
	p.fill(t, point{a.x - ux - uy, a.y - uy + ux}, point{b.x + ux - uy, b.y + uy + ux}, point{b.x + ux + uy, b.y + uy - ux}, point{a.x - ux + uy, a.y - uy - ux})
}

// dashes cuts a line into the strokes that are drawn.
func dashes(points []point, dash []float64) (strokes [][2]point) {
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
				strokes = append(strokes, [2]point{at(done), at(done + step)})
			}
			done += step
			if left -= step; left <= 0 {
				k = (k + 1) % len(dash)
				on, left = !on, dash[k]
			}
		}
	}
	return strokes
}

func (p painter) words(m mark) {
	f := face(m.size * p.scale)
	measure.Lock()
	defer measure.Unlock()
	x := fixed.Int26_6(m.points[0].x * p.scale * 64)
	switch width := font.MeasureString(f, m.text); m.anchor {
	case middle:
		x -= width / 2
	case end:
		x -= width
	}
	d := font.Drawer{Dst: p.img, Src: image.NewUniform(m.tone.rgba()), Face: f, Dot: fixed.Point26_6{X: x, Y: fixed.Int26_6(m.points[0].y * p.scale * 64)}}
	d.DrawString(m.text)
}

func (t tone) rgba() color.RGBA { return color.RGBA{t[0], t[1], t[2], 255} }
