// Package seed carries the demo studio, so that a newcomer has a whole book to
// look around in before writing one.
//
// [Studio] is a book file like any other (format marchpane-book/1): it goes
// through the same parser and the same checks as a file from disk, and nothing
// in the program knows it by name. [WeddingRequest] is a request for a quote
// against it.
//
// # The studio
//
// Quillwort Cake Studio, its suppliers, its clients and its venues are invented.
// The kitchen sells cakes at 13.5 % tax and services at 23 %, recovers the tax
// on what it buys, shows prices with tax, aims at a margin of 55 % and does not
// want to fall below 42 %.
//
// Eighteen months of prices, from June 2025 to November 2026, are dated and
// move as such prices do: butter falls into the winter and then climbs by half,
// chocolate and cocoa come down from a peak, almonds, eggs and dried fruit rise.
// Three things are left there to be found:
//
//   - the fruit cake "winter-fruit" kept its list price and has slipped under the
//     floor margin;
//   - the "choux-tower" stands just above it, and the next butter rise takes it
//     under;
//   - the wedding cake is sold below the price its target asks for.
//
// # The year
//
// [Year] tells twelve months of the studio up to [Today], and what has been asked
// and ordered for the months after: each [Happening] in the order in which it was
// noted, with its instant. It is drawn from a fixed seed and does not change. It
// knows nothing of a store; who plays it into one keeps the names that the store
// gives to its keys.
//
//   - every month has eight to eighteen orders, most of the money in the weddings
//     from May to September, fruit cakes and firms before Christmas;
//   - about half of the quotes that are decided are won; the others are declined,
//     lapse, or are called off; some are revised, some let the client choose;
//   - most clients pay in time, firms later; one cancellation fee is waived and
//     the deposit goes back, another is still owed after ten months; payments that
//     were entered twice are taken back; one client has two records;
//   - of most orders the minutes were written down: the decorator tires over the
//     summer, a learner who came in February is slow and gets better; things
//     break, split and burn;
//   - goods are bought on Mondays in whole packs for the orders ahead, at the list
//     price or near it: butter dearer in spring, eggs and raspberries in winter;
//     roses for an order alone;
//   - each month has a plan, overhead and an electricity bill. In winter the
//     overhead is not absorbed.
//
// Shares of orders, of payments and of mishaps are common practice, no source.
//
// # Where the figures come from
//
// Densities and trim yields of common foods follow USDA SR28 household weights
// and refuse shares (butter 227 g a US cup, caster sugar as granulated 200 g,
// raspberries 96 % usable, one lemon 48 g of juice); pears follow a bakery
// arithmetic text at 78 %. Recipes, finished densities, minutes and prices are
// common practice in round figures, no source. A studio replaces them with its
// own weighings and invoices.
//
// The methods repeat the usual cautions for hot sugar, uncooked egg and things
// that are not food. They do not replace labels, local rules or training.
package seed
