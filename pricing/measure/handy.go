package measure

import "marchpane/pricing/exact"

// Handy returns an amount of base units in the unit that people say of so much:
// 1250 g is 1.25 kg, 1350 mm are 1.35 m. What is less than one of the larger
// unit stays as it is. How a figure is rounded is for whoever writes it.
func Handy(n exact.Number, unit string) (exact.Number, string) {
	of, larger := exact.Int(1000), ""
	switch unit {
	case "g":
		larger = "kg"
	case "ml":
		larger = "l"
	case "mm":
		larger = "m"
	case "cm2":
		of, larger = exact.Int(10_000), "m2"
	}
	if larger == "" || n.Cmp(of) < 0 {
		return n, unit
	}
	return n.Quo(of), larger
}
