// Package shopping turns orders into what has to be bought for them: whole
// packs, supplier by supplier, and what will be left over.
//
// # Vocabulary
//
//	need      what the orders take of a thing, in the unit it is bought in
//	to buy    need − what is on hand, at least 0
//	offer     a supplier's newest price in force for one size of pack
//	pick      so many packs of one offer
//	left      on hand + bought − need
//	paid      what the shop asks: packs × pack price, tax included
//	cost      what the studio bears: paid without the tax that it recovers
//
// # From orders to needs
//
// Needs are summed over all orders from the takeoffs of their cakes and extras,
// × how many were ordered. Takeoffs come from today's book and not from the
// quote: one shops for what will be made. Each cake is made for itself, as it
// was costed, so a smallest batch counts once for each; whoever shares batches
// between orders may need less than this list says, never more.
//
// Where a recipe has left the book the frozen bill of its quote stands in
// ([Wanted].Frozen). A bill has the parts of a thing under the whole, so it
// cannot say how many to take apart: such a line counts pieces by their mass
// and is marked with [Line].PartsUnknown, for somebody to look at.
//
// # Whole pieces
//
// What is bought by the piece is needed whole, rounded up once for the list.
// Of what is used in parts, such as eggs as yolks and whites,
//
//	pieces = used whole + the greatest over the parts of
//	         (grams needed of the part ÷ grams of it in one piece)
//	left of a part = (pieces, rounded up − used whole) × its grams in one piece
//	                 − grams needed of it
//
// 5 eggs whole, 102 g of yolk at 17 g and 66 g of white at 33 g take
// 5 + max(6, 2) = 11 eggs and leave 6 × 33 − 66 = 132 g of white. A part that is
// on hand is taken first, and counted with what is left.
//
// # Packs
//
// With a supplier named on the ingredient only that one's offers count.
// Otherwise all do, and the cheapest set of whole packs that covers what is to
// buy is found exactly: least cost; of equal ones least left over; then fewest
// packs. See [cheapest] for how, and why that ends.
//
// # Rounding
//
// Quantities and sums are exact. Money is rounded for showing only: the total
// to the minor unit, and the subtotals and lines so that they add up to it
// ([money.Apportion]).
//
// # Exclusions
//
// Nothing is said of minimum orders, delivery charges, best-before dates or
// what a shop has in stock. Allergens belong to the ingredient and not to the
// pack; another brand may differ, and its label goes before the book.
package shopping
