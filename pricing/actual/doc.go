// Package actual is what really happened to an order, and in a month, beside
// what was planned.
//
// Everything is optional. What is not recorded stays at its standard, and
// package variance marks it so. A record is an entry of a journal: it is added
// and never changed; a mistake is taken back by a mark that says when and why,
// and both stay.
//
// # Vocabulary
//
//   - [Work]: minutes of a role on a day. Worked minutes stand instead of the
//     planned ones of that role; longer ones come on top of the plan; idle ones
//     were paid and not worked.
//   - [Goods]: a quantity as purchased, before peeling or hulling. Used is all
//     that was used of it, what was wasted too, instead of the plan; more comes
//     on top; wasted was thrown away.
//   - [Purchase]: packs bought at the price of an invoice.
//   - [Wage]: what an hour of a role is really paid from a day on.
//   - [Bill]: overhead or energy that was paid for a month. Bills of a month add up.
//   - [Plan]: what a month is to bring. The newest entry of a month counts.
//   - [Charge]: what a client was let off, or charged on top, after accepting.
//
// # From records to variances
//
// [Ledger.Apply] fills the actual figures of a [variance.Order]:
//
//	minutes  = worked + longer + idle     where any worked ones are recorded
//	         = planned + longer + idle    else, where any of those is
//	goods    = used + more                where a total is recorded
//	         = planned + more + wasted    else, where any of those is
//
// The actual price of goods is the average of what was bought of them, by
// quantity: of the purchases made for the order where there are any, else of
// those made for no order in particular from its acceptance to its event, both
// days included. Goods that lay in the store room before, and those of which no
// purchase is recorded, stay at their standard price.
//
// The actual price of a minute is that of the wage recorded for the day of the
// work; of minutes that no entry dates, for the day of the event. Where no wage
// is recorded the standard stands. A kWh costs what the energy bills of the
// month of the event make it, where they state both money and kWh.
//
// What was used though nobody planned it costs what was paid for it by the same
// rules, else its price in the book on the day of the entry.
//
// A charge is of the total, tax included; net it is the same share of the net
// price as it is of the total.
//
// # Cancelled orders
//
// [Planned] plans nothing for a cancelled order: no cake and no cost, so that no
// standard stands in for work that nobody did. Its fee is the price charged,
// and what was recorded before it was called off is all that it cost.
//
// # Rounding
//
// A clock measures whole minutes, half a minute up, and one at least. Nothing
// else is rounded.
//
// # Exclusions
//
// Wear and the kWh of an order are not measured. A month's overhead is nobody's
// order.
package actual
