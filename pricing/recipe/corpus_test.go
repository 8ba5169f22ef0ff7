package recipe

import (
	"bufio"
	"os"
	"strings"
	"testing"
)

// The corpora are lines of our own invention. Each stands with what a reader
// makes of it, parted by bars: language, line, amount, unit, ingredient, and the
// rest: size, part, packs, second measures, note, and whether it is optional,
// unmeasured, a heading, faulty or doubtful. No outside source publishes lines
// with their parts under a licence that would let them stand here.

// read returns what was read of a line in the words of the corpora.
func read(l Line) (amount, unit, words, rest string) {
	var parts []string
	add := func(key, value string) {
		if value != "" {
			parts = append(parts, key+"="+value)
		}
	}
	flag := func(on bool, name string) {
		if on {
			parts = append(parts, name)
		}
	}
	add("size", l.Size)
	add("of", l.Of)
	if p := l.Packs; p != nil {
		add("packs", p.Count.Text()+" x "+p.Each.Amount.Text()+" "+p.Each.Unit.Word)
	}
	if l.Also != nil {
		add("also", l.Also.Amount.Text()+" "+l.Also.Unit.Word)
	}
	if l.Plus != nil {
		add("plus", l.Plus.Amount.Text()+" "+l.Plus.Unit.Word)
	}
	add("note", l.Note)
	flag(l.Heading, "heading")
	flag(l.Optional, "optional")
	flag(l.Unmeasured, "unmeasured")
	flag(l.Amount.About, "about")
	flag(len(l.Faults) > 0, "fault")
	flag(len(l.Doubts) > 0, "doubt")
	return l.Amount.Text(), l.Unit.Word, l.Words, strings.Join(parts, "; ")
}

var contexts = map[string]Context{
	"en": {Language: English, Mark: "point"}, "fr": {Language: French, Mark: "comma"}, "de": {Language: German, Mark: "comma"},
}

// score reads a corpus and returns how many of its lines came out whole.
func score(t *testing.T, path string, tell func(format string, args ...any)) (right, all int) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := bufio.NewScanner(f)
	for in.Scan() {
		if in.Text() == "" || strings.HasPrefix(in.Text(), "#") {
			continue
		}
		want := strings.Split(in.Text(), " | ")
		if len(want) != 6 {
			t.Fatalf("%s: %q has %d fields, want 6", path, in.Text(), len(want))
		}
		for i := range want {
			want[i] = strings.TrimSuffix(strings.TrimSpace(want[i]), "|")
		}
		all++
		amount, unit, words, rest := read(ParseLine(want[1], contexts[want[0]]))
		got := strings.Join([]string{amount, unit, words, rest}, " | ")
		if w := strings.Join(want[2:], " | "); got != w {
			tell("ParseLine(%q)\n got %s\nwant %s", want[1], got, w)
			continue
		}
		right++
	}
	if err := in.Err(); err != nil {
		t.Fatal(err)
	}
	return right, all
}

func TestLines(t *testing.T) {
	right, all := score(t, "testdata/lines.txt", t.Logf)
	t.Logf("%d of %d lines read right", right, all)
	if all < 200 || 100*right < 95*all {
		t.Errorf("%d of %d lines read right, want 95 %%", right, all)
	}
}

// TestSecondCorpus keeps the score on lines that were written after the parser
// was first done: 65 of 75 were read right at first sight. What was missed in
// silence has been mended since, so that it measures no more what is unseen.
func TestSecondCorpus(t *testing.T) {
	right, all := score(t, "testdata/second.txt", t.Logf)
	t.Logf("%d of %d lines read right", right, all)
	if right < 65 {
		t.Errorf("%d of %d lines read right, fewer than at first sight", right, all)
	}
}

// TestThirdCorpus is as TestSecondCorpus, of lines written after those: 37 of 44
// at first sight.
func TestThirdCorpus(t *testing.T) {
	right, all := score(t, "testdata/third.txt", t.Logf)
	t.Logf("%d of %d lines read right", right, all)
	if right < 37 {
		t.Errorf("%d of %d lines read right, fewer than at first sight", right, all)
	}
}

// TestFourthCorpus is the last of them: 23 of 25 at first sight, and left so.
func TestFourthCorpus(t *testing.T) {
	right, all := score(t, "testdata/fourth.txt", t.Logf)
	t.Logf("%d of %d lines read right", right, all)
	if right < 23 {
		t.Errorf("%d of %d lines read right, fewer than at first sight", right, all)
	}
}
