package document

// ShoppingWords is every word that a shopping list says of its own, in one
// language. Patterns hold %s for text, in the order of the comment.
type ShoppingWords struct {
	Language  string
	Heading   string
	FileTitle string // day, studio
	Page      string // page, pages, both %d
	Continued string
	PricesOf  string
	ForOrders string
	Columns   ShoppingColumns

	AnySupplier string    // over prices that name no supplier
	Packs       [2]string // how many, of what; one, several
	Times       string    // how many, what each holds
	Amount      string    // a name, how much of it
	OnHand      string    // how much
	PartOfNeed  string    // how much of the thing is bought in all
	TaxIn       string    // rate
	Whole       string    // pieces
	Apart       string    // pieces, what of them is needed
	Subtotal    string    // supplier
	Cost        string
	Tax         string
	Total       string
	Nothing     string
	AllOnHand   string

	Stocked      string
	StockedLine  string // name, needed, on hand
	PartsOnHand  string // name, how its pieces are used
	Skipped      string
	Check        string
	PartsUnknown string               // name
	Leftovers    string               // name of the whole
	CouldGoInto  string               // what is left, components
	NoOutlet     string               // what is left
	Outlet       string               // component, what a batch takes and how long it keeps
	Batch        string               // how much
	Keeps        string               // how long
	Spans        map[string][2]string // names of the units of time; one, several

	Cautions        string
	LabelCaution    string
	LeftoverCaution string
}

// EnglishShopping returns the wording of a shopping list in English.
func EnglishShopping() ShoppingWords {
	return ShoppingWords{
		Language:  "en",
		Heading:   "Shopping list",
		FileTitle: "Shopping list of %s, %s",
		Page:      "Page %d of %d",
		Continued: "continued",
		PricesOf:  "Prices of",
		ForOrders: "For",
		Columns:   ShoppingColumns{Item: "Item", Need: "Needed", Packs: "Buy", Price: "A pack", Amount: "To pay", Left: "Left over"},

		AnySupplier: "No supplier named",
		Packs:       [2]string{"%s pack of %s", "%s packs of %s"},
		Times:       "%s × %s",
		Amount:      "%s, %s",
		OnHand:      "%s on hand",
		PartOfNeed:  "%s to buy in several packs",
		TaxIn:       "price holds %s tax",
		Whole:       "%s whole",
		Apart:       "%s taken apart (%s)",
		Subtotal:    "%s in all",
		Cost:        "Without recoverable tax",
		Tax:         "Recoverable tax",
		Total:       "To pay",
		Nothing:     "Nothing is needed: no order of these days takes an ingredient or packaging.",
		AllOnHand:   "Nothing is to buy: all that is needed is on hand.",

		Stocked:      "On hand, nothing to buy",
		StockedLine:  "%s: %s needed, %s on hand",
		PartsOnHand:  "%s: %s, on hand",
		Skipped:      "Not on this list",
		Check:        "Please check",
		PartsUnknown: "%s: the quantities of an earlier quote do not say which of its parts are used. Pieces are counted by weight and may be too few.",
		Leftovers:    "Left over when pieces are taken apart: %s",
		CouldGoInto:  "%s: could go into %s",
		NoOutlet:     "%s: no component of the book uses it",
		Outlet:       "%s (%s)",
		Batch:        "%s a batch",
		Keeps:        "keeps %s",
		Spans: map[string][2]string{
			"s": {"second", "seconds"}, "min": {"minute", "minutes"}, "h": {"hour", "hours"}, "day": {"day", "days"},
		},

		Cautions: "Please note",
		LabelCaution: "Read the label of everything that is bought, above all of another brand or supplier than usual: allergens and traces differ, " +
			"and the label goes before the book.",
		LeftoverCaution: "Chill what is left over at once, write the day on it, and follow its label and the food safety advice of your country on how long it keeps. " +
			"The keeping times above are those of the finished components, not of what is left over.",
	}
}
