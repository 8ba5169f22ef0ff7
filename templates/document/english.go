package document

// english returns the wording in English.
func english() Messages {
	return Messages{
		Language: "en",

		Quotation:       "Quotation",
		DraftMark:       "DRAFT",
		Page:            "Page %d of %d",
		Continued:       "continued",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Prepared for %s",
		Number:          "Number",
		NotNumbered:     "not yet numbered",
		Revision:        "Revision",
		Issued:          "Date",
		ValidUntil:      "Valid until",
		PreparedFor:     "Prepared for",
		EventDate:       "Date of the event",
		Venue:           "Venue",
		YourCake:        [2]string{"Your cake", "Your cakes"},
		TaxNumber:       "%s no. %s",
		TaxLabel:        "tax",
		Copies:          "%d of this design",
		Portions:        [2]string{"%d portion", "%d portions"},
		ServedAndKept:   "%s: %d to serve on the day, %d kept for later",
		AllKept:         "%s, all kept for later",
		NoPortions:      "for display only",
		DummyNote:       "dummy tier, not edible",
		KeptNote:        "kept for later",
		Across:          "%s across",
		High:            "%s high",
		Stands:          "%s, %s",
		ShapeNames: map[string]string{
			"round": "Round", "square": "Square", "rectangle": "Rectangular",
			"hexagon": "Hexagonal, sides of", "heart": "Heart, sides of", "measured": "Shaped, covering",
		},
		Item:          "Item",
		Quantity:      "Qty",
		UnitPrice:     "Each",
		Amount:        "Amount",
		Prices:        "Prices",
		Discount:      "Discount of %s on the cakes",
		DiscountPlain: "Discount",
		MinimumOrder:  "Addition up to the minimum order",
		NetTotal:      "Total before %s",
		TaxTotal:      "%s",
		Total:         "Total",
		GrossNote:     "All prices include %s.",
		NetNote:       "Prices of single items are before %s; the total includes it.",
		TaxHeading:    "%s in the total",
		TaxRate:       "Rate",
		TaxNet:        "Net",
		Payments:      "Payment",
		Deposit:       "Deposit",
		Instalment:    "Instalment %d",
		Balance:       "Balance",
		PaidInFull:    "Payment in full",
		DueOn:         "due %s",
		QuoteName:     "Quotation %s, revision %s",
		DraftName:     "Draft quotation",
		Terms:         "Terms",
		Accept:        "Acceptance",
		AcceptText:    "I accept %s, for a total of %s.",
		AcceptTerms:   "I accept %s, for a total of %s, on the terms above.",
		ForClient:     "For the client",
		ForStudio:     "For the studio",
		SignHere:      "Signature",
		SignDate:      "Date",
		Percent:       "%s%%",

		Allergens:    "Allergens",
		Contains:     "Contains",
		MayContain:   "May contain",
		Also:         "also: %s",
		NoneDeclared: "none of the listed allergens is declared by the ingredients",
		AllergenNote: "This list follows the ingredients planned today. Please tell us of any allergy or intolerance before you accept, " +
			"and rely on the label or allergen sheet handed over with the cake: it goes before this quotation.",
		SpeciesNote:  "We name the species of fish or shellfish on the label and on request.",
		AllergenName: englishAllergens(),

		Cautions: "Please note",
		Caution: map[string]string{
			CautionInedible: "Parts of this cake, such as supports, wires or decorations, are not food. Take them all out before it is cut " +
				"and served, count supports and wires, and keep small parts away from children.",
			CautionAlcohol: "Some parts contain alcohol. Baking does not remove all of it. Tell your guests, above all children, " +
				"people who are pregnant and anyone who avoids alcohol.",
			CautionRawEgg: "Some parts contain egg that is raw or only lightly cooked. People who are pregnant, elderly, very young or unwell " +
				"are usually advised to avoid it. Keep the cake chilled as its label says and follow the food safety advice of your country.",
			CautionGelatine: "Some parts contain gelatine, which comes from animals and suits neither vegetarians nor every diet. " +
				"Ask us for its source.",
			CautionFreshFlower: "Fresh flowers are for decoration only. They can be toxic or carry sprays, even where they look familiar: " +
				"keep stems out of the cake, do not eat petals or leaves, and lift all flowers off before serving.",
		},

		CautionIn: "This concerns: %s.",

		Months: [12]string{"January", "February", "March", "April", "May", "June", "July",
			"August", "September", "October", "November", "December"},
		Weekdays:       [7]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"},
		DayFirst:       "%[2]d %[3]s %[4]d",
		MonthFirst:     "%[3]s %[2]d, %[4]d",
		DayFirstLong:   "%[1]s, %[2]d %[3]s %[4]d",
		MonthFirstLong: "%[1]s, %[3]s %[2]d, %[4]d",
	}
}

