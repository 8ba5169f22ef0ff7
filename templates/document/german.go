package document

// german returns the wording in German. It avoids words with ß, so that it
// reads right in Switzerland too.
func german() Messages {
	return Messages{
		Language: "de",

		Labelled: "%s: %s", Semicolon: "; ", CountWords: [4]string{"zwei", "drei", "vier", "fünf"}, Percent: "%s\u00a0%%",

		Quotation: "Angebot",
		DraftMark: "ENTWURF",
		Marks: map[string]string{MarkDeclined: "ABGELEHNT", MarkLapsed: "ABGELAUFEN", MarkCancelled: "STORNIERT",
			MarkReplaced: "ERSETZT", MarkVoid: "UNGÜLTIG"},
		Page:            "Seite %d von %d",
		Continued:       "Fortsetzung",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Erstellt für %s",
		QuoteName:       "Angebot %s, Fassung %s",
		QuoteCited:      "das Angebot %s, Fassung %s",
		DraftName:       "Angebotsentwurf",
		Number:          "Nummer",
		NotNumbered:     "noch ohne Nummer",
		Revision:        "Fassung",
		Issued:          "Datum",
		ValidUntil:      "Gültig bis",
		Option:          "Variante",
		PreparedFor:     "Erstellt für",
		EventDate:       "Tag der Feier",
		Venue:           "Ort der Feier",
		Guests:          "Gäste",
		TaxNumber:       "%s-Nr. %s",
		TaxLabel:        "Steuer",

		YourCake:      [2]string{"Ihre Torte", "Ihre Torten"},
		Copies:        "%d Stück in dieser Ausführung",
		Portions:      [2]string{"%d Portion", "%d Portionen"},
		PortionsEach:  "je %s",
		ServedAndKept: "%s: %d zum Servieren am Tag der Feier, %d zum Aufheben",
		AllKept:       "%s, alle zum Aufheben",
		NoPortions:    "nur zur Dekoration",
		DummyNote:     "Attrappe, nicht essbar",
		KeptNote:      "zum Aufheben",
		Across:        "Durchmesser %s",
		AcrossSquare:  "Seitenlänge %s",
		High:          "Höhe %s",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Rund", "square": "Quadratisch", "rectangle": "Rechteckig",
			"hexagon": "Sechseckig, Seitenlänge", "heart": "Herzform, Seitenlänge", "measured": "Freie Form, Grundfläche",
		},

		Item:          "Bezeichnung",
		Quantity:      "Menge",
		UnitPrice:     "Einzelpreis",
		Amount:        "Betrag",
		Prices:        "Preise",
		Discount:      "Nachlass von %s auf die Torten",
		DiscountPlain: "Nachlass",
		MinimumOrder:  "Aufschlag bis zum Mindestbestellwert",
		NetTotal:      "Summe ohne %s",
		TaxTotal:      "%s",
		Total:         "Gesamtbetrag",
		GrossNote:     "Alle Preise verstehen sich inklusive %s.",
		NetNote:       "Die Einzelpreise verstehen sich ohne %s; im Gesamtbetrag ist sie enthalten.",
		TaxHeading:    "Im Gesamtbetrag enthaltene %s",
		TaxRate:       "Satz",
		TaxNet:        "Netto",

		Payments:   "Zahlung",
		Deposit:    "Anzahlung",
		Instalment: "Rate %d",
		Balance:    "Restbetrag",
		PaidInFull: "Gesamtzahlung",
		DueOn:      "fällig am %s",

		OptionName:   "Variante %d: %s",
		OptionPlain:  "Variante %d",
		Compare:      "Die Varianten im Vergleich",
		CompareIntro: "Bitte wählen Sie eine dieser %s Varianten. Jede hat ihren Gesamtpreis und wird auf den folgenden Seiten ausführlich beschrieben.",
		ScaleNote:    "Alle Torten sind im gleichen Verhältnis verkleinert gezeichnet.",
		CakesRow:     "Torten",
		SizesRow:     "Abmessungen",
		PortionsRow:  "Portionen",
		ExtrasRow:    "Zusatzleistungen",
		PerPortion:   "Gesamtbetrag je Portion, gerundet",
		Times:        "%d × %s",

		Changes:      "Was sich geändert hat",
		ChangesIntro: "Gegenüber der vorigen Fassung:",
		ChangeNames: map[string]string{
			"option": "Weiter mit",
			"client": "Kunde", "event": "Tag der Feier", "venue": "Ort der Feier", "guests": "Gäste",
			"option new": "Neu angeboten", "option out": "Nicht mehr angeboten", "line new": "Hinzugekommen", "line out": "Entfallen",
			"quantity": "Menge", "unit price": "Einzelpreis", "design": "Etagen geändert", "portions": "zu servierende Portionen",
			"discount": "Nachlass", "minimum": "Aufschlag bis zum Mindestbestellwert", "terms": "Bedingungen geändert", "total": "Gesamtbetrag",
		},
		Instead:     "%s statt %s",
		Added:       "%s (neu)",
		Removed:     "%s (entfällt)",
		ChangeOf:    "%s, %s",
		SingleOffer: "das einzelne Angebot",

		Cancellation: "Bei Stornierung",
		CancelEver:   "Ab Annahme des Auftrags: %s des Gesamtbetrags.",
		CancelFrom: [2]string{"Ab %[1]s (%[2]d Tag vor der Feier): %[3]s des Gesamtbetrags.",
			"Ab %[1]s (%[2]d Tage vor der Feier): %[3]s des Gesamtbetrags."},
		CancelNote: "Ein gesetzliches Widerrufsrecht bleibt davon unberührt.",

		Terms:       "Bedingungen",
		Accept:      "Annahme",
		AcceptText:  "Ich nehme %s zum Gesamtbetrag von %s an.",
		AcceptTerms: "Ich nehme %s zum Gesamtbetrag von %s zu den obigen Bedingungen an.",
		ChooseText:  "Ich nehme %s mit der einen von mir angekreuzten Variante an.",
		ChooseTerms: "Ich nehme %s mit der einen von mir angekreuzten Variante zu den obigen Bedingungen an.",
		Choice:      "%s, zum Gesamtbetrag von %s",
		ForClient:   "Für den Kunden",
		ForStudio:   "Für das Atelier",
		SignHere:    "Unterschrift",
		SignDate:    "Datum",

		Allergens:    "Allergene",
		Contains:     "Enthält",
		MayContain:   "Kann enthalten",
		Also:         "ferner: %s",
		NoneDeclared: "die Zutaten geben keines der aufgeführten Allergene an",
		AllergenNote: "Diese Liste folgt den heute vorgesehenen Zutaten. Bitte teilen Sie uns jede Allergie oder Unverträglichkeit mit, bevor Sie " +
			"annehmen, und richten Sie sich nach dem Etikett oder Allergenblatt, das mit der Torte übergeben wird: Es geht diesem Angebot vor.",
		SpeciesNote:  "Die Art des Fisches oder Krebstiers nennen wir auf dem Etikett und auf Anfrage.",
		AllergenName: germanAllergens(),

		Cautions: "Bitte beachten Sie",
		Caution: map[string]string{
			CautionInedible: "Teile dieser Torte, etwa Stützen, Drähte oder Dekorationen, sind nicht essbar. Nehmen Sie alle heraus, bevor die Torte " +
				"angeschnitten und serviert wird, zählen Sie Stützen und Drähte nach und halten Sie Kleinteile von Kindern fern.",
			CautionAlcohol: "Einige Teile enthalten Alkohol. Beim Backen verschwindet er nicht ganz. Sagen Sie es Ihren Gästen, vor allem Kindern, " +
				"Schwangeren und allen, die Alkohol meiden.",
			CautionRawEgg: "Einige Teile enthalten rohes oder nur leicht erhitztes Ei. Schwangeren, älteren, sehr jungen und kranken Menschen wird " +
				"meist davon abgeraten. Kühlen Sie die Torte, wie es auf dem Etikett steht, und folgen Sie den Hinweisen zur " +
				"Lebensmittelsicherheit in Ihrem Land.",
			CautionGelatine: "Einige Teile enthalten Gelatine. Sie stammt von Tieren und ist weder für Vegetarier noch für jede Ernährungsweise " +
				"geeignet. Fragen Sie uns nach ihrer Herkunft.",
			CautionFreshFlower: "Frische Blumen dienen nur der Dekoration. Sie können giftig oder gespritzt sein, auch wenn sie vertraut aussehen: " +
				"Stecken Sie keine Stiele in die Torte, essen Sie weder Blüten noch Blätter und nehmen Sie alle Blumen vor dem Servieren ab.",
		},
		CautionIn: "Das betrifft: %s.",

		Receipt:       "Quittung",
		Refund:        "Rückzahlung",
		Correction:    "Berichtigung",
		PaperName:     "%s %s",
		ReceivedFrom:  "Erhalten von",
		PaidBackTo:    "Zurückgezahlt an",
		ReceivedText:  "Wir haben %s von %s erhalten. Vielen Dank.",
		PaidBackText:  "Wir haben %s an %s zurückgezahlt.",
		CorrectedText: "Wir nehmen %s der irrtümlich ausgestellten Quittung %s zurück.",
		Received:      "Erhaltener Betrag",
		PaidBack:      "Zurückgezahlter Betrag",
		ReceivedOn:    "Erhalten am",
		PaidBackOn:    "Zurückgezahlt am",
		Means:         "Zahlungsart",
		MeansNames: map[string]string{"transfer": "Banküberweisung", "card": "Karte", "cash": "bar", "cheque": "Scheck",
			"other": "andere Zahlungsart"},
		ForOrder:      "Auftrag",
		Remark:        "Anmerkung",
		Account:       "Stand des Auftrags",
		OrderTotal:    "Gesamtbetrag des Auftrags",
		CancelledDue:  "Für den stornierten Auftrag zu zahlen",
		ReceivedSoFar: "Bisher erhalten",
		StillToPay:    "Noch zu zahlen",
		InYourFavour:  "Zu Ihren Gunsten",
		ReceiptNote: "Dieses Papier bestätigt eine Zahlung und ist keine Rechnung. Wo das Gesetz eine verlangt, stellt das Atelier sie gesondert " +
			"aus, mit der im Preis enthaltenen Steuer.",

		Tasting: "Verkostung",

		Months: [12]string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli",
			"August", "September", "Oktober", "November", "Dezember"},
		Weekdays:       [7]string{"Sonntag", "Montag", "Dienstag", "Mittwoch", "Donnerstag", "Freitag", "Samstag"},
		DayFirst:       "%[2]d. %[3]s %[4]d",
		MonthFirst:     "%[2]d. %[3]s %[4]d",
		DayFirstLong:   "%[1]s, %[2]d. %[3]s %[4]d",
		MonthFirstLong: "%[1]s, %[2]d. %[3]s %[4]d",
	}
}

