package reference

// nutFoods are nuts, seeds, chocolate and spreads.
const nutFoods = `
= almonds | nuts | almond
en almonds, whole almonds
fr amandes, amandes entières
de Mandeln, ganze Mandeln
w 143 1 cup whole | 12061
w 95 1 cup ground | 12061
w 108 1 cup slivered | 12061
w 92 1 cup sliced | 12061
e 1.2 | 12061 | shelled
n In their shells 40 % is kernel (USDA SR28, NDB 12061).

= ground-almonds | nuts | almond
en ground almonds, almond flour, almond meal
fr poudre d'amandes, poudre d'amande, amandes en poudre, amandes moulues
de gemahlene Mandeln, Mandelmehl, Mandelgriess
w 95 1 cup ground | 12061

= flaked-almonds | nuts | almond
en flaked almonds, sliced almonds
fr amandes effilées
de Mandelblättchen, gehobelte Mandeln
w 92 1 cup sliced | 12061

= blanched-almonds | nuts | almond
en blanched almonds
fr amandes mondées, amandes émondées
de blanchierte Mandeln, geschälte Mandeln
w 145 1 cup whole | 12062

= almond-paste | nuts | almond
en almond paste, marzipan, raw marzipan
fr pâte d'amande, pâte d'amandes, massepain
de Marzipanrohmasse, Marzipan, Rohmarzipan
w 227 1 cup packed | 12071
n Marzipan holds more sugar than almond paste, which SR28 weighs.

= almond-butter | nuts | almond
en almond butter
fr purée d'amande, beurre d'amande
de Mandelmus
w 250 1 cup | 12195

= hazelnuts | nuts | hazelnut
en hazelnuts, hazelnut, filberts
fr noisettes, noisette
de Haselnüsse, Haselnusskerne, Haselnuss
w 135 1 cup whole | 12120
w 115 1 cup chopped | 12120
w 75 1 cup ground | 12120
n In their shells 41 % is kernel (USDA SR28, NDB 12120).

= ground-hazelnuts | nuts | hazelnut
en ground hazelnuts
fr poudre de noisettes, poudre de noisette, noisettes en poudre
de gemahlene Haselnüsse
w 75 1 cup ground | 12120

= walnuts | nuts | walnut
en walnuts, walnut halves, walnut pieces, walnut
fr noix, cerneaux de noix
de Walnüsse, Walnusskerne
w 100 1 cup halves | 12155
w 117 1 cup chopped | 12155
w 80 1 cup ground | 12155
n In their shells 45 % is kernel (USDA SR28, NDB 12155).

= pecans | nuts | pecan
en pecans, pecan nuts, pecan halves
fr noix de pécan
de Pekannüsse, Pecannüsse
w 99 1 cup halves | 12142
w 109 1 cup chopped | 12142
n In their shells 53 % is kernel (USDA SR28, NDB 12142).

= pistachios | nuts | pistachio
en pistachios, pistachio nuts, unsalted pistachios
fr pistaches
de Pistazien, Pistazienkerne
w 123 1 cup | 12151
n In their shells 53 % is kernel (USDA SR28, NDB 12151).

= cashews | nuts | cashew
en cashews, cashew nuts
fr noix de cajou
de Cashewkerne, Cashewnüsse
w 137 1 cup | 12085

= macadamia-nuts | nuts | macadamia
en macadamia nuts, macadamias
fr noix de macadamia
de Macadamianüsse
w 134 1 cup whole | 12131

= brazil-nuts | nuts | brazil-nut
en Brazil nuts
fr noix du Brésil
de Paranüsse
w 133 1 cup whole | 12078

= pine-nuts | nuts | pine-nut
en pine nuts, pine kernels
fr pignons de pin
de Pinienkerne
w 135 1 cup | 12147

= peanuts | nuts | peanut
en peanuts, raw peanuts
fr cacahuètes, arachides
de Erdnüsse, Erdnusskerne
w 146 1 cup | 16087

= peanut-butter | nuts | peanut
en peanut butter, smooth peanut butter
fr beurre de cacahuète, beurre de cacahuètes
de Erdnussbutter, Erdnussmus
w 258 1 cup | 16098

= chestnuts | nuts
en chestnuts, sweet chestnuts
fr châtaignes, marrons
de Maronen, Esskastanien
w 145 1 cup | 12097
y 74 | 12097 | shells

= desiccated-coconut | nuts | | sulphites
en desiccated coconut, shredded coconut
fr noix de coco râpée, coco râpée
de Kokosraspel
w 93 1 cup shredded | 12179
n SR28 weighs the sweetened kind; the unsweetened is lighter.

= flaked-coconut | nuts | | sulphites
en flaked coconut, coconut flakes
fr copeaux de noix de coco
de Kokosflocken, Kokoschips
w 85 1 cup | 12109

= sesame-seed | seed | sesame
en sesame seeds, sesame seed
fr graines de sésame, sésame
de Sesam, Sesamsamen
w 144 1 cup | 12023

= tahini | seed | sesame
en tahini, sesame paste
fr tahini, purée de sésame
de Tahin, Sesammus, Tahina
w 15 1 tbsp | 12166

= sunflower-seed | seed
en sunflower seeds, sunflower kernels
fr graines de tournesol
de Sonnenblumenkerne
w 140 1 cup | 12036

= pumpkin-seed | seed
en pumpkin seeds, pepitas
fr graines de courge, graines de citrouille
de Kürbiskerne
w 129 1 cup | 12014

= flaxseed | seed
en flaxseed, linseed
fr graines de lin
de Leinsamen
w 168 1 cup whole | 12220

= cocoa-powder | chocolate | | milk
en cocoa powder, cocoa, unsweetened cocoa powder
fr cacao en poudre, cacao, poudre de cacao, cacao amer, cacao non sucré
de Kakaopulver, Kakao, Backkakao
w 86 1 cup | 19165

= dutch-cocoa | chocolate | | milk
en dutch-process cocoa powder, alkalised cocoa powder, dutch cocoa
fr cacao alcalinisé
de alkalisiertes Kakaopulver
w 86 1 cup | 19166

= dark-chocolate | chocolate | | milk soy
en dark chocolate, plain chocolate, semisweet chocolate, bittersweet chocolate, dark couverture
fr chocolat noir, chocolat pâtissier, couverture noire
de Zartbitterschokolade, dunkle Schokolade, Zartbitterkuvertüre, dunkle Kuvertüre, Bitterschokolade
w 168 1 cup chips | 19080
w 182 1 cup large chips | 19080
w 173 1 cup mini chips | 19080

= milk-chocolate | chocolate | milk | soy
en milk chocolate, milk couverture
fr chocolat au lait, couverture lait
de Milchschokolade, Vollmilchschokolade, Vollmilchkuvertüre
w 168 1 cup chips | 19120

= white-chocolate | chocolate | milk | soy
en white chocolate, white couverture
fr chocolat blanc, couverture ivoire
de weisse Schokolade, weisse Kuvertüre
w 170 1 cup chips | 19087

= chocolate-chips | chocolate | | milk soy
en chocolate chips, chocolate drops
fr pépites de chocolat
de Schokotropfen, Schokoladentropfen
w 168 1 cup chips | 19080
w 182 1 cup large chips | 19080
w 173 1 cup mini chips | 19080

= unsweetened-chocolate | chocolate | | milk soy
en unsweetened chocolate, baking chocolate, cocoa mass
fr pâte de cacao, chocolat amer
de Kakaomasse
w 132 1 cup grated | 19078

= marshmallows | confectionery | | sulphites | gelatine
en marshmallows, mini marshmallows
fr guimauves, chamallows
de Marshmallows
w 50 1 cup miniature | 19116
e 7.2 regular | 19116

= jam | preserve | | sulphites
en jam, preserves, strawberry jam, raspberry jam, apricot jam
fr confiture, confiture de fraises, confiture de framboises, confiture d'abricots
de Konfitüre, Marmelade, Erdbeerkonfitüre, Himbeerkonfitüre, Aprikosenkonfitüre
w 20 1 tbsp | 19297

= marmalade | preserve | | sulphites
en marmalade, orange marmalade
fr marmelade d'oranges, confiture d'oranges
de Orangenmarmelade
w 20 1 tbsp | 19303

= jelly | preserve | | sulphites
en fruit jelly, redcurrant jelly
fr gelée de fruits, gelée de groseilles
de Gelee, Johannisbeergelee
w 21 1 tbsp | 19300
`
