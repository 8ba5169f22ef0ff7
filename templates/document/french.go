package document

// french returns the wording in French. Before : ; ! ? » and after « stands a
// narrow no-break space (U+202F); the Unicode CLDR sets the others.
func french() Messages {
	return Messages{
		Language: "fr",

		Labelled: "%s\u202f: %s", Semicolon: "\u202f; ", CountWords: [4]string{"deux", "trois", "quatre", "cinq"}, Percent: "%s\u00a0%%",

		Quotation: "Devis",
		DraftMark: "PROJET",
		Marks: map[string]string{MarkDeclined: "REFUSÉ", MarkLapsed: "EXPIRÉ", MarkCancelled: "ANNULÉ",
			MarkReplaced: "REMPLACÉ", MarkVoid: "NUL"},
		Page:            "Page %d sur %d",
		Continued:       "suite",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Établi pour %s",
		QuoteName:       "Devis %s, révision %s",
		QuoteCited:      "le devis %s, révision %s",
		DraftName:       "Projet de devis",
		Number:          "Numéro",
		NotNumbered:     "pas encore numéroté",
		Revision:        "Révision",
		Issued:          "Date",
		ValidUntil:      "Valable jusqu’au",
		Option:          "Formule",
		PreparedFor:     "Établi pour",
		EventDate:       "Date de la réception",
		Venue:           "Lieu",
		Guests:          "Convives",
		TaxNumber:       "N°\u00a0%s\u202f: %s",
		TaxLabel:        "taxe",

		YourCake:      [2]string{"Votre gâteau", "Vos gâteaux"},
		Copies:        "%d de ce modèle",
		Portions:      [2]string{"%d part", "%d parts"},
		PortionsEach:  "%s chacun",
		ServedAndKept: "%s\u202f: %d à servir le jour même, %d à garder pour plus tard",
		AllKept:       "%s, à garder pour plus tard",
		NoPortions:    "pour le décor seulement",
		DummyNote:     "étage factice, non comestible",
		KeptNote:      "à garder pour plus tard",
		Across:        "diamètre %s",
		AcrossSquare:  "côté %s",
		High:          "hauteur %s",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Rond", "square": "Carré", "rectangle": "Rectangulaire",
			"hexagon": "Hexagonal, côté", "heart": "Cœur, côté", "measured": "Forme libre, surface",
		},

		Item:          "Désignation",
		Quantity:      "Qté",
		UnitPrice:     "Prix unitaire",
		Amount:        "Montant",
		Prices:        "Prix",
		Discount:      "Remise de %s sur les gâteaux",
		DiscountPlain: "Remise",
		MinimumOrder:  "Complément au minimum de commande",
		NetTotal:      "Total hors %s",
		TaxTotal:      "%s",
		Total:         "Total",
		GrossNote:     "Tous les prix s’entendent %s comprise.",
		NetNote:       "Les prix unitaires s’entendent hors %s\u202f; le total la comprend.",
		TaxHeading:    "%s comprise dans le total",
		TaxRate:       "Taux",
		TaxNet:        "Hors taxe",

		Payments:   "Règlement",
		Deposit:    "Acompte",
		Instalment: "Échéance %d",
		Balance:    "Solde",
		PaidInFull: "Règlement unique",
		DueOn:      "à régler le %s",

		OptionName:   "Formule %d\u202f: %s",
		OptionPlain:  "Formule %d",
		Compare:      "Les formules en regard",
		CompareIntro: "Nous vous invitons à choisir l’une de ces %s formules. Chacune a son prix global et est détaillée dans les pages qui suivent.",
		ScaleNote:    "Tous les gâteaux sont dessinés à la même échelle.",
		CakesRow:     "Gâteaux",
		SizesRow:     "Dimensions",
		PortionsRow:  "Parts",
		ExtrasRow:    "Suppléments",
		PerPortion:   "Total par part, arrondi",
		Times:        "%d × %s",

		Changes:      "Ce qui a changé",
		ChangesIntro: "Par rapport à la révision précédente\u202f:",
		ChangeNames: map[string]string{
			"option": "Nous poursuivons avec",
			"client": "Client", "event": "Date de la réception", "venue": "Lieu", "guests": "Convives",
			"option new": "Nouvelle formule", "option out": "Formule retirée", "line new": "Ajouté", "line out": "Retiré",
			"quantity": "quantité", "unit price": "prix unitaire", "design": "étages modifiés", "portions": "parts à servir",
			"discount": "Remise", "minimum": "Complément au minimum de commande", "terms": "Conditions modifiées", "total": "Total",
		},
		Instead:     "%s au lieu de %s",
		Added:       "%s (nouveau)",
		Removed:     "%s (supprimé)",
		ChangeOf:    "%s, %s",
		SingleOffer: "l’offre unique",

		Cancellation: "En cas d’annulation",
		CancelEver:   "Dès l’acceptation de la commande\u202f: %s du total.",
		CancelFrom: [2]string{"À partir du %[1]s (%[2]d jour avant la réception)\u202f: %[3]s du total.",
			"À partir du %[1]s (%[2]d jours avant la réception)\u202f: %[3]s du total."},
		CancelNote: "Tout droit de rétractation que la loi vous accorde demeure entier.",

		Terms:       "Conditions",
		Accept:      "Bon pour accord",
		AcceptText:  "J’accepte %s, pour un total de %s.",
		AcceptTerms: "J’accepte %s, pour un total de %s, aux conditions ci-dessus.",
		ChooseText:  "J’accepte %s, avec la seule formule que j’ai cochée.",
		ChooseTerms: "J’accepte %s, avec la seule formule que j’ai cochée, aux conditions ci-dessus.",
		Choice:      "%s, pour un total de %s",
		ForClient:   "Pour le client",
		ForStudio:   "Pour l’atelier",
		SignHere:    "Signature",
		SignDate:    "Date",

		Allergens:    "Allergènes",
		Contains:     "Contient",
		MayContain:   "Peut contenir",
		Also:         "ainsi que\u202f: %s",
		NoneDeclared: "les ingrédients ne déclarent aucun des allergènes de la liste",
		AllergenNote: "Cette liste correspond aux ingrédients prévus à ce jour. Veuillez nous signaler toute allergie ou intolérance avant " +
			"d’accepter, et vous fier à l’étiquette ou à la fiche allergènes remise avec le gâteau\u202f: elle prévaut sur ce devis.",
		SpeciesNote:  "Nous indiquons l’espèce de poisson ou de crustacé sur l’étiquette et sur demande.",
		AllergenName: frenchAllergens(),

		Cautions: "À savoir",
		Caution: map[string]string{
			CautionInedible: "Certains éléments de ce gâteau, comme les supports, les tiges ou les décors, ne sont pas comestibles. Retirez-les " +
				"tous avant de couper et de servir, comptez supports et tiges, et tenez les petites pièces hors de portée des enfants.",
			CautionAlcohol: "Certains éléments contiennent de l’alcool. La cuisson ne l’élimine pas entièrement. Prévenez vos invités, surtout " +
				"les enfants, les femmes enceintes et toute personne qui évite l’alcool.",
			CautionRawEgg: "Certains éléments contiennent de l’œuf cru ou à peine cuit. Il est d’ordinaire déconseillé aux femmes enceintes, aux " +
				"personnes âgées, aux très jeunes enfants et aux personnes fragiles. Gardez le gâteau au frais comme l’indique l’étiquette et " +
				"suivez les conseils de sécurité alimentaire de votre pays.",
			CautionGelatine: "Certains éléments contiennent de la gélatine, d’origine animale, qui ne convient ni aux végétariens ni à tous les " +
				"régimes. Demandez-nous sa provenance.",
			CautionFreshFlower: "Les fleurs fraîches sont purement décoratives. Elles peuvent être toxiques ou traitées, même lorsqu’elles semblent " +
				"familières\u202f: n’enfoncez pas de tiges dans le gâteau, ne mangez ni pétales ni feuilles et retirez toutes les fleurs avant de servir.",
		},
		CautionIn: "Sont concernés\u202f: %s.",

		Receipt:       "Reçu",
		Refund:        "Remboursement",
		Correction:    "Rectification",
		PaperName:     "%s %s",
		ReceivedFrom:  "Reçu de",
		PaidBackTo:    "Remboursé à",
		ReceivedText:  "Nous avons bien reçu %s de la part de %s et vous en remercions.",
		PaidBackText:  "Nous avons remboursé %s à %s.",
		CorrectedText: "Nous annulons %s du reçu %s, établi par erreur.",
		Received:      "Montant reçu",
		PaidBack:      "Montant remboursé",
		ReceivedOn:    "Reçu le",
		PaidBackOn:    "Remboursé le",
		Means:         "Moyen de paiement",
		MeansNames: map[string]string{"transfer": "virement bancaire", "card": "carte bancaire", "cash": "espèces", "cheque": "chèque",
			"other": "autre moyen"},
		ForOrder:      "Commande",
		Remark:        "Remarque",
		Account:       "État de la commande",
		OrderTotal:    "Total de la commande",
		CancelledDue:  "Dû pour la commande annulée",
		ReceivedSoFar: "Reçu à ce jour",
		StillToPay:    "Reste à payer",
		InYourFavour:  "En votre faveur",
		ReceiptNote: "Ce document atteste un paiement et ne tient pas lieu de facture. Lorsque la loi l’exige, l’atelier établit séparément " +
			"une facture qui mentionne la taxe comprise dans le prix.",

		Tasting: "Dégustation",

		Months: [12]string{"janvier", "février", "mars", "avril", "mai", "juin", "juillet",
			"août", "septembre", "octobre", "novembre", "décembre"},
		Weekdays:       [7]string{"dimanche", "lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi"},
		DayFirst:       "%[2]d %[3]s %[4]d",
		MonthFirst:     "%[2]d %[3]s %[4]d",
		DayFirstLong:   "%[1]s %[2]d %[3]s %[4]d",
		MonthFirstLong: "%[1]s %[2]d %[3]s %[4]d",
	}
}

