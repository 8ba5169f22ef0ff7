// Package book holds the facts a studio prices with: the studio itself, its
// roles, appliances and overhead, ingredients and packaging with dated prices,
// components, cakes and extras. It reads and writes them as a book file and
// says all that is wrong with one.
//
// # Vocabulary
//
//   - An [Ingredient] is bought in packs at dated prices. Packaging is an
//     ingredient of that kind.
//   - Trim yield is usable ÷ purchased: 43 % for the juice of a lemon.
//   - Parts split one piece: an egg into yolk and white.
//   - A [Component] is a recipe that cakes and other components use.
//   - A [Mould] is what one batch fills: sizes, or the water it holds. A [Tin]
//     is one that the studio owns.
//   - A [Cake] is a stack of [Tier]s, or portions without tiers.
//   - A [Part] says how much of what a tier or cake uses; a [Driver] is what
//     that amount grows with.
//   - An [Extra] is sold beside cakes: delivery, a stand, a tasting.
//
// # From what a cook writes to what is bought
//
// Cooks write usable amounts in units that suit the hand; suppliers sell by
// another measure. [Index.Charge] bridges the two:
//
//	mass or volume line   usable ÷ trim yield
//	volume to mass        ml × density
//	count line            pieces as purchased, each of mass `each`
//	mass from pieces      g ÷ (each × trim yield) pieces
//	part of a piece       g ÷ (sum of the parts' masses) pieces
//
// 160 ml of lemon juice at 1.03 g/ml and a trim yield of 43 % take
// 160 × 1.03 ÷ 0.43 = 383.26 g of lemons. Where a bridge is missing, the
// answer is an error that names the figure to add.
//
// # What one batch gives
//
// [Index.Output] is the measured yield, or else the usable masses of the lines
// less the loss. [Index.Density] is the given density, or else that output ÷
// the volume of the reference mould, which is what it holds, or else its area
// times its height.
//
// # How papers look
//
// A [Look] is an accent, a paper and a logo. The accent has to be legible on
// white ([Accent.Check]); the logo is a [Picture], in the file as a data URL
// (RFC 2397), so that a book is whole in one file.
//
// # A valid book
//
// [Parse] reads a file on its own and [Merge] lays a file over the book of a
// store; both check everything, so that [NewIndex] and all that builds on it
// deal with sound books only. What is found wrong comes as record.Faults, each
// with its path in the file.
package book
