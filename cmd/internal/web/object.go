package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// kind is a list of the book whose objects have pages.
type kind[T any] struct {
	word string // "ingredient"
	key  string // of the list in a book file
	path string // under which its pages are
	list func(*book.Book) *[]T
	id   func(T) book.ID
	name func(T) string
	// bare takes away what is only ever added to, such as dated prices: adding
	// to that is no change that anybody has to be told of. nil: nothing.
	bare func(T) T
	// apart reports whether two of one name are told apart by something else.
	// nil: never.
	apart func(a, b T) bool
}

var (
	ingredients = kind[book.Ingredient]{
		word: "ingredient", key: "ingredients", path: "/prices",
		list: func(b *book.Book) *[]book.Ingredient { return &b.Ingredients },
		id:   func(v book.Ingredient) book.ID { return v.ID }, name: func(v book.Ingredient) string { return v.Name },
		bare: func(v book.Ingredient) book.Ingredient { v.Prices = []book.Price{}; return v },
	}
	components = kind[book.Component]{
		word: "recipe", key: "components", path: "/recipes",
		list: func(b *book.Book) *[]book.Component { return &b.Components },
		id:   func(v book.Component) book.ID { return v.ID }, name: func(v book.Component) string { return v.Name },
	}
	cakes = kind[book.Cake]{
		word: "cake", key: "cakes", path: "/cakes",
		list: func(b *book.Book) *[]book.Cake { return &b.Cakes },
		id:   func(v book.Cake) book.ID { return v.ID }, name: func(v book.Cake) string { return v.Name },
		bare: func(v book.Cake) book.Cake { v.ListPrices = nil; return v },
	}
	extras = kind[book.Extra]{
		word: "extra", key: "extras", path: "/studio/extras",
		list: func(b *book.Book) *[]book.Extra { return &b.Extras },
		id:   func(v book.Extra) book.ID { return v.ID }, name: func(v book.Extra) string { return v.Name },
	}
	roles = kind[book.Role]{
		word: "role", key: "roles", path: "/studio/roles",
		list: func(b *book.Book) *[]book.Role { return &b.Roles },
		id:   func(v book.Role) book.ID { return v.ID }, name: func(v book.Role) string { return v.Name },
		bare: func(v book.Role) book.Role { v.Wage = []book.Wage{}; return v },
	}
	equipment = kind[book.Appliance]{
		word: "appliance", key: "equipment", path: "/studio/equipment",
		list: func(b *book.Book) *[]book.Appliance { return &b.Equipment },
		id:   func(v book.Appliance) book.ID { return v.ID }, name: func(v book.Appliance) string { return v.Name },
	}
	tins = kind[book.Tin]{
		word: "tin", key: "tins", path: "/studio/tins",
		list: func(b *book.Book) *[]book.Tin { return &b.Tins },
		id:   func(v book.Tin) book.ID { return v.ID }, name: func(v book.Tin) string { return capital(v.String()) },
		apart: otherDepth,
	}
)

// find returns an object of the book, or that there is none.
func (k kind[T]) find(b book.Book, id book.ID) (T, error) {
	list := *k.list(&b)
	if i := k.index(list, id); i >= 0 {
		return list[i], nil
	}
	var none T
	return none, notFound(k.word)
}

// named returns the book, and the object of it that an address names.
func (k kind[T]) named(s *Server, r *http.Request) (*book.Index, T, error) {
	x, err := s.book(r)
	if err != nil {
		var none T
		return nil, none, err
	}
	v, err := k.find(x.Book, book.ID(r.PathValue("id")))
	return x, v, err
}

func (k kind[T]) index(list []T, id book.ID) int {
	return slices.IndexFunc(list, func(v T) bool { return k.id(v) == id })
}

// version is what a form carries of the object that it shows.
func (k kind[T]) version(v T) string {
	if k.bare != nil {
		v = k.bare(v)
	}
	return versionOf(v)
}

// versionOf tells a record from any other.
func versionOf(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("web: a record cannot be written: %v", err))
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:12])
}

// back takes a change back, and says so.
type back = func(context.Context) (string, error)

// saveObject makes of an object of the book what change makes of it, all or
// nothing. The error is record.Faults, with paths within the object, where
// something is wrong with it; or a [clash] where somebody else has changed it
// since version was shown. A version of "" is of no form that shows the object,
// such as one that adds a price.
func saveObject[T any](r *http.Request, s *Server, k kind[T], id book.ID, version string, change func(T) (T, record.Faults)) (T, back, error) {
	var old, now T
	at := -1
	_, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		list := slices.Clone(*k.list(&b))
		if at = k.index(list, id); at < 0 {
			return b, notFound(k.word)
		}
		old = list[at]
		var faults record.Faults
		if now, faults = change(old); len(faults) > 0 {
			return b, faults
		}
		if version != "" && k.version(old) != version && versionOf(old) != versionOf(now) {
			return b, clash{version: k.version(old), name: k.name(old), stored: flat(old), typed: flat(now)}
		}
		list[at] = now
		*k.list(&b) = list
		return b, nil
	})
	if err != nil {
		return old, nil, within(err, k.key, at)
	}
	if versionOf(old) == versionOf(now) {
		return now, nil, nil
	}
	return now, putBack(s, r, k, now, old), nil
}