// austrian returns the German wording with the Austrian name of January.
func austrian() Messages {
	m := german()
	m.Language = "de-AT"
	m.Months[0] = "Jänner"
	return m
}

// germanAllergens: the entries of the European list as in the German text of
// Regulation (EU) No 1169/2011, Annex II, from memory; the others translated.
func germanAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Glutenhaltiges Getreide", "gluten": "Gluten", "gluten-sources": "Glutenquellen",
		"nuts": "Schalenfrüchte", "tree-nuts": "Baumnüsse",
		"wheat": "Weizen", "spelt": "Dinkel", "khorasan": "Khorasan-Weizen", "rye": "Roggen", "barley": "Gerste", "oats": "Hafer",
		"almond": "Mandeln", "hazelnut": "Haselnüsse", "walnut": "Walnüsse", "cashew": "Kaschunüsse", "pecan": "Pecannüsse",
		"brazil-nut": "Paranüsse", "pistachio": "Pistazien", "macadamia": "Macadamianüsse", "pine-nut": "Pinienkerne",
		"crustaceans": "Krebstiere", "egg": "Eier", "fish": "Fische", "peanut": "Erdnüsse", "soy": "Sojabohnen", "milk": "Milch",
		"celery": "Sellerie", "mustard": "Senf", "sesame": "Sesamsamen", "sulphites": "Sulphite", "lupin": "Lupinen",
		"molluscs": "Weichtiere",

		"eu:crustaceans": "Krebstiere", "eu:egg": "Eier", "eu:fish": "Fische", "eu:peanut": "Erdnüsse", "eu:soy": "Sojabohnen",
		"eu:milk": "Milch", "eu:celery": "Sellerie", "eu:mustard": "Senf", "eu:sesame": "Sesamsamen",
		"eu:sulphites": "Schwefeldioxid und Sulphite", "eu:lupin": "Lupinen", "eu:molluscs": "Weichtiere",

		"us:milk": "Milch", "us:egg": "Ei", "us:fish": "Fisch", "us:crustaceans": "Krebstiere", "us:wheat": "Weizen",
		"us:peanut": "Erdnüsse", "us:soy": "Sojabohnen", "us:sesame": "Sesam",

		"ca:peanut": "Erdnüsse", "ca:sesame": "Sesamsamen", "ca:milk": "Milch", "ca:egg": "Eier", "ca:fish": "Fisch",
		"ca:crustaceans": "Krebstiere", "ca:molluscs": "Weichtiere", "ca:soy": "Soja", "ca:wheat": "Weizen",
		"ca:mustard": "Senf", "ca:sulphites": "Zugesetzte Sulfite",

		"anz:peanut": "Erdnuss", "anz:almond": "Mandel", "anz:brazil-nut": "Paranuss", "anz:cashew": "Kaschunuss",
		"anz:hazelnut": "Haselnuss", "anz:macadamia": "Macadamia", "anz:pecan": "Pecannuss", "anz:pine-nut": "Pinienkern",
		"anz:pistachio": "Pistazie", "anz:walnut": "Walnuss", "anz:egg": "Ei", "anz:milk": "Milch", "anz:fish": "Fisch",
		"anz:crustaceans": "Krebstiere", "anz:molluscs": "Weichtiere", "anz:sesame": "Sesam", "anz:soy": "Soja",
		"anz:wheat": "Weizen", "anz:lupin": "Lupine", "anz:sulphites": "Sulfite",
	}
}
