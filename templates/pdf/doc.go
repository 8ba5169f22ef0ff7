// Package pdf writes papers as PDF files. It alone knows the PDF library.
//
// # Two steps, one document
//
// The page count stands on every page, so pages have to be known before the
// first is drawn. Everything is therefore set first: text is cut into lines
// with the widths of the faces, lines become blocks, blocks are placed on
// pages. Only then does the library start, and draws each page once. Reading a
// face is most of what a PDF costs, and it is read once a document.
//
// # Blocks
//
// A block has a height, may want to stay with the next one, and may belong to a
// table, whose heading is repeated on a new page. A run of blocks that stay
// together moves to the next page as one if it fits there.
//
// # Options
//
// A comparison of options has one page. It is set over and over until it fits:
// its pictures give way first, then its text, down to a size that can be read
// ([quotePaper.fitted]). On the first page it stands only where it is
// comfortable there; otherwise that page lists the options with their totals.
// Each option follows in full, tighter than an only offer, and what is the same
// for all of them is said once, after the last.
//
// # Reports
//
// A cost report has two pages whatever happened ([Month]): the document says how
// many rows there are at most, and rows are set lower until they fit.
//
// # Text
//
// Every string passes through [typesetter.clean] and is split into runs by the
// face that has the character: the face of the style, then the text face, then
// one of wide coverage. A character that none can show, such as an emoji or a
// Chinese one, is replaced by a box, and the caller gets a warning to pass on.
// Nothing is dropped silently but what has no shape: control, direction and
// zero-width characters.
//
// Hebrew and Arabic are set from right to left, also inside a line of Latin
// letters, by the Unicode Bidirectional Algorithm ([levels], [visual]), and
// Arabic letters are joined ([join]). Lines keep to the left edge, as the paper
// does around them.
//
// # Look
//
// A studio's accent replaces the house's own, and hairlines, grounds and the
// mark of a draft become tints of it ([paletteOf]). Its logo stands in place of
// its name at the head of the first page; the name then leads the address below.
//
// # Repeatable
//
// The same paper gives the same bytes: dates come from the paper and the
// objects of the file are sorted.
package pdf
