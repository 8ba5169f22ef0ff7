package emblem

import (
	"bytes"
	"encoding/binary"
	"image"
	"math"

	"golang.org/x/image/draw"

	"marchpane/pricing/book"
)

func readBitmap(p book.Picture, width, height int) (Logo, error) {
	pixels, err := p.Image()
	if err != nil {
		return Logo{}, err
	}
	data := p.Bytes()
	turn := 1
	if p.Kind() == book.JPEG {
		turn = orientation(data)
	}
	pixels, visible := opaquePart(pixels)
	if visible.Empty() {
		return Logo{}, errNothing
	}
	size := visible.Size()
	if turn >= 5 { // lies on its side
		width, height = height, width
	}
	k := min(1, float64(width)/float64(size.X), float64(height)/float64(size.Y))
	if p.Kind() == book.JPEG && turn == 1 && k == 1 && plain(pixels) {
		return Logo{Width: float64(size.X), Height: float64(size.Y), Bitmap: withoutNotes(data), Format: JPEG}, nil
	}
	w, h := max(1, int(math.Round(k*float64(size.X)))), max(1, int(math.Round(k*float64(size.Y))))
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.CatmullRom.Scale(out, out.Bounds(), pixels, visible, draw.Src, nil)
	out = upright(out, turn)

	format := PNG
	if p.Kind() == book.JPEG {
		format = JPEG
	}
	file, err := encode(out, p.Kind())
	return Logo{Width: float64(out.Rect.Dx()), Height: float64(out.Rect.Dy()), Bitmap: file, Format: format}, err
}

// plain reports whether a JPEG's pixels are in a form that PDFs show as they
// are: grey, or brightness with two colour differences.
func plain(m image.Image) bool {
	switch m.(type) {
	case *image.Gray, *image.YCbCr:
		return true
	}
	return false
}

// opaquePart returns the smallest part that holds all pixels which show, along
// with the picture in a form that is quick to read.
func opaquePart(m image.Image) (image.Image, image.Rectangle) {
	all := m.Bounds()
	if o, ok := m.(interface{ Opaque() bool }); ok && o.Opaque() {
		return m, all
	}
	flat := image.NewRGBA(all)
	draw.Draw(flat, all, m, all.Min, draw.Src)
	part := image.Rectangle{}
	for y := all.Min.Y; y < all.Max.Y; y++ {
		row := flat.Pix[flat.PixOffset(all.Min.X, y):][:4*all.Dx()]
		first, last := -1, -1
		for x := 3; x < len(row); x += 4 {
			if row[x] > 0 {
				last = x / 4
				if first < 0 {
					first = last
				}
			}
		}
		if first >= 0 {
			part = part.Union(image.Rect(all.Min.X+first, y, all.Min.X+last+1, y+1))
		}
	}
	return flat, part
}

// upright turns a picture as its camera was held: the values of the TIFF tag
// Orientation (TIFF 6.0, page 36) tell where its first row and column belong.
func upright(m *image.RGBA, turn int) *image.RGBA {
	w, h := m.Rect.Dx(), m.Rect.Dy()
	if turn < 2 || turn > 8 {
		return m
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if turn >= 5 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			tx, ty := x, y
			switch turn {
			case 2: // first row on top, first column on the right
				tx = w - 1 - x
			case 3: // bottom, right
				tx, ty = w-1-x, h-1-y
			case 4: // bottom, left
				ty = h - 1 - y
			case 5: // first row on the left, first column on top
				tx, ty = y, x
			case 6: // right, top
				tx, ty = h-1-y, x
			case 7: // right, bottom
				tx, ty = h-1-y, w-1-x
			case 8: // left, bottom
				tx, ty = y, w-1-x
			}
			out.SetRGBA(tx, ty, m.RGBAAt(x, y))
		}
	}
	return out
}

// orientation returns the orientation that a JPEG's camera noted (Exif 2.3:
// a TIFF file in the segment APP1), 1 where it did not.
func orientation(data []byte) int {
	turn := 1
	segments(data, func(marker byte, body []byte) {
		tiff, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00"))
		if marker != 0xE1 || !ok || len(tiff) < 8 {
			return
		}
		var order binary.ByteOrder = binary.BigEndian
		if tiff[0] == 'I' {
			order = binary.LittleEndian
		}
		at := int64(order.Uint32(tiff[4:]))
		if at+2 > int64(len(tiff)) {
			return
		}
		entries := tiff[at+2:]
		for range order.Uint16(tiff[at:]) {
			if len(entries) < 12 {
				return
			}
			if order.Uint16(entries) == 0x0112 {
				if v := int(order.Uint16(entries[8:])); v >= 1 && v <= 8 {
					turn = v
				}
				return
			}
			entries = entries[12:]
		}
	})
	return turn
}

// withoutNotes returns a JPEG without the segments that say something of it but
// are no part of its picture. APP0 and APP14 tell how its colours are coded.
func withoutNotes(data []byte) []byte {
	out := append(make([]byte, 0, len(data)), data[:2]...)
	end := segments(data, func(marker byte, body []byte) {
		if note := marker >= 0xE1 && marker <= 0xEF && marker != 0xEE || marker == 0xFE; !note {
			out = append(out, 0xFF, marker, byte((len(body)+2)>>8), byte(len(body)+2))
			out = append(out, body...)
		}
	})
	return append(out, data[end:]...)
}

// segments calls see for every segment of a JPEG before its first scan, and
// returns where that begins.
func segments(data []byte, see func(marker byte, body []byte)) (end int) {
	at := 2
	for at+4 <= len(data) && data[at] == 0xFF {
		marker := data[at+1]
		if marker == 0xFF { // padding
			at++
			continue
		}
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		if marker == 0xDA || size < 2 || at+2+size > len(data) {
			break
		}
		see(marker, data[at+4:at+2+size])
		at += 2 + size
	}
	return at
}
