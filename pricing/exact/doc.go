// Package exact is the arithmetic of every figure in the program: rational
// numbers that never round by themselves.
//
// # Why rationals
//
// A pack price divided by a pack size need not end: 38.70 for 15 dozen eggs
// is 0.215 each, but 2.00 for a tin of 397 g is 0.00503778… a gram. A decimal
// would have to stop somewhere, and where it stops would depend on the order
// of the sums. A [Number] is a fraction of whole numbers, so that sums,
// products and quotients come out the same in any order, and the only
// roundings are those that a caller names: [Number.Round], [Number.Down],
// [Number.Floor], [Number.Ceil] and, for print, [Number.Fixed].
//
// Circles and hexagons need π and √3. [Pi] and [Sqrt3] are fixed decimals of
// 35 places; with them areas are rational too, and two people who use the
// same digits reach the same cent.
//
// # Rounding
//
// All rounding is half away from zero: 0.125 at two places is 0.13 and
// -0.125 is -0.13.
//
// Decimals enter and leave as [decimal.Decimal] of
// github.com/shopspring/decimal, which holds and prints what a user typed.
package exact
