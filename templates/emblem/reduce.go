package emblem

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"

	"golang.org/x/image/draw"

	"marchpane/pricing/book"
)

// Bounds of a file that is reduced: what a camera or a printer's artwork has.
const (
	mostPixels = 50_000_000 // 400 MB while it is read, once
	mostScans  = 100
	across     = 1600 // pixels of the reduced picture
	down       = 1000
)

// Reduce makes a picture for a book of a file that may be finer or longer than a
// book takes, and reports the size that it came down to; 0 × 0 where it was left
// as it is. A drawing is never changed.
func Reduce(file []byte) (p book.Picture, width, height int, err error) {
	if p, err = book.NewPicture(file); err != nil {
		return p, 0, 0, err
	}
	if p.Check() == nil || p.Kind() == book.SVG {
		return p, 0, 0, Check(p)
	}
	config, decode := png.DecodeConfig, png.Decode
	if p.Kind() == book.JPEG {
		config, decode = jpeg.DecodeConfig, jpeg.Decode
	}
	size, err := config(bytes.NewReader(file))
	if err != nil || size.Width > mostPixels || size.Height > mostPixels || p.Kind() == book.JPEG && bytes.Count(file, []byte("\xff\xda")) > mostScans {
		return p, 0, 0, p.Check()
	}
	if size.Width*size.Height > mostPixels {
		return p, 0, 0, fmt.Errorf("is %d × %d pixels; save it smaller: %d across are plenty for print", size.Width, size.Height, across)
	}
	pixels, err := decode(bytes.NewReader(file))
	if err != nil {
		return p, 0, 0, fmt.Errorf("is cut short or damaged (%w); open it in a picture program and save it afresh", err)
	}
	turn := 1
	if p.Kind() == book.JPEG {
		turn = orientation(file)
	}
	pixels, visible := opaquePart(pixels)
	if visible.Empty() {
		return p, 0, 0, errNothing
	}
	for k := min(1, float64(across)/float64(visible.Dx()), float64(down)/float64(visible.Dy())); ; k *= 0.75 {
		w, h := int(math.Round(k*float64(visible.Dx()))), int(math.Round(k*float64(visible.Dy())))
		if w < 1 || h < 1 || w*h < 10_000 {
			return p, 0, 0, errors.New("is too intricate to be made smaller; save it as a PNG or JPEG of 1600 pixels across")
		}
		out := image.NewRGBA(image.Rect(0, 0, w, h))
		draw.CatmullRom.Scale(out, out.Bounds(), pixels, visible, draw.Src, nil)
		out = upright(out, turn)
		data, err := encode(out, p.Kind())
		if err != nil {
			return p, 0, 0, err
		}
		if len(data) <= book.MaxPictureBytes {
			p, err = book.NewPicture(data)
			return p, out.Rect.Dx(), out.Rect.Dy(), err
		}
	}
}

// encode writes a picture in the kind that it came in.
func encode(m image.Image, kind book.PictureKind) ([]byte, error) {
	var file bytes.Buffer
	var err error
	if kind == book.JPEG {
		err = jpeg.Encode(&file, m, &jpeg.Options{Quality: 92})
	} else {
		err = png.Encode(&file, m)
	}
	return file.Bytes(), err
}
