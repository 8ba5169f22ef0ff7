package web

import (
	"fmt"
	"net/http"
	"net/mail"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// formOf writes a form as a browser sends it.
func formOf(pairs ...string) string {
	form := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	return form.Encode()
}

// filled is a form of a page with one text in every box that takes any.
type filled struct {
	action, method string
	files          bool
	values         url.Values
	boxes          []string // that take any text
}

// formsOf finds the forms of a page.
func formsOf(t *testing.T, body string) (forms []filled) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	attr := func(n *html.Node, name string) string {
		for _, a := range n.Attr {
			if a.Key == name {
				return a.Val
			}
		}
		return ""
	}
	has := func(n *html.Node, name string) bool {
		for _, a := range n.Attr {
			if a.Key == name {
				return true
			}
		}
		return false
	}
	var f *filled
	byID := map[string]*filled{} // boxes outside their form name it
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			in := f
			if of := attr(n, "form"); of != "" {
				in = byID[of]
			}
			name := attr(n, "name")
			switch n.Data {
			case "form":
				f = &filled{action: attr(n, "action"), method: strings.ToUpper(attr(n, "method")), files: attr(n, "enctype") != "", values: url.Values{}}
				byID[attr(n, "id")] = f
				for c := range n.ChildNodes() {
					walk(c)
				}
				forms = append(forms, *f)
				f = nil
				return
			case "input":
				switch kind := attr(n, "type"); {
				case in == nil || name == "":
				case kind == "text" || kind == "" || kind == "search" || kind == "email" || kind == "tel" || kind == "url":
					in.values.Add(name, attr(n, "value"))
					in.boxes = append(in.boxes, name)
				case kind == "checkbox" || kind == "radio":
					if has(n, "checked") {
						in.values.Add(name, attr(n, "value"))
					}
				case kind != "file" && kind != "password" && kind != "submit":
					in.values.Add(name, attr(n, "value"))
				}
			case "textarea":
				if in != nil {
					text := ""
					if n.FirstChild != nil {
						text = n.FirstChild.Data
					}
					in.values.Add(name, text)
					in.boxes = append(in.boxes, name)
				}
			case "select":
				first := ""
				chosen := ""
				for o := range n.Descendants() {
					if o.Data == "option" {
						if first == "" {
							first = attr(o, "value")
						}
						if has(o, "selected") {
							chosen = attr(o, "value")
						}
					}
				}
				if in != nil {
					if chosen == "" {
						chosen = first
					}
					in.values.Add(name, chosen)
				}
			}
		}
		for c := range n.ChildNodes() {
			walk(c)
		}
	}
	walk(root)
	return forms
}

// hostileWords are what somebody may type, or paste, into any box.
var hostileWords = []struct{ name, text string }{
	{"a script", `"'><script>alert(1)</script><img src=x onerror=alert(1)><style>*{display:none}</style>`},
	{"a template", `{{.Passphrase}} ${7*7} <%= 1 %> &lt;b&gt; %s%n '; DROP TABLE price; --`},
	{"right to left", "\u202eكعكة الزفاف\u202c \u2066עוגה\u2069 \u200f"},
	{"10,000 letters", strings.Repeat("Baumkuchen", 1000)},
	{"emoji", "🎂👩🏽‍🍳🏳️‍🌈\u0301\u0301\u0301 \ufffd \ufeff"},
	{"NUL and other controls", "cake\x00\x01\x1b[31m\x7f\u0085\u2028"},
	{"lines", "Ann\r\nBcc: everyone@cakes.example\r\n\r\nHello"},
	{"no UTF-8", "cake\xff\xfe\xc3"},
}

var notEscaped = regexp.MustCompile(`(?i)<script>alert|<img src=x|<style|\son[a-z]+=["']|javascript:|\x00`)

