package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/money"
	"marchpane/pricing/variance"
)

func printEntries(env *Env, entries []entryDoc) {
	t := table{heads: []string{"entry", "day", "what"}}
	for _, d := range entries {
		says := d.Says
		if d.Undone != "" {
			says += " (taken back on " + d.Undone + because(d.UndoneWhy) + ")"
		}
		t.add(d.ID, d.On, says)
	}
	t.print(env)
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}

// entryDoc is an entry of the journal.
type entryDoc struct {
	ID        string    `json:"entry"`
	On        string    `json:"on"`
	At        string    `json:"at"`
	Kind      string    `json:"kind"`
	Order     string    `json:"order,omitempty"`
	Says      string    `json:"says"`
	Role      string    `json:"role,omitempty"`
	Task      string    `json:"task,omitempty"`
	Who       string    `json:"who,omitempty"`
	Minutes   string    `json:"minutes,omitempty"`
	Use       string    `json:"use,omitempty"`
	Quantity  string    `json:"qty,omitempty"`
	Goods     []goodDoc `json:"goods,omitempty"`
	Packs     string    `json:"packs,omitempty"`
	Pack      string    `json:"pack,omitempty"`
	Price     string    `json:"price,omitempty"`
	TaxIn     string    `json:"tax_in,omitempty"`
	Supplier  string    `json:"supplier,omitempty"`
	Invoice   string    `json:"invoice,omitempty"`
	Until     string    `json:"until,omitempty"`
	Month     string    `json:"month,omitempty"`
	Amount    string    `json:"amount,omitempty"`
	KWh       string    `json:"kwh,omitempty"`
	Cakes     int       `json:"cakes,omitempty"`
	Overhead  string    `json:"overhead,omitempty"`
	Hours     string    `json:"hours,omitempty"`
	Note      string    `json:"note,omitempty"`
	Undone    string    `json:"undone_on,omitempty"`
	UndoneWhy string    `json:"undone_why,omitempty"`
}

type goodDoc struct {
	Resource string `json:"resource"`
	Quantity string `json:"quantity"`
	Unit     string `json:"unit"`
}

// entryDocs returns entries as documents, in the order of their ids.
func (b bench) entryDocs(r actual.Records) []entryDoc {
	docs := []entryDoc{}
	rates := pricing.NewRates(b.x, b.env.today())
	add := func(h actual.Head, kind, order string, d entryDoc, says ...string) {
		d.ID, d.On, d.At, d.Kind, d.Order, d.Note = h.ID, h.On.String(), h.At, kind, order, h.Note
		d.Says = strings.Join(slices.DeleteFunc(says, func(s string) bool { return s == "" }), ", ")
		if h.Note != "" {
			d.Says += ": " + h.Note
		}
		if h.Undone != nil {
			d.Undone, d.UndoneWhy = h.Undone.On.String(), h.Undone.Why
		}
		docs = append(docs, d)
	}
	words := map[actual.Way]string{actual.Used: "used in all", actual.More: "used on top of the plan", actual.Wasted: "thrown away"}
	doing := map[actual.Way]string{actual.Worked: "%s worked %s for %s", actual.Longer: "%s took %s longer than planned for %s", actual.Idle: "%s was idle %s for %s"}
	for _, e := range r.Work {
		add(e.Head, string(e.Way), e.Order, entryDoc{Role: string(e.Role), Task: e.Task, Who: e.Who, Minutes: e.Minutes.Fixed(2)},
			fmt.Sprintf(doing[e.Way], rates.Name(e.Role), actual.InHours(e.Minutes), e.Order), e.Task, e.Who)
	}
	for _, e := range r.Goods {
		d := entryDoc{Use: string(e.Use), Quantity: e.Written.String()}
		var made []string
		for _, g := range e.Goods {
			d.Goods = append(d.Goods, goodDoc{string(g.Resource), g.Quantity.Fixed(6), g.Unit})
			made = append(made, quantityText(g.Quantity, variance.Line{Unit: g.Unit})+" "+rates.Name(g.Resource))
		}
		says := b.say.Quantity(e.Written) + " " + rates.Name(e.Use) + " " + words[e.Way] + " for " + e.Order
		if len(e.Goods) > 1 || len(e.Goods) == 1 && e.Goods[0].Resource != e.Use {
			says += " (" + strings.Join(made, ", ") + ")"
		}
		add(e.Head, string(e.Way), e.Order, d, says)
	}
	for _, e := range r.Purchases {
		d := entryDoc{Use: string(e.Ingredient), Packs: e.Packs.String(), Pack: e.Pack.String(), Price: e.Price.String(), Supplier: e.Supplier, Invoice: e.Invoice}
		tax, order, invoice := "", "", ""
		if e.TaxIn.Given {
			d.TaxIn = e.TaxIn.Value.String()
			tax = b.say.Percent(e.TaxIn.Value) + " tax in it"
		}
		if e.Order != "" {
			order = "for " + e.Order
		}
		if e.Invoice != "" {
			invoice = "invoice " + e.Invoice
		}
		add(e.Head, "bought", e.Order, d, b.say.Bought(e.Packs, e.Pack, rates.Name(e.Ingredient), e.Price.String()), tax, e.Supplier, invoice, order)
	}
	for _, e := range r.Wages {
		until := ""
		if !e.Until.IsZero() {
			until = "until " + b.say.Day(e.Until)
		}
		add(e.Head, "wage", "", entryDoc{Role: string(e.Role), Price: e.PerHour.String(), Until: e.Until.String()},
			fmt.Sprintf("%s is paid %s an hour from %s", rates.Name(e.Role), b.say.Money(e.PerHour.String()), b.say.Day(e.On)), until)
	}
	for _, e := range r.Bills {
		d := entryDoc{Month: e.Month.String()}
		amount, kwh := "", ""
		if e.Amount.Given {
			d.Amount = e.Amount.Value.String()
			amount = b.say.Money(d.Amount)
		}
		if e.KWh.Given {
			d.KWh = e.KWh.Value.String()
			kwh = d.KWh + " kWh"
		}
		add(e.Head, string(e.Of), "", d, string(e.Of)+" of "+b.say.Month(e.Month), amount, kwh)
	}
	for _, e := range r.Plans {
		d := entryDoc{Month: e.Month.String(), Cakes: e.Cakes.Value}
		sales, overhead, hours := "", "", ""
		if e.Cakes.Given {
			d.Amount = e.Margin.Value.String()
			sales = plural(e.Cakes.Value, "cake", "cakes") + " with a margin of " + b.say.Money(d.Amount)
		}
		if e.Overhead.Given {
			d.Overhead = e.Overhead.Value.String()
			overhead = "overhead " + b.say.Money(d.Overhead)
		}
		if e.Hours.Given {
			d.Hours = e.Hours.Value.String()
			hours = "over " + d.Hours + " labour hours"
		}
		add(e.Head, "plan", "", d, "plan of "+b.say.Month(e.Month), sales, overhead, hours)
	}
	for _, e := range r.Charges {
		says := b.say.Money(money.Abs(e.Amount).String()) + " charged on top of " + e.Order
		if e.Amount.Sign() < 0 {
			says = b.say.Money(money.Abs(e.Amount).String()) + " let off the total of " + e.Order
		}
		add(e.Head, "charge", e.Order, entryDoc{Amount: e.Amount.String()}, says)
	}
	slices.SortStableFunc(docs, func(a, b entryDoc) int { return entryNumber(a.ID) - entryNumber(b.ID) })
	return docs
}

func entryNumber(id string) int {
	n, _ := strconv.Atoi(strings.TrimPrefix(id, "A"))
	return n
}
