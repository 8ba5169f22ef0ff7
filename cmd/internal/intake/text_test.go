package intake_test

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/pricelist"
)

func read(text string, o intake.Options) (intake.List, error) {
	return intake.Read(strings.NewReader(text), int64(len(text)), o)
}

// table writes rows as "2: a|b", with the kind of cells that are not text.
func table(rows []pricelist.Row) []string {
	var lines []string
	for _, r := range rows {
		var cells []string
		for _, c := range r.Cells {
			cells = append(cells, strings.ReplaceAll(c.Text, "\n", "⏎")+map[pricelist.Kind]string{pricelist.Number: "#", pricelist.Date: "@"}[c.Kind])
		}
		lines = append(lines, strings.TrimPrefix(r.At(0), "A")+": "+strings.Join(cells, "|"))
	}
	return lines
}

// TestText: quoting as RFC 4180 has it, and what spreadsheets and old tills
// write beyond it.
func TestText(t *testing.T) {
	for name, c := range map[string]struct {
		in        string
		separator rune
		want      []string
	}{
		"comma":                     {"Item,Pack,Price\nButter,2.5 kg,25.25\n", ',', []string{"1: Item|Pack|Price", "2: Butter|2.5 kg|25.25"}},
		"semicolon, decimal comma":  {"Artikel;Gebinde;Preis\nMehl;25 kg;18,90\nZucker;10 kg;9,50\n", ';', []string{"1: Artikel|Gebinde|Preis", "2: Mehl|25 kg|18,90", "3: Zucker|10 kg|9,50"}},
		"tab":                       {"Item\tPack\tPrice\nSugar, icing\t3 kg\t4,20\n", '\t', []string{"1: Item|Pack|Price", "2: Sugar, icing|3 kg|4,20"}},
		"bar":                       {"Item|Pack|Price\nSugar|3 kg|4.20\n", '|', []string{"1: Item|Pack|Price", "2: Sugar|3 kg|4.20"}},
		"commas in titles above":    {"Price list, spring, 2026\nAll prices net, subject to change, E&OE\nItem;Pack;Price\nSalt;1 kg;0.60\n", ';', []string{"1: Price list, spring, 2026", "2: All prices net, subject to change, E&OE", "3: Item|Pack|Price", "4: Salt|1 kg|0.60"}},
		"quotes":                    {"Item,Pack,Price\n\"Sugar, icing\",\"3 kg\",\"1,234.50\"\n", ',', []string{"1: Item|Pack|Price", "2: Sugar, icing|3 kg|1,234.50"}},
		"doubled quotes":            {"Item,Price\n\"Board 12\"\" round\",2.10\n", ',', []string{"1: Item|Price", "2: Board 12\" round|2.10"}},
		"inches without quoting":    {"Item,Price\nBoard 12\" round,2.10\n12\" drum,3\n", ',', []string{"1: Item|Price", "2: Board 12\" round|2.10", "3: 12\" drum|3"}},
		"a quote badly doubled":     {"Item,Price\n\"Board 12\" round\",2.10\n", ',', []string{"1: Item|Price", "2: Board 12\" round|2.10"}},
		"spaces around quotes":      {"Item,Price\n  \"Sugar, fine\"  , \"2.10\" \n", ',', []string{"1: Item|Price", "2: Sugar, fine|2.10"}},
		"line breaks in quotes":     {"Item,Price\n\"Sugar\r\nicing\",2.10\nSalt,1\n", ',', []string{"1: Item|Price", "2: Sugar⏎icing|2.10", "4: Salt|1"}},
		"mixed line ends":           {"Item,Price\rSugar,1\r\nSalt,2\nYeast,3", ',', []string{"1: Item|Price", "2: Sugar|1", "3: Salt|2", "4: Yeast|3"}},
		"blank and empty rows":      {"Item,Price\n\n,,,\n   \nSalt,2,,,\n", ',', []string{"1: Item|Price", "5: Salt|2"}},
		"byte order mark":           {"\ufeffItem,Price\nSalt,2\n", ',', []string{"1: Item|Price", "2: Salt|2"}},
		"mark and quotes":           {"\ufeff\"Item\",\"Price\"\nSalt,2\n", ',', []string{"1: Item|Price", "2: Salt|2"}},
		"sep line":                  {"sep=;\r\nItem;Price\r\nSalt;2,5\r\n", ';', []string{"2: Item|Price", "3: Salt|2,5"}},
		"formulas are text":         {"Item,Price\n=1+1,2\n@SUM(A1),+3\n", ',', []string{"1: Item|Price", "2: =1+1|2", "3: @SUM(A1)|+3"}},
		"end mark of old systems":   {"Item,Price\nSalt,2\n\x1a", ',', []string{"1: Item|Price", "2: Salt|2"}},
		"one column":                {"Item\nSalt\n", ',', []string{"1: Item", "2: Salt"}},
		"no line end at the end":    {"Item;Price\nSalt;", ';', []string{"1: Item|Price", "2: Salt"}},
		"thousands by no-break gap": {"Item;Price\nSalt;1\u00a0234,50\n", ';', []string{"1: Item|Price", "2: Salt|1\u00a0234,50"}},
	} {
		got, err := read(c.in, intake.Options{})
		if err != nil || got.Separator != c.separator || !reflect.DeepEqual(table(got.Rows), c.want) {
			t.Errorf("%s: Read(%q) = %q %q, %v, want %q %q", name, c.in, got.Separator, table(got.Rows), err, c.separator, c.want)
		}
	}
}

