package pricelist

import "strings"

// unit is what a word in a pack counts in.
type unit struct {
	symbol string // of measure.Unit
	times  int64  // of that unit, where the word means several: 500 for Pfund
}

// unitWords reads the words of common lists into units; keys are folded.
// English, German, French, Italian, Spanish, Dutch and Portuguese; common
// practice, no source. German, French and Dutch kitchens mean 500 g by the
// pound word of their own.
var unitWords = table(map[unit]string{
	{"mg", 1}: "mg milligram milligrams milligramm milligramme milligrammes",
	{"g", 1}:  "g gr grs gm gms grm gram grams gramm gramme grammes grammo grammi gramo gramos grama gramas",
	{"kg", 1}: "kg kgs kgm kilo kilos kilogram kilograms kilogramm kilogramme kilogrammes chilo chili chilogrammo chilogrammi " +
		"kilogramo kilogramos quilo quilos quilograma quilogramas",
	{"g", 100}:      "hg etto etti hectogram hectogramme",
	{"g", 500}:      "pfund pfd pond livre livres",
	{"kg", 1000}:    "tonne tonnes",
	{"oz", 1}:       "oz ozs ounce ounces",
	{"lb", 1}:       "lb lbs pound pounds",
	{"ml", 1}:       "ml mls millilitre millilitres milliliter milliliters millilitro millilitri mililitro mililitros",
	{"cl", 1}:       "cl cls centilitre centilitres centiliter centilitro centilitri centilitros",
	{"dl", 1}:       "dl deciliter decilitre decilitro decilitri decilitros",
	{"l", 1}:        "l lt ltr ltrs lts lit litre litres liter liters litro litros litri",
	{"us fl oz", 1}: "usfloz", {"uk fl oz", 1}: "ukfloz impfloz imperialfloz",
	{"us pint", 1}: "uspint uspints uspt", {"uk pint", 1}: "ukpint ukpints ukpt imppint imperialpint imperialpints",
	{"us quart", 1}:  "usquart usquarts usqt",
	{"us gallon", 1}: "usgallon usgallons usgal",
	{"uk gallon", 1}: "ukgallon ukgallons ukgal impgallon imperialgallon imperialgallons",
	{"each", 1}: "each ea pc pcs pce pces piece pieces unit units unt count ct egg eggs " +
		"stuck stueck stucke stueke stuecke stk stck st ei eier blatt blatter " +
		"pieces unite unites u oeuf oeufs feuille feuilles pz pezzo pezzi uovo uova foglio fogli " +
		"ud uds unid unidad unidades un huevo huevos hoja hojas stuks stuk vel vellen eieren peca pecas unidade ovo ovos folha folhas sheet sheets",
	{"dozen", 1}:  "dozen dozens doz dz dzn dutzend dtz dtzd douzaine douzaines dozzina dozzine docena docenas dozijn dozijnen duzia duzias",
	{"each", 144}: "gross grosses",
	{"mm", 1}:     "mm millimetre millimetres millimeter millimeters",
	{"cm", 1}:     "cm centimetre centimetres centimeter centimeters",
	{"m", 1}:      "m mtr mtrs mt metre metres meter meters metro metri metros",
	{"in", 1}:     "inch inches zoll",
	{"ft", 1}:     "ft foot feet",
	{"cm2", 1}:    "cm2 sqcm qcm",
	{"m2", 1}:     "m2 sqm qm mq",
})

// vague lists words for units that differ between countries.
var vague = table(map[string]string{
	"us fl oz or uk fl oz":     "floz flozs fluidounce fluidounces",
	"us pint or uk pint":       "pt pts pint pints",
	"us quart, or litres":      "qt qts quart quarts",
	"us gallon or uk gallon":   "gal gals gallon gallons",
	"g or kg":                  "bunch bunches bund botte mazzo manojo bos molho handful",
	"the grams of one serving": "serving servings portion portions portionen porzioni porciones",
})

// containers are words for what holds the goods; they say nothing of how much.
// With a bare count they make it pieces: "tray 30".
var containers = set("bag bags sack sacks case cases box boxes carton cartons ctn ctns cs bx outer outers tray trays tin tins can cans bottle bottles btl btls " +
	"jar jars pot pots tub tubs bucket buckets pail pails drum drums pack packs pk pks pkt pkts packet packets sachet sachets bar bars block blocks " +
	"roll rolls sleeve sleeves crate crates tube tubes jerrycan jerrycans canister canisters brick bricks bundle bundles punnet punnets tablet tablets pouch pouches tetra " +
	"sack sacke sackchen beutel tute tuten karton kartons kart krt ktn kiste kisten schachtel schachteln dose dosen ds glas glaser flasche flaschen flasch fl eimer " +
	"packung packungen pckg pck pkg packchen paket pakete tafel tafeln rolle rollen lage lagen schale schalen kanister becher stange stangen ve gebinde steige steigen kessel palette paletten papiersack " +
	"sac sacs sachet carton colis caisse caisses boite boites bte btes bouteille bouteilles bout bocal bocaux seau seaux paquet paquets pqt plateau plateaux rouleau rouleaux bidon bidons barquette barquettes brique briques tablette tablettes plaquette plaquettes poche poches etui " +
	"sacco sacchi sacchetto sacchetti busta buste cartone cartoni cartoni cassa casse scatola scatole latta latte lattina lattine bottiglia bottiglie bott vaso vasetto vasetti secchio secchi secchiello confezione confezioni conf cf vassoio vassoi rotolo rotoli tanica taniche panetto panetti vaschetta vaschette pacco pacchi " +
	"saco sacos bolsa bolsas caja cajas lata latas botella botellas bote botes tarro tarros cubo cubos paquete paquetes paq bandeja bandejas rollo rollos garrafa garrafas estuche tableta tabletas " +
	"zak zakken doos blik blikken fles flessen pot potten emmer emmers pak pakken rol rollen krat kratten zakje zakjes " +
	"caixa caixas garrafas frasco frascos balde baldes pacote pacotes rolo rolos embalagem embalagens tabuleiro tabuleiros")

// ofWords join a container to what it holds, and say nothing else.
var ofWords = set("of a de di da do d with mit zu von van with con c contents content inhalt net netto net nett weight wt gewicht poids peso the")

// perWords stand before the unit that a price buys.
var perWords = set("per je pro par le la al alla por op")

// approximate words: such a pack has no exact size to divide a price by.
var approximate = set("ca circa about approx approximately approximate appr env environ zirka etwa ungefahr min max mind minimum maximum bis to drained abtropfgewicht egoutte brutto brut lordo variable random")

// table turns lists of words into a look-up.
func table[V comparable](lists map[V]string) map[string]V {
	t := map[string]V{}
	for v, words := range lists {
		for word := range strings.FieldsSeq(words) {
			t[word] = v
		}
	}
	return t
}

func set(words string) map[string]bool {
	t := map[string]bool{}
	for word := range strings.FieldsSeq(words) {
		t[word] = true
	}
	return t
}
