package seed

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// stock tells what was bought for the store room: every Monday what the orders
// of the days ahead need and the shelves lack, in whole packs, an invoice a
// supplier. Most of it costs what the price list says.
func (y *year) stock(list []*deal) error {
	type need struct {
		on day.Date
		of order
	}
	var needs []need
	for _, d := range list {
		if d.accepted.IsZero() || !d.called.IsZero() || d.event.Before(firstEvent) {
			continue
		}
		o, err := y.orderOf(d.made)
		if err != nil {
			return err
		}
		needs = append(needs, need{d.event, o})
	}
	c := newDice(-1)
	shelf := map[book.ID]exact.Number{}
	invoices := map[string]int{}
	const ahead = 10 // days that a Monday's list looks ahead
	for monday := day.Must("2025-11-24"); !monday.After(Today); monday = monday.AddDays(7) {
		want := map[book.ID]exact.Number{}
		for _, n := range needs {
			switch {
			case !n.on.Before(monday) && n.on.Before(monday.AddDays(ahead)):
				for id, q := range n.of.quantity {
					want[id] = want[id].Add(q)
				}
			case !n.on.Before(monday.AddDays(-7)) && n.on.Before(monday):
				for id, q := range n.of.quantity {
					shelf[id] = exact.Max(exact.Int(0), shelf[id].Sub(q))
				}
			}
		}
		bySupplier := map[string][]actual.GoodsBought{}
		var suppliers []string
		for _, id := range byID(want) {
			lacking := want[id].Mul(exact.Frac(103, 100)).Sub(shelf[id])
			if slices.Contains(fresh, id) || id == "water" || lacking.Sign() <= 0 {
				continue
			}
			line, err := y.invoiced(id, lacking, monday, dearer(c, id, monday))
			if err != nil {
				return err
			}
			shelf[id] = shelf[id].Add(line.Packs.Number().Mul(line.Pack.Size(measure.Metric)))
			if bySupplier[line.Supplier] == nil {
				suppliers = append(suppliers, line.Supplier)
			}
			bySupplier[line.Supplier] = append(bySupplier[line.Supplier], line)
		}
		slices.Sort(suppliers)
		for i, s := range suppliers {
			invoices[s] += c.between(3, 19)
			number := fmt.Sprintf("%s-%d", strings.ToUpper(s[:2]), 2000+invoices[s])
			for j := range bySupplier[s] {
				bySupplier[s][j].Invoice = number
			}
			y.note(monday, 7*60+15+5*i, Bought{bySupplier[s]})
		}
	}
	return nil
}

// invoiced buys at least so much of an ingredient, in whole packs, at so many
// thousandths of its price on a day, to the nearest five cents.
func (y *year) invoiced(id book.ID, atLeast exact.Number, on day.Date, thousandths int) (actual.GoodsBought, error) {
	it, ok := y.x.Item(id)
	if !ok {
		return actual.GoodsBought{}, fmt.Errorf("%s is not in the demo book", id)
	}
	price, err := it.Ingredient.PriceOn(on)
	if err != nil {
		return actual.GoodsBought{}, err
	}
	packs := atLeast.Quo(price.Pack.Size(measure.Metric)).Ceil()
	line := actual.GoodsBought{Use: id, Pack: price.Pack, Price: price.Price, TaxIn: price.TaxIn, Supplier: price.Supplier.Or(""), On: on}
	line.Packs = figure(int(packs.Int64())).Value
	if thousandths != 1000 {
		steps := exact.FromDecimal(price.Price.Number().Mul(exact.Frac(int64(thousandths), 1000)).Mul(exact.Int(20)).Round(0))
		line.Price = money.PriceOf(steps.Quo(exact.Int(20)).Round(2))
	}
	return line, nil
}

// dearer returns what an invoice asks for an ingredient in thousandths of its
// price list. Common practice, no source: butter climbs in spring before the
// lists follow, eggs are short in the dark months, raspberries are dear in
// winter and cheap in summer.
func dearer(c dice, id book.ID, on day.Date) int {
	month := on.Time().Month()
	switch {
	case id == "butter" && month >= time.March && month <= time.May:
		return 1000 + c.between(15, 60)
	case id == "egg" && (month == time.December || month <= time.February):
		return 1000 + c.between(20, 80)
	case id == "raspberry" && (month == time.December || month <= time.March):
		return 1000 + c.between(60, 220)
	case id == "raspberry" && month >= time.June && month <= time.August:
		return 1000 - c.between(60, 180)
	case id == "lemon" && month >= time.June && month <= time.August:
		return 1000 + c.between(30, 120)
	case id == "dark-couverture" && month >= time.September:
		return 1000 - c.between(0, 30)
	case c.chance(14):
		return 1000 + c.between(-25, 45)
	}
	return 1000
}
