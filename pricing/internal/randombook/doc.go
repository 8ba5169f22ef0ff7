// Package randombook makes up valid books, and requests that fit them, for
// tests that compare two ways of costing.
//
// A [Gen] draws everything from one seed: the same seed gives the same books,
// requests, dates and changes of price in the same order, on every machine. The
// books make poor cakes; they are meant to visit every corner of the format,
// often several at once: each shape, unit, driver and form of part, trims,
// pieces and parts, recipes nested several levels deep, batches, dated prices
// with ties, each overhead method, each tax setting, currencies with 0, 2 and 3
// minor units, each kind of target.
//
// What a book promises, so that a test need not handle refusals:
//
//   - every price is in force from 2026-01-01 on at the latest, and [Gen.Date]
//     answers only later days;
//   - every line can be brought to the measure of what it uses: no missing
//     density, no missing piece mass, no mass that has to be guessed;
//   - every real tier has a portion rule, and nothing divides by zero;
//   - list prices, steps and minimum orders are no finer than the minor unit;
//   - every cake holds a priced box, so that none costs nothing.
//
// A cake may still have no price (a target per portion and nothing served); a
// request of [Gen.Requests] never asks for one.
package randombook
