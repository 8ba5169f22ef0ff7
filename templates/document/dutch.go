package document

// dutch returns the wording in Dutch.
func dutch() Messages {
	return Messages{
		Language: "nl",

		Labelled: "%s: %s", Semicolon: "; ", CountWords: [4]string{"twee", "drie", "vier", "vijf"}, Percent: "%s%%",

		Quotation: "Offerte",
		DraftMark: "CONCEPT",
		Marks: map[string]string{MarkDeclined: "AFGEWEZEN", MarkLapsed: "VERLOPEN", MarkCancelled: "GEANNULEERD",
			MarkReplaced: "VERVANGEN", MarkVoid: "ONGELDIG"},
		Page:            "Pagina %d van %d",
		Continued:       "vervolg",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Opgesteld voor %s",
		QuoteName:       "Offerte %s, versie %s",
		QuoteCited:      "offerte %s, versie %s",
		DraftName:       "Conceptofferte",
		Number:          "Nummer",
		NotNumbered:     "nog niet genummerd",
		Revision:        "Versie",
		Issued:          "Datum",
		ValidUntil:      "Geldig tot en met",
		Option:          "Voorstel",
		PreparedFor:     "Opgesteld voor",
		EventDate:       "Datum van het feest",
		Venue:           "Locatie",
		Guests:          "Gasten",
		TaxNumber:       "%s-nr. %s",
		TaxLabel:        "belasting",

		YourCake:      [2]string{"Uw taart", "Uw taarten"},
		Copies:        "%d van dit ontwerp",
		Portions:      [2]string{"%d portie", "%d porties"},
		PortionsEach:  "elk %s",
		ServedAndKept: "%s: %d om op de dag zelf te serveren, %d om te bewaren",
		AllKept:       "%s, om te bewaren",
		NoPortions:    "alleen voor de sier",
		DummyNote:     "dummylaag, niet eetbaar",
		KeptNote:      "om te bewaren",
		Across:        "%s doorsnede",
		AcrossSquare:  "zijde %s",
		High:          "%s hoog",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Rond", "square": "Vierkant", "rectangle": "Rechthoekig",
			"hexagon": "Zeshoekig, zijde", "heart": "Hartvormig, zijde", "measured": "Vrije vorm, oppervlak",
		},

		Item:          "Omschrijving",
		Quantity:      "Aantal",
		UnitPrice:     "Prijs per stuk",
		Amount:        "Bedrag",
		Prices:        "Prijzen",
		Discount:      "Korting van %s op de taarten",
		DiscountPlain: "Korting",
		MinimumOrder:  "Toeslag tot het minimumbestelbedrag",
		NetTotal:      "Totaal zonder %s",
		TaxTotal:      "%s",
		Total:         "Totaal",
		GrossNote:     "Alle prijzen zijn inclusief %s.",
		NetNote:       "De stukprijzen zijn zonder %s; in het totaal is die inbegrepen.",
		TaxHeading:    "%s in het totaal",
		TaxRate:       "Tarief",
		TaxNet:        "Netto",

		Payments:   "Betaling",
		Deposit:    "Aanbetaling",
		Instalment: "Termijn %d",
		Balance:    "Restbedrag",
		PaidInFull: "Betaling ineens",
		DueOn:      "te betalen op %s",

		OptionName:   "Voorstel %d: %s",
		OptionPlain:  "Voorstel %d",
		Compare:      "De voorstellen naast elkaar",
		CompareIntro: "Wij vragen u een van deze %s voorstellen te kiezen. Elk heeft zijn eigen totaalprijs en wordt op de volgende bladzijden volledig beschreven.",
		ScaleNote:    "Alle taarten zijn op dezelfde schaal getekend.",
		CakesRow:     "Taarten",
		SizesRow:     "Maten",
		PortionsRow:  "Porties",
		ExtrasRow:    "Extra’s",
		PerPortion:   "Totaal per portie, afgerond",
		Times:        "%d × %s",

		Changes:      "Wat er is gewijzigd",
		ChangesIntro: "Ten opzichte van de vorige versie:",
		ChangeNames: map[string]string{
			"option": "We gaan verder met",
			"client": "Klant", "event": "Datum van het feest", "venue": "Locatie", "guests": "Gasten",
			"option new": "Nieuw voorstel", "option out": "Vervallen voorstel", "line new": "Toegevoegd", "line out": "Vervallen",
			"quantity": "aantal", "unit price": "prijs per stuk", "design": "lagen gewijzigd", "portions": "te serveren porties",
			"discount": "Korting", "minimum": "Toeslag tot het minimumbestelbedrag", "terms": "Voorwaarden gewijzigd", "total": "Totaal",
		},
		Instead:     "%s in plaats van %s",
		Added:       "%s (nieuw)",
		Removed:     "%s (vervallen)",
		ChangeOf:    "%s, %s",
		SingleOffer: "het enkele voorstel",

		Cancellation: "Bij annulering",
		CancelEver:   "Vanaf het akkoord op de opdracht: %s van het totaal.",
		CancelFrom: [2]string{"Vanaf %[1]s (%[2]d dag voor het feest): %[3]s van het totaal.",
			"Vanaf %[1]s (%[2]d dagen voor het feest): %[3]s van het totaal."},
		CancelNote: "Een herroepingsrecht dat de wet u geeft, blijft onverkort gelden.",

		Terms:       "Voorwaarden",
		Accept:      "Akkoord",
		AcceptText:  "Ik ga akkoord met %s, voor een totaal van %s.",
		AcceptTerms: "Ik ga akkoord met %s, voor een totaal van %s, op de bovenstaande voorwaarden.",
		ChooseText:  "Ik ga akkoord met %s, met het ene voorstel dat ik heb aangekruist.",
		ChooseTerms: "Ik ga akkoord met %s, met het ene voorstel dat ik heb aangekruist, op de bovenstaande voorwaarden.",
		Choice:      "%s, voor een totaal van %s",
		ForClient:   "Voor de klant",
		ForStudio:   "Voor het atelier",
		SignHere:    "Handtekening",
		SignDate:    "Datum",

		Allergens:    "Allergenen",
		Contains:     "Bevat",
		MayContain:   "Kan bevatten",
		Also:         "verder: %s",
		NoneDeclared: "de ingrediënten vermelden geen van de allergenen op de lijst",
		AllergenNote: "Deze lijst volgt de ingrediënten die vandaag zijn gepland. Meld ons elke allergie of intolerantie voordat u akkoord gaat en " +
			"ga af op het etiket of allergenenblad dat bij de taart wordt overhandigd: dat gaat boven deze offerte.",
		SpeciesNote:  "De vis- of schaaldiersoort vermelden wij op het etiket en op verzoek.",
		AllergenName: dutchAllergens(),

		Cautions: "Let op",
		Caution: map[string]string{
			CautionInedible: "Delen van deze taart, zoals steunen, draden of versieringen, zijn niet eetbaar. Haal ze er allemaal uit voordat de taart " +
				"wordt aangesneden en geserveerd, tel steunen en draden na en houd kleine onderdelen uit de buurt van kinderen.",
			CautionAlcohol: "Sommige delen bevatten alcohol. Bij het bakken verdwijnt die niet helemaal. Vertel het uw gasten, vooral kinderen, " +
				"zwangere vrouwen en wie alcohol mijdt.",
			CautionRawEgg: "Sommige delen bevatten ei dat rauw of maar licht verhit is. Zwangere vrouwen, ouderen, jonge kinderen en zieken wordt " +
				"dat meestal afgeraden. Bewaar de taart gekoeld zoals op het etiket staat en volg de adviezen over voedselveiligheid in uw land.",
			CautionGelatine: "Sommige delen bevatten gelatine. Die is van dierlijke herkomst en past niet bij vegetariërs en niet in elk dieet. Vraag " +
				"ons naar de herkomst.",
			CautionFreshFlower: "Verse bloemen zijn alleen voor de sier. Ze kunnen giftig of bespoten zijn, ook als ze vertrouwd lijken: steek geen stelen " +
				"in de taart, eet geen bloemblaadjes of bladeren en haal alle bloemen weg voor het serveren.",
		},
		CautionIn: "Dit geldt voor: %s.",

		Receipt:       "Kwitantie",
		Refund:        "Terugbetaling",
		Correction:    "Correctie",
		PaperName:     "%s %s",
		ReceivedFrom:  "Ontvangen van",
		PaidBackTo:    "Terugbetaald aan",
		ReceivedText:  "Wij hebben %s ontvangen van %s. Hartelijk dank.",
		PaidBackText:  "Wij hebben %s terugbetaald aan %s.",
		CorrectedText: "Wij nemen %s van kwitantie %s terug, die een vergissing was.",
		Received:      "Ontvangen bedrag",
		PaidBack:      "Terugbetaald bedrag",
		ReceivedOn:    "Ontvangen op",
		PaidBackOn:    "Terugbetaald op",
		Means:         "Betaalwijze",
		MeansNames: map[string]string{"transfer": "bankoverschrijving", "card": "kaart", "cash": "contant", "cheque": "cheque",
			"other": "andere betaalwijze"},
		ForOrder:      "Opdracht",
		Remark:        "Opmerking",
		Account:       "Stand van de opdracht",
		OrderTotal:    "Totaal van de opdracht",
		CancelledDue:  "Te betalen voor de geannuleerde opdracht",
		ReceivedSoFar: "Tot nu toe ontvangen",
		StillToPay:    "Nog te betalen",
		InYourFavour:  "In uw voordeel",
		ReceiptNote: "Dit stuk bevestigt een betaling en is geen factuur. Waar de wet er een verlangt, stelt het atelier die apart op, met de " +
			"belasting die in de prijs is begrepen.",

		Tasting: "Proeverij",

		Months: [12]string{"januari", "februari", "maart", "april", "mei", "juni", "juli",
			"augustus", "september", "oktober", "november", "december"},
		Weekdays:       [7]string{"zondag", "maandag", "dinsdag", "woensdag", "donderdag", "vrijdag", "zaterdag"},
		DayFirst:       "%[2]d %[3]s %[4]d",
		MonthFirst:     "%[2]d %[3]s %[4]d",
		DayFirstLong:   "%[1]s %[2]d %[3]s %[4]d",
		MonthFirstLong: "%[1]s %[2]d %[3]s %[4]d",
	}
}

