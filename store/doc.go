// Package store keeps a studio's facts in one SQLite file: its book, and the
// quotes it has issued.
//
// # The file
//
// [Open] makes the file and its folders on first use. The file belongs to the
// studio and opens in any SQLite tool; tables and columns bear the trade's own
// words, and schema.sql is the whole of the schema. A butter price, say:
//
//	sqlite3 studio.db "SELECT from_day, pack, price FROM price_now WHERE resource = 'butter'"
//
// One process or several may use the file at once. Writing goes through one
// connection whose transactions take the write lock when they begin, since two
// that read first and then write would lose one of both. Reading goes through
// others that cannot write, each [Store.Book] in a transaction of its own, so
// that it never sees half an import.
//
// # Exact text
//
// A figure is stored as the text that was typed, "12.50", "10 x 250 g", "1 lb":
// never as a floating number, and never as a converted one. A column that is
// NULL was not stated, which is not the same as stating the default. So a book
// that is exported is the book that was imported, in the order it had. All
// arithmetic happens outside SQL.
//
// # History is only added to
//
// Dated prices (of ingredients, wages, energy, overhead) are never changed and
// never deleted; triggers in the file see to it. They stand in lists, one open
// list for each resource. An import that adds to the end of a list adds to it;
// one that makes the book say something else (only a replacing import can, or a
// change of the overhead method) closes the list and opens another. What counts
// is in the view price_now; what ever counted stays in price, with the import
// that brought it.
//
// # Quotes
//
// A quote takes its number, 2026-0001, in the transaction that stores it, so
// that a year's numbers have no gaps; a draft is called D1 and takes none. A
// revision is kept as one snapshot, frozen by triggers: it reads back the same
// whatever becomes of the book. The views quote_line, quote_tax,
// quote_instalment, quote_bill and quote_rate show what is in the snapshots to
// those who query the file.
//
// # Pictures
//
// A picture, such as the studio's logo, is kept by the SHA-256 of its bytes and is
// never changed or deleted. A quote names the picture it was issued with, so its
// paper comes out the same when the studio has another.
//
// # Migrations
//
// The files of migrations, in the order of their numbers, make the schema; the
// number of the last one applied is the file's user_version, and its
// application_id says that it is ours. Each is applied in a transaction of its
// own. Before an existing file is upgraded, a copy is written beside it. A file
// of a newer version, or of another program, is refused and left as it is. To
// change the schema add a file with the next number; a released one stays as it
// is.
package store
