package web

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// axe finds what keeps people from using a page; its rules follow the WCAG. See
// testdata/axe-LICENSE.txt.
//
//go:embed testdata/axe.min.js
var axe string

// browser opens a tab in a real browser. Where none is installed the test is
// left out; `make test` installs one. Such tests run side by side, each with a
// browser and a studio of its own: most of their time one of the two waits for
// the other.
func browser(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("needs a browser")
	}
	needs(t, "chromium")
	t.Parallel()
	ctx, cancel := chromedp.NewContext(t.Context())
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 15*time.Minute)
	t.Cleanup(stop)
	return ctx
}

// screen sets the size of the window and the colours that its user prefers.
func screen(width int64, scheme string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1, Mobile: width < 600}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		return err
	})
}

func script(on bool) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
		return err
	})
}

// until waits for an expression to hold.
func until(expression string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		for range 1200 { // a minute, on a machine that is busy
			if ok, err := chromedp.Evaluate[bool](expression)(ctx, t); err != nil || ok {
				return err
			}
			time.Sleep(50 * time.Millisecond)
		}
		return fmt.Errorf("%s never held", expression)
	})
}

func shot(path string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		res, err := cdp.Call(ctx, t, page.CaptureScreenshot, page.CaptureScreenshotParams{CaptureBeyondViewport: new(true)})
		if err != nil {
			return err
		}
		return os.WriteFile(path, res.Data, 0o644)
	})
}

type violation struct {
	ID    string `json:"id"`
	Help  string `json:"help"`
	Nodes []struct {
		HTML    string `json:"html"`
		Summary string `json:"failureSummary"`
	} `json:"nodes"`
}

// tooWide lists what reaches beyond the screen, and tooSmall what a finger misses.
const (
	tooWide  = `[...document.querySelectorAll("body *")].filter(e => { const r = e.getBoundingClientRect(); return r.width > 2 && r.right > document.documentElement.clientWidth + 1 && !e.closest(".unseen, thead, svg, .skip") }).slice(0, 3).map(e => e.tagName + "." + e.className + " " + e.textContent.trim().slice(0, 40))`
	tooSmall = `[...document.querySelectorAll("button, input:not([type=hidden]):not([type=checkbox]), select, summary, nav a, a.button")].filter(e => { const r = e.getBoundingClientRect(); return r.height > 0 && r.height < 43.5 && !e.closest(".crumbs") }).slice(0, 3).map(e => e.outerHTML.slice(0, 80) + " " + e.getBoundingClientRect().height)`
)

// TestPagesInTheBrowser looks at every page on a phone and on a desk, light and
// dark, with script and without: nothing stands in the way of anyone, nothing
// is wider than the screen, nothing is too small to hit, and no policy is
// broken. With MARCHPANE_SCREENS=folder it keeps pictures of what it saw, and with
// MARCHPANE_PAGES=expression it looks at those alone whose name matches.
func TestPagesInTheBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	needs(t, "chromium")
	t.Parallel()
	full, empty := visitStudio(t, true), visitStudio(t, false)
	var places []place
	for _, path := range samplePages {
		places = append(places, place{name: path, url: full.url + path})
	}
	places = append(places, place{name: "/welcome", url: empty.url + "/welcome"})
	hash, err := HashPassphrase("sugar paste and patience")
	if err != nil {
		t.Fatal(err)
	}
	closed := visitStudio(t, true, func(o *Options) { o.Passphrase = hash })
	places = append(places, place{name: "/come-in", url: closed.url + "/come-in"})

	busy, number := acceptedStudio(t)
	for _, path := range []string{"/orders/" + number + "/actuals", "/kitchen/cards?from=2027-06-07&to=2027-06-13", "/kitchen?from=2027-06-07&to=2027-06-13", "/shopping?from=2027-06-07&to=2027-06-13&stock=yes", "/month/2027-06"} {
		places = append(places, place{name: path, url: busy.url + path})
	}

	list := states(t)
	for i, at := range stateServer(t, list) {
		places = append(places, place{name: list[i].name, url: at, brief: true})
	}
	only := regexp.MustCompile(os.Getenv("MARCHPANE_PAGES"))
	places = slices.DeleteFunc(places, func(p place) bool { return !only.MatchString(p.name) })

	// Several browsers take the next page each, until all are looked at.
	var next atomic.Int64
	for n := range 4 {
		t.Run(fmt.Sprint("browser ", n+1), func(t *testing.T) {
			ctx := browser(t)
			for {
				i := int(next.Add(1)) - 1
				if i >= len(places) {
					return
				}
				places[i].look(t, ctx)
			}
		})
	}
	t.Cleanup(func() { // the browsers are done by then
		if n := int(next.Load()); n < len(places) {
			t.Errorf("%d of %d pages were looked at", n, len(places))
		}
	})
}

// place is a page to look at.
type place struct {
	name, url string
	brief     bool // looked at on a phone in the light and at a desk in the dark alone
}

