package drawing

import (
	"math"
	"strings"

	"marchpane/templates/document"
)

// Sizes of a lineup, in mm.
const (
	apart  = 4.0  // between cakes of one column, and between its shelves
	finest = 1e-3 // a scale below which nothing is left to see
)

// Lineup draws columns of cakes to compare, each column a picture of at most
// width × height mm, all at one scale: the largest at which each column fits.
// The cakes of a column stand side by side, those that find no room on a shelf
// below; a bar under them tells the scale. There are no dimensions: beside the
// drawings there is room to name them. Cakes that [Elevation] cannot draw are
// left out, and a column without others has an empty picture.
func Lineup(columns [][]document.Cake, width, height float64) []document.Picture {
	drawn := make([][]*elevation, len(columns))
	scale, found := math.Inf(1), false
	for i, cakes := range columns {
		for _, c := range cakes {
			if e := newElevation(c); e != nil {
				drawn[i] = append(drawn[i], e)
				scale = math.Min(scale, math.Min(width/e.boardWide(), height/e.tallest))
				found = true
			}
		}
	}
	pictures := make([]document.Picture, len(columns))
	if !found {
		return pictures
	}
	fits := func() bool {
		for _, cakes := range drawn {
			if stackedHeight(shelves(cakes, scale, width), scale) > height {
				return false
			}
		}
		return true
	}
	for !fits() && scale > finest {
		scale *= 0.98
	}
	bar := barFor(drawn, scale)
	for i, cakes := range drawn {
		if len(cakes) > 0 {
			pictures[i] = column(cakes, scale, width, bar)
		}
	}
	return pictures
}

// boardWide is the real width of the board that the cake stands on, in mm.
func (e *elevation) boardWide() float64 { return e.widest * (1 + 2*overhang) }

// shelves divides cakes, in their order, into rows that keep to width.
func shelves(cakes []*elevation, scale, width float64) (rows [][]*elevation) {
	used := 0.0
	for _, e := range cakes {
		wide := e.boardWide() * scale
		if len(rows) == 0 || used+apart+wide > width+1e-6 {
			rows = append(rows, nil)
			used = -apart
		}
		used += apart + wide
		rows[len(rows)-1] = append(rows[len(rows)-1], e)
	}
	return rows
}

// shelfHeight is what a row takes above its ground.
func shelfHeight(row []*elevation, scale float64) float64 {
	h := 0.0
	for _, e := range row {
		h = math.Max(h, e.tallest*scale)
	}
	return h
}

// stackedHeight is what rows take with the bar below them.
func stackedHeight(rows [][]*elevation, scale float64) float64 {
	h := footer
	for i, row := range rows {
		if h += shelfHeight(row, scale) + boardThick; i > 0 {
			h += apart
		}
	}
	return h
}

// column draws the cakes of a column in the middle of its width.
func column(cakes []*elevation, scale, width float64, bar scaleBar) document.Picture {
	rows := shelves(cakes, scale, width)
	p := document.Picture{Width: width, Height: stackedHeight(rows, scale)}
	y := 0.0
	var alts []string
	for i, row := range rows {
		if i > 0 {
			y += apart
		}
		y += shelfHeight(row, scale)
		wide := -apart
		for _, e := range row {
			wide += apart + e.boardWide()*scale
		}
		x := (width - wide) / 2
		for _, e := range row {
			e.stand(scale, x, y)
			e.drawBoard()
			for t := range e.tiers {
				e.drawTier(&e.tiers[t])
			}
			p.Shapes = append(p.Shapes, e.shapes...)
			x += e.board + apart
			alts = append(alts, e.alt())
		}
		y += boardThick
	}
	p.Shapes = append(p.Shapes, bar.draw((width-bar.width-1.5-textWidth(bar.text))/2, y+3.6)...)
	p.Alt = strings.Join(alts, ". ")
	return p
}

// barFor measures one bar for all columns, by the widest cake among them.
func barFor(drawn [][]*elevation, scale float64) scaleBar {
	var widest *elevation
	for _, cakes := range drawn {
		for _, e := range cakes {
			if widest == nil || e.widest > widest.widest {
				widest = e
			}
		}
	}
	return newScaleBar(widest.cake.Unit, widest.boardWide(), scale)
}
