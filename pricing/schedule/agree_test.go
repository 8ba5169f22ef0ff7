package schedule

import (
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
)

// What a single cake needs is made here in the batches, from the inputs and
// with the minutes with which package pricing costs it.
func TestAgreesWithPricing(t *testing.T) {
	makings := 0
	for seed := range uint64(150) {
		b, err := book.Parse(randombook.New(seed).Book())
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		for _, c := range b.Cakes {
			take, err := pricing.TakeCake(x, c.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range take.Makings {
				agree(t, x, m)
				makings++
			}
		}
	}
	if makings < 200 {
		t.Fatalf("only %d makings were compared", makings)
	}
}

func agree(t *testing.T, x *book.Index, m pricing.Making) {
	t.Helper()
	b, err := batchOf(x, m.Component, m.Need)
	if err != nil {
		t.Fatal(err)
	}
	if !b.made.Equal(m.Made) || !m.Batches.Equal(exact.Int(int64(b.batches))) || b.unit != m.Unit {
		t.Errorf("%s: %d batches of %s %s in all, want %s of %s %s", m.Component.ID, b.batches, b.made.Text(), b.unit, m.Batches.Text(), m.Made.Text(), m.Unit)
	}
	inputs := b.inputs(x)
	if len(inputs) != len(m.Inputs) {
		t.Fatalf("%s: %d inputs, want %d", m.Component.ID, len(inputs), len(m.Inputs))
	}
	for i, in := range inputs {
		if in.c.ID != m.Inputs[i].Component || !in.quantity.Equal(m.Inputs[i].Quantity) {
			t.Errorf("%s takes %s of %s, want %s of %s", m.Component.ID, in.quantity.Text(), in.c.ID, m.Inputs[i].Quantity.Text(), m.Inputs[i].Component)
		}
	}
	w, err := b.work(x, Usual())
	if err != nil {
		t.Fatal(err)
	}
	hands, want, runs := []int{}, []int{}, map[book.ID]int{}
	for _, s := range w.steps {
		if s.minutes > 0 && !s.wait {
			hands = append(hands, s.minutes)
		}
	}
	for _, u := range m.Uses {
		switch u.Kind {
		case pricing.Role:
			want = append(want, minutesUp(u.Quantity))
		case pricing.Equipment:
			runs[u.Resource] += minutesUp(u.Quantity)
		}
	}
	if len(hands) != len(want) {
		t.Fatalf("%s: tasks of %v minutes, want %v", m.Component.ID, hands, want)
	}
	for i := range hands {
		if hands[i] != want[i] {
			t.Errorf("%s: tasks of %v minutes, want %v", m.Component.ID, hands, want)
		}
	}
	for _, r := range w.runs {
		if runs[r.id] != r.minutes {
			t.Errorf("%s: %s runs %d minutes, want %d", m.Component.ID, r.id, r.minutes, runs[r.id])
		}
	}
	if len(w.runs) != len(runs) {
		t.Errorf("%s: appliances %v, want %v", m.Component.ID, w.runs, runs)
	}
}

// Cups and spoons to a quarter. Metric by definition: tsp 5, tbsp 15, cup
// 250 ml; US: cup 236.5882365 ml (pricing/measure/testdata has the sources).
func TestSpoons(t *testing.T) {
	for _, c := range []struct {
		ml    string
		us    bool
		n     int
		units string
	}{
		{"250", false, 4, "cup"}, {"312.5", false, 5, "cup"}, {"62.5", false, 1, "cup"}, {"62", false, 17, "tbsp"}, {"15", false, 4, "tbsp"},
		{"14.9", false, 12, "tsp"}, {"5", false, 4, "tsp"}, {"0.7", false, 1, "tsp"}, {"0.6", false, 0, ""}, {"0", false, 0, ""},
		{"236.5882365", true, 4, "cup"}, {"4.92892159375", true, 4, "tsp"}, {"1000", true, 17, "cup"},
	} {
		h := book.NewIndex(book.Book{}).Household()
		if c.us {
			h++
		}
		if got := spoons(exact.Must(c.ml), h); got != (Spoons{c.n, c.units}) {
			t.Errorf("spoons(%s ml, %s) = %d quarters of a %s, want %d of a %s", c.ml, h, got.Quarters, got.Unit, c.n, c.units)
		}
	}
}
