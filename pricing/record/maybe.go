package record

import "encoding/json"

// Maybe is a value that a file may leave out. It keeps the difference between
// "not stated" and "stated as the default", so that a file written back is the
// file that was read. The zero Maybe is not stated.
type Maybe[T any] struct {
	Value T
	Given bool
}

// Some returns v as a stated value.
func Some[T any](v T) Maybe[T] { return Maybe[T]{v, true} }

// Or returns the value, or otherwise where none was stated.
func (m Maybe[T]) Or(otherwise T) T {
	if m.Given {
		return m.Value
	}
	return otherwise
}

// IsZero reports whether nothing was stated; encoding/json asks it.
func (m Maybe[T]) IsZero() bool { return !m.Given }

// MarshalJSON writes the value.
func (m Maybe[T]) MarshalJSON() ([]byte, error) { return json.Marshal(m.Value) }

// UnmarshalJSON reads what MarshalJSON wrote.
func (m *Maybe[T]) UnmarshalJSON(text []byte) error {
	m.Given = true
	return json.Unmarshal(text, &m.Value)
}

// slot marks m as stated and returns where its value goes.
func (m *Maybe[T]) slot() any {
	m.Given = true
	return &m.Value
}

// maybe is any *Maybe.
type maybe interface{ slot() any }
