package web

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"
	"time"

	"marchpane/store"
)

// grown runs do and returns by how many MB the heap grew at most meanwhile.
func grown(do func()) int {
	defer debug.SetGCPercent(debug.SetGCPercent(50)) // garbage is not what is measured
	var before, now runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	stop, most := make(chan struct{}), make(chan uint64)
	go func() {
		highest := before.HeapAlloc
		for {
			runtime.ReadMemStats(&now)
			highest = max(highest, now.HeapAlloc)
			select {
			case <-stop:
				most <- highest
				return
			case <-time.After(10 * time.Millisecond):
			}
		}
	}()
	do()
	close(stop)
	return int((<-most - before.HeapAlloc) >> 20)
}

// zipBomb is a small workbook (ECMA-376) whose sheet unpacks to 300 MB.
func zipBomb(t *testing.T, cell string, times int) []byte {
	t.Helper()
	const relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
	part := func(name, head, body string, times int) {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		chunk := strings.Repeat(body, 1000)
		io.WriteString(w, head)
		for range times / 1000 {
			io.WriteString(w, chunk)
		}
	}
	part("_rels/.rels", `<Relationships><Relationship Id="r1" Type="`+relation+`/officeDocument" Target="xl/workbook.xml"/></Relationships>`, "", 0)
	part("xl/workbook.xml", `<workbook xmlns:r="`+relation+`"><sheets><sheet name="S" sheetId="1" r:id="r1"/></sheets></workbook>`, "", 0)
	part("xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="r1" Type="`+relation+`/worksheet" Target="worksheets/s.xml"/></Relationships>`, "", 0)
	part("xl/worksheets/s.xml", `<worksheet><sheetData><row><c><v>`, cell, times)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// stream sends a form with a file as it is made, so that no copy of it counts as
// what the server needs.
func (v *visitor) stream(path, box, name string, data io.Reader) answer {
	v.t.Helper()
	field := func(name, value string) string {
		return "--b\r\nContent-Disposition: form-data; name=\"" + name + "\"\r\n\r\n" + value + "\r\n"
	}
	head := field("supplier", "Nobody") + field("on", "2026-11-24") + "--b\r\nContent-Disposition: form-data; name=\"" + box + "\"; filename=\"" + name + "\"\r\n\r\n"
	r := v.request(http.MethodPost, path, "")
	r.Body, r.ContentLength = io.NopCloser(io.MultiReader(strings.NewReader(head), data, strings.NewReader("\r\n--b--\r\n"))), -1
	r.Header.Set("Content-Type", "multipart/form-data; boundary=b")
	return v.do(r)
}

// over is a head, a text so many times, and a tail.
func over(times int, head, text, tail string) func() io.Reader {
	return func() io.Reader {
		parts := []io.Reader{strings.NewReader(head)}
		chunk := strings.Repeat(text, 1000)
		for range times / 1000 {
			parts = append(parts, strings.NewReader(chunk))
		}
		return io.MultiReader(append(parts, strings.NewReader(tail))...)
	}
}

// processorTime is how long the processors have worked for this program: a busy
// machine makes it no longer.
func processorTime(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestHostileFiles brings files that mean harm to every page that takes one: they
// are refused, or read as far as they go, in bounded memory and time, and change
// nothing.
func TestHostileFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("sends large files")
	}
	const mega = 1 << 20
	rowsPacked, noughtsPacked, valid := zipBomb(t, `</v></c></row><row><c><v>`, 12_000_000), zipBomb(t, "0", 300_000_000), backupOf(t)
	if len(rowsPacked) > 3*mega || len(noughtsPacked) > 3*mega {
		t.Fatalf("the bombs have %d and %d bytes", len(rowsPacked), len(noughtsPacked))
	}
	bomb := func() io.Reader { return bytes.NewReader(rowsPacked) }
	noughts := func() io.Reader { return bytes.NewReader(noughtsPacked) }
	cut := func() io.Reader { return bytes.NewReader(valid[:len(valid)/2]) }
	rows := over(500_000, "Item,Pack,Price excl. VAT\n", "Some goods that nobody ever bought before,1 kg,3.50\n", "")
	goods := func() io.Reader {
		var b strings.Builder
		b.WriteString("Item,Pack,Price excl. VAT\n")
		for i := range 40_000 {
			fmt.Fprintf(&b, "Bergamot peel of kind %d,500 g,13.50\n", i)
		}
		return strings.NewReader(b.String())
	}
	objects := over(10_000_000, `{"format":"marchpane-book/1","ingredients":[`, `{},`, `{}]}`)
	fewer := over(190_000, `{"format":"marchpane-book/1","ingredients":[`, `{},`, `{}]}`)
	lists := over(300_000, `{"format":"marchpane-book/1","cakes":[{"id":"a","tiers":[`, `{"parts":[{},{},{},{}]},`, `{}]}]}`)
	nested := over(150, `{"format":"marchpane-book/1","cakes":[`, `{"tiers":[`+strings.Repeat(`{},`, 60_000)+`{}]},`, `{}]}`)

	v, empty := visitStudio(t, true), visitStudio(t, false)
	before, beforeEmpty := v.edition(), empty.edition()
	for _, test := range []struct {
		name, path, box, file string
		data                  func() io.Reader
		most                  int // MB
		want                  int
		v                     *visitor
	}{
		{"a zip bomb", "/prices/import", "list", "list.xlsx", bomb, 40, 422, v},
		{"a zip bomb", "/purchases/file", "file", "invoice.xlsx", noughts, 40, 422, v},
		{"a zip bomb", "/welcome/file", "file", "book.json", bomb, 40, 422, empty},
		{"a zip bomb", "/studio/restore", "backup", "studio.db", bomb, 40, 422, v},
		{"a zip bomb", "/studio/book/import", "book", "book.json", bomb, 40, 422, v},
		{"a zip bomb", "/studio/look/logo", "logo", "logo.png", bomb, 40, 422, v},
		{"a zip bomb", "/recipes/read", "file", "cake.txt", bomb, 40, 422, v},
		{"too many rows", "/prices/import", "list", "list.csv", rows, 100, 422, v},
		{"40,000 goods that nobody buys", "/prices/import", "list", "list.csv", goods, 300, 200, v},
		{"too many rows", "/purchases/file", "file", "invoice.csv", rows, 100, 422, v},
		{"40,000 goods that nobody buys", "/purchases/file", "file", "invoice.csv", goods, 300, 422, v},
		{"millions of objects", "/studio/book/import", "book", "book.json", objects, 200, 422, v},
		{"as many as may be", "/studio/book/import", "book", "book.json", fewer, 250, 422, v},
		{"lists in lists", "/studio/book/import", "book", "book.json", lists, 200, 422, v},
		{"a pit", "/studio/book/import", "book", "book.json", over(20_000_000, ``, `[`, ``), 150, 422, v},
		{"one long text", "/studio/book/import", "book", "book.json", over(30_000_000, `{"format":"`, `x`, `"}`), 250, 422, v},
		{"one key again and again", "/studio/book/import", "book", "book.json", over(500_000, `{"format":"marchpane-book/1",`, `"nonsense":1,`, `"a":1}`), 250, 422, v},
		{"as many as may be", "/welcome/file", "file", "book.json", fewer, 250, 422, empty},
		{"millions of objects", "/records/file", "file", "order.json", over(10_000_000, `{"order":"2026-0001","work":[`, `{},`, `{}]}`), 200, 422, v},
		{"lists in lists", "/records/file", "file", "order.json", nested, 300, 422, v},
		{"half a backup", "/studio/restore", "backup", "studio.db", cut, 40, 422, v},
		{"half a backup", "/welcome/file", "file", "studio.db", cut, 40, 422, empty},
		{"noughts", "/studio/restore", "backup", "studio.db", over(20_000_000, "SQLite format 3\x00", "\x00", ""), 40, 422, v},
		{"scripts", "/recipes/read", "file", "cake.html", over(200_000, "<html>", `<script type="application/ld+json">[[[[{"@type":"Recipe"}]]]]</script>`, ""), 100, 200, v},
		{"a million lines", "/recipes/read", "file", "cake.txt", over(1_000_000, "Sponge\n", "250 g flour\n", ""), 150, 200, v},
	} {
		var a answer
		began := processorTime(t)
		grew := grown(func() { a = test.v.stream(test.path, test.box, test.file, test.data()) })
		took := processorTime(t) - began
		t.Logf("%-30s %-20s %d, %4d MB, %v", test.name, test.path, a.status, grew, took.Round(time.Millisecond))
		if a.status != test.want {
			t.Errorf("%s at %s: %d, want %d: %.900s", test.name, test.path, a.status, test.want, plainText(a.body))
		}
		// Twice what it takes here: how late garbage goes is the machine's affair.
		if grew > 2*test.most {
			t.Errorf("%s at %s took %d MB, want about %d", test.name, test.path, grew, test.most)
		}
		if len(a.body) > 400_000 {
			t.Errorf("%s at %s is answered with %d bytes", test.name, test.path, len(a.body))
		}
	}
	if v.edition() != before || empty.edition() != beforeEmpty {
		t.Error("a file that was refused changed something")
	}
	// A price list that could not be read waits for another way of reading it.
	if n := len(v.server.shelf.files) + len(empty.server.shelf.files); n != 3 {
		t.Errorf("%d files are kept, want the price lists", n)
	}
}

// TestLogosAreDrawnAfresh: whatever an SVG holds beside shapes reaches neither a
// page nor a paper.
func TestLogosAreDrawnAfresh(t *testing.T) {
	const head = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100" height="50" viewBox="0 0 100 50"`
	const shape = `<rect width="100" height="50" fill="#204060"/>`
	v := visitStudio(t, true)
	for name, picture := range map[string]string{
		"a script":                  head + `>` + shape + `<script>fetch("https://cakes.example/MARK")</script></svg>`,
		"a handler":                 head + ` onload="alert('MARK')">` + shape + `</svg>`,
		"a handler in capitals":     head + `>` + `<rect width="100" height="50" ONCLICK="alert('MARK')"/></svg>`,
		"a picture from elsewhere":  head + `>` + shape + `<image href="https://cakes.example/MARK.png" width="10" height="10"/></svg>`,
		"a picture from this disk":  head + `>` + shape + `<image xlink:href="file:///etc/passwd?MARK" width="10" height="10"/></svg>`,
		"a use from elsewhere":      head + `>` + shape + `<use xlink:href="https://cakes.example/MARK.svg#a"/></svg>`,
		"a style from elsewhere":    head + `><style>@import url("https://cakes.example/MARK.css");</style>` + shape + `</svg>`,
		"a fill from elsewhere":     head + `><rect width="100" height="50" fill="url(https://cakes.example/MARK.svg#g)"/></svg>`,
		"a style sheet instruction": `<?xml-stylesheet href="https://cakes.example/MARK.css"?>` + head + `>` + shape + `</svg>`,
		"another document inside":   head + `>` + shape + `<foreignObject width="100" height="50"><body xmlns="http://www.w3.org/1999/xhtml"><iframe src="https://cakes.example/MARK"/></body></foreignObject></svg>`,
		"an entity of a file":       `<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>` + head + `>` + shape + `<text>MARK &x;</text></svg>`,
		"a billion laughs":          `<!DOCTYPE svg [<!ENTITY a "MARKMARKMARK"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>` + head + `>` + shape + `<text>&c;&c;</text></svg>`,
		"uses without end":          head + `>` + shape + `<g id="a"><use href="#b"/><use href="#b"/></g><g id="b"><use href="#a"/><use href="#a"/></g><desc>MARK</desc></svg>`,
		"uses that double":          head + `>` + doubling(30) + `<desc>MARK</desc></svg>`,
		"huge":                      strings.Replace(head, `width="100" height="50"`, `width="1e30" height="1e30"`, 1) + `>` + shape + `<desc>MARK</desc></svg>`,
		"huge inside":               strings.Replace(head, `0 0 100 50`, `0 0 1e38 1e38`, 1) + `><rect width="1e38" height="1e38"/><desc>MARK</desc></svg>`,
		"no size":                   strings.Replace(head, `width="100" height="50" viewBox="0 0 100 50"`, `width="NaN" height="-1"`, 1) + `>` + shape + `<desc>MARK</desc></svg>`,
		"a link":                    head + `><a href="javascript:alert('MARK')">` + shape + `</a></svg>`,
		"an animation":              head + `>` + shape + `<a><set attributeName="href" to="javascript:alert('MARK')"/></a></svg>`,
		"a page":                    `<!DOCTYPE html><html><body><script>alert("MARK")</script></body></html>`,
		"a page that says svg":      `<svg/onload=alert('MARK')>`,
		"an endless path":           head + `><path d="M0 0` + strings.Repeat("l1 1", 120_000) + `"/><desc>MARK</desc></svg>`,
	} {
		var a answer
		grew := grown(func() { a = v.sendFile("/studio/look/logo", "logo", "logo.svg", []byte(picture)) })
		if grew > 300 || a.status >= 500 {
			t.Errorf("%s: %d, %d MB", name, a.status, grew)
		}
		if a.status == http.StatusOK {
			t.Logf("%s is taken", name)
			// It is drawn afresh on paper, and on the page it is a picture, which runs
			// and loads nothing; by itself it is shut in.
			paper := v.get("/quotes/2026-0001/A.pdf")
			if paper.status != http.StatusOK || strings.Contains(paper.body, "MARK") || strings.Contains(paper.body, "cakes.example") {
				t.Errorf("%s: the paper (%d) holds what the picture said", name, paper.status)
			}
			raw := v.get("/studio/look/logo")
			if csp := raw.header.Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") || !strings.Contains(csp, "sandbox") || strings.Contains(csp, "allow-") {
				t.Errorf("%s: the picture itself may do %q", name, csp)
			}
			v.post("/studio/look/logo/remove")
		} else if a.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d %.200s", name, a.status, plainText(a.body))
		}
		for _, path := range []string{"/studio/look", "/quotes/2026-0001", "/"} {
			if page := v.get(path); strings.Contains(page.body, "MARK'") || strings.Contains(page.body, "/MARK") || strings.Contains(page.body, "<script>alert") {
				t.Errorf("%s: the page %s holds what the picture said", name, path)
			}
		}
	}
}

