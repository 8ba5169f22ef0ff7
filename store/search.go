package store

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"marchpane/pricing/enquiry"
)

// mostTerms bounds the words of a search.
const mostTerms = 50

// MostFound is up to how many a search counts what it finds. One that finds more
// reports one more than that: nobody reads so far, and whoever looks for
// something adds a word.
const MostFound = 1000

// fewFound is up to how many rows are gathered by the index of letters. Where
// there may be more, walking the list in its order meets enough of them soon.
const fewFound = 500

// pick begins a query that is put together of words of ours. It is a name so that
// TestStatements, which prepares every statement that it reads in the source,
// does not take a part for the whole; the tests of lists run them.
const pick = `SELECT`

// search is a search in one table of folded texts.
type search struct {
	terms []enquiry.Term
	ids   string // among them is what is found, where it is few
	few   bool
}

// find prepares a search in what an index of letters covers.
func (r *reader) find(index, words string) (s search, err error) {
	s.terms = enquiry.Terms(words)
	if len(s.terms) > mostTerms {
		return s, fmt.Errorf("a search of %d words; give %d at most", len(s.terms), mostTerms)
	}
	// No text of a store holds control characters, and SQLite ends a query at NUL.
	if slices.ContainsFunc(s.terms, func(t enquiry.Term) bool { return strings.ContainsFunc(t.Text, unicode.IsControl) }) {
		s.ids, s.few = idList(nil), true
		return s, r.err
	}
	match := matchOf(s.terms)
	if match == "" {
		return s, r.err
	}
	var id int64
	var ids []int64
	r.each(func() { ids = append(ids, id) }, pick+` rowid FROM `+index+` WHERE `+index+` MATCH ? LIMIT ?`, []any{match, fewFound + 1}, &id)
	s.ids, s.few = idList(ids), len(ids) <= fewFound
	return s, r.err
}

// where completes a condition on a table with a column folded. Arguments are
// added to args.
func (s search) where(id string, args *[]any) string {
	var b strings.Builder
	if s.few {
		fmt.Fprintf(&b, ` AND %s IN %s`, id, s.ids)
	}
	for _, t := range s.terms {
		*args = append(*args, t.Text)
		fmt.Fprintf(&b, ` AND (instr(folded, ?%d) > 0`, len(*args))
		if t.Digits != t.Text {
			*args = append(*args, t.Digits)
			fmt.Fprintf(&b, ` OR instr(folded, ?%d) > 0`, len(*args))
		}
		b.WriteString(`)`)
	}
	return b.String()
}

// matchOf writes what the index of letters is asked for: whatever has the words
// in it is among what it finds. It is "" where all are too short for it.
func matchOf(terms []enquiry.Term) string {
	var all []string
	for _, t := range terms {
		match := runsOf(t.Text)
		if digits := runsOf(t.Digits); t.Digits != t.Text && match != "" {
			if digits == "" {
				continue
			}
			match = `(` + match + `) OR (` + digits + `)`
		}
		if match != "" {
			all = append(all, `(`+match+`)`)
		}
	}
	return strings.Join(all, ` AND `)
}

// runsOf asks for every run of three letters of a word.
func runsOf(word string) string {
	letters := []rune(word)
	var runs []string
	for i := 0; i+3 <= len(letters); i++ {
		runs = append(runs, `"`+strings.ReplaceAll(string(letters[i:i+3]), `"`, `""`)+`"`)
	}
	return strings.Join(runs, ` AND `)
}

// idList writes ids as the right side of an IN. None are written as an id that no
// row has: for an empty list SQLite would look through all of a table.
func idList(ids []int64) string {
	if len(ids) == 0 {
		return `(0)`
	}
	texts := make([]string, len(ids))
	for i, id := range ids {
		texts[i] = strconv.FormatInt(id, 10)
	}
	return `(` + strings.Join(texts, ", ") + `)`
}

// arm is part of a list: rows of one table, by what is in order already.
type arm struct {
	where, by string
}

// listed reads the ids of part of a list, and how many rows it has. Each of
// columns id and by is of the table; every arm is walked in the order of an
// index.
func (r *reader) listed(table, id string, arms []arm, descending bool, more string, s search, args []any, part Span) (ids []int64, n int) {
	hint := ""
	if s.few {
		hint = ` NOT INDEXED` // the rows themselves are named
	}
	way := ` `
	if descending {
		way = ` DESC`
	}
	var picks, counts []string
	for _, a := range arms {
		from := ` FROM ` + table + hint + ` WHERE ` + a.where + more
		picks = append(picks, pick+` `+id+` AS id, `+a.by+` AS at`+from)
		if len(s.terms) > 0 {
			from = ` FROM (` + pick + ` 1` + from + ` LIMIT ` + strconv.Itoa(MostFound+1) + `)`
		}
		counts = append(counts, `(`+pick+` count(*)`+from+`)`)
	}
	r.each(func() {}, pick+` `+strings.Join(counts, ` + `), args, &n)
	from := max(part.From, 0)
	if len(s.terms) > 0 {
		n = min(n, MostFound+1)
		from = min(from, MostFound)
	}
	var at any
	var one int64
	r.each(func() { ids = append(ids, one) }, strings.Join(picks, ` UNION ALL `)+` ORDER BY at`+way+`, id`+way+` LIMIT `+strconv.Itoa(max(part.Most, 0))+` OFFSET `+strconv.Itoa(from), args, &one, &at)
	return ids, n
}
