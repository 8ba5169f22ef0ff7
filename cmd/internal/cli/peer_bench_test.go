package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/store"
)

// A studio of a thousand cakes of 60 lines each out of 2,000 ingredients with
// 60 prices each: one price moves, every margin is worked out again, by whole
// processes. The peer is a spreadsheet program that recalculates the same
// model: a look-up of each line's price, a sum of products a cake.
const (
	peerCakes, peerLines, peerPrices, peerDates = 1_000, 60, 2_000, 60
)

type peerModel struct {
	price    []int64 // cents a pack of 397 g, newest
	resource [][]int
	quantity [][]int64 // grams
}

func newPeerModel() peerModel {
	rng := rand.New(rand.NewPCG(5, 6))
	m := peerModel{price: make([]int64, peerPrices)}
	for i := range m.price {
		m.price[i] = 100 + rng.Int64N(4_900)
	}
	for range peerCakes {
		resources := append([]int{0}, rng.Perm(peerPrices - 1)[:peerLines-1]...)
		quantities := make([]int64, peerLines)
		for k := range resources {
			if k > 0 {
				resources[k]++
			}
			quantities[k] = 1 + rng.Int64N(900)
		}
		m.resource, m.quantity = append(m.resource, resources), append(m.quantity, quantities)
	}
	return m
}

func (m peerModel) store(b *testing.B) string {
	var doc struct {
		Format      string           `json:"format"`
		Studio      map[string]any   `json:"studio"`
		Ingredients []map[string]any `json:"ingredients"`
		Cakes       []map[string]any `json:"cakes"`
	}
	doc.Format = book.Format
	doc.Studio = map[string]any{"name": "Bench", "currency": "EUR", "target": map[string]string{"margin": "55 %"}, "tax": map[string]string{"rate": "20 %"}}
	for i, cents := range m.price {
		var prices []map[string]string
		for d := range peerDates {
			day := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, d, 0)
			c := cents + int64(peerDates-1-d)
			prices = append(prices, map[string]string{"from": day.Format(time.DateOnly), "pack": "397 g", "price": fmt.Sprintf("%d.%02d", c/100, c%100)})
		}
		doc.Ingredients = append(doc.Ingredients, map[string]any{"id": fmt.Sprintf("r-%d", i), "name": fmt.Sprintf("Resource %d", i), "measure": "mass", "prices": prices})
	}
	for c := range peerCakes {
		var parts []map[string]string
		for k, r := range m.resource[c] {
			parts = append(parts, map[string]string{"use": fmt.Sprintf("r-%d", r), "qty": fmt.Sprintf("%d g", m.quantity[c][k])})
		}
		doc.Cakes = append(doc.Cakes, map[string]any{"id": fmt.Sprintf("cake-%d", c), "name": fmt.Sprintf("Cake %d", c), "portions": 20, "price": "2000.00", "parts": parts})
	}
	text, err := json.Marshal(doc)
	if err != nil {
		b.Fatal(err)
	}
	parsed, err := book.Parse(text)
	if err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.TempDir(), "studio.db")
	s, err := store.Open(context.Background(), path)
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	if _, err := s.Import(context.Background(), parsed, false, "bench", time.Unix(0, 0)); err != nil {
		b.Fatal(err)
	}
	return path
}

