package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"marchpane/seed"
)

// At a terminal the person is asked line by line, and what they answer settles
// the line: a number of the list, an id and a quantity, Enter, or - to leave it
// out. Answers that end early store nothing.
func TestRecipeAsksLineByLine(t *testing.T) {
	folder := t.TempDir()
	book, text := filepath.Join(folder, "book.json"), filepath.Join(folder, "loaf.txt")
	lines := "Loaf\n\n200 g caster sugar\n3 large eggs\n100 g raspberries\na pinch of salt\n1 tbsp saffron water\nicing sugar, for dusting\n"
	for path, data := range map[string][]byte{book: seed.Studio(), text: []byte(lines)} {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	run := func(in string, args ...string) (int, string, string) {
		var out, errs bytes.Buffer
		env := System()
		env.In, env.Out, env.Err, env.Colour, env.Asks = strings.NewReader(in), &out, &errs, false, true
		env.Now = func() time.Time { return time.Date(2026, 10, 5, 12, 0, 0, 0, time.UTC) }
		status := Main(append(args, "--store", filepath.Join(folder, "s.db")), env)
		return status, out.String(), errs.String()
	}
	if status, _, errs := run("", "book", "import", book); status != 0 {
		t.Fatal(errs)
	}
	if status, _, errs := run("\n", "recipe", "read", text, "--save"); status != 1 || !strings.Contains(errs, "the answers ended") {
		t.Errorf("answers that end early: status %d, %s", status, errs)
	}
	// Eggs: as proposed. Raspberries: the second of the list. Salt: its own id,
	// which keeps the weight that was shown. Saffron water: nonsense, then an id.
	// Icing sugar: an amount.
	status, out, errs := run("\n2\nsea-salt\nnonsense\nwater\n20g\n", "recipe", "read", text, "--as", "loaf", "--save")
	if status != 0 || !strings.Contains(out, "Stored as loaf, with 6 lines") || !strings.Contains(errs, `"nonsense" is none of these`) {
		t.Fatalf("status %d\n%s\n%s", status, out, errs)
	}
	_, out, _ = run("", "book", "export")
	stored := out[strings.Index(out, `"id": "loaf"`):]
	for _, want := range []string{`"use": "egg"`, `"use": "frozen-raspberry"`, `"use": "sea-salt"`, `"use": "water"`, `"qty": "20 g"`} {
		if !strings.Contains(stored, want) {
			t.Errorf("the stored recipe lacks %s:\n%.900s", want, stored)
		}
	}
}
