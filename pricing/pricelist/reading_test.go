package pricelist_test

import (
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/record"
)

// planned is a list under a mapping and what becomes of it, as told writes it.
type planned struct {
	name     string
	list     string
	mapping  pricelist.Mapping
	pays     bool // the studio does not recover tax
	want     string
	remarks  string // of the first row, joined
	refused  string // the error for the list as a whole
	supplier string // "": Molen; "-": none
}

func check(t *testing.T, cases []planned) {
	t.Helper()
	for _, c := range cases {
		o := options()
		switch c.supplier {
		case "":
		case "-":
			o.Supplier = ""
		default:
			o.Supplier = c.supplier
		}
		p, err := pricelist.NewPlan(index(t, !c.pays), rows(c.list), c.mapping, nil, o)
		if c.refused != "" {
			if err == nil || !strings.Contains(err.Error(), c.refused) {
				t.Errorf("%s: NewPlan = %v, want an error with %q", c.name, err, c.refused)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		compare(t, c.name, told(p), c.want)
		if got := strings.Join(p.Fates[0].Remarks, "; "); c.remarks != "" && got != c.remarks {
			t.Errorf("%s: remarks %q, want %q", c.name, got, c.remarks)
		}
	}
}

func TestDecimals(t *testing.T) {
	check(t, []planned{
		{
			name:    "another cell of the column tells",
			list:    "item|pack|net price\nplain flour|25 kg|1.234\negg|30 st|9,50",
			want:    "2 new price plain-flour 25 kg=1234\n3 suspicious egg 30 each=9.50 1/5→19/60 @C3: the price per each changes by +58.3 %, more than 25 %; look at pack and price",
			remarks: `"1.234" read as 1234, as the list writes decimals`,
		},
		{
			name: "nothing tells",
			list: "item|pack|net price\nplain flour|25 kg|1.234",
			want: `2 unreadable plain-flour @C2: "1.234" is 1234 or 1.234: it can be read two ways; say whether decimals follow a point or a comma; nothing else in the list tells`,
		},
		{
			name: "the column contradicts itself",
			list: "item|pack|net price\nplain flour|25 kg|1.234\nicing sugar|1 kg|9,50\ncaster sugar|1 kg|9.50",
			want: `2 unreadable plain-flour @C2: "1.234" is 1234 or 1.234: it can be read two ways; say whether decimals follow a point or a comma; C3 and C4 show different ways` + `
3 new price icing-sugar 1 kg=9.50
4 new price caster-sugar 1 kg=9.50`,
		},
		{
			name:    "the mapping says",
			list:    "item|pack|net price\nplain flour|25 kg|1.234",
			mapping: pricelist.Mapping{Decimal: pricelist.Comma},
			want:    "2 new price plain-flour 25 kg=1234",
		},
		{
			name:    "the supplier has changed its ways since the mapping was saved",
			list:    "item|pack|net price\nplain flour|25 kg|1.234\nicing sugar|1 kg|9.50",
			mapping: pricelist.Mapping{Decimal: pricelist.Comma},
			want: `2 unreadable plain-flour @C2: "1.234" is 1234 or 1.234: it can be read two ways; say whether decimals follow a point or a comma; the mapping says comma, but C3 shows another way` + `
3 new price icing-sugar 1 kg=9.50`,
		},
		{
			name:    "the packs follow the prices where they show nothing themselves",
			list:    "item|pack|net price\nplain flour|1.000 g|1,20",
			want:    "2 new price plain-flour 1000 g=1.20",
			remarks: `pack "1.000 g" read as 1000 g, as the list writes decimals`,
		},
		{
			name: "the packs have ways of their own",
			list: "item|pack|net price\nplain flour|1.000 kg|1,20\nicing sugar|2.5 kg|9,50",
			want: "2 new price plain-flour 1.000 kg=1.20\n3 new price icing-sugar 2.5 kg=9.50",
		},
	})
}

func TestDates(t *testing.T) {
	check(t, []planned{
		{
			name: "none, another cell tells, with points",
			list: "item|pack|net price|valid from\nplain flour|25 kg|20|\nicing sugar|1 kg|2|5/10/2026\ncaster sugar|1 kg|2|25/10/2026\nalmond|1 kg|9|1.11.26",
			want: "2 new price plain-flour 25 kg=20\n3 new price icing-sugar 1 kg=2\n4 new price caster-sugar 1 kg=2\n5 new price almond 1 kg=9",
		},
		{
			name: "nothing tells",
			list: "item|pack|net price|valid from\nicing sugar|1 kg|2|5/10/2026",
			want: `2 unreadable icing-sugar @D2: "5/10/2026" is 2026-10-05 or 2026-05-10: it can be read two ways; say whether the day or the month comes first; nothing else in the list tells`,
		},
		{
			name:    "the mapping says",
			list:    "item|pack|net price|valid from\nicing sugar|1 kg|2|5/10/2026",
			mapping: pricelist.Mapping{Dates: pricelist.MonthFirst},
			want:    "2 new price icing-sugar 1 kg=2",
			remarks: `"5/10/2026" read as 2026-05-10`,
		},
		{
			name: "no date",
			list: "item|pack|net price|valid from\nicing sugar|1 kg|2|soon",
			want: `2 unreadable icing-sugar @D2: "soon" is not a date that can be read; write it as 2026-10-05`,
		},
	})
	p, err := pricelist.NewPlan(index(t, true), rows("item|pack|net price|valid from\nicing sugar|1 kg|2|5/10/2026\ncaster sugar|1 kg|2|25/10/2026\negg|15 doz|37|"), pricelist.Mapping{}, nil, options())
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"2026-10-05", "2026-10-25", "2026-10-05"} {
		if got := p.Fates[i].Price.From.String(); got != want {
			t.Errorf("row %d holds from %s, want %s", p.Fates[i].Row.Number, got, want)
		}
	}
}

// Figures by hand: 20 × 1.07 = 21.40; 20 × 1.135 = 22.70.
func TestTax(t *testing.T) {
	rate := record.Some(measure.MustPercent("7 %"))
	check(t, []planned{
		{
			name:    "unstated",
			list:    "item|pack|price\nplain flour|25 kg|20.00",
			refused: `nothing says whether the prices in column C "price" hold tax; say tax in or out`,
		},
		{
			name: "the heading says out; the studio recovers",
			list: "item|pack|price ex VAT|VAT\nplain flour|25 kg|20.00|13.5%",
			want: "2 new price plain-flour 25 kg=20.00",
		},
		{
			name: "the heading says in; the studio recovers",
			list: "item|pack|Preis brutto|MwSt\nplain flour|25 kg|20.00|13,5 %",
			want: "2 new price plain-flour 25 kg=20.00 incl 13.5 %",
		},
		{
			name:    "in, at the mapping's rate",
			list:    "item|pack|price\nplain flour|25 kg|20.00",
			mapping: pricelist.Mapping{Tax: pricelist.TaxIn, TaxRate: rate},
			want:    "2 new price plain-flour 25 kg=20.00 incl 7 %",
		},
		{
			name:    "in, at no known rate; the studio recovers",
			list:    "item|pack|price\nplain flour|25 kg|20.00",
			mapping: pricelist.Mapping{Tax: pricelist.TaxIn},
			want:    "2 unreadable plain-flour @row 2: the price holds tax that the studio recovers, but nothing says at what rate; give the rate",
		},
		{
			name: "in; the studio pays it, so that the rate does not matter", pays: true,
			list:    "item|pack|price\nplain flour|25 kg|20.00",
			mapping: pricelist.Mapping{Tax: pricelist.TaxIn},
			want:    "2 new price plain-flour 25 kg=20.00",
		},
		{
			name: "out; the studio pays it on top", pays: true,
			list:    "item|pack|price ex VAT|VAT rate\nplain flour|25 kg|20.00|13.5\nicing sugar|1 kg|1.99|0\ncaster sugar|1 kg|20|7 %",
			want:    "2 new price plain-flour 25 kg=22.7 incl 13.5 %\n3 new price icing-sugar 1 kg=1.99\n4 new price caster-sugar 1 kg=21.4 incl 7 %",
			remarks: "20.00 and 13.5 % tax make 22.7",
		},
		{
			name: "out, at no known rate; the studio pays it", pays: true,
			list: "item|pack|price ex VAT\nplain flour|25 kg|20.00",
			want: `2 unreadable plain-flour @row 2: the price is without the tax that the studio pays and does not recover; give the rate, "0 %" for none`,
		},
		{
			name: "rates that cannot be read",
			list: "item|pack|Preis brutto|MwSt\nplain flour|25 kg|20.00|0.07\nicing sugar|1 kg|2.00|A\ncaster sugar|1 kg|2.00|-7 %",
			want: `2 unreadable plain-flour @D2: tax "0.07" may be 0.07 % or 7 %; write it with %` + `
3 unreadable icing-sugar @D3: tax "A" is not a rate; give the rate of the list instead
4 unreadable caster-sugar @D4: tax "-7 %" is not a rate; give the rate of the list instead`,
		},
	})
	// 20.00 with 13.5 % costs 20 ÷ 1.135 ÷ 25000 a gram: 16/22700.
	p, err := pricelist.NewPlan(index(t, true), rows("item|pack|Preis brutto|MwSt\nplain flour|25 kg|20.00|13,5 %"), pricelist.Mapping{}, nil, options())
	if err != nil || p.Fates[0].New.Text() != "4/5675" {
		t.Errorf("a gram costs %s, %v, want 4/5675", p.Fates[0].New.Text(), err)
	}
}

func TestCurrencies(t *testing.T) {
	usd, err := money.ParseCurrency("USD")
	if err != nil {
		t.Fatal(err)
	}
	check(t, []planned{
		{
			name: "signs, codes and a column",
			list: "item|pack|net price|currency\nplain flour|25 kg|€ 20|\nicing sugar|1 kg|2 EUR|\ncaster sugar|1 kg|2|EUR\negg|15 doz|$ 37|\nalmond|1 kg|9|GBP\nbutter|2.5 kg|23|quid",
			want: `2 new price plain-flour 25 kg=20
3 new price icing-sugar 1 kg=2
4 new price caster-sugar 1 kg=2
5 unreadable egg @C5: the price is in $ and the book in EUR; enter what you pay in EUR
6 unreadable almond @C6: the price is in GBP and the book in EUR; enter what you pay in EUR
7 unreadable butter @C7: currency "quid" is not known here`,
		},
		{
			name:    "the mapping's",
			list:    "item|pack|net price\nplain flour|25 kg|20",
			mapping: pricelist.Mapping{Currency: record.Some(usd)},
			refused: "the list is in USD and the book in EUR",
		},
		{name: "no supplier", list: "item|pack|net price", supplier: "-", refused: "the supplier is missing"},
	})
}

func TestPackColumns(t *testing.T) {
	check(t, []planned{
		{
			name: "a unit column, a count column",
			list: "item|units per case|size|unit|case price ex VAT\nplain flour|10|1|kg|12\nicing sugar|1|5|KG|8\nbutter|10|250|g|23\ncaster sugar|6|6 x 1 kg||9\nalmond|4|6 x 1 kg||90\negg||30|st|7\nwhipping cream 35 %|x|1|l|4",
			want: `2 new price plain-flour 10 x 1 kg=12
3 new price icing-sugar 5 kg=8
4 new price butter 10 x 250 g=23 9/1000→23/2500
5 new price caster-sugar 6 x 1 kg=9
6 unreadable almond @C6: pack 6 x 1 kg and 4 units a case (B6) do not go together; say by price_of whether the price is of a unit
7 new price egg 30 each=7 1/5→7/30
8 unreadable whipping-cream @C8: "x" units a case is not a whole count (B8)`,
		},
		{
			name:    "a price of a unit beside a count",
			list:    "item|units per case|size|unit price ex VAT\nplain flour|10|1 kg|1.20",
			refused: "column D may price a unit or the whole case of column B; say by price_of: unit or pack",
		},
		{
			name:    "a price of a unit, as the mapping says",
			list:    "item|units per case|size|unit price ex VAT\nplain flour|10|1 kg|1.20",
			mapping: pricelist.Mapping{PriceOf: pricelist.ByUnit},
			want:    "2 new price plain-flour 1 kg=1.20",
		},
		{
			name: "no pack but in the name",
			list: "item|price ex VAT\nPlain flour 25 kg|20.00\n10x1kg icing sugar|15.00\nButter, unsalted 10 x 250 g|23.00\ncaster sugar|9.00",
			want: `2 new price plain-flour 25 kg=20.00
3 new price icing-sugar 10 x 1 kg=15.00
4 new price butter 10 x 250 g=23.00 9/1000→23/2500
5 unreadable caster-sugar @row 5: there is no pack: neither a column nor the name of the goods says what the price buys`,
			remarks: `pack 25 kg taken from the name: "25 kg"`,
		},
		{
			name: "the price says what it buys",
			list: "item|pack|price ex VAT\nplain flour|25 kg bag|0,80 €/kg",
			want: "2 new price plain-flour 1 kg=0.80",
		},
		{
			name: "the heading says what the price buys",
			list: "item|pack|price per kg (ex VAT)\nplain flour|25 kg bag|0,80",
			want: "2 new price plain-flour 1 kg=0.80",
		},
		{
			name:    "pints",
			list:    "item|pack|price ex VAT\nwhipping cream 35 %|2 pints|4.70",
			mapping: pricelist.Mapping{Customary: "uk"},
			want:    "2 new price whipping-cream 2 uk pint=4.70 1/250→1880/454609",
			// 2 × 568.26125 ml; 4.70 ÷ 1136.5225 = 47000/11365225
			supplier: "Hafer",
		},
	})
}

// A workbook tells numbers and dates from text.
func TestTypedCells(t *testing.T) {
	n := func(s string) pricelist.Cell { return pricelist.Cell{Text: s, Kind: pricelist.Number} }
	text := func(s string) pricelist.Cell { return pricelist.Cell{Text: s} }
	list := []pricelist.Row{
		{Number: 3, Cells: []pricelist.Cell{text("item"), text("kg"), text("price incl. VAT"), text("VAT"), text("valid from")}},
		{Number: 4, Cells: []pricelist.Cell{text("plain flour"), n("1.125 kg"), n("1.234"), n("13.5 %"), {Text: "2026-11-02", Kind: pricelist.Date}}},
		{Number: 5, Cells: []pricelist.Cell{text("icing sugar"), n("25"), n("12.5 €"), n("7"), {}}},
		{Number: 6, Cells: []pricelist.Cell{text("caster sugar"), text("1,5 kg"), n("-3"), n("7"), {}}},
	}
	m := pricelist.Mapping{Columns: pricelist.Columns{Pack: "kg"}, Decimal: pricelist.Comma}
	p, err := pricelist.NewPlan(index(t, true), list, m, nil, options())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "typed cells", told(p), `
4 new price plain-flour 1.125 kg=1.234 incl 13.5 %
5 unreadable icing-sugar @B5: pack "25": has no unit; say of what, such as g, l or pieces
6 unreadable caster-sugar @C6: "-3" is below zero; a price cannot be, so enter a credit or discount by hand`)
	if got := p.Fates[0].Price.From; got != day.Must("2026-11-02") {
		t.Errorf("From = %s", got)
	}
	if got := strings.Join(p.Fates[0].Remarks, "; "); !strings.Contains(got, "more decimals than EUR") {
		t.Errorf("Remarks = %q", got)
	}
}

