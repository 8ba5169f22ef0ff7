package reference_test

import (
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
)

// What the book states goes before every table, and what was taken is told.
func TestFill(t *testing.T) {
	strawberries := reference.Find("strawberries")[0].Entry
	own := book.Ingredient{ID: "berries", Name: "Our berries", Measure: measure.Mass, TrimYield: record.Some(measure.MustPercent("90 %"))}
	got, taken := reference.Fill(own, strawberries, true)
	if got.TrimYield.Value.String() != "90 %" || got.Density.String() != "0.6087 g/ml" || got.Each.String() != "12.8 g" || got.Allergens != nil || len(taken) != 3 {
		t.Errorf("Fill = %+v, %v", got, taken)
	}
	if again, taken := reference.Fill(got, strawberries, true); len(taken) != 0 || again.Density.String() != got.Density.String() {
		t.Errorf("Fill of what is full takes %v", taken)
	}

	chocolate := reference.Find("milk chocolate")[0].Entry
	if got, _ := reference.Fill(book.Ingredient{ID: "x", Measure: measure.Mass}, chocolate, false); got.Allergens != nil {
		t.Errorf("allergens that are not asked for: %v", got.Allergens)
	}
	if got, _ := reference.Fill(book.Ingredient{ID: "x", Measure: measure.Mass}, chocolate, true); len(got.Allergens.Contains) != 1 || got.Allergens.Contains[0] != "milk" || len(got.Allergens.MayContain) != 1 || got.Allergens.MayContain[0] != "soy" {
		t.Errorf("allergens of milk chocolate are %+v, want milk, and soy among the traces", got.Allergens)
	}

	// An egg has parts of its own or a mass of its own, not both.
	egg := reference.Find("egg")[0].Entry
	if got, _ := reference.Fill(book.Ingredient{ID: "duck-egg", Measure: measure.Count}, egg, true); len(got.Parts) != 2 || got.Parts[0].ID != "duck-egg-yolk" || got.Each.Given() || got.TrimYield.Given {
		t.Errorf("a duck egg is %+v", got)
	}
	if got, _ := reference.Fill(book.Ingredient{ID: "x", Measure: measure.Count, Each: measure.Must("60 g")}, egg, true); len(got.Parts) != 0 || got.Each.String() != "60 g" {
		t.Errorf("an egg of 60 g is %+v", got)
	}
}
