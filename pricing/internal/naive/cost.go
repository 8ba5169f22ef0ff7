package naive

import (
	"fmt"
	"math/big"
)

// inForce returns the dated entry in force on a day: the newest `from` not after
// it, of two equal ones the later listed.
func inForce(what string, entries []dated, on string) dated {
	found := -1
	for i, e := range entries {
		// Dates as year-month-day compare as text.
		if e.From <= on && (found < 0 || e.From >= entries[found].From) {
			found = i
		}
	}
	if found < 0 {
		panic(fmt.Errorf("naive: no price of %s on %s", what, on))
	}
	return entries[found]
}

// priceInForce returns the purchase price of an ingredient in force on a day.
func (b *Book) priceInForce(ing *ingredient, on string) dated {
	var counted []dated
	for _, p := range ing.Prices {
		if ing.Supplier == "" || p.Supplier == ing.Supplier {
			counted = append(counted, p)
		}
	}
	return inForce(ing.ID, counted, on)
}

// unitPrice returns what one unit of a bill's line costs on a day.
func (b *Book) unitPrice(e entry, on string) *big.Rat {
	switch e.kind {
	case "ingredient", "packaging":
		ing, _ := b.ingredientOf(e.resource)
		p := b.priceInForce(ing, on)
		return b.packPrice(ing, p.Pack, p.Price, p.TaxIn)
	case "role":
		r := b.role(e.resource)
		return b.loadedMinute(r, decimal(inForce(r.ID, r.Wage, on).PerHour))
	case "energy":
		return decimal(inForce("energy", b.Energy, on).Price)
	case "equipment":
		return div(decimalOr(b.appliance(e.resource).PerHour, "0"), whole(60))
	case "overhead":
		amount := decimal(inForce("overhead", b.Overhead.Dated, on).Amount)
		if b.Overhead.Method == "cake" {
			return amount
		}
		return div(amount, div(b.in("time", b.Overhead.Hours), whole(60)))
	}
	panic(fmt.Errorf("naive: %q has no price", e.resource))
}

// packPrice is price ÷ pack, without the tax a studio recovers.
func (b *Book) packPrice(ing *ingredient, pack, price, taxIn string) *big.Rat {
	paid := decimal(price)
	if b.Studio.RecoversTax && taxIn != "" {
		paid = div(paid, add(one, percent(taxIn)))
	}
	return div(paid, b.pack(ing.Measure, pack))
}

// loadedMinute is per_hour ÷ 60 × (1 + on_cost) ÷ productive.
func (b *Book) loadedMinute(r *role, perHour *big.Rat) *big.Rat {
	onCost := percentOr(r.OnCost, "0 %")
	productive := percentOr(r.Productive, "100 %")
	return div(mul(div(perHour, whole(60)), add(one, onCost)), productive)
}

// classes is a cost by class.
type classes struct {
	ingredients, packaging, labour, equipment, overhead *big.Rat
}

func (c classes) total() *big.Rat {
	return add(c.ingredients, c.packaging, c.labour, c.equipment, c.overhead)
}

// costOf sums quantity × unit price over a bill.
func (b *Book) costOf(entries []entry, on string) classes {
	sum := map[string]*big.Rat{}
	for _, kind := range kinds {
		sum[kind] = zero
	}
	for _, e := range entries {
		sum[e.kind] = add(sum[e.kind], mul(e.quantity, b.unitPrice(e, on)))
	}
	c := classes{
		ingredients: sum["ingredient"],
		packaging:   sum["packaging"],
		labour:      sum["role"],
		equipment:   add(sum["equipment"], sum["energy"]),
		overhead:    sum["overhead"],
	}
	c.overhead = add(c.overhead, mul(b.overheadShare(on), add(c.ingredients, c.packaging, c.labour, c.equipment)))
	return c
}

