package page

import (
	"fmt"
	"html"
	"html/template"
	"math/rand/v2"
	"strings"
	"testing"
)

// hostile is what people may have typed where it does most harm.
var hostile = []string{
	"", "Butter", `<script>alert("x")</script>`, "Anna & O'Neill", `" onmouseover="x`, "Crème brûlée", "\u202egnp.exe", "🎂 1 + 1", "a\x00b", "%41 %zz", "1,234.50 €",
}

var addresses = []string{
	"", "/cakes/x", "/cakes?q=a+b&from=50", "?q=<b>", "#row", "javascript:alert(1)", "JavaScript:alert(1)", "data:text/html,x", "//elsewhere", "/q:javascript", "https://example.com/?a='(b)", "mailto:a@example.com", "tel:+44 1", "/ü/\" x", "vbscript:x", " javascript:x",
}

// TestTableIsWrittenAsATemplateWould holds what is written by hand against the
// standard library's html/template, which escapes by context: tables of hostile
// words and addresses come out the same.
func TestTableIsWrittenAsATemplateWould(t *testing.T) {
	const row = `{{$heads := .Heads}}{{range .Rows}}<tr{{with .ID}} id="{{.}}"{{end}}{{with .Tone}} class="{{.}}"{{end}}>{{range $i, $c := .Cells}}{{if not $i}}<th scope="row">{{template "cell" .}}</th>{{else}}` +
		`{{$h := head $heads $i}}<td data-head="{{$h.Text}}" class="{{if $h.Right}}right{{end}}{{if $h.Key}} key{{end}}{{if $h.Plain}} plainly{{end}}{{with .Tone}} {{.}}{{end}}{{if not (or .Text .Bar)}} void{{end}}">{{template "cell" .}}</td>{{end}}{{end}}</tr>` + "\n{{end}}"
	const cell = `{{define "cell"}}<span class="v">{{if .Href}}<a href="{{.Href}}">{{.Text}}</a>{{else}}{{.Text}}{{end}}{{with .Note}}<small>{{.}}</small>{{end}}` +
		`{{with .Bar}}<svg class="bar" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true"><rect class="bar-ground" width="100" height="4"/><rect class="bar-{{.Tone}}" width="{{.Share}}" height="4"/></svg>{{end}}</span>{{end}}`
	const heading = `{{range .Heads}}<th scope="col"{{if .Right}} class="right"{{end}}{{with .Sort}} aria-sort="{{.}}"{{end}}>{{if .Href}}<a href="{{.Href}}">{{.Text}}</a>{{else}}{{.Text}}{{end}}</th>{{end}}`
	const table = `<table class="rows{{if .Brief}} brief{{end}}">` + "\n" + `<caption{{if not .Shown}} class="unseen"{{end}}>{{.Caption}}</caption>` + "\n<thead><tr>" + heading + "</tr></thead>\n<tbody>" + row + "</tbody>\n" + `{{with .Feet}}<tfoot>{{.}}</tfoot>{{end}}` + "\n</table>"
	model := template.Must(template.New("").Funcs(template.FuncMap{"head": func(heads []Head, i int) Head {
		if i < len(heads) {
			return heads[i]
		}
		return Head{}
	}}).Parse(cell + table))

	rng := rand.New(rand.NewPCG(1, 2))
	words := func() string { return hostile[rng.IntN(len(hostile))] }
	maybe := func() bool { return rng.IntN(2) == 0 }
	for range 300 {
		v := Table{Caption: words(), Shown: maybe(), Brief: maybe()}
		for range rng.IntN(4) {
			v.Heads = append(v.Heads, Head{Text: words(), Right: maybe(), Href: addresses[rng.IntN(len(addresses))], Sort: []string{"", "ascending"}[rng.IntN(2)], Key: maybe(), Plain: maybe()})
		}
		for range rng.IntN(4) {
			r := Row{ID: words(), Tone: []string{"", "gone"}[rng.IntN(2)]}
			for range rng.IntN(5) {
				c := Cell{Text: words(), Href: addresses[rng.IntN(len(addresses))], Note: words(), Tone: []string{"", "bad"}[rng.IntN(2)]}
				if maybe() {
					c.Bar = &Bar{Share: "41.7", Tone: fmt.Sprint(rng.IntN(7))}
				}
				r.Cells = append(r.Cells, c)
			}
			v.Rows = append(v.Rows, r)
		}
		var b strings.Builder
		if err := model.Execute(&b, struct {
			Table
			Feet string
		}{v, ""}); err != nil {
			t.Fatal(err)
		}
		// How an address that runs something is put out of action is the
		// library's own; that it is, is what counts.
		want := strings.ReplaceAll(html.UnescapeString(b.String()), `href="#ZgotmplZ"`, `href="#"`)
		got := html.UnescapeString(string(v.Written()))
		if got != want {
			t.Fatalf("%+v is written\n%s\nwant\n%s", v, got, want)
		}
		if strings.Contains(string(v.Written()), "<script") || strings.Contains(string(v.Written()), `"javascript`) {
			t.Errorf("%s runs a script", v.Written())
		}
	}
	foot := Table{Heads: []Head{{}, {Text: "Price", Right: true}}, Foot: []Row{{Cells: []Cell{{Text: "Sum"}, {Text: "5"}}}}}
	if got, want := string(foot.Written()), `<tfoot><tr><th scope="row"><span class="v">Sum</span></th><td data-head="Price" class="right"><span class="v">5</span></td></tr></tfoot>`; !strings.Contains(got, want) {
		t.Errorf("a table with a foot is written\n%s\nwithout\n%s", got, want)
	}
}
