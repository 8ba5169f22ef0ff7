package pricing_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// TestParts takes each way to say how much a tier uses. The tier is a square of
// 20 cm, 10 cm high: A = 400 cm2, P = 80 cm, P·H = 800 cm2. Worked by hand from
// costing.md; the density of what is used is 2 g/ml.
func TestParts(t *testing.T) {
	for _, c := range []struct{ part, want string }{
		{`"qty": "30 g"`, "30"},
		{`"qty": "30 ml"`, "60"},
		{`"qty": "1 each"`, "50"},
		{`"qty": "3 g", "per": "tier"`, "3"},
		{`"qty": "3 g", "per": "portion"`, "36"},
		{`"qty": "3 g", "per": "top"`, "1200"},
		{`"qty": "3 g", "per": "side"`, "2400"},
		{`"qty": "3 g", "per": "surface"`, "3600"},
		{`"qty": "3 g", "per": "edge"`, "240"},
		{`"qty": "3 g", "per": "volume"`, "12000"},
		{`"qty": "30 g", "waste": "8 %"`, "32.4"},
		{`"layers": 3, "thick": "25 mm"`, "6000"}, // 3·400·2.5·2
		{`"layers": 3, "thick": "25 mm", "waste": "5 %"`, "6300"},
		{`"coat": "5 mm"`, "1200"}, // 1200·0.5·2
		{`"coat": "5 mm", "on": "top"`, "400"},
		{`"coat": "5 mm", "on": "side"`, "800"},
		{`"coat": "5 mm", "on": "surface"`, "1200"},
		{`"sheet": "5 mm", "overhang": "0 mm", "reuse": "100 %"`, "1200"}, // covered only
		// x = 12: rolled = 400 + 80·12 + π·144 = 1360 + 144π; covered 1200.
		{`"sheet": "5 mm", "overhang": "2 cm"`, "1812.389342116930"},
		{`"sheet": "5 mm", "overhang": "2 cm", "reuse": "60 %"`, "1444.955736846772"}, // 1200 + (612.389…)·0.4
	} {
		x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": "mass", "density": "2 g/ml", "each": "50 g", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "1"}]}],
			"cakes": [{"id": "cake", "name": "Cake", "tiers": [{"name": "tier", "shape": "square", "side": "20 cm", "height": "100 mm", "portions": 12, "parts": [{"use": "stuff", %s}]}]}]`, c.part))
		if got := takes(t, x, "stuff").Fixed(12); got != exact.Must(c.want).Fixed(12) {
			t.Errorf("part {%s} takes %s g, want %s", c.part, got, c.want)
		}
	}
}

// TestTrimAndPieces holds the bridges of costing.md, "Ingredients and
// packaging". Worked by hand.
func TestTrimAndPieces(t *testing.T) {
	const lemon = `"density": "1.03 g/ml", "each": "120 g", "trim_yield": "43 %",`
	const egg = `"parts": [{"id": "yolk", "name": "Yolk", "mass": "17 g"}, {"id": "white", "name": "White", "mass": "33 g"}],`
	for _, c := range []struct{ measure, pack, more, qty, use, want string }{
		{"mass", "5 kg", lemon, "43 g", "stuff", "100"},                      // usable ÷ yield
		{"mass", "5 kg", lemon, "160 ml", "stuff", "383.255813953488372093"}, // ·1.03 ÷ 0.43
		{"mass", "5 kg", lemon, "2 each", "stuff", "240"},                    // pieces as purchased: no trim
		{"count", "10 each", lemon, "2 each", "stuff", "2"},
		{"count", "10 each", lemon, "51.6 g", "stuff", "1"}, // 120·0.43 usable in one
		{"count", "10 each", lemon, "10 ml", "stuff", "0.199612403100775194"},
		{"volume", "1 l", lemon, "43 ml", "stuff", "100"},
		{"volume", "1 l", lemon, "10.3 g", "stuff", "23.255813953488372093"},  // ÷ 1.03 ÷ 0.43
		{"volume", "1 l", lemon, "1 each", "stuff", "116.504854368932038835"}, // 120 ÷ 1.03
		{"length", "1 m", `"trim_yield": "80 %",`, "4 cm", "stuff", "50"},
		{"area", "1 m2", `"trim_yield": "80 %",`, "4 cm2", "stuff", "5"},
		{"count", "12 each", egg, "6 each", "yolk", "2.04"}, // 6·17 ÷ 50
		{"count", "12 each", egg, "180 g", "white", "3.6"},  // ÷ 50
		{"count", "12 each", egg, "100 g", "stuff", "2"},    // of the whole likewise
		{"count", "12 each", egg, "3 each", "stuff", "3"},
		{"mass", "1 kg", egg, "6 each", "yolk", "102"},
		{"mass", "1 kg", egg, "2 each", "stuff", "100"},
	} {
		x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": %q, %s "prices": [{"from": "2026-01-01", "pack": %q, "price": "1"}]}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": %q, "qty": %q}]}]`, c.measure, c.more, c.pack, c.use, c.qty))
		if got := takes(t, x, "stuff").Fixed(18); got != exact.Must(c.want).Fixed(18) {
			t.Errorf("%s of %s bought by %s takes %s, want %s", c.qty, c.use, c.measure, got, c.want)
		}
	}
}

