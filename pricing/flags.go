package pricing

import "marchpane/pricing/book"

// FlagNote is a flag and the names of what carries it.
type FlagNote struct {
	Flag book.Flag
	In   []string
}

// Flagged lists what carries a flag in all that was taken, in the order of
// [book.Flags]: what is bought, and what is made for it, however deep. Names
// stand in the order of the book, each once.
func Flagged(x *book.Index, taken ...Takeoff) []FlagNote {
	used, made := map[book.ID]bool{}, map[book.ID]bool{}
	for _, t := range taken {
		for _, l := range t.Bill {
			used[l.Resource] = true
		}
		for _, m := range t.Makings {
			made[m.Component.ID] = true
		}
	}
	in := map[book.Flag][]string{}
	for _, ing := range x.Book.Ingredients {
		for _, f := range ing.Flags {
			if used[ing.ID] {
				in[f] = append(in[f], ing.Name)
			}
		}
	}
	for _, c := range x.Book.Components {
		for _, f := range c.Flags {
			if made[c.ID] {
				in[f] = append(in[f], c.Name)
			}
		}
	}
	var list []FlagNote
	for _, f := range book.Flags() {
		if len(in[f]) > 0 {
			list = append(list, FlagNote{f, in[f]})
		}
	}
	return list
}
