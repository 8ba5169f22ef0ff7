// Package measure holds the quantities of the trade: what a cook weighs, a
// supplier packs and an oven burns.
//
// # Vocabulary
//
// A [Quantity] is a figure and a [Unit], written "250 g": digits with an
// optional point, one space, the unit. A unit belongs to a [Dimension], each of
// which has a base unit in which everything is computed: g, ml, each, mm, cm2,
// min and kWh, and W for power.
//
// Household measures (tsp, tbsp, cup) mean different volumes in different
// kitchens; the studio's [Household] says which. In metric kitchens they are
// 5, 15 and 250 ml; in US kitchens the cup is 236.5882365 ml, a sixteenth of a
// US gallon of 231 cubic inches.
//
// A [Density] (g/ml) turns volume into mass. A [Percent] is written "12.5 %".
// A [Pack] is what a supplier sells: "12.5 kg" or "10 x 250 g".
//
// # Exactness
//
// Figures keep the digits that were typed and become exact fractions when
// computed with; a conversion factor is exact by definition of its unit.
// Nothing here rounds.
package measure
