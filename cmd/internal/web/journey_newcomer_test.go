package web

import (
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNewcomer goes from an empty store to the paper of a quote, by the pages
// alone.
func TestNewcomer(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, false)
	p := v.sits(t, ctx, 1440, true)
	p.fill("What is your studio called?", "Rook & Larder")
	p.fill("Currency", "EUR")
	p.fill("Language of your papers", "English (Ireland)")
	p.fill("Sales tax", "13.5")
	p.fill("Margin", "35")
	p.press("Start")
	p.press("Add something you buy")
	p.fill("Name", "Plain flour")
	p.fill("A pack holds", "5 kg")
	p.fill("A pack costs", "6.00")
	p.reads("What is known of it")
	p.press("Add it")
	p.press("Prices")
	p.press("Take in a price list")
	list := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(list, []byte("Item;Pack;Price\nButter;10 x 250 g;22,00\nCaster sugar;2 kg;3,20\nEggs;30 each;7,50\nRaspberry jam;1 kg;6,40\nPlain flour;5 kg;6,50\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p.fill("Price list", list)
	p.fill("Whose list it is", "Millstream Dairy")
	p.press("Show what each row would do")
	p.fill("Its prices", "hold no tax")
	p.fill("Rate of that tax", "0")
	p.press("Read it again")
	p.fill("Add every item that is not known", "yes")
	p.press("Look again")
	p.press("Take the new prices")
	p.press("Recipes")
	p.press("Write a recipe")
	p.fill("Name", "Vanilla sponge")
	p.fill("Lines", "500 g plain flour\n500 g butter\n400 g caster sugar\n9 eggs")
	p.fill("Or: a batch weighs", "1.8 kg")
	p.reads("Plain flour")
	p.press("Add it")
	p.reads("Vanilla sponge is added")
	p.press("Studio")
	p.press("Work and wages")
	p.press("Add a role")
	p.fill("Role", "Decorator")
	p.fill("Wage an hour", "18.00")
	p.press("Add it")
	p.press("Studio")
	p.press("Tins you own")
	p.press("Add a tin")
	p.fill("Diameter, of a round one", "20 cm")
	p.fill("Depth inside", "10 cm")
	p.press("Add it")
	p.press("Cakes")
	p.press("Add a cake")
	p.fill("Name", "Christening cake")
	const bottom, top = "Tier 1, at the bottom", "Tier 2, at the top"
	p.fill("Across", "200 mm", bottom)
	p.fill("High", "100 mm", bottom)
	p.fill("What", "Vanilla sponge", "part 1 of bottom")
	p.fill("How much", "1.2 kg", "part 1 of bottom")
	p.fill("What is done", "filling and coating", "task 1 of bottom")
	p.fill("By", "Decorator", "task 1 of bottom")
	p.fill("Takes", "40 min", "task 1 of bottom")
	p.press("Another tier like this on top")
	p.fill("Across", "150 mm", top)
	p.fill("How much", "600 g", "part 1 of top")
	p.fill("Takes", "20 min", "task 1 of top")
	p.press("Add it")
	p.reads("Christening cake is added")
	p.press("Orders")
	p.press("Note an enquiry")
	p.fill("Who asks", "Wren Abernathy")
	p.fill("Day of the event", "2027-03-20")
	p.fill("Guests", "20")
	p.press("Note it")
	p.press("Make a quote")
	p.fill("Cake", "Christening cake")
	p.reads("€45.30")
	p.press("Save it and go on to issue")
	p.reads("€45.30", "Wren Abernathy")
	p.press("Issue it")
	p.reads("2026-0001", "The paper the client gets")

	// The sum, apart from the program: a batch is just what both tiers take.
	// Flour goes by the newest of its two prices.
	cost := sum("0.500*6.50/5", "0.500*22.00/2.5", "0.400*3.20/2", "9*7.50/30", "18.00*60/60")
	total := new(big.Rat).Mul(new(big.Rat).Quo(cost, big.NewRat(65, 100)), big.NewRat(1135, 1000)) // 35 % margin, 13.5 % tax
	want := "€" + total.FloatString(2)
	if want != "€45.30" {
		t.Fatalf("the sum of what was typed is %s", want)
	}
	paper := pdfText(t, p.saves("quote.pdf", "Open the paper"))
	for _, text := range []string{"Wren Abernathy", "Rook & Larder", "2026-0001", want} {
		if !strings.Contains(paper, text) {
			t.Errorf("the paper does not say %q: %s", text, paper)
		}
	}
}

// sum adds products such as "0.500*22.00/2.5".
func sum(terms ...string) *big.Rat {
	total := new(big.Rat)
	for _, term := range terms {
		factors, divisor, _ := strings.Cut(term, "/")
		product := new(big.Rat).Inv(rat(divisor))
		for f := range strings.SplitSeq(factors, "*") {
			product.Mul(product, rat(f))
		}
		total.Add(total, product)
	}
	return total
}

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("no number: " + s)
	}
	return r
}
