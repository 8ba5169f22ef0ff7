package pricelist

import (
	"slices"
	"strings"

	"marchpane/pricing/names"
)

// role is what a column says.
type role int

const (
	asItem role = iota
	asCode
	asPack
	asCount
	asUnit
	asPrice
	asTax
	asCurrency
	asFrom
	roles
)

var roleNames = [roles]string{"item", "code", "pack", "count", "unit", "price", "tax", "currency", "from"}

// headingWords lists the headings that tell a column's role, folded, the surer
// ones first. English, German, French, Spanish, Italian, Dutch, Portuguese;
// common practice, no source.
var headingWords = [roles][]string{
	asItem: phrases(`item name|product name|item description|product description|description|designation|product|item|article|ingredient|goods|name
		|artikelbezeichnung|produktbezeichnung|warenbezeichnung|bezeichnung|produktname|artikelname|artikel|produkt|ware|beschreibung
		|designation produit|libelle|produit|nom du produit|nom|descripcion|denominacion|articulo|producto|nombre
		|descrizione|denominazione|articolo|prodotto|nome|artikelomschrijving|omschrijving|productnaam|naam
		|descricao|designacao|artigo|produto`),
	asCode: phrases(`item code|product code|article code|supplier code|item no|item number|article no|article number|art no|sku|code|part number|product no|stock code
		|artikelnummer|artikel nr|artikelnr|art nr|artnr|bestellnummer|bestell nr|bestellnr|nummer
		|code article|code produit|ref article|reference|ref|codigo|referencia|codice articolo|codice|cod art|cod|riferimento
		|artikelcode|bestelnummer|ean|gtin|barcode`),
	asPack: phrases(`pack size|packsize|unit size|case size|pack|size|package|packaging|packing|contents|content|format|net weight|weight|sold in
		|gebindegrosse|packungsgrosse|packungsinhalt|gebinde|packung|verpackungseinheit|verpackung|ve|inhalt|fullmenge|grosse|gewicht
		|conditionnement|contenance|emballage|poids|taille|formato|envase|contenido|presentacion|tamano|peso|peso neto
		|confezione|contenuto|imballo|pezzatura|peso netto|verpakking|inhoud|verpakkingseenheid|grootte|embalagem|conteudo|tamanho`),
	asCount: phrases(`units per case|pieces per case|pcs per case|case quantity|case qty|pack quantity|pack qty|qty per case|per case|inner qty|units case
		|stuck pro karton|stuck karton|stuck je karton|anzahl je karton|anzahl|colisage|pieces par carton|unites par carton|nombre par carton
		|unidades por caja|unidades caja|uds caja|pezzi per cartone|pezzi cartone|pz cartone|stuks per doos|aantal per doos|unidades por caixa`),
	asUnit: phrases(`unit of measure|uom|unit|units|mengeneinheit|einheit|me|unite de mesure|unite|unidad de medida|unidad|unita di misura|unita|um|u m|u o m|eenheid|unidade de medida|unidade`),
	asPrice: phrases(`pack price|case price|price per pack|price per case|net price|price|your price|cost price|cost|unit price|unit cost|price each
		|nettopreis|bruttopreis|einkaufspreis|ek preis|ek|packungspreis|gebindepreis|kartonpreis|preis|listenpreis|einzelpreis|stuckpreis
		|prix carton|prix colis|prix|tarif|prix unitaire|pu|p u|precio caja|precio|coste|tarifa|precio unitario
		|prezzo cartone|prezzo|costo|listino|prezzo unitario|nettoprijs|brutoprijs|inkoopprijs|doosprijs|prijs|stukprijs|preco caixa|preco|custo|preco unitario`),
	asTax:      phrases(`vat rate|tax rate|vat|gst|sales tax|tax|mwst satz|mwst|ust|steuersatz|steuer|taux tva|tva|tipo iva|aliquota iva|aliquota|taxa iva|iva|btw tarief|btw`),
	asCurrency: phrases(`currency|ccy|wahrung|devise|monnaie|moneda|divisa|valuta|moeda`),
	asFrom: phrases(`valid from|effective from|effective date|price date|start date|effective|date|from|gultig ab|gultig von|preis ab|datum|ab
		|date d effet|valable a partir du|a partir du|valido desde|vigente desde|fecha|desde|valido dal|decorrenza|dal|data
		|geldig vanaf|ingangsdatum|vanaf|valido a partir de`),
}

