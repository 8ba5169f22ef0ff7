package web

import (
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

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

	part(t, "a quote for a wedding cake", func(t *testing.T) {
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
	}, p)

	part(t, "what dearer butter does", func(t *testing.T) {
		press("Cakes")
		press("Three-tier wedding cake, lemon and elderflower")
		before := figureBehind(p, "Cost")
		press("What if")
		p.fill("Unsalted butter, 82 % fat", "20")
		if scripted {
			p.reads("Three-tier wedding cake", "2026-0001")
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
		rise := new(big.Rat).Sub(euros(figureBehind(p, "Cost")), euros(before))
		if rise.Cmp(big.NewRat(676, 100)) < 0 || rise.Cmp(big.NewRat(678, 100)) > 0 {
			t.Errorf("butter made the cake dearer by %s, want 6.77", rise.FloatString(2))
		}
		press("What if")
		press("New list prices")
		p.reads("Three-tier wedding cake")
	}, p)

	part(t, "the month's report", func(t *testing.T) {
		press("Month")
		p.reads("November 2026")
		if width < 600 {
			p.unfolds("Quotes") // a phone folds the parts of a report
		}
		values := see[string](p, `[...document.querySelectorAll("tr")].find(r => r.innerText.startsWith("Issued"))?.innerText ?? ""`)
		m := regexp.MustCompile(`[12][^€]*€([\d,]+\.\d\d)`).FindStringSubmatch(values)
		if m == nil {
			t.Fatalf("no quote is issued this month: %q", values)
		}
		issued := strings.ReplaceAll(m[1], ",", "")
		if book := recalculated(t, p.saves("month.xlsx", "Spreadsheet (XLSX)")); !strings.Contains(book, issued) {
			t.Errorf("the workbook does not hold the quotes' %s: %.3000s", issued, book)
		}
		press("Today")
	}, p)
}

// recalculated is what LibreOffice reads on every sheet of a workbook.
func recalculated(t *testing.T, path string) string {
	t.Helper()
	needs(t, "soffice")
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
	p.keys(kb.Tab)
	if first := p.focused(); !strings.HasPrefix(first, "Skip") && !strings.HasPrefix(first, "To the") && !strings.HasPrefix(first, "Go to") {
		t.Errorf("Tab leads first to %q, not past the head of the page", first)
	}
	p.tabsTo("Prices")
	p.enters()
	p.tabsTo("Find by name")
	p.keys("butter, ")
	if !p.waits(`document.querySelectorAll("main tbody tr").length < 5`) {
		t.Fatalf("the list does not come to what was asked for\n%s", p.where())
	}
	p.tabsTo("Unsalted butter")
	p.enters()
	p.tabsTo("A pack costs")
	p.keys("34.74")
	p.enters()
	p.reads("€34.74")
	p.tabsTo("Undo")
	p.enters()
	if see[bool](p, `document.querySelector("main").innerText.includes("€34.74")`) {
		t.Errorf("the price is still there\n%s", p.where())
	}
}

// TestKeyboardAndFigures searches, asks what if, follows a price down to the gram
// and accepts a quote, with keys alone.
func TestKeyboardAndFigures(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, 1440, true)

	part(t, "search", func(t *testing.T) {
		p.tabsTo("Search prices, recipes")
		p.keys("elderflower")
		p.enters()
		p.reads("Elderflower cordial", "Elderflower syrup")
		p.tabsTo("Elderflower syrup")
		p.enters()
		p.reads("Elderflower syrup", "Sugar syrup, equal parts")
	}, p)

	part(t, "what if, by slider and by number", func(t *testing.T) {
		p.tabsTo("What if")
		p.enters()
		p.tabsTo("Unsalted butter, 82 % fat, slider")
		p.keys(strings.Repeat(kb.ArrowRight, 12))
		p.reads("Unsalted butter, 82 % fat +12.0%", "Raspberry heart on almond torte")
		p.tabsTo("Unsalted butter, 82 % fat")
		if got := see[string](p, "document.activeElement.value"); got != "12" {
			t.Errorf("with the slider at 12 the number is %q", got)
		}
		p.keys("25") // what Tab led to is chosen whole, so that it goes
		p.reads("Unsalted butter, 82 % fat +25.0%")
		if got := see[string](p, `document.querySelector("[type=range][aria-label^='Unsalted butter']").value`); got != "25" {
			t.Errorf("with the number at 25 the slider is at %q", got)
		}
		p.tabsTo("Raspberry heart on almond torte")
		p.enters()
		p.reads("What it earns")
	}, p)

	part(t, "the explanation", func(t *testing.T) {
		p.tabsTo("Cakes")
		p.enters()
		p.tabsTo("Three-tier wedding cake")
		p.enters()
		p.tabsTo("Tier middle")
		p.keys(kb.Enter)
		if !p.waits(`document.activeElement.parentElement.open`) {
			t.Fatalf("Enter unfolds nothing\n%s", p.where())
		}
		p.tabsTo("Vanilla butter sponge")
		p.keys(kb.Enter) // leads to what is made for the cake, which unfolds
		if !p.waits(`document.querySelector(":target details[open], details[open]:target")?.innerText.includes("Unsalted butter, 82 % fat") ?? false`) {
			t.Fatalf("Enter does not lead to the butter of the sponge\n%s", p.where())
		}
	}, p)

	part(t, "a quote is accepted", func(t *testing.T) {
		p.tabsTo("Orders")
		p.enters()
		p.tabsTo("Zoë Šimková and Cormac Devane")
		p.enters()
		p.tabsTo("How you know")
		p.keys("signed paper")
		p.tabsTo("Make it an order")
		p.enters()
		p.reads("Still to pay", "signed paper")
	}, p)
}

// euros is an amount as pages write it.
func euros(text string) *big.Rat {
	return rat(strings.ReplaceAll(strings.TrimPrefix(text, "€"), ",", ""))
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
