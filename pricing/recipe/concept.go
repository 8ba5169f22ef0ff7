package recipe

import (
	"strings"
	"sync"

	"marchpane/pricing/names"
	"marchpane/pricing/reference"
)

// moreNames are names in English, French and German that package reference,
// which holds foods with published figures, has not: a row each, begun by a
// name that it has where it has the food. Common practice of the trade, no
// source.
const moreNames = `
cornflour, maïzena, Stärke
Kartoffelmehl, potato starch, fécule de pomme de terre, fécule, Kartoffelstärke
dark brown sugar, dark muscovado sugar, muscovado, dunkler Muscovadozucker
golden syrup, light treacle
butter, sweet cream butter
egg, ganzes Ei
egg yolk, jaunes, jaune
egg white, blancs
whipping cream, crème fraîche liquide, Vollrahm
sour cream, Schmand
crème fraîche, crème épaisse
cream cheese, full-fat soft cheese
bicarbonate of soda, Kaisernatron
salt, fleur de sel
vanilla pod, vanilla bean, gousse de vanille, Vanilleschote, Vanillestange
vanilla paste, vanilla bean paste, pâte de vanille, Vanillepaste, Vanillemark
dark chocolate, dark couverture, chocolat noir pâtissier, Zartbitter-Kuvertüre, Edelbitterschokolade
white chocolate, white couverture
milk chocolate, milk couverture
ground almonds, Mandeln gemahlen
flaked almonds, slivered almonds, Mandelstifte
hazelnuts, roasted hazelnuts
pistachio paste, pâte de pistache, Pistazienpaste, Pistazienmark
lemon, citron jaune, Bio-Zitrone, Biozitrone
orange, Bio-Orange
pear, conference pear
frozen raspberries, framboises surgelées, tiefgekühlte Himbeeren, TK-Himbeeren
carrots, Rüebli
sultanas, raisins blonds
glacé cherries, candied cherries, cerises confites, Belegkirschen, kandierte Kirschen
mixed peel, mixed cut peel, candied peel, écorces confites, fruits confits, Orangeat und Zitronat
apricot jam, apricot jam sieved, apricot conserve, Aprikosenmarmelade, Marillenmarmelade
raspberry jam, Himbeermarmelade
gelatine leaf, leaf gelatine, gelatine sheets, gelatine leaf beef, gélatine en feuille, feuille de gélatine, Blattgelatine, Blatt Gelatine, Gelatineblätter
water, mains water
cinnamon, cinnamon powder
rum, rhum brun
instant espresso powder, espresso powder, Espressopulver
coffee, strong coffee, café fort, starker Kaffee
breadcrumbs, chapelure, Semmelbrösel, Paniermehl
`

// concepts maps the stems of a name to the food it means. What two names share
// never makes a match sure.
var concepts = sync.OnceValue(func() map[string]string {
	table := map[string]string{}
	name := func(text, food string) {
		if key := conceptKey(text); table[key] == "" {
			table[key] = food
		}
	}
	for _, e := range reference.All() {
		for _, list := range [][]string{e.Names.English, e.Names.French, e.Names.German} {
			for _, text := range list {
				name(text, string(e.ID))
			}
		}
	}
	for row := range strings.SplitSeq(strings.TrimSpace(moreNames), "\n") {
		list := strings.Split(row, ", ")
		food := table[conceptKey(list[0])]
		if food == "" {
			food = list[0]
		}
		for _, text := range list {
			name(text, food)
		}
	}
	return table
})

func conceptKey(name string) string { return strings.Join(stems(names.Words(name)), " ") }

// neutral words say of an ingredient what makes it no other.
var neutral = set("fresh organic bio good quality free-range free range large small medium fine best unwaxed ripe frais fraiche fraiches frisch frische frischer frisches frischen bon bonne plein air freiland extra pure liquid entier entiere unbehandelt unbehandelte unbehandelten lightly natural naturel nature")

// conceptOf returns the food that a name means in the trade, "" where its words
// say more or something else than any name that is known.
func conceptOf(name string) string {
	words := names.Words(name)
	if food := concepts()[strings.Join(stems(words), " ")]; food != "" {
		return food
	}
	var kept []string
	for w := range strings.FieldsSeq(words) {
		if !neutral[w] && sizes[w] == "" {
			kept = append(kept, w)
		}
	}
	return concepts()[strings.Join(stems(strings.Join(kept, " ")), " ")]
}
