package web

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/book"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// form is what somebody filled in. The name of a box is the path of its value in
// the record that the form edits, as faults name it: density, prices[0].pack.
type form struct {
	values  url.Values
	version string // of the record as it was shown

	currency money.Currency // of the studio, as far as it is known
	comma    bool           // whether the studio writes its decimals behind one
}

// readForm reads the form of a request.
func readForm(r *http.Request) (form, error) {
	if err := r.ParseForm(); err != nil {
		if tooLarge(err) {
			return form{}, err
		}
		return form{}, wrong("The form could not be read. Go back and send it again.")
	}
	f := form{values: r.PostForm}
	f.currency, f.comma = visitOf(r).studio.writes(r.Context())
	f.version = f.get("version")
	return f, nil
}

// get returns what is in a box, without the spaces around it and with one sign
// for the end of a line.
func (f form) get(name string) string {
	return strings.TrimSpace(strings.ReplaceAll(f.values.Get(name), "\r\n", "\n"))
}

// ticked reports whether a box is ticked.
func (f form) ticked(name string) bool { return f.get(name) != "" }

// figure returns what is in a box for figures as a record writes it:
// [amountText].
func (f form) figure(name string) string { return amountText(f.get(name)) }

// percent returns what is in a box with a % behind it: "30" is "30 %".
func (f form) percent(name string) string {
	text := strings.TrimSpace(strings.TrimSuffix(f.figure(name), "%"))
	if text == "" {
		return ""
	}
	return text + " %"
}

// rows returns the rows of a list of boxes such as lines[0].qty, without those
// in which nothing is filled in, each with the named keys.
func (f form) rows(list string, keys ...string) []any {
	var at []int
	for name := range f.values {
		rest, ok := strings.CutPrefix(name, list+"[")
		number, _, closed := strings.Cut(rest, "]")
		if i, err := strconv.Atoi(number); ok && closed && err == nil && i >= 0 && !slices.Contains(at, i) {
			at = append(at, i)
		}
	}
	slices.Sort(at)
	rows := []any{}
	for _, i := range at {
		row := map[string]any{}
		for _, key := range keys {
			if text := f.get(fmt.Sprintf("%s[%d].%s", list, i, key)); text != "" {
				row[key] = text
			}
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows
}

// settings are values for the paths of a record: a text, where "" leaves the key
// out; true or false; a whole number; a list of rows; nil to leave it out.
type settings map[string]any

// overlay returns a record with some of its values set, read as a book file is
// read, with every fault at its path. What is not set stays as it was typed.
func overlay[T any](v T, set settings) (T, record.Faults) {
	var made T
	text, err := json.Marshal(v)
	if err != nil {
		return made, record.Faults{{Problem: err.Error()}}
	}
	var tree map[string]any
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := dec.Decode(&tree); err != nil {
		return made, record.Faults{{Problem: err.Error()}}
	}
	for key, value := range tree {
		if value == nil {
			tree[key] = []any{} // a list that holds nothing
		}
	}
	paths := make([]string, 0, len(set))
	for path := range set {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	for _, path := range paths {
		value := set[path]
		if text, ok := value.(string); ok && text == "" {
			value = nil
		}
		put(tree, strings.Split(path, "."), value)
	}
	if text, err = json.Marshal(tree); err != nil {
		return made, record.Faults{{Problem: err.Error()}}
	}
	faults := record.Decode(text, &made)
	return made, faults
}

// put sets a value under keys. An object that would be left empty goes.
func put(tree map[string]any, keys []string, value any) {
	key := keys[0]
	if len(keys) == 1 {
		if value == nil {
			delete(tree, key)
		} else {
			tree[key] = value
		}
		return
	}
	inner, _ := tree[key].(map[string]any)
	if inner == nil {
		if value == nil {
			return
		}
		inner = map[string]any{}
		tree[key] = inner
	}
	put(inner, keys[1:], value)
	if len(inner) == 0 {
		delete(tree, key)
	}
}

// asking builds the boxes of a form: as the record has it, or after faults as
// somebody typed it, each fault beside the box whose path it has.
type asking struct {
	typed  url.Values // nil: as the record has it
	faults record.Faults
	placed []bool
	see    map[string]page.Link // what a fault of a box leads to
}

// ask begins the boxes of a form.
func ask(typed url.Values, faults record.Faults) *asking {
	return &asking{typed: typed, faults: faults, placed: make([]bool, len(faults))}
}

// leads puts a link behind the faults of a box.
func (a *asking) leads(box string, to page.Link) *asking {
	if to.Href != "" {
		a.see = map[string]page.Link{box: to}
	}
	return a
}

// field completes a box, whose Value is what the record has. Of a choice,
// Value says which option is chosen.
func (a *asking) field(f page.Field) page.Field {
	if a.typed != nil {
		f.Value, f.Ticked = a.typed.Get(f.Name), a.typed.Get(f.Name) != ""
	}
	for i := range f.Options {
		f.Options[i].Chosen = f.Kind == "choice" && f.Options[i].Value == f.Value
	}
	for i, fault := range a.faults {
		if !a.placed[i] && (fault.Path == f.Name || strings.HasPrefix(fault.Path, f.Name+".") || strings.HasPrefix(fault.Path, f.Name+"[")) {
			a.placed[i] = true
			if fault.Problem == record.Missing {
				fault.Problem = "fill this in"
			}
			f.Faults = append(f.Faults, sentence(fault.Problem))
		}
	}
	if to, ok := a.see[f.Name]; ok && len(f.Faults) > 0 {
		f.See = &to
	}
	return f
}

// version is what a form carries of the record that it shows: as the record is
// now, but of a form that comes back as it was when the visitor first saw it.
// Else mending a slip would save over what somebody else did in between.
func (a *asking) version(now string) string { return cmp.Or(a.typed.Get("version"), now) }

// retold puts what a box itself found in place of what a record says of its value,
// which knows less of how people write.
func retold(faults record.Faults, path string, err error) record.Faults {
	faults = slices.DeleteFunc(faults, func(f record.Fault) bool { return f.Path == path })
	faults.Add(path, "%s", err)
	return faults
}

// rest lists the faults that belong to no box so far.
func (a *asking) rest() []string {
	var list []string
	for i, f := range a.faults {
		if !a.placed[i] {
			list = append(list, faultText(f))
		}
	}
	return list
}

// idFor makes an id of a name: "Crème pâtissière" is creme-patissiere, with a
// number behind it where that is taken.
func idFor(name string, taken func(book.ID) bool) book.ID {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == 'ß':
			b.WriteString("ss")
		case !unicode.Is(unicode.Mn, r) && b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 60 {
			break
		}
	}
	base := strings.Trim(b.String(), "-")
	if base == "" {
		base = "item"
	}
	id := book.ID(base)
	for n := 2; taken(id); n++ {
		id = book.ID(fmt.Sprintf("%s-%d", base, n))
	}
	return id
}
