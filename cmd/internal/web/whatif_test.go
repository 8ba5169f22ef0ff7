package web

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/seed"
)

// TestWhatIf: the page ranks as the engine does in exact arithmetic, several
// prices at once; it says what it does not understand.
func TestWhatIf(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/what-if").has(t, "Cake decorator", "Energy", "What your margins hang on")
	a := v.get("/what-if?move.butter=18&move.decorator=4,5&move.energy=-20")
	a.has(t, "Cake decorator +4.5%", "floor", "Margin sold at")

	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	takeoffs, err := pricing.TakeAll(x)
	if err != nil {
		t.Fatal(err)
	}
	changes := []pricing.Change{}
	for id, by := range map[book.ID]string{"butter": "18 %", "decorator": "4.5 %", "energy": "-20 %"} {
		factor, err := pricing.ReadFactor(by)
		if err != nil {
			t.Fatal(err)
		}
		changes = append(changes, pricing.Change{Resource: id, Factor: factor})
	}
	impacts, err := pricing.Impacts(x, pricing.NewRates(x, day.Of(testNow)), takeoffs, changes...)
	if err != nil {
		t.Fatal(err)
	}
	words := wordsOf(b.Studio)
	var want []string
	for _, im := range pricing.Ranked(impacts) {
		c, _ := x.Cake(im.Cake)
		want = append(want, c.Name+" "+words.money(im.Before)+" "+words.money(im.After))
	}
	var got []string
	cakes := a.body[strings.Index(a.body, "<caption"):]
	cakes = cakes[:strings.Index(cakes, "</table>")]
	for _, row := range regexp.MustCompile(`(?s)<tr><th scope="row">.*?</tr>`).FindAllString(cakes, -1) {
		cells := regexp.MustCompile(`(?s)<span class="v">(?:<a[^>]*>)?([^<]*)`).FindAllStringSubmatch(row, 3)
		got = append(got, unescape(cells[0][1])+" "+cells[1][1]+" "+cells[2][1])
	}
	if !slices.Equal(got, want) {
		t.Errorf("the page ranks\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}

	v.get("/what-if?move.in:dairy=10").has(t, "All of dairy")
	v.get("/what-if?also=lemon").has(t, "Lemon")
	v.get("/what-if?move.butter=lots").has(t, "lots")
	v.get("/what-if?move.butter=-120").has(t, "cannot fall by more than 100 %")
	v.get("/what-if?move.unicorn=5").has(t, "unicorn")
	if a := v.get("/what-if?" + url.Values{"move.<script>x</script>": {"5"}}.Encode()); strings.Contains(a.body, "<script>x") {
		t.Error("a name is not escaped")
	}
}

// TestWhatIfByPages: the pages of a long list hold every cake once, in order.
func TestWhatIfByPages(t *testing.T) {
	v := visitStudio(t, true)
	const twins = 120 // of each cake; they tie, and stand in the order of the book
	if _, err := v.store.Edit(t.Context(), "test", testNow, func(b book.Book) (book.Book, error) {
		first := b.Cakes[:2:2]
		b.Cakes = nil
		for i := range twins {
			for _, c := range first {
				c.ID, c.Name = book.ID(fmt.Sprintf("%s-%d", c.ID, i)), fmt.Sprintf("%s %d", c.Name, i)
				b.Cakes = append(b.Cakes, c)
			}
		}
		return b, nil
	}); err != nil {
		t.Fatal(err)
	}
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	takeoffs, err := pricing.TakeAll(x)
	if err != nil {
		t.Fatal(err)
	}
	factor, err := pricing.ReadFactor("7 %")
	if err != nil {
		t.Fatal(err)
	}
	impacts, err := pricing.Impacts(x, pricing.NewRates(x, day.Of(testNow)), takeoffs, pricing.Change{Resource: "decorator", Factor: factor})
	if err != nil {
		t.Fatal(err)
	}
	var want, got []string
	for _, im := range pricing.Ranked(impacts) {
		want = append(want, cakes.at(im.Cake))
	}
	if len(want) <= 2*pageSize {
		t.Fatalf("%d cakes are touched; the test misses its point", len(want))
	}
	for at := "/what-if?move.decorator=7"; at != ""; {
		a := v.get(at)
		for _, m := range regexp.MustCompile(`<th scope="row"><span class="v"><a href="(/cakes/[^"]*)"`).FindAllStringSubmatch(a.body, -1) {
			got = append(got, m[1])
		}
		at = ""
		if m := regexp.MustCompile(`rel="next" href="([^"]*)"`).FindStringSubmatch(a.body); m != nil {
			at = unescape(m[1])
		}
		if len(got) > len(want) {
			break
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("page by page stand %d cakes: %.300q\nwant %d: %.300q", len(got), got, len(want), want)
	}
}

// TestReprice: proposals are asked for once more, hold from their day, and can
// be taken back; a day gone by is refused.
func TestReprice(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/what-if/reprice").has(t, "Nothing is changed yet", "New price")
	v.get("/what-if/reprice?max_rise=-3").has(t, "A rise is above 0")
	v.post("/what-if/reprice", "day", "2026-11-24").has(t, "days gone by")
	a := v.post("/what-if/reprice", "day", "2026-12-01", "max_rise", "8")
	a.has(t, "Set", "1 December 2026")
	list := func() (n int) {
		b, err := v.store.Book(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range b.Cakes {
			n += len(c.ListPrices)
		}
		return n
	}
	before := list()
	a = v.post("/what-if/reprice", "day", "2026-12-01", "max_rise", "8", "version", a.value(t, "version"))
	a.has(t, "from 1 December 2026 on", "Undo")
	if list() <= before {
		t.Error("no list price was set")
	}
	v.post("/undo", "token", a.value(t, "token")).has(t, "as they were before")
	if list() != before {
		t.Errorf("%d list prices after Undo, want %d", list(), before)
	}
}
