// Package quote prices an order for a client and freezes the result.
//
// # Vocabulary
//
// A [Request] says what a client wants, for when and where. [Price] turns it
// into a [Quote]: an [Offer], which is all that the client ever sees, and a
// [Basis], the bills, prices and costs that it rests on. The two are kept
// apart so that no paper made from an Offer can carry a cost, a margin, a
// wage, a supplier or a recipe quantity.
//
// An issued quote has a number, 2026-0001, counted by the year of issue
// without gaps, and a revision letter. It is frozen: it holds every figure and
// word that its papers need, so that they come out the same at any later time,
// whatever the book says by then.
//
// # Lines
//
// In order: cakes, requested extras, other extras that are always on, a
// discount, and what makes up the minimum order.
//
//	line amount    = unit price × quantity
//	unit price     = a cake's shown price; an extra's price + price per km × km, rounded
//	discount       = rounded(percentage × sum of the cake lines)
//	minimum order  = what the lines so far fall short of the studio's minimum
//
// # Tax
//
// For each rate t, from gross g: rounded(g·t ÷ (1 + t)); from net n:
// rounded(n·t); on the sum of the lines at that rate, or on each line. A
// discount is shared among the rates of the cakes by their amounts, minor units
// by largest remainder, the lower rate first where remainders are equal.
//
// # Instalments
//
// The deposit is a share of the total, rounded, due on the day of issue; other
// instalments likewise, some days before the event but not before issue; the
// last takes what is left, so that they add up to the total.
package quote
