package recipe

import (
	"slices"
	"strings"
)

// states are words for what is done to an ingredient before it goes in, which
// are no part of its name; folded. Words for goods that are bought so (ground
// almonds, whipping cream, dried fruit) are not among them. Common practice,
// no source.
var states = set(
	// English
	"sifted unsifted packed chopped melted softened soft grated shredded sliced diced cubed crushed beaten whisked mashed peeled pitted stoned hulled cored deseeded seeded halved quartered " +
		"drained rinsed strained squeezed toasted warmed cooled chilled cold warm hot lukewarm tepid boiling soaked separated divided crumbled minced torn trimmed washed sieved zested juiced broken cut " +
		"finely coarsely roughly thinly thickly freshly firmly lightly loosely tightly well very slightly room-temperature ice-cold just-boiled thawed defrosted cracked bruised scalded spooned levelled cooked lightly-beaten overripe ripe " +
		// French
		"tamise tamisee tamises tamisees fondu fondue fondus fondues mou molle mous ramolli ramollie ramollis pommade rape rapee rapes rapees hache hachee haches hachees concasse concassee concasses concassees " +
		"coupe coupee coupes coupees emince emincee eminces emincees epluche epluchee epluches epluchees pele pelee peles pelees ecrase ecrasee ecrases ecrasees battu battue battus battues froid froide froids froides " +
		"tiede tiedes chaud chaude chauds chaudes presse pressee presses pressees denoyaute denoyautee denoyautes denoyautees egoutte egouttee egouttes egouttees bien finement grossierement fraichement torrefie torrefiee torrefies torrefiees " +
		"mur mure murs mures fendu fendue fendus fendues equeute equeutee equeutes equeutees effile detaille detaillee detailles rapes lave lavee laves lavees seche sechees pilees pile reduit zeste zestee blanchi grille grillee grilles grillees bouillant bouillante rince rincee bati tempere temperee decongele decongelee tres " +
		// German
		"gesiebt gesiebte gesiebter gesiebtes gesiebten gehackt gehackte gehackter gehacktes gehackten geschmolzen geschmolzene geschmolzener geschmolzenes geschmolzenen zerlassen zerlassene zerlassener " +
		"flussig flussige flussiger flussiges mild erkaltet erkaltete abgekuhlt abgekuhlte getrennte weich weiche weicher weiches weichen gerieben geriebene geriebener geriebenes geriebenen abgerieben abgeriebene abgeriebener geraspelt geraspelte geraspelter geraspelten gewurfelt gewurfelte geschnitten geschnittene geschalt geschalte geschalter geschalten " +
		"kalt kalte kalter kaltes kalten warm warme warmer warmes warmen lauwarm lauwarme lauwarmer lauwarmes lauwarmen heiss heisse heisser heisses heissen kochend kochendes zimmerwarm zimmerwarme zimmerwarmer zimmerwarmen eiskalt eiskalte eiskaltes " +
		"verquirlt verquirlte geschlagen geschlagene gerostet gerostete gerosteter gerosteten zerdruckt zerdruckte zerkleinert fein feine grob grobe frisch gepresst gepresster getrennt entsteint entsteinte entkernt abgetropft abgetropfte gewaschen gepackt sehr")