// TestBatches holds batch limits and setups. The recipe gives 500 g of 1000 g
// after a loss of 50 %. Worked by hand.
func TestBatches(t *testing.T) {
	for _, c := range []struct{ limits, need, flour, minutes string }{
		{``, "250 g", "500", "12.5"},                    // setup 10, 10 a kg
		{`"batch_min": "400 g",`, "250 g", "800", "14"}, // a surplus is charged
		{`"batch_min": "400 g",`, "400 g", "800", "14"},
		{`"batch_max": "1 kg",`, "1 kg", "2000", "20"},      // exactly one batch
		{`"batch_max": "1 kg",`, "1001 g", "2002", "30.01"}, // two setups
		{`"batch_min": "1.5 kg", "batch_max": "1 kg",`, "1 g", "3000", "35"},
	} {
		x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [%s], "roles": [{"id": "baker", "name": "Baker", "wage": [{"from": "2026-01-01", "per_hour": "60"}]}],
			"components": [{"id": "made", "name": "Made", "loss": "50 %%", %s "lines": [{"use": "flour", "qty": "1 kg"}], "tasks": [{"task": "mix", "role": "baker", "setup": "10 min", "rate": "10 min", "per": "kg"}]}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "made", "qty": %q}]}]`, gram("flour"), c.limits, c.need))
		if got := takes(t, x, "flour"); !got.Equal(exact.Must(c.flour)) {
			t.Errorf("%s of a component with %s takes %s g, want %s", c.need, c.limits, got.Text(), c.flour)
		}
		if got := takes(t, x, "baker"); !got.Equal(exact.Must(c.minutes)) {
			t.Errorf("%s of a component with %s takes %s min, want %s", c.need, c.limits, got.Fixed(6), c.minutes)
		}
	}
}

// Needs of one component are summed over the cake before it is made: two needs
// of 600 g are two batches of at most 1 kg, not two times one.
func TestNeedsAreSummedFirst(t *testing.T) {
	x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [%s], "roles": [{"id": "baker", "name": "Baker", "wage": [{"from": "2026-01-01", "per_hour": "60"}]}],
		"components": [{"id": "made", "name": "Made", "batch_max": "1 kg", "batch_min": "1 kg", "lines": [{"use": "flour", "qty": "1 kg"}], "tasks": [{"task": "mix", "role": "baker", "setup": "7 min"}]},
			{"id": "mixed", "name": "Mixed", "lines": [{"use": "made", "qty": "600 g"}]}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "mixed", "qty": "600 g"}, {"use": "made", "qty": "600 g"}]}]`, gram("flour")))
	if got, minutes := takes(t, x, "flour").Text(), takes(t, x, "baker").Text(); got != "1200" || minutes != "14" {
		t.Errorf("600 g through another component and 600 g directly take %s g and %s min, want 1200 and 14", got, minutes)
	}
}

