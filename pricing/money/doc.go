// Package money holds amounts of money, the currencies they are in, and the
// named roundings that turn an exact figure into one that can be paid.
//
// # Vocabulary
//
// A [Currency] is a code of ISO 4217 with its minor unit: 2 places for the
// euro, 0 for the yen, 3 for the Kuwaiti dinar. An [Amount] is a whole number
// of minor units. A [Price] is what a supplier's list or a studio's own figure
// says; it may be finer than the minor unit, and is kept as it was typed.
//
// # Rounding
//
//   - [Currency.Round]: half away from zero to the minor unit.
//   - [Apportion]: a total shared among lines so that the shares add up to it
//     exactly. Each line first gets its exact share rounded down; the minor
//     units left over go one each to the lines with the largest remainders, the
//     earlier line first where remainders are equal.
//
// Sharing 10.00 by 1 : 1 : 1 gives 3.34, 3.33 and 3.33.
package money
