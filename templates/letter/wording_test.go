package letter_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"marchpane/templates/letter"
)

// TestEveryWording: each kind is there in each language, makes a letter of
// many facts and of few, and says what a letter of its kind must.
func TestEveryWording(t *testing.T) {
	f := facts()
	closing := []string{f.Client, f.QuoteName, f.Signer, f.Contact[0], f.Contact[1], f.Studio, "NOTE, first part.", "Note, second part.", f.EventDate, f.Venue}
	offer := []string{f.Options[0].Name, f.Options[0].Total, f.Options[1].Name, f.Options[1].Total, f.ValidUntil, f.Deposit, f.DepositDue}
	must := map[letter.Kind][]string{
		letter.Quote:        offer,
		letter.Revision:     append(f.Changes, offer...),
		letter.Receipt:      {f.Receipt, f.Received, f.ReceivedOn, f.Balance, f.BalanceDue},
		letter.Reminder:     append([]string{f.Due, f.DueFor, f.DueOn}, f.PayTo...),
		letter.Cancellation: {f.Cancelled, f.Kept, f.Refund},
	}
	if len(must) != len(letter.Kinds()) {
		t.Fatalf("%d kinds of letter, %d looked at", len(letter.Kinds()), len(must))
	}
	seen := map[string]string{}
	for _, kind := range letter.Kinds() {
		for _, tag := range letter.Languages() {
			name := fmt.Sprintf("%s %s", tag, kind)
			wording := letter.Default(tag, kind)
			if wording == "" || tag != "en" && wording == letter.Default("en", kind) {
				t.Errorf("%s has no wording", name)
				continue
			}
			if other, twice := seen[wording]; twice {
				t.Errorf("%s and %s have the same wording", name, other)
			}
			seen[wording] = name
			if err := letter.Check(wording); err != nil {
				t.Errorf("Check(%s) = %v", name, err)
			}
			subject, body, err := letter.Fill(wording, f)
			if err != nil {
				t.Errorf("Fill(%s): %v", name, err)
				continue
			}
			if n := len([]rune(subject)); !strings.Contains(subject, f.Studio) || n > 78 {
				t.Errorf("%s: subject %q does not say whose it is in 78 letters", name, subject)
			}
			for _, want := range append(must[kind], closing...) {
				if !strings.Contains(subject+"\n"+body, want) {
					t.Errorf("%s does not say %q:\n%s", name, want, body)
				}
			}
			if strings.Contains(body, "{") || strings.Contains(body, "\n\n\n") || strings.Contains(body, "  ") {
				t.Errorf("%s has braces or gaps left:\n%s", name, body)
			}
			few := letter.Facts{Studio: "S", Client: "C", QuoteName: "Q", Total: "TOTAL", Due: "DUE", Received: "RECEIVED"}
			subject, body, err = letter.Fill(wording, few)
			if err != nil || strings.Contains(subject+body, " ,") || strings.Contains(subject+body, " .") || strings.Contains(subject+body, "()") || strings.Contains(body, ": \n") || strings.Contains(body, "  ") {
				t.Errorf("Fill(%s) of few facts = %q, %v:\n%s", name, subject, err, body)
			}
		}
	}
}

// TestEitherOr: the branches that one set of facts cannot show together.
func TestEitherOr(t *testing.T) {
	for _, tag := range letter.Languages() {
		say := func(kind letter.Kind, change func(*letter.Facts)) string {
			f := facts()
			change(&f)
			subject, body, err := letter.Fill(letter.Default(tag, kind), f)
			if err != nil {
				t.Fatal(err)
			}
			return subject + "\n" + body
		}
		if s := say(letter.Quote, func(f *letter.Facts) { f.Options = nil }); !strings.Contains(s, "TOTAL") {
			t.Errorf("%s: a quote of one design does not say its price:\n%s", tag, s)
		}
		if s := say(letter.Revision, func(f *letter.Facts) { f.Options = nil }); !strings.Contains(s, "TOTAL") || !strings.Contains(s, "PREVIOUS") {
			t.Errorf("%s: a revision of one design does not say both prices:\n%s", tag, s)
		}
		if s := say(letter.Receipt, func(f *letter.Facts) { f.PaidInFull = true }); strings.Contains(s, "BALANCE") {
			t.Errorf("%s: a receipt of the last payment asks for more:\n%s", tag, s)
		}
		soon, late := say(letter.Reminder, func(*letter.Facts) {}), say(letter.Reminder, func(f *letter.Facts) { f.Overdue = true })
		a, b := strings.Split(soon, "\n"), strings.Split(late, "\n")
		if len(a) != len(b) || a[0] == b[0] || a[3] == b[3] {
			t.Errorf("%s: an overdue payment reads like one due soon:\n%s", tag, late)
		}
	}
}

