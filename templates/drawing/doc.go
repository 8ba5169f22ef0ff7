// Package drawing draws a cake to scale, seen from the front, as the vector
// shapes of [document.Picture]. One geometry serves every output: the PDF
// writes the shapes itself, [SVG] writes them for the web.
//
// # Width seen from the front
//
//	round      diameter
//	square     side
//	rectangle  length (the longer size)
//	hexagon    2 × side, corner to corner
//	heart      side × (1 + √2⁄2): the point turned to the viewer
//	measured   the longer side of the rectangle of that area and perimeter;
//	           where none has them, the diameter of the disc of that area
//
// The heart is a square of side s standing on a corner with a half circle of
// radius s⁄2 on each upper side. The centres of those sides lie s·√2⁄4 from the
// axis, so it reaches s·√2⁄4 + s⁄2 to each side.
//
// Coordinates are the one place where floating point is used: a tenth of a
// millimetre of paper decides nothing.
package drawing
