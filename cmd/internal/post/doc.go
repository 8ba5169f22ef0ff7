// Package post sends a letter that is ready through the studio's mail server.
//
// What goes out is the file that the studio keeps, octet for octet, save that
// a line end is added where the last is missing and the mark of a draft is
// taken off. Sender and receivers are those in its header.
//
// Nothing of a letter or of a password goes into an error or a log. An error
// begins with the server's name and says which step was refused and what to do
// about it. Whether a letter went out is not always known: where the line
// breaks after the whole text was handed over, [ErrUnsure] says so.
package post
