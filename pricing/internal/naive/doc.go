// Package naive costs a book a second time, for tests only.
//
// It is written straight from the page that fixes what the figures mean,
// formula by formula, over [math/big.Rat], and shares nothing with the engine
// in package pricing: its own decoding, units, shapes, roundings. Two
// implementations that agree on random books to the last digit are unlikely to
// be wrong in the same place.
//
// Nothing here is fast, and nothing here checks a book: it assumes one that
// the engine has accepted, and answers an error when it stumbles over
// something it cannot read.
//
// # Answers
//
// [Book.Cost], [Book.Bill], [Book.Impact] and [Book.Quote] return what the
// commands of the same names print as JSON, as maps: figures as strings (cost
// figures and margins at 6 decimals, a break-even price at 12, money on a quote
// at the currency's minor unit, halves away from zero), counts as int, flags as
// bool, and no key where the figure does not exist. [Book.QuoteCost] gives the
// studio's side of a quote, which the client's document leaves out.
//
// # Readings
//
// Where the page leaves a choice, this package reads it so:
//
//   - A part of an ingredient (a yolk) in volume, in layers, as a coat or a sheet
//     is an error, because a part has no density.
//   - An ingredient with parts that is measured by mass is billed in grams.
//   - Overhead by percent has no bill line, so its impact list is empty.
//   - A break-even price below zero is no price: null.
//   - A cake whose net price is zero has no margin, and no break-even price.
//   - With prices shown net, the net price is the shown price.
//   - A studio without tax charges none even where a cake states a rate.
//   - Tax is by document unless the studio says by line.
//   - A deposit of 100 % with no instalments listed leaves 0.00 for the event date.
//   - A discount that is not 0 % has its line even where it rounds to nothing.
//   - Extras that are hidden are left off the quote even where it asks for them.
package naive