// TestEncodings: the same list in four encodings reads the same. The bytes come
// from golang.org/x/text.
func TestEncodings(t *testing.T) {
	const list = "Artikel;Stück;Preis €\r\nGroße Möhre – “süß”;30;1,20\r\nCrème brûlée;12;3,40\r\n"
	want, err := read(list, intake.Options{})
	if err != nil || want.Encoding != "utf-8" {
		t.Fatalf("Read(UTF-8) = %q, %v", want.Encoding, err)
	}
	bytesOf := map[string]func() (string, error){
		"windows-1252": func() (string, error) { return charmap.Windows1252.NewEncoder().String(list) },
		"utf-16le": func() (string, error) {
			return unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewEncoder().String(list)
		},
		"utf-16be": func() (string, error) {
			return unicode.UTF16(unicode.BigEndian, unicode.ExpectBOM).NewEncoder().String(list)
		},
		"utf-16le without a mark": func() (string, error) {
			return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder().String(list)
		},
		"utf-8 with a byte order mark": func() (string, error) { return "\ufeff" + list, nil },
	}
	for name, encode := range bytesOf {
		text, err := encode()
		if err != nil {
			t.Fatal(err)
		}
		got, err := read(text, intake.Options{})
		if err != nil || !strings.HasPrefix(name, got.Encoding) || !reflect.DeepEqual(got.Rows, want.Rows) {
			t.Errorf("Read(%s) = %s %q, %v, want %q", name, got.Encoding, table(got.Rows), err, table(want.Rows))
		}
		if got.Digest == want.Digest {
			t.Errorf("%s has the digest of another file", name)
		}
	}
	text, err := charmap.Windows1250.NewEncoder().String("Zboží;Cena\nMouka hladká žitná;12,50\n")
	if err != nil {
		t.Fatal(err)
	}
	got, err := read(text, intake.Options{Encoding: "windows-1250", Separator: ';'})
	if err != nil || got.Rows[1].Cells[0].Text != "Mouka hladká žitná" {
		t.Errorf("Read(windows-1250 as told) = %q, %v", table(got.Rows), err)
	}
}

// TestRefused: what is no list is refused with a reason and a remedy.
func TestRefused(t *testing.T) {
	for name, c := range map[string]struct {
		in     string
		o      intake.Options
		reason string
	}{
		"nothing":              {"", intake.Options{}, "empty"},
		"only blanks":          {"\n ,, \n", intake.Options{}, "empty"},
		"PDF":                  {"%PDF-1.7\n", intake.Options{}, "PDF"},
		"old workbook":         {"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", intake.Options{}, ".xls"},
		"web page":             {"\ufeff <!DOCTYPE html><table>", intake.Options{}, "web page"},
		"rich text":            {`{\rtf1 Butter}`, intake.Options{}, "word processor"},
		"packed":               {"\x1f\x8b\x08\x00", intake.Options{}, "unpack"},
		"NULs":                 {"Item,Price\nSalt\x00\x00,2\n", intake.Options{}, "line 2 holds the control character U+0000"},
		"unclosed quote":       {"Item,Price\n\"Salt,2\nYeast,3\n", intake.Options{}, "line 2: a quoted field is never closed"},
		"two encodings":        {"Item,Price\nCrème,2\nCr\xe8me,2\n", intake.Options{}, "mixes UTF-8 with another encoding (line 3)"},
		"unknown encoding":     {"Item,Price\n", intake.Options{Encoding: "klingon"}, `encoding "klingon" is unknown`},
		"a cell of 5000 signs": {"Item,Price\n" + strings.Repeat("x", 5000) + ",2\n", intake.Options{}, "cell A2 has more than 4000"},
		"300 columns":          {"Item,Price\nSalt" + strings.Repeat(",x", 300), intake.Options{}, "row 2 has more than 256 columns"},
		"100,001 rows":         {strings.Repeat("Salt,2\n", 100_001), intake.Options{}, "more than 100000 rows"},
		"20,000 fields":        {"Item,Price\n" + strings.Repeat(",", 20_000), intake.Options{Separator: ','}, "line 2 has more than 16384 fields"},
	} {
		_, err := read(c.in, c.o)
		if err == nil || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("%s: Read = %v, want an error that says %q", name, err, c.reason)
		}
	}
}

// TestOpen: errors name the file, and a folder is no list.
func TestOpen(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "list.csv")
	if err := os.WriteFile(path, []byte("Item,Price\nSalt,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := intake.Open(path, intake.Options{})
	// printf 'Item,Price\nSalt,2\n' | sha256sum
	const digest = "d93f3e1246275204a474533228c186dc8f72b5d88320733b8eaed82f26d18966"
	if err != nil || len(got.Rows) != 2 || got.Digest != digest {
		t.Errorf("Open = %d rows, digest %s, %v, want 2 and %s", len(got.Rows), got.Digest, err, digest)
	}
	if _, err := intake.Open(folder, intake.Options{}); err == nil || !strings.Contains(err.Error(), folder) {
		t.Errorf("Open(folder) = %v, want an error that names it", err)
	}
	if _, err := intake.Open(path+"x", intake.Options{}); err == nil || !strings.Contains(err.Error(), "list.csvx") {
		t.Errorf("Open(no file) = %v, want an error that names it", err)
	}
}
