// Package variance says by how much an order, or a month, earned more or less
// than planned, and why.
//
// A standard is what the accepted quote planned: the quantity of a resource by
// the design, and its price on the day of issue. An actual is what was recorded
// afterwards. Where nothing is recorded the standard stands in, and every
// figure says so: see [Figure] and [Step]. So an order of which nothing is known
// earns exactly what was planned.
//
// # Sign
//
// One convention throughout: an amount above 0 raises the margin and is
// [Favourable], one below 0 lowers it and is [Adverse]. Costing books often
// print cost variances the other way round, with a letter beside them.
//
// # Variances of a line
//
// With SQ, SP the standard quantity and price, AQ, AP the actual ones and L
// what was lost of AQ:
//
//	price = (SP − AP) × AQ           of labour: rate       of energy and wear: spending
//	usage = (SQ − (AQ − L)) × SP     of labour: efficiency of energy and wear: efficiency
//	lost  = −L × SP                  of goods: waste       of labour: idle time
//	price + usage + lost = SQ × SP − AQ × AP
//
// Prices are compared on what was used, not on what was purchased: flour in the
// store room has not earned or lost an order anything yet, and only so does the
// bridge add up. Where no loss is recorded, usage and lost together are what
// costing books call the usage, or efficiency, variance.
//
// A role's standard price holds its usual unproductive time already, by
// `productive`; idle time is what came on top. Energy is measured in kWh and
// wear in minutes of the appliance, so that their efficiency is their own and
// not that of the labour beside them.
//
// What no standard asked for has SQ = 0; all of its cost is usage: see
// [Unplanned]. What nobody used after all is recorded as an actual quantity
// of 0.
//
// # Sales
//
//	price    = price charged before discount − price planned
//	discount = discount planned − discount granted
//
// both without tax. Against a plan of N cakes with a margin of M in all, n
// cakes delivered whose orders planned a margin of m in all:
//
//	sales quantity = (n − N) × M ÷ N
//	sales mix      = m − n × M ÷ N
//
// Together they are the sales volume variance m − M.
//
// # Fixed overhead
//
// An order absorbs overhead at its standard and has no variance of it: by the
// labour hour, standard hours × rate; by the cake, a flat amount each; by
// percentage, that share of its other standard costs. The hours that were really
// worked do not change what an order absorbs, nor does a price of butter. In a
// month:
//
//	spending = budget − paid
//	volume   = absorbed − budget
//	total    = absorbed − paid     above 0 over-absorbed, below 0 under-absorbed
//
// Without a budget only the total can be told. In the [Kinds] of a month,
// spending stands as the price and volume as the usage of overhead. By the labour hour, with R =
// budget ÷ budgeted hours, volume splits further ([OverheadVariance.Split]):
//
//	capacity   = (hours worked − hours budgeted) × R
//	efficiency = (standard hours − hours worked) × R
//	rate       = absorbed − standard hours × R
//
// # The bridge
//
// A [Bridge] leads from the planned margin in money, net price − standard cost,
// through one step for each variance to the actual margin. Its steps add up
// exactly. A month's bridge is the sum of its orders' bridges, with the plan
// before and the overhead after them.
//
// # Worked figures
//
// A cake is planned at 300.00 less a discount of 15.00. It was to take 2 kg of
// butter at 9.00, 240 minutes at 0.40, 3 kWh at 0.35 and 4 labour hours of
// overhead at 12.50: 165.05, a margin of 119.95. It took 2.2 kg at 9.60, 0.1 kg
// of it dropped, and 265 minutes, and the discount was 30.00:
//
//	planned margin                                  119.95
//	sales discount       15.00 − 30.00             −15.00
//	material price       (9.00 − 9.60) × 2.2        −1.32
//	material usage       (2 − 2.1) × 9.00           −0.90
//	material waste       −0.1 × 9.00                −0.90
//	labour efficiency    (240 − 265) × 0.40        −10.00
//	actual margin        270.00 − 178.17             91.83
//
// # Mixtures
//
// Where ingredients stand in for one another, [SplitUsage] splits usage and
// lost of each, with T the total of all SQ, and A of all AQ:
//
//	mix   = (SQ × A ÷ T − AQ) × SP
//	yield = (SQ − SQ × A ÷ T) × SP
//
// # Rounding
//
// Nothing is rounded but by [Bridge.Print]: both ends to the minor unit, half
// away from zero, and the steps by largest remainder so that they add up as
// printed. A month printed is the month's own rounding, not a sum of printed
// orders.
//
// # Exclusions
//
// Stock is not valued: a purchase that lies in the store room is nobody's
// variance. Interest, tax and the maker's own unpaid time beyond the roles of
// the book do not occur. Mix by individual averages, where the price of a
// mixture's mean stands in for each of its ingredients, is another school's and
// is not offered; its total is the same.
package variance
