package naive

import (
	"encoding/json"
	"fmt"
	"math/big"
	"sort"
	"time"
)

type request struct {
	Client struct {
		Name string `json:"name"`
	} `json:"client"`
	Event struct {
		Date  string `json:"date"`
		Venue string `json:"venue"`
		KM    string `json:"km"`
	} `json:"event"`
	On    string `json:"on"`
	Lines []struct {
		Cake     string `json:"cake"`
		Quantity int    `json:"quantity"`
	} `json:"lines"`
	Extras []struct {
		Extra    string `json:"extra"`
		Quantity int    `json:"quantity"`
	} `json:"extras"`
	Discount string `json:"discount"`
}

// quoteLine is a line of a quote. Its amount falls under one tax rate, or, for a
// discount, is shared among several.
type quoteLine struct {
	kind, name string
	quantity   int
	unitPrice  *big.Rat
	shares     []share
}

type share struct{ rate, amount *big.Rat }

func (l quoteLine) amount() *big.Rat { return mul(l.unitPrice, whole(l.quantity)) }

// extraUse is an extra that an order includes, shown or not.
type extraUse struct {
	extra    *extra
	quantity int
}

// Quote answers `quote new` for a request that is issued under a number.
func (b *Book) Quote(requestJSON []byte, number string) (answer map[string]any, err error) {
	defer catch(&err)
	q := b.readRequest(requestJSON)
	lines := b.quoteLines(q)
	taxes := b.taxes(lines)
	total := b.total(lines, taxes)

	money := func(x *big.Rat) string { return text(x, minorUnits(b.Studio.Currency)) }
	lineList, taxList, instalmentList := []map[string]any{}, []map[string]any{}, []map[string]any{}
	for _, l := range lines {
		lineList = append(lineList, map[string]any{
			"kind": l.kind, "name": l.name, "quantity": l.quantity, "unit_price": money(l.unitPrice), "amount": money(l.amount()),
		})
	}
	for _, t := range taxes {
		taxList = append(taxList, map[string]any{"rate": text(t.rate, 6), "net": money(t.net), "tax": money(t.tax)})
	}
	for _, p := range b.payments(q, total) {
		instalmentList = append(instalmentList, map[string]any{"due": p.due, "amount": money(p.amount)})
	}
	return map[string]any{
		"number": number, "revision": "A", "lines": lineList, "tax": taxList,
		"total": money(total), "instalments": instalmentList,
	}, nil
}

// QuoteCost returns the studio's side of a quote, as `cost` and `margin` at 6
// decimals: the cost with that of all extras, hidden ones too, and the margin on
// the total without tax (absent where that is zero).
func (b *Book) QuoteCost(requestJSON []byte) (answer map[string]any, err error) {
	defer catch(&err)
	q := b.readRequest(requestJSON)
	cost := zero
	for _, l := range q.Lines {
		one := b.costOf(b.cakeBill(b.cake(l.Cake)), q.On).total()
		cost = add(cost, mul(one, whole(l.Quantity)))
	}
	for _, u := range b.extrasOf(q) {
		one := b.costOf(b.extraBill(u.extra, b.km(q)), q.On).total()
		cost = add(cost, mul(one, whole(u.quantity)))
	}
	answer = map[string]any{"cost": text(cost, 6)}
	lines := b.quoteLines(q)
	taxes := b.taxes(lines)
	net := b.total(lines, taxes)
	for _, t := range taxes {
		net = sub(net, t.tax)
	}
	if net.Sign() != 0 {
		answer["margin"] = text(margin(net, cost), 6)
	}
	return answer, nil
}

func (b *Book) readRequest(requestJSON []byte) request {
	var q request
	if err := json.Unmarshal(requestJSON, &q); err != nil {
		panic(fmt.Errorf("naive: read request: %w", err))
	}
	return q
}

// km is the distance of the order; an extra that does not ask for it may go without.
func (b *Book) km(q request) *big.Rat { return decimalOr(q.Event.KM, "0") }

// extrasOf returns the requested extras, then the other ones that are always on.
func (b *Book) extrasOf(q request) []extraUse {
	var uses []extraUse
	requested := map[string]bool{}
	for _, r := range q.Extras {
		uses = append(uses, extraUse{b.extra(r.Extra), r.Quantity})
		requested[r.Extra] = true
	}
	for i := range b.Extras {
		if x := &b.Extras[i]; x.Always && !requested[x.ID] {
			uses = append(uses, extraUse{x, 1})
		}
	}
	return uses
}

// quoteLines returns the lines in order: cakes, requested extras, other extras
// that are always on, discount, minimum order.
func (b *Book) quoteLines(q request) []quoteLine {
	var lines []quoteLine
	for _, l := range q.Lines {
		c := b.cake(l.Cake)
		price := b.shownPrice(c, q.On)
		if price == nil {
			panic(fmt.Errorf("naive: cake %q has no price", c.ID))
		}
		lines = append(lines, newLine("cake", c.Name, l.Quantity, price, b.taxRate(c.TaxRate)))
	}
	cakes := lines
	for _, u := range b.extrasOf(q) {
		if u.extra.Hidden {
			continue
		}
		x := u.extra
		price := b.rounded(add(decimalOr(x.Price, "0"), mul(decimalOr(x.PricePerKM, "0"), b.km(q))))
		lines = append(lines, newLine("extra", x.Name, u.quantity, price, b.taxRate(x.TaxRate)))
	}
	if q.Discount != "" && percent(q.Discount).Sign() > 0 {
		lines = append(lines, b.discountLine(percent(q.Discount), cakes))
	}
	if b.Studio.MinimumOrder != "" {
		missing := sub(decimal(b.Studio.MinimumOrder), sumOf(lines))
		if missing.Sign() > 0 {
			lines = append(lines, newLine("minimum", "minimum order", 1, missing, b.taxRate("")))
		}
	}
	return lines
}

