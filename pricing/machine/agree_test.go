package machine_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/internal/naive"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// canonical returns v as JSON with sorted keys.
func canonical(t *testing.T, v any) string {
	t.Helper()
	first, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var generic any
	if err := json.Unmarshal(first, &generic); err != nil {
		t.Fatal(err)
	}
	text, err := json.MarshalIndent(generic, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func costDoc(x *book.Index, cake, on string) (machine.Cost, error) {
	c, err := pricing.CostCake(x, book.ID(cake), pricing.NewRates(x, day.Must(on)))
	if err != nil {
		return machine.Cost{}, err
	}
	return machine.CostOf(c), nil
}

// impactDoc does what the impact command does.
func impactDoc(t *testing.T, x *book.Index, resource, mode, value, on string) []machine.Impact {
	t.Helper()
	rates := pricing.NewRates(x, day.Must(on))
	change := pricing.Change{Resource: book.ID(resource)}
	switch mode {
	case "change":
		figure, negative := strings.CutPrefix(value, "-")
		p, err := measure.ParsePercent(figure)
		if err != nil {
			t.Fatal(err)
		}
		change.Factor = pricing.ByPercent(p, negative)
	case "price":
		i := strings.LastIndex(value, "=")
		pack, err := measure.ParsePack(value[:i])
		if strings.HasPrefix(value, "1 cake") {
			pack, err = measure.ParsePack("1 each")
		}
		if err != nil {
			t.Fatal(err)
		}
		price, err := money.ParsePrice(value[i+1:])
		if err != nil {
			t.Fatal(err)
		}
		change.Pack, change.Price = &pack, price
	}
	cakes, err := pricing.TakeAll(x)
	if err != nil {
		t.Fatal(err)
	}
	impacts, err := pricing.Impacts(x, rates, cakes, change)
	if err != nil {
		t.Fatal(err)
	}
	doc := []machine.Impact{}
	for _, im := range impacts {
		doc = append(doc, machine.ImpactOf(im))
	}
	return doc
}

// TestAgreesWithNaive compares every document with a second implementation of
// costing.md, written apart from this one over math/big alone, for two thousand
// books of fixed seeds.
func TestAgreesWithNaive(t *testing.T) {
	books := uint64(2000)
	if testing.Short() {
		books = 20
	}
	const shares = 8
	for share := range uint64(shares) {
		t.Run(fmt.Sprint(share), func(t *testing.T) {
			t.Parallel()
			for seed := share; seed < books; seed += shares {
				agree(t, seed)
			}
		})
	}
}

// FuzzAgreesWithNaive goes on where the fixed seeds end.
func FuzzAgreesWithNaive(f *testing.F) {
	f.Add(uint64(0))
	f.Add(uint64(1) << 40)
	f.Fuzz(agree)
}

// agree compares every document of the book of one seed.
func agree(t *testing.T, seed uint64) {
	several := 1 // changes of price and requests, of which the first books have more
	if seed < 150 {
		several = 4
	}
	g := randombook.New(seed)
	data := g.Book()
	b, err := book.Parse(data)
	if err != nil {
		t.Fatalf("seed %d: a valid book is refused: %v\n%s", seed, err, data)
	}
	x := book.NewIndex(b)
	n, err := naive.Load(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range b.Cakes {
		on := g.Date()
		want, err := n.Cost(string(c.ID), on)
		if err != nil {
			t.Fatal(err)
		}
		got, err := costDoc(x, string(c.ID), on)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		compare(t, seed, "cost "+string(c.ID), got, want)
		wantBill, err := n.Bill(string(c.ID))
		if err != nil {
			t.Fatal(err)
		}
		takeoff, err := pricing.TakeCake(x, c.ID)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, seed, "bill "+string(c.ID), machine.BillOf(takeoff.Bill), wantBill)
	}
	for _, im := range g.Impacts(data, several) {
		want, err := n.Impact(im.Resource, im.Mode, im.Value, im.On)
		if err != nil {
			t.Fatal(err)
		}
		if want == nil {
			want = []map[string]any{}
		}
		compare(t, seed, "impact "+im.Resource+" "+im.Value, impactDoc(t, x, im.Resource, im.Mode, im.Value, im.On), want)
	}
	for _, req := range g.Requests(data, several) {
		want, err := n.Quote(req, "2026-0001")
		if err != nil {
			t.Fatal(err)
		}
		compare(t, seed, "quote "+string(req), quoteDoc(t, x, req), want)
	}
}

func quoteDoc(t *testing.T, x *book.Index, req []byte) machine.Quote {
	t.Helper()
	r, err := quote.ReadRequest(req)
	if err != nil {
		t.Fatalf("%v\n%s", err, req)
	}
	q, err := quote.Price(x, r)
	if err != nil {
		t.Fatalf("%v\n%s", err, req)
	}
	q.Number = "2026-0001"
	return machine.QuoteOf(q, "")
}

func compare(t *testing.T, seed uint64, what string, got, want any) {
	t.Helper()
	if g, w := canonical(t, got), canonical(t, want); g != w {
		t.Fatalf("seed %d: %s = %s\nwant %s", seed, what, g, w)
	}
}

// TestExample costs the example book of the format's own page, digit for
// digit.
func TestExample(t *testing.T) {
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	answers, err := os.ReadFile("../testdata/example-expected.json")
	if err != nil {
		t.Fatal(err)
	}
	var want struct {
		Cost, Bill, Impact []struct {
			Command  string
			Expected any
		}
		Quote []struct{ Request, Expected any }
	}
	if err := json.Unmarshal(answers, &want); err != nil {
		t.Fatal(err)
	}
	for _, c := range want.Cost {
		word := strings.Fields(c.Command) // cost CAKE --on DAY --json
		got, err := costDoc(x, word[1], word[3])
		if err != nil {
			t.Fatal(err)
		}
		compare(t, 0, c.Command, got, c.Expected)
	}
	for _, c := range want.Bill {
		takeoff, err := pricing.TakeCake(x, book.ID(strings.Fields(c.Command)[1]))
		if err != nil {
			t.Fatal(err)
		}
		compare(t, 0, c.Command, machine.BillOf(takeoff.Bill), c.Expected)
	}
	for _, c := range want.Impact {
		quoted := strings.Split(c.Command, `"`) // impact RESOURCE --change "18 %" --on DAY --json
		head, tail := strings.Fields(quoted[0]), strings.Fields(quoted[2])
		compare(t, 0, c.Command, impactDoc(t, x, head[1], strings.TrimPrefix(head[2], "--"), quoted[1], tail[1]), c.Expected)
	}
	for _, c := range want.Quote {
		req, err := json.Marshal(c.Request)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, 0, "quote new", quoteDoc(t, x, req), c.Expected)
	}
	if len(want.Cost)*len(want.Bill)*len(want.Impact)*len(want.Quote) == 0 {
		t.Fatal("the expected answers lack a command")
	}
}
