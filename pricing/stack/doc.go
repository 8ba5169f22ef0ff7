// Package stack fits cakes to tins: which tins to stack for so many guests, a
// design for another number of guests, a recipe for another mould.
//
// # Vocabulary
//
//   - A pattern is a cake of the book that lends its recipes: every tier of a
//     proposal takes the parts, work, height and cut of the pattern's tier at
//     the like place, bottom from bottom, top from top, those between from
//     between.
//   - The step is the overhang that a tier leaves of the tier below, measured
//     on the table on every side.
//   - A kept top is made and not served.
//   - The spare is what a stack serves beyond the guests.
//
// # What counts as a step
//
// The upper tier stands in the middle of the lower one, sides along sides. The
// step is the shortest way from its edge to the edge below:
//
//	round on round          (D − d) ÷ 2
//	square on square        (S − s) ÷ 2
//	rectangle on rectangle  the smaller of (L − l) ÷ 2 and (W − w) ÷ 2, long side
//	                        along long side; a square counts as a rectangle
//	hexagon on hexagon      (S − s) · √3 ÷ 2, between parallel sides
//	heart on heart          (S − s) ÷ 2, their squares in the middle of each other
//
// For the heart: straight sides then lie (S − s)/2 apart, and every point of the
// smaller lobes is at least as far from the larger ones and from the notch.
//
// Shapes are mixed only where that is allowed. Then the circle round the upper
// tier must fit into the circle within the lower one, a step to spare: safe for
// any way they are turned, and exact for round on square and square on round. A
// measured outline has no known edge; nothing stands on it and it on nothing.
//
// The step says what looks sound and leaves room for a border. It does not make
// a stack stand: dowels, boards and their number are the maker's to decide.
//
// # The order of proposals
//
// [Propose] finds, among all stacks of the tins within the limits, those that
// serve enough with the least spare; of these the fewest tiers; of these the
// least volume; of these the larger lower tiers. It is exact: no stack that
// comes earlier in this order is missed. A tin is used as often as it is owned.
// With a step of 0 equal tins may stand on each other. The depth of a tin
// limits nothing, since a tier is built of several sheets.
//
// [Rescale] keeps the number of tiers, their shapes and heights, and lets the
// spare be up to a tenth of the guests (or what the tins leave no way round).
// Of the stacks with so little spare it takes the least drift: with the ratio
// new size ÷ old size of every tier,
//
//	drift = greatest ratio ÷ least ratio − 1
//
// so that 0 is the same cake, larger or smaller; then less spare, then less
// volume.
//
// # How the search works
//
// For every number of tiers, least(i, t, r) is the least volume with which tiers
// i and up, standing on tin t, serve exactly r, or that none do. It is worked
// out once for each i, t and r. Spares are then tried from 0 up, and the stacks
// of one spare are walked through without a dead end.
//
// # Nothing fits
//
// The error is a [NoFit]. It says how many the largest stack serves, and tries
// each limit by itself: one more tier, more height, a smaller step, the top
// served, another shape, mixed shapes, a larger tin.
// How many are served at most does not need the search: it follows from most(i, t)
// of every tier and tin, and with a further tin from what stands below it and on it.
//
// # Recipes
//
// [Scale] multiplies a recipe by the volume of the mould it is wanted in ÷ the
// volume that one batch fills: its reference mould, or its output ÷ density.
// The time in the oven does not scale so.
package stack
