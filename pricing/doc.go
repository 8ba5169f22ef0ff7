// Package pricing turns a cake into what it costs and what to charge for it.
//
// # The one idea
//
// Every cost is a quantity of a resource × the price of that resource on a
// day. A resource is anything bought by measure: an ingredient, a piece of
// packaging, a minute of a role's work, a minute of an appliance, a kWh, a
// share of the month's overhead. Quantities come from the design alone and
// never from a price.
//
//	dated prices ──────────┐
//	recipes ──┐            ├─► Cost by class ─► Offer ─► quote, cost sheet, report
//	design  ──┴─► Takeoff ─┘
//	               └► Bill
//
// [TakeCake] compiles a cake once into a [Takeoff]: every single use of every
// resource, with its place and its working. The takeoff's [Bill] is the sum of
// those uses by resource. [Rates] are prices per unit on a day. A [Cost] is the
// sum of bill × rates by class; nothing else in the program computes a cost.
//
// # Quantities
//
// A part of a tier takes, each × (1 + waste):
//
//	qty                 fixed, or × a driver
//	layers n of t       n · A · t · density
//	coat of t           (A + P·H, or A, or P·H) · t · density
//	sheet of t          charged area · t · density, where
//	                    rolled  = A + P·x + πx², x = H + overhang
//	                    covered = A + P·H
//	                    charged = covered + (rolled − covered) × (1 − reuse)
//
// Needs for a component are summed over the whole cake, through every level,
// and then made once: made = max(need, batch_min), batches = made ÷ batch_max
// rounded up, each line × made ÷ output of a batch.
//
// Work and appliances take setup + rate × driver minutes; an appliance burns
// power × duty × time.
//
// # From cost to price
//
// Net price = cost ÷ (1 − margin), or cost × (1 + markup); shown with tax where
// prices are gross; rounded up to the studio's step. See [Price]. Margin
// achieved = (net − cost) ÷ net.
//
// A recipe by itself is costed as it is written, or so many times that, without
// overhead: see [CostBatch].
//
// # Exactness
//
// Every figure from the typed decimal to the named rounding point is an
// [exact.Number], a ratio of whole numbers; decimals of
// github.com/shopspring/decimal hold what was typed and what is printed. The
// rounding points are: the shown price (to the step, or to the minor unit), and
// printing. So results equal those of exact rational arithmetic to the last
// printed digit, in any order of summing. The property tests compare them with
// a second, naive implementation over math/big.
//
// # Exclusions
//
// Waiting time is not charged. Pieces are not rounded up to whole ones: 18.4
// eggs cost 18.4 eggs; shopping rounds once for its whole list. Each cake is
// costed alone: batches are not shared between cakes.
package pricing
