// Package plot draws the studio's charts: how a price moved ([Steps]), what a
// change does to margins ([Pairs]), which prices matter most ([Tornado]),
// within what bounds a cost may lie on days ahead ([Band]), how one margin became
// another ([Bridge]), and what months brought side by side ([Columns]).
//
// A chart is worked out once, as a [Figure] of lines, areas, dots and words on
// a canvas, and written as SVG for a page or as PNG for anything else. Series
// are told apart by dashes and by the shapes of their marks as well as by
// colour, and every value that matters stands beside its mark, so that a chart
// can be read without colour.
//
// # Words
//
// What a label says comes ready as text; only the round values of an axis and
// the months along its foot are written here: the months as 2026-10, the values
// as the [Scale] says, else as 1 234.5. Words are
// cut with … where there is no room, and moved apart where they would meet. PNG
// is set in the faces of package typeface. SVG is set in what the reader's
// machine has, so room is measured for the widest face likely there.
//
// # Colour
//
// SVG follows the reader's choice of a light or a dark screen. A page may set
// any colour by a variable, such as --plot-ink or --plot-paper; where styles
// are forbidden or not understood, the colours of the light theme stand. PNG is
// always light.
//
// Coordinates are floats: this is the drawing edge, where exact figures have
// been printed already.
package plot
