// Package recipe reads recipes as people write them, line by line, into a
// draft of a component that the studio confirms.
//
// # Vocabulary
//
//   - A [Source] is a recipe as it was found: its name, its lines and steps in
//     the words of whoever wrote it. [FromText] makes one of pasted text;
//     package intake makes one of a file of schema.org's Recipe.
//   - A [Line] is one line taken apart: an [Amount], a unit, the words for the
//     ingredient, a note.
//   - A fault is what could not be read. A doubt is what was read, but in one
//     of several ways, or leaves something open. Both stand on the line in
//     words; nothing is decided in silence.
//   - A [Match] is what in the book a line's words may mean, with a [Confidence].
//   - A [Draft] joins the two, with each line's quantity as the book holds it.
//
// # Amounts
//
// Figures are whole numbers, decimals with point or comma, fractions written
// "1/2" or "½", mixed numbers ("1 ½", "1-1/2", "1 et demi") and number words.
// Whether "1.500" is one and a half or fifteen hundred follows the mark that
// other lines prove, else the language; the line carries a doubt either way,
// and a fault where neither is known.
//
// A range keeps both ends. The draft takes the upper, since a cost that is
// worked out too low is noticed only when the money is gone, and says so.
//
// Packs multiply: "2 x 250 g packs" is 500 g. So does "2 tins (400 g)", which
// could mean 400 g in all, and therefore carries a doubt.
//
// # Units
//
// Units of package measure go by their symbols. Words of the kitchen that are
// no unit — pinch, sachet, bunch, glass — stay words: how much they hold is
// asked of a [Weights], which answers with a source, or is left open. A stick
// of butter is a quarter of a pound (GNU units: stickbutter).
//
// # Confidence
//
//	sure    ≥ 0.95   the same name or id: but for case, accents, signs, plural, order
//	likely  ≥ 0.75   one ingredient only has all these words, or means the same
//	                 by the word list of the trade
//	unsure  ≥ 0.35   some words in common; proposed from 0.50 on, below that
//	                 only offered beside a new ingredient
//	none             a new ingredient is proposed, without prices
//
// Only what is sure stands without being confirmed.
//
// # Baker's percentages
//
//	share = usable mass of the line ÷ usable mass of all that counts as flour
//
// What counts as flour is for the baker to say; [IsFlour] proposes it.
//
// # Rounding
//
// A quantity of the book has a finite number of decimals. Where an amount does
// not — a third of a cup — it is converted to base units and rounded half away
// from zero at three decimals, a thousandth of a gram, in [Draft] alone.
package recipe
