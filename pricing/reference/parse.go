package reference

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// parse reads a table of foods. A food begins with a line of its own and ends
// at an empty one; fields are parted by bars, lists of names by commas:
//
//	= id | category | allergens it is | allergens it often holds | flags
//	en, fr, de  names, the usual one first
//	w  grams amount unit form | source | language | the source's word for the unit
//	e  grams of a piece, its size | source | how the source calls it
//	y  yield in per cent | source | what is lost
//	p  id of a part | its name | grams | source
//	n  a note
//
// The tables are constants of the program: what cannot be read is a mistake in
// them, and a test reads them all.
func parse(text string) []Entry {
	var list []Entry
	for block := range strings.SplitSeq(strings.TrimSpace(text), "\n\n") {
		var e Entry
		for line := range strings.SplitSeq(block, "\n") {
			key, rest, _ := strings.Cut(line, " ")
			f := fields(rest)
			switch key {
			case "=":
				e.head(f)
			case "en":
				e.Names.English = parts(rest, ",")
			case "fr":
				e.Names.French = parts(rest, ",")
			case "de":
				e.Names.German = parts(rest, ",")
			case "w":
				e.Weights = append(e.Weights, weight(f))
			case "e":
				grams, size, _ := strings.Cut(f[0], " ")
				e.Pieces = append(e.Pieces, Piece{Grams: exact.Must(grams), Size: size, Source: source(f[1]), code: f[1]})
			case "y":
				y := Yield{Share: measure.MustPercent(f[0] + " %"), Source: source(f[1]), code: f[1]}
				if len(f) > 2 {
					y.Lost = f[2]
				}
				e.Yields = append(e.Yields, y)
			case "p":
				part := book.EggPart{ID: book.ID(f[0]), Name: f[1], Mass: measure.Must(f[2] + " g")}
				e.Parts = append(e.Parts, Part{part, source(f[3]), f[3]})
			case "n":
				e.Notes = append(e.Notes, rest)
			default:
				panic(fmt.Sprintf("reference table: %q", line))
			}
		}
		list = append(list, e)
	}
	return list
}

func (e *Entry) head(f []string) {
	f = append(f, "", "", "", "")
	e.ID, e.Category = book.ID(f[0]), f[1]
	for _, a := range strings.Fields(f[2]) {
		e.Contains = append(e.Contains, known(book.Allergens(), book.Allergen(a)))
	}
	for _, a := range strings.Fields(f[3]) {
		e.Often = append(e.Often, known(book.Allergens(), book.Allergen(a)))
	}
	for _, flag := range strings.Fields(f[4]) {
		e.Flags = append(e.Flags, known(book.Flags(), book.Flag(flag)))
	}
}

func known[T comparable](all []T, v T) T {
	if !slices.Contains(all, v) {
		panic(fmt.Sprintf("reference table: %v is no word of the book", v))
	}
	return v
}

func weight(f []string) Weight {
	words := strings.Fields(f[0])
	w := Weight{Grams: exact.Must(words[0]), Amount: exact.Must(words[1]), Unit: words[2], Form: strings.Join(words[3:], " "), Source: source(f[1]), code: f[1]}
	if w.Unit == "floz" {
		w.Unit = "us fl oz"
	}
	if len(f) > 2 {
		w.Language = f[2]
	}
	if len(f) > 3 {
		w.word = f[3]
	}
	return w
}

// source writes out what the tables abbreviate.
func source(code string) string {
	switch code {
	case "hb72":
		return "USDA Home and Garden Bulletin 72, Nutritive Value of Foods (public domain), from memory"
	case "oer":
		return "Bakery and Business Math, chapter 25, an open textbook (read; licence not seen, figure only)"
	case "lane":
		return "Lane Community College, Math 25 notes (read; licence not seen, figure only)"
	case "trade":
		return "common practice, no source; see the packet"
	}
	return "USDA SR28, NDB " + code
}

func fields(s string) []string { return parts(s, "|") }

// parts parts a list and trims what is in it; an empty field stays one.
func parts(s, sign string) []string {
	list := strings.Split(s, sign)
	for i := range list {
		list[i] = strings.TrimSpace(list[i])
	}
	return list
}
