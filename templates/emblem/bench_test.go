package emblem

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"
)

// BenchmarkRead is what a logo adds to a paper: one of 1600 × 500 pixels, which
// is decoded, scaled and encoded; and one drawn.
func BenchmarkRead(b *testing.B) {
	m := image.NewNRGBA(image.Rect(0, 0, 1600, 500))
	for y := range 500 {
		for x := range 1600 {
			if dx, dy := x-800, y-250; dx*dx/9+dy*dy < 60_000 {
				m.Set(x, y, color.NRGBA{106, 63, byte(x / 8), 255})
			}
		}
	}
	var file bytes.Buffer
	if err := png.Encode(&file, m); err != nil {
		b.Fatal(err)
	}
	for name, data := range map[string][]byte{"png": file.Bytes(), "svg": []byte(svg(`<g fill="#2f5d62"><path d="M50 10a40 40 0 1 1 0 80z"/><circle cx="20" cy="20" r="9"/></g>`))} {
		p := picture(b, data)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(p, 1134, 378); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
