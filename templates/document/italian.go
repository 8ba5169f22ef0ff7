package document

// italian returns the wording in Italian.
func italian() Messages {
	return Messages{
		Language: "it",

		Labelled: "%s: %s", Semicolon: "; ", CountWords: [4]string{"due", "tre", "quattro", "cinque"}, Percent: "%s%%",

		Quotation: "Preventivo",
		DraftMark: "BOZZA",
		Marks: map[string]string{MarkDeclined: "RIFIUTATO", MarkLapsed: "SCADUTO", MarkCancelled: "ANNULLATO",
			MarkReplaced: "SOSTITUITO", MarkVoid: "NULLO"},
		Page:            "Pagina %d di %d",
		Continued:       "segue",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Preparato per %s",
		QuoteName:       "Preventivo %s, revisione %s",
		QuoteCited:      "il preventivo %s, revisione %s",
		DraftName:       "Bozza di preventivo",
		Number:          "Numero",
		NotNumbered:     "non ancora numerato",
		Revision:        "Revisione",
		Issued:          "Data",
		ValidUntil:      "Valido fino al",
		Option:          "Proposta",
		PreparedFor:     "Preparato per",
		EventDate:       "Data dell’evento",
		Venue:           "Luogo",
		Guests:          "Invitati",
		TaxNumber:       "%s n. %s",
		TaxLabel:        "imposta",

		YourCake:      [2]string{"La Sua torta", "Le Sue torte"},
		Copies:        "%d di questo modello",
		Portions:      [2]string{"%d porzione", "%d porzioni"},
		PortionsEach:  "%s ciascuna",
		ServedAndKept: "%s: %d da servire il giorno stesso, %d da conservare",
		AllKept:       "%s, da conservare",
		NoPortions:    "solo da esposizione",
		DummyNote:     "piano finto, non commestibile",
		KeptNote:      "da conservare",
		Across:        "diametro %s",
		AcrossSquare:  "lato %s",
		High:          "altezza %s",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Rotondo", "square": "Quadrato", "rectangle": "Rettangolare",
			"hexagon": "Esagonale, lato", "heart": "A cuore, lato", "measured": "Forma libera, superficie",
		},

		Item:          "Descrizione",
		Quantity:      "Q.tà",
		UnitPrice:     "Prezzo unitario",
		Amount:        "Importo",
		Prices:        "Prezzi",
		Discount:      "Sconto del %s sulle torte",
		DiscountPlain: "Sconto",
		MinimumOrder:  "Integrazione all’ordine minimo",
		NetTotal:      "Totale senza %s",
		TaxTotal:      "%s",
		Total:         "Totale",
		GrossNote:     "Tutti i prezzi sono comprensivi di %s.",
		NetNote:       "I prezzi unitari sono al netto di %s, che è compresa nel totale.",
		TaxHeading:    "%s nel totale",
		TaxRate:       "Aliquota",
		TaxNet:        "Imponibile",

		Payments:   "Pagamento",
		Deposit:    "Acconto",
		Instalment: "Rata %d",
		Balance:    "Saldo",
		PaidInFull: "Pagamento unico",
		DueOn:      "scadenza %s",

		OptionName:   "Proposta %d: %s",
		OptionPlain:  "Proposta %d",
		Compare:      "Le proposte a confronto",
		CompareIntro: "La preghiamo di scegliere una di queste %s proposte. Ognuna ha il suo prezzo complessivo ed è descritta per intero nelle pagine seguenti.",
		ScaleNote:    "Tutte le torte sono disegnate nella stessa scala.",
		CakesRow:     "Torte",
		SizesRow:     "Misure",
		PortionsRow:  "Porzioni",
		ExtrasRow:    "Servizi aggiuntivi",
		PerPortion:   "Totale per porzione, arrotondato",
		Times:        "%d × %s",

		Changes:      "Che cosa è cambiato",
		ChangesIntro: "Rispetto alla revisione precedente:",
		ChangeNames: map[string]string{
			"client": "Cliente", "event": "Data dell’evento", "venue": "Luogo", "guests": "Invitati",
			"option new": "Nuova proposta", "option out": "Proposta ritirata", "line new": "Aggiunto", "line out": "Tolto",
			"quantity": "quantità", "unit price": "prezzo unitario", "design": "piani modificati", "portions": "porzioni da servire",
			"discount": "Sconto", "minimum": "Integrazione all’ordine minimo", "terms": "Condizioni modificate", "total": "Totale",
		},
		Instead:     "%s invece di %s",
		Added:       "%s (nuovo)",
		Removed:     "%s (eliminato)",
		ChangeOf:    "%s, %s",
		SingleOffer: "l’offerta unica",

		Cancellation: "In caso di annullamento",
		CancelEver:   "Dall’accettazione dell’ordine: %s del totale.",
		CancelFrom: [2]string{"Con decorrenza %[1]s (%[2]d giorno prima dell’evento): %[3]s del totale.",
			"Con decorrenza %[1]s (%[2]d giorni prima dell’evento): %[3]s del totale."},
		CancelNote: "Resta salvo il diritto di recesso eventualmente previsto dalla legge.",

		Terms:       "Condizioni",
		Accept:      "Accettazione",
		AcceptText:  "Accetto %s, per un totale di %s.",
		AcceptTerms: "Accetto %s, per un totale di %s, alle condizioni sopra indicate.",
		ChooseText:  "Accetto %s, con la sola proposta che ho contrassegnato.",
		ChooseTerms: "Accetto %s, con la sola proposta che ho contrassegnato, alle condizioni sopra indicate.",
		Choice:      "%s, per un totale di %s",
		ForClient:   "Per il cliente",
		ForStudio:   "Per il laboratorio",
		SignHere:    "Firma",
		SignDate:    "Data",

		Allergens:    "Allergeni",
		Contains:     "Contiene",
		MayContain:   "Può contenere",
		Also:         "inoltre: %s",
		NoneDeclared: "gli ingredienti non dichiarano nessuno degli allergeni elencati",
		AllergenNote: "Questo elenco segue gli ingredienti previsti a oggi. La preghiamo di segnalarci ogni allergia o intolleranza prima di " +
			"accettare e di attenersi all’etichetta o alla scheda allergeni consegnata con la torta: prevale su questo preventivo.",
		SpeciesNote:  "La specie di pesce o crostaceo è indicata in etichetta e su richiesta.",
		AllergenName: italianAllergens(),

		Cautions: "Avvertenze",
		Caution: map[string]string{
			CautionInedible: "Alcune parti di questa torta, come sostegni, fili metallici o decorazioni, non sono commestibili. Vanno tolte tutte prima " +
				"di tagliarla e servirla; conti sostegni e fili e tenga i pezzi piccoli lontano dai bambini.",
			CautionAlcohol: "Alcune parti contengono alcol. La cottura non lo elimina del tutto. Avverta gli invitati, soprattutto i bambini, le donne " +
				"in gravidanza e chi evita l’alcol.",
			CautionRawEgg: "Alcune parti contengono uovo crudo o poco cotto. Di solito è sconsigliato a donne in gravidanza, anziani, bambini molto " +
				"piccoli e persone malate. Conservi la torta al fresco come indicato in etichetta e segua i consigli di sicurezza alimentare del Suo Paese.",
			CautionGelatine: "Alcune parti contengono gelatina, di origine animale, non adatta ai vegetariani né a tutte le diete. Ci chieda la sua " +
				"provenienza.",
			CautionFreshFlower: "I fiori freschi sono solo decorativi. Possono essere tossici o trattati, anche quando sembrano familiari: non infili " +
				"gambi nella torta, non mangi petali o foglie e tolga tutti i fiori prima di servire.",
		},
		CautionIn: "Riguarda: %s.",

		Receipt:       "Ricevuta",
		Refund:        "Rimborso",
		Correction:    "Rettifica",
		PaperName:     "%s %s",
		ReceivedFrom:  "Ricevuto da",
		PaidBackTo:    "Rimborsato a",
		ReceivedText:  "Abbiamo ricevuto %s da %s. Grazie.",
		PaidBackText:  "Abbiamo rimborsato %s a %s.",
		CorrectedText: "Annulliamo %s della ricevuta %s, emessa per errore.",
		Received:      "Importo ricevuto",
		PaidBack:      "Importo rimborsato",
		ReceivedOn:    "Ricevuto il",
		PaidBackOn:    "Rimborsato il",
		Means:         "Mezzo di pagamento",
		MeansNames: map[string]string{"transfer": "bonifico bancario", "card": "carta", "cash": "contanti", "cheque": "assegno",
			"other": "altro mezzo"},
		ForOrder:      "Ordine",
		Remark:        "Nota",
		Account:       "Situazione dell’ordine",
		OrderTotal:    "Totale dell’ordine",
		CancelledDue:  "Dovuto per l’ordine annullato",
		ReceivedSoFar: "Ricevuto finora",
		StillToPay:    "Ancora da pagare",
		InYourFavour:  "A Suo favore",
		ReceiptNote: "Questo documento attesta un pagamento e non è una fattura. Dove la legge la richiede, il laboratorio la emette a parte, con " +
			"l’imposta compresa nel prezzo.",

		Tasting: "Degustazione",

		Months: [12]string{"gennaio", "febbraio", "marzo", "aprile", "maggio", "giugno", "luglio",
			"agosto", "settembre", "ottobre", "novembre", "dicembre"},
		Weekdays:       [7]string{"domenica", "lunedì", "martedì", "mercoledì", "giovedì", "venerdì", "sabato"},
		DayFirst:       "%[2]d %[3]s %[4]d",
		MonthFirst:     "%[2]d %[3]s %[4]d",
		DayFirstLong:   "%[1]s %[2]d %[3]s %[4]d",
		MonthFirstLong: "%[1]s %[2]d %[3]s %[4]d",
	}
}

