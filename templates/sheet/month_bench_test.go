package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/month"
)

// BenchmarkMonth writes the report of a month of 5,000 orders. x-bare is how
// many times as long it takes as the library's stream writer alone takes for the
// same cells, which are ready and waiting; peak-MB is by how much the process
// grows while it writes, in a process that does nothing else.
func BenchmarkMonth(b *testing.B) {
	studio := demoBook(b)
	r := yearOf(b, studio, 10, 1, 5000).report(b, "2026-10")
	sheets := cellsOf(b, monthWorkbook(b, studio, r))
	cells := 0
	for _, s := range sheets {
		for _, row := range s.rows {
			cells += len(row.cells)
		}
	}
	var ours, bare time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		if err := Month(io.Discard, studio.Studio, r); err != nil {
			b.Fatal(err)
		}
		ours += time.Since(start)
		b.StopTimer()
		start = time.Now()
		if err := stream(io.Discard, sheets); err != nil {
			b.Fatal(err)
		}
		bare += time.Since(start)
		b.StartTimer()
	}
	b.ReportMetric(float64(ours)/float64(bare), "x-bare")
	b.ReportMetric(float64(cells), "cells")
	b.ReportMetric(peak(b, r), "peak-MB")
}

type bareSheet struct {
	name string
	rows []bareRow
}

type bareRow struct {
	number int
	cells  []any
}

// stream writes cells with the library's stream writer and nothing else.
func stream(out io.Writer, sheets []bareSheet) error {
	f := excelize.NewFile()
	defer f.Close()
	for _, s := range sheets {
		if _, err := f.NewSheet(s.name); err != nil {
			return err
		}
		w, err := f.NewStreamWriter(s.name)
		if err != nil {
			return err
		}
		for _, row := range s.rows {
			if err := w.SetRow(cellName("A", row.number), row.cells); err != nil {
				return err
			}
		}
		if err := w.Flush(); err != nil {
			return err
		}
	}
	return f.Write(out)
}

// cellsOf reads the cells of a workbook as the library takes them.
func cellsOf(t testing.TB, data []byte) []bareSheet {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var sheets []bareSheet
	for _, part := range archive.File {
		if !strings.HasPrefix(part.Name, "xl/worksheets/sheet") {
			continue
		}
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		var content struct {
			Rows []struct {
				Number int `xml:"r,attr"`
				Cells  []struct {
					Ref     string `xml:"r,attr"`
					Style   int    `xml:"s,attr"`
					Type    string `xml:"t,attr"`
					Formula string `xml:"f"`
					Value   string `xml:"v"`
					Text    string `xml:"is>t"`
				} `xml:"c"`
			} `xml:"sheetData>row"`
		}
		if err := xml.NewDecoder(r).Decode(&content); err != nil {
			t.Fatal(err)
		}
		s := bareSheet{name: fmt.Sprint("S", len(sheets))}
		for _, row := range content.Rows {
			bare := bareRow{number: row.Number}
			for _, c := range row.Cells {
				col, _, err := excelize.CellNameToCoordinates(c.Ref)
				if err != nil {
					t.Fatal(err)
				}
				for len(bare.cells) < col-1 {
					bare.cells = append(bare.cells, nil)
				}
				cell := excelize.Cell{StyleID: c.Style, Formula: c.Formula}
				if n, err := strconv.ParseFloat(c.Value, 64); err == nil && c.Type != "str" && c.Type != "inlineStr" {
					cell.Value = n
				} else if text := c.Text + c.Value; text != "" {
					cell.Value = text
				}
				bare.cells = append(bare.cells, cell)
			}
			s.rows = append(s.rows, bare)
		}
		sheets = append(sheets, s)
	}
	return sheets
}

// peak returns by how many MB a process grows that reads a report and writes
// its workbook.
func peak(b *testing.B, r month.Report) float64 {
	text, err := json.Marshal(r)
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "report.json")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestPeakOfMonth$", "-test.v")
	cmd.Env = append(os.Environ(), peakOf+"="+file)
	said, err := cmd.CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, said)
	}
	_, after, _ := strings.Cut(string(said), "grew by ")
	words := strings.Fields(after)
	if len(words) == 0 {
		return 0 // a system that does not tell
	}
	grown, err := strconv.ParseFloat(words[0], 64)
	if err != nil {
		b.Fatalf("%v\n%s", err, said)
	}
	return grown
}

// peakOf names the file that the process of peak reads.
const peakOf = "MARCHPANE_PEAK_OF"

// TestPeakOfMonth is the process of [peak].
func TestPeakOfMonth(t *testing.T) {
	file := os.Getenv(peakOf)
	if file == "" {
		t.Skip("BenchmarkMonth starts it")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var r month.Report
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	studio := demoBook(t).Studio
	text = nil
	debug.FreeOSMemory()
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0o600); err != nil {
		t.Skip(err) // resets the peak, on Linux
	}
	before := resident(t, "VmRSS")
	if err := Month(io.Discard, studio, r); err != nil {
		t.Fatal(err)
	}
	t.Logf("grew by %.1f MB over %.1f MB", resident(t, "VmHWM")-before, before)
}

// resident reads a size of this process, in MB.
func resident(t *testing.T, what string) float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Skip(err)
	}
	_, after, _ := strings.Cut(string(status), what+":")
	kB, err := strconv.ParseFloat(strings.Fields(after)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return kB / 1024
}
