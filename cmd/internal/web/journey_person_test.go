package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A person sits at a browser and does what people do there: reads, follows
// links by their words, fills boxes by their labels, presses buttons. What is
// not to be seen, or is covered by something else, a person cannot use. Only
// the first page is gone to by its address.
//
// A journey fails, whatever else it is about, where a page writes an error to
// the console, throws, or does what its content policy forbids.
type person struct {
	t        *testing.T
	ctx      context.Context
	v        *visitor
	scripted bool
	touch    bool

	mu      sync.Mutex
	console []string
	answer  string // to the question whether to leave: "stay", "leave", or "" where none is expected
	asked   bool   // whether that question came
}

// untilGivesUp is how long a person waits for what is still coming, on a machine that
// is busy with something else.
const untilGivesUp = time.Minute

// comes reports whether something comes to hold.
func comes(holds func() bool) bool {
	for end := time.Now().Add(untilGivesUp); ; time.Sleep(20 * time.Millisecond) {
		if holds() {
			return true
		}
		if time.Now().After(end) {
			return false
		}
	}
}

// sits is a person in front of a screen of a width.
func (v *visitor) sits(t *testing.T, ctx context.Context, width int64, scripted bool) *person {
	t.Helper()
	p := &person{t: t, ctx: ctx, v: v, scripted: scripted, touch: width < 600}
	p.do(chromedp.Navigate("about:blank"))
	if err := chromedp.Listen(ctx, p.hear); err != nil {
		t.Fatal(err)
	}
	p.do(screen(width, "light"))
	if p.touch {
		p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
			_, err := cdp.Call(ctx, tab, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
			return err
		}))
	}
	t.Cleanup(p.complain)
	p.comesHome()
	return p
}

// comesHome goes to the first page, from wherever it is.
func (p *person) comesHome() {
	p.t.Helper()
	p.opens(func() { p.do(chromedp.Navigate(p.v.url + "/")) })
}

// complain fails for what pages said that they should not have.
func (p *person) complain() {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, said := range p.console {
		p.t.Errorf("the console: %s", said)
	}
	p.console = nil
}

// hear keeps what a page says only when something is wrong with it. A browser
// also notes every answer that refuses a form, which is as it should be.
func (p *person) hear(event any) {
	said := ""
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		said = fmt.Sprintf("exception: %s %v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception)
	case *runtime.EventConsoleAPICalled:
		if e.Type == "error" || e.Type == "warning" {
			said = string(e.Type) + ":"
			for _, a := range e.Args {
				said += " " + string(a.Value) + a.Description
			}
		}
	case *log.EventEntryAdded:
		refused := e.Entry.Source == log.EntrySourceNetwork && (strings.Contains(e.Entry.Text, "status of 422") || strings.Contains(e.Entry.Text, "status of 409"))
		if e.Entry.Level == log.EntryLevelError && !refused {
			said = fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL)
		}
	case *page.EventJavascriptDialogOpening:
		p.mu.Lock()
		stay := p.answer == "stay"
		if p.answer == "" {
			said = fmt.Sprintf("%s asks whether to leave it", e.URL)
		}
		p.asked = true
		p.mu.Unlock()
		go func() { // the page stands still until it is answered
			_, err := chromedp.Call(p.ctx, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: !stay})
			if err != nil && p.ctx.Err() == nil {
				p.mu.Lock()
				p.console = append(p.console, "answering: "+err.Error())
				p.mu.Unlock()
			}
		}()
	}
	if said != "" {
		p.mu.Lock()
		p.console = append(p.console, said)
		p.mu.Unlock()
	}
}

func (p *person) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.t.Fatalf("%v\n%s", err, p.where())
	}
}

// sight is what a person knows of a page by looking at it.
const sight = `(() => {
	const words = e => (e.innerText ?? e.textContent).replace(/\s+/g, " ").trim();
	const seen = e => e.checkVisibility({visibilityProperty: true}) && e.getBoundingClientRect().height > 2 && !e.closest(".unseen");
	const label = e => [...(e.labels ?? [])].map(l => words(l).replace(/ needed$/, "")).join(" ") || e.getAttribute("aria-label") || "";
	const boxes = () => [...document.querySelectorAll("input:not([type=hidden]), select, textarea")].filter(e => seen(e) || e.closest("label") && seen(e.closest("label")));
	const within = place => {
		if (!place) return document;
		const found = [...document.querySelectorAll("section, fieldset, form, [role=group], aside, details, tr, li, nav, .card")].filter(seen).filter(e =>
			(e.getAttribute("aria-label") ?? "") === place || [...e.querySelectorAll("h2, h3, legend, summary, caption, th, a")].some(h => words(h).startsWith(place)));
		return found.sort((a, b) => a.querySelectorAll("*").length - b.querySelectorAll("*").length)[0] ?? null;
	};
	const pick = (list, text) => list.find(e => e.said === text) ?? list.find(e => e.said.startsWith(text)) ?? null;
	const at = e => {
		if (!e) return null;
		e.scrollIntoView({block: "center", inline: "nearest"});
		const r = e.getClientRects()[0] ?? e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2, hit = document.elementFromPoint(x, y);
		window.chosen = e;
		return {x, y, reached: !!hit && (e.contains(hit) || hit.contains(e) || !!hit.closest("label")?.contains(e)), tag: e.tagName, type: e.type ?? "", href: e.href ?? "", over: hit ? hit.outerHTML.slice(0, 120) : ""};
	};
	return {words, seen, label, boxes, within, at,
		thing: (text, place, tags) => { const w = within(place); return w && at(pick([...w.querySelectorAll(tags)].filter(seen).map(e => { e.said = words(e); return e }), text)) },
		box: (text, place, n) => {
			const w = within(place); if (!w) return null;
			const list = boxes().filter(e => w.contains(e)).map(e => { e.said = label(e); return e });
			const same = list.filter(e => e.said === text), like = same.length ? same : list.filter(e => e.said.startsWith(text));
			return at(like[n] ?? null);
		},
	};
})()`

