package plot

import (
	"fmt"
	"image/color"
	"strings"
)

// tone is a colour by its part in a chart.
type tone int

const (
	paper tone = iota
	ink
	quiet
	rule
	accent
	good
	bad
	before
	inner // the narrow band
	outer // the wide band
	firstSeries
)

// seriesTones is how many colours series take in turn.
const seriesTones = 6

type shade struct{ r, g, b uint8 }

func (s shade) String() string   { return fmt.Sprintf("#%02x%02x%02x", s.r, s.g, s.b) }
func (s shade) rgba() color.RGBA { return color.RGBA{s.r, s.g, s.b, 255} }

// shades are the tones of the studio's papers on a light and on a dark screen.
// Series differ in lightness beside hue, for those who see few hues.
var shades = [...]struct {
	name        string // of the class, and of the variable that a page may set
	light, dark shade
}{
	paper:           {"paper", shade{255, 255, 255}, shade{32, 28, 29}},
	ink:             {"ink", shade{47, 42, 43}, shade{239, 231, 223}},
	quiet:           {"quiet", shade{112, 101, 94}, shade{184, 172, 163}},
	rule:            {"rule", shade{228, 220, 211}, shade{66, 58, 58}},
	accent:          {"accent", shade{106, 63, 82}, shade{220, 160, 186}},
	good:            {"good", shade{47, 107, 120}, shade{111, 183, 196}},
	bad:             {"bad", shade{163, 53, 43}, shade{240, 138, 124}},
	before:          {"before", shade{146, 132, 120}, shade{148, 136, 126}},
	inner:           {"inner", shade{203, 172, 187}, shade{104, 72, 88}},
	outer:           {"outer", shade{235, 222, 228}, shade{62, 48, 55}},
	firstSeries:     {"series-1", shade{106, 63, 82}, shade{220, 160, 186}},
	firstSeries + 1: {"series-2", shade{31, 118, 136}, shade{58, 152, 174}},
	firstSeries + 2: {"series-3", shade{184, 124, 24}, shade{232, 186, 92}},
	firstSeries + 3: {"series-4", shade{52, 66, 110}, shade{136, 152, 214}},
	firstSeries + 4: {"series-5", shade{200, 88, 62}, shade{244, 140, 116}},
	firstSeries + 5: {"series-6", shade{118, 142, 74}, shade{196, 216, 150}},
}

// stylesheet gives the tones their colours by class: a page's variable first,
// then the theme of the reader's screen.
func stylesheet() string {
	var light, dark strings.Builder
	for _, s := range shades {
		write := func(b *strings.Builder, value shade) {
			fmt.Fprintf(b, ".plot .f-%[1]s{fill:var(--plot-%[1]s,%[2]s)}.plot .s-%[1]s{stroke:var(--plot-%[1]s,%[2]s)}", s.name, value)
		}
		write(&light, s.light)
		write(&dark, s.dark)
	}
	return light.String() + "@media (prefers-color-scheme:dark){" + dark.String() + "}"
}

// look is how a series is drawn.
type look struct {
	tone  tone
	dash  []float64
	shape shape
}

var dashings = [seriesTones][]float64{nil, {7, 3}, {2, 3}, {10, 3, 2, 3}, {4, 2}, {14, 3}}

// lookOf returns the look of series i. Colours and dashes repeat after 6
// series, shapes after 5, so 30 series differ.
func lookOf(i int) look {
	return look{firstSeries + tone(i%seriesTones), dashings[i%seriesTones], shape(i % shapes)}
}
