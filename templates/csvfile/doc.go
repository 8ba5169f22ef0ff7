// Package csvfile writes tables as comma-separated values, for spreadsheets,
// suppliers' order forms and scripts.
//
// # Form
//
// Files follow RFC 4180: one row of headings, a comma between cells, CRLF at
// the end of every row, quotes round a cell that holds a comma, a quote or a
// line break, and quotes doubled inside. Text is UTF-8 without a mark at its
// beginning. Figures are plain decimals with a point and no thousands mark or
// unit, whatever the studio's locale; dates are of ISO 8601.
//
// # Formulas
//
// A spreadsheet program takes a cell for a formula that begins with one of
// = + - @, also behind blanks, a tab or a line break, and also in the full-width
// forms of East Asian scripts. Names come from many hands; a cell of text that
// begins so gets an apostrophe before it. Cells of figures are written by the
// program alone and stay as they are.
package csvfile
