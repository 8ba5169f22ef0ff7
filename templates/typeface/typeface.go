// Package typeface holds the typefaces that papers and plots are set in, with
// their licences beside them in fonts/.
package typeface

import _ "embed" // the faces

//go:embed fonts/EBGaramond-Medium.ttf
var garamond []byte

//go:embed fonts/SourceSans3-Regular.ttf
var sourceSans []byte

//go:embed fonts/DejaVuSansCondensed.ttf
var dejaVu []byte

// Garamond is a serif for headings and names, EB Garamond Medium. The bytes of
// a face are shared: clone them for a library that writes to them.
func Garamond() []byte { return garamond }

// SourceSans is a sans for text and figures, Source Sans 3 Regular.
func SourceSans() []byte { return sourceSans }

// Wide is a face of wide coverage that steps in for what the others lack,
// DejaVu Sans Condensed.
func Wide() []byte { return dejaVu }