// TestWords: every fact is explained, and the sample of this test fills every
// one but the two that are yes or no.
func TestWords(t *testing.T) {
	words := letter.Words()
	v := reflect.ValueOf(facts())
	if len(words) != v.NumField() {
		t.Fatalf("Words() has %d, Facts %d", len(words), v.NumField())
	}
	for i, w := range words {
		if w.Meaning == "" || w.Name != v.Type().Field(i).Name || w.List != (v.Field(i).Kind() == reflect.Slice) {
			t.Errorf("Words()[%d] = %+v", i, w)
		}
		if v.Field(i).IsZero() != (v.Field(i).Kind() == reflect.Bool) {
			t.Errorf("the sample leaves %s empty", w.Name)
		}
	}
}

func TestDefault(t *testing.T) {
	for _, c := range []struct{ tag, like string }{{"de-AT", "de"}, {"pt-BR", "pt"}, {"EN_gb", "en"}, {"sv", "en"}, {"", "en"}, {"../de", "en"}} {
		if got := letter.Default(c.tag, letter.Quote); got == "" || got != letter.Default(c.like, letter.Quote) {
			t.Errorf("Default(%q) is not that of %s", c.tag, c.like)
		}
	}
	for _, kind := range []letter.Kind{"", "invoice", "../en/quote"} {
		if got := letter.Default("en", kind); got != "" {
			t.Errorf("Default(en, %q) = %q", kind, got)
		}
	}
}

// TestFill: what the doc of the package says about lines, points and marks.
func TestFill(t *testing.T) {
	f := letter.Facts{
		Studio: " Studio\n\tOne ", Client: "A\x00nna\r\nBcc: all@post.example", Total: "1\u00a0200,00\u00a0€", Changes: []string{"one", " \n", "two\nlines"},
		Note: "first\r\nsecond\n\n\n\nthird\u2028fourth",
	}
	wording := "\ufeffFor {{.Client}}\r\n\r\n{{if .Total}}\r\nTotal: {{.Total}} \r\n{{end}}\r\n  {{ range .Changes }}  \n- {{.}} of {{$.Studio}}\n{{ end }}\n\n\n{{if not (and .Deposit .Total)}}none{{else}}some{{end}}\n{{.Note}}\n--\n{{.Studio}}"
	subject, body, err := letter.Fill(wording, f)
	if want := "For Anna Bcc: all@post.example"; err != nil || subject != want {
		t.Errorf("Fill: subject = %q, %v, want %q", subject, err, want)
	}
	want := "Total: 1\u00a0200,00\u00a0€\n- one of Studio One\n- two lines of Studio One\n\nnone\nfirst\nsecond\n\nthird\nfourth\n-- \nStudio One"
	if body != want {
		t.Errorf("Fill: body = %q, want %q", body, want)
	}
	subject, _, err = letter.Fill("{{.Client}}\nbody", letter.Facts{Client: strings.Repeat("ä", 900)})
	if want := strings.Repeat("ä", 199) + "…"; err != nil || subject != want {
		t.Errorf("a long subject = %q, %v", subject, err)
	}
}

