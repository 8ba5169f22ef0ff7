package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

func (s *Server) newRecipe(w http.ResponseWriter, r *http.Request) error {
	return s.newRecipePage(w, r, http.StatusOK, nil, "")
}

// newRecipePage asks for a new recipe; lead says where what it holds comes from.
func (s *Server) newRecipePage(w http.ResponseWriter, r *http.Request, status int, d *recipeDraft, lead string) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	a := ask(nil, nil)
	body := page.Recipe{Title: "A new recipe", Lead: lead}
	if d != nil {
		a = ask(d.form.values, d.faults).leads("name", d.same)
	}
	body.Form = recipeForm(a, x, book.Component{}, "/recipes/new")
	body.Form.Button, body.Form.Cancel = "Add it", "/recipes"
	if d != nil {
		body.Form.Reading = s.readingOf(x, d)
	} else {
		body.Form.Reading = s.reading(x, book.Component{}, nil, nil)
	}
	return s.showAs(w, r, status, "recipe", body.Title, body, page.Link{Text: "Recipes", Href: "/recipes"}, page.Link{Text: "New", Current: true})
}

// blank is what a new recipe is laid over: an id of its own.
func blank(x *book.Index, f form) book.Component {
	name := f.get("name")
	if name == "" {
		name = "recipe"
	}
	return book.Component{ID: idFor(name, func(id book.ID) bool { return taken(x, id) }), Name: name, Lines: []book.Line{}}
}

func (s *Server) addRecipe(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	d := readRecipeForm(x, f, blank(x, f))
	d.check()
	if len(d.faults) == 0 {
		d.faults, d.same = components.likeNamed(x.Book.Components, d.component)
	}
	if len(d.faults) == 0 {
		undo, err := s.addWithFoods(r, d)
		if err == nil {
			return s.added(w, r, components.at(d.component.ID), components.path, d.said("is added"), undo)
		}
		var ok bool
		if d.faults, ok = faultsOf(err); !ok {
			return err
		}
	}
	d.plain()
	return s.newRecipePage(w, r, http.StatusUnprocessableEntity, &d, "")
}

// check finds what only the form knows: lines that are not settled, or none.
func (d *recipeDraft) check() {
	d.faults = append(d.faults, openLines(d.lines)...)
	if len(d.component.Lines) == 0 && len(d.faults) == 0 {
		d.faults.Add("lines", "%s", errNoLines)
	}
}

// plain names the lines in faults of single ones.
func (d *recipeDraft) plain() {
	settled := slices.DeleteFunc(slices.Clone(d.lines), func(l cookLine) bool { return !l.settled })
	for i, f := range d.faults {
		var n int
		if got, _ := fmt.Sscanf(f.Path, "lines[%d]", &n); got == 1 && n < len(settled) {
			d.faults[i].Problem = fmt.Sprintf("“%s”: %s", settled[n].text, f.Problem)
		}
	}
}

// said says what was done, with the ingredients that came along.
func (d *recipeDraft) said(what string) string {
	text := d.component.Name + " " + what + "."
	if len(d.added) > 0 {
		names := make([]string, len(d.added))
		for i, ing := range d.added {
			names[i] = ing.Name
		}
		text += " New among what you buy, still without a price: " + strings.Join(names, ", ") + "."
	}
	return text
}

// addWithFoods adds a recipe and the ingredients that came with it, all or
// nothing.
func (s *Server) addWithFoods(r *http.Request, d recipeDraft) (back, error) {
	at := -1
	_, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		b.Ingredients = slices.Concat(b.Ingredients, d.added)
		b.Components = append(slices.Clone(b.Components), d.component)
		at = len(b.Components) - 1
		return b, nil
	})
	if err != nil {
		return nil, within(err, "components", at)
	}
	return s.takeFoodsBack(r, d.added, func(b book.Book) (book.Book, error) {
		i := components.index(b.Components, d.component.ID)
		if i < 0 || versionOf(b.Components[i]) != versionOf(d.component) || len(usersOf(b, d.component.ID)) > 0 {
			return b, tooLate(d.component.Name)
		}
		b.Components = slices.Delete(slices.Clone(b.Components), i, i+1)
		return b, nil
	}, d.component.Name+" is gone again."), nil
}

