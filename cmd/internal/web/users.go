package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/templates/page"
)

// inUse says what uses an object, which therefore stays.
type inUse struct {
	name  string
	users []page.Link
}

// Error names the users.
func (u inUse) Error() string {
	names := make([]string, len(u.users))
	for i, l := range u.users {
		names[i] = l.Text
	}
	return fmt.Sprintf("%s is used by %s", u.name, strings.Join(names, ", "))
}

// ids returns the ids that an object stands for: its own, and of an ingredient
// those of its parts.
func ids(v any, own book.ID) []book.ID {
	list := []book.ID{own}
	if ing, ok := v.(book.Ingredient); ok {
		for _, p := range ing.Parts {
			list = append(list, p.ID)
		}
	}
	return list
}

// usersOf lists what uses any of some ingredients, parts, components, roles or
// appliances, with the page of each.
func usersOf(b book.Book, of ...book.ID) []page.Link {
	var users []page.Link
	// Of many thousand parts next to none is asked for, so that they are looked at
	// where they stand.
	uses := func(parts []book.Part, tasks []book.Task, equipment []book.EquipmentUse) bool {
		for i := range parts {
			if slices.Contains(of, parts[i].Use) {
				return true
			}
		}
		for i := range tasks {
			if tasks[i].Role != "" && slices.Contains(of, tasks[i].Role) {
				return true
			}
		}
		for i := range equipment {
			if slices.Contains(of, equipment[i].Use) {
				return true
			}
		}
		return false
	}
	for i := range b.Components {
		c := &b.Components[i]
		if slices.ContainsFunc(c.Lines, func(l book.Line) bool { return slices.Contains(of, l.Use) }) || uses(nil, c.Tasks, c.Equipment) {
			users = append(users, page.Link{Text: c.Name, Href: components.at(c.ID)})
		}
	}
	for i := range b.Cakes {
		c := &b.Cakes[i]
		used := uses(c.Parts, c.Tasks, c.Equipment)
		for j := 0; j < len(c.Tiers) && !used; j++ {
			t := &c.Tiers[j]
			used = uses(t.Parts, t.Tasks, t.Equipment)
		}
		if used {
			users = append(users, page.Link{Text: c.Name, Href: cakes.at(c.ID)})
		}
	}
	for _, e := range b.Extras {
		if uses(e.Parts, e.Tasks, e.Equipment) {
			users = append(users, page.Link{Text: e.Name, Href: extras.at(e.ID)})
		}
	}
	return users
}

// usedIn is [usersOf] for a page of the book that it shows, looked up once until
// the book changes.
func usedIn(r *http.Request, x *book.Index, of ...book.ID) ([]page.Link, error) {
	return ofBook(r, x, fmt.Sprint("users of ", of), func() ([]page.Link, error) { return usersOf(x.Book, of...), nil })
}

// mostUsers is how many users a page names.
const mostUsers = 60

// fewUsers keeps a list of users short, and says how many more there are.
func fewUsers(users []page.Link) []page.Link {
	if len(users) <= mostUsers {
		return users
	}
	return append(slices.Clone(users[:mostUsers]), page.Link{Text: fmt.Sprintf("and %d more", len(users)-mostUsers)})
}

// at is the address of an object's page.
func (k kind[T]) at(id book.ID) string { return k.path + "/" + string(id) }

// confirmRemoval asks whether an object is to go, or says what uses it.
func confirmRemoval[T any](w http.ResponseWriter, r *http.Request, s *Server, k kind[T]) error {
	x, v, err := k.named(s, r)
	if err != nil {
		return err
	}
	id := k.id(v)
	name := k.name(v)
	body := page.Confirm{
		Title: fmt.Sprintf("Remove %s?", name),
		Text:  "Quotes that were issued stay as they are. You can take the removal back with Undo on the next page.",
		Form:  page.Form{Action: k.at(id) + "/remove", Button: "Remove it", Loss: true, Cancel: k.at(id)},
	}
	users, err := usedIn(r, x, ids(v, id)...)
	if err != nil {
		return err
	}
	if body.Users = fewUsers(users); len(body.Users) > 0 {
		body.Title = name + " is in use"
		body.Text = "It can be removed once nothing uses it any more."
	}
	return s.show(w, r, "confirm", body.Title, body, page.Link{Text: capital(k.section()), Href: k.path}, page.Link{Text: name, Href: k.at(id)}, page.Link{Text: "Remove", Current: true})
}

// remove is what the form of [confirmRemoval] does.
func remove[T any](w http.ResponseWriter, r *http.Request, s *Server, k kind[T]) error {
	gone, undo, err := removeObject(r, s, k, book.ID(r.PathValue("id")))
	var used inUse
	if errors.As(err, &used) {
		return problem{Status: http.StatusConflict, Title: used.name + " is in use", Text: "It can be removed once nothing uses it any more. " + sentence(used.Error())}
	}
	if err != nil {
		return err
	}
	return s.done(w, r, k.path, k.name(gone)+" was removed.", undo)
}

// section is the last word of the kind's path: "prices".
func (k kind[T]) section() string { return k.path[strings.LastIndex(k.path, "/")+1:] }
