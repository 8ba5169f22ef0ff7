package document

// spanish returns the wording in Spanish.
func spanish() Messages {
	return Messages{
		Language: "es",

		Labelled: "%s: %s", Semicolon: "; ", CountWords: [4]string{"dos", "tres", "cuatro", "cinco"}, Percent: "%s\u00a0%%",

		Quotation: "Presupuesto",
		DraftMark: "BORRADOR",
		Marks: map[string]string{MarkDeclined: "RECHAZADO", MarkLapsed: "CADUCADO", MarkCancelled: "ANULADO",
			MarkReplaced: "SUSTITUIDO", MarkVoid: "NULO"},
		Page:            "Página %d de %d",
		Continued:       "continuación",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Preparado para %s",
		QuoteName:       "Presupuesto %s, revisión %s",
		QuoteCited:      "el presupuesto %s, revisión %s",
		DraftName:       "Borrador de presupuesto",
		Number:          "Número",
		NotNumbered:     "aún sin número",
		Revision:        "Revisión",
		Issued:          "Fecha",
		ValidUntil:      "Válido hasta",
		Option:          "Opción",
		PreparedFor:     "Preparado para",
		EventDate:       "Fecha de la celebración",
		Venue:           "Lugar",
		Guests:          "Invitados",
		TaxNumber:       "%s n.º %s",
		TaxLabel:        "impuestos",

		YourCake:      [2]string{"Su tarta", "Sus tartas"},
		Copies:        "%d de este diseño",
		Portions:      [2]string{"%d ración", "%d raciones"},
		PortionsEach:  "%s cada una",
		ServedAndKept: "%s: %d para servir ese día, %d para guardar",
		AllKept:       "%s, para guardar",
		NoPortions:    "solo de exposición",
		DummyNote:     "piso falso, no comestible",
		KeptNote:      "para guardar",
		Across:        "%s de diámetro",
		AcrossSquare:  "%s de lado",
		High:          "%s de alto",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Redondo", "square": "Cuadrado", "rectangle": "Rectangular",
			"hexagon": "Hexagonal, lados de", "heart": "Corazón, lados de", "measured": "Forma libre, superficie de",
		},

		Item:          "Concepto",
		Quantity:      "Cant.",
		UnitPrice:     "Precio unitario",
		Amount:        "Importe",
		Prices:        "Precios",
		Discount:      "Descuento del %s en las tartas",
		DiscountPlain: "Descuento",
		MinimumOrder:  "Suplemento hasta el pedido mínimo",
		NetTotal:      "Total sin %s",
		TaxTotal:      "%s",
		Total:         "Total",
		GrossNote:     "Todos los precios incluyen %s.",
		NetNote:       "Los precios unitarios no incluyen %s; el total sí.",
		TaxHeading:    "%s en el total",
		TaxRate:       "Tipo",
		TaxNet:        "Base",

		Payments:   "Forma de pago",
		Deposit:    "Señal",
		Instalment: "Plazo %d",
		Balance:    "Resto",
		PaidInFull: "Pago único",
		DueOn:      "vence el %s",

		OptionName:   "Opción %d: %s",
		OptionPlain:  "Opción %d",
		Compare:      "Comparación de las opciones",
		CompareIntro: "Elija, por favor, una de estas %s opciones. Cada una tiene su precio total y se detalla en las páginas siguientes.",
		ScaleNote:    "Todas las tartas están dibujadas a la misma escala.",
		CakesRow:     "Tartas",
		SizesRow:     "Medidas",
		PortionsRow:  "Raciones",
		ExtrasRow:    "Extras",
		PerPortion:   "Total por ración, redondeado",
		Times:        "%d × %s",

		Changes:      "Qué ha cambiado",
		ChangesIntro: "Respecto a la revisión anterior:",
		ChangeNames: map[string]string{
			"client": "Cliente", "event": "Fecha de la celebración", "venue": "Lugar", "guests": "Invitados",
			"option new": "Opción nueva", "option out": "Ya no se ofrece", "line new": "Añadido", "line out": "Retirado",
			"quantity": "cantidad", "unit price": "precio unitario", "design": "pisos modificados", "portions": "raciones para servir",
			"discount": "Descuento", "minimum": "Suplemento hasta el pedido mínimo", "terms": "Condiciones modificadas", "total": "Total",
		},
		Instead:     "%s en lugar de %s",
		Added:       "%s (nuevo)",
		Removed:     "%s (suprimido)",
		ChangeOf:    "%s, %s",
		SingleOffer: "la oferta única",

		Cancellation: "En caso de cancelación",
		CancelEver:   "Desde la aceptación del pedido: %s del total.",
		CancelFrom: [2]string{"A partir del %[1]s (%[2]d día antes de la celebración): %[3]s del total.",
			"A partir del %[1]s (%[2]d días antes de la celebración): %[3]s del total."},
		CancelNote: "Todo ello sin perjuicio del derecho de desistimiento que la ley le reconozca.",

		Terms:       "Condiciones",
		Accept:      "Aceptación",
		AcceptText:  "Acepto %s, por un total de %s.",
		AcceptTerms: "Acepto %s, por un total de %s, en las condiciones anteriores.",
		ChooseText:  "Acepto %s, con la única opción que he marcado.",
		ChooseTerms: "Acepto %s, con la única opción que he marcado, en las condiciones anteriores.",
		Choice:      "%s, por un total de %s",
		ForClient:   "Por el cliente",
		ForStudio:   "Por el obrador",
		SignHere:    "Firma",
		SignDate:    "Fecha",

		Allergens:    "Alérgenos",
		Contains:     "Contiene",
		MayContain:   "Puede contener",
		Also:         "además: %s",
		NoneDeclared: "los ingredientes no declaran ninguno de los alérgenos de la lista",
		AllergenNote: "Esta lista corresponde a los ingredientes previstos hoy. Infórmenos de cualquier alergia o intolerancia antes de aceptar " +
			"y guíese por la etiqueta o la ficha de alérgenos que se entrega con la tarta: prevalece sobre este presupuesto.",
		SpeciesNote:  "Indicamos la especie de pescado o crustáceo en la etiqueta y cuando se nos pide.",
		AllergenName: spanishAllergens(),

		Cautions: "Tenga en cuenta",
		Caution: map[string]string{
			CautionInedible: "Algunas partes de esta tarta, como soportes, alambres o adornos, no son comestibles. Retírelas todas antes de cortarla " +
				"y servirla, cuente los soportes y alambres y mantenga las piezas pequeñas lejos de los niños.",
			CautionAlcohol: "Algunas partes contienen alcohol. El horneado no lo elimina del todo. Avise a sus invitados, sobre todo a los niños, a " +
				"las embarazadas y a quien evite el alcohol.",
			CautionRawEgg: "Algunas partes contienen huevo crudo o poco cocinado. Suele desaconsejarse a embarazadas, personas mayores, niños muy " +
				"pequeños y enfermos. Conserve la tarta en frío como indica la etiqueta y siga los consejos de seguridad alimentaria de su país.",
			CautionGelatine: "Algunas partes contienen gelatina, que es de origen animal y no es apta para vegetarianos ni para todas las dietas. " +
				"Pregúntenos por su procedencia.",
			CautionFreshFlower: "Las flores frescas son solo decorativas. Pueden ser tóxicas o estar tratadas, aunque parezcan conocidas: no clave " +
				"tallos en la tarta, no coma pétalos ni hojas y quite todas las flores antes de servir.",
		},
		CautionIn: "Afecta a: %s.",

		Receipt:       "Recibo",
		Refund:        "Reembolso",
		Correction:    "Rectificación",
		PaperName:     "%s %s",
		ReceivedFrom:  "Recibido de",
		PaidBackTo:    "Reembolsado a",
		ReceivedText:  "Hemos recibido %s de %s. Muchas gracias.",
		PaidBackText:  "Hemos reembolsado %s a %s.",
		CorrectedText: "Dejamos sin efecto %s del recibo %s, emitido por error.",
		Received:      "Importe recibido",
		PaidBack:      "Importe reembolsado",
		ReceivedOn:    "Recibido el",
		PaidBackOn:    "Reembolsado el",
		Means:         "Medio de pago",
		MeansNames: map[string]string{"transfer": "transferencia bancaria", "card": "tarjeta", "cash": "efectivo", "cheque": "cheque",
			"other": "otro medio"},
		ForOrder:      "Pedido",
		Remark:        "Observación",
		Account:       "Estado del pedido",
		OrderTotal:    "Total del pedido",
		CancelledDue:  "A pagar por el pedido cancelado",
		ReceivedSoFar: "Recibido hasta hoy",
		StillToPay:    "Pendiente de pago",
		InYourFavour:  "A su favor",
		ReceiptNote: "Este documento acredita un pago y no es una factura. Cuando la ley la exige, el obrador la emite aparte, con el impuesto " +
			"incluido en el precio.",

		Tasting: "Degustación",

		Months: [12]string{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio",
			"agosto", "septiembre", "octubre", "noviembre", "diciembre"},
		Weekdays:       [7]string{"domingo", "lunes", "martes", "miércoles", "jueves", "viernes", "sábado"},
		DayFirst:       "%[2]d de %[3]s de %[4]d",
		MonthFirst:     "%[2]d de %[3]s de %[4]d",
		DayFirstLong:   "%[1]s, %[2]d de %[3]s de %[4]d",
		MonthFirstLong: "%[1]s, %[2]d de %[3]s de %[4]d",
	}
}

