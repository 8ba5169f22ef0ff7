package store

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
)

// What callers tell apart.
var (
	ErrEmpty    = errors.New("the store holds no book yet; import a book file, or begin with the demo studio")
	ErrNotFound = errors.New("not in the store")
	ErrConflict = errors.New("the store refuses it")
)

// refusal is an [ErrConflict] in the words of its reason alone.
type refusal struct{ error }

// Is reports whether target is [ErrConflict].
func (refusal) Is(target error) bool { return target == ErrConflict }

// Unwrap returns the reason.
func (r refusal) Unwrap() error { return r.error }

// refused makes a reason an [ErrConflict].
func refused(format string, args ...any) error { return refusal{fmt.Errorf(format, args...)} }

// Result codes of SQLite (sqlite.org/rescode.html).
const (
	codeBusy       = 5
	codeReadOnly   = 8
	codeIOErr      = 10
	codeCorrupt    = 11
	codeFull       = 13
	codeCantOpen   = 14
	codeNotADB     = 26
	codeForeignKey = 787
	codePrimaryKey = 1555
	codeTrigger    = 1811
	codeUnique     = 2067
)

// translate puts an error of the driver into the user's words; others stay.
func translate(err error) error {
	var sqliteErr *sqlite.Error
	if !errors.As(err, &sqliteErr) {
		return err
	}
	switch code := sqliteErr.Code(); code {
	case codeUnique, codePrimaryKey:
		return fmt.Errorf("%w: something of that name is there already (%w)", ErrConflict, err)
	case codeForeignKey:
		return fmt.Errorf("%w: it names what is not there, or removes what is in use (%w)", ErrConflict, err)
	case codeTrigger:
		return fmt.Errorf("%w: %w", ErrConflict, err)
	default:
		if words := plainWords[code&0xff]; words != "" {
			return fmt.Errorf("%s (%w)", words, err)
		}
	}
	return err
}

// plainWords says what a primary result code means and what to do about it.
var plainWords = map[int]string{
	codeBusy:     "another program is writing to the store; try again when it is done",
	codeReadOnly: "the file cannot be written; check its permissions and those of its folder",
	codeIOErr:    "the disk failed to read or write; check the disk before trying again",
	codeCorrupt:  "the file is damaged; put a backup in its place",
	codeFull:     "the disk is full; make room and try again",
	codeCantOpen: "the file cannot be opened; check its permissions and those of its folder",
	codeNotADB:   "is not a store of marchpane; name a store, or a new file",
}
