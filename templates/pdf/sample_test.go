package pdf_test

import (
	"fmt"

	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/pdf"
)

// tier makes a tier of a round cake; sizes in mm.
func tier(name string, diameter, height, portions int) document.Tier {
	return shaped(name, shape.Round, height, portions, fmt.Sprintf("%d mm", diameter))
}

func shaped(name string, kind shape.Kind, height, portions int, sizes ...string) document.Tier {
	var quantities []measure.Quantity
	for _, s := range sizes {
		quantities = append(quantities, measure.Must(s))
	}
	outline, err := shape.New(kind, quantities...)
	if err != nil {
		panic(err)
	}
	h := measure.Must(fmt.Sprintf("%d mm", height))
	solid := shape.Solid{Outline: outline, Height: h}
	return document.Tier{
		Name: name, Size: document.NewLocale("en-IE").Size(solid), Portions: fmt.Sprintf("%d portions", portions),
		Width: sizes[0], Height: h.String(), Form: solid,
	}
}

// wedding is a quotation with all that one can hold.
func wedding() document.Quote {
	m := document.MessagesFor("en")
	top := tier("Top, fruit cake", 150, 110, 20)
	top.Kept, top.Note = true, m.KeptNote
	return drawing.Illustrate(document.Quote{
		Language: "en", Title: "Quotation 2026-0001, Quillwort Cake Studio", Subject: "Prepared for Zoë Šimková",
		Date: day.Must("2026-11-25"), Heading: "Quotation", Name: "Quotation 2026-0001, revision A",
		Page: m.Page, More: m.Continued,
		Studio: document.Studio{
			Name: "Quillwort Cake Studio", Address: []string{"Unit 4, The Old Saltworks", "Inishcorran"},
			Email: "orders@quillwort.example", Phone: "+353 20 910 0142", TaxNumber: "VAT no. IE0000000XX",
		},
		Reference: []document.Fact{{Label: "Number", Value: "2026-0001"}, {Label: "Revision", Value: "A"},
			{Label: "Date", Value: "25 November 2026"}, {Label: "Valid until", Value: "25 December 2026"}},
		Client: document.Section{Heading: "Prepared for", Lines: []string{"Zoë Šimková and Cormac Devane", "12 Tern Lane", "Ardmorrow"}},
		Event: []document.Fact{{Label: "Date of the event", Value: "Saturday, 12 June 2027"},
			{Label: "Venue", Value: "The Glasshouse, Ardmorrow Gardens"}},
		Design: "Your cake",
		Cakes: []document.Cake{{
			Name: "Three-tier wedding cake, lemon and elderflower", Height: "330 mm", Unit: document.Centimetres,
			Description: "Vanilla sponge with elderflower, lemon curd and meringue buttercream under sugar paste, crème of ½ milk.",
			Portions:    "110 portions: 90 to serve on the day, 20 kept for later",
			Tiers:       []document.Tier{tier("Bottom", 300, 110, 55), tier("Middle", 230, 110, 35), top},
		}},
		Prices: document.Prices{
			Heading: "Prices", Columns: document.PriceLine{Name: "Item", Quantity: "Qty", Unit: "Each", Amount: "Amount"},
			Lines: []document.PriceLine{
				{Kind: document.CakeLine, Name: "Three-tier wedding cake, lemon and elderflower", Quantity: "1", Unit: "€1,250.00", Amount: "€1,250.00"},
				{Kind: document.ExtraLine, Name: "Delivery and set-up", Quantity: "1", Unit: "€123.20", Amount: "€123.20"},
				{Kind: document.DiscountLine, Name: "Discount of 3% on the cakes", Amount: "−€37.50"},
			},
			Total: document.Fact{Label: "Total", Value: "€1,335.70"}, Note: "All prices include VAT.",
		},
		Tax: document.Tax{Heading: "VAT in the total", Columns: document.TaxLine{Rate: "Rate", Net: "Net", Tax: "VAT"},
			Lines: []document.TaxLine{{Rate: "13.5%", Net: "€1,068.28", Tax: "€144.22"}, {Rate: "23%", Net: "€100.16", Tax: "€23.04"}}},
		Payments: document.Payments{Heading: "Payment", Lines: []document.Payment{
			{Label: "Deposit", Due: "due 25 November 2026", Amount: "€400.71"}, {Label: "Balance", Due: "due 29 May 2027", Amount: "€934.99"}}},
		Allergens: document.AllergenStatement(m, "eu", []string{"wheat", "egg", "milk", "almond"}, []string{"soy", "hazelnut"}),
		Cautions: document.Cautions(m, document.Caution{Flag: document.CautionInedible, In: []string{"Cake dowel", "Satin ribbon"}},
			document.Caution{Flag: document.CautionFreshFlower}),
		Terms: document.Section{Heading: "Terms", Lines: []string{"A date is held once the deposit is paid.",
			"The cake stays on a firm, level table and is not moved once it has been set up."}},
		Acceptance: document.Acceptance{Heading: "Acceptance", Text: "I accept Quotation 2026-0001, revision A, for a total of €1,335.70, on the terms above.",
			Signatures: []document.Signature{
				{Party: "For the client", Name: "Zoë Šimková and Cormac Devane", Lines: []string{"Signature", "Date"}},
				{Party: "For the studio", Name: "Quillwort Cake Studio", Lines: []string{"Signature", "Date"}},
			}},
	}, pdf.PictureSize)
}