// TestHostileWords types each of some texts into every text box of every form of
// the sample pages: the answer is a page, it says what is wrong or takes the text
// as it is, and afterwards every page can be seen as before.
func TestHostileWords(t *testing.T) {
	words := hostileWords
	if testing.Short() {
		words = words[:1]
	}
	for _, w := range words {
		t.Run(w.name, func(t *testing.T) {
			t.Parallel() // each in a studio of its own
			v := visitStudio(t, true)
			seen := map[string]bool{}
			sent, taken := 0, 0
			for _, path := range samplePages {
				page := v.get(path)
				for _, f := range formsOf(t, page.body) {
					if f.action == "" {
						f.action = path
					}
					if len(f.boxes) == 0 || f.files || seen[f.method+f.action+strings.Join(f.boxes, " ")] {
						continue
					}
					seen[f.method+f.action+strings.Join(f.boxes, " ")] = true
					// All at once, and the first alone, which more often gets through.
					for _, boxes := range [][]string{f.boxes, f.boxes[:1]} {
						values := url.Values{}
						for name, list := range f.values {
							values[name] = append([]string(nil), list...)
						}
						for _, name := range boxes {
							values.Set(name, w.text)
						}
						var a answer
						if f.method == http.MethodPost {
							a = v.do(v.request(http.MethodPost, f.action, values.Encode()))
						} else {
							a = v.get(f.action + "?" + values.Encode())
						}
						if sent++; a.status < 400 {
							taken++
						}
						if a.status >= 500 || a.status == http.StatusNotFound && a.path != f.action {
							t.Errorf("%s %s: %d at %s, %.300s", f.method, f.action, a.status, a.path, plainText(a.body))
						}
						if found := notEscaped.FindString(a.body); found != "" {
							t.Errorf("%s %s holds %q as it was typed", f.method, f.action, found)
						}
					}
				}
			}
			if sent < 60 {
				t.Errorf("only %d forms were sent", sent)
			}
			t.Logf("%d forms sent, %d taken", sent, taken)
			for _, path := range samplePages {
				a := v.get(path)
				if a.status >= 500 {
					t.Errorf("GET %s afterwards: %d %.300s", path, a.status, plainText(a.body))
				}
				if found := notEscaped.FindString(a.body); found != "" {
					t.Errorf("GET %s afterwards holds %q", path, found)
				}
			}
		})
	}
}

// request is what a browser sends from our own pages.
func (v *visitor) request(method, path, body string) *http.Request {
	v.t.Helper()
	r, err := http.NewRequest(method, v.url+path, strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", formKind)
	r.Header.Set("Origin", v.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

// TestNamesWriteNoHeaders: line ends in names, addresses and notes add nothing to
// the head of a letter, nor to that of an answer.
func TestNamesWriteNoHeaders(t *testing.T) {
	const evil = "Ann\r\nBcc: everyone@cakes.example\r\nContent-Type: text/html\r\n\r\n<b>"
	v := visitStudio(t, true)
	for _, box := range []string{"to", "note", "payment", "kind"} {
		pairs := map[string]string{"kind": "quote", "to": "m@example.org", "note": "", "payment": ""}
		pairs[box] = evil
		var list []string
		for name, value := range pairs {
			list = append(list, name, value)
		}
		a := v.post("/quotes/2026-0001/letter/file", list...)
		if a.status != http.StatusOK {
			continue // refused
		}
		letter, err := mail.ReadMessage(strings.NewReader(a.body))
		if err != nil {
			t.Fatalf("%s: %v", box, err)
		}
		if bcc := letter.Header.Get("Bcc"); bcc != "" || !strings.HasPrefix(letter.Header.Get("Content-Type"), "multipart/") || len(letter.Header["To"]) != 1 {
			t.Errorf("by %s the head became %v", box, letter.Header)
		}
	}
	// A client of such a name, by every way that takes one.
	named := v.post("/clients/new", "name", evil, "email", "ann@example.org")
	if named.status == http.StatusOK && strings.Contains(named.body, "Bcc:") {
		client := named.path
		if a := v.post("/quotes/2026-0001/client", "client", strings.TrimPrefix(client, "/clients/")); a.status >= 500 {
			t.Errorf("a client of that name takes a quote: %d", a.status)
		}
	}
	studio := v.get("/studio/name").expect(t, 200)
	v.post("/studio/name", "version", studio.value(t, "version"), "name", "Cakes\r\nBcc: everyone@cakes.example", "email", studio.value(t, "email"))
	for _, path := range []string{"/quotes/2026-0001/A.pdf", "/quotes/2026-0001/calendar.ics", "/orders/calendar.ics", "/studio/backup/studio.db", "/studio/book/studio.json", "/month/2026-11.pdf", "/month/2026-11.xlsx", "/payments/export"} {
		a := v.get(path)
		for name, values := range a.header {
			for _, value := range values {
				if strings.ContainsAny(value, "\r\n") || strings.Contains(strings.ToLower(name+value), "bcc") {
					t.Errorf("GET %s: %s is %q", path, name, value)
				}
			}
		}
	}
	made := v.post("/quotes/2026-0001/letter/file", "kind", "quote", "to", "m@example.org")
	if letter, err := mail.ReadMessage(strings.NewReader(made.body)); err != nil || letter.Header.Get("Bcc") != "" {
		t.Errorf("a letter from a studio of such a name: %v, %v", letter, err)
	}
	if strings.Contains(fmt.Sprint(made.header), "Bcc") {
		t.Errorf("the answer's head became %v", made.header)
	}
}
