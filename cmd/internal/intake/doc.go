// Package intake reads suppliers' price lists from files into rows of cells, and
// recipes into their lines.
//
// # What it reads
//
//   - Text: fields parted by comma, semicolon, tab or bar, which is found out;
//     quoted fields with line breaks and doubled quotes; any mix of line ends;
//     UTF-8, UTF-16 or, where the bytes are neither, Windows-1252.
//   - Workbooks (.xlsx): the values that formulas had when the file was saved,
//     dates as days, percentages as such, numbers with the "€" or "kg" that
//     their style shows beside them. Numbers stay apart from text, since
//     "1.234" as text means two things and the number 1.234 does not.
//
// Which row is the heading and what the columns mean is for package pricelist
// to say. Of several sheets the one with a heading is taken; where several have
// one the user must name it. Hidden sheets are read only by name.
//
// # Recipes
//
// [Recipes] reads schema.org's Recipe as JSON-LD, alone or in the scripts of a
// saved page, and plain text. What the lines mean is for package recipe to say.
//
// # Files that mean harm
//
// No list is read whole. Every part is streamed, against limits on bytes, rows,
// columns, cells and the length of a single cell, so that a zip bomb, a line of
// 100 MB or a sheet of a million columns is refused while memory stays small.
// An old .xls, a PDF, a web page or an encrypted workbook is refused with what
// to do instead. Formulas are never run. A recipe's file is read whole, against a
// limit of its own, and of a page no tree is built.
package intake