// addObject adds an object to the end of its list.
func addObject[T any](r *http.Request, s *Server, k kind[T], v T) (back, error) {
	at := -1
	_, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		list := slices.Clone(*k.list(&b))
		at = len(list)
		*k.list(&b) = append(list, v)
		return b, nil
	})
	if err != nil {
		return nil, within(err, k.key, at)
	}
	st := s.store(r)
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			list := slices.Clone(*k.list(&b))
			i := k.index(list, k.id(v))
			if i < 0 {
				return b, tooLate(k.name(v))
			}
			if len(usersOf(b, k.id(v))) > 0 || versionOf(list[i]) != versionOf(v) {
				return b, tooLate(k.name(v))
			}
			*k.list(&b) = slices.Delete(list, i, i+1)
			return b, nil
		})
		return fmt.Sprintf("%s is gone again.", k.name(v)), err
	}, nil
}

// removeObject takes an object out of the book. What is in use stays, and the
// error is [inUse].
func removeObject[T any](r *http.Request, s *Server, k kind[T], id book.ID) (T, back, error) {
	var gone T
	at := -1
	_, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		list := slices.Clone(*k.list(&b))
		if at = k.index(list, id); at < 0 {
			return b, notFound(k.word)
		}
		gone = list[at]
		if users := usersOf(b, ids(gone, id)...); len(users) > 0 {
			return b, inUse{k.name(gone), users}
		}
		*k.list(&b) = slices.Delete(list, at, at+1)
		return b, nil
	})
	if err != nil {
		return gone, nil, err
	}
	st := s.store(r)
	return gone, func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			list := slices.Clone(*k.list(&b))
			if k.index(list, id) >= 0 {
				return b, tooLate(k.name(gone))
			}
			*k.list(&b) = slices.Insert(list, min(at, len(list)), gone)
			return b, nil
		})
		return fmt.Sprintf("%s is back.", k.name(gone)), err
	}, nil
}

// putBack makes an object what it was, while it still is what it became.
func putBack[T any](s *Server, r *http.Request, k kind[T], now, old T) back {
	st := s.store(r)
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			list := slices.Clone(*k.list(&b))
			i := k.index(list, k.id(now))
			if i < 0 || versionOf(list[i]) != versionOf(now) {
				return b, tooLate(k.name(old))
			}
			list[i] = old
			*k.list(&b) = list
			return b, nil
		})
		return fmt.Sprintf("%s is as it was before.", k.name(old)), err
	}
}

// saveStudio is [saveObject] for the studio itself.
func saveStudio(r *http.Request, s *Server, version string, change func(book.Studio) (book.Studio, record.Faults)) (book.Studio, back, error) {
	var old, now book.Studio
	_, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		old = b.Studio
		var faults record.Faults
		if now, faults = change(old); len(faults) > 0 {
			return b, faults
		}
		if version != "" && versionOf(old) != version && versionOf(old) != versionOf(now) {
			return b, clash{version: versionOf(old), name: old.Name, stored: flat(old), typed: flat(now)}
		}
		b.Studio = now
		return b, nil
	})
	if err != nil {
		return old, nil, under(err, "studio.")
	}
	if versionOf(old) == versionOf(now) {
		return now, nil, nil
	}
	st := s.store(r)
	return now, func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			if versionOf(b.Studio) != versionOf(now) {
				return b, tooLate("The studio")
			}
			b.Studio = old
			return b, nil
		})
		return "The studio is as it was before.", err
	}, nil
}

// tooLate refuses to take back what was changed again since.
func tooLate(name string) error {
	return problem{Status: http.StatusConflict, Title: "That cannot be taken back any more", Text: name + " was changed again since, or is in use. It was left as it is."}
}

// within gives faults in element i of a list of the book their paths in the
// element.
func within(err error, list string, i int) error { return under(err, record.Item(list, i)+".") }

// under takes a prefix off the paths of faults.
func under(err error, prefix string) error {
	var faults record.Faults
	if !errors.As(err, &faults) {
		return err
	}
	own := make(record.Faults, len(faults))
	for i, f := range faults {
		f.Path = strings.TrimPrefix(f.Path, prefix)
		own[i] = f
	}
	return own
}

// faultsOf returns the faults that an error consists of.
func faultsOf(err error) (record.Faults, bool) {
	var faults record.Faults
	return faults, errors.As(err, &faults)
}