// Energy = power × duty × time: 6 kW at 55 % for 80 min are 4.4 kWh.
func TestAppliance(t *testing.T) {
	x := small(t, `"target": {"markup": "0 %"}`,
		`"energy": [{"from": "2026-01-01", "price": "0.50"}], "equipment": [{"id": "oven", "name": "Oven", "power": "6 kW", "duty": "55 %", "per_hour": "0.90"}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 4, "equipment": [{"use": "oven", "setup": "1 h", "rate": "5 min", "per": "portion"}]}]`)
	c := costing(t, x, "cake")
	if got := takes(t, x, "energy").Text(); got != "22/5" {
		t.Errorf("the oven burns %s kWh, want 22/5", got)
	}
	if got := c.Cost.Equipment.Text(); got != "17/5" { // 2.20 + 80 ÷ 60 × 0.90
		t.Errorf("the oven costs %s, want 17/5", got)
	}
}

// A wait is scheduled and not charged; a kept tier is made and not served; a
// dummy has no portions whatever it states and keeps its geometry.
func TestWaitKeptDummy(t *testing.T) {
	x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [%s], "cakes": [{"id": "cake", "name": "Cake", "tasks": [{"task": "dry", "wait": "2 day"}], "parts": [{"use": "flour", "qty": "1 g", "per": "top"}, {"use": "flour", "qty": "1000 g", "per": "tier"}], "tiers": [
			{"name": "low", "shape": "square", "side": "20 cm", "height": "10 cm", "portions": 12},
			{"name": "kept", "kept": true, "shape": "square", "side": "10 cm", "height": "10 cm", "portion": {"cut": "wedge", "count": 5}},
			{"name": "dummy", "dummy": true, "shape": "square", "side": "10 cm", "height": "10 cm", "portions": 7}]}]`, gram("flour")))
	c := costing(t, x, "cake")
	if c.Takeoff.Made != 17 || c.Takeoff.Served != 12 || !c.Takeoff.Bill.Minutes().IsZero() {
		t.Errorf("made %d, served %d, %s min, want 17, 12 and none", c.Takeoff.Made, c.Takeoff.Served, c.Takeoff.Bill.Minutes().Text())
	}
	if got := takes(t, x, "flour").Text(); got != "3600" {
		t.Errorf("all tops and tiers take %s g, want 600 + 3 × 1000", got)
	}
}

// TestOverheadMethods: 30 min of work at 60 an hour and 10 of flour.
func TestOverheadMethods(t *testing.T) {
	for _, c := range []struct{ overhead, unit, want string }{
		{`{"method": "labour hour", "hours": "100 h", "dated": [{"from": "2026-01-01", "amount": "1700"}]}`, "h", "17/2"},
		{`{"method": "percent", "dated": [{"from": "2026-01-01", "share": "15 %"}]}`, "", "6"},
		{`{"method": "cake", "dated": [{"from": "2026-01-01", "amount": "12.50"}]}`, "cake", "25/2"},
	} {
		x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"overhead": %s, "ingredients": [%s], "roles": [{"id": "baker", "name": "Baker", "wage": [{"from": "2026-01-01", "per_hour": "60"}]}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "flour", "qty": "10 g"}], "tasks": [{"task": "mix", "role": "baker", "setup": "30 min"}]}],
			"extras": [{"id": "visit", "name": "Visit", "tasks": [{"task": "drive", "role": "baker", "rate": "1 min", "per": "km"}]}]`, c.overhead, gram("flour")))
		got := costing(t, x, "cake")
		if got.Cost.Overhead.Text() != c.want {
			t.Errorf("overhead %s = %s, want %s", c.overhead, got.Cost.Overhead.Text(), c.want)
		}
		line, there := got.Takeoff.Bill.Line(book.OverheadID)
		if there != (c.unit != "") || line.Unit != c.unit {
			t.Errorf("overhead %s is in the bill: %v, in %q, want %q", c.overhead, there, line.Unit, c.unit)
		}
		// An extra takes hours and its percentage, and no flat amount.
		extra, err := pricing.TakeExtra(x, "visit", exact.Int(24))
		if err != nil {
			t.Fatal(err)
		}
		if _, there := extra.Bill.Line(book.OverheadID); there != (c.unit == "h") || extra.Bill.Minutes().Text() != "24" {
			t.Errorf("an extra under %s has overhead in its bill: %v", c.overhead, there)
		}
	}
}