// doubling draws 2 to the power n shapes.
func doubling(n int) string {
	var b strings.Builder
	b.WriteString(`<g id="g0"><rect width="1" height="1"/></g>`)
	for i := 1; i <= n; i++ {
		at, of := string(rune('0'+i/10))+string(rune('0'+i%10)), string(rune('0'+(i-1)/10))+string(rune('0'+(i-1)%10))
		if i == 1 {
			of = "0"
		}
		b.WriteString(`<g id="g` + at + `"><use href="#g` + of + `"/><use href="#g` + of + `"/></g>`)
	}
	return b.String()
}

// TestFileNames: what a file is called leads nowhere and writes nothing.
func TestFileNames(t *testing.T) {
	v := visitStudio(t, true)
	outside := t.TempDir()
	for _, name := range []string{
		"../../../../../../../../" + outside + "/owned.csv", outside + "/owned.csv", `..\..\owned.csv`, "/etc/passwd", ".", "..", "", "CON", "a\r\nSet-Cookie: a=b.csv",
		`"><script>alert(1)</script>.csv`, strings.Repeat("long", 2500) + ".csv", "\u202evsc.exe", "🎂.csv", "a\x00b.csv",
	} {
		a := v.sendFile("/prices/import", "list", name, []byte("Item,Pack,Price\nbutter,1 kg,9.50\n"), "supplier", "Dairy round")
		if a.status >= 500 || notEscaped.MatchString(a.body) || a.header.Get("Set-Cookie") != "" && strings.Contains(a.header.Get("Set-Cookie"), "a=b") {
			t.Errorf("a list called %.60q: %d %.300s", name, a.status, plainText(a.body))
		}
	}
	if found, _ := filepath.Glob(outside + "/*"); len(found) > 0 {
		t.Errorf("outside stands %v", found)
	}
	for _, f := range v.server.shelf.files {
		if filepath.Dir(f.path) != v.server.shelf.folder {
			t.Errorf("a file waits at %s", f.path)
		}
	}
	if info, err := os.Stat(v.server.shelf.folder); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("others can look at what waits: %v %v", info.Mode(), err)
	}
	if n := len(v.server.shelf.files); n > mostShelved {
		t.Errorf("%d files wait", n)
	}
	// A file is for whoever brought it.
	mine := v.sendFile("/prices/import", "list", "list.csv", []byte("Item,Pack,Price\nbutter,1 kg,9.50\n"), "supplier", "Dairy round")
	file := mine.value(t, "file")
	for _, token := range []string{file, "", "../" + file, "studio.css"} {
		if a := v.another().post("/prices/import/rows", "file", token, "supplier", "Dairy round"); a.status != http.StatusConflict || strings.Contains(a.body, "list.csv") {
			t.Errorf("somebody else's file by %.20q: %d", token, a.status)
		}
	}
}

