package month

import (
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// Figure is an exact number and how many decimals a document prints of it,
// rounded half away from zero. In JSON it is a decimal in a string.
type Figure struct {
	exact.Number
	Places int32
}

// decimals of figures that are not money.
const (
	sharePlaces    = 6 // shares, margins and changes, as fractions
	quantityPlaces = 6
	pricePlaces    = 6
	hourPlaces     = 2
)

// String prints f with its decimals.
func (f Figure) String() string { return f.Fixed(f.Places) }

// MarshalText writes f as [Figure.String] does.
func (f Figure) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (f *Figure) UnmarshalText(text []byte) error {
	if err := f.Number.UnmarshalText(text); err != nil {
		return err
	}
	_, decimals, _ := strings.Cut(string(text), ".")
	f.Places = int32(len(decimals))
	return nil
}

// addUp rounds values to the minor unit so that they add up to their rounded
// sum, which it returns too.
func addUp(cur money.Currency, values ...exact.Number) ([]money.Amount, money.Amount) {
	total := cur.Round(exact.Sum(values...))
	return money.Apportion(total, values), total
}

// hoursUp rounds minutes to hundredths of an hour so that they add up.
func hoursUp(minutes []exact.Number) (shown []Figure, total Figure) {
	hours := make([]exact.Number, len(minutes))
	for i, m := range minutes {
		hours[i] = m.Quo(exact.Int(60))
	}
	var sum money.Amount
	// An amount of any text with two decimals: hours are shared like cents.
	if err := sum.UnmarshalText([]byte(exact.Sum(hours...).Fixed(hourPlaces))); err != nil {
		panic("month: a decimal does not read back: " + err.Error())
	}
	for _, h := range money.Apportion(sum, hours) {
		shown = append(shown, Figure{h.Number(), hourPlaces})
	}
	return shown, Figure{sum.Number(), hourPlaces}
}

// share returns part ÷ whole, absent where there is no whole.
func share(part, whole exact.Number) record.Maybe[Figure] {
	if whole.IsZero() {
		return record.Maybe[Figure]{}
	}
	return record.Some(Figure{part.Quo(whole), sharePlaces})
}

// changeOf returns by which share of it an earlier figure has grown.
func changeOf(now, before exact.Number) record.Maybe[Figure] {
	return share(now.Sub(before), before)
}

// shown returns the unit that a report shows a quantity of a bill in, and how
// much of the bill's unit it holds.
func shown(unit string) (name string, holds exact.Number) {
	switch unit {
	case "g":
		return "kg", exact.Int(1000)
	case "ml":
		return "l", exact.Int(1000)
	case "mm":
		return "m", exact.Int(1000)
	case "cm2":
		return "m2", exact.Int(10_000)
	case "min":
		return "h", exact.Int(60)
	}
	return unit, exact.Int(1)
}