// spanishAllergens: the entries of the European list as in the Spanish text of
// Regulation (EU) No 1169/2011, Annex II, from memory; the others translated.
func spanishAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Cereales que contengan gluten", "gluten": "Gluten", "gluten-sources": "Fuentes de gluten",
		"nuts": "Frutos de cáscara", "tree-nuts": "Frutos secos de árbol",
		"wheat": "trigo", "spelt": "espelta", "khorasan": "trigo khorasan", "rye": "centeno", "barley": "cebada", "oats": "avena",
		"almond": "almendras", "hazelnut": "avellanas", "walnut": "nueces", "cashew": "anacardos", "pecan": "pacanas",
		"brazil-nut": "nueces de Brasil", "pistachio": "alfóncigos o pistachos", "macadamia": "nueces macadamia", "pine-nut": "piñones",
		"crustaceans": "crustáceos", "egg": "huevos", "fish": "pescado", "peanut": "cacahuetes", "soy": "soja", "milk": "leche",
		"celery": "apio", "mustard": "mostaza", "sesame": "granos de sésamo", "sulphites": "sulfitos", "lupin": "altramuces",
		"molluscs": "moluscos",

		"eu:crustaceans": "Crustáceos", "eu:egg": "Huevos", "eu:fish": "Pescado", "eu:peanut": "Cacahuetes", "eu:soy": "Soja",
		"eu:milk": "Leche", "eu:celery": "Apio", "eu:mustard": "Mostaza", "eu:sesame": "Granos de sésamo",
		"eu:sulphites": "Dióxido de azufre y sulfitos", "eu:lupin": "Altramuces", "eu:molluscs": "Moluscos",

		"us:milk": "Leche", "us:egg": "Huevo", "us:fish": "Pescado", "us:crustaceans": "Crustáceos", "us:wheat": "Trigo",
		"us:peanut": "Cacahuetes (maní)", "us:soy": "Soja (soya)", "us:sesame": "Sésamo (ajonjolí)",

		"ca:peanut": "Cacahuetes", "ca:sesame": "Granos de sésamo", "ca:milk": "Leche", "ca:egg": "Huevos", "ca:fish": "Pescado",
		"ca:crustaceans": "Crustáceos", "ca:molluscs": "Moluscos", "ca:soy": "Soja", "ca:wheat": "Trigo",
		"ca:mustard": "Mostaza", "ca:sulphites": "Sulfitos añadidos",

		"anz:peanut": "Cacahuete", "anz:almond": "Almendra", "anz:brazil-nut": "Nuez de Brasil", "anz:cashew": "Anacardo",
		"anz:hazelnut": "Avellana", "anz:macadamia": "Macadamia", "anz:pecan": "Pacana", "anz:pine-nut": "Piñón",
		"anz:pistachio": "Pistacho", "anz:walnut": "Nuez", "anz:egg": "Huevo", "anz:milk": "Leche", "anz:fish": "Pescado",
		"anz:crustaceans": "Crustáceos", "anz:molluscs": "Moluscos", "anz:sesame": "Sésamo", "anz:soy": "Soja",
		"anz:wheat": "Trigo", "anz:lupin": "Altramuz", "anz:sulphites": "Sulfitos",
	}
}
