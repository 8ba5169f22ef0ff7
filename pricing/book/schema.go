package book

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// Schema returns the JSON Schema (draft 2020-12) of the book file. It is made
// from the types that read the file, so the two agree. What one object says of
// another, such as a use that names nothing, is beyond a schema; see
// [Validate].
func Schema() ([]byte, error) {
	s := record.Schema(reflect.TypeFor[Book](), leaf)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "Book of a cake studio, " + Format
	s["description"] = "Everything a studio prices with. Figures are strings: a quantity is \"250 g\", a percentage \"12.5 %\", money a plain decimal in the book's currency."
	properties(s)["format"] = map[string]any{"const": Format}

	// Every defined type once, referred to by name.
	defs := map[string]any{}
	extract := func(name string, from map[string]any, keys ...string) {
		defs[name] = object(from, keys...)
		replace(from, map[string]any{"$ref": "#/$defs/" + name}, keys...)
	}
	tier := object(s, "cakes", "tiers")
	constrainParts(tier)
	constrainParts(object(s, "cakes"))
	constrainParts(object(s, "extras"))
	constrainShape(tier)
	mould, tin := object(s, "components", "mould"), object(s, "tins")
	constrainShape(mould)
	mould["anyOf"] = []any{map[string]any{"required": []string{"shape", "height"}}, map[string]any{"required": []string{"holds"}}}
	constrainShape(tin)
	tin["required"] = []string{"id", "shape"}
	for _, target := range []map[string]any{object(s, "studio", "target"), object(s, "cakes", "target")} {
		target["oneOf"] = exactlyOne("margin", "markup", "per_portion", "fixed")
	}
	component := object(s, "components")
	component["allOf"] = []any{notBoth("loss", "yield"), notBoth("density", "mould")}
	object(s, "ingredients")["allOf"] = []any{notBoth("parts", "each"), notBoth("parts", "trim_yield")}
	object(s, "cakes")["allOf"] = []any{notBoth("tiers", "portions")}

	extract("studio", s, "studio")
	for name, key := range map[string]string{"role": "roles", "appliance": "equipment", "ingredient": "ingredients", "component": "components", "tin": "tins", "cake": "cakes", "extra": "extras"} {
		extract(name, s, key)
	}
	s["$defs"] = defs

	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(s)
	return out.Bytes(), err
}

// number is a plain decimal as measure.Number reads it.
const number = `[0-9]{1,15}(\.[0-9]{1,18})?`

func leaf(t reflect.Type) (map[string]any, bool) {
	pattern := func(p string) (map[string]any, bool) {
		return map[string]any{"type": "string", "pattern": "^" + p + "$"}, true
	}
	units := strings.Join(measure.Symbols(measure.None), "|")
	switch t {
	case reflect.TypeFor[measure.Quantity]():
		return pattern(number + " (" + units + ")")
	case reflect.TypeFor[measure.Pack]():
		return pattern("([0-9]{1,7} x )?" + number + " (" + units + ")")
	case reflect.TypeFor[measure.Percent]():
		return pattern(number + " %")
	case reflect.TypeFor[measure.Density]():
		return pattern(number + " g/ml")
	case reflect.TypeFor[money.Price]():
		return pattern(number)
	case reflect.TypeFor[money.Currency]():
		return pattern("[A-Z]{3}")
	case reflect.TypeFor[day.Date]():
		return map[string]any{"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}, true
	case reflect.TypeFor[ID]():
		s, ok := pattern("[a-z0-9]+(-[a-z0-9]+)*")
		s["maxLength"] = maxID
		return s, ok
	case reflect.TypeFor[measure.Dimension]():
		return choice(measure.Mass, measure.Volume, measure.Count, measure.Length, measure.Area)
	case reflect.TypeFor[measure.Household]():
		return choice(measure.Metric, measure.US)
	case reflect.TypeFor[shape.Kind]():
		return choice(shape.Kinds()...)
	case reflect.TypeFor[Driver]():
		return choice(allDrivers...)
	case reflect.TypeFor[Shown]():
		return choice(Gross, Net)
	case reflect.TypeFor[TaxBy]():
		return choice(ByDocument, ByLine)
	case reflect.TypeFor[OverheadMethod]():
		return choice(ByLabourHour, ByPercent, ByCake)
	case reflect.TypeFor[IngredientKind]():
		return choice(Edible, Packaging)
	case reflect.TypeFor[Flag]():
		return choice(Flags()...)
	case reflect.TypeFor[Cut]():
		return choice(Finger, Wedge)
	case reflect.TypeFor[AllergenList]():
		return choice(AllergenLists()...)
	case reflect.TypeFor[Accent]():
		return pattern("#[0-9a-fA-F]{6}")
	case reflect.TypeFor[Paper]():
		return choice(A4, Letter)
	case reflect.TypeFor[Picture]():
		s, ok := pattern("data:[^,]*,[^\n]*")
		s["maxLength"] = Picture{}.MaxText()
		return s, ok
	case reflect.TypeFor[Allergen]():
		return choice(Allergens()...)
	}
	return nil, false
}

// choice is the schema of one word out of a list.
func choice[T any](list ...T) (map[string]any, bool) {
	words := make([]any, len(list))
	for i, w := range list {
		text, err := json.Marshal(w)
		if err == nil {
			err = json.Unmarshal(text, &words[i])
		}
		if err != nil {
			panic("book: a word of the schema cannot be written: " + err.Error())
		}
	}
	return map[string]any{"type": "string", "enum": words}, true
}

func properties(s map[string]any) map[string]any { return s["properties"].(map[string]any) }

// object follows keys down from s, through the items of lists.
func object(s map[string]any, keys ...string) map[string]any {
	for _, key := range keys {
		s = properties(s)[key].(map[string]any)
		if items, ok := s["items"].(map[string]any); ok {
			s = items
		}
	}
	return s
}

// replace puts with where object finds keys.
func replace(s, with map[string]any, keys ...string) {
	parent := object(s, keys[:len(keys)-1]...)
	last := keys[len(keys)-1]
	if list, ok := properties(parent)[last].(map[string]any); ok && list["type"] == "array" {
		list["items"] = with
		return
	}
	properties(parent)[last] = with
}

func exactlyOne(keys ...string) []any {
	list := make([]any, len(keys))
	for i, k := range keys {
		list[i] = map[string]any{"required": []string{k}}
	}
	return list
}

func notBoth(a, b string) map[string]any {
	return map[string]any{"not": map[string]any{"required": []string{a, b}}}
}

// constrainParts says in which ways a part may be stated.
func constrainParts(s map[string]any) {
	part := object(s, "parts")
	part["oneOf"] = exactlyOne("qty", "layers", "coat", "sheet")
	part["dependentRequired"] = map[string]any{
		"per": []string{"qty"}, "thick": []string{"layers"}, "layers": []string{"thick"}, "on": []string{"coat"},
		"overhang": []string{"sheet"}, "sheet": []string{"overhang"}, "reuse": []string{"sheet"},
	}
}

// constrainShape says which sizes each shape needs.
func constrainShape(s map[string]any) {
	var rules []any
	for _, k := range shape.Kinds() {
		then := map[string]any{"required": k.Sizes()}
		rules = append(rules, map[string]any{
			"if":   map[string]any{"properties": map[string]any{"shape": map[string]any{"const": string(k)}}, "required": []string{"shape"}},
			"then": then,
		})
	}
	s["allOf"] = rules
}