// The price in force: the newest of those not later than the day, of two equal
// the later listed, and only the named supplier's.
func TestPriceInForce(t *testing.T) {
	const prices = `{"from": "2026-03-01", "supplier": "Mill", "pack": "1 g", "price": "3"}, {"from": "2026-01-01", "supplier": "Mill", "pack": "1 g", "price": "1"},
		{"from": "2026-03-01", "supplier": "Round", "pack": "1 g", "price": "4"}, {"from": "2027-01-01", "supplier": "Mill", "pack": "1 g", "price": "9"}`
	for _, c := range []struct{ supplier, on, want string }{
		{"", "2026-01-01", "1"}, {"", "2026-02-28", "1"}, {"", "2026-03-01", "4"}, {"", "2026-12-31", "4"}, {"", "2027-01-01", "9"}, {"", "2025-12-31", "no price"},
		{"Mill", "2026-03-01", "3"}, {"Round", "2026-03-01", "4"}, {"Round", "2026-02-28", "no price"}, {"Nobody", "2026-03-01", "no price"},
	} {
		supplier := ""
		if c.supplier != "" {
			supplier = fmt.Sprintf(`"supplier": %q,`, c.supplier)
		}
		x := small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [{"id": "stuff", "name": "Fine stuff", "measure": "mass", %s "prices": [%s]}], "cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "stuff", "qty": "1 g"}]}]`, supplier, prices))
		got, err := pricing.CostCake(x, "cake", pricing.NewRates(x, day.Must(c.on)))
		switch {
		case c.want == "no price":
			if err == nil || !strings.Contains(err.Error(), "Fine stuff") || !strings.Contains(err.Error(), c.on) {
				t.Errorf("the price from %q on %s: %v, want an error that names the ingredient and the day", c.supplier, c.on, err)
			}
		case err != nil || got.Cost.Total().Text() != c.want:
			t.Errorf("the price from %q on %s = %s, %v, want %s", c.supplier, c.on, got.Cost.Total().Text(), err, c.want)
		}
	}
}

// Tax in a price goes only where the studio recovers it: 1.23 with 23 %.
func TestRecoveredTax(t *testing.T) {
	for recovers, want := range map[string]string{`"recovers_tax": true,`: "1", `"recovers_tax": false,`: "123/100", ``: "123/100"} {
		x := small(t, recovers+`"target": {"markup": "0 %"}`,
			`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "1.23", "tax_in": "23 %"}]}], "cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "stuff", "qty": "1 g"}]}]`)
		if got := costing(t, x, "cake").Cost.Total().Text(); got != want {
			t.Errorf("with %s a gram costs %s, want %s", recovers, got, want)
		}
	}
}

func TestMissingPricesAreAllNamed(t *testing.T) {
	x := exampleBook(t)
	_, err := pricing.CostCake(x, "two-tier-lemon", pricing.NewRates(x, day.Must("2020-01-01")))
	if err == nil {
		t.Fatal("a day before all prices is costed")
	}
	for _, name := range []string{"Unsalted butter", "Caster sugar", "Satin ribbon 15 mm", "Pastry cook", "energy", "overhead", "2020-01-01"} {
		if !strings.Contains(err.Error(), name) {
			t.Errorf("the error does not name %s: %v", name, err)
		}
	}
}
