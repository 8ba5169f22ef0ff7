package pdf

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"
)

// From outside: the conformance test that the Unicode Consortium publishes for
// UAX #9 (see the head of the file).
func TestOrderFollowsUnicode(t *testing.T) {
	file, err := os.Open("testdata/BidiCharacterTest-sample.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	checked, failed := 0, 0
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		fields := strings.Split(lines.Text(), ";")
		var runes []rune
		for _, code := range strings.Fields(fields[0]) {
			var r rune
			fmt.Sscanf(code, "%X", &r)
			runes = append(runes, r)
		}
		got := levels(runes)
		var glyphs []glyph
		var text []string
		for i, level := range got {
			glyphs = append(glyphs, glyph{r: 'a', width: i, level: level})
			text = append(text, fmt.Sprint(level))
		}
		var order []string
		for _, g := range visual(glyphs, body) {
			order = append(order, fmt.Sprint(g.width))
		}
		checked++
		if g, w := strings.Join(text, " ")+";"+strings.Join(order, " "), fields[3]+";"+fields[4]; g != w {
			if failed++; failed < 10 {
				t.Errorf("levels and order of %s = %s, want %s", fields[0], g, w)
			}
		}
	}
	if checked < 1000 || failed > 0 {
		t.Errorf("%d of %d lines differ", failed, checked)
	}
}
