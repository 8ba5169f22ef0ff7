package enquiry_test

import (
	"bytes"
	"fmt"
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

func TestDoubles(t *testing.T) {
	client := func(name, email, phone string) enquiry.Client {
		return enquiry.Client{Name: name, Email: record.Maybe[string]{Value: email, Given: email != ""}, Phone: record.Maybe[string]{Value: phone, Given: phone != ""}}
	}
	list := []enquiry.Client{
		0: client("Zoë Šimková", "zoe@example.com", "+353 87 496 0123"),
		1: client("Simkova, Zoe", "", ""),                            // the words in the other order, no accents
		2: client("Zoe Simkvoa", "", ""),                             // two letters exchanged
		3: client("Max Example", "ZOE@example.com", "087 4960123"),   // another name
		4: client("Ann Ho", "", ""),                                  // too short
		5: client("Anna Ho", "", ""),                                 //
		6: client("Zoe Simovka", "", ""),                             // two slips from 0
		7: client("Katharina Berg", "k@example.com", "12"),           //
		8: client("Katarina Berg", "k2@example.com", "12"),           // a letter dropped; "12" is no number
		9: client("Zoe Simkova", "other@example.com", "01 555 0199"), //
	}
	var got []string
	for _, d := range enquiry.Doubles(list) {
		why := make([]string, len(d.Why))
		for i, w := range d.Why {
			why[i] = string(w)
		}
		got = append(got, fmt.Sprintf("%d-%d %s", d.First, d.Second, strings.Join(why, ", ")))
	}
	want := []string{"0-1 same name", "0-2 near name", "0-3 same email, same phone", "0-9 same name", "7-8 near name"}
	if !slices.Equal(got, want) {
		t.Errorf("Doubles = %q, want %q", got, want)
	}
	if none := enquiry.Doubles(nil); len(none) != 0 {
		t.Errorf("Doubles of nobody = %v", none)
	}
}

// Two clients are alike by themselves just as they are in a list of two.
func TestAlikeAgreesWithDoubles(t *testing.T) {
	names := []string{"Katharina Berg", "Katarina Berg", "Berg, Katharina", "Ann", "Anna", "Max Example"}
	mails := []string{"", "k@example.com", "K@Example.com"}
	phones := []string{"", "087 496 0123", "+353 87 4960123", "12"}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(label string) (c enquiry.Client) {
			c.Name = rapid.SampledFrom(names).Draw(t, label)
			c.Email = record.Some(rapid.SampledFrom(mails).Draw(t, label+"'s email"))
			c.Phone = record.Some(rapid.SampledFrom(phones).Draw(t, label+"'s phone"))
			return c
		}
		a, b := draw("a"), draw("b")
		var want []enquiry.Likeness
		for _, d := range enquiry.Doubles([]enquiry.Client{a, b}) {
			want = d.Why
		}
		if got := a.Alike()(b); !slices.Equal(got, want) {
			t.Fatalf("%+v is like %+v by %v, want %v", a, b, got, want)
		}
	})
}

// Near names are those that comparing each with every other finds, by the
// distance of letters (optimal string alignment).
func TestNearNamesAgainstEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfNDistinct(rapid.StringMatching(`[ab]{8,9}`), 2, 12, rapid.ID[string]).Draw(t, "names")
		clients := make([]enquiry.Client, len(names))
		for i, name := range names {
			clients[i].Name = name
		}
		got := map[[2]int]bool{}
		for _, d := range enquiry.Doubles(clients) {
			got[[2]int{d.First, d.Second}] = slices.Contains(d.Why, enquiry.NearName)
		}
		for i := range names {
			for j := i + 1; j < len(names); j++ {
				if want := alignment(names[i], names[j]) == 1; got[[2]int{i, j}] != want {
					t.Fatalf("%s and %s are near: %t, want %t", names[i], names[j], got[[2]int{i, j}], want)
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

func BenchmarkDoublesOf20000(b *testing.B) {
	clients := make([]enquiry.Client, 20_000)
	for i := range clients {
		clients[i] = enquiry.Client{Name: fmt.Sprintf("Given%d Family%d", i%977, i), Email: record.Some(fmt.Sprintf("c%d@example.com", i)), Phone: record.Some(fmt.Sprintf("0%09d", i*7919))}
	}
	for b.Loop() {
		enquiry.Doubles(clients)
	}
}
