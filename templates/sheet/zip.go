package sheet

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
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
// kept until Close and then written by name, the content types first and
// sorted, all of one time.
type steadyZip struct {
	out   io.Writer
	when  time.Time
	parts map[string]*bytes.Buffer
}

func newSteadyZip(out io.Writer, when time.Time) *steadyZip {
	return &steadyZip{out: out, when: when, parts: map[string]*bytes.Buffer{}}
}

// Create begins the part called name.
func (z *steadyZip) Create(name string) (io.Writer, error) {
	if _, there := z.parts[name]; there {
		return nil, fmt.Errorf("workbook: part %s is written twice", name)
	}
	part := new(bytes.Buffer)
	z.parts[name] = part
	return part, nil
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
	if types, there := z.parts[contentTypes]; there {
		sorted, err := sortTypes(types.Bytes())
		if err != nil {
			return err
		}
		z.parts[contentTypes] = bytes.NewBuffer(sorted)
	}
	// "[" sorts before every small letter that a part's name begins with.
	names := slices.Sorted(maps.Keys(z.parts))
	archive := zip.NewWriter(z.out)
	for _, name := range names {
		w, err := archive.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: z.when})
		if err != nil {
			return err
		}
		if _, err := z.parts[name].WriteTo(w); err != nil {
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
