package sheet

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/xml"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"maps"
	"slices"
	"time"
)

const contentTypes = "[Content_Types].xml"

// steadyZip is the zip writer that a workbook is saved through. The library
// hands over the parts, and lists their content types, in an order that
// differs from run to run; equal workbooks shall be equal bytes. So parts are
// kept, compressed, until Close and then written by name, the content types
// first and sorted, all of one time.
type steadyZip struct {
	out    io.Writer
	when   time.Time
	parts  map[string]*part
	last   *part
	packer *flate.Writer
}

// part is a part as the archive holds it.
type part struct {
	packed bytes.Buffer
	size   uint64 // before compression
	sum    uint32
	plain  bytes.Buffer // of the content types, which are sorted at the end
	packer *flate.Writer
}

func newSteadyZip(out io.Writer, when time.Time) *steadyZip {
	packer, _ := flate.NewWriter(nil, quick) // an error is of the level alone
	return &steadyZip{out: out, when: when, parts: map[string]*part{}, packer: packer}
}

// quick is a level of compression that takes a third of the time of the usual one
// and makes a workbook a sixth larger. Compressing is half of what a large
// workbook costs.
const quick = 3

// Create begins the part called name and ends the one before.
func (z *steadyZip) Create(name string) (io.Writer, error) {
	if _, there := z.parts[name]; there {
		return nil, fmt.Errorf("workbook: part %s is written twice", name)
	}
	if err := z.end(); err != nil {
		return nil, err
	}
	p := new(part)
	z.parts[name] = p
	if name == contentTypes {
		return &p.plain, nil
	}
	z.begin(p)
	return p, nil
}

func (z *steadyZip) begin(p *part) {
	z.packer.Reset(&p.packed)
	p.packer, z.last = z.packer, p
}

// end completes the part that is being written.
func (z *steadyZip) end() error {
	if z.last == nil {
		return nil
	}
	z.last.packer, z.last = nil, nil
	return z.packer.Close()
}

// Write adds to a part until the next one begins.
func (p *part) Write(content []byte) (int, error) {
	if p.packer == nil {
		return 0, errors.New("workbook: a part is written after the next one")
	}
	p.size += uint64(len(content))
	p.sum = crc32.Update(p.sum, crc32.IEEETable, content)
	return p.packer.Write(content)
}

// AddFS takes every file of a tree as a part.
func (z *steadyZip) AddFS(tree fs.FS) error {
	return fs.WalkDir(tree, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		part, err := z.Create(name)
		if err != nil {
			return err
		}
		_, err = part.Write(content)
		return err
	})
}

// Close writes the archive.
func (z *steadyZip) Close() error {
	if err := z.end(); err != nil {
		return err
	}
	if types, there := z.parts[contentTypes]; there {
		sorted, err := sortTypes(types.plain.Bytes())
		if err != nil {
			return err
		}
		z.begin(types)
		if _, err := types.Write(sorted); err != nil {
			return err
		}
		if err := z.end(); err != nil {
			return err
		}
	}
	// "[" sorts before every small letter that a part's name begins with.
	names := slices.Sorted(maps.Keys(z.parts))
	archive := zip.NewWriter(z.out)
	for _, name := range names {
		p := z.parts[name]
		head := &zip.FileHeader{
			Name: name, Method: zip.Deflate, Modified: z.when,
			CRC32: p.sum, UncompressedSize64: p.size, CompressedSize64: uint64(p.packed.Len()),
		}
		head.SetModTime(z.when) //lint:ignore SA1019 a raw part is written with these fields and not with Modified
		w, err := archive.CreateRaw(head)
		if err != nil {
			return err
		}
		if _, err := p.packed.WriteTo(w); err != nil {
			return err
		}
	}
	return archive.Close()
}

// typeList is the part that says of what type every other part is.
type typeList struct {
	XMLName  xml.Name    `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Default  []typeEntry `xml:"Default"`
	Override []typeEntry `xml:"Override"`
}

type typeEntry struct {
	Extension   string `xml:",attr,omitempty"`
	PartName    string `xml:",attr,omitempty"`
	ContentType string `xml:",attr"`
}

func sortTypes(part []byte) ([]byte, error) {
	var list typeList
	if err := xml.Unmarshal(part, &list); err != nil {
		return nil, fmt.Errorf("workbook: content types: %w", err)
	}
	byWhat := func(a, b typeEntry) int {
		return cmp.Or(cmp.Compare(a.Extension, b.Extension), cmp.Compare(a.PartName, b.PartName))
	}
	slices.SortFunc(list.Default, byWhat)
	slices.SortFunc(list.Override, byWhat)
	sorted, err := xml.Marshal(list)
	return append([]byte(xml.Header), sorted...), err
}
