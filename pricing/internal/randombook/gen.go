package randombook

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"time"
)

// object is a JSON object in the making; encoding/json writes its keys in order.
type object = map[string]any

// Gen draws books and what goes with them from one seed.
type Gen struct {
	r *rand.Rand

	// What the book being drawn holds so far.
	minor     int      // decimals of its currency
	hasTax    bool     // whether the studio charges tax
	ids       int      // how many ids were given
	roles     []string // role ids
	machines  []string // equipment ids
	uses      []usable // ingredients, parts and components, in the order drawn
	box       string   // a packaging ingredient that always costs something
	suppliers []string
}

// New returns a generator for a seed.
func New(seed uint64) *Gen {
	return &Gen{r: rand.New(rand.NewPCG(seed, 0x6d61726368))}
}

// Book returns a valid book file.
func (g *Gen) Book() []byte {
	*g = Gen{r: g.r, suppliers: []string{"Mill and store", "Morning round", "Paper & twine"}}
	book := object{"format": "marchpane-book/1", "studio": g.studio()}
	g.put(book, "roles", g.rolesList())
	g.put(book, "equipment", g.equipmentList())
	if len(g.machines) > 0 || g.chance(30) {
		book["energy"] = g.datedList("price", func() string { return g.moneyFine(0, 1) })
	}
	if g.chance(85) {
		book["overhead"] = g.overhead()
	}
	g.put(book, "ingredients", g.ingredients())
	g.put(book, "components", g.components())
	g.put(book, "cakes", g.cakes())
	g.put(book, "tins", g.tins())
	g.put(book, "extras", g.extras())
	data, err := json.MarshalIndent(book, "", " ")
	if err != nil {
		panic(err) // maps, slices, strings, integers and booleans only
	}
	return append(data, '\n')
}

// Date returns a day on which every price of a book is in force.
func (g *Gen) Date() string { return g.dayFrom("2026-02-01", 1000) }

// put sets a list, or now and then leaves out an empty one.
func (g *Gen) put(o object, key string, list []object) {
	if len(list) == 0 {
		if g.chance(50) {
			o[key] = []object{}
		}
		return
	}
	o[key] = list
}

func (g *Gen) chance(percent int) bool { return g.r.IntN(100) < percent }

// between returns an integer from lo to hi, both included.
func (g *Gen) between(lo, hi int) int { return lo + g.r.IntN(hi-lo+1) }

func pick[T any](g *Gen, from ...T) T { return from[g.r.IntN(len(from))] }

func shuffle[T any](g *Gen, list []T) {
	g.r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
}

// number returns a plain decimal above zero, from lo to hi, with the given decimals.
func (g *Gen) number(lo, hi, decimals int) string {
	scale := 1
	for range decimals {
		scale *= 10
	}
	n := g.between(max(1, lo*scale), hi*scale)
	if decimals == 0 {
		return strconv.Itoa(n)
	}
	s := fmt.Sprintf("%d.%0*d", n/scale, decimals, n%scale)
	if g.chance(50) {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// money returns an amount above zero at the minor unit, from lo to hi in money
// of about a euro's worth.
func (g *Gen) money(lo, hi int) string {
	if g.minor == 0 {
		return g.number(lo*100, hi*100, 0)
	}
	return g.number(lo, hi, g.minor)
}

// moneyFine is money that may be finer than the minor unit, as bought prices are.
func (g *Gen) moneyFine(lo, hi int) string {
	if g.minor == 0 {
		return g.number(lo*100, hi*100, pick(g, 0, 0, 2))
	}
	return g.number(lo, hi, g.minor+pick(g, 0, 0, 2))
}

// percent returns a percentage above zero.
func (g *Gen) percent(lo, hi int) string { return g.number(lo, hi, pick(g, 0, 0, 1, 2)) + " %" }

// taxRate returns one of the rates that studios meet, and none.
func (g *Gen) taxRate() string {
	return pick(g, "0 %", "5 %", "7 %", "8.1 %", "8.875 %", "10 %", "13.5 %", "20 %", "23 %", "25 %")
}

// id returns an id that no other thing of the book has.
func (g *Gen) id(word string) string {
	g.ids++
	return fmt.Sprintf("%s-%s%d", word, pick(g, "", "fine-", "b", "house-"), g.ids)
}

// dayFrom returns a day from the given one to so many days later.
func (g *Gen) dayFrom(day string, within int) string {
	d, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err) // every caller passes a day of its own making
	}
	return d.AddDate(0, 0, g.between(0, within)).Format(time.DateOnly)
}

// startDays returns the days on which dated figures start: one in force by
// 2026-01-01, others later, now and then two on one day.
func (g *Gen) startDays() []string {
	days := []string{pick(g, "2026-01-01", "2026-01-01", "2025-11-17", "2024-02-29")}
	for g.chance(45) && len(days) < 4 {
		if g.chance(25) {
			days = append(days, days[len(days)-1])
			continue
		}
		days = append(days, g.dayFrom("2026-01-02", 900))
	}
	shuffle(g, days)
	return days
}

// datedList returns dated figures under a key.
func (g *Gen) datedList(key string, figure func() string) []object {
	var list []object
	for _, day := range g.startDays() {
		list = append(list, object{"from": day, key: figure()})
	}
	return list
}
