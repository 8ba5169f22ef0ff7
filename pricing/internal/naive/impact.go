package naive

import (
	"fmt"
	"math/big"
	"strings"
)

// Impact answers `impact RESOURCE --price VALUE` (mode "price", value
// "PACK=PRICE") or `--change VALUE` (mode "change", value "18 %" or "-5 %").
func (b *Book) Impact(resource, mode, value, on string) (answer []map[string]any, err error) {
	defer catch(&err)
	answer = []map[string]any{}
	for i := range b.Cakes {
		c := &b.Cakes[i]
		entries := b.cakeBill(c)
		for _, e := range entries {
			if e.resource == resource {
				answer = append(answer, b.impactOn(c, entries, e, mode, value, on))
			}
		}
	}
	return answer, nil
}

// impactOn returns what a new price of one line of a cake's bill does to it.
func (b *Book) impactOn(c *cake, entries []entry, e entry, mode, value, on string) map[string]any {
	old := b.unitPrice(e, on)
	new := b.newPrice(e, old, mode, value, on)
	share := b.overheadShare(on)
	before := b.costOf(entries, on).total()
	after := add(before, mul(e.quantity, sub(new, old), add(one, share)))
	answer := map[string]any{"cake": c.ID, "cost_before": text(before, 6), "cost_after": text(after, 6)}

	shown := b.shownPrice(c, on) // the one before the change
	if shown == nil {
		return answer
	}
	net := b.netOf(shown, b.taxRate(c.TaxRate))
	if net.Sign() == 0 {
		return answer
	}
	f := percentOr(b.Studio.FloorMargin, "0 %")
	answer["margin_before"] = text(margin(net, before), 6)
	answer["margin_after"] = text(margin(net, after), 6)
	answer["below_floor"] = margin(net, after).Cmp(f) < 0

	others := zero
	for _, o := range entries {
		if o.resource != e.resource {
			others = add(others, mul(o.quantity, b.unitPrice(o, on)))
		}
	}
	answer["break_even"] = nil
	breakEven := div(sub(div(mul(net, sub(one, f)), add(one, share)), others), e.quantity)
	if breakEven.Sign() >= 0 {
		answer["break_even"] = text(breakEven, 12)
	}
	return answer
}

// newPrice returns the price of one unit of a bill's line after the change.
func (b *Book) newPrice(e entry, old *big.Rat, mode, value, on string) *big.Rat {
	if mode == "change" {
		if cut, ok := strings.CutPrefix(value, "-"); ok {
			return mul(old, sub(one, percent(cut)))
		}
		return mul(old, add(one, percent(value)))
	}
	pack, price, ok := strings.Cut(value, "=")
	if mode != "price" || !ok {
		panic(fmt.Errorf("naive: %s %q is no change of price", mode, value))
	}
	perHour := func() *big.Rat { return div(decimal(price), div(b.pack("time", pack), whole(60))) }
	switch e.kind {
	case "role":
		return b.loadedMinute(b.role(e.resource), perHour())
	case "equipment":
		return div(perHour(), whole(60))
	case "energy":
		return div(decimal(price), b.pack("energy", pack))
	case "overhead":
		if b.Overhead.Method == "cake" {
			number, _ := strings.CutSuffix(pack, " cake")
			return div(decimal(price), decimal(number))
		}
		return perHour()
	}
	ing, _ := b.ingredientOf(e.resource)
	return b.packPrice(ing, pack, price, b.priceInForce(ing, on).TaxIn)
}
