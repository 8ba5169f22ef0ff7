package web

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/enquiry"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) searchPages() { m.get("/search", m.s.search) }

// mostFound is how many of each kind a search shows: what a phone holds of it.
const mostFound = 8

// search looks through everything: what is bought, recipes, cakes, extras,
// clients and quotes.
func (s *Server) search(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	query := strings.TrimSpace(r.URL.Query().Get("q"))
	if len(query) > 200 {
		query = query[:200]
	}
	if query == "" {
		return s.show(w, r, "search", "Search", page.Found{Title: "Search", Empty: &page.Empty{
			Title: "What are you looking for?", Text: "Type part of a name into the box above: butter, a cake, a client, the number of a quote. Several words narrow it down.",
		}})
	}
	b, words := x.Book, wordsOf(x.Book.Studio)
	body := page.Found{Title: fmt.Sprintf("Found for “%s”", query)}
	var failed error
	// Of each kind no more is listed than is shown; n is how many there are.
	add := func(title, path string, n int, items []page.Item, err error) {
		failed = errors.Join(failed, err)
		if len(items) == 0 {
			return
		}
		section := page.Section{Title: title, Items: items}
		if n > len(items) {
			sep := "?"
			if strings.Contains(path, "?") {
				sep = "&"
			}
			section.More = &page.Link{Text: fmt.Sprintf("All %d", n), Href: path + sep + "q=" + escapeQuery(query)}
		}
		body.Sections = append(body.Sections, section)
	}
	items, n, err := foundIn(r, x, b.Ingredients, ingredients, query, func(v *book.Ingredient) string { return v.Category.Value + " " + suppliersOf(v) })
	for i := range items {
		id := book.ID(strings.TrimPrefix(items[i].Href, ingredients.path+"/"))
		if it, ok := x.Item(id); ok && it.Ingredient != nil {
			items[i].Side = "no price yet"
			if p, err := it.Ingredient.PriceOn(s.today()); err == nil {
				items[i].Side = words.per(p.PerBase(b.Studio), it.Ingredient.Measure)
			}
		}
	}
	add("Prices", "/prices", n, items, err)
	items, n, err = foundIn(r, x, b.Components, components, query, func(v *book.Component) string { return v.Kind.Value })
	add("Recipes", "/recipes", n, items, err)
	items, n, err = foundIn(r, x, b.Cakes, cakes, query, func(v *book.Cake) string { return v.Description.Value })
	add("Cakes", "/cakes", n, items, err)
	items, n, err = foundIn(r, x, b.Extras, extras, query, func(*book.Extra) string { return "" })
	add("Extras", "/studio/extras", n, items, err)
	ctx, st, few := r.Context(), s.store(r), store.Span{Most: mostFound}
	// The store counts no further than a bound.
	counted := func(title, path string, n int, items []page.Item, err error) {
		was := len(body.Sections)
		add(title, path, n, items, err)
		if n > store.MostFound && len(body.Sections) > was {
			body.Sections[was].More.Text = fmt.Sprintf("More than %d", store.MostFound)
		}
	}
	clients, n, err := st.ClientsPage(ctx, query, few)
	items = nil
	for _, c := range clients {
		items = append(items, page.Item{Text: c.Name, Href: clientAt(c.Ref), Note: c.Ref})
	}
	counted("Clients", "/clients", n, items, err)
	asked, n, err := st.EnquiriesPage(ctx, "", query, few)
	items = nil
	for _, e := range asked {
		items = append(items, page.Item{Text: e.Name + ", " + enquiryName(words, e), Href: enquiryAt(e.Ref), Note: e.Ref + ", " + string(e.State)})
	}
	counted("Enquiries", "/enquiries?state=all", n, items, err)
	quotes, n, err := st.QuotesPage(ctx, store.QuoteFilter{On: s.today(), Words: query}, few)
	items = nil
	for _, q := range quotes {
		items = append(items, page.Item{Text: q.Client, Href: quoteAt(q.Ref()), Note: q.Ref() + ", event on " + dayText(words, q.EventDate), Side: string(q.State)})
	}
	counted("Quotes and orders", "/orders/all", n, items, err)
	items = placesFor(query)
	add("Places in the studio", "/studio", len(items), items[:min(len(items), mostFound)], nil)
	if failed != nil {
		return failed
	}
	if len(body.Sections) == 0 {
		body.Empty = &page.Empty{Title: "Nothing found", Text: fmt.Sprintf("Nothing in the studio has “%s” in its name. Try fewer letters, or one word instead of two.", query), Actions: []page.Link{{Text: "Add it to your prices", Href: "/prices/new?name=" + escapeQuery(query)}}}
	}
	return s.show(w, r, "search", "Search", body)
}

// places are pages that are looked for by what is done there.
var places = []struct{ name, path, words string }{
	{"Name, address, languages", "/studio/name", "studio phone e-mail address language tax number"},
	{"Prices, tax and margins", "/studio/charging", "charging vat sales margin markup floor rounding currency deposit"},
	{"Terms of your quotes", "/studio/terms", "terms deposit instalments cancellation validity notes"},
	{"Logo, colour, paper", "/studio/look", "look"},
	{"Work and wages", "/studio/roles", "roles pay hour staff"},
	{"Equipment", "/studio/equipment", "oven mixer fridge power machine appliance"},
	{"Tins you own", "/studio/tins", "moulds pans"},
	{"Energy", "/studio/energy", "electricity gas kwh tariff"},
	{"Overhead", "/studio/overhead", "rent insurance fixed costs"},
	{"Extras", "/studio/extras", "delivery hire stand tasting"},
	{"Wording of letters", "/studio/letters", "e-mail reminder receipt"},
	{"Mail server", "/studio/mail", "e-mail smtp send"},
	{"Who may come in", "/studio/passphrase", "passphrase password security phone access"},
	{"Backup and restore", "/studio/backup", "copy save restore"},
	{"The whole book in a file", "/studio/book", "import export file json"},
	{"Payments", "/payments", "due overdue received owed book-keeper"},
	{"Hours and holidays", "/kitchen/hours", "capacity closed opening days"},
	{"Shopping", "/shopping", "what to buy list"},
	{"Kitchen plan", "/kitchen", "production week schedule"},
	{"Monthly report", "/month", "month year costs spreadsheet"},
	{"Tiers for guests", "/cakes/tiers", "guests portions servings stack"},
	{"New list prices", "/what-if/reprice", "reprice raise prices"},
}

// placesFor lists the pages that every word of a search fits.
func placesFor(query string) (items []page.Item) {
	terms := enquiry.Terms(query)
	for _, p := range places {
		if len(terms) > 0 && holds(enquiry.Fold(p.name+" "+p.words), terms) {
			items = append(items, page.Item{Text: p.name, Href: p.path})
		}
	}
	return items
}

// foundIn lists the first of the objects in which every word of a search stands,
// and counts them all.
func foundIn[T any](r *http.Request, x *book.Index, list []T, k kind[T], query string, more func(*T) string) (items []page.Item, n int, err error) {
	places, err := placesOf(r, x, "search "+k.key, len(list), query, func(i int) string {
		return k.name(list[i]) + " " + string(k.id(list[i])) + " " + more(&list[i])
	})
	for _, i := range places[:min(len(places), mostFound)] {
		items = append(items, page.Item{Text: k.name(list[i]), Href: k.at(k.id(list[i]))})
	}
	return items, len(places), err
}
