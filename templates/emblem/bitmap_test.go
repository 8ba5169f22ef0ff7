package emblem

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"marchpane/pricing/book"
)

func picture(t testing.TB, data []byte) book.Picture {
	t.Helper()
	p, err := book.NewPicture(data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// fromGo returns pictures that come with Go's own source: part of PngSuite
// (Willem van Schaik), interlaced PNGs, and JPEGs in CMYK, RGB and progressive.
func fromGo(t *testing.T, pattern string) []string {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skip("no Go source is here")
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(root)), "src/image", pattern))
	if err != nil || len(files) == 0 {
		t.Skipf("Go's source lacks %s", pattern)
	}
	return files
}

// Every form of PNG becomes one of 8 bits without interlacing, which is what
// the PDF library takes, and shows the same.
func TestPNGs(t *testing.T) {
	for _, file := range append(fromGo(t, "png/testdata/pngsuite/*.png"), fromGo(t, "png/testdata/*interlace*.png")...) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > book.MaxPictureBytes {
			continue
		}
		logo, err := Read(picture(t, data), 4000, 4000)
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(file), err)
			continue
		}
		if depth, interlaced := logo.Bitmap[24], logo.Bitmap[28]; logo.Format != PNG || depth != 8 || interlaced != 0 {
			t.Errorf("%s: format %s, %d bits, interlacing %d", filepath.Base(file), logo.Format, depth, interlaced)
		}
		was, err1 := png.Decode(bytes.NewReader(data))
		is, err2 := png.Decode(bytes.NewReader(logo.Bitmap))
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		_, part := opaquePart(was)
		if is.Bounds().Size() != part.Size() {
			t.Errorf("%s: %v became %v", filepath.Base(file), part, is.Bounds())
			continue
		}
		for y := range part.Dy() {
			for x := range part.Dx() {
				if !near(was.At(part.Min.X+x, part.Min.Y+y), is.At(x, y), 2) {
					t.Fatalf("%s: pixel %d, %d is %v, want %v", filepath.Base(file), x, y, is.At(x, y), was.At(part.Min.X+x, part.Min.Y+y))
				}
			}
		}
	}
}

// near compares colours as they stand on white paper.
func near(a, b color.Color, off int) bool {
	over := func(c color.Color) [3]int {
		r, g, b, alpha := c.RGBA()
		paper := 0xffff - alpha
		return [3]int{int(r+paper) >> 8, int(g+paper) >> 8, int(b+paper) >> 8}
	}
	x, y := over(a), over(b)
	for i := range x {
		if x[i]-y[i] > off || y[i]-x[i] > off {
			return false
		}
	}
	return true
}

func TestJPEGs(t *testing.T) {
	for name, kept := range map[string]bool{
		"video-001.jpeg": true, "video-001.progressive.jpeg": true, "video-005.gray.jpeg": true,
		"video-001.cmyk.jpeg": false, "video-001.rgb.jpeg": false, // their colours need work
	} {
		data, err := os.ReadFile(fromGo(t, "testdata/"+name)[0])
		if err != nil {
			t.Fatal(err)
		}
		logo, err := Read(picture(t, data), 4000, 4000)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		was, err1 := jpeg.Decode(bytes.NewReader(data))
		is, err2 := jpeg.Decode(bytes.NewReader(logo.Bitmap))
		if err1 != nil || err2 != nil {
			t.Fatal(name, err1, err2)
		}
		differ, seen := 0, 0
		for y := 0; y < was.Bounds().Dy(); y += 3 {
			for x := 0; x < was.Bounds().Dx(); x += 3 {
				seen++
				if !near(was.At(x, y), is.At(x, y), 24) {
					differ++
				}
			}
		}
		// Written afresh, a few edges of colour are blurred as JPEG blurs them.
		if kept && differ > 0 || differ*10 > seen {
			t.Errorf("%s: %d of %d pixels differ", name, differ, seen)
		}
		switch is.(type) {
		case *image.YCbCr, *image.Gray:
		default:
			t.Errorf("%s: came out as %T", name, is)
		}
	}
}

// jpegWith returns a JPEG of w × h pixels, its left upper quarter red, with a
// note of how the camera was held and of where it was.
func jpegWith(t *testing.T, w, h, turn int, order binary.AppendByteOrder) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.Set(x, y, color.White)
			if x < w/2 && y < h/2 {
				m.Set(x, y, color.RGBA{200, 0, 0, 255})
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("MM\x00*")
	if order.AppendUint16(nil, 1)[0] == 1 {
		tiff = []byte("II*\x00")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, entry := range [][2]uint16{{0x010F, 7}, {0x0112, uint16(turn)}} {
		tiff = order.AppendUint16(order.AppendUint16(tiff, entry[0]), 3)
		tiff = order.AppendUint16(order.AppendUint32(tiff, 1), entry[1])
		tiff = append(tiff, 0, 0)
	}
	tiff = append(tiff, "GPS 53.2734 N"...)
	segment := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(segment)+2))
	return append(append(append([]byte{0xFF, 0xD8}, head...), segment...), b.Bytes()[2:]...)
}

