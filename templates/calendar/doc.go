// Package calendar writes calendar files (iCalendar, RFC 5545): the day of an
// event, a tasting, the days on which money is due, the tasks of a production
// plan.
//
// # Vocabulary
//
// A [Calendar] holds [Entry] values, each written as a VEVENT. An entry is a
// whole day, or several, or has a start and an end in hours. Its UID stays the
// same for as long as it means the same thing, so that a program that reads a
// later file moves the entry instead of adding a second one; [UID] makes one
// from names that do not change. Sequence counts the changes: the same UID
// with a higher number replaces the entry, and with Cancelled takes it away.
//
// # Times
//
// Whole days carry no zone: 12 June is 12 June wherever the reader is (VALUE=DATE,
// RFC 5545, 3.3.4). Their DTEND is the day after the last (3.6.1). Hours come
// as a [time.Time] with its place and are written in UTC (3.3.5, form 2), which
// every program shows in its reader's own zone and which needs no table of the
// zone's rules in the file. Entries do not repeat, so nothing depends on rules
// that may change later.
//
// # Scheduling
//
// With an organizer the file says METHOD:PUBLISH, or METHOD:CANCEL where every
// entry is cancelled: both need an organizer (RFC 5546, 3.2.1 and 3.2.5).
// Without one it is a plain calendar without a method (RFC 5545, 3.7.2), in
// which cancelled entries have STATUS:CANCELLED. See [Calendar.MediaType].
//
// The writer is our own: the grammar needed is small, the same entries must
// give the same bytes, and a UID, a stamp or a text that no reader could take
// must be refused rather than written.
package calendar
