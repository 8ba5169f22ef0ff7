package intake_test

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"marchpane/cmd/internal/intake"
)

// peak runs f and returns by how much the heap grew at most meanwhile, in MB.
func peak(f func()) int {
	defer debug.SetGCPercent(debug.SetGCPercent(50)) // garbage is not what is measured
	var before, now runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	stop, most := make(chan struct{}), make(chan uint64)
	go func() {
		highest := before.HeapAlloc
		for {
			runtime.ReadMemStats(&now)
			highest = max(highest, now.HeapAlloc)
			select {
			case <-stop:
				most <- highest
				return
			case <-time.After(2 * time.Millisecond):
			}
		}
	}()
	f()
	close(stop)
	return int((<-most - before.HeapAlloc) >> 20)
}

// onDisk returns the path of a file that write makes, so that its bytes are
// not in memory.
func onDisk(t *testing.T, name string, write func(w *bufio.Writer)) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	write(w)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return path
}

func repeat(w io.Writer, text string, times int) {
	chunk := strings.Repeat(text, 1+(64<<10)/len(text))
	for n := times * len(text); n > 0; n -= len(chunk) {
		_, _ = io.WriteString(w, chunk[:min(n, len(chunk))])
	}
}

// bomb returns the path of a workbook in which one part is head, body over and
// over, and tail.
func bomb(t *testing.T, part, head, body string, times int, tail string) string {
	t.Helper()
	return onDisk(t, "bomb.xlsx", func(w *bufio.Writer) {
		z := zip.NewWriter(w)
		z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
		parts := withParts(nil)
		delete(parts, part)
		for name, text := range parts {
			p, err := z.Create(name)
			if err == nil {
				_, err = io.WriteString(p, text)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		p, err := z.Create(part)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(p, head)
		repeat(p, body, times)
		_, _ = io.WriteString(p, tail)
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
	})
}

// longTexts are shared texts of 45 kB, of which a packer finds nothing twice in the
// 32 kB that it looks back, so that they swell no more than those of a list.
func longTexts() string {
	source := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	for range 15 {
		b.WriteString("<si><t>")
		for range 3000 {
			b.WriteByte("abcd"[source.IntN(4)])
		}
		b.WriteString("</t></si>")
	}
	return b.String()
}

// TestHostile: files that mean harm are refused with a reason, within bounded
// memory and time.
func TestHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("writes large files")
	}
	const sheet, shared, styles = "xl/worksheets/s.xml", "xl/shared.xml", "xl/styles.xml"
	const mega = 1 << 20
	for _, c := range []struct {
		name   string
		make   func() string
		reason string
		most   int // MB
	}{
		{"100 MB of one line", func() string {
			return onDisk(t, "line.csv", func(w *bufio.Writer) { repeat(w, "x", 100*mega) })
		}, "100 MB, more than the 64 MB", 8},
		{"60 MB of one line", func() string {
			return onDisk(t, "line.csv", func(w *bufio.Writer) { repeat(w, "x", 60*mega) })
		}, "line 1 is longer than 1024 kB", 16},
		{"60 MB behind one quote", func() string {
			return onDisk(t, "quote.csv", func(w *bufio.Writer) { _, _ = w.WriteString("Item,Price\n\""); repeat(w, "a\n", 30*mega) })
		}, "a quote in it is never closed", 16},
		{"nested quotes", func() string {
			return onDisk(t, "quotes.csv", func(w *bufio.Writer) { repeat(w, "\"\"\"", 10*mega) })
		}, "line 1", 16},
		{"a million columns of text", func() string {
			return onDisk(t, "wide.csv", func(w *bufio.Writer) { _, _ = w.WriteString("Item;Price\n"); repeat(w, "x;", mega) })
		}, "line 2", 16},
		{"30 million lines", func() string {
			return onDisk(t, "long.csv", func(w *bufio.Writer) { repeat(w, "a,", 1); repeat(w, "b\n", 30*mega) })
		}, "more than 100000 rows", 32},
		{"60 MB of NULs", func() string { return onDisk(t, "nul.csv", func(w *bufio.Writer) { repeat(w, "\x00", 60*mega) }) }, "U+0000", 16},
		{"a sheet of 500 MB of noughts", func() string {
			return bomb(t, sheet, `<worksheet><sheetData><row r="1"><c r="A1"><v>`, "0", 500*mega, `</v></c></row></sheetData></worksheet>`)
		}, "unpacks to more than 96 MB", 16},
		{"a sheet of 90 MB of noughts", func() string {
			return bomb(t, sheet, `<worksheet><sheetData><row r="1"><c r="A1"><v>`, "0", 90*mega, `</v></c></row></sheetData></worksheet>`)
		}, "a part of 90 MB packed into", 16},
		{"a cell of noughts", func() string {
			return bomb(t, sheet, `<worksheet><sheetData><row r="1"><c r="A1"><v>`, "0", 10*mega, `</v></c></row></sheetData></worksheet>`)
		}, "a cell of more than 1024 kB", 16},
		{"a sheet of endless rows", func() string {
			return bomb(t, sheet, `<worksheet><sheetData>`, "<row></row>", 9*mega, `</sheetData></worksheet>`)
		}, "unpacks to more than 96 MB", 16},
		{"a sheet of full rows", func() string {
			return bomb(t, sheet, `<worksheet><sheetData>`, `<row><c><v>1</v></c></row>`, mega/4, `</sheetData></worksheet>`)
		}, "more than 100000 rows", 32},
		{"a million columns in a sheet", func() string {
			return bomb(t, sheet, `<worksheet><sheetData><row>`, `<c><v>1</v></c>`, mega, `</row></sheetData></worksheet>`)
		}, "row 1 has more than 256 columns", 16},
		{"blank cells without end", func() string {
			return bomb(t, sheet, `<worksheet><sheetData><row>`, `<c/>`, 4*mega, `</row></sheetData></worksheet>`)
		}, "more than 256 columns", 16},
		{"nesting without end", func() string { return bomb(t, sheet, ``, `<a>`, 4*mega, ``) }, "nests deeper", 16},
		{"a comment without end", func() string { return bomb(t, sheet, `<!--`, `<a> `, 4*mega, `-->`) }, "a cell of more than 1024 kB", 16},
		{"an attribute without end", func() string { return bomb(t, sheet, `<a b="`, `>`, 4*mega, `"/>`) }, "a cell of more than 1024 kB", 16},
		{"shared texts without end", func() string {
			return bomb(t, shared, `<sst>`, `<si/>`, 4*mega, `</sst>`)
		}, "more text than any price list", 112},
		{"a sheet that says it is short", func() string {
			return onDisk(t, "liar.xlsx", func(w *bufio.Writer) {
				z := zip.NewWriter(w)
				for name, text := range withParts(nil) {
					if name == sheet {
						continue
					}
					p, err := z.Create(name)
					if err == nil {
						_, err = io.WriteString(p, text)
					}
					if err != nil {
						t.Fatal(err)
					}
				}
				var packed bytes.Buffer
				f, _ := flate.NewWriter(&packed, flate.BestSpeed)
				_, _ = io.WriteString(f, `<worksheet><sheetData>`)
				repeat(f, `<row></row>`, 9*mega)
				_ = f.Close()
				p, err := z.CreateRaw(&zip.FileHeader{Name: sheet, Method: zip.Deflate, CompressedSize64: uint64(packed.Len()), UncompressedSize64: 4 << 20})
				if err == nil {
					_, err = p.Write(packed.Bytes())
				}
				if err != nil {
					t.Fatal(err)
				}
				_ = z.Close()
			})
		}, "damaged", 16},
		{"long shared texts", func() string {
			return bomb(t, shared, `<sst>`, longTexts(), 1_000, `</sst>`)
		}, "more text than any price list", 96},
		{"styles without end", func() string {
			return bomb(t, styles, `<styleSheet><cellXfs>`, `<xf numFmtId="14"/>`, 6*mega, `</cellXfs></styleSheet>`)
		}, "unpacks to more than 96 MB", 24},
		{"entities", func() string {
			return onDisk(t, "laughs.xlsx", func(w *bufio.Writer) {
				_, _ = w.Write(packed(t, withParts(map[string]string{sheet: `<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><worksheet><sheetData><row><c><v>&b;</v></c></row></sheetData></worksheet>`})))
			})
		}, "damaged", 8},
		{"240,000 parts", func() string {
			return onDisk(t, "parts.xlsx", func(w *bufio.Writer) {
				z := zip.NewWriter(w)
				for range 240_000 {
					_, _ = z.CreateRaw(&zip.FileHeader{})
				}
				_ = z.Close()
			})
		}, "no workbook", 96},
		{"a large workbook", func() string {
			return onDisk(t, "large.xlsx", func(w *bufio.Writer) { _, _ = w.WriteString("PK\x03\x04"); repeat(w, "x", 30*mega) })
		}, "30 MB, more than the 24 MB", 8},
		{"a workbook cut short", func() string {
			return onDisk(t, "cut.xlsx", func(w *bufio.Writer) {
				data := packed(t, withParts(nil))
				_, _ = w.Write(data[:len(data)/2])
			})
		}, "damaged", 8},
		{"a sheet cut short", func() string {
			return onDisk(t, "cut.xlsx", func(w *bufio.Writer) {
				_, _ = w.Write(packed(t, withParts(map[string]string{sheet: `<worksheet><sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="2"><c r="A2"><v>1`})))
			})
		}, "damaged", 8},
		{"a text that is not there", func() string {
			return onDisk(t, "text.xlsx", func(w *bufio.Writer) {
				_, _ = w.Write(packed(t, withParts(map[string]string{sheet: `<worksheet><sheetData><row r="1"><c r="B1" t="s"><v>7</v></c></row></sheetData></worksheet>`})))
			})
		}, "cell B1: its text is missing", 8},
		{"a zip of other things", func() string {
			return onDisk(t, "other.xlsx", func(w *bufio.Writer) { _, _ = w.Write(packed(t, map[string]string{"a.txt": "Salt"})) })
		}, "no workbook", 8},
		{"an OpenDocument", func() string {
			return onDisk(t, "other.xlsx", func(w *bufio.Writer) { _, _ = w.Write(packed(t, map[string]string{"content.xml": "<a/>"})) })
		}, "OpenDocument", 8},
	} {
		path := c.make()
		var err error
		began := time.Now()
		grown := peak(func() { _, err = intake.Open(path, intake.Options{}) })
		took := time.Since(began)
		if err == nil || !strings.Contains(err.Error(), c.reason) || !strings.HasPrefix(err.Error(), path) {
			t.Errorf("%s: Open = %v, want an error that says %q", c.name, err, c.reason)
		}
		if grown > c.most {
			t.Errorf("%s: memory grew by %d MB, want at most %d", c.name, grown, c.most)
		}
		t.Logf("%-30s %3d MB %6d ms", c.name, grown, took.Milliseconds())
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
}
