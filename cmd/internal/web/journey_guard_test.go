package web

import "testing"

// TestUnsavedChanges leaves forms with something typed in them, and without.
func TestUnsavedChanges(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, 1440, true)

	part(t, "a form that was not touched asks nothing", func(t *testing.T) {
		p.press("Recipes")
		p.press("Lemon curd")
		p.press("Cakes")
		p.press("Opera, cut for an evening")
		p.press("Change it")
		p.press("Orders")
		p.press("New quote")
		p.press("Today")
	}, p)

	part(t, "staying keeps what was typed", func(t *testing.T) {
		p.press("Recipes")
		p.press("Lemon curd")
		p.fill("Method", "Stir without a pause.")
		p.staysOn("Cakes")
		if got := p.holds("Method"); got != "Stir without a pause." {
			t.Errorf("the method became %q", got)
		}
		p.staysOn("Recipes", "Where you are")
		p.press("Save")
		p.reads("Lemon curd is saved.")
		p.press("Cakes") // saved, it asks nothing
	}, p)

	part(t, "leaving leaves", func(t *testing.T) {
		p.press("Prices")
		p.press("Cornflour")
		p.fill("A pack costs", "99.99")
		p.leavesBy("Cakes")
		p.press("Prices")
		p.press("Cornflour")
		p.lacks("99.99")
		if got := p.holds("A pack costs"); got != "" {
			t.Errorf("the box still holds %q", got)
		}
	}, p)

	part(t, "what came back with a fault is not saved either", func(t *testing.T) {
		p.press("Prices")
		p.press("Cornflour")
		p.fill("A pack costs", "four or so")
		p.press("Add this price")
		p.reads("Nothing was saved yet")
		p.staysOn("Cakes")
		p.fill("A pack costs", "4.10")
		p.press("Add this price")
		p.reads("is added")
		p.press("Cakes")
	}, p)

	part(t, "a choice from a list counts as typed", func(t *testing.T) {
		p.press("Studio")
		p.press("Name, address, languages")
		p.fill("Cups and spoons in your recipes", "United States")
		p.leavesBy("Studio")
	}, p)

	part(t, "a cake's form, and another tier in it", func(t *testing.T) {
		p.press("Cakes")
		p.press("Opera, cut for an evening")
		p.press("Change it")
		p.press("Add a tier") // shows the form again, and saves nothing
		p.staysOn("Today")
		p.leavesBy("Today")
	}, p)
}
