package reference

// fruitFoods are fruit and vegetables, fresh, dried and as juice.
const fruitFoods = `
= strawberries | fruit
en strawberries, fresh strawberries, strawberry
fr fraises, fraise
de Erdbeeren, Erdbeere
y 94 | 09316 | caps and stems
y 87 | oer
w 144 1 cup whole | 09316
w 152 1 cup halves | 09316
w 166 1 cup sliced | 09316
w 232 1 cup pureed | 09316
e 12 medium | 09316
e 18 large | 09316

= raspberries | fruit
en raspberries, raspberry
fr framboises, framboise
de Himbeeren, Himbeere
y 96 | 09302 | caps, stems and spoiled berries
w 123 1 cup | 09302

= blueberries | fruit
en blueberries, blueberry
fr myrtilles, myrtille
de Heidelbeeren, Blaubeeren, Heidelbeere
y 95 | 09050 | stems and green or spoiled berries
y 92 | oer
w 148 1 cup | 09050

= blackberries | fruit
en blackberries, blackberry
fr mûres, mûre
de Brombeeren, Brombeere
y 96 | 09042 | caps and spoiled berries
y 92 | oer
w 144 1 cup | 09042

= blackcurrants | fruit
en blackcurrants, black currants
fr cassis
de schwarze Johannisbeeren
y 98 | 09083 | stems
w 112 1 cup | 09083

= redcurrants | fruit
en redcurrants, red currants
fr groseilles
de Johannisbeeren, rote Johannisbeeren
y 98 | 09084 | stems
w 112 1 cup | 09084

= gooseberries | fruit
en gooseberries
fr groseilles à maquereau
de Stachelbeeren
w 150 1 cup | 09107

= cranberries | fruit
en cranberries, fresh cranberries
fr canneberges, airelles
de Cranberrys, Cranberries
y 98 | 09078 | stems and spoiled berries
w 100 1 cup whole | 09078
w 110 1 cup chopped | 09078

= cherries | fruit
en cherries, sweet cherries
fr cerises
de Kirschen, Süsskirschen
y 92 | 09070 | pits and stems
w 154 1 cup without pits | 09070
e 8.2 | 09070

= sour-cherries | fruit
en sour cherries, morello cherries
fr griottes, cerises acides
de Sauerkirschen, Schattenmorellen
y 90 | 09063 | pits and stems
w 155 1 cup without pits | 09063

= bananas | fruit
en bananas, banana
fr bananes, banane
de Bananen, Banane
y 64 | 09040 | skin
y 68 | oer
w 225 1 cup mashed | 09040
w 150 1 cup sliced | 09040
e 118 medium | 09040
e 101 small | 09040
e 136 large | 09040

= apples | fruit
en apples, apple
fr pommes, pomme
de Äpfel, Apfel
y 77 | 09004 | core, stem and skin
y 76 | oer
y 90 | 09003 | core and stem, eaten with the skin
w 110 1 cup slices | 09004
e 161 medium | 09004
e 132 small | 09004
e 216 large | 09004

= pears | fruit
en pears, pear
fr poires, poire
de Birnen, Birne
y 90 | 09252 | stem, core and seeds, eaten with the skin
y 78 | oer
w 140 1 cup slices | 09252
w 161 1 cup cubes | 09252
e 178 medium | 09252
e 148 small | 09252
e 230 large | 09252

= apricots | fruit
en apricots, apricot
fr abricots, abricot
de Aprikosen, Marillen, Aprikose
y 93 | 09021 | pits
y 94 | oer
w 155 1 cup halves | 09021
w 165 1 cup sliced | 09021
e 35 | 09021

= peaches | fruit
en peaches, peach
fr pêches, pêche
de Pfirsiche, Pfirsich
y 96 | 09236 | pit, eaten with the skin
w 154 1 cup slices | 09236
e 150 medium | 09236
e 130 small | 09236
e 175 large | 09236

= nectarines | fruit
en nectarines, nectarine
fr nectarines, nectarine, brugnons
de Nektarinen, Nektarine
y 91 | 09191 | pit
w 143 1 cup slices | 09191

= plums | fruit
en plums, plum
fr prunes fraîches, quetsches, mirabelles
de Pflaumen, Zwetschgen, Pflaume
y 94 | 09279 | pits
w 165 1 cup sliced | 09279
e 66 | 09279

= mangoes | fruit
en mangoes, mangos, mango
fr mangues, mangue
de Mangos, Mango
y 71 | 09176 | seeds and skin
w 165 1 cup pieces | 09176
e 336 | 09176

= pineapple | fruit
en pineapple
fr ananas
de Ananas
y 51 | 09266 | core, crown and parings
w 165 1 cup chunks | 09266
e 905 | 09266

= kiwifruit | fruit
en kiwifruit, kiwis, kiwi
fr kiwis, kiwi
de Kiwis, Kiwi
y 76 | 09148 | skin
w 180 1 cup sliced | 09148
e 69 | 09148

= passion-fruit | fruit
en passion fruit
fr fruits de la passion, fruit de la passion
de Passionsfrüchte, Passionsfrucht, Maracuja
y 52 | 09231 | shell
e 18 | 09231

= passion-fruit-juice | fruit
en passion fruit juice
fr jus de fruits de la passion
de Passionsfruchtsaft, Maracujasaft
w 247 1 cup | 09232

= pomegranate | fruit
en pomegranates, pomegranate
fr grenades, grenade
de Granatäpfel, Granatapfel
y 56 | 09286 | skin and membrane
w 87 0.5 cup arils | 09286
e 282 | 09286

= figs | fruit
en figs, fresh figs
fr figues, figues fraîches
de Feigen, frische Feigen
y 99 | 09089 | stems
e 50 medium | 09089
e 64 large | 09089

= grapes | fruit
en grapes, seedless grapes
fr raisins frais, raisin de table
de Weintrauben, Trauben
y 96 | 09132 | stems
w 151 1 cup | 09132

= rhubarb | fruit
en rhubarb
fr rhubarbe
de Rhabarber
y 75 | 09307 | ends and leaves
w 122 1 cup diced | 09307
e 51 | 09307
n The leaves are poisonous.

= lemons | fruit
en lemons, lemon
fr citrons, citron
de Zitronen, Zitrone
y 44 | 09152 | all but the juice, worked out: 48 g of juice in a lemon of 109 g
y 53 | 09150 | peel and seeds
e 58 | 09150
n A piece is worked out from 58 g of flesh, 53 % of the fruit.

= limes | fruit
en limes, lime
fr citrons verts, citron vert
de Limetten, Limette
y 84 | 09159 | peel and seeds
e 67 | 09159
n A lime gives 44 g of juice (USDA SR28, NDB 09160), 55 % of it.

= oranges | fruit
en oranges, orange
fr oranges, orange
de Orangen, Orange, Apfelsinen
y 73 | 09200 | peel and seeds
e 131 | 09200
e 96 small | 09200
e 184 large | 09200
w 180 1 cup sections | 09200
n An orange gives 86 g of juice (USDA SR28, NDB 09206), 48 % of it.

= clementines | fruit
en clementines, mandarins
fr clémentines, mandarines
de Clementinen, Mandarinen
y 77 | 09433 | peel and seeds
e 74 | 09433

= grapefruit | fruit
en grapefruit
fr pamplemousses, pamplemousse
de Grapefruits, Grapefruit
y 50 | 09111 | peel, seeds, core and membrane
w 230 1 cup sections | 09111

= lemon-juice | fruit | | sulphites
en lemon juice
fr jus de citron
de Zitronensaft
w 244 1 cup | 09152
e 48 lemon yields | 09152

= lime-juice | fruit | | sulphites
en lime juice
fr jus de citron vert
de Limettensaft
w 242 1 cup | 09160
e 44 lime yields | 09160

= orange-juice | fruit
en orange juice
fr jus d'orange
de Orangensaft
w 248 1 cup | 09206
e 86 fruit yields | 09206

= apple-juice | fruit
en apple juice
fr jus de pomme
de Apfelsaft
w 248 1 cup | 09400

= apple-sauce | fruit
en apple sauce, applesauce
fr compote de pommes
de Apfelmus
w 244 1 cup | 09401

= lemon-zest | fruit
en lemon zest, lemon peel, grated lemon rind
fr zeste de citron, zestes de citron
de Zitronenabrieb, Zitronenschale
w 6 1 tbsp | 09156
w 2 1 tsp | 09156

= orange-zest | fruit
en orange zest, orange peel
fr zeste d'orange, zestes d'orange
de Orangenabrieb, Orangenschale
w 6 1 tbsp | 09216
w 2 1 tsp | 09216

= raisins | dried fruit | | sulphites
en raisins, seedless raisins, sultanas, golden raisins
fr raisins secs
de Rosinen, Sultaninen
w 145 1 cup | 09298
w 165 1 cup packed | 09298

= dried-currants | dried fruit | | sulphites
en dried currants, currants, Zante currants
fr raisins de Corinthe
de Korinthen
w 144 1 cup | 09085

= dried-cranberries | dried fruit | | sulphites
en dried cranberries
fr canneberges séchées
de getrocknete Cranberrys
w 40 0.25 cup | 09079

= dried-apricots | dried fruit | | sulphites
en dried apricots
fr abricots secs
de getrocknete Aprikosen
w 130 1 cup halves | 09032

= prunes | dried fruit | | sulphites
en prunes, pitted prunes
fr pruneaux
de Trockenpflaumen, Backpflaumen
w 174 1 cup pitted | 09291

= dried-figs | dried fruit | | sulphites
en dried figs
fr figues sèches
de getrocknete Feigen
w 149 1 cup | 09094
e 8.4 | 09094

= dates | dried fruit | | sulphites
en dates, pitted dates
fr dattes
de Datteln
w 147 1 cup chopped | 09087
e 7.1 | 09087 | pitted
n With their stones 90 % is fruit (USDA SR28, NDB 09087).

= carrots | vegetable
en carrots, carrot
fr carottes, carotte
de Karotten, Möhren, Karotte, Möhre
y 89 | 11124 | crown, tops and scrapings
y 82 | oer
y 81 | lane
w 110 1 cup grated | 11124
w 128 1 cup chopped | 11124
e 61 medium | 11124
e 50 small | 11124
e 72 large | 11124

= courgettes | vegetable
en courgettes, zucchini, courgette
fr courgettes, courgette
de Zucchini
y 95 | 11477 | ends
w 124 1 cup chopped | 11477
w 113 1 cup sliced | 11477
e 196 medium | 11477
e 118 small | 11477
e 323 large | 11477

= beetroot | vegetable
en beetroot, beets
fr betteraves, betterave
de Rote Bete, Rote Rüben, Randen
y 67 | 11080 | parings and part tops
y 76 | oer
w 136 1 cup | 11080
e 82 | 11080

= pumpkin | vegetable
en pumpkin
fr potiron, citrouille
de Kürbis
y 70 | 11422 | seeds, rind and stem
w 116 1 cup cubes | 11422

= pumpkin-puree | vegetable
en pumpkin purée, canned pumpkin
fr purée de potiron, purée de citrouille
de Kürbispüree
w 245 1 cup | 11424

= avocados | vegetable
en avocados, avocado
fr avocats, avocat
de Avocados, Avocado
y 74 | 09037 | seed and skin
y 75 | oer
y 79 | lane
w 230 1 cup pureed | 09037
w 150 1 cup cubes | 09037

= sweet-potatoes | vegetable
en sweet potatoes, sweet potato
fr patates douces, patate douce
de Süsskartoffeln, Süsskartoffel
y 72 | 11507 | parings and trimmings
w 133 1 cup cubes | 11507

= parsnips | vegetable
en parsnips, parsnip
fr panais
de Pastinaken, Pastinake
y 85 | 11298 | parings
w 133 1 cup slices | 11298

= fresh-ginger | vegetable
en fresh ginger, ginger root
fr gingembre frais
de Ingwer, frischer Ingwer, Ingwerwurzel
y 93 | 11216 | scrapings
w 2 1 tsp | 11216

= mint | herb
en fresh mint, mint, peppermint
fr menthe fraîche, menthe
de Minze, frische Minze, Pfefferminze
y 61 | 02064 | stems

= rosemary | herb
en fresh rosemary, rosemary
fr romarin frais, romarin
de Rosmarin, frischer Rosmarin
y 65 | 02063 | stems
w 1.7 1 tbsp | 02063
`
