package schedule_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/schedule"
)

// Two orders of 800 g are one batch of 1600 g; the recipe as written gives
// 1 kg, so its lines are multiplied by 1.6. 400 g of flour of 0.53 g/ml are
// 640 g, 1207.5 ml, 4.83 cups of 250 ml: 4 3/4. 3 eggs are 4.8, of 50 g each.
// Half a litre of milk is 800 ml, 3 1/5 cups, to the quarter 3 1/4, and 824 g.
// 0.05 g of saffron are 0.08 g, and have no density.
func TestCards(t *testing.T) {
	recipe := `{"id": "sponge", "name": "Custard sponge", "kind": "sponge", "yield": "1 kg", "keeps": "4 day", "flags": ["raw-egg"],
		"lines": [{"use": "flour", "qty": "400 g", "note": "sifted"}, {"use": "egg", "qty": "3 each"}, {"use": "milk", "qty": "500 ml"}, {"use": "saffron", "qty": "0.05 g"}],
		"tasks": [{"task": "bake", "role": "baker", "setup": "60 min"}, {"task": "cool", "wait": "3 h"}], "method": "Fold. Bake at 160 °C."}`
	x := kitchen(t, recipe, fmt.Sprintf(tiered, "2 h"))
	p := plan(t, x, schedule.Usual(), orders("cake", friday, saturday))
	cards, err := schedule.Cards(x, p)
	if err != nil || len(cards) != 1 {
		t.Fatalf("cards %+v, %v", cards, err)
	}
	c := cards[0]
	if c.Batches != 1 || c.PerBatch.Text() != "1600" || c.Unit != "g" || c.HotSugar || !slices.Equal(c.RawEgg, []string{"Custard sponge"}) || len(c.Orders) != 2 {
		t.Errorf("card %+v", c)
	}
	var lines []string
	for _, l := range c.Lines {
		lines = append(lines, fmt.Sprintf("%s %s g, %s %s, %d/4 %s %s", l.Name, l.Grams.Fixed(2), l.Amount.Fixed(1), l.Unit, l.Spoons.Quarters, l.Spoons.Unit, l.Note))
	}
	wantText(t, "lines", lines, "Flour 640.00 g, 0.0 , 19/4 cup sifted", "Egg 240.00 g, 4.8 each, 0/4  ", "Milk 824.00 g, 800.0 ml, 13/4 cup ", "Saffron 0.08 g, 0.0 , 0/4  ")
}

// In the demo studio's recipes, those that a baker would call hot sugar (sorted
// by hand from their methods), and no other.
func TestHotSugar(t *testing.T) {
	hot := strings.Fields("italian-meringue sugar-syrup mirror-glaze caramel salted-caramel almond-nougatine hazelnut-crunch macaron-shell")
	x := studio(t)
	for i := range x.Book.Components {
		c := &x.Book.Components[i]
		if got, want := hotSugarOf(t, x, c), slices.Contains(hot, string(c.ID)); got != want {
			t.Errorf("%s is hot sugar: %v, want %v: %s", c.ID, got, want, c.Method.Or(""))
		}
	}
}

// hotSugarOf asks the card of a making of a component.
func hotSugarOf(t *testing.T, x *book.Index, c *book.Component) bool {
	t.Helper()
	out, err := x.Output(c)
	if err != nil {
		t.Fatal(err)
	}
	cards, err := schedule.Cards(x, schedule.Plan{Makings: []schedule.Making{
		{Number: 1, Component: schedule.Named{ID: c.ID, Name: c.Name}, Batches: 1, Quantity: out.Number, Unit: out.Dimension.Base()},
	}})
	if err != nil || len(cards) != 1 {
		t.Fatalf("cards %+v, %v", cards, err)
	}
	return cards[0].HotSugar
}

// Two makings of one size on a day share a card, good until the sooner of both;
// another size has its own.
func TestCardsOfOneSize(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "4 day",`), fmt.Sprintf(tiered, "2 h"))
	at := func(hour int) schedule.Moment { return schedule.At(day.Must(thursday), hour, 0) }
	making := func(n, batches, grams, hour int) schedule.Making {
		return schedule.Making{
			Number: n, Component: schedule.Named{ID: "sponge", Name: "Sponge"}, Batches: batches, Quantity: exact.Int(int64(grams)), Unit: "g",
			Start: at(hour), GoodUntil: at(hour).Add(5 * schedule.DayMinutes), Orders: []string{fmt.Sprint(n)},
		}
	}
	cards, err := schedule.Cards(x, schedule.Plan{Makings: []schedule.Making{making(1, 2, 1600, 9), making(2, 1, 700, 10), making(3, 1, 800, 8)}})
	if err != nil || len(cards) != 2 {
		t.Fatalf("cards %+v, %v", cards, err)
	}
	c := cards[0]
	if c.Batches != 3 || !slices.Equal(c.Makings, []int{1, 3}) || !slices.Equal(c.Orders, []string{"1", "3"}) || c.GoodUntil != at(8).Add(5*schedule.DayMinutes) {
		t.Errorf("card %+v, want 3 batches of 800 g, good until 8:00", c)
	}
}
