package intake

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"marchpane/pricing/pricelist"
)

// The limits. A wholesaler's whole range is some ten thousand rows of ten
// columns, 2 MB of text.
const (
	MaxFile     = 64 << 20 // bytes of a text file
	MaxZip      = 24 << 20 // bytes of a workbook as it is sent
	MaxUnpacked = 96 << 20 // bytes of all the parts of a workbook that are read
	MaxRecord   = 1 << 20  // bytes of a line of text with all its quoted breaks, or of a stretch of XML
	MaxRows     = 100_000  // that hold anything
	MaxColumns  = 256      // that hold anything
	MaxCells    = 2_000_000
	MaxText     = 32 << 20 // bytes of all cells together
	MaxCell     = 4_000    // bytes of one cell
)

// Options say how to read a file where it does not tell.
type Options struct {
	Mapping     pricelist.Mapping // tells the heading among the rows, and so the right sheet
	RecoversTax bool              // whether the studio does
	Sheet       string            // of a workbook; "": the one with a heading
	Encoding    string            // of a text, a name such as "windows-1250"; "": found out
	Separator   rune              // of a text; 0: found out
}

// List is a price list as it stands in a file.
type List struct {
	Rows      []pricelist.Row // that hold anything
	Digest    string          // SHA-256 of the file in hexadecimal, to know it again
	Sheet     string          // of a workbook
	Encoding  string          // of a text
	Separator rune            // of a text
}

// Open reads the price list in a file. Errors begin with the file's name.
func Open(path string, o Options) (List, error) {
	f, err := os.Open(path)
	if err != nil {
		return List{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return List{}, err
	}
	if !info.Mode().IsRegular() {
		return List{}, fmt.Errorf("%s is not a file with a price list in it", path)
	}
	list, err := Read(f, info.Size(), o)
	if err != nil {
		return List{}, fmt.Errorf("%s: %w", path, err)
	}
	return list, nil
}

// Read reads a price list of so many bytes. It reads it more than once.
func Read(r io.ReaderAt, size int64, o Options) (List, error) {
	if size > MaxFile {
		return List{}, fmt.Errorf("the file has %d MB, more than the %d MB that a price list may have; split it", size>>20, MaxFile>>20)
	}
	start := make([]byte, min(size, 512))
	if _, err := r.ReadAt(start, 0); err != nil && !errors.Is(err, io.EOF) {
		return List{}, err
	}
	var list List
	var err error
	if bytes.HasPrefix(start, []byte("PK\x03\x04")) {
		list, err = readWorkbook(r, size, o)
	} else if err = foreign(start); err == nil {
		list, err = readText(r, size, o)
	}
	if err != nil {
		return List{}, err
	}
	if len(list.Rows) == 0 {
		return List{}, errors.New("the list is empty")
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(r, 0, size)); err != nil {
		return List{}, err
	}
	list.Digest = hex.EncodeToString(sum.Sum(nil))
	return list, nil
}

// foreign refuses files of other kinds by how they begin.
func foreign(start []byte) error {
	const remedy = "save it as .xlsx or CSV"
	text := strings.ToLower(strings.TrimLeft(string(bytes.TrimPrefix(start, []byte("\ufeff"))), " \t\r\n"))
	switch {
	case bytes.HasPrefix(start, []byte("\xd0\xcf\x11\xe0")):
		return errors.New("the file is an old .xls workbook or one with a password; open it and " + remedy)
	case strings.HasPrefix(text, "%pdf"):
		return errors.New("the file is a PDF; ask the supplier for a spreadsheet, or copy the table into one and " + remedy)
	case strings.HasPrefix(text, "<!doctype"), strings.HasPrefix(text, "<html"), strings.HasPrefix(text, "<table"), strings.HasPrefix(text, "<?xml"):
		return errors.New("the file is a web page or XML, whatever its name says; open it in a spreadsheet and " + remedy)
	case strings.HasPrefix(text, "{\\rtf"):
		return errors.New("the file is a word processor's; copy the table into a spreadsheet and " + remedy)
	case bytes.HasPrefix(start, []byte("\x1f\x8b")), bytes.HasPrefix(start, []byte("7z\xbc\xaf")), bytes.HasPrefix(start, []byte("Rar!")):
		return errors.New("the file is packed; unpack it first")
	}
	return nil
}

// keeper gathers rows within the limits.
type keeper struct {
	rows  []pricelist.Row
	cells int
	text  int
}

// keep adds a row unless it is blank. cells may be used again afterwards.
func (k *keeper) keep(number int, cells []pricelist.Cell) error {
	last := len(cells)
	for last > 0 && strings.TrimSpace(cells[last-1].Text) == "" {
		last--
	}
	if last == 0 {
		return nil
	}
	if last > MaxColumns {
		return fmt.Errorf("row %d has more than %d columns; delete those that are no part of the list", number, MaxColumns)
	}
	kept := make([]pricelist.Cell, last)
	for i, c := range cells[:last] {
		if len(c.Text) > MaxCell {
			return fmt.Errorf("cell %s%d has more than %d characters, which no price list needs; look at it", pricelist.Letters(i), number, MaxCell)
		}
		kept[i] = pricelist.Cell{Text: strings.TrimSpace(c.Text), Kind: c.Kind}
		k.text += len(c.Text)
	}
	k.cells += last
	k.rows = append(k.rows, pricelist.Row{Number: number, Cells: kept})
	switch {
	case len(k.rows) > MaxRows:
		return fmt.Errorf("the list has more than %d rows; split it", MaxRows)
	case k.cells > MaxCells || k.text > MaxText:
		return errors.New("the list holds more text than any price list; split it")
	}
	return nil
}