// italianAllergens: the entries of the European list as in the Italian text of
// Regulation (EU) No 1169/2011, Annex II, from memory; the others translated.
func italianAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Cereali contenenti glutine", "gluten": "Glutine", "gluten-sources": "Fonti di glutine",
		"nuts": "Frutta a guscio", "tree-nuts": "Frutta a guscio e pinoli",
		"wheat": "grano", "spelt": "farro spelta", "khorasan": "grano khorasan", "rye": "segale", "barley": "orzo", "oats": "avena",
		"almond": "mandorle", "hazelnut": "nocciole", "walnut": "noci", "cashew": "noci di acagiù", "pecan": "noci di pecan",
		"brazil-nut": "noci del Brasile", "pistachio": "pistacchi", "macadamia": "noci macadamia", "pine-nut": "pinoli",
		"crustaceans": "crostacei", "egg": "uova", "fish": "pesce", "peanut": "arachidi", "soy": "soia", "milk": "latte",
		"celery": "sedano", "mustard": "senape", "sesame": "semi di sesamo", "sulphites": "solfiti", "lupin": "lupini",
		"molluscs": "molluschi",

		"eu:crustaceans": "Crostacei", "eu:egg": "Uova", "eu:fish": "Pesce", "eu:peanut": "Arachidi", "eu:soy": "Soia",
		"eu:milk": "Latte", "eu:celery": "Sedano", "eu:mustard": "Senape", "eu:sesame": "Semi di sesamo",
		"eu:sulphites": "Anidride solforosa e solfiti", "eu:lupin": "Lupini", "eu:molluscs": "Molluschi",

		"us:milk": "Latte", "us:egg": "Uovo", "us:fish": "Pesce", "us:crustaceans": "Crostacei", "us:wheat": "Grano",
		"us:peanut": "Arachidi", "us:soy": "Soia", "us:sesame": "Sesamo",

		"ca:peanut": "Arachidi", "ca:sesame": "Semi di sesamo", "ca:milk": "Latte", "ca:egg": "Uova", "ca:fish": "Pesce",
		"ca:crustaceans": "Crostacei", "ca:molluscs": "Molluschi", "ca:soy": "Soia", "ca:wheat": "Grano",
		"ca:mustard": "Senape", "ca:sulphites": "Solfiti aggiunti",

		"anz:peanut": "Arachide", "anz:almond": "Mandorla", "anz:brazil-nut": "Noce del Brasile", "anz:cashew": "Anacardo",
		"anz:hazelnut": "Nocciola", "anz:macadamia": "Macadamia", "anz:pecan": "Noce di pecan", "anz:pine-nut": "Pinolo",
		"anz:pistachio": "Pistacchio", "anz:walnut": "Noce", "anz:egg": "Uovo", "anz:milk": "Latte", "anz:fish": "Pesce",
		"anz:crustaceans": "Crostacei", "anz:molluscs": "Molluschi", "anz:sesame": "Sesamo", "anz:soy": "Soia",
		"anz:wheat": "Grano", "anz:lupin": "Lupino", "anz:sulphites": "Solfiti",
	}
}