// What stands in the book is compared as the book costs it.
func TestUnchanged(t *testing.T) {
	x := index(t, true)
	for list, want := range map[string]pricelist.Verdict{
		"item|pack|price ex VAT\nbutter|10 x 250 g|22.50":         pricelist.Unchanged,
		"item|pack|price ex VAT\nbutter|2,5 kg|22,5":              pricelist.Unchanged, // the same, written otherwise
		"item|pack|price ex VAT\nbutter|5 kg|45.00":               pricelist.NewPrice,  // the same a gram, but another pack
		"item|pack|price ex VAT\nbutter|10 x 250 g|22.51":         pricelist.NewPrice,
		"item|pack|Preis brutto|MwSt\nbutter|10 x 250 g|22.50|7%": pricelist.NewPrice,
		"item|pack|Preis brutto|MwSt\nbutter|10 x 250 g|22.50|0%": pricelist.Unchanged,
	} {
		p, err := pricelist.NewPlan(x, rows(list), pricelist.Mapping{}, nil, options())
		if err != nil || p.Fates[0].Verdict != want {
			t.Errorf("%q: %s, %v, want %s", list, told(p), err, want)
		}
	}
	// An ingredient bought from one supplier only still takes the list of another.
	b := x.Book
	b.Ingredients[0].Supplier = record.Some("Hafer")
	p, err := pricelist.NewPlan(book.NewIndex(b), rows("item|pack|price ex VAT\nbutter|10 x 250 g|22.50"), pricelist.Mapping{}, nil, options())
	if err != nil || p.Fates[0].Verdict != pricelist.Unchanged {
		t.Errorf("another supplier's list: %s, %v, want unchanged", told(p), err)
	}
}
