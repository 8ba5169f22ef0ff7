package sheet

import (
	"github.com/xuri/excelize/v2"
)

// The palette: warm ink on white, one accent, tints of cream; and for cells
// that are the user's to change a pale yellow with blue figures.
const (
	ink       = "2F2A2B"
	quiet     = "70655E"
	accent    = "6A3F52"
	rule      = "D9CEC4"
	faint     = "EBE4DC"
	cream     = "FAF6F1"
	inputFill = "FFF7DC"
	inputEdge = "E2CF97"
	inputInk  = "24477A"
	goodInk   = "2F6B4A"
	badInk    = "A3352B"
)

// font is on every machine that has a spreadsheet program, itself or in an
// equal of its widths.
const font = "Calibri"

// kind is what a cell is for, which says how it looks.
type kind int

const (
	titleCell   kind = iota
	noteCell         // quiet words, cut off nowhere
	wrapCell         // quiet words in a table, on as many lines as they take
	sectionCell      // heads a block
	headCell         // heads a column of words
	headNumber       // heads a column of figures
	labelCell        // words in a table
	figureCell       // a figure in a table
	inputCell        // a figure that is the user's to change
	totalLabel
	totalCell
	keyLabel // the figures that matter most
	keyCell
)

// look is everything that tells one style from another.
type look struct {
	kind   kind
	format string // number format; "" for words
	inset  bool   // words after figures, which stand right: a little away from them
}

// style returns the style of a look, made once.
func (w *workbook) style(l look) int {
	if id, ok := w.styles[l]; ok {
		return id
	}
	s := l.style()
	id, err := w.file.NewStyle(&s)
	w.check(err)
	w.styles[l], w.looks[id] = id, l
	return id
}

// wraps reports whether words go on to another line in their cell.
func (l look) wraps() bool {
	return l.format == "" && (l.kind == wrapCell || l.kind == labelCell)
}

// insets reports whether words of this look keep away from figures before them.
func (l look) insets() bool {
	return l.format == "" && (l.kind == wrapCell || l.kind == labelCell || l.kind == headCell || l.kind == noteCell || l.kind == totalLabel)
}

// letter is how wide a letter is on the average, in the digits that column
// widths count.
func (l look) letter() float64 {
	if l.kind == wrapCell {
		return 0.82
	}
	return 0.87
}

func (l look) style() excelize.Style {
	s := excelize.Style{
		Font:      &excelize.Font{Family: font, Size: 10, Color: ink},
		Alignment: &excelize.Alignment{Vertical: "center"},
	}
	if l.format != "" {
		s.CustomNumFmt = &l.format
		s.Alignment.Horizontal = "right"
	}
	if l.inset {
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1
	}
	switch l.kind {
	case titleCell:
		s.Font.Size, s.Font.Bold, s.Font.Color = 17, true, accent
	case noteCell:
		s.Font.Color = quiet
	case wrapCell:
		s.Font.Size, s.Font.Color = 9, quiet
		s.Alignment.WrapText = l.wraps()
		s.Border = lines(faint, "bottom")
	case sectionCell:
		s.Font.Size, s.Font.Bold, s.Font.Color = 12, true, accent
		s.Border = lines(accent, "bottom")
	case headCell, headNumber:
		s.Font.Size, s.Font.Bold, s.Font.Color = 9, true, quiet
		s.Alignment.WrapText = true
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{cream}}
		s.Border = lines(rule, "top", "bottom")
		if l.kind == headNumber {
			s.Alignment.Horizontal = "right"
		}
	case labelCell, figureCell:
		s.Border = lines(faint, "bottom")
		s.Alignment.WrapText = l.wraps()
	case inputCell:
		s.Font.Color = inputInk
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{inputFill}}
		s.Border = lines(inputEdge, "top", "bottom", "left", "right")
	case totalLabel, totalCell:
		s.Font.Bold = true
		s.Border = lines(ink, "top")
	case keyLabel, keyCell:
		s.Font.Bold, s.Font.Size = true, 11
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{cream}}
		s.Border = lines(rule, "top", "bottom")
	}
	return s
}

// lines returns thin borders of one colour.
func lines(colour string, sides ...string) []excelize.Border {
	borders := make([]excelize.Border, len(sides))
	for i, side := range sides {
		borders[i] = excelize.Border{Type: side, Color: colour, Style: 1}
	}
	return borders
}
