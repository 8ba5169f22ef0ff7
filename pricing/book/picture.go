package book

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"net/url"
	"slices"
	"strings"
)

// Picture is a picture inside a book file: a data URL (RFC 2397) there, its
// bytes here. The zero Picture is none.
type Picture struct {
	kind PictureKind
	data string
}

// PictureKind is the media type of a picture.
type PictureKind string

// The kinds of picture.
const (
	PNG  PictureKind = "image/png"
	JPEG PictureKind = "image/jpeg"
	SVG  PictureKind = "image/svg+xml"
)

// PictureKinds lists the kinds that a book may hold.
func PictureKinds() []PictureKind { return []PictureKind{PNG, JPEG, SVG} }

// Bounds of a picture. A logo stands some 70 mm wide at most: 1,600 pixels are
// more than print shows.
const (
	MaxPictureBytes  = 512 << 10
	maxPictureSide   = 4000      // pixels
	maxPicturePixels = 8_000_000 // 64 MB while it is read
	maxScans         = 100       // passes of a JPEG; programs write about ten
)

// NewPicture returns a picture of bytes as a file holds them, told apart by how
// they begin.
func NewPicture(data []byte) (Picture, error) {
	p := Picture{data: string(data)}
	switch start := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n"); {
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		p.kind = PNG
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		p.kind = JPEG
	case bytes.HasPrefix(start, []byte("<")):
		p.kind = SVG
	default:
		return Picture{}, errors.New("is no picture that a paper can show; use a PNG, JPEG or SVG file")
	}
	return p, nil
}

// RestorePicture returns a picture that was taken apart into its kind and bytes.
func RestorePicture(kind PictureKind, data []byte) Picture { return Picture{kind, string(data)} }

// Kind returns the media type.
func (p Picture) Kind() PictureKind { return p.kind }

// Bytes returns the picture as a file.
func (p Picture) Bytes() []byte { return []byte(p.data) }

// IsZero reports whether there is no picture.
func (p Picture) IsZero() bool { return p == Picture{} }

// Fingerprint returns the SHA-256 of the bytes in hexadecimal digits, "" of no
// picture: the same picture always has the same.
func (p Picture) Fingerprint() string {
	if p.IsZero() {
		return ""
	}
	sum := sha256.Sum256([]byte(p.data))
	return hex.EncodeToString(sum[:])
}

// String returns the data URL.
func (p Picture) String() string {
	return "data:" + string(p.kind) + ";base64," + base64.StdEncoding.EncodeToString([]byte(p.data))
}

// MarshalText writes the data URL.
func (p Picture) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// MaxText says how long a data URL may be: three letters for each byte.
func (Picture) MaxText() int { return 3*MaxPictureBytes + 200 }

// UnmarshalText reads a data URL, in base64 or with escapes.
func (p *Picture) UnmarshalText(text []byte) error {
	rest, isURL := strings.CutPrefix(string(text), "data:")
	head, body, hasBody := strings.Cut(rest, ",")
	if !isURL || !hasBody {
		return fmt.Errorf("%.20q is no data URL; write data:image/png;base64, and the picture in base64, or set it with: marchpane studio look --logo FILE", text)
	}
	words := strings.Split(head, ";")
	kind := PictureKind(strings.ToLower(strings.TrimSpace(words[0])))
	if !slices.Contains(PictureKinds(), kind) {
		return fmt.Errorf("the type %.40q is unknown; use one of %s", kind, joinWords(PictureKinds()))
	}
	data, err := url.PathUnescape(body)
	if err != nil {
		return errors.New("the data URL has a % that begins no escape; write the picture in base64")
	}
	if strings.EqualFold(strings.TrimSpace(words[len(words)-1]), "base64") {
		// Padding may be missing: RFC 2397 writers differ.
		plain, err := base64.RawStdEncoding.DecodeString(strings.TrimRight(strings.Join(strings.Fields(data), ""), "="))
		if err != nil {
			return errors.New("the data URL is not in base64; encode the picture afresh")
		}
		data = string(plain)
	}
	*p = Picture{kind, data}
	return nil
}

// Check refuses a picture that no paper could show.
func (p Picture) Check() error {
	switch {
	case len(p.data) == 0:
		return errors.New("is empty; leave it out, or name a picture")
	case len(p.data) > MaxPictureBytes:
		return fmt.Errorf("has %d KB; make it smaller: at most %d", len(p.data)>>10, MaxPictureBytes>>10)
	case p.kind == SVG:
		return p.checkDrawing()
	}
	_, err := p.Image()
	return err
}

// Image returns the pixels of a PNG or JPEG. It reads no more than the bounds
// allow, whatever the file says of itself.
func (p Picture) Image() (image.Image, error) {
	config, decode := png.DecodeConfig, png.Decode
	if p.kind == JPEG {
		config, decode = jpeg.DecodeConfig, jpeg.Decode
		// Each pass goes over the whole picture, and a few bytes make one.
		if strings.Count(p.data, "\xff\xda") > maxScans {
			return nil, errors.New("is built up in too many passes; save it afresh as a plain JPEG or as a PNG")
		}
	}
	size, err := config(strings.NewReader(p.data))
	if err != nil {
		return nil, p.unreadable(err)
	}
	if w, h := size.Width, size.Height; w > maxPictureSide || h > maxPictureSide || w*h > maxPicturePixels {
		return nil, fmt.Errorf("is %d × %d pixels; save it smaller: 1600 across are plenty for print, at most %d each way and %d million in all",
			w, h, maxPictureSide, maxPicturePixels/1_000_000)
	}
	pixels, err := decode(strings.NewReader(p.data))
	if err != nil {
		return nil, p.unreadable(err)
	}
	return pixels, nil
}

func (p Picture) unreadable(err error) error {
	name := strings.ToUpper(strings.TrimPrefix(string(p.kind), "image/"))
	return fmt.Errorf("is no %s that can be read, or is cut short (%w); open it in a picture program and save it afresh", name, err)
}

// checkDrawing refuses what is no SVG, and entities: a few lines of them can
// stand for gigabytes. Whether all of the drawing can be shown is for whoever
// draws it to say.
func (p Picture) checkDrawing() error {
	d := xml.NewDecoder(strings.NewReader(p.data))
	root := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && root {
			return nil
		}
		if err != nil {
			return fmt.Errorf("is no SVG that can be read (%w); save it afresh as plain SVG", err)
		}
		switch t := token.(type) {
		case xml.Directive:
			if bytes.Contains(t, []byte("[")) {
				return errors.New("declares entities in its DOCTYPE; save it afresh as plain SVG, without them")
			}
		case xml.StartElement:
			if !root && t.Name.Local != "svg" {
				return fmt.Errorf("is XML, but its outermost element is %.40q and not svg; name an SVG, PNG or JPEG file", t.Name.Local)
			}
			root = true
		}
	}
}
