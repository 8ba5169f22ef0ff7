// Package letter makes the e-mails that go with a quote and what follows it:
// subject, plain text, HTML, attachments, as one file that a mail program opens
// and that can be sent as it is.
//
// # Vocabulary
//
// A [Kind] is the occasion of a letter: quote, revision, receipt, reminder,
// cancellation. Its wording is one text, which the studio may replace by its
// own; [Default] has one for each kind in seven languages. [Facts] are the
// names, dates and sums of one letter, ready to show: this package computes
// and formats none. The [Envelope] says who writes to whom, when.
//
// # The wording
//
// The first line is the subject, the rest the body. Empty lines part
// paragraphs, a line that begins with "- " is a point of a list, a web address
// becomes a link, and what follows a line of "--" is the signature. Line breaks
// stay where they were made. Facts stand in double braces:
//
//	Your cake: quote {{.QuoteName}}
//
//	Dear {{.Client}},
//
//	{{if .Deposit}}
//	We keep the date once {{.Deposit}} has reached us.
//	{{end}}
//
//	{{range .Options}}
//	- {{.Name}}: {{.Total}}
//	{{end}}
//
// A line that holds nothing but an if, else, end or range leaves no line
// behind. The language is that of text/template cut down to facts, if, else,
// range, and, or and not: such a text can neither reach anything but the
// facts nor run for long. [Check] tells what is wrong with one, by line.
//
// Plain text and HTML come from the same text, so that they cannot differ. The
// HTML loads nothing from elsewhere: no pictures, no faces, no tracking.
//
// # The file
//
// The same letter gives the same bytes. Where a mail has something random,
// Message-ID (RFC 5322, 3.6.4) and the boundaries of its parts (RFC 2046,
// 5.1.1), a hash of the content takes its place. Names and subjects beyond
// ASCII follow RFC 2047, names of attachments RFC 2231. Names that would begin
// a header line of their own, and addresses that not every server takes, are
// refused.
package letter