func (m peerModel) workbook(b *testing.B) string {
	f := excelize.NewFile()
	defer f.Close()
	if _, err := f.NewSheet("prices"); err != nil {
		b.Fatal(err)
	}
	prices, err := f.NewStreamWriter("prices")
	if err != nil {
		b.Fatal(err)
	}
	for i, cents := range m.price {
		row := []any{fmt.Sprintf("r-%d", i), float64(cents) / 100, 397, excelize.Cell{Formula: fmt.Sprintf("B%d/C%d", i+1, i+1)}}
		if err := prices.SetRow(fmt.Sprintf("A%d", i+1), row); err != nil {
			b.Fatal(err)
		}
	}
	if err := prices.Flush(); err != nil {
		b.Fatal(err)
	}
	lines, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		b.Fatal(err)
	}
	row := 1
	for c := range peerCakes {
		first := row
		for k, r := range m.resource[c] {
			cells := []any{fmt.Sprintf("r-%d", r), m.quantity[c][k], excelize.Cell{Formula: fmt.Sprintf("VLOOKUP(A%d,prices!$A$1:$D$%d,4,FALSE)", row, peerPrices)}}
			if k == 0 {
				last := first + peerLines - 1
				cells = append(cells, excelize.Cell{Formula: fmt.Sprintf("SUMPRODUCT(B%d:B%d,C%d:C%d)", first, last, first, last)},
					excelize.Cell{Formula: fmt.Sprintf("(2000/1.2-D%d)/(2000/1.2)", first)})
			}
			if err := lines.SetRow(fmt.Sprintf("A%d", row), cells); err != nil {
				b.Fatal(err)
			}
			row++
		}
	}
	if err := lines.Flush(); err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.TempDir(), "model.xlsx")
	if err := f.SaveAs(path); err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkMarginsProcess is this program: `impact` on the store, a process
// from start to end.
func BenchmarkMarginsProcess(b *testing.B) {
	path := newPeerModel().store(b)
	bin := filepath.Join(b.TempDir(), "marchpane")
	if out, err := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", bin, "marchpane/cmd/marchpane").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	b.ResetTimer()
	for range b.N {
		if out, err := exec.Command(bin, "impact", "r-0", "--change", "18%", "--json", "--store", path).CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
	}
}

// BenchmarkMarginsSpreadsheet is LibreOffice on the same model, from start to
// end.
func BenchmarkMarginsSpreadsheet(b *testing.B) {
	soffice, err := exec.LookPath("soffice")
	if err != nil {
		b.Skip("LibreOffice is not installed")
	}
	path := newPeerModel().workbook(b)
	profile := "-env:UserInstallation=file://" + b.TempDir()
	run := func() {
		if out, err := exec.Command(soffice, profile, "--headless", "--convert-to", "csv", "--outdir", b.TempDir(), path).CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
	}
	run() // makes the profile
	b.ResetTimer()
	for range b.N {
		run()
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/run")
}

// BenchmarkMarginsOpenSpreadsheet is LibreOffice with the model already open: a
// price is typed, every margin read. BenchmarkMarginsOpen is the same here.
func BenchmarkMarginsOpenSpreadsheet(b *testing.B) {
	soffice, err := exec.LookPath("soffice")
	if err != nil || exec.Command("/usr/bin/python3", "-c", "import uno").Run() != nil {
		b.Skip("LibreOffice with python3-uno is not installed")
	}
	out, err := exec.Command("/usr/bin/python3", "testdata/recalc.py", soffice, newPeerModel().workbook(b), b.TempDir(),
		strconv.Itoa(peerCakes), strconv.Itoa(peerLines)).CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	ms, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(ms, "ms/round")
}

func BenchmarkMarginsOpen(b *testing.B) {
	s, err := store.Open(context.Background(), newPeerModel().store(b))
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	on := day.Must("2026-11-25")
	parsed, bills, err := s.WrittenOn(context.Background(), on)
	if err != nil {
		b.Fatal(err)
	}
	x := book.NewIndex(parsed)
	rates := pricing.NewRates(x, on)
	cakes, used, err := users(x, rates, bills, map[book.ID]bool{"r-0": true})
	if err != nil {
		b.Fatal(err)
	}
	cat, err := catalogue.New(rates, 2, cakes, func(i int) (pricing.Bill, error) {
		t, err := used[i].Read()
		return t.Bill, err
	})
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for i := range b.N {
		moved, err := cat.Move(map[book.ID]exact.Number{"r-0": exact.Frac(int64(100+i%50), 39_700)})
		if err != nil || len(moved) != peerCakes {
			b.Fatal(len(moved), err)
		}
	}
}
