package pdf

import "marchpane/templates/document"

type colour struct{ r, g, b int }

// The palette: warm ink on white paper, one accent, and tints of cream.
var (
	ink    = colour{47, 42, 43}
	quiet  = colour{112, 101, 94}
	accent = colour{106, 63, 82}
	rule   = colour{217, 206, 196}
	cream  = colour{250, 246, 241}
	ghost  = colour{240, 229, 226} // the mark on a draft
)

// tones gives the tones of a picture their colours.
var tones = map[document.Tone]colour{
	document.InkTone:   ink,
	document.QuietTone: quiet,
	document.CakeTone:  {252, 248, 243},
	document.ShadeTone: {243, 234, 224},
	document.HalfTone:  {248, 241, 233},
	document.BoardTone: {229, 219, 207},
	document.KeptTone:  accent,
	document.DummyTone: {203, 190, 176},
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
