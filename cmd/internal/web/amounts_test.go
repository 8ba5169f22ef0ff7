package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// TestPrice reads money as people write it. The spellings with a mark between
// thousands are those of CLDR for en, de, fr and de-CH.
func TestPrice(t *testing.T) {
	euro, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	for in, want := range map[string]string{
		"": "", "18.50": "18.50", "18,50": "18.50", "18,50 €": "18.50", "€18.50": "18.50", "18.50 EUR": "18.50", "1.234,50": "1234.50",
		"1,234.50": "1234.50", "1\u202f234,50": "1234.50", "1’234.50": "1234.50", "0.324": "0.324", "12.125": "12.125",
		// What is not this money, or no amount, is left to be refused.
		"£5": "£5", "5 GBP": "5 GBP", "-3": "-3", "95p": "95p", "3 €/kg": "3 €/kg", "1.000": "1.000", "much": "much",
	} {
		if got := (form{values: url.Values{"a": {in}}, currency: euro}).price("a"); got != want {
			t.Errorf("price of %q = %q, want %q", in, got, want)
		}
	}
	for in, bad := range map[string]bool{"1.000": true, "1,500": true, "12.125": true, "0.324": false, "1000": false, "1.50": false, "1234.500": false} {
		if err := oneWay(euro, in); (err != nil) != bad {
			t.Errorf("oneWay(%q) = %v", in, err)
		}
	}
	dinar, err := money.ParseCurrency("KWD")
	if err != nil {
		t.Skip("no currency of three places is known")
	}
	if err := oneWay(dinar, "1.000"); err != nil {
		t.Errorf("oneWay in KWD = %v", err)
	}
	for in, want := range map[string]string{"20": "20 min", "7,5": "7.5 min", "20 min": "20 min", "1 h": "1 h", "": "", "x": "x"} {
		if got := inUnit(in, "min"); got != want {
			t.Errorf("inUnit(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestFiguresAsPeopleWriteThem fills forms in as a newcomer does, through the
// pages.
func TestFiguresAsPeopleWriteThem(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/prices")
	for _, c := range []struct {
		what, path string
		form       []string
		says       string
	}{
		{"a price with its sign", "/prices/new", []string{"name", "Marigold petals", "measure", "mass", "kind", "ingredient", "prices[0].pack", "100 g", "prices[0].price", "6,50 €"}, "€6.50"},
		{"litres, and weight left as it stood", "/prices/new", []string{"name", "Rose water", "measure", "mass", "kind", "ingredient", "prices[0].pack", "1 l", "prices[0].price", "9"}, "€9.00 a litre"},
		{"an overhead with both marks", "/studio/overhead", []string{"method", "labour hour", "hours", "140", "amount", "1.234,50", "from", "2026-11-25"}, "€1,234.50 a month"},
		{"a thousand, or one", "/enquiries/new", []string{"name", "Ada", "budget", "1.500", "km", "24 km"}, "may be 1500 or 1.50"},
		{"a wage with its sign", "/studio/roles/new", []string{"name", "Washer-up", "wage[0].per_hour", "14,20 €", "wage[0].from", "2026-11-25"}, "€14.20"},
		{"minutes without the word", "/recipes/new", []string{"name", "Plain syrup", "lines", "500 g caster sugar", "tasks[0].task", "Boil", "tasks[0].role", "decorator", "tasks[0].setup", "20"}, "20 min"},
	} {
		if a := v.post(c.path, c.form...); !strings.Contains(a.body, c.says) {
			t.Errorf("%s: %d at %s lacks %q", c.what, a.status, a.path, c.says)
		}
	}
}

// TestAmountText reads amounts as people type and paste them. The fractions and
// full widths are those that Unicode's own compatibility decompositions give
// (UAX 15); the spellings of units are common practice, no source.
func TestAmountText(t *testing.T) {
	for in, want := range map[string]string{
		"": "", "250 g": "250 g", "2.50 kg": "2.50 kg", "12": "12", "1.234 g/ml": "1.234 g/ml",
		"½ kg": "0.5 kg", "2½ kg": "2.5 kg", "2½kg": "2.5 kg", "2 ½ kg": "2.5 kg", "½": "0.5", "¼": "0.25", "⅛ l": "0.125 l", "1 1/2 cups": "1.5 cup", "3/4 tsp": "0.75 tsp", "1⁄2 kg": "0.5 kg",
		"14 days": "14 day", "25cm": "25 cm", "25CM": "25 cm", "8\"": "8 in", "8 inches": "8 in", "450 cm²": "450 cm2",
		"1.000,50": "1000.50", "1.000,50 g": "1000.50 g", "1,000.50 g": "1000.50 g", "1.234.567 g": "1234567 g", "1 000 g": "1000 g", "1\u202f250,5 g": "1250.5 g", "1’000 g": "1000 g",
		"30 min": "30 min", "30 mins.": "30 min", "1h30": "90 min", "1 h 30": "90 min", "1h 05 min": "65 min", "2 hours 15 minutes": "135 min", "1,5 h": "1.5 h",
		"10 %": "10 %", "10%": "10 %", "12,5\u00a0%": "12.5 %", "１２ ｋｇ": "12 kg", "2,5\u00a0kg": "2.5 kg", "\u200b5 kg": "5 kg", "500 grams": "500 g", "2 KW": "2 kW", "1.03g/ml": "1.03 g/ml",
		// Either of two amounts, or none: left to be refused.
		"1,000": "1,000", "1,250 g": "1,250 g", "1/3 cup": "1/3 cup", "5/2/2026": "5/2/2026", "1 3/2 cups": "1 3/2 cups", "1h75": "1h75", "2 30 g": "2 30 g", "12..5 g": "12..5 g", "some": "some", "-5 g": "-5 g", "1:30": "1:30", "5 foo": "5 foo", "5-6 g": "5-6 g",
	} {
		if got := amountText(in); got != want {
			t.Errorf("amountText(%q) = %q, want %q", in, got, want)
		}
	}
	for in, want := range map[string]any{
		"14": 14, "14 days": 14, "１２０": 120, "120 guests": 120, "1.200": 1200, "1,200": 1200, "1 200": 1200, "1\u202f200": 1200, "12.5": "12.5", "a few": "a few", "": "", "-3": -3,
	} {
		if got := wholeNumber(in); got != want {
			t.Errorf("wholeNumber(%q) = %v, want %v", in, got, want)
		}
	}
	f := form{values: url.Values{"a": {"½"}, "b": {"10%"}, "c": {"12,5\u00a0%"}, "d": {"１９ %"}}}
	if f.percent("a") != "0.5 %" || f.percent("b") != "10 %" || f.percent("c") != "12.5 %" || f.percent("d") != "19 %" {
		t.Errorf("percent: %q %q %q %q", f.percent("a"), f.percent("b"), f.percent("c"), f.percent("d"))
	}
}

// TestPacksAsTyped reads packs, in a studio with a decimal point and in one with
// a comma.
func TestPacksAsTyped(t *testing.T) {
	for _, c := range []struct {
		in      string
		counted bool
		shown   string
		point   string // "" where it is asked back
		comma   string
	}{
		{in: "10x250g", point: "10 x 250 g", comma: "10 x 250 g"},
		{in: "½ kg", point: "0.5 kg", comma: "0.5 kg"},
		{in: "2½ kg", point: "2.5 kg", comma: "2.5 kg"},
		{in: "2,5 kg", point: "2.5 kg", comma: "2.5 kg"},
		{in: "2.5 kg", point: "2.5 kg", comma: "2.5 kg"},
		{in: "30", counted: true, point: "30 each", comma: "30 each"},
		{in: "３０", counted: true, point: "30 each", comma: "30 each"},
		{in: "30"},
		{in: "1,000 g"},
		{in: "1.000 g", point: "1.000 g"},
		{in: "1.125 kg", shown: "1.125 kg", point: "1.125 kg", comma: "1.125 kg"},
		{in: "1 kWh", point: "1 kWh", comma: "1 kWh"},
		{in: "1/2 kg"},
	} {
		for comma, want := range map[bool]string{false: c.point, true: c.comma} {
			p, err := (form{values: url.Values{"pack": {c.in}}, comma: comma}).readPack("pack", c.counted, c.shown)
			if got := p.String(); err == nil && got != want || err != nil && want != "" {
				t.Errorf("pack %q, comma %t = %q, %v; want %q", c.in, comma, got, err, want)
			}
		}
	}
}

// What is shown in a box reads back as the same, and what was read once reads
// the same again.
func FuzzAmountText(f *testing.F) {
	for _, text := range []string{"250 g", "2½ kg", "1 1/2 cups", "1.000,50", "1h30", "25cm", "１２ ｋｇ", "1,000", "1/3", "0.125 us fl oz", "' '", "1'000'000.5 g/ml", "½½", "1 /2"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := amountText(text)
		if again := amountText(got); again != got {
			t.Errorf("amountText(%q) = %q, and of that %q", text, got, again)
		}
		q, err := measure.Parse(text)
		if err != nil {
			return
		}
		if read, err := measure.Parse(got); err != nil || read.String() != q.String() {
			t.Errorf("the box shows %q and is read as %q, %v", text, got, err)
		}
	})
}

// TestBoxesReadBack draws quantities of every unit, packs, densities and
// percentages, and reads each as its box shows it.
func TestBoxesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		figure := rapid.StringMatching(`[1-9][0-9]{0,11}(\.[0-9]{1,12})?`).Draw(t, "figure")
		unit := rapid.SampledFrom(measure.Symbols(measure.None)).Draw(t, "unit")
		shown := measure.Must(figure + " " + unit).String()
		if got := amountText(shown); got != shown {
			t.Fatalf("a quantity of %q is read as %q", shown, got)
		}
		pack := rapid.SampledFrom([]string{"", "10 x ", "6 x "}).Draw(t, "times") + shown
		if p, err := measure.ParsePack(pack); err == nil {
			for _, comma := range []bool{false, true} {
				if got, err := (form{values: url.Values{"a": {p.String()}}, comma: comma}).readPack("a", unit == "each", p.String()); err != nil || got.String() != p.String() {
					t.Fatalf("a pack of %q is read as %q, %v", p, got, err)
				}
			}
		}
		if got := inUnit(figure+" g/ml", "g/ml"); got != figure+" g/ml" {
			t.Fatalf("a density of %s is read as %q", figure, got)
		}
		p := measure.MustPercent(figure + " %")
		if got := (form{values: url.Values{"a": {percentFigure(p)}}}).percent("a"); got != p.String() {
			t.Fatalf("%s is read as %q", p, got)
		}
	})
}

