package web

import (
	"strings"
	"testing"
)

// TestTwoPeople has two people at one studio, each in a browser of her own, who
// have the same form open. The second who saves is told so and shown what differs;
// what she typed is kept, and nothing is written over before she says so.
func TestTwoPeople(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	first, second := v.sits(t, ctx, 1440, true), v.sits(t, apart(t, ctx), 1440, true)
	both := func(walk func(p *person)) {
		t.Helper()
		walk(first)
		walk(second)
	}

	part(t, "the same recipe", func(t *testing.T) {
		both(func(p *person) {
			p.press("Recipes")
			p.press("Vanilla butter sponge")
		})
		first.fill("Method", "Beat for eight minutes.")
		first.press("Save")
		first.reads("Vanilla butter sponge is saved.")
		second.fill("Method", "Beat for five minutes.")
		second.fill("Keeps", "2 days")
		second.press("Save")
		second.reads("Somebody else was here", "Nothing of yours is saved yet", "Method", "Beat for eight minutes.", "Beat for five minutes.", "2 days")
		onlyHas(t, second.book(), "Beat for eight minutes.", "Beat for five minutes.")

		second.staysOn("Prices") // what she typed is not lost by a slip of the hand
		second.press("Save mine over it")
		second.reads("Vanilla butter sponge is saved.")
		if got := second.holds("Method"); got != "Beat for five minutes." {
			t.Errorf("her method became %q", got)
		}
		if got := second.holds("Keeps"); got != "2 days" {
			t.Errorf("her days became %q", got)
		}
		onlyHas(t, second.book(), "Beat for five minutes.", "Beat for eight minutes.")
		second.press("Undo")
		onlyHas(t, second.book(), "Beat for eight minutes.", "Beat for five minutes.")
	}, first, second)

	part(t, "the same cake", func(t *testing.T) {
		both(func(p *person) {
			p.press("Cakes")
			p.press("Raspberry heart on almond torte")
			p.press("Change it")
		})
		first.fill("What the client reads of it", "A heart, filled with raspberry.")
		first.fill("High", "80 mm", "Tier 1")
		first.press("Save")
		first.reads("A heart, filled with raspberry.")
		second.fill("What the client reads of it", "A heart for two.")
		second.press("Save")
		second.reads("Somebody else was here", "A heart, filled with raspberry.", "A heart for two.", "80 mm")
		onlyHas(t, second.book(), "A heart, filled with raspberry.", "A heart for two.")
		second.press("Keep what is there and drop mine") // asks nothing: that is what it says
		second.reads("A heart, filled with raspberry.")
		onlyHas(t, second.book(), "A heart, filled with raspberry.", "A heart for two.")
	}, first, second)

	part(t, "the same price", func(t *testing.T) {
		both(func(p *person) {
			p.looksUp("Prices", "Unsalted butter, 82 % fat")
		})
		first.fill("A pack costs", "31.10")
		first.press("Add this price")
		first.reads("€31.10")
		before := second.book()
		second.fill("A pack costs", "32.20")
		second.press("Add this price")
		second.reads("Nothing was saved yet", "There is a price of 31.10 from that day already")
		if got := second.holds("A pack costs"); got != "32.20" {
			t.Errorf("her price became %q", got)
		}
		if second.book() != before {
			t.Error("something was written all the same")
		}
		second.fill("Why, for a correction", "the invoice says so")
		second.press("Add this price")
		second.reads("€32.20", "€31.10", "the invoice says so")
	}, first, second)

	// A price of another pack from the same day would be in force without a word.
	part(t, "the same price, of another pack", func(t *testing.T) {
		both(func(p *person) {
			p.looksUp("Prices", "Whole milk")
		})
		first.fill("A pack costs", "1.31")
		first.fill("A pack holds", "1 l")
		first.press("Add this price")
		first.reads("is added")
		before := second.book()
		second.fill("A pack costs", "13.30")
		second.fill("A pack holds", "10 l")
		second.press("Add this price")
		second.reads("Somebody else was here", "The price of Whole milk was changed", "1.31", "13.30", "10 l")
		if second.book() != before {
			t.Error("something was written all the same")
		}
		second.press("Add mine all the same")
		second.reads("€13.30", "€1.31")
	}, first, second)

	part(t, "the same list price", func(t *testing.T) {
		both(func(p *person) {
			p.press("Cakes")
			p.press("Fruit cake with almond paste")
		})
		first.fill("List price", "141.00")
		first.press("Set this price")
		first.reads("sells at €141.00")
		before := second.book()
		second.fill("List price", "152.00")
		second.press("Set this price")
		second.reads("Somebody else was here", "141.00", "152.00")
		if second.book() != before {
			t.Error("something was written all the same")
		}
		second.press("Keep what is there and drop mine")
		second.reads("€141.00")
		second.lacks("€152.00")
	}, first, second)

	// A form that comes back for mending is still that which she opened.
	part(t, "a slip in between", func(t *testing.T) {
		both(func(p *person) {
			p.looksUp("Prices", "Plain wheat flour")
		})
		first.fill("Category", "from the mill")
		first.press("Save")
		first.reads("Plain wheat flour is saved.")
		second.fill("Category", "dry goods of mine")
		second.fill("Weighs", "rather heavy")
		second.press("Save")
		second.reads("Nothing was saved yet")
		if got := second.holds("Category"); got != "dry goods of mine" {
			t.Errorf("her category became %q", got)
		}
		second.fill("Weighs", "0.53 g/ml")
		second.press("Save")
		second.reads("Somebody else was here", "from the mill", "dry goods of mine")
		onlyHas(t, second.book(), "from the mill", "dry goods of mine")
	}, first, second)
}

// onlyHas fails where a text lacks what it has to hold, or holds what it must not.
func onlyHas(t *testing.T, text, has, not string) {
	t.Helper()
	if !strings.Contains(text, has) {
		t.Errorf("%q is not kept", has)
	}
	if strings.Contains(text, not) {
		t.Errorf("%q is kept", not)
	}
}
