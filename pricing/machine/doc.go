// Package machine shapes results as the JSON documents that scripts rely on.
//
// Decimals and fractions are strings: cost figures, margins and quantities at
// 6 decimals, a break-even price at 12, rounded half away from zero; money on a
// quote at the minor unit of its currency. What does not exist is left out:
// the cost per portion of a cake of which nothing is served, the margin of a
// cake without a price. Each figure is rounded by itself.
package machine
