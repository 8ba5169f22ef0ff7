package risk_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/risk"
)

var (
	today = day.Must("2026-11-25")
	event = day.Must("2027-06-26") // 8 months, the last begun
	shop  = func() money.Currency { c, _ := money.ParseCurrency("EUR"); return c }()
)

// thing is a good of an order: what it costs in all, and its monthly changes.
type thing struct {
	id      book.ID
	cost    string
	changes []float64
}

type input struct{ risk.Input }

// with returns a changed copy.
func (in input) with(change func(*risk.Input)) input {
	in.Bill = slices.Clone(in.Bill)
	change(&in.Input)
	return in
}

// order is an order of one gram of each thing, at a price far above the cost.
func order(t testing.TB, things ...thing) input {
	t.Helper()
	x := shelf(t, "", things...)
	in := risk.Input{
		Rates: pricing.NewRates(x, event), Histories: map[book.ID]risk.History{},
		Net: exact.Int(1_000_000_000), Floor: exact.Frac(1, 2), Currency: shop, Today: today, Event: event, Seed: 7,
	}
	for _, th := range things {
		in.Bill = append(in.Bill, pricing.BillLine{Resource: th.id, Kind: pricing.Ingredient, Quantity: exact.Int(1), Unit: "g"})
		if th.changes != nil {
			in.Histories[th.id] = risk.History{Name: string(th.id), Months: months(th)}
		}
	}
	return input{in}
}

// shelf is a book that sells a gram of each thing at its cost.
func shelf(t testing.TB, more string, things ...thing) *book.Index {
	t.Helper()
	var list []string
	for _, th := range things {
		list = append(list, fmt.Sprintf(`{"id": %q, "name": %q, "measure": "mass", "prices": [{"from": "2020-01-01", "pack": "1 g", "price": %q}]}`, th.id, th.id, th.cost))
	}
	return index(t, fmt.Sprintf(`"ingredients": [%s]%s`, strings.Join(list, ", "), more))
}

func index(t testing.TB, lists string) *book.Index {
	t.Helper()
	b, err := book.Parse([]byte(`{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "recovers_tax": true, "target": {"markup": "0 %"}}, ` + lists + `}`))
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

// months turns changes into a price a month, the last in October 2026, each
// entered anew.
func months(th thing) []risk.Monthly {
	level := 0.0
	n := len(th.changes)
	list := make([]risk.Monthly, n+1)
	for i := range list {
		if i > 0 {
			level += th.changes[i-1]
		}
		end := day.Of(time.Date(2026, time.October+1-time.Month(n-i), 0, 0, 0, 0, 0, time.UTC))
		list[i] = risk.Monthly{End: end, PerUnit: exact.Must(strconv.FormatFloat(math.Exp(level), 'f', -1, 64)), From: end}
	}
	return list
}

func steady(n int) []float64 { return make([]float64, n) }

// normal holds n changes at evenly spread quantiles of a normal distribution
// with mean 0, in mixed order: their deviation is sigma without the luck of a
// sample.
func normal(n int, sigma float64) []float64 { return shuffled(n, sigma, 42) }

func shuffled(n int, sigma float64, seed uint64) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = sigma * distuv.UnitNormal.Quantile((float64(i)+0.5)/float64(n))
	}
	rand.New(rand.NewPCG(seed, seed)).Shuffle(n, func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

func assess(t testing.TB, in input) risk.Outlook {
	t.Helper()
	o, err := risk.Assess(in.Input)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func float(n exact.Number) float64 {
	f, _ := n.Rat().Float64()
	return f
}
