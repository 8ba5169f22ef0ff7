package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/templates/plot"
)

// pngScale is how many pixels a unit of a plot has: sharp on a phone.
const pngScale = 2

// writePlot writes a plot as what its file's name ends in.
func writePlot(path string, f plot.Figure) error {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".svg":
		return writeFile(path, f.SVG)
	case ".png":
		return writeFile(path, func(w io.Writer) error { return f.PNG(w, pngScale) })
	}
	return fmt.Errorf("%s: a plot is written as .svg or .png; name the file so", path)
}

// length is where exact figures become lengths on a canvas.
func length(n exact.Number) float64 {
	f, _ := n.Rat().Float64()
	return f
}

func tornado(name, by string, list []pricing.Exposure) plot.Figure {
	var swings []plot.Swing
	for _, e := range list {
		if e.HasSwing {
			points := e.Swing.Mul(exact.Int(100)).Fixed(2)
			swings = append(swings, plot.Swing{Name: e.Name, By: length(e.Swing), Down: "−" + points, Up: "+" + points})
		}
	}
	return plot.Tornado(name, fmt.Sprintf("percentage points of margin when a price moves by %s: dearer to the left, cheaper to the right", by), "margin today", swings)
}

func impactPlot(r impactResult) plot.Figure {
	floor := r.x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	var pairs []plot.Pair
	for _, im := range pricing.Ranked(r.cakes) {
		if !im.HasMargin {
			continue
		}
		cake, _ := r.x.Cake(im.Cake)
		pairs = append(pairs, plot.Pair{
			Name: cake.Name, Before: length(im.MarginWas), After: length(im.MarginIs), Alarm: im.BelowFloor,
			Text: percent(im.MarginWas) + " → " + percent(im.MarginIs),
		})
	}
	return plot.Pairs(strings.Join(r.labels, ", "), "margin before (pale) and after, the greatest loss first", length(floor), "floor "+percent(floor), pairs)
}
