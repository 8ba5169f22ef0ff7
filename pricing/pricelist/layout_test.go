package pricelist_test

import (
	"encoding/json"
	"strings"
	"testing"

	"marchpane/pricing/pricelist"
)

var columnNames = []string{"item", "code", "pack", "count", "unit", "price", "tax", "currency", "from"}

// laid writes a layout as "item B, code A, …".
func laid(l pricelist.Layout) string {
	var list []string
	for _, name := range columnNames {
		if c := l.Column(name); c >= 0 {
			list = append(list, name+" "+pricelist.Letters(c))
		}
	}
	return strings.Join(list, ", ")
}

// Headings as lists in seven languages have them; common practice, no source.
func TestFindLayout(t *testing.T) {
	for _, c := range []struct {
		list     string
		mapping  pricelist.Mapping
		recovers bool
		want     string
	}{
		{list: "Item code|Description|Pack size|Price|VAT rate|Valid from", want: "item B, code A, pack C, price D, tax E, from F"},
		{list: "SKU|Product|Units per case|Unit size|UoM|Case price|RRP|Currency", want: "item B, code A, pack D, count C, unit E, price F, currency H"},
		{list: "Art.-Nr.|Artikelbezeichnung|Gebindegröße|EK netto|UVP|MwSt.|EAN", want: "item B, code A, pack C, price D, tax F"},
		{list: "Bestellnummer|Bezeichnung|Stück/Karton|Inhalt|Einheit|Preis|Gültig ab", want: "item B, code A, pack D, count C, unit E, price F, from G"},
		{list: "Réf.|Désignation|Conditionnement|Colisage|Prix HT|TVA|Date d’effet", want: "item B, code A, pack C, count D, price E, tax F, from G"},
		{list: "Código|Descripción|Formato|Uds/caja|Precio|IVA|Moneda", want: "item B, code A, pack C, count D, price E, tax F, currency G"},
		{list: "Cod. art.|Descrizione|Confezione|Pezzi per cartone|U.M.|Prezzo|Aliquota IVA|Decorrenza", want: "item B, code A, pack C, count D, unit E, price F, tax G, from H"},
		{list: "Artikelcode|Omschrijving|Inhoud|Aantal per doos|Prijs|BTW|Geldig vanaf", want: "item B, code A, pack C, count D, price E, tax F, from G"},
		{list: "Referência|Designação|Embalagem|Preço|IVA|Válido a partir de", want: "item B, code A, pack C, price D, tax E, from F"},
		// A letterhead, an empty line and a title above; the heading row is the fullest.
		{list: "Hafer & Sons\n\nPrice list for products\nItem|Size|Price|Notes", want: "item A, pack B, price C"},
		// Not what the studio pays, or not the goods.
		{list: "Item|Old price|Price|Price change|VAT code|Total price", want: "item A, price C, tax E"},
		{list: "Item|Price ex VAT|Price inc VAT", recovers: true, want: "item A, price B"},
		{list: "Item|Price ex VAT|Price inc VAT", want: "item A, price C"},
		{list: "Item|Price ex VAT|Price inc VAT", mapping: pricelist.Mapping{Tax: pricelist.TaxOut}, want: "item A, price B"},
		{list: "Item|Price per kg|Pack|Price", want: "item A, pack C, price D"},
		// Said by the mapping: by heading, whatever its case, and by letter.
		{list: "Item|List price|Our price|Size", mapping: pricelist.Mapping{Columns: pricelist.Columns{Price: "OUR PRICE"}}, want: "item A, pack D, price C"},
		{list: "Ceník\nZboží|x|Cena", mapping: pricelist.Mapping{Columns: pricelist.Columns{Item: "zboží", Price: "Cena"}}, want: "item A, price C"},
		{list: "No.|Item|No. of units per case|Price", want: "item B, code A, count C, price D"},
		{list: "Item|a|b|Price", mapping: pricelist.Mapping{Columns: pricelist.Columns{Pack: "C"}}, want: "item A, pack C, price D"},
		{list: "x|butter|1 kg|9.00", mapping: pricelist.Mapping{Columns: pricelist.Columns{Item: "B", Pack: "C", Price: "D"}}, want: "item B, pack C, price D"},
	} {
		l, err := pricelist.FindLayout(rows(c.list), c.mapping, c.recovers)
		if err != nil || laid(l) != c.want {
			t.Errorf("FindLayout(%q, %+v, %t) = %s, %v, want %s", c.list, c.mapping.Columns, c.recovers, laid(l), err, c.want)
		}
	}
}

