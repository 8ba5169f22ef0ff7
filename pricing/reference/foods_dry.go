package reference

// dryFoods are flours, starches, grains, sugars and syrups.
const dryFoods = `
= plain-flour | flour | wheat
en plain flour, all-purpose flour, all purpose flour, plain wheat flour, white flour, wheat flour, flour
fr farine de blé, farine, farine blanche, farine t55, farine t45, farine fluide
de Weizenmehl, Mehl, Weizenmehl Type 405, Mehl Type 405, Weissmehl
w 125 1 cup | 20081
w 115 1 cup sifted | hb72

= self-raising-flour | flour | wheat
en self-raising flour, self-rising flour, self raising flour
fr farine à gâteaux, farine avec levure incorporée, farine à levure incorporée
de Mehl mit Backpulver
w 125 1 cup | 20082

= bread-flour | flour | wheat
en bread flour, strong white flour, strong flour
fr farine de gruau, farine à pain, farine t65
de Brotmehl, Weizenmehl Type 550, Mehl Type 550
w 137 1 cup | 20083

= cake-flour | flour | wheat
en cake flour, soft cake flour, pastry flour
fr farine à pâtisserie, farine pâtissière
de Kuchenmehl, Feinmehl
w 137 1 cup unsifted | 20084
w 96 1 cup sifted | hb72

= wholemeal-flour | flour | wheat
en wholemeal flour, whole wheat flour, wholewheat flour, whole-grain wheat flour
fr farine complète, farine intégrale, farine de blé complète
de Weizenvollkornmehl, Vollkornmehl
w 120 1 cup | 20080

= rye-flour | flour | rye
en rye flour, medium rye flour
fr farine de seigle
de Roggenmehl
w 102 1 cup | 20064
w 128 1 cup dark | 20063

= barley-flour | flour | barley
en barley flour
fr farine d'orge
de Gerstenmehl
w 148 1 cup | 20130

= oat-flour | flour | oats | wheat
en oat flour
fr farine d'avoine
de Hafermehl
w 104 1 cup | 20132

= spelt-flour | flour | spelt
en spelt flour
fr farine d'épeautre, farine de grand épeautre
de Dinkelmehl, Dinkelmehl Type 630
n No published weight of a measure was found; weigh a level cup.

= buckwheat-flour | flour
en buckwheat flour
fr farine de sarrasin, farine de blé noir
de Buchweizenmehl
w 120 1 cup | 20011

= rice-flour | flour
en rice flour, white rice flour
fr farine de riz
de Reismehl
w 158 1 cup | 20061

= soy-flour | flour | soy
en soy flour, soya flour
fr farine de soja
de Sojamehl
w 84 1 cup stirred | 16115

= cornmeal | flour
en cornmeal, maize meal, polenta, degermed cornmeal
fr semoule de maïs, polenta
de Maisgriess, Polenta
w 157 1 cup | 20022

= semolina | flour | wheat
en semolina, durum wheat semolina
fr semoule de blé, semoule fine, semoule
de Hartweizengriess, Griess, Weichweizengriess
w 167 1 cup | 20466

= cornflour | starch
en cornflour, cornstarch, corn starch, maize starch
fr fécule de maïs, amidon de maïs
de Maisstärke, Speisestärke, Stärkemehl
w 128 1 cup | 20027

= arrowroot | starch
en arrowroot, arrowroot flour, arrowroot starch
fr arrow-root
de Pfeilwurzelmehl, Pfeilwurzelstärke
w 128 1 cup | 20003

= potato-flour | starch
en potato flour
fr farine de pomme de terre
de Kartoffelmehl
w 160 1 cup | 11413

= tapioca | starch
en tapioca, tapioca pearls, pearl tapioca
fr tapioca, perles du Japon
de Tapioka, Tapiokaperlen
w 152 1 cup | 20068

= rolled-oats | grain | oats | wheat
en rolled oats, porridge oats, oat flakes, quick oats, oats
fr flocons d'avoine
de Haferflocken, zarte Haferflocken, kernige Haferflocken
w 81 1 cup | 08120

= oat-bran | grain | oats | wheat
en oat bran
fr son d'avoine
de Haferkleie
w 94 1 cup | 20033

= wheat-bran | grain | wheat
en wheat bran, bran
fr son de blé
de Weizenkleie
w 58 1 cup | 20077

= wheat-germ | grain | wheat
en wheat germ
fr germe de blé
de Weizenkeime
w 115 1 cup | 20078

= caster-sugar | sugar
en caster sugar, granulated sugar, superfine sugar, white sugar, sugar
fr sucre en poudre, sucre semoule, sucre blanc, sucre cristal, sucre
de Zucker, Kristallzucker, Feinzucker, Haushaltszucker, feinster Zucker, Weisszucker
w 200 1 cup | 19335
w 4.2 1 tsp | 19335
n SR28 weighs granulated sugar; caster sugar is the same sugar, ground finer.

= icing-sugar | sugar
en icing sugar, powdered sugar, confectioners' sugar, confectioner's sugar
fr sucre glace
de Puderzucker, Staubzucker
w 120 1 cup unsifted | 19336
w 100 1 cup sifted | 19336

= light-brown-sugar | sugar
en light brown sugar, brown sugar, soft brown sugar, soft light brown sugar, dark brown sugar, soft dark brown sugar, muscovado sugar
fr sucre brun, vergeoise, vergeoise blonde, vergeoise brune, sucre muscovado
de brauner Zucker, Muscovadozucker, brauner Rohrzucker
w 220 1 cup packed | 19334
w 145 1 cup unpacked | 19334

= turbinado-sugar | sugar
en turbinado sugar, demerara sugar, raw cane sugar
fr cassonade, sucre roux, sucre demerara, sucre de canne
de Rohrzucker, Rohrohrzucker, Demerarazucker
w 202 1 cup | 19908

= vanilla-sugar | sugar
en vanilla sugar
fr sucre vanillé
de Vanillezucker, Vanillinzucker
w 8 1 sachet | trade | de
w 7.5 1 sachet | trade | fr

= honey | syrup
en honey, clear honey, runny honey
fr miel, miel liquide
de Honig, flüssiger Honig, Blütenhonig
w 339 1 cup | 19296
w 21 1 tbsp | 19296
n Not for children under one year.

= molasses | syrup | | sulphites
en molasses, black treacle, treacle
fr mélasse
de Melasse, Zuckerrohrmelasse
w 337 1 cup | 19304

= light-corn-syrup | syrup | | sulphites
en light corn syrup, corn syrup
fr sirop de maïs
de heller Maissirup, Maissirup
w 341 1 cup | 19350

= dark-corn-syrup | syrup | | sulphites
en dark corn syrup
fr sirop de maïs foncé
de dunkler Maissirup
w 328 1 cup | 19349

= glucose-syrup | syrup | | sulphites
en glucose syrup, liquid glucose, glucose
fr sirop de glucose, glucose
de Glukosesirup, Glucosesirup, Glukose
n Its density follows its solids; see the supplier's sheet. Syrup of wheat is exempt from the allergen list of the EU (Regulation 1169/2011, Annex II, read in a copy).

= maple-syrup | syrup
en maple syrup
fr sirop d'érable
de Ahornsirup
w 315 1 cup | 19353

= malt-syrup | syrup | barley
en malt syrup, malt extract, barley malt syrup
fr sirop de malt, extrait de malt
de Malzsirup, Malzextrakt, Gerstenmalzextrakt
w 332 1 cup | 19352

= agave-syrup | syrup
en agave syrup, agave nectar
fr sirop d'agave
de Agavendicksaft, Agavensirup
w 55 0.25 cup | 19912

= baking-powder | raising | | wheat
en baking powder, double-acting baking powder
fr levure chimique, poudre à lever, poudre levante
de Backpulver
w 4.6 1 tsp | 18369
w 16 1 sachet | trade | de
w 11 1 sachet | trade | fr

= bicarbonate-of-soda | raising
en bicarbonate of soda, baking soda, sodium bicarbonate, bicarb
fr bicarbonate de soude, bicarbonate alimentaire, bicarbonate de sodium, bicarbonate
de Natron, Backnatron, Speisenatron
w 4.6 1 tsp | 18372

= cream-of-tartar | raising
en cream of tartar
fr crème de tartre
de Weinstein
w 3 1 tsp | 18373

= dried-yeast | raising
en dried yeast, dry yeast, active dry yeast, instant yeast, fast-action dried yeast
fr levure sèche, levure sèche de boulanger, levure boulangère déshydratée
de Trockenhefe, Trockenbackhefe
w 4 1 tsp | 18375
w 7.2 1 sachet | 18375 | | packet

= fresh-yeast | raising
en fresh yeast, compressed yeast, baker's yeast
fr levure fraîche, levure de boulanger, levure boulangère
de frische Hefe, Hefe, Backhefe
w 42 1 cube | trade | de
w 42 1 cube | trade | fr
n A cake of 0.6 oz weighs 17 g (USDA SR28, NDB 18374).

= salt | seasoning
en salt, table salt, fine salt, fine sea salt, sea salt
fr sel, sel fin, sel de mer
de Salz, Speisesalz, Meersalz, feines Salz, Kochsalz
w 6 1 tsp | 02047
w 0.4 1 dash | 02047

= gelatine | setting | | | gelatine
en gelatine powder, gelatin powder, powdered gelatine, gelatine, gelatin
fr gélatine en poudre, gélatine
de Gelatinepulver, gemahlene Gelatine, Gelatine
w 7 1 sachet | 19177 | | envelope
n From animals; see its label for which. Fish gelatine declares fish.

= cinnamon | spice
en ground cinnamon, cinnamon
fr cannelle en poudre, cannelle, cannelle moulue
de Zimt, gemahlener Zimt, Zimtpulver
w 2.6 1 tsp | 02010

= ground-ginger | spice
en ground ginger, ginger powder
fr gingembre en poudre, gingembre moulu
de Ingwerpulver, gemahlener Ingwer
w 1.8 1 tsp | 02021

= nutmeg | spice
en ground nutmeg, nutmeg
fr noix de muscade, muscade
de Muskat, Muskatnuss, gemahlene Muskatnuss
w 2.2 1 tsp | 02025

= ground-cloves | spice
en ground cloves, cloves
fr clou de girofle moulu, clous de girofle moulus, girofle en poudre
de Nelken, gemahlene Nelken, Nelkenpulver
w 2.1 1 tsp | 02011

= cardamom | spice
en ground cardamom, cardamom
fr cardamome moulue, cardamome
de Kardamom, gemahlener Kardamom
w 2 1 tsp ground | 02006

= allspice | spice
en ground allspice, allspice, pimento
fr piment de la Jamaïque, quatre-épices
de Piment, gemahlener Piment
w 1.9 1 tsp | 02001

= mace | spice
en ground mace, mace
fr macis
de Muskatblüte, Macis
w 1.7 1 tsp | 02022

= anise-seed | spice
en aniseed, anise seed, anise
fr graines d'anis, anis vert
de Anis, Anissamen
w 2.1 1 tsp whole | 02002

= caraway-seed | spice
en caraway seed, caraway
fr graines de carvi, carvi
de Kümmel
w 2.1 1 tsp | 02005

= fennel-seed | spice
en fennel seed
fr graines de fenouil
de Fenchelsamen
w 2 1 tsp whole | 02018

= saffron | spice
en saffron
fr safran
de Safran
w 0.7 1 tsp | 02037

= turmeric | spice
en ground turmeric, turmeric
fr curcuma
de Kurkuma
w 3 1 tsp | 02043

= black-pepper | spice
en ground black pepper, black pepper
fr poivre noir, poivre noir moulu
de schwarzer Pfeffer, gemahlener schwarzer Pfeffer
w 2.3 1 tsp ground | 02030

= poppy-seed | seed
en poppy seeds, poppy seed
fr graines de pavot, pavot
de Mohn, Blaumohn, Mohnsamen
w 8.8 1 tbsp | 02033
w 2.8 1 tsp | 02033

= instant-coffee | drink
en instant coffee, instant coffee powder, instant espresso powder
fr café soluble, café instantané
de Instantkaffee, löslicher Kaffee
w 1 1 tsp | 14214
`
