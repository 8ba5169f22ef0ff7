package web

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// part is a part of a journey, by a name of its own, of those who are on it. Each
// begins at the first page, so that what one part did not finish is in nobody's
// way.
func part(t *testing.T, name string, walk func(t *testing.T), people ...*person) {
	t.Helper()
	t.Run(name, func(t *testing.T) {
		for _, p := range people {
			was := p.t
			p.t = t
			t.Cleanup(func() {
				p.complain()
				p.t = was
			})
		}
		for _, p := range people {
			p.answers("leave")
			p.comesHome()
			p.answers("")
		}
		walk(t)
	})
}

// apart is another tab of the same browser, which knows nothing of the first: its
// cookies are its own.
func apart(t *testing.T, ctx context.Context) context.Context {
	t.Helper()
	ctx, cancel := chromedp.NewContext(ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	return ctx
}

// answers is what a person says when asked whether to leave a page; "" where that
// is not to be asked.
func (p *person) answers(say string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.answer, p.asked = say, false
}

func (p *person) wasAsked() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.asked
}

// staysOn presses what would lead elsewhere, is asked, and stays.
func (p *person) staysOn(text string, in ...string) {
	p.t.Helper()
	at := see[string](p, `window.stayed = true, location.href`)
	p.answers("stay")
	p.tap(p.find(fmt.Sprintf("%q", text), fmt.Sprintf("thing(%s, %s, %s)", quoted(text), quoted(strings.Join(in, "")), quoted("a[href], button"))))
	if !comes(p.wasAsked) {
		p.t.Fatalf("%q leads away without a question\n%s", text, p.where())
	}
	p.answers("")
	if now := see[string](p, `window.stayed ? location.href : "a page that was loaded anew"`); now != at {
		p.t.Fatalf("who stayed on %s is on %s", at, now)
	}
}

// leavesBy presses what leads elsewhere, is asked, and leaves.
func (p *person) leavesBy(text string, in ...string) {
	p.t.Helper()
	p.answers("leave")
	p.press(text, in...)
	if !p.wasAsked() {
		p.t.Errorf("%q led away without a question", text)
	}
	p.answers("")
}

// looksUp goes to a section, finds something in its list, and opens it.
func (p *person) looksUp(section, name string) {
	p.t.Helper()
	p.press(section, "Sections")
	p.fill("Find by name", name)
	if !p.scripted {
		p.press("Find")
	}
	p.press(name, "")
}

// unfolds opens what is folded, and what a page shows a step further down in.
func (p *person) unfolds(text string, in ...string) {
	p.t.Helper()
	s := p.find(fmt.Sprintf("%q to unfold", text), fmt.Sprintf("thing(%s, %s, %s)", quoted(text), quoted(strings.Join(in, "")), quoted("summary")))
	if see[bool](p, `window.chosen.parentElement.open`) {
		return
	}
	p.tap(s)
	if !p.waits(`window.chosen.parentElement.open`) {
		p.t.Fatalf("%q does not unfold\n%s", text, p.where())
	}
}

// jumps follows a link to another place of the same page.
func (p *person) jumps(text string, in ...string) {
	p.t.Helper()
	s := p.find(fmt.Sprintf("%q", text), fmt.Sprintf("thing(%s, %s, %s)", quoted(text), quoted(strings.Join(in, "")), quoted(`a[href*="#"]`)))
	_, place, _ := strings.Cut(s.Href, "#")
	p.tap(s)
	if !p.waits(fmt.Sprintf(`(() => { const e = document.getElementById(%s); if (!e) return false; const r = e.getBoundingClientRect(); return location.hash.slice(1) === e.id && r.top < innerHeight && r.bottom > 0 })()`, quoted(place))) {
		p.t.Fatalf("%q does not lead to #%s\n%s", text, place, p.where())
	}
}

// holds is what is in a box.
func (p *person) holds(label string, in ...string) string {
	p.t.Helper()
	p.find(fmt.Sprintf("a box %q in %q", label, in), fmt.Sprintf("box(%s, %s, 0)", quoted(label), quoted(strings.Join(in, ""))))
	return see[string](p, `window.chosen.value`)
}

// lacks fails where the page says something.
func (p *person) lacks(text string) {
	p.t.Helper()
	if see[bool](p, fmt.Sprintf(`document.querySelector("main").innerText.replace(/\s+/g, " ").includes(%s)`, quoted(text))) {
		p.t.Errorf("the page says %q\n%s", text, p.where())
	}
}

// book is the whole book, as the studio's page sends it.
func (p *person) book() string {
	p.t.Helper()
	return p.text("/studio/book/studio.json")
}

// text is what is kept of an address.
func (p *person) text(path string) string {
	p.t.Helper()
	data, err := os.ReadFile(p.keeps("kept", p.v.url+path))
	if err != nil {
		p.t.Fatal(err)
	}
	return string(data)
}

// keys presses keys one after another.
func (p *person) keys(keys string) {
	p.t.Helper()
	p.do(chromedp.KeyEvent(keys))
}

// enters presses Enter where that leads to another page.
func (p *person) enters() {
	p.t.Helper()
	p.opens(func() { p.keys(kb.Enter) })
}

// focused is what the box or link says that the keys go to.
func (p *person) focused() string {
	p.t.Helper()
	return see[string](p, `(() => { const s = `+sight+`, e = document.activeElement; return e === document.body ? "" : s.label(e) || s.words(e) })()`)
}

// tabsTo goes on with Tab until it is at something. Wherever that leads on the
// way, it can be seen where one is.
func (p *person) tabsTo(text string) {
	p.t.Helper()
	for range 160 {
		p.keys(kb.Tab)
		at := p.focused()
		if why := see[string](p, `(() => { const e = document.activeElement; if (e === document.body) return ""; const r = e.getBoundingClientRect(), c = getComputedStyle(e);
			if (r.bottom <= 0 || r.top >= innerHeight || r.height === 0) return "is not on the screen";
			return c.outlineStyle !== "none" && parseFloat(c.outlineWidth) > 0 || c.boxShadow !== "none" ? "" : "has no mark: " + c.outline })()`); why != "" {
			p.t.Errorf("on %s it cannot be seen that %q has the focus: it %s", see[string](p, "location.pathname"), at, why)
		}
		if strings.HasPrefix(at, text) {
			return
		}
	}
	p.t.Fatalf("Tab never leads to %q\n%s", text, p.where())
}
