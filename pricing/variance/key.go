package variance

import (
	"fmt"
	"slices"

	"marchpane/pricing"
)

// Key names a step of a bridge. Keys order as bridges list them.
type Key int

// The steps from a planned margin to the real one.
const (
	SalesQuantity      Key = iota // more or fewer cakes than the month's plan, at its average margin
	SalesMix                      // cakes planned to earn more or less than that average
	SalesPrice                    // price before discount
	SalesDiscount                 // discount granted against the planned one
	MaterialPrice                 // of ingredients and packaging, on what was used
	MaterialUsage                 // likewise, at standard prices
	MaterialWaste                 // thrown away, at standard prices
	LabourRate                    // on the minutes paid
	LabourEfficiency              // minutes worked, at standard rates
	LabourIdle                    // minutes paid and not worked, at standard rates
	VariableSpending              // price of energy and wear
	VariableEfficiency            // kWh and minutes of appliances, at standard prices
	OverheadSpending              // fixed overhead paid against its budget
	OverheadVolume                // fixed overhead absorbed against its budget
	OverheadAbsorption            // absorbed against paid, where no budget tells the two apart
	keys
)

var keyNames = [keys]string{
	"sales-quantity", "sales-mix", "sales-price", "sales-discount",
	"material-price", "material-usage", "material-waste",
	"labour-rate", "labour-efficiency", "labour-idle",
	"variable-overhead-spending", "variable-overhead-efficiency",
	"overhead-spending", "overhead-volume", "overhead-absorption",
}

// String returns the name that machine output has.
func (k Key) String() string {
	if k < 0 || k >= keys {
		return fmt.Sprintf("variance.Key(%d)", int(k))
	}
	return keyNames[k]
}

// MarshalText writes the name.
func (k Key) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (k *Key) UnmarshalText(text []byte) error {
	i := slices.Index(keyNames[:], string(text))
	if i < 0 {
		return fmt.Errorf("%.40q is no step of a margin bridge", text)
	}
	*k = Key(i)
	return nil
}

// Keys returns the steps that the variances of a kind of resource stand under.
// Only goods can be wasted and only labour can be idle; for energy and wear,
// lost is the step of usage again. Fixed overhead has no variance in an order:
// ok is false.
func Keys(kind pricing.Kind) (price, usage, lost Key, ok bool) {
	switch kind {
	case pricing.Ingredient, pricing.Packaging:
		return MaterialPrice, MaterialUsage, MaterialWaste, true
	case pricing.Role:
		return LabourRate, LabourEfficiency, LabourIdle, true
	case pricing.Energy, pricing.Equipment:
		return VariableSpending, VariableEfficiency, VariableEfficiency, true
	}
	return 0, 0, 0, false
}

// Effect is what a variance does to the margin.
type Effect string

// The effects. A step of 0 has none.
const (
	Favourable Effect = "favourable"
	Adverse    Effect = "adverse"
	None       Effect = "none"
)

// effectOf returns the effect of an amount by its sign: what raises the margin
// is favourable.
func effectOf(sign int) Effect {
	switch {
	case sign > 0:
		return Favourable
	case sign < 0:
		return Adverse
	}
	return None
}