// spot is where something is on the screen.
type spot struct {
	X, Y    float64
	Reached bool
	Tag     string
	Type    string
	Href    string
	Over    string
}

func quoted(s string) string {
	b, _ := json.Marshal(s)
	return string(b)
}

func see[T any](p *person, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// find looks for something until it is there, since parts of a page may still
// be coming in.
func (p *person) find(what, expression string) spot {
	p.t.Helper()
	var found *spot
	if comes(func() bool {
		found = see[*spot](p, sight+"."+expression)
		return found != nil && found.Reached
	}) {
		return *found
	}
	if found != nil {
		p.t.Fatalf("%s is covered by %s\n%s", what, found.Over, p.where())
	}
	p.t.Fatalf("nobody can see %s\n%s", what, p.where())
	return spot{}
}

// where is what the page says, for whoever reads why a journey failed.
func (p *person) where() string {
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`(() => { const s = `+sight+`;
		return location.href + "\n" + (document.querySelector("main") ?? document.body).innerText.replace(/\n\s*\n+/g, "\n").slice(0, 6000) + "\nBoxes: " + s.boxes().map(e => s.label(e) + "=" + (e.value ?? "")).join(" | ") + "\nLinks and buttons: " + [...document.querySelectorAll("main a, main button, main summary")].filter(s.seen).map(s.words).join(" | ") })()`))
	if err != nil {
		return err.Error()
	}
	return text
}

// tap is a click of the mouse or the touch of a finger.
func (p *person) tap(s spot) {
	p.t.Helper()
	if p.touch {
		p.do(chromedp.TapXY(s.X, s.Y))
	} else {
		p.do(chromedp.MouseClickXY(s.X, s.Y))
	}
}

// opens does what leads to another page, and waits for that to be there.
func (p *person) opens(act func()) {
	p.t.Helper()
	see[bool](p, `window.left = true`)
	if !p.scripted {
		p.do(script(false))
	}
	act()
	if !comes(func() bool {
		there, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`!window.left && location.href !== "about:blank" && document.readyState === "complete"`))
		return err == nil && there
	}) {
		p.t.Fatalf("no other page came\n%s", p.where())
	}
	if !p.scripted {
		p.do(script(true)) // for the eyes of the test; what the page has of it did not run
	}
}

// press presses a button or follows a link that leads to another page. Where
// the same words stand in several places, in says which is meant by what stands
// above or beside it.
func (p *person) press(text string, in ...string) {
	p.t.Helper()
	s := p.find(fmt.Sprintf("%q", text), fmt.Sprintf("thing(%s, %s, %s)", quoted(text), quoted(strings.Join(in, "")), quoted("a[href], button")))
	p.opens(func() { p.tap(s) })
}

// fill fills a box in place of what it holds. in is the words above or beside
// it, where a label is there several times.
func (p *person) fill(label, text string, in ...string) {
	p.t.Helper()
	p.fillThe(0, label, text, in...)
}

// fillThe fills the box that is the n-th of its label, from 0.
func (p *person) fillThe(n int, label, text string, in ...string) {
	p.t.Helper()
	s := p.find(fmt.Sprintf("a box %q in %q", label, in), fmt.Sprintf("box(%s, %s, %d)", quoted(label), quoted(strings.Join(in, "")), n))
	switch {
	case s.Type == "file":
		p.choose(text)
		return
	case s.Tag == "SELECT":
		p.pick(label, text)
		return
	case s.Type == "checkbox":
		if see[bool](p, `window.chosen.checked`) != (text == "yes") {
			p.tap(s)
		}
		return
	case s.Type == "date":
		year, rest, _ := strings.Cut(text, "-")
		month, day, _ := strings.Cut(rest, "-")
		see[bool](p, `window.chosen.focus(), true`)
		p.do(chromedp.KeyEvent(month + day + year)) // as the browser's own language writes it
	default:
		p.tap(s)
		see[bool](p, `document.activeElement === window.chosen && (window.chosen.select(), true)`)
		if text == "" {
			p.do(chromedp.KeyEvent(kb.Delete))
			break
		}
		p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
			_, err := cdp.Call(ctx, tab, input.InsertText, input.InsertTextParams{Text: text})
			return err
		}))
	}
	want := strings.ReplaceAll(text, "\r\n", "\n")
	if got := see[string](p, `window.chosen.value`); got != want {
		p.t.Fatalf("%q holds %q after %q was typed", label, got, want)
	}
}

