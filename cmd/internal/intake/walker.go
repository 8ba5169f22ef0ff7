package intake

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// walker streams one part of a workbook.
type walker struct {
	xml   *xml.Decoder
	pace  *pacer
	depth int
}

// maxDepth bounds how deep elements nest; a sheet's go six deep.
const maxDepth = 64

// walk calls visit for each element that begins in a part. visit may read on
// to the element's end.
func (w *workbook) walk(name string, visit func(*walker, xml.StartElement) error) error {
	if err := w.fits(w.parts[name]); err != nil {
		return err
	}
	part, err := w.parts[name].Open()
	if err != nil {
		return damaged(name, err)
	}
	defer part.Close()
	pace := &pacer{in: part, whole: &w.left}
	x := &walker{xml: xml.NewDecoder(pace), pace: pace}
	for {
		token, err := x.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if e, ok := token.(xml.StartElement); err == nil && ok {
			err = visit(x, e)
		}
		if err != nil {
			return damaged(name, err)
		}
	}
}

// A sheet of the same row 90,000 times over swells fifteenfold, and a part made to
// harm a thousandfold; what is short does no harm either way.
const (
	maxSwelling = 200
	muchSwollen = 16 << 20
)

// fits refuses a part that says itself that it is too long, or that swells as no
// list does, before any of it is unpacked: to read a hundred megabytes of nothing
// keeps a processor busy for a quarter of a minute. One that says less than it
// holds is damaged, as zip has it.
func (w *workbook) fits(part *zip.File) error {
	switch size := part.UncompressedSize64; {
	case size > uint64(max(w.left, 0)):
		return errTooLong
	case size > muchSwollen && size/maxSwelling > part.CompressedSize64:
		return fmt.Errorf("the workbook has a part of %d MB packed into %d kB, as no price list has; save the sheet with the prices as CSV", size>>20, part.CompressedSize64>>10)
	}
	return nil
}

// damaged tells a part that is broken from one that is refused.
func damaged(name string, err error) error {
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) || errors.Is(err, io.ErrUnexpectedEOF) || strings.HasPrefix(err.Error(), "zip:") || strings.HasPrefix(err.Error(), "flate:") {
		return fmt.Errorf("the workbook is damaged (%.60s: %w); ask for it again, or open it and save it anew", name, err)
	}
	return err
}

// next returns the next token.
func (x *walker) next() (xml.Token, error) {
	x.pace.stretch = MaxRecord
	token, err := x.xml.Token()
	switch token.(type) {
	case xml.StartElement:
		if x.depth++; x.depth > maxDepth {
			return nil, errors.New("the workbook nests deeper than any sheet does; it is damaged or means harm")
		}
	case xml.EndElement:
		x.depth--
	}
	return token, err
}

// text returns the text of the element that has just begun and reads to its
// end: that of its t elements, without readings for pronunciation. It is cut
// once it is longer than a cell may be.
func (x *walker) text() (string, error) {
	var b strings.Builder
	outside, inText, inReading := x.depth-1, false, 0
	for x.depth > outside {
		token, err := x.next()
		if err != nil {
			return "", unexpected(err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			inText = t.Name.Local == "t"
			if t.Name.Local == "rPh" {
				inReading = x.depth
			}
		case xml.EndElement:
			inText = false
			if inReading > x.depth {
				inReading = 0
			}
		case xml.CharData:
			if inText && inReading == 0 && b.Len() <= MaxCell {
				b.Write(t)
			}
		}
	}
	return b.String(), nil
}

// plain returns the characters of the element that has just begun and reads to
// its end. They are cut as in text.
func (x *walker) plain() (string, error) {
	var b strings.Builder
	for outside := x.depth - 1; x.depth > outside; {
		token, err := x.next()
		if err != nil {
			return "", unexpected(err)
		}
		if t, ok := token.(xml.CharData); ok && b.Len() <= MaxCell {
			b.Write(t)
		}
	}
	return b.String(), nil
}

func unexpected(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

// pacer lets through so many bytes of all parts together, whatever sizes the
// file declares, and so many between two tokens, for the XML reader holds a
// whole token in memory.
type pacer struct {
	in      io.Reader
	whole   *int
	stretch int
}

var errTooLong = fmt.Errorf("the workbook unpacks to more than %d MB, which no price list needs; save the sheet with the prices as CSV", MaxUnpacked>>20)

func (p *pacer) Read(b []byte) (int, error) {
	switch {
	case *p.whole <= 0:
		return 0, errTooLong
	case p.stretch <= 0:
		return 0, fmt.Errorf("the workbook has a cell of more than %d kB; this is no price list as it stands", MaxRecord>>10)
	}
	n, err := p.in.Read(b[:min(len(b), 4096)])
	*p.whole -= n
	p.stretch -= n
	return n, err
}

// attr returns an attribute by its local name.
func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