// overheadShare is the share of the method `percent`, 0 for the others.
func (b *Book) overheadShare(on string) *big.Rat {
	if b.Overhead.Method != "percent" {
		return zero
	}
	return percent(inForce("overhead", b.Overhead.Dated, on).Share)
}

// Cost answers `cost CAKE --on DATE`.
func (b *Book) Cost(cakeID, on string) (answer map[string]any, err error) {
	defer catch(&err)
	c := b.cake(cakeID)
	entries := b.cakeBill(c)
	cost := b.costOf(entries, on)
	made, served := b.cakePortions(c)
	answer = map[string]any{
		"cake":          c.ID,
		"on":            on,
		"portions":      served,
		"portions_made": made,
		"cost": map[string]any{
			"ingredients": text(cost.ingredients, 6),
			"packaging":   text(cost.packaging, 6),
			"labour":      text(cost.labour, 6),
			"equipment":   text(cost.equipment, 6),
			"overhead":    text(cost.overhead, 6),
			"total":       text(cost.total(), 6),
		},
		"labour_minutes": text(labourMinutes(entries), 6),
	}
	if served > 0 {
		answer["per_portion"] = text(div(cost.total(), whole(served)), 6)
	}
	if target := b.targetPrice(c, on); target != nil {
		answer["target_price"] = text(target, 6)
	}
	if shown := b.shownPrice(c, on); shown != nil {
		net := b.netOf(shown, b.taxRate(c.TaxRate))
		answer["shown_price"] = text(shown, 6)
		answer["net_price"] = text(net, 6)
		if net.Sign() != 0 {
			answer["margin"] = text(margin(net, cost.total()), 6)
		}
	}
	return answer, nil
}

// margin is (net − cost) ÷ net.
func margin(net, cost *big.Rat) *big.Rat { return div(sub(net, cost), net) }

// shownPrice is the list price, else the target price; nil where there is none.
func (b *Book) shownPrice(c *cake, on string) *big.Rat {
	if c.Price != "" {
		return decimal(c.Price)
	}
	return b.targetPrice(c, on)
}

// targetPrice is the price from the target and the step, as shown; nil where
// the target gives none.
func (b *Book) targetPrice(c *cake, on string) *big.Rat {
	t := b.Studio.Target
	if c.Target != nil {
		t = *c.Target
	}
	cost := b.costOf(b.cakeBill(c), on).total()
	rate := b.taxRate(c.TaxRate)
	var shown *big.Rat
	switch {
	case t.Margin != "":
		shown = b.shownOf(div(cost, sub(one, percent(t.Margin))), rate)
	case t.Markup != "":
		shown = b.shownOf(mul(cost, add(one, percent(t.Markup))), rate)
	case t.PerPortion != "":
		_, served := b.cakePortions(c)
		if served == 0 {
			return nil
		}
		shown = mul(decimal(t.PerPortion), whole(served))
	default:
		shown = decimal(t.Fixed)
	}
	if b.Studio.PriceStep != "" {
		step := decimal(b.Studio.PriceStep)
		return mul(ceil(div(shown, step)), step)
	}
	return b.rounded(shown)
}

// taxRate is the stated rate, else the studio's; a studio without tax charges none.
func (b *Book) taxRate(stated string) *big.Rat {
	if b.Studio.Tax == nil {
		return zero
	}
	if stated != "" {
		return percent(stated)
	}
	return percent(b.Studio.Tax.Rate)
}

// gross tells whether prices are shown with tax.
func (b *Book) gross() bool { return b.Studio.PricesShown != "net" }

func (b *Book) shownOf(net, rate *big.Rat) *big.Rat {
	if b.gross() {
		return mul(net, add(one, rate))
	}
	return net
}

func (b *Book) netOf(shown, rate *big.Rat) *big.Rat {
	if b.gross() {
		return div(shown, add(one, rate))
	}
	return shown
}

// rounded is money at the currency's minor unit.
func (b *Book) rounded(x *big.Rat) *big.Rat { return round(x, minorUnits(b.Studio.Currency)) }
