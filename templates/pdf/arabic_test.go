package pdf

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/unicode/runenames"
)

// From outside: the joining types of the Unicode Character Database, and the
// names that it gives the forms.
func TestFormsFollowUnicode(t *testing.T) {
	file, err := os.Open("testdata/joining-type.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	types := map[rune]string{}
	for lines := bufio.NewScanner(file); lines.Scan(); {
		var r rune
		var kind string
		if n, _ := fmt.Sscanf(lines.Text(), "%X %s", &r, &kind); n == 2 {
			types[r] = kind
		}
	}
	if len(types) < 200 || len(shapes()) < 70 || len(ligatures()) != 4 {
		t.Fatalf("%d types, %d letters, %d ligatures", len(types), len(shapes()), len(ligatures()))
	}
	names := [4]string{"ISOLATED FORM", "FINAL FORM", "INITIAL FORM", "MEDIAL FORM"}
	for r, f := range shapes() {
		want := types[r]
		if r == 0x06BA {
			continue // noon ghunna ends words; its other forms are no characters
		}
		if f.dual() != (want == "Dual_Joining") || (f[1] != 0) != (want == "Dual_Joining" || want == "Right_Joining") {
			t.Errorf("%U has the forms %U, but its joining type is %q", r, f, want)
		}
		for i, form := range f {
			if form != 0 && !strings.Contains(runenames.Name(form), names[i]) {
				t.Errorf("form %d of %U is %U, %s", i, r, form, runenames.Name(form))
			}
		}
	}
	// Every letter of Arabic and of Persian joins as Unicode has it.
	for _, r := range "ابتثجحخدذرزسشصضطظعغفقكلمنهويىةءآأؤإئپچژگکی" {
		if _, ok := shapes()[r]; !ok {
			t.Errorf("%c has no forms", r)
		}
	}
}

func formsOf(s string) (names []string) {
	for _, l := range join([]rune(s)) {
		switch name := runenames.Name(l.form); {
		case strings.Contains(name, "INITIAL"):
			names = append(names, "i")
		case strings.Contains(name, "MEDIAL"):
			names = append(names, "m")
		case strings.Contains(name, "FINAL"):
			names = append(names, "f")
		case strings.Contains(name, "ISOLATED"):
			names = append(names, "a")
		default:
			names = append(names, "-")
		}
	}
	return names
}

// Worked by hand from the joining rules of the Unicode Standard, section 9.2.
func TestJoin(t *testing.T) {
	for s, want := range map[string]string{
		"محمد":          "i m m f",         // muhammad: dal ends it
		"سارة":          "i f a a",         // alef and reh do not reach on
		"لا":            "a",               // lam with alef is one
		"سلام":          "i f a",           // and joined to what precedes
		"علي":           "i m f",           //
		"آدم":           "a a a",           //
		"بء":            "a a",             // hamza joins nothing, so beh has nothing to reach
		"بـ":            "i -",             // tatweel takes the join
		"ب\u200d":       "i",               // as does a joiner
		"می\u200cخواهم": "i f i f a i f",   // a non-joiner in Persian parts
		"مُحَمَّد":      "i - m - m - - f", // vowel signs are passed over
		"لَا":           "a -",             //
		"abc":           "- - -",           //
		"ب א":           "a - -",           //
		"گچ":            "i f",             // Persian
		"ےب":            "a a",             // Urdu: yeh barree ends a word
	} {
		if got := strings.Join(formsOf(s), " "); got != want {
			t.Errorf("join(%q) = %s, want %s", s, got, want)
		}
	}
	// Nothing is lost: the forms decompose to the text.
	for _, s := range []string{"السلام عليكم", "گلاب خانم", "محمد الإدريسي"} {
		var b strings.Builder
		for _, l := range join([]rune(s)) {
			b.WriteRune(l.form)
		}
		if got := norm.NFKC.String(b.String()); got != norm.NFKC.String(s) {
			t.Errorf("join(%q) reads %q", s, got)
		}
	}
}