// notPrice marks columns with money that is not what the studio pays.
var notPrice = set(`rrp srp msrp uvp pvp retail recommended resale selling empfohlener empfohlen verkaufspreis vk vkp conseille verkoopprijs adviesprijs
	old alt alter alte ancien anciens previous vorher anterior precedente vecchio oude change difference anderung diff ecart discount rabatt remise total gesamt code`)

// aloneCodes stand for the supplier's number where they are the whole heading.
var aloneCodes = set("nr no num")

// otherCodes marks codes that name no goods.
var otherCodes = set("currency price tariff customs")

// byUnit marks prices of one unit of a case.
var byUnit = set("unit unitaire unitario einzelpreis stuckpreis stukprijs each pu")

// The words by which a heading tells whether its price holds tax. Some say so
// alone, others only beside a word for the tax.
var (
	outAlone   = set("netto nettopreis nettoprijs ht exvat")
	inAlone    = set("brutto bruttopreis brutoprijs gross ttc ivato")
	outBeside  = set("ex exc excl exkl excluding exclusive excluded net hors sin senza esclusa escl sem zzgl before plus ohne zonder s")
	inBeside   = set("in inc incl inkl including inclusive included incluido incluida inclusa con com mit inclusief c")
	taxesNamed = set("vat tax taxes taxe gst mwst ust steuer tva iva btw")
)

func phrases(list string) []string {
	all := strings.Split(list, "|")
	for i := range all {
		all[i] = strings.TrimSpace(all[i])
	}
	return all
}

// heading is what the text of a heading tells.
type heading struct {
	role  role
	worth int // how sure it is; 0: tells nothing
	side  Side
	units bool   // a price of one unit
	per   string // what a price buys where the heading says so: "kg"
}

// maxHeading bounds the text of a heading.
const maxHeading = 80

func readHeading(text string) heading {
	if len(text) > maxHeading {
		return heading{}
	}
	folded := names.Words(text)
	spaced := " " + folded + " "
	words := strings.Fields(folded)
	best := heading{}
	if aloneCodes[folded] {
		best = heading{role: asCode, worth: 1500}
	}
	for r := range roles {
		for i, phrase := range headingWords[r] {
			worth := 0
			switch {
			case phrase == folded:
				worth = 2000 - i
			case strings.Contains(spaced, " "+phrase+" "): // as whole words
				worth = 1000 - i
			}
			// "Price ex VAT" is a price and "Item code" a code: what a longer
			// heading tells beside goods or tax goes first.
			if worth > 0 && worth < 1500 {
				worth += []int{asItem: 0, asCode: 300, asPack: 100, asCount: 200, asUnit: 0, asPrice: 250, asTax: 50, asCurrency: 50, asFrom: 0}[r]
			}
			if r == asCode && (anyOf(words, taxesNamed) || anyOf(words, otherCodes)) {
				worth = 0 // "VAT code"
			}
			if worth > best.worth {
				best = heading{role: r, worth: worth}
			}
		}
	}
	if best.role == asPrice && best.worth > 0 {
		if anyOf(words, notPrice) {
			return heading{}
		}
		best.units = anyOf(words, byUnit)
		best.per = perOf(text)
		best.side = sideOf(words)
	}
	return best
}

func anyOf(words []string, set map[string]bool) bool {
	for _, w := range words {
		if set[w] {
			return true
		}
	}
	return false
}

// sideOf returns whether a price's heading says that it holds tax.
func sideOf(words []string) Side {
	named := anyOf(words, taxesNamed)
	// "Net price" is that of the trade; "prix net" is one after rebates.
	net := slices.Contains(words, "net") && (slices.Contains(words, "price") || slices.Contains(words, "cost"))
	out := net || anyOf(words, outAlone) || named && anyOf(words, outBeside)
	in := anyOf(words, inAlone) || named && anyOf(words, inBeside)
	switch {
	case out && !in:
		return TaxOut
	case in && !out:
		return TaxIn
	}
	return Unstated
}

// perOf returns what a price's heading says it buys: "kg" of "Preis/kg".
func perOf(text string) string {
	text = strings.ToLower(clean(text))
	rest := ""
	if _, after, ok := strings.Cut(text, "/"); ok {
		rest = after
	} else {
		words := strings.Fields(text)
		for i, w := range words {
			if perWords[names.Words(w)] && i > 0 {
				rest = strings.Join(words[i+1:], " ")
				break
			}
		}
	}
	// Brackets and taxes may follow: "Price per kg (ex VAT)".
	rest, _, _ = strings.Cut(rest, "(")
	if p, err := ReadPack(rest, Point); err == nil && p.Dimension().Base() != "each" {
		return rest
	}
	return ""
}