// TestCheck: each complaint names the line and what to do.
func TestCheck(t *testing.T) {
	for _, c := range []struct{ wording, want string }{
		{"s\n\nThe price is {{.Tottal}}.\n", "line 3: there is no field .Tottal; there are .Studio, .Signer,"},
		{"s\n{{if .Total}}\n{{else}}\n{{.Tottal}}\n{{end}}", "line 4: there is no field .Tottal"},
		{"s\n{{.Options}}", "line 2: .Options is a list; go through it with {{range .Options}} … {{end}}"},
		{"s\n{{.Overdue}}", "line 2: .Overdue is yes or no; ask it with {{if .Overdue}}"},
		{"s\n{{range .Options}}\n- {{.Price}}\n{{end}}", "line 3: there is no field .Price; there are .Name, .Total"},
		{"s\n{{range .Options}}{{.}}{{end}}", "line 2: the point alone is a whole design here; there are .Name, .Total"},
		{"s\n{{range .Changes}}{{.Name}}{{end}}", "line 2: there is no field .Name here; write {{.}}, or $.Name"},
		{"s\n{{.}}", "line 2: the point alone stands for nothing here"},
		{"s\n{{range .Total}}x{{end}}", "line 2: .Total is no list to go through; there are .Contact, .Options, .Changes, .PayTo"},
		{"s\n{{range 1000000000}}x{{end}}", "line 2: 1000000000 is no fact"},
		{"s\n{{range .Changes}}{{range $.Changes}}{{end}}{{end}}", "line 2: a range within a range"},
		{"s\n{{Total}}", "line 2: write a point before Total: {{.Total}}"},
		{"s\n{{printf \"%99999999s\" .Total}}", "line 2: there is no word printf"},
		{"s\n{{.Total | html}}", "line 2: there is no word html"},
		{"s\n{{.Total | not}}", "line 2: | is not used here"},
		{"s\n{{.Total .Deposit}}", "line 2: {{.Total .Deposit}} has more than one fact"},
		{"s\n{{if .Total .Deposit}}x{{end}}", "line 2: .Total .Deposit has more than one fact; join them with and, or"},
		{"s\n{{if not .Total .Deposit}}x{{end}}", "line 2: not takes one fact"},
		{"s\n{{if and}}x{{end}}", "line 2: and takes facts"},
		{"s\n{{if (or .Total (not .Foo))}}x{{end}}", "line 2: there is no field .Foo"},
		{"s\n{{$x := .Total}}{{$x}}", "line 2: names with $ are not made here"},
		{"s\n{{with .Total}}{{.}}{{end}}", "line 2: with is not used here; write {{if .Venue}}"},
		{"s\n{{define \"x\"}}y{{end}}", "line 2: define is not used here"},
		{"s\n{{template \"letter\"}}", "line 2: template and block are not used here"},
		{"s\n{{range .Changes}}{{break}}{{end}}", "line 2: {{break}} is not used here"},
		{"s\n{{if .Total}}\nx\n", "an if or range has no {{end}} below it"},
		{"s\n{{end}}\n", "line 2: this {{end}} has no if or range above it"},
		{"s\n{{else}}\n", "line 2: this {{else}} has no if or range above it"},
		{"s\n{{.Total\n", "braces opened with {{ are not closed with }}"},
		{"s\n{{if}}x{{end}}", "line 2: if and range need a fact after them"},
		{"s\n{{.Total!}}", "line 2: "},
		{"s\n{{\"text\"}}", "line 2: \"text\" is no fact"},
		{"", "the letter is empty"},
		{"subject alone\n", "the letter has a subject, its first line, but no body"},
		{"{{if .Total}}s\nb{{end}}", "the letter is empty"},
		{"s\n{{if .Total}}b{{end}}", "no body"},
		{"s\nb\xff", "not UTF-8"},
		{"s\n" + strings.Repeat("b", 30_000), "the wording has 30002 characters; 20000 is the most"},
		{"s\n{{.One}}\n{{.Two}}", "line 2: there is no field .One"},
		{"s\n{{.One}}\n{{.Two}}", "\nline 3: there is no field .Two"},
	} {
		if err := letter.Check(c.wording); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Check(%.80q) = %v, want %q", c.wording, err, c.want)
		}
	}
	if err := letter.Check("s\n{{/* why */}}\n{{- if or .Total .Deposit -}}\n{{.Total}}\n{{- end}}\nb"); err != nil {
		t.Errorf("Check of marks that trim: %v", err)
	}
	if _, _, err := letter.Fill("s\n{{range .Changes}}"+strings.Repeat("b", 10_000)+"{{end}}", letter.Facts{Changes: strings.Fields(strings.Repeat("x ", 1000))}); err == nil || !strings.Contains(err.Error(), "the letter is longer than 200000 characters") {
		t.Errorf("Fill of too much = %v", err)
	}
}

// FuzzWording: a wording that Check passes makes a letter of any facts, or one
// that is too long; no wording hangs or panics.
func FuzzWording(f *testing.F) {
	for _, kind := range letter.Kinds() {
		f.Add(letter.Default("fr", kind), "x\ny")
	}
	f.Add("{{range .Options}}{{.Name}}{{else}}{{if not $.Overdue}}{{$.Note}}{{end}}{{end}}\nx", "{{")
	f.Add("a\n{{- if (((.Total))) -}}\n b {{end -}}\n{{/* c */}}--", "")
	f.Fuzz(func(t *testing.T, wording, fact string) {
		if letter.Check(wording) != nil {
			return
		}
		facts := letter.Facts{Studio: "S", Client: "C", QuoteName: "Q", Total: fact, Options: []letter.Option{{Name: fact}}, Changes: []string{fact, fact}, Overdue: fact == "", Note: fact}
		subject, body, err := letter.Fill(wording, facts)
		if err != nil && !strings.Contains(err.Error(), "longer than") && !strings.Contains(err.Error(), "subject") {
			t.Errorf("Fill(%q) = %v", wording, err)
		}
		if strings.ContainsAny(subject, "\r\n") || strings.ContainsAny(body, "\r\x00") {
			t.Errorf("Fill(%q) = %q, %q", wording, subject, body)
		}
	})
}