// dutchAllergens: the entries of the European list as in the Dutch text of
// Regulation (EU) No 1169/2011, Annex II, from memory, with the everyday word
// for peanuts beside the legal one; the others translated.
func dutchAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Glutenbevattende granen", "gluten": "Gluten", "gluten-sources": "Glutenbronnen",
		"nuts": "Noten", "tree-nuts": "Boomnoten",
		"wheat": "tarwe", "spelt": "spelt", "khorasan": "khorasantarwe", "rye": "rogge", "barley": "gerst", "oats": "haver",
		"almond": "amandelen", "hazelnut": "hazelnoten", "walnut": "walnoten", "cashew": "cashewnoten", "pecan": "pecannoten",
		"brazil-nut": "paranoten", "pistachio": "pistachenoten", "macadamia": "macadamianoten", "pine-nut": "pijnboompitten",
		"crustaceans": "schaaldieren", "egg": "eieren", "fish": "vis", "peanut": "aardnoten (pinda’s)", "soy": "soja", "milk": "melk",
		"celery": "selderij", "mustard": "mosterd", "sesame": "sesamzaad", "sulphites": "sulfieten", "lupin": "lupine",
		"molluscs": "weekdieren",

		"eu:crustaceans": "Schaaldieren", "eu:egg": "Eieren", "eu:fish": "Vis", "eu:peanut": "Aardnoten (pinda’s)", "eu:soy": "Soja",
		"eu:milk": "Melk", "eu:celery": "Selderij", "eu:mustard": "Mosterd", "eu:sesame": "Sesamzaad",
		"eu:sulphites": "Zwaveldioxide en sulfieten", "eu:lupin": "Lupine", "eu:molluscs": "Weekdieren",

		"us:milk": "Melk", "us:egg": "Ei", "us:fish": "Vis", "us:crustaceans": "Schaaldieren", "us:wheat": "Tarwe",
		"us:peanut": "Pinda’s", "us:soy": "Soja", "us:sesame": "Sesam",

		"ca:peanut": "Pinda’s", "ca:sesame": "Sesamzaad", "ca:milk": "Melk", "ca:egg": "Eieren", "ca:fish": "Vis",
		"ca:crustaceans": "Schaaldieren", "ca:molluscs": "Weekdieren", "ca:soy": "Soja", "ca:wheat": "Tarwe",
		"ca:mustard": "Mosterd", "ca:sulphites": "Toegevoegde sulfieten",

		"anz:peanut": "Pinda", "anz:almond": "Amandel", "anz:brazil-nut": "Paranoot", "anz:cashew": "Cashewnoot",
		"anz:hazelnut": "Hazelnoot", "anz:macadamia": "Macadamia", "anz:pecan": "Pecannoot", "anz:pine-nut": "Pijnboompit",
		"anz:pistachio": "Pistachenoot", "anz:walnut": "Walnoot", "anz:egg": "Ei", "anz:milk": "Melk", "anz:fish": "Vis",
		"anz:crustaceans": "Schaaldieren", "anz:molluscs": "Weekdieren", "anz:sesame": "Sesam", "anz:soy": "Soja",
		"anz:wheat": "Tarwe", "anz:lupin": "Lupine", "anz:sulphites": "Sulfieten",
	}
}
