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
	uses := func(parts []book.Part, tasks []book.Task, equipment []book.EquipmentUse) bool {
		return slices.ContainsFunc(parts, func(p book.Part) bool { return slices.Contains(of, p.Use) }) ||
			slices.ContainsFunc(tasks, func(t book.Task) bool { return t.Role != "" && slices.Contains(of, t.Role) }) ||
			slices.ContainsFunc(equipment, func(u book.EquipmentUse) bool { return slices.Contains(of, u.Use) })
	}
	for _, c := range b.Components {
		if slices.ContainsFunc(c.Lines, func(l book.Line) bool { return slices.Contains(of, l.Use) }) || uses(nil, c.Tasks, c.Equipment) {
			users = append(users, page.Link{Text: c.Name, Href: components.at(c.ID)})
		}
	}
	for _, c := range b.Cakes {
		used := uses(c.Parts, c.Tasks, c.Equipment)
		for _, t := range c.Tiers {
			used = used || uses(t.Parts, t.Tasks, t.Equipment)
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

// usage is what uses what, worked out once for a whole book: a page asks about
// one thing among thousands of cakes.
type usage struct {
	users []page.Link
	by    map[book.ID][]int // places in users, rising
}

// usedIn is [usersOf] for a page of the book that it shows.
func usedIn(r *http.Request, x *book.Index, of ...book.ID) ([]page.Link, error) {
	u, err := ofBook(r, x, "usage", func() (usage, error) { return usageOf(x.Book), nil })
	if err != nil {
		return nil, err
	}
	var at []int
	for _, id := range of {
		at = append(at, u.by[id]...)
	}
	slices.Sort(at)
	var users []page.Link
	for _, i := range slices.Compact(at) {
		users = append(users, u.users[i])
	}
	return users, nil
}

func usageOf(b book.Book) usage {
	u := usage{by: map[book.ID][]int{}}
	begin := func(name, href string) { u.users = append(u.users, page.Link{Text: name, Href: href}) }
	add := func(id book.ID) {
		here := len(u.users) - 1
		if at := u.by[id]; id != "" && (len(at) == 0 || at[len(at)-1] != here) {
			u.by[id] = append(at, here)
		}
	}
	uses := func(parts []book.Part, tasks []book.Task, equipment []book.EquipmentUse) {
		for i := range parts {
			add(parts[i].Use)
		}
		for i := range tasks {
			add(tasks[i].Role)
		}
		for i := range equipment {
			add(equipment[i].Use)
		}
	}
	for i := range b.Components {
		c := &b.Components[i]
		begin(c.Name, components.at(c.ID))
		for j := range c.Lines {
			add(c.Lines[j].Use)
		}
		uses(nil, c.Tasks, c.Equipment)
	}
	for i := range b.Cakes {
		c := &b.Cakes[i]
		begin(c.Name, cakes.at(c.ID))
		uses(c.Parts, c.Tasks, c.Equipment)
		for j := range c.Tiers {
			uses(c.Tiers[j].Parts, c.Tiers[j].Tasks, c.Tiers[j].Equipment)
		}
	}
	for i := range b.Extras {
		e := &b.Extras[i]
		begin(e.Name, extras.at(e.ID))
		uses(e.Parts, e.Tasks, e.Equipment)
	}
	return u
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
