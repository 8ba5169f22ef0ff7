package seed_test

import (
	"encoding/json"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/seed"
)

func studio(t *testing.T) book.Book {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatalf("book.Parse(Studio()) = %v", err)
	}
	return b
}

// What lies on top of one another in a tier must not stand higher than the
// tier, nor fall more than a tenth short of it.
func TestLayersFillTheirTier(t *testing.T) {
	for _, c := range studio(t).Cakes {
		for _, tier := range c.Tiers {
			if tier.Dummy.Or(false) {
				continue
			}
			stack := exact.Int(0)
			for _, p := range tier.Parts {
				stack = stack.Add(heightOf(p))
			}
			height := tier.Height.Base(measure.Metric)
			if stack.Cmp(height) > 0 || stack.Cmp(height.Mul(exact.Frac(9, 10))) < 0 {
				t.Errorf("%s, tier %s: parts stand %s mm high, want at most, and nearly, %s mm", c.ID, tier.Name, stack.Text(), height.Text())
			}
		}
	}
}

// heightOf returns how many mm a part adds to its tier.
func heightOf(p book.Part) exact.Number {
	mm := func(q measure.Quantity) exact.Number { return q.Base(measure.Metric) }
	switch {
	case p.Layers.Given:
		return mm(p.Thick).Mul(exact.Int(int64(p.Layers.Value)))
	case p.Coat.Given() && p.On != book.PerSide:
		return mm(p.Coat)
	case p.Sheet.Given():
		return mm(p.Sheet)
	}
	return exact.Int(0)
}

// Bands of finished density in g/ml by kind of component: common practice, no
// source. A mistyped mould or quantity falls outside them.
func TestFinishedDensities(t *testing.T) {
	bands := map[string][2]exact.Number{
		"sponge":      {exact.Must("0.3"), exact.Must("1.0")},
		"buttercream": {exact.Must("0.75"), exact.Must("0.9")},
		"ganache":     {exact.Must("1.1"), exact.Must("1.2")},
		"paste":       {exact.Must("1.25"), exact.Must("1.4")},
	}
	b := studio(t)
	index := book.NewIndex(b)
	for i := range b.Components {
		c := &b.Components[i]
		band, watched := bands[c.Kind.Or("")]
		density, err := index.Density(book.Item{Component: c})
		if err != nil {
			t.Errorf("Density(%s) = %v", c.ID, err)
		}
		if !watched || density.IsZero() {
			continue
		}
		if density.Cmp(band[0]) < 0 || density.Cmp(band[1]) > 0 {
			t.Errorf("Density(%s) = %s g/ml, want %s to %s", c.ID, density.Text(), band[0].Text(), band[1].Text())
		}
	}
}

// Grams in a US cup of 236.588 ml, from USDA National Nutrient Database SR28,
// WEIGHT.txt; the number of the food in its NDB beside each.
func TestDensitiesAgreeWithHandbook(t *testing.T) {
	grams := map[book.ID]int64{
		"butter":        227, // 01145
		"whole-milk":    244, // 01077
		"buttermilk":    245, // 01088
		"cream":         238, // 01053
		"plain-flour":   125, // 20081
		"cake-flour":    137, // 20084
		"cornflour":     128, // 20027
		"caster-sugar":  200, // 19335, granulated
		"icing-sugar":   120, // 19336, unsifted
		"muscovado":     220, // 19334, packed
		"glucose":       341, // 19350
		"treacle":       337, // 19304
		"cocoa-powder":  86,  // 19166
		"rapeseed-oil":  218, // 04582
		"white-fat":     205, // 04031
		"ground-almond": 95,  // 12061
		"flaked-almond": 92,  // 12061
		"lemon":         244, // 09152, juice
		"orange":        248, // 09206, juice
	}
	cup := exact.Must("236.588")
	index := book.NewIndex(studio(t))
	for id, g := range grams {
		item, ok := index.Item(id)
		if !ok {
			t.Errorf("Item(%s): not in the book", id)
			continue
		}
		got, err := index.Density(item)
		if err != nil {
			t.Errorf("Density(%s) = %v", id, err)
			continue
		}
		ratio := got.Mul(cup).Quo(exact.Int(g))
		if ratio.Cmp(exact.Must("0.98")) < 0 || ratio.Cmp(exact.Must("1.02")) > 0 {
			t.Errorf("Density(%s) = %s g/ml, want %d g in %s ml within 2 %%", id, got.Text(), g, cup.Text())
		}
	}
}

// The request asks only for cakes and extras that the book has.
func TestWeddingRequestFitsTheStudio(t *testing.T) {
	var request struct {
		Lines []struct {
			Cake book.ID `json:"cake"`
		} `json:"lines"`
		Extras []struct {
			Extra book.ID `json:"extra"`
		} `json:"extras"`
	}
	if err := json.Unmarshal(seed.WeddingRequest(), &request); err != nil {
		t.Fatalf("WeddingRequest() is no JSON: %v", err)
	}
	index := book.NewIndex(studio(t))
	if len(request.Lines) == 0 {
		t.Error("WeddingRequest() asks for no cake")
	}
	for i, line := range request.Lines {
		if _, ok := index.Cake(line.Cake); !ok {
			t.Errorf("%s: no cake %q in the book", record.Item("lines", i), line.Cake)
		}
	}
	for i, line := range request.Extras {
		if _, ok := index.Extra(line.Extra); !ok {
			t.Errorf("%s: no extra %q in the book", record.Item("extras", i), line.Extra)
		}
	}
}
