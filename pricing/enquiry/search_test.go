package enquiry_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
)

func TestFold(t *testing.T) {
	for in, want := range map[string]string{
		"Zoë  Šimková":       "zoe simkova",
		"Zoe\u0308 SIMKOVA":  "zoe simkova",
		"Łukasz Straße Ørum": "lukasz strasse orum",
		"Αθήνα":              "αθηνα",
		"ﬁgs ｃａｋｅ":           "figs cake",
		" \n":                "",
		"O'Brien-Smith":      "o'brien-smith",
	} {
		if got := enquiry.Fold(in); got != want {
			t.Errorf("Fold(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestFoldTwiceIsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		once := enquiry.Fold(s)
		if twice := enquiry.Fold(once); twice != once {
			t.Fatalf("Fold(%q) = %q, and of that %q", s, once, twice)
		}
	})
}

func TestTermsAreFound(t *testing.T) {
	c := enquiry.Client{
		Name: "Zoë Šimková", Email: record.Some("Zoe.S@Example.com"), Phone: record.Some("+353 (1) 496-0123"),
		Address: record.Some("12-14 Mill Lane\nHarrowgate"), Notes: record.Some("met at the fair"),
	}
	for query, want := range map[string]bool{
		"": true, "simkova": true, "ŠIMKOVÁ zoe": true, "imko": true, "example.com": true, "4960123": true, "496 0123": true, "+353 1 496 01 23": true,
		"(1)": true, "12-14": true, "mill harrow": true, "FAIR": true,
		"simkova max": false, "4960124": false, "12-15": false, "lane\x00": false, "%": false, "_": false,
	} {
		folded, found := c.Folded(), true
		for _, term := range enquiry.Terms(query) {
			found = found && (strings.Contains(folded, term.Text) || strings.Contains(folded, term.Digits))
		}
		if found != want {
			t.Errorf("%q is found: %t, want %t (in %q)", query, found, want, folded)
		}
	}
}

// TestAlphabet: å is the letter after z in Swedish and an a elsewhere (Unicode
// CLDR collation, sv); accents decide only between names that are else equal.
func TestAlphabet(t *testing.T) {
	names := []string{"Åsa", "Zoe", "Zoë", "Adam", "zoe B", "Élan", "Eva"}
	for tag, want := range map[string]string{
		"en": "Adam Åsa Élan Eva Zoe Zoë zoe B", "sv-SE": "Adam Élan Eva Zoe Zoë zoe B Åsa", "": "Adam Åsa Élan Eva Zoe Zoë zoe B", "?": "Adam Åsa Élan Eva Zoe Zoë zoe B",
	} {
		keys := enquiry.AlphabetOf(tag).Keys(names)
		order := []int{0, 1, 2, 3, 4, 5, 6}
		slices.SortStableFunc(order, func(i, j int) int { return bytes.Compare(keys[i], keys[j]) })
		var sorted []string
		for _, i := range order {
			sorted = append(sorted, names[i])
		}
		if got := strings.Join(sorted, " "); got != want {
			t.Errorf("in %q the order is %s, want %s", tag, got, want)
		}
	}
}

// A client is recognised by an address of email whatever its capitals, by the
// last nine digits of a telephone number, and by the words of a name.
func TestTraits(t *testing.T) {
	client := func(name, email, phone string) enquiry.Client {
		return enquiry.Client{Name: name, Email: record.Maybe[string]{Value: email, Given: email != ""}, Phone: record.Maybe[string]{Value: phone, Given: phone != ""}}
	}
	for _, c := range []struct {
		client             enquiry.Client
		email, phone, name string
	}{
		{client("Zoë Šimková", "Zoe@Example.com", "+353 87 496 0123"), "zoe@example.com", "874960123", "simkova zoe"},
		{client("Simkova, Zoe", "", "087 4960123"), "", "874960123", "simkova zoe"},
		{client("O'Brien-Smith (Ann)", " ", "12"), "", "", "ann brien o smith"}, // "12" is no number
		{client("...", "", "123"), "", "123", ""},
		{client("", "", "٠٨٧٤٩٦٠١٢٣"), "", "", ""}, // digits of another script: no normal form makes them ours
	} {
		got := c.client.Traits()
		if got[enquiry.SameEmail] != c.email || got[enquiry.SamePhone] != c.phone || got[enquiry.SameName] != c.name {
			t.Errorf("Traits of %+v = %q, want %q, %q, %q", c.client, got, c.email, c.phone, c.name)
		}
		if text, there := got[enquiry.SameEmail]; there && text == "" {
			t.Errorf("Traits of %+v = %q, which says that nothing is something", c.client, got)
		}
	}
}

// Near names are those that the distance of letters (optimal string alignment)
// finds, and each pair of them shares a remainder.
func TestNearNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfNDistinct(rapid.StringMatching(`[ab]{7,9}`), 2, 12, rapid.ID[string]).Draw(t, "names")
		for i, a := range names {
			for _, b := range names[:i] {
				want := len(a) > 7 && len(b) > 7 && alignment(a, b) == 1
				if got := enquiry.NearNames(a, b); got != want {
					t.Fatalf("%s and %s are near: %t, want %t", a, b, got, want)
				}
				share := slices.ContainsFunc(enquiry.Remainders(a), func(rest string) bool { return slices.Contains(enquiry.Remainders(b), rest) })
				if want && !share {
					t.Fatalf("%s and %s share no remainder", a, b)
				}
			}
		}
	})
}

// alignment counts the letters added, dropped, exchanged or swapped with their
// neighbour, by the table that defines it.
func alignment(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		for j := range d[i] {
			if i == 0 || j == 0 {
				d[i][j] = i + j
				continue
			}
			differ := 1
			if a[i-1] == b[j-1] {
				differ = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+differ)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}
