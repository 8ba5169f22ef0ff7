package web

import (
	"regexp"
	"testing"
)

// TestPhoneWithScript works on a phone with a finger, between oven and table.
func TestPhoneWithScript(t *testing.T) { onThePhone(t, true) }

// TestPhoneWithoutScript does so in a browser that runs no script.
func TestPhoneWithoutScript(t *testing.T) { onThePhone(t, false) }

func onThePhone(t *testing.T, scripted bool) {
	ctx := browser(t)
	v := visitStudio(t, true)
	p := v.sits(t, ctx, 390, scripted)
	press := func(text string, in ...string) {
		t.Helper()
		p.press(text, in...)
		p.fits()
	}

	part(t, "every section is a touch away", func(t *testing.T) {
		for _, section := range []string{"Prices", "Recipes", "Cakes", "Orders", "What if", "Month", "Studio", "Today"} {
			press(section, "Sections")
			if at := see[string](p, `document.querySelector(".sections [aria-current]")?.innerText ?? ""`); at != section {
				t.Errorf("%q leads to %q", section, at)
			}
		}
	}, p)

	part(t, "from the price to the gram", func(t *testing.T) {
		press("Cakes")
		press("Three-tier wedding cake, lemon and elderflower")
		p.jumps("Sells at", "What it earns")
		p.fits()
		p.unfolds("Tier bottom", "Down to the gram")
		p.fits()
		p.jumps("Vanilla butter sponge", "Down to the gram")
		p.unfolds("Vanilla butter sponge", "Down to the gram")
		p.fits()
		if made := see[string](p, `window.chosen.parentElement.innerText`); !regexp.MustCompile(`Unsalted butter, 82 % fat\s[\d,.]+[ \x{00a0}]g\b`).MatchString(made) {
			t.Errorf("the sponge does not say how many grams of butter it takes: %s", made)
		}
	}, p)

	part(t, "a payment received", func(t *testing.T) {
		press("Orders")
		press("Zoë Šimková and Cormac Devane")
		p.jumps("The client decides")
		press("Make it an order")
		owed := euros(figureBehind(p, "Still to pay"))
		p.jumps("Note a payment")
		p.fill("Amount", "250,00") // as many a hand writes it
		p.fill("How", "card")
		press("Note it")
		p.reads("€250.00 came in: receipt R2026-0001.")
		left := euros(figureBehind(p, "Still to pay"))
		if owed.Sub(owed, left).Cmp(rat("250")) != 0 {
			t.Errorf("with €250.00 received, what is still to pay fell by %s", owed.FloatString(2))
		}
	}, p)

	part(t, "a clock", func(t *testing.T) {
		press("Orders")
		press("Accepted")
		press("Zoë Šimková and Cormac Devane")
		p.unfolds("More to do with it")
		press("How it really went")
		p.unfolds("The task, whose clock, since when")
		p.fill("Task to time", "covering")
		p.fill("It began at", "8:15")
		press("Start: Cake decorator")
		p.reads("The clock of Cake decorator runs.", "since 08:15")
		press("Month")
		press("Clock", "Parts of this section")
		p.reads("Cake decorator")
		press("Its order")
		press("Stop")
		p.lacks("since 08:15")
		p.reads("Cake decorator worked 1 h 15 min for 2026-0001, covering")
	}, p)
}