// small is a quotation that fills one page.
func small() document.Quote {
	q := wedding()
	q.Client.Lines = q.Client.Lines[:1]
	q.Cakes = []document.Cake{{Name: "Box of thirty lemon bars", Description: "Shortbread and lemon curd.", Portions: "30 portions"}}
	q.Prices.Lines = []document.PriceLine{{Kind: document.CakeLine, Name: "Box of thirty lemon bars", Quantity: "1", Unit: "€72.00", Amount: "€72.00"}}
	q.Prices.Total.Value, q.Acceptance.Text = "€72.00", "I accept Quotation 2026-0002, revision A, for a total of €72.00."
	q.Tax, q.Cautions, q.Terms = document.Tax{}, document.Section{}, document.Section{}
	q.Payments.Lines = []document.Payment{{Label: "Payment in full", Due: "due 12 June 2027", Amount: "€72.00"}}
	return q
}

// long has n lines of prices, some with long names, and long terms.
func long(n int) document.Quote {
	q := wedding()
	q.Draft = "DRAFT"
	q.Prices.Lines = nil
	for i := range n {
		l := document.PriceLine{Kind: document.ExtraLine, Name: fmt.Sprintf("Line %02d, dessert table", i+1), Quantity: "12", Unit: "€3.50", Amount: "€42.00"}
		if i%9 == 4 {
			l.Name += " with a choice of lemon curd, salted caramel, raspberry and dark chocolate fillings, piped to order and boxed by the dozen"
		}
		q.Prices.Lines = append(q.Prices.Lines, l)
	}
	q.Prices.Sums = []document.Fact{{Label: "Total before VAT", Value: "€3,000.00"}, {Label: "VAT", Value: "€360.00"}}
	for i := range 30 {
		q.Terms.Lines = append(q.Terms.Lines, fmt.Sprintf("Condition %d: what has been agreed in writing holds for both, "+
			"and whatever changes later is worked out again by the prices of the day on which it is asked for.", i+3))
	}
	return q
}

// scripts has names that no single face can print.
func scripts() document.Quote {
	q := wedding()
	q.Client.Lines = []string{"Nguyễn Thị Ánh & Łukasz Żółć", "Ελένη Παπαδοπούλου, Ђорђе Љубовић", "ნინო და გიორგი, Անի", "נועה, ليلى", "美咲 & 🎂 Ada"}
	q.Event[1].Value = "Château d’Œuf — Straße 5, Tromsø"
	q.Prices.Lines[0].Name = "Crème brûlée cake, ½ lactose-free"
	q.Prices.Lines[0].Unit, q.Prices.Lines[0].Amount = "₹1,25,000.00", "1\u202f250,00\u00a0€"
	q.Prices.Lines[1].Unit = "₪120.00"
	q.Cakes[0].Tiers[2].Name = "Горний ярус"
	return q
}

// rightToLeft has names from right to left wherever a client or a book can put
// some, in lines of both directions.
func rightToLeft() document.Quote {
	q := wedding()
	q.Client.Lines = []string{"נועה בן־דוד & محمد الإدريسي", "רחוב הרצל 12, דירה 3 (קומה 2)", "شارع الزهور 45، الطابق ٣", "Cohen (כהן) Events, 12 Tern Lane"}
	q.Event[1].Value = "אולם \"הגן הסגול\", תל אביב — Gate B, קומה 3"
	q.Prices.Lines[0].Name = "עוגת שוקולד 24 ס״מ with ١٢ roses"
	q.Cakes[0].Description = "השכבה התחתונה מצופה במרציפן דק, והשכבות שמעליה בקרם חמאה לבן עם לימון ופרחי סמבוק. " +
		"הכיתוב: \"מזל טוב נועה ומחמד\", באותיות זהב בגובה 25 mm, בצד הקדמי. مُحَمَّد ولَيْلَى — السلام عليكم."
	q.Acceptance.Signatures[0].Name = q.Client.Lines[0]
	return q
}

func stack(tiers ...document.Tier) document.Quote {
	q := wedding()
	q.Cakes[0].Tiers, q.Cakes[0].Height = tiers, "all of it"
	return drawing.Illustrate(q, pdf.PictureSize)
}

func dummy(t document.Tier) document.Tier {
	t.Dummy, t.Portions, t.Note = true, "", "dummy tier, not edible"
	return t
}

func letter() document.Quote {
	q := stack(shaped("Base", shape.Hexagon, 130, 80, "180 mm"), shaped("Drum", shape.Square, 60, 40, "250 mm"),
		dummy(tier("Spacer", 210, 90, 0)), shaped("Heart", shape.Heart, 100, 24, "110 mm"), shaped("Bar", shape.Rectangle, 80, 9, "60 mm", "120 mm"), tier("Crown", 50, 50, 4))
	q.Paper, q.Draft = document.Letter, "DRAFT"
	return q
}

func tiny() document.Quote {
	return stack(tier("Lower", 60, 25, 2), tier("Upper", 30, 15, 1))
}

func huge() document.Quote {
	return stack(tier("1", 1800, 50, 500), tier("2", 1500, 50, 400), tier("3", 1200, 60, 300), dummy(tier("4", 900, 700, 0)), tier("5", 600, 100, 50), tier("6", 90, 100, 3))
}

// papers are the samples by name.
func papers() map[string]document.Quote {
	return map[string]document.Quote{"wedding": wedding(), "small": small(), "long": long(80), "scripts": scripts(), "right": rightToLeft(),
		"letter": letter(), "tiny": tiny(), "huge": huge()}
}