// TestFirstPriceByVolume prices by the litre what recipes weigh: the page asks
// what it weighs, and takes the price with it.
func TestFirstPriceByVolume(t *testing.T) {
	v := visitStudio(t, true)
	if a := v.post("/prices/new", "name", "Moon cream", "measure", "mass", "kind", "ingredient"); a.status != http.StatusOK {
		t.Fatalf("adding it: %d", a.status)
	}
	price := []string{"price", "4,50 €", "pack", "½ l", "from", "2026-11-01"}
	a := v.post("/prices/moon-cream/price", price...)
	if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, "0.5 l is a volume: say what a millilitre weighs") || !strings.Contains(a.body, `id="f-density"`) {
		t.Fatalf("without its density: %d %s", a.status, plainText(a.body))
	}
	if a = v.post("/prices/moon-cream/price", append(price, "density", "1,01")...); a.status != http.StatusOK {
		t.Fatalf("with its density: %d %s", a.status, plainText(a.body))
	}
	a.has(t, "Moon cream is bought by volume from here on", "€9.00 a litre", "1.01 g/ml")
	// A price by weight would not go together with that one.
	if a = v.post("/prices/moon-cream/price", "price", "5", "pack", "1 kg", "from", "2026-11-02"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("another measure for the second price: %d", a.status)
	}
	// Where the density is known nothing is asked.
	v.post("/prices/new", "name", "Sun cream", "measure", "mass", "kind", "ingredient", "density", "1 g/ml")
	if a = v.post("/prices/sun-cream/price", price...); a.status != http.StatusOK {
		t.Errorf("with a known density: %d %s", a.status, plainText(a.body))
	}
	// Eggs by the tray.
	v.post("/prices/new", "name", "Moon eggs", "measure", "count", "kind", "ingredient")
	if a = v.post("/prices/moon-eggs/price", "price", "6", "pack", "30", "from", "2026-11-01"); a.status != http.StatusOK {
		t.Errorf("a tray of 30: %d %s", a.status, plainText(a.body))
	}
}