func newLine(kind, name string, quantity int, price, rate *big.Rat) quoteLine {
	l := quoteLine{kind: kind, name: name, quantity: quantity, unitPrice: price}
	l.shares = []share{{rate, l.amount()}}
	return l
}

func sumOf(lines []quoteLine) *big.Rat {
	sum := zero
	for _, l := range lines {
		sum = add(sum, l.amount())
	}
	return sum
}

// discountLine takes a percentage of the cake lines, rounded once, and shares it
// by their amounts at each tax rate: whole minor units first, then those left
// over to the largest remainders, the lower rate first among equals.
func (b *Book) discountLine(percentage *big.Rat, cakes []quoteLine) quoteLine {
	sum := sumOf(cakes)
	discount := b.rounded(mul(percentage, sum))
	minor := div(one, whole(pow10(minorUnits(b.Studio.Currency))))

	type part struct{ rate, units, remainder *big.Rat }
	var parts []part // by rising rate
	left := div(discount, minor)
	for _, at := range byRate(cakes) {
		units, remainder := zero, zero
		if sum.Sign() != 0 {
			exact := div(div(mul(discount, at.amount), sum), minor)
			units = floor(exact)
			remainder = sub(exact, units)
		}
		left = sub(left, units)
		parts = append(parts, part{at.rate, units, remainder})
	}
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].remainder.Cmp(parts[j].remainder) > 0 })
	l := quoteLine{kind: "discount", name: "discount", quantity: 1, unitPrice: new(big.Rat).Neg(discount)}
	for _, p := range parts {
		if left.Sign() > 0 {
			p.units = add(p.units, one)
			left = sub(left, one)
		}
		l.shares = append(l.shares, share{p.rate, new(big.Rat).Neg(mul(p.units, minor))})
	}
	return l
}

func pow10(n int) int {
	p := 1
	for range n {
		p *= 10
	}
	return p
}

// byRate sums the amounts of lines at each tax rate, by rising rate.
func byRate(lines []quoteLine) []share {
	var sums []share
	for _, l := range lines {
	next:
		for _, s := range l.shares {
			for i := range sums {
				if sums[i].rate.Cmp(s.rate) == 0 {
					sums[i].amount = add(sums[i].amount, s.amount)
					continue next
				}
			}
			sums = append(sums, s)
		}
	}
	sort.Slice(sums, func(i, j int) bool { return sums[i].rate.Cmp(sums[j].rate) < 0 })
	return sums
}

type taxed struct{ rate, net, tax *big.Rat }

// taxes returns the tax per rate, by rising rate; none for a studio without tax.
func (b *Book) taxes(lines []quoteLine) []taxed {
	if b.Studio.Tax == nil {
		return nil
	}
	var taxes []taxed
	for _, at := range byRate(lines) {
		tax := zero
		if b.Studio.Tax.By == "line" {
			for _, l := range lines {
				for _, s := range l.shares {
					if s.rate.Cmp(at.rate) == 0 {
						tax = add(tax, b.taxOn(s.amount, s.rate))
					}
				}
			}
		} else {
			tax = b.taxOn(at.amount, at.rate)
		}
		net := at.amount
		if b.gross() {
			net = sub(at.amount, tax)
		}
		taxes = append(taxes, taxed{at.rate, net, tax})
	}
	return taxes
}

// taxOn is g·t ÷ (1 + t) from a gross amount, n·t from a net one, rounded.
func (b *Book) taxOn(amount, rate *big.Rat) *big.Rat {
	if b.gross() {
		return b.rounded(div(mul(amount, rate), add(one, rate)))
	}
	return b.rounded(mul(amount, rate))
}

// total is what the client pays, tax included.
func (b *Book) total(lines []quoteLine, taxes []taxed) *big.Rat {
	total := sumOf(lines)
	if !b.gross() {
		for _, t := range taxes {
			total = add(total, t.tax)
		}
	}
	return total
}

type payment struct {
	due    string
	amount *big.Rat
}

// payments returns the deposit and the instalments; they add up to the total.
func (b *Book) payments(q request, total *big.Rat) []payment {
	var payments []payment
	left := total
	deposit := percentOr(b.Studio.Quote.Deposit, "0 %")
	if deposit.Sign() > 0 {
		amount := b.rounded(mul(total, deposit))
		payments = append(payments, payment{q.On, amount})
		left = sub(left, amount)
	}
	listed := b.Studio.Quote.Instalments
	if len(listed) == 0 {
		return append(payments, payment{q.Event.Date, left})
	}
	for i, in := range listed {
		amount := b.rounded(mul(total, percent(in.Share)))
		if i == len(listed)-1 {
			amount = left
		}
		payments = append(payments, payment{daysBefore(q.Event.Date, in.DaysBefore, q.On), amount})
		left = sub(left, amount)
	}
	return payments
}

// daysBefore returns the day so many days before the event, but not before issue.
func daysBefore(event string, days int, issue string) string {
	day, err := time.Parse(time.DateOnly, event)
	if err != nil {
		panic(fmt.Errorf("naive: event date: %w", err))
	}
	due := day.AddDate(0, 0, -days).Format(time.DateOnly)
	if due < issue {
		return issue
	}
	return due
}
