// Package month is the figures of the monthly cost report.
//
// A [Tally] takes orders, quotes and accounts one at a time and makes a
// [Report] of them, which is ready to show: on screen, as a workbook or as JSON.
// A span is usually a month; a year, and any other span of several whole months,
// has a [MonthRow] a month and is the sum of its months.
//
// # What counts when
//
//   - An order counts on the day of its event. One that was called off counts on
//     the day it was: it brings its fee, and costs what was recorded of it.
//   - A quote is issued on the day of its first issue. It is decided once:
//     won on the day it was first accepted, whatever was revised or called off
//     later; else lost by what nothing followed: declined on that day, lapsed on
//     the day after its validity, or withdrawn, which is called off before it was
//     accepted. A quote that was declined and then revised is open again.
//   - Accounts are those at the end of the span's last day.
//
// So months add up to a year, and what is done today may change the report of a
// month that is over: a quote declined in October and won in November was not
// lost in October. Quotes decided, and orders called off, after the span were
// open, and standing, at its end.
//
// # Sales
//
// Revenue is without tax: what the quote says, plus what was charged or let off
// after accepting. Where shown prices hold tax, a line's share of the net total
// is amount ÷ (1 + rate); what the rounding of tax leaves goes to the greatest
// part. A cancellation fee is revenue as it stands. What quotes are worth is
// without tax too: one of several options counts as the one accepted, or else as
// its first.
//
//	conversion          = won ÷ (won + lost)
//	conversion by value = value won ÷ (value won + value lost)
//
// # Cost and margin
//
// The standard is what the accepted quote planned, at the prices of its day of
// issue. The cost is the actual one where something is recorded, and else the
// standard; Recorded says of how much of the standard cost anything is. Overhead
// in an order is what it absorbs.
//
//	margin                     = revenue − cost
//	margin after overhead paid = margin + absorbed − paid
//
// The bridge leads from the margin planned by the quotes, or by the plan of a
// month that has one, to the margin after overhead paid: see package variance.
//
// # Goods and prices
//
// Quantities are as purchased. The price of a resource is the average of what
// its orders used: cost ÷ quantity. It is compared with that of the span before.
// Where no order of that span used it, a price that was really paid is compared
// with the book's on that span's last day, and one that was only planned, by a
// quote of whatever day, with nothing.
//
//	cost of a price change = (price − price before) × quantity used
//	cost of usage          = −(usage variance + waste)
//
// Waste is what was recorded as thrown away, at standard prices. What a recipe
// plans to lose is in its quantities and is no waste.
//
// # Hours
//
// Planned hours of a role are those of the bill. Their split by task is that of
// the book as it stands, for each cake and extra of which the role still takes
// the very minutes that were quoted: an issued quote freezes its bill and not its
// tasks. Of others no task is known. Recorded minutes are of the task that was
// entered; where nothing was, the planned ones stand in, task by task.
//
// # Receivables
//
// Owed is the total of an order, or its cancellation fee, and money overdue is
// aged by the days since its instalment fell due. A quote that was revised after
// the span stands in its last accepted revision. What was charged or let off
// after accepting without a revision is not in accounts, nor in the tax.
//
// # Rounding
//
// Figures are exact inside. Shown ones are rounded half away from zero to the
// minor unit, and what is shown above a total adds up to it, by rows and by
// columns. Of costs the totals of all orders are rounded first; classes share
// the total, and orders share each class, by largest remainder; the cost of one
// order is then the sum of its classes as shown, and may be some minor units away
// from the rounding of its exact cost. The differences between standard and
// actual are shared in the same way, so that nothing shows a variance that has
// none. Revenue goes by rows: each order's parts add up to its net total, and the
// total of a part is the sum of its column. Hours are shared in hundredths.
//
// The bridge, and margins after overhead paid, are rounded by themselves. Shares
// and prices are of exact figures; changes of key figures are of those shown.
//
// # Exclusions
//
// Nobody's tax is worked out: sales by rate are the sum of what quotes say, by
// the day of the event. Stock is not valued, and purchases for the store room are
// no cost of a month.
package month
