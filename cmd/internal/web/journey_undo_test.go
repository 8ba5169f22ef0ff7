package web

import "testing"

// TestUndoAtADesk takes away what can be taken away, and has it back.
func TestUndoAtADesk(t *testing.T) { takeAwayAndBack(t, 1440, true) }

// TestUndoOnAPhone does so on a phone whose browser runs no script.
func TestUndoOnAPhone(t *testing.T) { takeAwayAndBack(t, 390, false) }

func takeAwayAndBack(t *testing.T, width int64, scripted bool) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, width, scripted)
	press := func(text string, in ...string) {
		t.Helper()
		p.press(text, in...)
		if width < 600 {
			p.fits()
		}
	}
	// undone checks that what is kept is another thing once something was done,
	// and to the letter as before once that is undone.
	undone := func(t *testing.T, kept func() string, does func()) {
		t.Helper()
		before := kept()
		does()
		if kept() == before {
			t.Fatalf("nothing is changed\n%s", p.where())
		}
		press("Undo")
		if !p.waits(`/ is (as it was before|back|gone again)\./.test(document.getElementById("notice").innerText)`) {
			t.Errorf("the page does not say what was undone\n%s", p.where())
		}
		if after := kept(); after != before {
			t.Errorf("it was\n%.4000s\nand after Undo it is\n%.4000s", before, after)
		}
	}

	part(t, "an ingredient", func(t *testing.T) {
		press("Prices")
		press("Add something you buy")
		p.fill("Name", "Desiccated coconut")
		p.fill("A pack holds", "1 kg")
		p.fill("A pack costs", "5.40")
		press("Add it")
		p.fill("Category", "nuts")
		press("Save")
		undone(t, p.book, func() {
			press("Remove Desiccated coconut")
			p.reads("Remove Desiccated coconut?")
			press("Remove it")
			p.reads("Desiccated coconut was removed.")
		})
		press("Desiccated coconut")
		p.reads("€5.40")
	}, p)

	part(t, "what is in use stays", func(t *testing.T) {
		p.looksUp("Prices", "Ground almonds, blanched")
		press("Remove Ground almonds")
		p.reads("is in use", "It can be removed once nothing uses it any more.", "Almond torte, no wheat flour")
		press("Go back")
	}, p)

	part(t, "a recipe", func(t *testing.T) {
		press("Recipes")
		press("Almond nougatine")
		press("Copy it")
		undone(t, p.book, func() {
			press("Remove Almond nougatine")
			press("Remove it")
			p.reads("was removed.")
		})
	}, p)

	part(t, "a cake", func(t *testing.T) {
		press("Cakes")
		press("Three-tier wedding cake, lemon and elderflower")
		press("Change it")
		undone(t, p.book, func() {
			press("Remove it")
			press("Remove it")
			p.reads("Three-tier wedding cake, lemon and elderflower was removed.")
		})
		press("Three-tier wedding cake, lemon and elderflower")
		p.reads("What it earns")
	}, p)

	part(t, "an entry of a price", func(t *testing.T) {
		p.looksUp("Prices", "Caster sugar")
		undone(t, p.book, func() {
			p.fill("A pack costs", "31.70")
			press("Add this price")
			p.reads("€31.70")
		})
		p.lacks("€31.70")
	}, p)

	part(t, "a line of a recipe", func(t *testing.T) {
		press("Recipes")
		press("Lemon curd")
		undone(t, p.book, func() {
			p.fill("Lines", "500 g Lemon, for juice and zest\n400 g Caster sugar\n300 g Unsalted butter, 82 % fat")
			press("Save")
			p.reads("Lemon curd is saved.")
		})
	}, p)

	part(t, "a tin", func(t *testing.T) {
		press("Studio")
		press("Tins you own")
		press("Heart, seams rounded")
		undone(t, p.book, func() {
			press("Remove")
			press("Remove it")
			p.reads("was removed.")
		})
	}, p)

	part(t, "an extra", func(t *testing.T) {
		press("Cakes")
		press("Extras")
		press("Hire of knife and server")
		undone(t, p.book, func() {
			press("Remove it")
			press("Remove it")
			p.reads("was removed.")
		})
	}, p)

	part(t, "a client's note", func(t *testing.T) {
		press("Orders")
		press("Clients")
		press("Add a client")
		p.fill("Name", "Idris Fennimore")
		p.fill("Must not or will not eat", "sesame")
		p.fill("Notes", "Rings in the evening.\nThe gate is at the back.")
		press("Add them")
		known := func() string {
			p.unfolds("What is known of them")
			return p.holds("Name") + "\n" + p.holds("Must not or will not eat") + "\n" + p.holds("Notes")
		}
		undone(t, known, func() {
			p.fill("Must not or will not eat", "")
			p.fill("Notes", "")
			press("Save")
			p.reads("Idris Fennimore is saved.")
		})
	}, p)

	part(t, "a payment", func(t *testing.T) {
		press("Orders")
		press("Zoë Šimková and Cormac Devane")
		press("Make it an order")
		owed := figureBehind(p, "Still to pay")
		p.fill("Amount", "100.00")
		press("Note it")
		p.reads("€100.00 came in: receipt R2026-0001.")
		if now := figureBehind(p, "Still to pay"); now == owed {
			t.Errorf("with €100.00 received, %s is still to pay", now)
		}
		press("Undo")
		p.reads("is taken back by", "both stay on the account")
		if now := figureBehind(p, "Still to pay"); now != owed {
			t.Errorf("taken back, %s is still to pay, and was %s before", now, owed)
		}
		// By the list, where no Undo stands any more.
		p.fill("Amount", "60.00")
		press("Note it")
		press("Take it back")
		press("Take it back")
		if now := figureBehind(p, "Still to pay"); now != owed {
			t.Errorf("taken back by the list, %s is still to pay, and was %s before", now, owed)
		}
	}, p)
}