func TestFindLayoutRefuses(t *testing.T) {
	for _, c := range []struct {
		list    string
		mapping pricelist.Mapping
		want    string
	}{
		{"butter|1 kg|9.00", pricelist.Mapping{}, `no heading row was found with a price and an item or code; say which columns they are, by heading or letter (row 1 has A "butter", B "1 kg", C "9.00")`},
		{"", pricelist.Mapping{}, "the list is empty"},
		{"Item|Price|Price", pricelist.Mapping{}, `several columns could be the price (B "Price", C "Price")`},
		{"Zboží|Cena|Kč|Cena", pricelist.Mapping{Columns: pricelist.Columns{Item: "A", Price: "Cena"}}, `several columns could be the price (B "Cena", D "Cena")`},
		{"Item|Price", pricelist.Mapping{Columns: pricelist.Columns{Price: "Netto EK"}}, `no column is headed "Netto EK"`},
	} {
		if l, err := pricelist.FindLayout(rows(c.list), c.mapping, true); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("FindLayout(%q) = %s, %v, want an error with %q", c.list, laid(l), err, c.want)
		}
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA", 16383: "XFD"} {
		if got := pricelist.Letters(i); got != want {
			t.Errorf("Letters(%d) = %s, want %s", i, got, want)
		}
		if got := pricelist.ColumnOf(want); got != i {
			t.Errorf("ColumnOf(%s) = %d, want %d", want, got, i)
		}
	}
	for _, s := range []string{"", "a", "A1", "AAAA", "Ä"} {
		if got := pricelist.ColumnOf(s); got != -1 {
			t.Errorf("ColumnOf(%q) = %d, want -1", s, got)
		}
	}
}

func TestMappingJSON(t *testing.T) {
	for _, text := range []string{
		`{}`,
		`{"columns":{"item":"Artikel","price":"D"},"decimal":"comma","dates":"dmy","tax":"out","tax_rate":"7 %","currency":"EUR","price_of":"unit","customary":"uk"}`,
	} {
		m, err := pricelist.ParseMapping([]byte(text))
		if err != nil || m.JSON() != text {
			t.Errorf("ParseMapping(%s).JSON() = %s, %v", text, m.JSON(), err)
		}
	}
	for text, want := range map[string]string{
		`{"decimal":"dot"}`:          "decimal: decimal mark \"dot\" is unknown",
		`{"dates":"ymd"}`:            "dates: order of dates \"ymd\" is unknown",
		`{"tax":"maybe"}`:            "tax: tax \"maybe\" is unknown",
		`{"price_of":"crate"}`:       "price_of: price_of \"crate\" is unknown",
		`{"customary":"fr"}`:         "customary: customary measures \"fr\" are unknown",
		`{"columns":{"colour":"B"}}`: "columns.colour: the key is unknown here",
		`{"tax_rate":"7%"}`:          "tax_rate: ",
	} {
		if m, err := pricelist.ParseMapping([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseMapping(%s) = %v, %v, want an error with %q", text, m, err, want)
		}
	}
	// An alias goes through encoding/json as it is.
	alias, err := json.Marshal([]pricelist.Alias{{Code: "A1", Name: "Mehl", Ingredient: "plain-flour"}, {Name: "Krabben"}})
	if want := `[{"code":"A1","name":"Mehl","ingredient":"plain-flour"},{"name":"Krabben"}]`; err != nil || string(alias) != want {
		t.Errorf("aliases are written %s, %v, want %s", alias, err, want)
	}
}
