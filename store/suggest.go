package store

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/names"
)

// unknown says that there is nothing of a kind called name, and which of the
// names that query lists come closest.
func (r *reader) unknown(kind, name, query string) error {
	var known []string
	var other string
	r.each(func() { known = append(known, other) }, query, nil, &other)
	if r.err != nil {
		return r.err
	}
	hint := ""
	if near := closest(name, known, 3); len(near) > 0 {
		hint = "; did you mean " + strings.Join(near, ", ") + "?"
	}
	return fmt.Errorf("%s %.90q is %w%s", kind, name, ErrNotFound, hint)
}

// closest returns at most n of known that are close to name, nearest first:
// those that share a word with it, or a third of whose letters at most differ.
func closest(name string, known []string, n int) []string {
	const longest = 80 // of any id, as the book has it
	if len(name) > longest {
		return nil
	}
	type candidate struct {
		name     string
		distance int
	}
	var near []candidate
	words := strings.Split(name, "-")
	for _, other := range known {
		d := names.Distance(name, other)
		shares := slices.ContainsFunc(strings.Split(other, "-"), func(w string) bool { return slices.Contains(words, w) })
		if shares || 3*d <= max(len(name), len(other)) {
			near = append(near, candidate{other, d})
		}
	}
	slices.SortStableFunc(near, func(a, b candidate) int { return cmp.Compare(a.distance, b.distance) })
	var list []string
	for _, c := range near[:min(n, len(near))] {
		list = append(list, c.name)
	}
	return list
}
