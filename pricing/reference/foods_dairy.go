package reference

// dairyFoods are dairy produce, eggs, fats and what is poured.
const dairyFoods = `
= butter | dairy | milk
en unsalted butter, butter, sweet butter
fr beurre doux, beurre
de Butter, Süssrahmbutter, ungesalzene Butter
w 227 1 cup | 01145
w 14.2 1 tbsp | 01145
w 113 1 stick | 01145

= salted-butter | dairy | milk
en salted butter
fr beurre salé, beurre demi-sel
de gesalzene Butter
w 227 1 cup | 01001
w 14.2 1 tbsp | 01001
w 113 1 stick | 01001

= ghee | dairy | milk
en ghee, clarified butter, butter oil
fr beurre clarifié
de Butterschmalz, Butterreinfett
w 205 1 cup | 01003

= margarine | fat | | milk soy
en margarine, baking margarine
fr margarine
de Margarine, Backmargarine
w 227 1 cup | 04610
w 113 1 stick | 04610

= vegetable-shortening | fat | | soy
en vegetable shortening, shortening, white vegetable fat
fr graisse végétale
de Pflanzenfett
w 205 1 cup | 04031

= lard | fat
en lard
fr saindoux
de Schweineschmalz, Schmalz
w 205 1 cup | 04002

= vegetable-oil | fat | | soy
en vegetable oil, oil, neutral oil, soybean oil
fr huile végétale, huile, huile neutre
de Pflanzenöl, Öl, neutrales Öl
w 218 1 cup | 04044
w 13.6 1 tbsp | 04044

= sunflower-oil | fat
en sunflower oil
fr huile de tournesol
de Sonnenblumenöl
w 218 1 cup | 04506

= rapeseed-oil | fat
en rapeseed oil, canola oil
fr huile de colza
de Rapsöl
w 218 1 cup | 04582

= olive-oil | fat
en olive oil
fr huile d'olive
de Olivenöl
w 216 1 cup | 04053

= coconut-oil | fat
en coconut oil
fr huile de coco, huile de noix de coco
de Kokosöl, Kokosfett
w 218 1 cup | 04047

= peanut-oil | fat | peanut
en peanut oil, groundnut oil
fr huile d'arachide
de Erdnussöl
w 216 1 cup | 04042

= walnut-oil | fat | walnut
en walnut oil
fr huile de noix
de Walnussöl
w 218 1 cup | 04528

= whole-milk | dairy | milk
en whole milk, milk, full-fat milk
fr lait entier, lait
de Vollmilch, Milch
w 244 1 cup | 01077
w 15 1 tbsp | 01077

= skimmed-milk | dairy | milk
en skimmed milk, skim milk, nonfat milk
fr lait écrémé
de Magermilch, entrahmte Milch
w 245 1 cup | 01085

= semi-skimmed-milk | dairy | milk
en semi-skimmed milk, reduced-fat milk, low-fat milk
fr lait demi-écrémé
de fettarme Milch, teilentrahmte Milch
w 244 1 cup | 01079

= buttermilk | dairy | milk
en buttermilk
fr babeurre, lait ribot, lait fermenté
de Buttermilch
w 245 1 cup | 01230

= milk-powder | dairy | milk
en skimmed milk powder, milk powder, dried milk, nonfat dry milk
fr lait en poudre écrémé, lait en poudre
de Magermilchpulver, Milchpulver
w 120 1 cup | 01091

= whole-milk-powder | dairy | milk
en whole milk powder
fr lait entier en poudre, lait en poudre entier
de Vollmilchpulver
w 128 1 cup | 01212

= condensed-milk | dairy | milk
en sweetened condensed milk, condensed milk
fr lait concentré sucré
de gezuckerte Kondensmilch
w 306 1 cup | 01095

= evaporated-milk | dairy | milk
en evaporated milk
fr lait évaporé, lait concentré non sucré
de Kondensmilch, ungezuckerte Kondensmilch
w 252 1 cup | 01096

= whipping-cream | dairy | milk
en whipping cream, heavy cream, double cream, heavy whipping cream, cream
fr crème liquide entière, crème liquide, crème fleurette, crème entière
de Schlagsahne, Sahne, Schlagobers, Schlagrahm, Rahm
w 238 1 cup fluid | 01053
w 120 1 cup whipped | 01053
w 15 1 tbsp | 01053

= single-cream | dairy | milk
en single cream, light cream, table cream, coffee cream
fr crème légère, crème liquide légère
de Kaffeesahne
w 240 1 cup | 01050

= sour-cream | dairy | milk
en sour cream, soured cream
fr crème aigre
de saure Sahne, Sauerrahm
w 230 1 cup | 01056

= cream-cheese | dairy | milk
en cream cheese, full-fat cream cheese, soft cheese
fr fromage à la crème, fromage frais à tartiner
de Frischkäse, Doppelrahmfrischkäse
w 232 1 cup | 01017
w 14.5 1 tbsp | 01017

= ricotta | dairy | milk
en ricotta, ricotta cheese
fr ricotta
de Ricotta
w 246 1 cup | 01036

= cottage-cheese | dairy | milk
en cottage cheese
fr fromage cottage
de Hüttenkäse, körniger Frischkäse
w 210 1 cup large curd | 01012

= yogurt | dairy | milk
en plain yogurt, yogurt, yoghurt, plain yoghurt, natural yogurt
fr yaourt nature, yaourt
de Naturjoghurt, Joghurt
w 245 1 cup | 01116

= mascarpone | dairy | milk
en mascarpone
fr mascarpone
de Mascarpone
n No published weight of a measure was found; weigh it.

= quark | dairy | milk
en quark, curd cheese
fr fromage blanc
de Quark, Magerquark, Speisequark, Topfen
n No published weight of a measure was found; weigh it.

= egg | eggs | egg
en egg, eggs, whole egg, hen's egg
fr oeuf, oeufs, oeuf entier
de Ei, Eier, Hühnerei, Vollei
e 50 large | 01123
e 56 extra large | 01123
e 44 medium | 01123
e 38 small | 01123
w 243 1 cup | 01123
y 88 | 01123 | shell
p egg-yolk | Egg yolk | 17 | 01125
p egg-white | Egg white | 33 | 01124
n Sizes are those of the United States, without the shell; elsewhere sizes of the same name weigh more. Weigh ten of yours.

= egg-yolk | eggs | egg
en egg yolk, egg yolks, yolk
fr jaune d'oeuf, jaunes d'oeufs, jaune d'oeufs
de Eigelb, Eidotter, Dotter
e 17 large | 01125
w 243 1 cup | 01125

= egg-white | eggs | egg
en egg white, egg whites
fr blanc d'oeuf, blancs d'oeufs, blanc d'oeufs
de Eiweiss, Eiklar
e 33 large | 01124
w 243 1 cup | 01124

= dried-egg-white | eggs | egg
en dried egg white, egg white powder
fr blanc d'oeuf en poudre
de Eiweisspulver, Trockeneiweiss
w 107 1 cup sifted | 01136

= dried-egg | eggs | egg
en dried egg, whole egg powder
fr oeuf entier en poudre, oeufs en poudre
de Volleipulver
w 85 1 cup sifted | 01133

= quail-egg | eggs | egg
en quail egg
fr oeuf de caille
de Wachtelei
e 9 | 01140
y 92 | 01140 | shell

= water | drink
en water, tap water
fr eau
de Wasser, Leitungswasser
w 29.6 1 floz | 14411

= brewed-coffee | drink
en brewed coffee, coffee
fr café
de Kaffee
w 29.6 1 floz | 14209

= espresso | drink
en espresso
fr expresso, espresso
de Espresso
w 29.6 1 floz | 14210

= rum | alcohol | | | alcohol
en rum, white rum, dark rum
fr rhum, rhum ambré
de Rum, brauner Rum
w 27.8 1 floz | 14050

= brandy | alcohol | | | alcohol
en brandy, kirsch, spirits, vodka
fr eau-de-vie, kirsch, cognac
de Weinbrand, Kirschwasser, Obstbrand
w 27.8 1 floz | 14037
n SR28 weighs spirits of 80 proof, 40 % by volume.

= coffee-liqueur | alcohol | | | alcohol
en coffee liqueur
fr liqueur de café
de Kaffeelikör
w 34.8 1 floz | 14414

= white-wine | alcohol | | sulphites | alcohol
en white wine
fr vin blanc
de Weisswein
w 29.4 1 floz | 14106

= red-wine | alcohol | | sulphites | alcohol
en red wine
fr vin rouge
de Rotwein
w 29.4 1 floz | 14096

= dessert-wine | alcohol | | sulphites | alcohol
en dessert wine, sweet wine
fr vin doux
de Dessertwein, Likörwein
w 29.5 1 floz | 14057

= cider-vinegar | seasoning
en cider vinegar, apple vinegar
fr vinaigre de cidre
de Apfelessig
w 239 1 cup | 02048

= distilled-vinegar | seasoning
en distilled vinegar, white vinegar
fr vinaigre blanc, vinaigre d'alcool
de Branntweinessig, Tafelessig
w 238 1 cup | 02053

= coconut-milk | drink
en coconut milk, canned coconut milk
fr lait de coco
de Kokosmilch
w 226 1 cup | 12118

= vanilla-extract | flavouring | | | alcohol
en vanilla extract, vanilla essence, vanilla
fr extrait de vanille, vanille liquide, arôme vanille
de Vanilleextrakt, Vanilleessenz, Vanillearoma
w 208 1 cup | 02050
w 4.2 1 tsp | 02050
w 13 1 tbsp | 02050
`
