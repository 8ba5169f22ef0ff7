// Package emblem makes a studio's logo ready for paper, whatever file it came
// in, and refuses with a remedy what paper could not show.
//
// # Pixels
//
// A PNG or JPEG is decoded here and encoded afresh, since PDFs hold neither
// interlaced nor 16-bit PNGs, show the inks of some JPEGs inverted and know
// nothing of the way a camera was held. Empty edges are cut off, what is finer
// than print shows is scaled down, and notes inside the file, which may hold
// the place a photograph was taken, do not reach the client. A plain JPEG keeps
// its own pixels.
//
// # Drawings
//
// An SVG becomes the paths that it fills and strokes, so that it prints as
// sharp as type. Understood is what drawing programs write for a logo: groups,
// transforms, all basic shapes and paths, plain colours with opacity, dashes,
// class and inline styles, reuse of parts, clipping. The opacity of a group is
// that of each of its shapes. Text (which needs a font that is not here),
// gradients, patterns, filters, masks and pictures inside the drawing are
// refused with what to do about it: a logo must not come out different from
// what its studio sees.
//
// Nothing is ever fetched, and no script is run: a drawing with a script, or
// with an address outside itself, is refused. What a drawing may repeat by
// reuse is bounded, as is all else.
package emblem
