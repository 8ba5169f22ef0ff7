package shopping

import (
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/money"
)

// TestLaws checks over random books and orders what must hold of any list.
func TestLaws(t *testing.T) {
	books := uint64(150)
	if testing.Short() {
		books = 15
	}
	lines, split, refused := 0, 0, 0
	for seed := range books {
		g := randombook.New(seed)
		x := indexOf(t, string(g.Book()))
		on := day.Must(g.Date())
		var orders []Order
		for i := range x.Book.Cakes {
			orders = append(orders, orderOf(t, x, string(x.Book.Cakes[i].ID), x.Book.Cakes[i].ID))
			orders[i].Wanted[0].Quantity = 1 + i%3
		}
		all, err := ListOf(x, Request{On: on, Orders: orders})
		if err != nil {
			if !strings.Contains(err.Error(), "several parts") {
				t.Fatalf("seed %d: %v", seed, err)
			}
			refused++
			continue
		}
		lines += len(all.Lines)
		checkLines(t, seed, x, all)
		checkSums(t, seed, all)
		checkUsed(t, seed, all)
		for _, l := range all.Lines {
			if l.Split != nil {
				split++
				checkSplit(t, seed, l)
			}
		}
		checkMerge(t, seed, x, on, orders, all)
	}
	if !testing.Short() && (lines < 500 || split < 30) || refused > int(books)/10 {
		t.Errorf("only %d lines and %d of parts were seen, %d of %d books refused", lines, split, refused, books)
	}
}

// checkLines: what is bought does, and no pack is one too many.
func checkLines(t *testing.T, seed uint64, x *book.Index, all List) {
	for _, l := range all.Lines {
		if got := l.OnHand.Add(l.Bought); got.Cmp(l.Needed) < 0 || !got.Sub(l.Needed).Equal(l.Left) {
			t.Errorf("seed %d: %s: %s there, %s needed, %s left", seed, l.ID, got.Text(), l.Needed.Text(), l.Left.Text())
		}
		if l.Needed.Cmp(l.Used) < 0 {
			t.Errorf("seed %d: %s: %s used, %s needed", seed, l.ID, l.Used.Text(), l.Needed.Text())
		}
		it, _ := x.Item(l.ID)
		for _, p := range l.Picks {
			if p.Packs.Sign() <= 0 || !exact.FromBig(p.Packs.Floor()).Equal(p.Packs) {
				t.Errorf("seed %d: %s: %s packs", seed, l.ID, p.Packs.Text())
			}
			if rest := l.Bought.Sub(p.Size); rest.Cmp(l.ToBuy) >= 0 {
				t.Errorf("seed %d: %s: %s of %s bought to have %s; one is too many", seed, l.ID, p.Packs.Text(), p.Price.Pack, l.ToBuy.Text())
			}
			if s := it.Ingredient.Supplier; s.Given && p.Supplier() != s.Value {
				t.Errorf("seed %d: %s of %q, want of %q", seed, l.ID, p.Supplier(), s.Value)
			}
		}
	}
}

// checkSums: what is shown adds up, and so does what is exact.
func checkSums(t *testing.T, seed uint64, all List) {
	var total Sum
	for _, g := range all.Groups {
		var sum Sum
		for i, b := range g.Buys {
			sum = sum.plus(b.Pick.Sum)
			if i > 0 && byCategory(g.Buys[i-1].Line, b.Line) > 0 {
				t.Errorf("seed %d: %s stands before %s", seed, g.Buys[i-1].Line.ID, b.Line.ID)
			}
		}
		if !same(sum, g.Sum) {
			t.Errorf("seed %d: %s adds up to %v, want %v", seed, g.Supplier, sum, g.Sum)
		}
		total = total.plus(g.Sum)
	}
	if !same(total, all.Sum) {
		t.Errorf("seed %d: suppliers add up to %v, want %v", seed, total, all.Sum)
	}
	var lines Sum
	for _, l := range all.Lines {
		lines = lines.plus(l.Sum)
	}
	if !same(lines, all.Sum) {
		t.Errorf("seed %d: lines add up to %v, want %v", seed, lines, all.Sum)
	}
	near := func(shown money.Amount, n exact.Number) bool { return shown.Equal(all.Currency.Round(n)) }
	if !near(all.Sum.PaidShown, all.Sum.Paid) || !near(all.Sum.CostShown, all.Sum.Cost) {
		t.Errorf("seed %d: total shown as %s and %s", seed, all.Sum.PaidShown, all.Sum.CostShown)
	}
	if all.Sum.Cost.Cmp(all.Sum.Paid) > 0 || !all.Recovers && !all.Sum.Cost.Equal(all.Sum.Paid) {
		t.Errorf("seed %d: cost %s of %s paid", seed, all.Sum.Cost.Text(), all.Sum.Paid.Text())
	}
}

