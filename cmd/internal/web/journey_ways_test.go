package web

import (
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestJobsOnADesk does the three main jobs on the demo studio: it quotes a
// wedding cake, sees what dearer butter does, and saves the month's report.
func TestJobsOnADesk(t *testing.T) { doJobs(t, 1440, true) }

// TestJobsOnAPhone does them on a phone whose browser runs no script.
func TestJobsOnAPhone(t *testing.T) { doJobs(t, 390, false) }

func doJobs(t *testing.T, width int64, scripted bool) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, width, scripted)
	press := func(text string, in ...string) {
		t.Helper()
		p.press(text, in...)
		if width < 600 {
			p.fits()
		}
	}

	press("Orders")
	press("New quote")
	p.fill("Client", "Maren Oakhollow")
	p.fill("Day", "2027-07-17")
	p.fill("Guests", "80")
	p.fill("Cake", "Three-tier wedding cake")
	press("Save it and go on to issue")
	p.reads("Maren Oakhollow")
	press("Issue it")
	p.reads("2026-0002", "The paper the client gets")
	total := figureBehind(p, "Total")
	paper := pdfText(t, p.saves("quote.pdf", "Open the paper"))
	for _, want := range []string{"Maren Oakhollow", "Quillwort Cake Studio", "2026-0002", total} {
		if !strings.Contains(paper, want) {
			t.Errorf("the paper does not say %q: %s", want, paper)
		}
	}

	press("Cakes")
	press("Three-tier wedding cake, lemon and elderflower")
	before := figureBehind(p, "Cost")
	press("What if")
	p.fill("Unsalted butter, 82 % fat", "20")
	if scripted {
		p.reads("Three-tier wedding cake", "2026-0002")
	} else {
		press("Show what it does")
	}
	press("Prices")
	p.fill("Find by name, category or supplier", "butter")
	if !scripted {
		press("Find")
	}
	press("Unsalted butter, 82 % fat")
	p.fill("A pack costs", "34.74") // 20 % above 28.95
	press("Add this price")
	press("Cakes")
	press("Three-tier wedding cake, lemon and elderflower")
	// It takes 2.922 kg of butter, once 11.58 a kg; a fifth more is 6.77.
	rise := new(big.Rat).Sub(rat(figureBehind(p, "Cost")[len("€"):]), rat(before[len("€"):]))
	if rise.Cmp(big.NewRat(676, 100)) < 0 || rise.Cmp(big.NewRat(678, 100)) > 0 {
		t.Errorf("butter made the cake dearer by %s, want 6.77", rise.FloatString(2))
	}
	press("What if")
	press("New list prices")
	p.reads("Three-tier wedding cake")

	press("Month")
	p.reads("November 2026")
	values := see[string](p, `[...document.querySelectorAll("tr")].find(r => r.innerText.startsWith("Issued"))?.innerText ?? ""`)
	m := regexp.MustCompile(`2[^€]*€([\d,]+\.\d\d)`).FindStringSubmatch(values)
	if m == nil {
		t.Fatalf("no two quotes are issued this month: %q", values)
	}
	issued := strings.ReplaceAll(m[1], ",", "")
	if book := recalculated(t, p.saves("month.xlsx", "Spreadsheet (XLSX)")); !strings.Contains(book, issued) {
		t.Errorf("the workbook does not hold the quotes' %s: %.3000s", issued, book)
	}
	press("Today")
}

// recalculated is what LibreOffice reads on every sheet of a workbook.
func recalculated(t *testing.T, path string) string {
	t.Helper()
	if _, err := exec.LookPath("soffice"); err != nil {
		t.Skip("LibreOffice is not installed")
	}
	folder := t.TempDir()
	run := exec.Command("soffice", "-env:UserInstallation=file://"+filepath.Join(folder, "user"), "--headless", "--convert-to", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1", "--outdir", folder, path)
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	sheets, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	if err != nil || len(sheets) == 0 {
		t.Fatalf("LibreOffice read no sheet: %v", err)
	}
	text := ""
	for _, sheet := range sheets {
		data, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		text += string(data) + "\n"
	}
	return strings.ReplaceAll(text, ",", "")
}

// TestKeyboardAlone enters a new price of butter and takes it back with keys
// alone. Wherever Tab leads, it can be seen where one is.
func TestKeyboardAlone(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, 1440, true)
	said := func() string {
		return see[string](p, `(() => { const s = `+sight+`, e = document.activeElement; return e === document.body ? "" : s.label(e) || s.words(e) })()`)
	}
	to := func(text string) {
		t.Helper()
		for range 120 {
			p.do(chromedp.KeyEvent(kb.Tab))
			if !see[bool](p, `(() => { const e = document.activeElement; if (e === document.body) return true; const r = e.getBoundingClientRect(), c = getComputedStyle(e);
				const shown = r.bottom > 0 && r.top < innerHeight && r.height > 0;
				return shown && (c.outlineStyle !== "none" && parseFloat(c.outlineWidth) > 0 || c.boxShadow !== "none") })()`) {
				t.Errorf("on %s it cannot be seen that %q has the focus", see[string](p, "location.pathname"), said())
			}
			if strings.HasPrefix(said(), text) {
				return
			}
		}
		t.Fatalf("Tab never leads to %q\n%s", text, p.where())
	}
	enter := func() { t.Helper(); p.opens(func() { p.do(chromedp.KeyEvent(kb.Enter)) }) }
	p.do(chromedp.KeyEvent(kb.Tab))
	if first := said(); !strings.HasPrefix(first, "Skip") && !strings.HasPrefix(first, "To the") && !strings.HasPrefix(first, "Go to") {
		t.Errorf("Tab leads first to %q, not past the head of the page", first)
	}
	to("Prices")
	enter()
	to("Find by name")
	p.do(chromedp.KeyEvent("butter, "))
	p.waits(`document.querySelectorAll("main tbody tr").length < 5`)
	to("Unsalted butter")
	enter()
	to("A pack costs")
	p.do(chromedp.KeyEvent("34.74"))
	enter()
	p.reads("€34.74")
	to("Undo")
	enter()
	if see[bool](p, `document.querySelector("main").innerText.includes("€34.74")`) {
		t.Errorf("the price is still there\n%s", p.where())
	}
}

// figureBehind is the amount that stands behind a word on the page.
func figureBehind(p *person, label string) string {
	p.t.Helper()
	text := see[string](p, `document.querySelector("main").innerText`)
	m := regexp.MustCompile(regexp.QuoteMeta(label) + `[^€]*?(€[\d,.]*\d)`).FindStringSubmatch(text)
	if m == nil {
		p.t.Fatalf("no amount behind %q\n%s", label, p.where())
	}
	return m[1]
}