// clash is two people's changes of one object.
type clash struct {
	version       string // as it is stored now
	name          string
	stored, typed []pair
	added         bool // what is typed goes beside what is stored, and not over it
}

// Error says what happened.
func (c clash) Error() string { return c.name + " was changed by somebody else in the meantime" }

type pair struct{ path, value string }

// flat lists the values of a record by their paths.
func flat(v any) []pair {
	text, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("web: a record cannot be written: %v", err))
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		panic(fmt.Sprintf("web: a record cannot be read back: %v", err))
	}
	var list []pair
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, inner := range v {
				walk(record.Join(path, key), inner)
			}
		case []any:
			for i, inner := range v {
				walk(record.Item(path, i), inner)
			}
		case nil:
		default:
			list = append(list, pair{path, fmt.Sprint(v)})
		}
	}
	walk("", tree)
	slices.SortFunc(list, func(a, b pair) int { return strings.Compare(a.path, b.path) })
	return list
}

// showClash shows both versions and lets the visitor choose, where err is a
// [clash]; it reports whether it was. action is where the form was sent, and at
// where the object is to be seen.
func (s *Server) showClash(w http.ResponseWriter, r *http.Request, err error, f form, action, at string) (bool, error) {
	var c clash
	if !errors.As(err, &c) {
		return false, nil
	}
	table := page.Table{Caption: "Where the two differ", Heads: []page.Head{{Text: "What"}, {Text: "As it is now"}, {Text: "As you have it"}}}
	stored, typed := byPath(c.stored), byPath(c.typed)
	for _, p := range paths(c.stored, c.typed) {
		if stored[p] != typed[p] {
			table.Rows = append(table.Rows, page.Row{Cells: []page.Cell{{Text: capital(plainPath(p))}, {Text: orDash(plainValue(stored[p]))}, {Text: orDash(plainValue(typed[p]))}}})
		}
	}
	body := page.Conflict{
		Title: "Somebody else was here", Action: action, Mine: c.version, Theirs: at, Table: table, Save: "Save mine over it",
		Text: fmt.Sprintf("%s was changed while your form was open. Nothing of yours is saved yet: look at both and choose.", c.name),
	}
	if c.added {
		body.Save = "Add mine all the same"
	}
	for name, values := range f.values {
		for _, v := range values {
			if name != "version" {
				body.Kept = append(body.Kept, page.Field{Name: name, Kind: "hidden", Value: v})
			}
		}
	}
	slices.SortStableFunc(body.Kept, func(a, b page.Field) int { return strings.Compare(a.Name, b.Name) })
	return true, s.showAs(w, r, http.StatusConflict, "conflict", body.Title, body)
}

// datedVersion is the version of what is only ever added to, such as the prices
// of an ingredient: none is the same whether or not a list was written.
func datedVersion[T any](list []T) string { return versionOf(append([]T{}, list...)) }

// later is the [clash] of what is to be added to a list of dated values with what
// somebody else has added since the form was shown; nil where nobody has, or just
// the same. Both stay in the list, but only one is in force.
func later[T any](f form, name string, list []T, typed T) error {
	if f.version == "" || len(list) == 0 || f.version == datedVersion(list) {
		return nil
	}
	last := list[len(list)-1]
	if versionOf(last) == versionOf(typed) {
		return nil
	}
	return clash{version: datedVersion(list), name: name, stored: flat(last), typed: flat(typed), added: true}
}

func byPath(list []pair) map[string]string {
	m := make(map[string]string, len(list))
	for _, p := range list {
		m[p.path] = p.value
	}
	return m
}

func paths(lists ...[]pair) []string {
	var all []string
	for _, list := range lists {
		for _, p := range list {
			all = append(all, p.path)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// plainPath writes a path for reading: "tier 2, height".
func plainPath(path string) string {
	var words []string
	for part := range strings.SplitSeq(path, ".") {
		name, index, listed := strings.Cut(part, "[")
		name = strings.ReplaceAll(name, "_", " ")
		if said, other := pathWords[name]; other {
			name = said
		}
		if listed {
			var i int
			fmt.Sscanf(index, "%d", &i)
			name = fmt.Sprintf("%s %d", oneOf(name), i+1)
		}
		words = append(words, name)
	}
	return strings.Join(words, ", ")
}

// pathWords are parts of paths that the boxes of forms call otherwise.
var pathWords = map[string]string{"email": "e-mail", "phone": "telephone", "qty": "quantity", "overhang": "reaches beyond", "reuse": "offcuts reused", "waste": "waste on top"}

// plainValue writes a value for reading: records say "2 day".
func plainValue(text string) string {
	if strings.HasSuffix(text, " day") && text != "1 day" {
		return text + "s"
	}
	return text
}

// oneOf is what one row of a list is called.
func oneOf(list string) string {
	if list == "equipment" {
		return "appliance"
	}
	return strings.TrimSuffix(list, "s")
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}
