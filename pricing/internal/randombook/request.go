package randombook

import (
	"encoding/json"
	"fmt"
)

// plain is as much of a book file as requests and changes of price need.
type plain struct {
	Studio struct {
		Target object `json:"target"`
	} `json:"studio"`
	Roles, Equipment []struct{ ID string }
	Energy           []object
	Overhead         struct{ Method string }
	Ingredients      []struct{ ID, Measure string }
	Cakes            []struct {
		ID, Price string
		Target    object
		Portions  int
		Tiers     []struct {
			Dummy, Kept bool
			Portions    int
			Portion     struct{ Count int }
		}
	}
	Extras []struct {
		ID         string
		PricePerKM string `json:"price_per_km"`
		Parts      []struct{ Per string }
		Tasks      []struct{ Per string }
		Equipment  []struct{ Per string }
	}
}

func read(book []byte) plain {
	var p plain
	if err := json.Unmarshal(book, &p); err != nil {
		panic(fmt.Errorf("randombook: %w", err))
	}
	return p
}

// Requests returns n requests for quotes that fit a book of [Gen.Book]; none
// where no cake of the book is sure to have a price.
func (g *Gen) Requests(book []byte, n int) [][]byte {
	p := read(book)
	cakes := p.priced()
	if len(cakes) == 0 {
		return nil
	}
	var list [][]byte
	for range n {
		on := g.Date()
		event := object{"date": g.dayFrom(on, 400)}
		if g.chance(50) {
			event["venue"] = "The old barn"
		}
		if p.asksForKM() || g.chance(40) {
			event["km"] = g.number(0, 120, pick(g, 0, 0, 1))
		}
		var lines, extras []object
		for range g.between(1, 3) {
			lines = append(lines, object{"cake": pick(g, cakes...), "quantity": g.between(1, 5)})
		}
		for _, x := range p.Extras {
			if g.chance(45) {
				extras = append(extras, object{"extra": x.ID, "quantity": g.between(1, 3)})
			}
		}
		shuffle(g, extras)
		q := object{"client": object{"name": "A. Client"}, "event": event, "on": on, "lines": lines}
		g.put(q, "extras", extras)
		if g.chance(55) {
			q["discount"] = pick(g, "0 %", "5 %", "12.5 %", "33.33 %", g.percent(1, 60), g.percent(1, 60))
		}
		data, err := json.Marshal(q)
		if err != nil {
			panic(err) // maps, slices, strings and integers only
		}
		list = append(list, data)
	}
	return list
}

// priced returns the cakes that are sure to have a price: those with a list
// price, a target that is not per portion, or a portion to serve that needs no
// cutting to be counted.
func (p plain) priced() []string {
	var ids []string
	for _, c := range p.Cakes {
		target := p.Studio.Target
		if c.Target != nil {
			target = c.Target
		}
		_, perPortion := target["per_portion"]
		served := c.Portions > 0
		for _, t := range c.Tiers {
			counted := t.Portions > 0 || t.Portion.Count > 0
			served = served || (counted && !t.Dummy && !t.Kept)
		}
		if c.Price != "" || !perPortion || served {
			ids = append(ids, c.ID)
		}
	}
	return ids
}

func (p plain) asksForKM() bool {
	for _, x := range p.Extras {
		if x.PricePerKM != "" {
			return true
		}
		for _, list := range [][]struct{ Per string }{x.Parts, x.Tasks, x.Equipment} {
			for _, u := range list {
				if u.Per == "km" {
					return true
				}
			}
		}
	}
	return false
}

// Impact is a change of one price: Mode is "price" with Value "PACK=PRICE", or
// "change" with Value a percentage, which may be negative.
type Impact struct{ Resource, Mode, Value, On string }

// Impacts returns n changes of price of resources of a book of [Gen.Book],
// whether or not a cake uses them.
func (g *Gen) Impacts(book []byte, n int) []Impact {
	p := read(book)
	type priced struct{ id, pack string }
	var from []priced
	for _, i := range p.Ingredients {
		from = append(from, priced{i.ID, g.pack(i.Measure)})
	}
	for _, r := range p.Roles {
		from = append(from, priced{r.ID, "1 h"})
	}
	for _, e := range p.Equipment {
		from = append(from, priced{e.ID, "1 h"})
	}
	if len(p.Energy) > 0 {
		from = append(from, priced{"energy", "1 kWh"})
	}
	switch p.Overhead.Method {
	case "labour hour":
		from = append(from, priced{"overhead", "1 h"})
	case "cake", "percent":
		from = append(from, priced{"overhead", ""}) // has no pack to price
	}
	var list []Impact
	for range n {
		r := pick(g, from...)
		im := Impact{Resource: r.id, Mode: "change", On: g.Date()}
		im.Value = pick(g, g.percent(1, 60), "-"+g.percent(1, 60), "18 %", "-100 %", "400 %")
		if r.pack != "" && g.chance(50) {
			im.Mode, im.Value = "price", r.pack+"="+g.moneyFine(0, 90)
		}
		list = append(list, im)
	}
	return list
}
