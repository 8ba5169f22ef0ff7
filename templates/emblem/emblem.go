package emblem

import (
	"errors"

	"marchpane/pricing/book"
)

// Logo is a picture ready to be placed: a bitmap, or else paths.
type Logo struct {
	Width, Height float64 // in units of its own: pixels, or those of the drawing
	Bitmap        []byte  // a file that a PDF can hold
	Format        Format  // of the bitmap
	Paths         []Path  // from the back to the front
}

// Format is the form of a bitmap.
type Format string

// The formats.
const (
	PNG  Format = "PNG"
	JPEG Format = "JPEG"
)

// Point is a place in a drawing, to the right and down from its upper left
// corner.
type Point struct{ X, Y float64 }

// Segment is a step of an outline.
type Segment struct {
	Kind SegmentKind
	To   Point
	C1   Point // control points of a curve
	C2   Point
}

// SegmentKind is what a segment does.
type SegmentKind byte

// The kinds of segment.
const (
	Move  SegmentKind = 'M'
	Line  SegmentKind = 'L'
	Curve SegmentKind = 'C' // cubic
	Close SegmentKind = 'Z' // back to the last move
)

// Outline is an area, or a line where it is stroked.
type Outline struct {
	Segments []Segment
	EvenOdd  bool // which inside counts
}

// Path is an outline with its inks.
type Path struct {
	Outline
	Fill   Ink
	Stroke Ink
	Pen    Pen
	Clips  []Outline // only what is inside all of them shows
}

// Ink is a plain colour. The zero Ink leaves no trace.
type Ink struct {
	R, G, B uint8
	Opacity float64
}

// Seen reports whether the ink leaves a trace.
func (i Ink) Seen() bool { return i.Opacity > 0 }

// Pen is what a stroke is drawn with.
type Pen struct {
	Width  float64
	Cap    int // 0 butt, 1 round, 2 square, as PDF counts them
	Join   int // 0 mitre, 1 round, 2 bevel
	Miter  float64
	Dashes []float64
	Offset float64
}

// errNothing refuses a picture that would leave an empty place.
var errNothing = errors.New("shows nothing: all of it is transparent or outside its own edges; save it afresh")

// Read makes a logo of a picture. A bitmap finer than width × height pixels is
// scaled down to fit. The error says what is wrong with the picture and what to
// do about it.
func Read(p book.Picture, width, height int) (Logo, error) {
	if p.Kind() == book.SVG {
		if err := p.Check(); err != nil {
			return Logo{}, err
		}
		return readDrawing(p.Bytes())
	}
	return readBitmap(p, width, height)
}

// Check refuses a picture that [Read] could not make a logo of.
func Check(p book.Picture) error {
	_, err := Read(p, 64, 64)
	return err
}
