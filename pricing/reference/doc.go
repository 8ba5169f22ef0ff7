// Package reference holds published figures of common bakery ingredients:
// what a cup or a piece of them weighs, what is left of them after trimming,
// which allergens they are or often hold. They are offered as defaults; a book
// keeps its own figures, and what a studio weighed itself is always better.
//
// # Vocabulary
//
//   - An [Entry] is one food with its names in English, French and German.
//   - A [Weight] is what a measure of it weighs, in one form: sifted, packed,
//     chopped. The first is how it is usually measured.
//   - A [Piece] is what one weighs without what is thrown away.
//   - A [Yield] is the share that can be used of what is bought. Sources
//     differ; all that are known stand beside one another, the default first.
//   - Contains are allergens that the food itself is. Often are those that
//     common recipes of it bring along: only the label can tell.
//
// # Sources
//
// Weights and yields are those of the USDA National Nutrient Database for
// Standard Reference, Release 28 (2015), a work of the United States
// government in the public domain, named by the number of the food there
// ("NDB 20081"). testdata/sr28.csv holds what was taken of it, as read. What
// comes from elsewhere says so, and is never the default where SR28 has a
// figure. Figures from memory are marked as such.
//
// Names, categories and allergens of foods are common knowledge of the trade,
// without a source.
//
// # Formulas
//
//	density          = grams ÷ (amount × ml of the US measure)
//	yield            = 100 % − refuse
//	piece as bought  = piece ÷ yield
//
// SR28 weighs US measures: a cup of 236.5882365 ml. By the density any cup can
// be weighed: 125 g of flour in it are 0.5283 g/ml, and 132 g in a metric cup of
// 250 ml.
//
// # Rounding
//
// A density that is offered to a book is rounded at four decimals, the mass of
// a piece at one, half away from zero ([Entry.Ingredient]). [Weigh] does not
// round.
package reference