// takeFoodsBack undoes a recipe, and takes out the ingredients that came with it
// where nothing else uses or changed them.
func (s *Server) takeFoodsBack(r *http.Request, added []book.Ingredient, recipe func(book.Book) (book.Book, error), said string) back {
	st := s.store(r)
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			b, err := recipe(b)
			if err != nil {
				return b, err
			}
			b.Ingredients = slices.DeleteFunc(slices.Clone(b.Ingredients), func(ing book.Ingredient) bool {
				i := slices.IndexFunc(added, func(a book.Ingredient) bool { return a.ID == ing.ID })
				return i >= 0 && versionOf(added[i]) == versionOf(ing) && len(usersOf(b, ids(ing, ing.ID)...)) == 0
			})
			return b, nil
		})
		return said, err
	}
}

func (s *Server) showRecipe(w http.ResponseWriter, r *http.Request) error {
	return s.recipePage(w, r, http.StatusOK, nil)
}

// recipePage shows a recipe, with its form as it came back where d is not nil.
func (s *Server) recipePage(w http.ResponseWriter, r *http.Request, status int, d *recipeDraft) error {
	x, c, err := components.named(s, r)
	if err != nil {
		return err
	}
	id := c.ID
	users, err := usedIn(r, x, id)
	if err != nil {
		return err
	}
	body := page.Recipe{
		Title: c.Name, Saved: true, Copy: components.at(id) + "/copy", Remove: components.at(id) + "/remove",
		Actions: []page.Link{{Text: "Scale it", Href: components.at(id) + "/scale"}}, Users: fewUsers(users),
	}
	a := ask(nil, nil)
	if d != nil {
		a = ask(d.form.values, d.faults)
	}
	body.Form = recipeForm(a, x, c, components.at(id))
	body.Form.Version = components.version(c)
	if d != nil {
		body.Form.Version = d.form.version
		body.Form.Reading = s.readingOf(x, d)
	} else {
		body.Form.Reading = s.reading(x, c, nil, nil)
	}
	body.Bakers = bakersOf(x, &c, r.URL.Query())
	if b, err := pricing.CostBatch(x, &c, exact.Int(1), s.rates(x)); err == nil && b.Missing == nil {
		words := wordsOf(x.Book.Studio)
		for i, made := range b.Made {
			node := nodeOf(words, made, fmt.Sprintf("made-%d", i+1))
			node.Open = i == 0
			body.Tree = append(body.Tree, node)
		}
	}
	return s.showAs(w, r, status, "recipe", c.Name, body, page.Link{Text: "Recipes", Href: "/recipes"}, page.Link{Text: c.Name, Current: true})
}

func (s *Server) saveRecipe(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, old, err := components.named(s, r)
	if err != nil {
		return err
	}
	id := old.ID
	d := readRecipeForm(x, f, old)
	d.check()
	if len(d.faults) > 0 {
		d.plain()
		return s.recipePage(w, r, http.StatusUnprocessableEntity, &d)
	}
	if len(d.added) > 0 {
		// The new ingredients first, since the recipe names them; they go again
		// where the recipe cannot be saved.
		if _, err := s.store(r).Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			b.Ingredients = slices.Concat(b.Ingredients, d.added)
			return b, nil
		}); err != nil {
			return err
		}
	}
	now, undo, err := saveObject(r, s, components, id, f.version, func(book.Component) (book.Component, record.Faults) {
		return d.component, nil
	})
	if err != nil && len(d.added) > 0 {
		drop := s.takeFoodsBack(r, d.added, func(b book.Book) (book.Book, error) { return b, nil }, "")
		if _, err := drop(r.Context()); err != nil {
			return err
		}
	}
	if faults, ok := faultsOf(err); ok {
		d.faults = faults
		d.plain()
		return s.recipePage(w, r, http.StatusUnprocessableEntity, &d)
	}
	if shown, err := s.showClash(w, r, err, f, components.at(id), components.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	if undo != nil && len(d.added) > 0 {
		recipe := undo
		foods := s.takeFoodsBack(r, d.added, func(b book.Book) (book.Book, error) { return b, nil }, "")
		undo = func(ctx context.Context) (string, error) {
			text, err := recipe(ctx)
			if err == nil {
				_, err = foods(ctx)
			}
			return text, err
		}
	}
	d.component = now
	return s.done(w, r, components.at(id), d.said("is saved"), undo)
}

// previewRecipe says what the recipe that is being typed comes to.
func (s *Server) previewRecipe(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	old := blank(x, f)
	if id := book.ID(r.PathValue("id")); id != "" {
		if old, err = components.find(x.Book, id); err != nil {
			return err
		}
	}
	d := readRecipeForm(x, f, old)
	return s.fragment(w, r, "recipe", "recipe-reading", s.readingOf(x, &d))
}