// frenchAllergens: the entries of the European list as in the French text of
// Regulation (EU) No 1169/2011, Annex II, from memory; the others translated.
func frenchAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Céréales contenant du gluten", "gluten": "Gluten", "gluten-sources": "Sources de gluten",
		"nuts": "Fruits à coque", "tree-nuts": "Noix et fruits à coque",
		"wheat": "blé", "spelt": "épeautre", "khorasan": "blé de Khorasan", "rye": "seigle", "barley": "orge", "oats": "avoine",
		"almond": "amandes", "hazelnut": "noisettes", "walnut": "noix", "cashew": "noix de cajou", "pecan": "noix de pécan",
		"brazil-nut": "noix du Brésil", "pistachio": "pistaches", "macadamia": "noix de Macadamia", "pine-nut": "pignons de pin",
		"crustaceans": "crustacés", "egg": "œufs", "fish": "poissons", "peanut": "arachides", "soy": "soja", "milk": "lait",
		"celery": "céleri", "mustard": "moutarde", "sesame": "graines de sésame", "sulphites": "sulfites", "lupin": "lupin",
		"molluscs": "mollusques",

		"eu:crustaceans": "Crustacés", "eu:egg": "Œufs", "eu:fish": "Poissons", "eu:peanut": "Arachides", "eu:soy": "Soja",
		"eu:milk": "Lait", "eu:celery": "Céleri", "eu:mustard": "Moutarde", "eu:sesame": "Graines de sésame",
		"eu:sulphites": "Anhydride sulfureux et sulfites", "eu:lupin": "Lupin", "eu:molluscs": "Mollusques",

		"us:milk": "Lait", "us:egg": "Œuf", "us:fish": "Poisson", "us:crustaceans": "Crustacés", "us:wheat": "Blé",
		"us:peanut": "Arachides", "us:soy": "Soja", "us:sesame": "Sésame",

		"ca:peanut": "Arachides", "ca:sesame": "Graines de sésame", "ca:milk": "Lait", "ca:egg": "Œufs", "ca:fish": "Poisson",
		"ca:crustaceans": "Crustacés", "ca:molluscs": "Mollusques", "ca:soy": "Soja", "ca:wheat": "Blé",
		"ca:mustard": "Moutarde", "ca:sulphites": "Sulfites ajoutés",

		"anz:peanut": "Arachide", "anz:almond": "Amande", "anz:brazil-nut": "Noix du Brésil", "anz:cashew": "Noix de cajou",
		"anz:hazelnut": "Noisette", "anz:macadamia": "Noix de Macadamia", "anz:pecan": "Noix de pécan", "anz:pine-nut": "Pignon de pin",
		"anz:pistachio": "Pistache", "anz:walnut": "Noix", "anz:egg": "Œuf", "anz:milk": "Lait", "anz:fish": "Poisson",
		"anz:crustaceans": "Crustacés", "anz:molluscs": "Mollusques", "anz:sesame": "Sésame", "anz:soy": "Soja",
		"anz:wheat": "Blé", "anz:lupin": "Lupin", "anz:sulphites": "Sulfites",
	}
}
