package recipe

import (
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Unit is what an amount counts. The zero Unit counts pieces.
type Unit struct {
	Word  string // a symbol of package measure, or a word of the kitchen: "pinch"
	Said  string // as the line has it, folded
	Times exact.Number
	packs bool   // holds goods: a measure beside it is of one
	open  string // where the word means different units in different places: which
}

// Measure returns the unit of package measure that u is, where it is one.
func (u Unit) Measure() (measure.Unit, bool) {
	m, err := measure.ParseUnit(u.Word)
	return m, err == nil
}

func (u Unit) known() bool { _, ok := u.Measure(); return ok }

// unitWords are the words for units, folded, in English, French and German:
// common practice, no source. A word of the kitchen stands under its English
// name in all three.
var unitWords = map[string]Unit{}

// longestUnit is the most words a unit has: "cuilleres a soupe".
var longestUnit int

func init() {
	measured := map[string]string{
		"mg":    "mg,milligram,milligrams,milligramme,milligrammes,milligramm",
		"g":     "g,gr,grs,gm,gms,gram,grams,gramme,grammes,gramm",
		"kg":    "kg,kgs,kilo,kilos,kilogram,kilograms,kilogramme,kilogrammes,kilogramm",
		"oz":    "oz,ozs,ounce,ounces,once,onces,unze,unzen",
		"lb":    "lb,lbs,pound,pounds",
		"ml":    "ml,mls,millilitre,millilitres,milliliter,milliliters,mililitre",
		"cl":    "cl,centilitre,centilitres,centiliter,zentiliter",
		"dl":    "dl,decilitre,decilitres,deciliter,deziliter",
		"l":     "l,lt,ltr,litre,litres,liter,liters",
		"tsp":   "tsp,tsps,teaspoon,teaspoons,teaspoonful,teaspoonfuls,teasp,tl,teeloffel,kaffeeloffel,kl,cuillere a cafe,cuilleres a cafe,cuilleree a cafe,cuillerees a cafe,cuillere a the,cuilleres a the,c a cafe,c a c,c a the,c a t,cac,cc,cuil a cafe,cuill a cafe,cuil a the,c cafe,c c",
		"tbsp":  "tbsp,tbsps,tbs,tbl,tblsp,tablespoon,tablespoons,tablespoonful,tablespoonfuls,el,essloffel,esl,cuillere a soupe,cuilleres a soupe,cuilleree a soupe,cuillerees a soupe,c a soupe,c a s,cas,cs,cuil a soupe,cuill a soupe,c soupe,c s,cuillere a table,cuilleres a table",
		"cup":   "cup,cups,cupful,cupfuls",
		"dozen": "dozen,dozens,doz,douzaine,douzaines,dutzend",
		"cm":    "cm,centimetre,centimetres,centimeter,centimeters,zentimeter",
		"mm":    "mm", "in": "inch,inches,zoll",
		"each": "each,ea,piece,pieces,pc,pcs,pce,stuck,stucke,stk,st,stck,unite,unites",
	}
	for symbol, words := range measured {
		for w := range strings.SplitSeq(words, ",") {
			unitWords[w] = Unit{Word: symbol, Times: exact.Int(1)}
		}
	}
	for w := range strings.SplitSeq("dessertspoon,dessertspoons,dsp,dstsp,dessertspoonful,cuillere a dessert,cuilleres a dessert,dessertloffel", ",") {
		unitWords[w] = Unit{Word: "ml", Times: exact.Int(10)} // two teaspoons of 5 ml (GNU units)
	}
	for w := range strings.SplitSeq("pfund,pfd,livre,livres", ",") {
		unitWords[w] = Unit{Word: "g", Times: exact.Int(500)}
	}
	for open, words := range map[string]string{
		"fl oz": "fl oz,fluid oz,fluid ounce,fluid ounces,floz", "pint": "pint,pints,pt,pts", "quart": "quart,quarts,qt,qts", "gallon": "gallon,gallons,gal",
	} {
		for w := range strings.SplitSeq(words, ",") {
			unitWords[w] = Unit{Word: open, Times: exact.Int(1), open: open}
		}
	}
	kitchen := map[string]string{
		"pinch":     "pinch,pinches,prise,prisen,pincee,pincees,pr",
		"dash":      "dash,dashes,trait,traits,spritzer",
		"splash":    "splash,splashes,schuss,glug,drizzle,filet,larme",
		"drop":      "drop,drops,tropfen,goutte,gouttes",
		"knife tip": "messerspitze,messerspitzen,msp,pointe de couteau,pointes de couteau,pointe",
		"knob":      "knob,knobs,noix,noisette,stich,flocken",
		"handful":   "handful,handfuls,handvoll,hand voll,poignee,poignees",
		"bunch":     "bunch,bunches,bund,bunde,bottes,botte,bouquet,bouquets",
		"sprig":     "sprig,sprigs,zweig,zweige,zweiglein,brin,brins,branche,branches",
		"stick":     "stick,sticks",
		"stalk":     "stalk,stalks,stange,stangen,tige,tiges,baton,batons",
		"leaf":      "leaf,leaves,sheet,sheets,blatt,blatter,feuille,feuilles",
		"slice":     "slice,slices,scheibe,scheiben,tranche,tranches,rondelle,rondelles",
		"clove":     "clove,cloves,zehe,zehen",
		"pod":       "gousse,gousses,schote,schoten",
		"cube":      "cube,cubes,wurfel",
		"scoop":     "scoop,scoops,kugel,kugeln,boule,boules",
		"square":    "square,squares,carre,carres,rippe,rippen,stucke schokolade",
		"teacup":    "tasse,tassen,tasses",
		"glass":     "glass,glasses,glas,glaser,verre,verres",
		"bowl":      "bol,bols,schussel",
		"spoon":     "spoon,spoonful,spoonfuls,loffel,cuillere,cuilleres,cuilleree,cuillerees",
		"ladle":     "ladle,ladles,louche,louches,kelle,kellen",
		"shot":      "shot,shots,schnapsglas",
		"head":      "head,heads,tete,tetes,kopf",
		"bulb":      "bulb,bulbs,knolle,knollen",
		"strip":     "strip,strips,streifen,laniere,lanieres",
		"dollop":    "dollop,dollops,klecks",
		"batch":     "batch,batches,recipe,recipes,quantity,rezept,grundrezept,recette",
		"zest":      "zeste,zestes",
	}
	for name, words := range kitchen {
		for w := range strings.SplitSeq(words, ",") {
			if _, there := unitWords[w]; !there {
				unitWords[w] = Unit{Word: name, Times: exact.Int(1)}
			}
		}
	}
	containers := map[string]string{
		"can":     "can,cans,tin,tins,dose,dosen,boite,boites,bte,conserve",
		"pack":    "pack,packs,package,packages,packet,packets,pkg,pkgs,pkt,pk,packung,packungen,pckg,pkg,paket,pakete,paquet,paquets,pck,pack.",
		"sachet":  "sachet,sachets,envelope,envelopes,packchen,beutel,tutchen,tute,tuten,sachet(s),pouch,pouches",
		"jar":     "jar,jars,bocal,bocaux,pot,pots",
		"tub":     "tub,tubs,becher,barquette,barquettes,punnet,punnets,schale,schalen,carton,cartons",
		"bottle":  "bottle,bottles,flasche,flaschen,bouteille,bouteilles,flaschchen",
		"bag":     "bag,bags,sac,sacs",
		"box":     "box,boxes,schachtel,schachteln",
		"bar":     "bar,bars,tafel,tafeln,tablette,tablettes,riegel,plaquette,plaquettes,plaque,plaques",
		"block":   "block,blocks,blocke,brique,briques,bloc,rolle,rollen,roll,rolls,rouleau,rouleaux",
		"brick":   "brick",
		"portion": "portion,portions,portionen",
		"tube":    "tube,tubes",
	}
	for name, words := range containers {
		for w := range strings.SplitSeq(words, ",") {
			unitWords[w] = Unit{Word: name, Times: exact.Int(1), packs: true}
		}
	}
	for w := range unitWords {
		longestUnit = max(longestUnit, strings.Count(w, " ")+1)
	}
}

// foreign lists unit words that are everyday words of another language: they
// count only in texts of the language named here.
var foreign = map[string]Language{
	"once": French, "onces": French, "livre": French, "livres": French, "pointe": French, "trait": French, "traits": French, "noix": French, "noisette": French, "filet": French, "larme": French,
	"cas": French, "cac": French, "cs": French, "cc": French, "c c": French, "c s": French, "branche": French, "branches": French, "boule": French, "boules": French, "zeste": French, "zestes": French,
	"dose": German, "dosen": German, "bund": German, "el": German, "tl": German, "kl": German, "st": German, "pr": German, "rolle": German, "kopf": German, "stich": German, "flocken": German, "tete": French,
	"pot": "", "tin": English, "pck": German, "beutel": German, "schale": German, "bouquet": French, "roll": English, "sheet": English, "head": English, "square": English,
}

// unit reads the unit at the head of ts, the longest there is. It returns how
// many tokens it took, 0 for none.
func (p *parser) unit(ts []token, from int) (Unit, int) {
	most := 0
	var found Unit
	text := ""
	n := 0
	for i := from; i < len(ts) && n < longestUnit; i++ {
		t := ts[i]
		if t.kind != word && !(t.text == "." && n > 0) {
			break
		}
		if t.text == "." {
			continue
		}
		if n > 0 {
			text += " "
		}
		text += strings.ReplaceAll(t.bare, "-", " ")
		n++
		if u, ok := unitWords[text]; ok && p.native(text) {
			most, found = i-from+1, u
			found.Said = text
		}
	}
	if most == 0 {
		return p.letter(ts, from)
	}
	return found, most
}

// native reports whether a word may be a unit in the language of the text.
func (p *parser) native(w string) bool {
	l := foreign[w]
	return l == "" || l == p.context.Language || p.context.Language == "" && len(w) > 2
}

// letter reads units that are told apart by a capital alone: "T" and "t".
func (p *parser) letter(ts []token, from int) (Unit, int) {
	if from >= len(ts) || ts[from].kind != word || p.context.Language != English && p.context.Language != "" {
		return Unit{}, 0
	}
	u := Unit{Times: exact.Int(1)}
	switch ts[from].text {
	case "T", "Tb":
		u.Word = "tbsp"
	case "t":
		u.Word = "tsp"
	case "c", "C":
		u.Word = "cup"
	default:
		return Unit{}, 0
	}
	return u, 1
}

// sizes are the words for the size of a piece, folded.
var sizes = map[string]string{}

func init() {
	for size, words := range map[string]string{
		"small": "small petit petite petits petites klein kleine kleiner kleines kleinen", "large": "large big gros grosse grosser grosses grossen grand grande grands grandes",
		"medium":      "medium medium-sized moyen moyenne moyens moyennes mittlere mittlerer mittleres mittleren mittelgrosse mittelgrosser mittelgrosses mittelgross",
		"extra large": "extra-large jumbo xl",
		"heaped":      "heaped heaping rounded bombee bombees bombe gehauft gehaufter gehaufte gehauften geh",
		"level":       "level ras rase rases rasee gestrichen gestrichene gestrichener gestrichenen gestr leveled levelled",
		"scant":       "scant knapp knappe knapper knappen knappes petite-cuillere",
		"whole":       "whole entier entiere entiers entieres ganze ganzer ganzes ganz",
	} {
		for w := range strings.FieldsSeq(words) {
			sizes[w] = size
		}
	}
	sizes["s"], sizes["m"], sizes["l"] = "small", "medium", "large"
}

// roughly is said before a figure that is not meant to the gram.
var roughly = set("about approx approximately around ca circa etwa ungefahr zirka rund env environ roughly nearly almost gut gute guter gutes guten jeweils just over good knapp knappe scant presque generous")

func set(words string) map[string]bool {
	t := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		t[w] = true
	}
	return t
}

// vague amounts are words that say no figure at all.
var vague = map[string]bool{}

func init() {
	for w := range strings.SplitSeq("a few,a little,a bit,some,several,few,plenty,little,etwas,ein wenig,ein bisschen,einige,ein paar,wenig,ein bissl,un peu,quelques,plusieurs,a touch,a lot", ",") {
		vague[w] = true
	}
}
