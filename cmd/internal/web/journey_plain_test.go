package web

import (
	"strings"
	"testing"
)

// TestWithoutScript adds what a kitchen works with, finds it, and takes it away
// and back, in a browser that runs no script.
func TestWithoutScript(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, 1440, false)

	p.press("Prices")
	p.press("Add something you buy")
	p.fill("Name", "Sea buckthorn purée")
	p.fill("A pack holds", "1 kg")
	p.fill("A pack costs", "18.40")
	p.press("Add it")
	p.reads("Sea buckthorn purée is added.", "€18.40")

	p.press("Recipes")
	p.press("Write a recipe")
	p.fill("Name", "Buckthorn filling")
	p.fill("Kind", "filling")
	p.fill("Lines", "400 g sea buckthorn purée\n100 g caster sugar\n1 kg swiss meringue buttercream")
	p.press("Add it")
	p.reads("Buckthorn filling is added.", "Sea buckthorn purée", "Caster sugar", "Swiss meringue buttercream")
	// What is made for it is costed in it: the egg white of the buttercream.
	p.reads("Down to the gram")
	p.unfolds("Swiss meringue buttercream", "Down to the gram")
	if !strings.Contains(see[string](p, `document.getElementById("explain").innerText`), "Egg white") {
		t.Errorf("the nested recipe is not told down to its egg white\n%s", p.where())
	}

	p.fill("Search", "buckthorn")
	p.press("Search")
	p.reads("Sea buckthorn purée", "Buckthorn filling")
	p.press("Sea buckthorn purée")
	p.press("Remove Sea buckthorn purée")
	p.reads("is in use", "Buckthorn filling")
	p.press("Buckthorn filling", "It is used by")

	before := p.book()
	p.press("Remove Buckthorn filling")
	p.press("Remove it")
	p.reads("Buckthorn filling was removed.")
	if strings.Contains(p.book(), "Buckthorn filling") {
		t.Error("it is still in the book")
	}
	p.press("Undo")
	p.reads("Buckthorn filling is back.")
	if p.book() != before {
		t.Error("it came back as another")
	}
	p.fill("Find by name", "buckthorn")
	p.press("Find")
	p.press("Buckthorn filling")
	p.reads("Used by")
}