// tails begin what is no longer the name of the ingredient, folded; longer ones
// first where one begins another.
var tails = []string{
	"plus extra", "plus more", "plus", "to taste", "to serve", "to decorate", "to garnish", "to finish", "to dust", "to grease", "to coat", "to glaze", "to sprinkle", "as needed", "as required", "if needed", "if desired", "at room temperature", "room temperature",
	"for", "cut into", "cut in", "or", "or more", "from", "on top", "in chunks", "in pieces", "in cubes", "without", "optional", "divided", "about", "approx", "approximately",
	"pour", "coupe", "coupee", "coupes", "coupees", "a temperature", "selon", "ou", "facultatif", "facultative", "a volonte", "au gout", "en morceaux", "en des", "en cubes", "en petits", "en tranches", "en lamelles", "en rondelles", "en pommade", "environ", "non traite", "non traites", "non traitee", "non traitees", "bien froid", "bien froide", "a l'huile", "dans", "sans sel ajoute",
	"fur", "zum", "zur", "nach", "oder", "bei zimmertemperatur", "zimmertemperatur", "in wurfeln", "in stucken", "in stucke", "in scheiben", "in flockchen", "aus dem", "evtl", "eventuell", "ca", "je nach", "sowie", "geschnitten", "in wurfel", "in stuckchen", "in kleinen stucken", "in kleine", "in feine", "in dunne", "in spalten", "in stiften", "in ringen", "in streifen", "in kleinen wurfeln", "in flocken", "nach belieben", "nach geschmack", "optional", "davon", "mit zimmertemperatur", "ersatzweise", "auf zimmertemperatur",
}

var tailWords = func() [][]string {
	list := make([][]string, len(tails))
	for i, t := range tails {
		list[i] = strings.Fields(strings.ReplaceAll(t, "'", " "))
	}
	slices.SortStableFunc(list, func(a, b []string) int { return len(b) - len(a) })
	return list
}()

// tailAt reports whether a tail begins at ts[i].
func tailAt(ts []token, i int) bool {
	for _, words := range tailWords {
		if i+len(words) > len(ts) {
			continue
		}
		same := true
		for j, w := range words {
			if ts[i+j].bare != w {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// unmeasured are phrases that stand for an amount that nobody measures, folded.
var unmeasured = []string{
	"to taste", "for dusting", "for greasing", "for the tin", "for the pan", "for serving", "for decorating", "for decoration", "for sprinkling", "for rolling", "for brushing", "for frying", "for garnish", "for coating", "for kneading", "for lining", "for dredging",
	"to serve", "to decorate", "to garnish", "to finish", "to dust", "to grease", "to sprinkle", "as needed", "as required", "as desired", "to coat",
	"au gout", "selon gout", "selon le gout", "selon les gouts", "pour le moule", "pour la decoration", "pour decorer", "pour servir", "pour saupoudrer", "pour fariner", "pour le plan de travail", "a volonte", "pour graisser", "pour beurrer", "pour la finition", "pour la cuisson", "pour badigeonner",
	"nach belieben", "nach geschmack", "zum bestauben", "zum bestreuen", "zum garnieren", "zum verzieren", "zum servieren", "zum dekorieren", "fur die form", "zum einfetten", "fur das blech", "zum ausrollen", "zum bestreichen", "fur die arbeitsflache", "zum ausfetten", "zum fetten", "fur das backblech", "nach bedarf", "zum ausstauben", "zum wenden",
}

var optionalWords = []string{"optional", "if desired", "if you like", "if liked", "facultatif", "facultative", "facultatifs", "en option", "si desire", "optionnel", "optionnelle", "wer mag", "nach wunsch", "wahlweise", "evtl", "eventuell", "falls gewunscht", "nach belieben"}

// parts of an ingredient that are named before it: "juice of 2 lemons".
var partWords = map[string]string{}

func init() {
	for name, words := range map[string]string{
		"juice": "juice jus saft", "zest": "zest zeste zestes rind peel schale schalenabrieb abrieb zesten schalen ecorce ecorces zitronenabrieb", "seeds": "seeds graines mark vanillemark",
		"yolk": "yolk yolks jaune jaunes eigelb eigelbe dotter", "white": "white whites blanc blancs eiweiss eiklar", "flesh": "flesh pulp pulpe chair fruchtfleisch",
		"leaves": "leaves blatter feuilles",
	} {
		for w := range strings.FieldsSeq(words) {
			partWords[w] = name
		}
	}
}

// ofWords join an amount or a part to its ingredient.
var ofWords = set("of de d du des von vom la le l les der den dem the frischer frisch")
