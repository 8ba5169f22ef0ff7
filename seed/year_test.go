package seed_test

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/seed"
)

func year(t *testing.T) []seed.Happening {
	t.Helper()
	happened, err := seed.Year()
	if err != nil {
		t.Fatalf("Year() = %v", err)
	}
	return happened
}

// fingerprint of everything that happens.
func fingerprint(t *testing.T, happened []seed.Happening) string {
	t.Helper()
	h := sha256.New()
	for _, x := range happened {
		text, err := json.Marshal(x.Deed)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(h, "%s %d %T %s\n", x.On, x.Minute, x.Deed, text)
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

func TestYearIsTheSameEveryTime(t *testing.T) {
	first := fingerprint(t, year(t))
	for range 2 {
		if again := fingerprint(t, year(t)); again != first {
			t.Fatalf("Year() gave %s, then %s", first, again)
		}
	}
}

// Nothing is done with what is not there yet, and nothing lies ahead of today.
func TestYearIsInOrder(t *testing.T) {
	clients, enquiries, quotes := map[seed.ClientKey]bool{}, map[seed.EnquiryKey]bool{}, map[seed.QuoteKey]quote.State{}
	paid := map[seed.QuoteKey]int{}
	var before seed.Happening
	for _, h := range year(t) {
		if h.At().Before(before.At()) || h.On.After(seed.Today) || h.On.Before(day.Must("2025-06-01")) || h.Minute < 6*60 || h.Minute > 21*60 {
			t.Fatalf("%s %d %T comes after %s %d, or at no hour of work", h.On, h.Minute, h.Deed, before.On, before.Minute)
		}
		before = h
		wrong := func(is quote.State) {
			t.Errorf("%s: %T of a quote that is %q: %+v", h.On, h.Deed, is, h.Deed)
		}
		switch d := h.Deed.(type) {
		case seed.ClientCame:
			if clients[d.Key] {
				t.Errorf("client %d came twice", d.Key)
			}
			if err := d.Client.Check().Err(); err != nil {
				t.Errorf("client %q: %v", d.Client.Name, err)
			}
			clients[d.Key] = true
		case seed.Asked:
			e := d.Enquiry
			e.Client = "C1"
			if err := e.Check().Err(); err != nil || !clients[d.Client] || enquiries[d.Key] {
				t.Errorf("enquiry %d of client %d: %v", d.Key, d.Client, err)
			}
			enquiries[d.Key] = true
		case seed.Closed:
			if !enquiries[d.Enquiry] {
				t.Errorf("enquiry %d is closed before it came", d.Enquiry)
			}
		case seed.Quoted:
			if !enquiries[d.Enquiry] || quotes[d.Key] != "" || d.Request.On != h.On || !d.Request.Event.Date.After(h.On) {
				t.Errorf("%s: quote %d of enquiry %d, priced for %s, for %s", h.On, d.Key, d.Enquiry, d.Request.On, d.Request.Event.Date)
			}
			if quotes[d.Key] = quote.Issued; d.Draft {
				quotes[d.Key] = quote.DraftState
			}
		case seed.Revised:
			if is := quotes[d.Quote]; is != quote.Issued && is != quote.Accepted {
				wrong(is)
			}
			quotes[d.Quote] = quote.Issued
		case seed.Accepted:
			if is := quotes[d.Quote]; is != quote.Issued {
				wrong(is)
			}
			quotes[d.Quote] = quote.Accepted
		case seed.Declined:
			if is := quotes[d.Quote]; is != quote.Issued {
				wrong(is)
			}
			quotes[d.Quote] = quote.Declined
		case seed.Cancelled:
			if is := quotes[d.Quote]; is != quote.Issued && is != quote.Accepted {
				wrong(is)
			}
			quotes[d.Quote] = quote.Cancelled
		case seed.Paid:
			if is := quotes[d.Quote]; is != quote.Accepted && is != quote.Issued || d.Instalments < paid[d.Quote] || d.Instalments > 3 {
				wrong(is)
			}
			paid[d.Quote] = d.Instalments
		case seed.PaidAgain:
			if paid[d.Quote] == 0 {
				wrong(quotes[d.Quote])
			}
		case seed.Undone:
			if paid[d.Quote] == 0 {
				wrong(quotes[d.Quote])
			}
		case seed.Refunded:
			if is := quotes[d.Quote]; is != quote.Cancelled {
				wrong(is)
			}
		case seed.Recorded:
			if is := quotes[d.Quote]; is != quote.Accepted {
				wrong(is)
			}
			for _, w := range d.Sheet.Work {
				if w.On.After(h.On) || w.Time.Number().Sign() <= 0 {
					t.Errorf("%s: work of %s on %s is written down", h.On, w.Time, w.On)
				}
			}
		}
	}
}

// A year has something of everything that lists and reports show.
func TestYearHasSomethingOfEverything(t *testing.T) {
	count := map[string]int{}
	languages := map[string]bool{}
	var options, discounts, dietary, learner int
	for _, h := range year(t) {
		count[strings.TrimPrefix(fmt.Sprintf("%T", h.Deed), "seed.")]++
		switch d := h.Deed.(type) {
		case seed.ClientCame:
			languages[d.Client.Language.Or("")] = true
		case seed.Asked:
			if d.Enquiry.Dietary.Given {
				dietary++
			}
		case seed.Quoted:
			if len(d.Request.Options) > 0 {
				options++
			}
			if d.Request.Discount.Given {
				discounts++
			}
			if d.Draft {
				count["Draft"]++
			}
		case seed.Recorded:
			for _, w := range d.Sheet.Work {
				if w.Who == "Ines" {
					learner++
				}
				count[string(w.As)]++
			}
			count["wasted"] += len(d.Sheet.Wasted)
			count["more"] += len(d.Sheet.More)
			count["used"] += len(d.Sheet.Used)
			count["flowers"] += len(d.Sheet.Bought)
		}
	}
	for what, atLeast := range map[string]int{
		"ClientCame": 200, "Asked": 350, "Closed": 15, "Quoted": 300, "Revised": 40, "Accepted": 150, "Declined": 60, "Cancelled": 8, "Paid": 300,
		"PaidAgain": 1, "Undone": 1, "Refunded": 1, "Recorded": 100, "Charged": 2, "Bought": 100, "Paying": 3, "Billed": 60, "Planned": 12,
		"Draft": 1, string(actual.Longer): 2, string(actual.Idle): 2, "wasted": 20, "more": 10, "used": 20, "flowers": 4,
	} {
		if count[what] < atLeast {
			t.Errorf("%s: %d in the year, want %d at least", what, count[what], atLeast)
		}
	}
	if count["PaidAgain"] != count["Undone"] {
		t.Errorf("%d payments were entered twice and %d taken back", count["PaidAgain"], count["Undone"])
	}
	for _, l := range []string{"", "fr", "de", "es", "it", "pt", "nl"} {
		if !languages[l] {
			t.Errorf("no client writes in %q", l)
		}
	}
	if n := count["Quoted"]; options < 10 || options > n/5 || discounts < 5 || discounts > n/10 || dietary < 40 || learner < 20 {
		t.Errorf("of %d quotes %d have options and %d a discount; %d needs, %d entries of the learner", n, options, discounts, dietary, learner)
	}
}

// Invoices are of goods that the book has, in whole packs, near its prices.
func TestInvoicesAreNearThePriceList(t *testing.T) {
	x := book.NewIndex(studio(t))
	dearer, cheaper := 0, 0
	for _, h := range year(t) {
		bought, ok := h.Deed.(seed.Bought)
		if !ok {
			continue
		}
		for _, l := range bought.Lines {
			it, ok := x.Item(l.Use)
			if !ok || it.Ingredient == nil {
				t.Fatalf("%s: %s is bought, which is not in the book", h.On, l.Use)
			}
			listed, err := it.Ingredient.PriceOn(h.On)
			if err != nil {
				t.Fatal(err)
			}
			ratio := l.Price.Number().Quo(listed.Price.Number())
			if f, _ := ratio.Rat().Float64(); f < 0.8 || f > 1.25 {
				t.Errorf("%s: %s at %s, listed at %s", h.On, l.Use, l.Price, listed.Price)
			}
			switch l.Price.Number().Cmp(listed.Price.Number()) {
			case 1:
				dearer++
			case -1:
				cheaper++
			}
			if l.Invoice == "" || l.Supplier == "" || l.Supplier != bought.Lines[0].Supplier {
				t.Errorf("%s: %s on invoice %q of %q", h.On, l.Use, l.Invoice, l.Supplier)
			}
		}
	}
	if dearer < 20 || cheaper < 5 {
		t.Errorf("%d lines are dearer than listed and %d cheaper, want some of each", dearer, cheaper)
	}
}
