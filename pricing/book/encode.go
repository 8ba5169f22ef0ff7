package book

import (
	"bytes"
	"encoding/json"
)

// Encode writes b as a book file, which [Parse] reads back as the same book.
func Encode(b Book) ([]byte, error) {
	compact, err := marshal(withLists(b))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, compact, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// withLists gives every list that the format requires an empty one where there
// is none, since null is no list.
func withLists(b Book) Book {
	b.Roles = mapped(b.Roles, func(r Role) Role { r.Wage = orEmpty(r.Wage); return r })
	b.Ingredients = mapped(b.Ingredients, func(i Ingredient) Ingredient { i.Prices = orEmpty(i.Prices); return i })
	b.Components = mapped(b.Components, func(c Component) Component { c.Lines = orEmpty(c.Lines); return c })
	if b.Overhead != nil {
		o := *b.Overhead
		o.Dated = orEmpty(o.Dated)
		b.Overhead = &o
	}
	return b
}

func mapped[T any](list []T, f func(T) T) []T {
	out := make([]T, len(list))
	for i, v := range list {
		out[i] = f(v)
	}
	return out
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
