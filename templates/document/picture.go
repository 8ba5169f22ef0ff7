package document

// Picture is a drawing in millimetres of paper, x to the right and y down from
// its upper left corner. The zero Picture has nothing to show.
type Picture struct {
	Width, Height float64
	Alt           string // what it shows, for those who cannot see it
	Shapes        []Shape
}

// Empty reports whether there is nothing to show.
func (p Picture) Empty() bool { return len(p.Shapes) == 0 }

// Shape is a [Path] or a [Label].
type Shape interface{ shape() }

// Point is a place in a picture, in mm.
type Point struct{ X, Y float64 }

// Tone names what a colour is for; each back end has its own palette. The
// empty Tone draws nothing.
type Tone string

// The tones.
const (
	InkTone   Tone = "ink"   // outlines and figures
	QuietTone Tone = "quiet" // dimension lines
	CakeTone  Tone = "cake"  // the coat of a tier
	ShadeTone Tone = "shade" // its side away from the light
	HalfTone  Tone = "half"  // between the two
	BoardTone Tone = "board"
	KeptTone  Tone = "kept"  // what is saved for later
	DummyTone Tone = "dummy" // what cannot be eaten
)

// Path is a line or an area.
type Path struct {
	Start    Point
	Segments []Segment
	Closed   bool
	Fill     Tone
	Stroke   Tone
	Weight   float64 // of the stroke, mm
	Dashed   bool
}

// Segment leads on to To: straight, or as a cubic curve where Curved.
type Segment struct {
	To            Point
	Curved        bool
	First, Second Point // control points of a curve
}

// Anchor is the point of a text that its place fixes.
type Anchor string

// The anchors, all on the base line.
const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Label is a line of text.
type Label struct {
	At     Point
	Text   string
	Size   float64 // pt
	Anchor Anchor
	Tone   Tone
}

func (Path) shape()  {}
func (Label) shape() {}