func same(a, b Sum) bool {
	return a.Paid.Equal(b.Paid) && a.Cost.Equal(b.Cost) && a.PaidShown.Equal(b.PaidShown) && a.CostShown.Equal(b.CostShown)
}

// checkUsed: the list takes what the bills of the cakes do; of parts more.
func checkUsed(t *testing.T, seed uint64, all List) {
	billed := map[book.ID]exact.Number{}
	for _, o := range all.Orders {
		for _, w := range o.Wanted {
			for _, l := range w.Takeoff.Bill {
				if l.Kind == pricing.Ingredient || l.Kind == pricing.Packaging {
					billed[l.Resource] = billed[l.Resource].Add(l.Quantity.Mul(exact.Int(int64(w.Quantity))))
				}
			}
		}
	}
	if len(billed) != len(all.Lines) {
		t.Errorf("seed %d: %d lines, want %d", seed, len(all.Lines), len(billed))
	}
	for _, l := range all.Lines {
		var shares exact.Number
		for _, s := range l.For {
			shares = shares.Add(s.Quantity)
		}
		if c := l.Used.Cmp(billed[l.ID]); c < 0 || c > 0 && l.Split == nil || !shares.Equal(billed[l.ID]) {
			t.Errorf("seed %d: %s: %s used, %s by orders, want %s of the bills", seed, l.ID, l.Used.Text(), shares.Text(), billed[l.ID].Text())
		}
	}
}

// checkSplit: grams are neither lost nor found when pieces are taken apart.
func checkSplit(t *testing.T, seed uint64, l Line) {
	var piece, parts exact.Number
	for _, p := range l.Split.Parts {
		piece = piece.Add(p.InPiece)
		parts = parts.Add(p.Needed).Add(p.Left)
		if p.Left.Sign() < 0 {
			t.Errorf("seed %d: %s of %s g left", seed, p.ID, p.Left.Text())
		}
	}
	if got, want := l.Split.Whole.Mul(piece).Add(parts), l.Split.Pieces.Mul(piece); !got.Equal(want) {
		t.Errorf("seed %d: %s: %s g used and left of %s g", seed, l.ID, got.Text(), want.Text())
	}
	if l.Split.Pieces.Sub(l.Split.Whole.Add(l.Split.Apart)).Cmp(exact.Int(1)) >= 0 {
		t.Errorf("seed %d: %s: %s pieces for %s + %s", seed, l.ID, l.Split.Pieces.Text(), l.Split.Whole.Text(), l.Split.Apart.Text())
	}
}

// checkMerge: one list for all costs no more than a list for each, and is
// always the same.
func checkMerge(t *testing.T, seed uint64, x *book.Index, on day.Date, orders []Order, all List) {
	var apart exact.Number
	for _, o := range orders {
		one, err := ListOf(x, Request{On: on, Orders: []Order{o}})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		apart = apart.Add(one.Sum.Cost)
	}
	if all.Sum.Cost.Cmp(apart) > 0 {
		t.Errorf("seed %d: together %s, apart %s", seed, all.Sum.Cost.Text(), apart.Text())
	}
	single, err := ListOf(x, Request{On: on, Orders: orders, OneSupplier: true})
	if err != nil || single.Sum.Cost.Cmp(all.Sum.Cost) < 0 {
		t.Errorf("seed %d: of one supplier each %s, %v; of any %s", seed, single.Sum.Cost.Text(), err, all.Sum.Cost.Text())
	}
}
