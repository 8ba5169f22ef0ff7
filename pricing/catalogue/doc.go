// Package catalogue answers what a changed price does to every cake at once.
//
// # The idea
//
// A cost is a sum of quantity × price over a bill. The catalogue keeps every
// cake's bill as whole numbers at a fixed scale, indexed by resource. When one
// price moves by Δ, a cake that uses a of the resource moves by a·Δ; a cake
// that does not use it is not even looked at.
//
// # Fixed point with a proven bound
//
// Quantities are kept in 10⁻¹² of a base unit and prices in 10⁻¹⁵ of the
// currency a base unit, both rounded to nearest in 64 bits; products and sums
// are 128-bit integers at 10⁻²⁷. With a and p the true figures, each within
// half a step of its stored one, a product is off by at most
//
//	|a·p − a′·p′| ≤ p′·½·10⁻¹² + a′·½·10⁻¹⁵ + ¼·10⁻²⁷
//
// The sums of a′ and p′ over a bill give its bound. A margin is 1 − cost ÷ net;
// the quotient is taken at 10⁻¹². Where the bound (with that of the quotient)
// leaves open which of two digits a printed figure has, or which of two cakes
// ranks first, the cake is costed again in exact rationals. So every figure
// equals exact arithmetic to the last printed digit, and nearly all of them
// cost a multiplication.
//
// # What stays while prices change
//
// What cakes take ([Weights]) and on which terms they are sold ([Terms]) rest on no
// price of a resource. Both are kept, and where a price was saved the catalogue is
// a multiplication of the kept weights with the prices as they are: once a design,
// whatever the number of cakes that share it.
//
// A price that a target asks for is a step function of the cost: with the factor F
// of the target (of margin or markup, and tax) and the step s of prices it is
//
//	s · ⌈cost · F ÷ s⌉, or where there is no step s · ⌊cost · F ÷ s + ½⌋ with s the least coin
//
// which does not fall as the cost rises. It is taken at the least cost that the
// bound allows, with F ÷ s rounded down, and at the greatest, with it rounded up;
// where both give one price that is the price, else exact rationals decide.
//
// A bill that does not fit (a quantity above 9.2 million base units, a price
// above 9,223 a base unit) is always costed exactly.
package catalogue