// look looks at a page in each scheme and at each width. It is loaded twice, with
// script and without: the size of the window and the colours that its user likes
// change under it as they do in the hands of people.
func (p place) look(t *testing.T, ctx context.Context) {
	t.Helper()
	folder := os.Getenv("MARCHPANE_SCREENS")
	loaded := false // with script; the last of the four looks is without
	for _, scheme := range []string{"light", "dark"} {
		for _, width := range []int64{390, 1440} {
			if p.brief && (scheme == "light") != (width == 390) {
				continue
			}
			scripted := scheme == "light" || width == 390
			name := fmt.Sprintf("%s at %d, %s, script %t", p.name, width, scheme, scripted)
			steps := []chromedp.Action[chromedp.Void]{screen(width, scheme)}
			if !loaded || !scripted {
				steps = append(steps, script(scripted), chromedp.Navigate(p.url), script(true))
			}
			loaded = true
			if err := chromedp.Do(ctx, steps...); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			wide, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](tooWide))
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if len(wide) > 0 {
				t.Errorf("%s is wider than the screen: %v", name, wide)
			}
			small, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](tooSmall))
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if len(small) > 0 {
				t.Errorf("%s has what is hard to hit: %v", name, small)
			}
			// Colours apart, the pages of both schemes and of either script are the
			// same elements.
			for _, v := range examine(t, ctx, name, (scheme == "light") == (width == 390) && !(p.brief && width == 1440)) {
				text := ""
				for _, n := range v.Nodes {
					text += "\n    " + n.HTML + "\n    " + strings.ReplaceAll(n.Summary, "\n", " ")
				}
				t.Errorf("%s: %s, %s%.900s", name, v.ID, v.Help, text)
			}
			if folder != "" {
				file := strings.NewReplacer("/", "_", "?", "_", "=", "_").Replace(strings.TrimPrefix(p.name, "/"))
				if err := chromedp.Do(ctx, shot(filepath.Join(folder, fmt.Sprintf("%s-%d-%s.png", file, width, scheme)))); err != nil {
					t.Fatalf("%s: %v", name, err)
				}
			}
		}
	}
}

// examine looks for all that axe knows, or for colours alone.
func examine(t *testing.T, ctx context.Context, name string, all bool) []violation {
	t.Helper()
	// A frame is the paper of a quote, a document of its own.
	which := `iframes: false, resultTypes: ["violations"]`
	if !all {
		which += `, runOnly: {type: "rule", values: ["color-contrast"]}`
	}
	if there, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`"axe" in window`)); err != nil {
		t.Fatalf("%s: %v", name, err)
	} else if !there {
		if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](axe+`; true`)); err != nil {
			t.Fatalf("%s: axe: %v", name, err)
		}
	}
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`axe.run(document, {`+which+`}).then(r => JSON.stringify(r.violations))`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: axe: %v", name, err)
	}
	var found []violation
	if err := json.Unmarshal([]byte(text), &found); err != nil {
		t.Fatalf("%s: axe: %v", name, err)
	}
	return found
}

// TestScriptAndKeys: the live preview and search, the keys, the guard.
func TestScriptAndKeys(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	if err := chromedp.Do(ctx, screen(1440, "light"), chromedp.Navigate(v.url+"/prices/butter"),
		chromedp.SendKeys(chromedp.ID("f-price"), "40"), chromedp.WaitVisible(chromedp.CSS("#effect table"))); err != nil {
		t.Fatalf("the preview of a price: %v", err)
	}
	text, err := chromedp.Run(ctx, chromedp.Text(chromedp.ID("effect")))
	if err != nil || !strings.Contains(text, "against") {
		t.Errorf("the preview says %q, %v", text, err)
	}
	guarded, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`(() => { const e = new Event("beforeunload", {cancelable: true}); dispatchEvent(e); return e.defaultPrevented })()`))
	if err != nil || !guarded {
		t.Errorf("leaving with something typed asks: %t, %v", guarded, err)
	}
	// A form that is gone guards nothing.
	if err := chromedp.Do(ctx, until(`document.querySelectorAll("form[data-guard]").forEach(f => f.remove()), true`), chromedp.Navigate(v.url+"/prices"),
		chromedp.SendKeys(chromedp.ID("within"), "butter"), until(`document.querySelectorAll("#list tbody tr").length < 5`)); err != nil {
		t.Fatalf("the live search: %v", err)
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(v.url+"/prices"), chromedp.KeyEvent("/")); err != nil {
		t.Fatal(err)
	}
	if at, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.activeElement.id`)); err != nil || at != "search" {
		t.Errorf("/ leads to %q, %v", at, err)
	}
	if _, err := chromedp.RunResponse(ctx, chromedp.KeyEvent("petal"), chromedp.KeyEvent(kb.Enter)); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.RunResponse(ctx, until(`document.activeElement.blur() || true`), chromedp.KeyEvent("g"), chromedp.KeyEvent("c")); err != nil {
		t.Fatal(err)
	}
	if at, err := chromedp.Run(ctx, chromedp.Location()); err != nil || at != v.url+"/cakes" {
		t.Errorf("g c leads to %q, %v", at, err)
	}
}
