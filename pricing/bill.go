package pricing

import (
	"cmp"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Kind is the kind of a resource. Kinds order as bills list them.
type Kind int

// The kinds of resource.
const (
	Ingredient Kind = iota // base unit of the ingredient, as purchased
	Packaging              // likewise
	Role                   // hands-on minutes
	Energy                 // kWh
	Equipment              // minutes
	Overhead               // labour hours, or 1 a cake
)

var kindNames = [...]string{"ingredient", "packaging", "role", "energy", "equipment", "overhead"}

// String returns the kind's name as the machine output has it.
func (k Kind) String() string {
	return kindNames[k]
}

// BillLine is the quantity of one resource.
type BillLine struct {
	Resource book.ID
	Kind     Kind
	Quantity exact.Number
	Unit     string
}

// Bill is what a cake takes of every resource, independent of any price:
// ordered by kind, then by resource, without zero quantities.
type Bill []BillLine

// Line returns the line of a resource.
func (b Bill) Line(id book.ID) (BillLine, bool) {
	for _, l := range b {
		if l.Resource == id {
			return l, true
		}
	}
	return BillLine{}, false
}

// Minutes returns the labour minutes of all roles.
func (b Bill) Minutes() exact.Number {
	var sum exact.Number
	for _, l := range b {
		if l.Kind == Role {
			sum = sum.Add(l.Quantity)
		}
	}
	return sum
}

// billOf sums uses by resource.
func billOf(uses []Use) Bill {
	at := make(map[book.ID]int, 32)
	var bill Bill
	for _, u := range uses {
		i, there := at[u.Resource]
		if !there {
			i = len(bill)
			at[u.Resource] = i
			bill = append(bill, BillLine{Resource: u.Resource, Kind: u.Kind, Unit: u.Unit})
		}
		bill[i].Quantity = bill[i].Quantity.Add(u.Quantity)
	}
	bill = slices.DeleteFunc(bill, func(l BillLine) bool { return l.Quantity.IsZero() })
	slices.SortFunc(bill, func(a, b BillLine) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource))
	})
	return bill
}
