// Package document says what a paper says: headings, labelled lines and figures
// already written out for the reader's locale. It lays nothing out and writes
// no file; the packages pdf, letter and page do that from the same values.
//
// # What never stands here
//
// The types of papers for clients have no field for a cost, a margin, a wage, a
// supplier or a recipe quantity, so no renderer can print one by mistake.
//
// # Wording and locale
//
// All words come from one [Messages] value, one for each language: English,
// French, German, Spanish, Italian, Portuguese and Dutch, a file each. The
// client's language decides, else the studio's ([LocaleFor]). What the studio
// wrote itself, such as names of cakes and extras and its terms, stands as it
// is. Figures follow the Unicode CLDR: money by its patterns, plural forms by
// its rules, dates and percentages as the catalogue has them, which a test
// compares with another program's.
//
// # Papers
//
// [FromQuote] writes a quote: one offer, or several to choose among with a page
// that compares them, what a revision changes, and what it costs to cancel. A
// quote that no longer stands is marked ([Quote.Marked]). [ReceiptOf] writes
// the receipt of a payment, which is no tax invoice: whether one is due, and
// what it has to show, is for local law and the studio's accountant.
//
// # Allergens
//
// A book names allergens by plain words. Papers print them under the names and
// in the order of the studio's legal list ([AllergenStatement]); a word that
// the list does not know is printed under "also" and never dropped.
package document
