// Package risk says what an order that is months ahead may cost on the day of
// its event, from the movements of the price history itself.
//
// # Vocabulary
//
// A monthly change is the logarithm of the price of a base unit in force at
// the end of a month ÷ that at the end of the month before. Prices that move
// are drawn again from their own changes; all others are held at the prices of
// the book. A path is one possible future: a sum of changes for every price
// that moves. The window is the run of months that changes are drawn from.
//
// # Formula
//
// With aᵢ the quantity of resource i in the order, pᵢ its price where paths
// start, s the share of overhead by percentage and Sᵢ the sum of the changes
// drawn for the months to the event,
//
//	cost = (1 + s) · Σ aᵢ·pᵢ·exp(Sᵢ) + all that is held
//
// over the prices that move. What is held are goods with too short a history,
// labour, energy, wear and overhead.
//
// # Drawing by blocks
//
// Months are drawn in blocks of L neighbouring months, each block starting at
// any month of the window with equal chance and running from the end of the
// window on into its beginning, until they fill the months ahead; the last
// block is cut where it has to be. The same months are drawn for every price,
// so that prices which moved together go on doing so, and within a block a
// rise that came in steps stays one. This is the circular block bootstrap of
// Politis and Romano (1992); running round makes every month as likely as any
// other, so that the mean of the paths is the mean of the window. L is the
// least whole number with L³ at or above the number of changes, the usual rate
// n^(1/3), but not below 3 months.
//
// # Months ahead
//
// A month that is begun counts in full, so that the spread errs to the wide
// side: from 25 November to 26 June is 8 months.
//
// # Drift
//
// The mean change of the window is taken off every change unless the caller
// keeps it. Over n months the mean is known to ±σ/√n a month, h·σ/√n over h
// months ahead, beside a spread of σ·√h: with 16 months of history and 8 ahead
// that error is 0.7 of the spread itself. A rise carried on from so little is
// mostly chance, and a fall carried on would make the figures rosy. What the
// drift was, and what the figures were with the other choice, stands beside
// them.
//
// # When it says nothing
//
// A price moves when it has at least [MinChanges] monthly changes, and at
// least as many as there are months ahead, from at least [MinPrices] dated
// prices: a price entered once and never looked at again is unknown, not
// steady. The window is the longest for which prices that carry
// at least 9/10 of what all of these carry reach back; shorter ones among them
// are held too. Where the prices that move carry less than [MinCovered] of the
// cost of ingredients and packaging, [Assess] returns a [TooShort] and no
// figure.
//
// # Surcharge
//
// Margin is below the floor f where cost > net·(1 − f). With q the cost that
// at most a share c of the paths exceed, the surcharge on the net price that
// brings the chance to c is q ÷ (1 − f) − net, and in shown terms that × (1 +
// tax rate); both are rounded up to the minor unit.
//
// # Numbers
//
// Statistics alone are float64, by gonum.org/v1/gonum/stat. Quantities, prices
// and what is held enter from exact values; results are rounded to the minor
// unit of the currency or, for shares and chances, to 4 decimals. Quantiles
// are those of the paths, without interpolation. One seed gives one result.
//
// # Exclusions
//
// The seasons of the year are not followed: a block may start in any month.
// What is uncertain in the history itself (few months, a spread known only
// roughly) is told in words and not in the bands.
package risk
