package record

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Bounds of single values.
const (
	maxText  = 20_000
	maxItems = 200_000
	maxCount = 1_000_000
)

// Missing is what is wrong with a key that has to be there and is not.
const Missing = "is missing; add it"

// Decode fills the struct that into points to from JSON data. It returns
// every fault it finds; into is complete only where there are none.
func Decode(data []byte, into any) Faults {
	var faults Faults
	root, ok := parse(data, &faults)
	if !ok {
		return faults
	}
	d := decoder{&faults}
	d.fill("", root, reflect.ValueOf(into).Elem())
	return faults
}

// long is a value that may be written longer than other texts, such as a
// picture.
type long interface{ MaxText() int }

type decoder struct{ faults *Faults }

func (d decoder) fill(path string, n node, v reflect.Value) {
	target := v.Addr().Interface()
	if m, ok := target.(maybe); ok {
		d.fill(path, n, reflect.ValueOf(m.slot()).Elem())
		return
	}
	if t, ok := target.(encoding.TextUnmarshaler); ok {
		limit := maxText
		if l, ok := target.(long); ok {
			limit = l.MaxText()
		}
		if s, ok := d.text(path, n, limit); ok {
			if err := t.UnmarshalText([]byte(s)); err != nil {
				d.faults.Add(path, "%s", err)
			}
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		d.fill(path, n, v.Elem())
	case reflect.Struct:
		d.object(path, n, v)
	case reflect.Slice:
		d.list(path, n, v)
	case reflect.String:
		if s, ok := d.text(path, n, maxText); ok {
			v.SetString(s)
		}
	case reflect.Int:
		if i, ok := d.count(path, n); ok {
			v.SetInt(int64(i))
		}
	case reflect.Bool:
		if b, ok := n.value.(bool); ok {
			v.SetBool(b)
		} else {
			d.wrongKind(path, n, "true or false")
		}
	default:
		panic(fmt.Sprintf("record: no rule to read a %s", v.Type()))
	}
}

func (d decoder) wrongKind(path string, n node, want string) {
	d.faults.Add(path, "must be %s, not %s", want, article(n.kind()))
}

func article(kind string) string {
	switch kind {
	case "object":
		return "an object"
	case "list", "number":
		return "a " + kind
	}
	return kind
}

// text returns a string in Unicode normal form C, without control characters
// other than line breaks.
func (d decoder) text(path string, n node, limit int) (string, bool) {
	s, ok := n.value.(string)
	if !ok {
		want := "text in quotes"
		if n.kind() == "number" {
			want = "text in quotes, as all figures are"
		}
		d.wrongKind(path, n, want)
		return "", false
	}
	if len(s) > limit {
		d.faults.Add(path, "is longer than %d characters", limit)
		return "", false
	}
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }) {
		d.faults.Add(path, "holds a control character; type the text afresh")
		return "", false
	}
	return norm.NFC.String(s), true
}

func (d decoder) count(path string, n node) (int, bool) {
	num, ok := n.value.(json.Number)
	if !ok {
		d.wrongKind(path, n, "a whole number without quotes")
		return 0, false
	}
	i, err := strconv.Atoi(num.String())
	if err != nil || num.String() != strconv.Itoa(i) {
		d.faults.Add(path, "must be a whole number of at most %d, not %s", maxCount, cutShort(num.String()))
		return 0, false
	}
	if i < 0 || i > maxCount {
		d.faults.Add(path, "must be from 0 to %d, not %d", maxCount, i)
		return 0, false
	}
	return i, true
}

// cutShort cuts what is too long to repeat.
func cutShort(s string) string {
	const most = 24
	if len(s) > most {
		return s[:most] + "…"
	}
	return s
}

func (d decoder) list(path string, n node, v reflect.Value) {
	items, ok := n.value.([]node)
	if !ok {
		d.wrongKind(path, n, "a list in [ ]")
		return
	}
	v.Set(reflect.MakeSlice(v.Type(), len(items), len(items)))
	for i, item := range items {
		d.fill(Item(path, i), item, v.Index(i))
	}
}

func (d decoder) object(path string, n node, v reflect.Value) {
	members, ok := n.value.([]member)
	if !ok {
		d.wrongKind(path, n, "an object in { }")
		return
	}
	fields := Fields(v.Type())
	for _, m := range members {
		i := slices.IndexFunc(fields, func(f Field) bool { return f.Key == m.key })
		if i < 0 {
			d.faults.Add(Join(path, m.key), "the key is unknown here; use one of %s", keys(fields))
			continue
		}
		d.fill(Join(path, m.key), m.value, v.FieldByIndex(fields[i].Index))
	}
	for _, f := range fields {
		if !f.Optional && !slices.ContainsFunc(members, func(m member) bool { return m.key == f.Key }) {
			d.faults.Add(Join(path, f.Key), Missing)
		}
	}
}

func keys(fields []Field) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.Key
	}
	return strings.Join(names, ", ")
}

// Field is one key of an object that a struct describes.
type Field struct {
	Key      string
	Optional bool
	Index    []int // for reflect.Value.FieldByIndex
	Type     reflect.Type
}

// Fields lists the keys of struct type t, those of embedded structs in place.
func Fields(t reflect.Type) []Field {
	var list []Field
	for _, f := range reflect.VisibleFields(t) {
		if f.Anonymous || !f.IsExported() {
			continue
		}
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if key == "-" || key == "" {
			continue
		}
		list = append(list, Field{key, options != "", f.Index, f.Type})
	}
	return list
}
