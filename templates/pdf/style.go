package pdf

import (
	"marchpane/pricing/book"
	"marchpane/templates/document"
)

// colour is a colour by what it is for.
type colour int

// The colours: warm ink on white paper, one accent, and tints.
const (
	ink colour = iota
	quiet
	accent
	rule
	cream
	ghost // the mark on a draft
	cakeCoat
	cakeShade
	cakeHalf
	cakeBoard
	cakeDummy
)

// rgb is a colour as it prints.
type rgb struct{ r, g, b int }

// palette gives every colour its look.
type palette [cakeDummy + 1]rgb

// house is the palette of a studio that has not chosen an accent.
var house = palette{
	ink: {47, 42, 43}, quiet: {112, 101, 94}, accent: {106, 63, 82}, rule: {217, 206, 196}, cream: {250, 246, 241}, ghost: {240, 229, 226},
	cakeCoat: {252, 248, 243}, cakeShade: {243, 234, 224}, cakeHalf: {248, 241, 233}, cakeBoard: {229, 219, 207}, cakeDummy: {203, 190, 176},
}

// paletteOf returns the palette of an accent, #rrggbb: hairlines, grounds and
// the mark of a draft are tints of it. Cakes keep the colours of cake.
func paletteOf(hex string) palette {
	if hex == "" {
		return house
	}
	r, g, b := book.Accent(hex).RGB()
	p := house
	p[accent] = rgb{r, g, b}
	p[rule], p[cream], p[ghost] = p[accent].tint(28), p[accent].tint(6), p[accent].tint(13)
	return p
}

// tint returns c as thin as percent of it on white.
func (c rgb) tint(percent int) rgb {
	thin := func(v int) int { return 255 - (255-v)*percent/100 }
	return rgb{thin(c.r), thin(c.g), thin(c.b)}
}

// tones gives the tones of a picture their colours.
var tones = map[document.Tone]colour{
	document.InkTone:   ink,
	document.QuietTone: quiet,
	document.CakeTone:  cakeCoat,
	document.ShadeTone: cakeShade,
	document.HalfTone:  cakeHalf,
	document.BoardTone: cakeBoard,
	document.KeptTone:  accent,
	document.DummyTone: cakeDummy,
}

// The styles of the paper.
var (
	studioName = style{face: serif, size: 27, ink: accent, leading: 1.2}
	contact    = style{face: sans, size: 8.5, ink: quiet, spacing: 20, leading: 1.45}
	paperName  = style{face: serif, size: 21, ink: ink, leading: 1.2}
	eyebrow    = style{face: sans, size: 7, ink: accent, spacing: 120, leading: 1.5}
	clientName = style{face: serif, size: 16, ink: ink, leading: 1.25}
	heading    = style{face: serif, size: 15.5, ink: accent, leading: 1.25}
	cakeName   = style{face: serif, size: 17, ink: ink, leading: 1.3}
	name       = style{face: serif, size: 11.5, ink: ink, leading: 1.35}
	body       = style{face: sans, size: 9.5, ink: ink, leading: 1.42}
	bodyQuiet  = style{face: sans, size: 9.5, ink: quiet, leading: 1.42}
	small      = style{face: sans, size: 8.5, ink: quiet, leading: 1.42}
	smallInk   = style{face: sans, size: 8.5, ink: ink, leading: 1.42}
	figure     = style{face: sans, size: 9.5, ink: ink, leading: 1.42}
	total      = style{face: serif, size: 16, ink: accent, leading: 1.25}
	footer     = style{face: sans, size: 7.5, ink: quiet, leading: 1.4}
)
