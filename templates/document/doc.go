// Package document says what a paper says: headings, labelled lines and figures
// already written out for the reader's locale. It lays nothing out and writes
// no file; the packages pdf, letter and page do that from the same values.
//
// # What never stands here
//
// The types have no field for a cost, a margin, a wage, a supplier or a recipe
// quantity, so no renderer can print one by mistake.
//
// # Wording and locale
//
// All words come from one [Messages] value, one for each language. The locale
// of the studio decides how figures are written: money by the patterns of the
// Unicode CLDR, dates in words, decimals with the mark of the locale.
//
// # Allergens
//
// A book names allergens by plain words. Papers print them under the names and
// in the order of the studio's legal list ([AllergenStatement]); a word that
// the list does not know is printed under "also" and never dropped.
package document
