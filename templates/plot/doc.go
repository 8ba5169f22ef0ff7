// Package plot draws the studio's charts: how a price moved, what a change does
// to margins, which prices matter most.
//
// A chart is worked out once, as a [Figure] of lines, bars and words on a
// canvas, and written as SVG for a page or as PNG for anything else. Series are
// told apart by dashes as well as by colour, and every value that matters
// stands beside its mark, so that a chart can be read without colour.
//
// Coordinates are floats: this is the drawing edge, where exact figures have
// been printed already. What a label says comes ready as text.
package plot
