package book

import (
	"fmt"
	"slices"
	"strings"
)

// ID names an ingredient, part, component, role, appliance, cake or extra:
// lower-case words joined by hyphens.
type ID string

// The resources that every book has; no object may take their names.
const (
	EnergyID   ID = "energy"
	OverheadID ID = "overhead"
)

const maxID = 80

// UnmarshalText reads an id and refuses any other form.
func (id *ID) UnmarshalText(text []byte) error {
	s := string(text)
	for word := range strings.SplitSeq(s, "-") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return fmt.Errorf("id %.40q must be lower-case words joined by hyphens, such as plain-flour", s)
		}
	}
	if len(s) > maxID {
		return fmt.Errorf("id %.40q… is longer than %d letters", s, maxID)
	}
	*id = ID(s)
	return nil
}

// word is a value out of a short list.
func parseWord[T ~string](what string, text []byte, words []T) (T, error) {
	if slices.Contains(words, T(text)) {
		return T(text), nil
	}
	return "", fmt.Errorf("%s %.40q is unknown; use one of %s", what, text, joinWords(words))
}

func joinWords[T ~string](words []T) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return strings.Join(list, ", ")
}

// Driver is a countable fact that an amount or a time grows with.
type Driver string

// The drivers of cakes and tiers, of components, and of extras.
const (
	PerCake    Driver = "cake"
	PerTier    Driver = "tier"
	PerPortion Driver = "portion"
	PerTop     Driver = "top"     // A, cm2
	PerSide    Driver = "side"    // P·H, cm2
	PerSurface Driver = "surface" // A + P·H, cm2
	PerEdge    Driver = "edge"    // P, cm
	PerVolume  Driver = "volume"  // A·H, cm3
	PerBatch   Driver = "batch"
	PerKg      Driver = "kg"   // kilograms made
	PerEach    Driver = "each" // pieces made
	PerOrder   Driver = "order"
	PerKm      Driver = "km"
)

// The drivers that each kind of object knows.
var (
	TierDrivers      = []Driver{PerTier, PerPortion, PerTop, PerSide, PerSurface, PerEdge, PerVolume}
	CakeDrivers      = append([]Driver{PerCake}, TierDrivers...)
	ComponentDrivers = []Driver{PerBatch, PerKg, PerEach}
	ExtraDrivers     = []Driver{PerOrder, PerKm}
	allDrivers       = slices.Concat(CakeDrivers, ComponentDrivers, ExtraDrivers)
)

// UnmarshalText reads a driver's name.
func (d *Driver) UnmarshalText(text []byte) (err error) {
	*d, err = parseWord("driver", text, allDrivers)
	return err
}

// Unit returns the unit in which the driver counts, "" for plain counts.
func (d Driver) Unit() string {
	switch d {
	case PerTop, PerSide, PerSurface:
		return "cm2"
	case PerEdge:
		return "cm"
	case PerVolume:
		return "cm3"
	case PerKg:
		return "kg"
	case PerKm:
		return "km"
	}
	return ""
}

// Shown is how prices are shown to clients.
type Shown string

// Gross prices hold the tax, net prices do not.
const (
	Gross Shown = "gross"
	Net   Shown = "net"
)

// UnmarshalText reads "gross" or "net".
func (s *Shown) UnmarshalText(text []byte) (err error) {
	*s, err = parseWord("prices_shown", text, []Shown{Gross, Net})
	return err
}

// TaxBy is what tax is rounded on: the whole document or each line.
type TaxBy string

// The two ways to round tax.
const (
	ByDocument TaxBy = "document"
	ByLine     TaxBy = "line"
)

// UnmarshalText reads "document" or "line".
func (b *TaxBy) UnmarshalText(text []byte) (err error) {
	*b, err = parseWord("tax by", text, []TaxBy{ByDocument, ByLine})
	return err
}

// OverheadMethod is how the month's overhead reaches a cake.
type OverheadMethod string

// The methods: by the hour worked, as a share of the other costs, or flat.
const (
	ByLabourHour OverheadMethod = "labour hour"
	ByPercent    OverheadMethod = "percent"
	ByCake       OverheadMethod = "cake"
)

// UnmarshalText reads a method's name.
func (m *OverheadMethod) UnmarshalText(text []byte) (err error) {
	*m, err = parseWord("overhead method", text, []OverheadMethod{ByLabourHour, ByPercent, ByCake})
	return err
}

// IngredientKind tells what is eaten from what is wrapped.
type IngredientKind string

// The kinds of ingredient.
const (
	Edible    IngredientKind = "ingredient"
	Packaging IngredientKind = "packaging"
)

// UnmarshalText reads "ingredient" or "packaging".
func (k *IngredientKind) UnmarshalText(text []byte) (err error) {
	*k, err = parseWord("kind", text, []IngredientKind{Edible, Packaging})
	return err
}

// Flag marks what a client has to be told.
type Flag string

// The flags.
const (
	Alcohol     Flag = "alcohol"
	RawEgg      Flag = "raw-egg"
	Gelatine    Flag = "gelatine"
	Inedible    Flag = "inedible"
	FreshFlower Flag = "fresh-flower"
)

// Flags lists every flag.
func Flags() []Flag { return []Flag{Alcohol, RawEgg, Gelatine, Inedible, FreshFlower} }

// UnmarshalText reads a flag.
func (f *Flag) UnmarshalText(text []byte) (err error) {
	*f, err = parseWord("flag", text, Flags())
	return err
}

// Cut is how portions are cut.
type Cut string

// The cuts: fingers of a width and depth, or a number of wedges.
const (
	Finger Cut = "finger"
	Wedge  Cut = "wedge"
)

// UnmarshalText reads "finger" or "wedge".
func (c *Cut) UnmarshalText(text []byte) (err error) {
	*c, err = parseWord("cut", text, []Cut{Finger, Wedge})
	return err
}

// AllergenList names the legal list whose names and order papers use.
type AllergenList string

// AllergenLists lists the lists: European Union, United Kingdom, United
// States, Canada, Australia and New Zealand.
func AllergenLists() []AllergenList { return []AllergenList{"eu", "uk", "us", "ca", "anz"} }

// UnmarshalText reads a list's name.
func (l *AllergenList) UnmarshalText(text []byte) (err error) {
	*l, err = parseWord("allergen_list", text, AllergenLists())
	return err
}

// Allergen is a food that can harm, by the word the book uses.
type Allergen string

// Allergens lists every allergen word, cereals first as the EU has them.
func Allergens() []Allergen {
	return []Allergen{
		"wheat", "spelt", "khorasan", "rye", "barley", "oats", "crustaceans", "egg", "fish", "peanut", "soy", "milk",
		"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil-nut", "pistachio", "macadamia", "pine-nut",
		"celery", "mustard", "sesame", "sulphites", "lupin", "molluscs",
	}
}

// UnmarshalText reads an allergen word.
func (a *Allergen) UnmarshalText(text []byte) (err error) {
	*a, err = parseWord("allergen", text, Allergens())
	return err
}