// englishAllergens names the entries of the legal lists and, inside an entry,
// the foods that it singles out. A list's own name for a food is keyed by list
// and word, see [Messages.allergen].
func englishAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Cereals containing gluten", "gluten": "Gluten", "gluten-sources": "Gluten sources",
		"nuts": "Nuts", "tree-nuts": "Tree nuts",
		"wheat": "wheat", "spelt": "spelt wheat", "khorasan": "khorasan wheat", "rye": "rye", "barley": "barley", "oats": "oats",
		"almond": "almonds", "hazelnut": "hazelnuts", "walnut": "walnuts", "cashew": "cashews", "pecan": "pecan nuts",
		"brazil-nut": "Brazil nuts", "pistachio": "pistachio nuts", "macadamia": "macadamia nuts", "pine-nut": "pine nuts",
		"crustaceans": "crustaceans", "egg": "eggs", "fish": "fish", "peanut": "peanuts", "soy": "soybeans", "milk": "milk",
		"celery": "celery", "mustard": "mustard", "sesame": "sesame seeds", "sulphites": "sulphites", "lupin": "lupin",
		"molluscs": "molluscs",

		"eu:crustaceans": "Crustaceans", "eu:egg": "Eggs", "eu:fish": "Fish", "eu:peanut": "Peanuts", "eu:soy": "Soybeans",
		"eu:milk": "Milk", "eu:celery": "Celery", "eu:mustard": "Mustard", "eu:sesame": "Sesame seeds",
		"eu:sulphites": "Sulphur dioxide and sulphites", "eu:lupin": "Lupin", "eu:molluscs": "Molluscs",

		"us:milk": "Milk", "us:egg": "Egg", "us:fish": "Fish", "us:crustaceans": "Crustacean shellfish", "us:wheat": "Wheat",
		"us:peanut": "Peanuts", "us:soy": "Soybeans", "us:sesame": "Sesame",

		"ca:peanut": "Peanuts", "ca:sesame": "Sesame seeds", "ca:milk": "Milk", "ca:egg": "Eggs", "ca:fish": "Fish",
		"ca:crustaceans": "Crustaceans", "ca:molluscs": "Molluscs", "ca:soy": "Soy", "ca:wheat": "Wheat",
		"ca:mustard": "Mustard", "ca:sulphites": "Added sulphites",

		"anz:peanut": "Peanut", "anz:almond": "Almond", "anz:brazil-nut": "Brazil nut", "anz:cashew": "Cashew",
		"anz:hazelnut": "Hazelnut", "anz:macadamia": "Macadamia", "anz:pecan": "Pecan", "anz:pine-nut": "Pine nut",
		"anz:pistachio": "Pistachio", "anz:walnut": "Walnut", "anz:egg": "Egg", "anz:milk": "Milk", "anz:fish": "Fish",
		"anz:crustaceans": "Crustacean", "anz:molluscs": "Mollusc", "anz:sesame": "Sesame", "anz:soy": "Soy",
		"anz:wheat": "Wheat", "anz:lupin": "Lupin", "anz:sulphites": "Sulphites",
	}
}
