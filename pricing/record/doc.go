// Package record reads JSON files that people write by hand, and says all that
// is wrong with one in a single report.
//
// [Decode] fills a struct from JSON by the struct's own json tags. A field
// tagged omitzero or omitempty is optional, any other is required. A key that
// the struct does not know, a missing one, one that stands twice, a value of
// the wrong type or one that its type cannot read each become a [Fault] with
// the path of the value, such as components[2].lines[0].qty. Decoding goes on
// after a fault, so that the writer can mend the whole file at once.
//
// Figures are strings ("250 g", "12.5 %"), counts are JSON integers and flags
// are booleans; a float never comes into being. Values read themselves through
// encoding.TextUnmarshaler.
//
// Limits keep a hostile file harmless: nesting, size, length of texts.
package record