// TestRestoreFromPage: a backup of a newer program is refused in plain words, and
// another's passphrase comes with no backup.
func TestRestoreFromPage(t *testing.T) {
	v, _ := closedStudio(t)
	here := v.server.passphrase()
	if err := v.store.SetPassphrase(t.Context(), here, testNow); err != nil {
		t.Fatal(err)
	}
	v.post("/come-in", "passphrase", knownWords).expect(t, 200)
	newer := backupOf(t)
	// The format of the file has the schema's number at byte 60, big-endian
	// (sqlite.org/fileformat2.html, 1.3.1).
	copy(newer[60:64], []byte{0, 0, 0x27, 0x0f})
	before := v.edition()
	a := v.sendFile("/studio/restore", "backup", "studio.db", newer).expect(t, 422)
	a.has(t, "newer marchpane", "update the program")
	if strings.Contains(a.body, "marchpane-files") || strings.Contains(a.body, "sqlite") || !strings.Contains(a.body, `id="f-backup-fault"`) {
		t.Errorf("the refusal says %.600s", plainText(a.body))
	}
	if v.edition() != before {
		t.Error("a newer backup changed something")
	}
	empty := visitStudio(t, false)
	empty.sendFile("/welcome/file", "file", "studio.db", newer).expect(t, 422).has(t, "newer marchpane")
	if _, err := empty.store.Book(t.Context()); err != store.ErrEmpty {
		t.Errorf("a newer backup opened the studio: %v", err)
	}

	// A backup from a studio with no passphrase opens this one to nobody.
	looked := v.sendFile("/studio/restore", "backup", "studio.db", backupOf(t)).expect(t, 200)
	v.post("/studio/restore/apply", "file", looked.shelvedFile(t), "sure", "yes").expect(t, 200).has(t, "is in place")
	if kept, there, err := v.store.Passphrase(t.Context()); err != nil || !there || kept != here {
		t.Errorf("after the restore the passphrase is %q, %v", kept, err)
	}
	if a := v.another().get("/prices"); !strings.HasPrefix(a.path, "/come-in") {
		t.Errorf("after the restore a stranger is at %s", a.path)
	}
	v.get("/prices").expect(t, 200)
}
