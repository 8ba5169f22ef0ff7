// Package sheet writes workbooks in Office Open XML (.xlsx): the cost sheet of
// a cake, for the kitchen and for whoever minds the money.
//
// # Live
//
// A workbook holds every price and every quantity once, and all else as
// formulas: change the price of a pack, a wage or the list price, and every
// figure down to the margin follows, in any spreadsheet program. Cells that
// are meant to be changed look different from the rest. Quantities and minutes
// come from the design; a change there belongs into the book.
//
//	pack price ÷ pack ÷ (1 + recovered tax) ──► per unit ─┐
//	recipe × factor, and what goes straight on ► quantity ┴► cost ─┐
//	wage ÷ 60 × (1 + on-cost) ÷ productive × minutes ──────► cost ─┤
//	appliances, energy, overhead ──────────────────────────► cost ─┴► total ► price ► margin
//
// # Two figures in a cell
//
// Beside each formula stands what the engine reckoned for it, exactly and then
// taken to the nearest double, for programs that show a file without
// calculating. Formulas round where the engine rounds and nowhere else: the
// price to the studio's step, or to the minor unit. Before a figure is rounded
// up to a step it is rounded to the sixth decimal, so that a double a hair
// above a multiple stays on it.
//
// # Reports
//
// In the report of a month ([Month]) what happened stands as figures, in rows,
// and what follows from them as formulas: sums, margins, shares, differences, and
// the cover, which takes its figures from the other sheets by name. Money adds up
// to the engine's to the minor unit, however often it is calculated. A share is
// the engine's, of exact figures, until a program divides the figures shown.
//
// # Text
//
// Names are written as text whatever they begin with, and formulas hold none:
// they look resources up by id, which is letters, digits and hyphens.
//
// # Sameness
//
// The same costing gives the same bytes. Files are dated by the day of the
// costing.
package sheet