// pick chooses from a list with the arrow keys.
func (p *person) pick(label, text string) {
	p.t.Helper()
	steps := see[int](p, fmt.Sprintf(`(() => { const e = window.chosen, o = [...e.options], i = o.findIndex(o => o.text === %[1]s), j = i < 0 ? o.findIndex(o => o.text.startsWith(%[1]s)) : i; e.focus(); return j < 0 ? 9999 : j - e.selectedIndex })()`, quoted(text)))
	if steps == 9999 {
		p.t.Fatalf("%q offers no %q but %s", label, text, see[string](p, `[...window.chosen.options].map(o => o.text).join(" | ")`))
	}
	key := kb.ArrowDown
	if steps < 0 {
		key, steps = kb.ArrowUp, -steps
	}
	p.do(chromedp.KeyEvent(strings.Repeat(key, steps)))
	if got := see[string](p, `window.chosen.selectedOptions[0].text`); !strings.HasPrefix(got, text) {
		p.t.Fatalf("%q stands at %q, not at %q", label, got, text)
	}
}

// choose hands a file to the file chooser that a box opens.
func (p *person) choose(path string) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		box, err := cdp.Call(ctx, tab, runtime.Evaluate, runtime.EvaluateParams{Expression: `window.chosen`})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, tab, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, ObjectID: box.Result.ObjectID})
		return err
	}))
}

// reads fails where the page does not come to say something. It waits for what
// is still coming in.
func (p *person) reads(texts ...string) {
	p.t.Helper()
	for _, text := range texts {
		if !p.waits(fmt.Sprintf(`document.body.innerText.replace(/\s+/g, " ").includes(%s)`, quoted(text))) {
			p.t.Fatalf("the page does not say %q\n%s", text, p.where())
		}
	}
}

// waits reports whether a condition comes to hold.
func (p *person) waits(condition string) bool {
	p.t.Helper()
	return comes(func() bool { return see[bool](p, condition) })
}

// href is where a link leads.
func (p *person) href(text string, in ...string) string {
	p.t.Helper()
	return p.find(fmt.Sprintf("%q", text), fmt.Sprintf("thing(%s, %s, %s)", quoted(text), quoted(strings.Join(in, "")), quoted("a[href]"))).Href
}

// saves keeps what a link of the page leads to in a file, as the browser's
// "save as" does: with its cookies. Chromium shows PDFs by a program of its own
// that cannot be looked into from outside.
func (p *person) saves(name, text string, in ...string) (path string) {
	p.t.Helper()
	return p.keeps(name, p.href(text, in...))
}

func (p *person) keeps(name, address string) (path string) {
	p.t.Helper()
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		p.t.Fatal(err)
	}
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		res, err := cdp.Call(ctx, tab, network.GetCookies, network.GetCookiesParams{URLs: []string{address}})
		for _, c := range res.Cookies {
			r.AddCookie(&http.Cookie{Name: c.Name, Value: c.Value})
		}
		return err
	}))
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		p.t.Fatalf("%s: %s, %v", address, res.Status, err)
	}
	path = filepath.Join(p.t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		p.t.Fatal(err)
	}
	return path
}

// pdfText is what a PDF says, by a reader of somebody else.
func pdfText(t *testing.T, path string) string {
	t.Helper()
	needs(t, "pdftotext")
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// needs leaves a test out where a tool is not installed. Where changes are checked
// before they land, which sets CI, that fails instead: nothing is left out there.
func needs(t *testing.T, tool string) {
	t.Helper()
	if _, err := exec.LookPath(tool); err == nil {
		return
	}
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is not installed; `make tools` installs it", tool)
	}
	t.Skipf("%s is not installed", tool)
}

// fits fails where something reaches beyond the screen or is too small for a
// finger.
func (p *person) fits() {
	p.t.Helper()
	for _, s := range see[[]string](p, tooWide) {
		p.t.Errorf("%s is wider than the screen: %s", see[string](p, "location.pathname"), s)
	}
	for _, s := range see[[]string](p, tooSmall) {
		p.t.Errorf("%s has what is hard to hit: %s", see[string](p, "location.pathname"), s)
	}
}
