// Package pricelist says what a supplier's price list would do to a book.
//
// # The idea
//
// A list comes as rows of cells. [NewPlan] finds its heading and columns,
// reads each row and gives its fate: a new price, unchanged, an unknown item
// with the ingredients it may be, unreadable with the cell and the reason,
// suspicious, a duplicate, or passed over. The new prices are dated entries to
// add to the book; nothing that stands is altered. Once they stand, the same
// list says only "unchanged".
//
// # Nothing is guessed in silence
//
// A figure such as 1.234 is 1234 to one supplier and 1.234 to another. It is
// read only where the [Mapping] or the clear figures of the same column tell
// which, and then a remark says how. Where they contradict one another the row
// is unreadable. The same holds for 5/10/2026, for pints, and for packs without
// a unit. Whether prices hold tax must be said by the heading or the mapping.
//
// An item is an ingredient where a saved [Alias] says so, or where it has the
// ingredient's id or its name but for case, accents and signs. Anything less is
// only suggested, with a likeness by letters exchanged (Levenshtein, 1965).
//
// # What is suspicious
//
// With prices per base unit of the ingredient, as the book costs them,
//
//	change = new ÷ old − 1
//
// where old is that supplier's price in force on the day, else anyone's. A
// change beyond the set percentage either way, a price of 0, or a pack of
// another dimension than the ingredient's is held back. The first two a user
// may accept by the row's number; the last cannot be costed.
//
// # Words
//
// Headings, units and containers are known in English, French, German,
// Spanish, Italian, Dutch and Portuguese, by common practice.
package pricelist
