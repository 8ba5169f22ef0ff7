package web

import (
	"marchpane/pricing/book"
	"marchpane/pricing/names"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// likeNamed asks back where something new would be called what something of its
// kind is called already, and leads there. Two of a name are a slip far more often
// than they are meant: prices go to one and recipes to the other. Case, accents,
// spaces and signs make no other name of it; any word does.
func (k kind[T]) likeNamed(list []T, v T) (record.Faults, page.Link) {
	name := names.Words(k.name(v))
	if name == "" {
		return nil, page.Link{} // signs alone: nothing tells one from another
	}
	for _, there := range list {
		if names.Words(k.name(there)) != name || k.apart != nil && k.apart(there, v) {
			continue
		}
		var faults record.Faults
		faults.Add("name", "%s is there already: open it, or give this one a name of its own", k.name(there))
		return faults, page.Link{Text: "Open " + k.name(there), Href: k.at(k.id(there))}
	}
	return nil, page.Link{}
}

// otherDepth tells tins apart that are called by their outline alone.
func otherDepth(a, b book.Tin) bool {
	return !a.Name.Given && !b.Name.Given && (a.Height.String() != b.Height.String() || a.Holds.String() != b.Holds.String())
}