// Exif 2.3 and TIFF 6.0: where the first row and column of the file belong, and
// with them its upper left corner.
func TestCameraHeld(t *testing.T) {
	corners := map[int][2]int{1: {0, 0}, 2: {1, 0}, 3: {1, 1}, 4: {0, 1}, 5: {0, 0}, 6: {1, 0}, 7: {1, 1}, 8: {0, 1}}
	for turn, corner := range corners {
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			data := jpegWith(t, 96, 48, turn, order)
			logo, err := Read(picture(t, data), 400, 400)
			if err != nil {
				t.Fatal(err)
			}
			m, err := jpeg.Decode(bytes.NewReader(logo.Bitmap))
			if err != nil {
				t.Fatal(err)
			}
			w, h := m.Bounds().Dx(), m.Bounds().Dy()
			if upright := turn < 5; (w == 96) != upright || logo.Width != float64(w) || logo.Height != float64(h) {
				t.Errorf("orientation %d: %d × %d, said to be %g × %g", turn, w, h, logo.Width, logo.Height)
			}
			for x := range 2 {
				for y := range 2 {
					want := color.Color(color.White)
					if [2]int{x, y} == corner {
						want = color.RGBA{200, 0, 0, 255}
					}
					if got := m.At(w/4+x*w/2, h/4+y*h/2); !near(got, want, 12) {
						t.Errorf("orientation %d: quarter %d, %d is %v, want %v", turn, x, y, got, want)
					}
				}
			}
			if bytes.Contains(logo.Bitmap, []byte("GPS")) {
				t.Errorf("orientation %d: the place of the photograph is left in the file", turn)
			}
		}
	}
	// A scaled and turned one fits the room as it stands.
	logo, err := Read(picture(t, jpegWith(t, 1600, 400, 6, binary.BigEndian)), 400, 100)
	if err != nil || logo.Width != 25 || logo.Height != 100 {
		t.Errorf("a tall logo is %g × %g, %v, want 25 × 100", logo.Width, logo.Height, err)
	}
}

func TestEmptyEdgesAndScale(t *testing.T) {
	m := image.NewNRGBA(image.Rect(0, 0, 900, 500))
	for y := 100; y < 300; y++ {
		for x := 200; x < 800; x++ {
			m.Set(x, y, color.NRGBA{106, 63, 82, 128})
		}
	}
	encode := func(m image.Image) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, m); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	logo, err := Read(picture(t, encode(m)), 300, 400)
	if err != nil || logo.Width != 300 || logo.Height != 100 {
		t.Fatalf("logo is %g × %g, %v, want 300 × 100", logo.Width, logo.Height, err)
	}
	back, err := png.Decode(bytes.NewReader(logo.Bitmap))
	if err != nil || !near(back.At(150, 50), color.NRGBA{106, 63, 82, 128}, 2) {
		t.Errorf("the middle is %v, %v", back.At(150, 50), err)
	}
	if _, err := Read(picture(t, encode(image.NewNRGBA(image.Rect(0, 0, 9, 9)))), 300, 400); err == nil || !strings.Contains(err.Error(), "shows nothing") {
		t.Errorf("a transparent picture: %v", err)
	}
}

// A file beyond what a book takes comes down to one that it takes.
func TestReduce(t *testing.T) {
	noise := image.NewNRGBA(image.Rect(0, 0, 1500, 700)) // does not compress
	state := uint32(1)
	for i := range noise.Pix {
		state = state*1664525 + 1013904223
		noise.Pix[i] = byte(state >> 24)
	}
	wide := image.NewNRGBA(image.Rect(0, 0, 6000, 1500))
	for y := range 1500 {
		for x := range 6000 {
			wide.Set(x, y, color.NRGBA{106, 63, 82, 255})
		}
	}
	asPNG := func(m image.Image) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, m); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	for name, test := range map[string]struct {
		file          []byte
		width, height int // 0 for any
	}{
		"wide":  {asPNG(wide), 1600, 400},
		"noise": {asPNG(noise), 0, 0},
		"photo": {jpegWith(t, 5000, 2000, 6, binary.BigEndian), 640, 1600},
		"small": {jpegWith(t, 50, 20, 6, binary.BigEndian), 0, 0},
	} {
		p, w, h, err := Reduce(test.file)
		if err != nil || p.Check() != nil {
			t.Errorf("%s: %v, %v", name, err, p.Check())
			continue
		}
		if reduced := w > 0; reduced != (name != "small") || !reduced && !bytes.Equal(p.Bytes(), test.file) {
			t.Errorf("%s came down to %d × %d", name, w, h)
		}
		if test.width > 0 && (w != test.width || h != test.height) {
			t.Errorf("%s came down to %d × %d, want %d × %d", name, w, h, test.width, test.height)
		}
		if err := Check(p); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	huge := asPNG(image.NewGray(image.Rect(0, 0, 9000, 9000)))
	if _, _, _, err := Reduce(huge); err == nil || !strings.Contains(err.Error(), "9000 × 9000 pixels") {
		t.Errorf("81 million pixels: %v", err)
	}
	for _, file := range [][]byte{[]byte("x"), huge[:60], asPNG(wide)[:3000]} {
		if _, _, _, err := Reduce(file); err == nil {
			t.Errorf("%.8q: no error", file)
		}
	}
}

// Broken files of Go's own tests are refused, never a panic.
func TestBrokenPictures(t *testing.T) {
	for _, file := range fromGo(t, "png/testdata/invalid-[cntz]*.png") {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Read(picture(t, data), 400, 100); err == nil || !strings.Contains(err.Error(), "save it afresh") {
			t.Errorf("%s: %v", filepath.Base(file), err)
		}
	}
	whole := jpegWith(t, 40, 40, 6, binary.BigEndian)
	for n := 3; n < len(whole); n += 7 {
		Read(picture(t, whole[:n]), 400, 100)
		orientation(whole[:n])
		withoutNotes(whole[:n])
	}
}
