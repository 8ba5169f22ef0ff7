package record

import "reflect"

// Schema describes struct type t as a JSON Schema of draft 2020-12, by the
// same tags that [Decode] reads it by. leaf gives the schema of a type that is
// a single value, and says whether the type is one.
func Schema(t reflect.Type, leaf func(reflect.Type) (map[string]any, bool)) map[string]any {
	if s, ok := leaf(t); ok {
		return s
	}
	switch t.Kind() {
	case reflect.Pointer:
		return Schema(t.Elem(), leaf)
	case reflect.Slice:
		return map[string]any{"type": "array", "maxItems": maxItems, "items": Schema(t.Elem(), leaf)}
	case reflect.String:
		return map[string]any{"type": "string", "maxLength": maxText}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int:
		return map[string]any{"type": "integer", "minimum": 0, "maximum": maxCount}
	}
	if inner, ok := maybeType(t); ok {
		return Schema(inner, leaf)
	}
	properties, required := map[string]any{}, []string{}
	for _, f := range Fields(t) {
		properties[f.Key] = Schema(f.Type, leaf)
		if !f.Optional {
			required = append(required, f.Key)
		}
	}
	return map[string]any{"type": "object", "additionalProperties": false, "properties": properties, "required": required}
}

// maybeType returns what a Maybe type holds.
func maybeType(t reflect.Type) (reflect.Type, bool) {
	if !reflect.PointerTo(t).Implements(reflect.TypeFor[maybe]()) {
		return nil, false
	}
	f, _ := t.FieldByName("Value")
	return f.Type, true
}
