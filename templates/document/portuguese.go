package document

// portuguese returns the wording in Portuguese as it is written in Portugal.
func portuguese() Messages {
	return Messages{
		Language: "pt",

		Labelled: "%s: %s", Semicolon: "; ", CountWords: [4]string{"duas", "três", "quatro", "cinco"}, Percent: "%s%%",

		Quotation: "Orçamento",
		DraftMark: "RASCUNHO",
		Marks: map[string]string{MarkDeclined: "RECUSADO", MarkLapsed: "CADUCADO", MarkCancelled: "CANCELADO",
			MarkReplaced: "SUBSTITUÍDO", MarkVoid: "SEM EFEITO"},
		Page:            "Página %d de %d",
		Continued:       "continuação",
		FileTitle:       "%s, %s",
		PreparedForWhom: "Preparado para %s",
		QuoteName:       "Orçamento %s, revisão %s",
		QuoteCited:      "o orçamento %s, revisão %s",
		DraftName:       "Rascunho de orçamento",
		Number:          "Número",
		NotNumbered:     "ainda sem número",
		Revision:        "Revisão",
		Issued:          "Data",
		ValidUntil:      "Válido até",
		Option:          "Opção",
		PreparedFor:     "Preparado para",
		EventDate:       "Data do evento",
		Venue:           "Local",
		Guests:          "Convidados",
		TaxNumber:       "%s n.º %s",
		TaxLabel:        "imposto",

		YourCake:      [2]string{"O seu bolo", "Os seus bolos"},
		Copies:        "%d deste modelo",
		Portions:      [2]string{"%d fatia", "%d fatias"},
		PortionsEach:  "%s cada",
		ServedAndKept: "%s: %d para servir no dia, %d para guardar",
		AllKept:       "%s, para guardar",
		NoPortions:    "apenas para exposição",
		DummyNote:     "andar falso, não comestível",
		KeptNote:      "para guardar",
		Across:        "diâmetro %s",
		AcrossSquare:  "lado %s",
		High:          "altura %s",
		Stands:        "%s, %s",
		ShapeNames: map[string]string{
			"round": "Redondo", "square": "Quadrado", "rectangle": "Retangular",
			"hexagon": "Hexagonal, lado", "heart": "Coração, lado", "measured": "Forma livre, área",
		},

		Item:          "Descrição",
		Quantity:      "Qtd.",
		UnitPrice:     "Preço unitário",
		Amount:        "Valor",
		Prices:        "Preços",
		Discount:      "Desconto de %s nos bolos",
		DiscountPlain: "Desconto",
		MinimumOrder:  "Acréscimo até à encomenda mínima",
		NetTotal:      "Total sem %s",
		TaxTotal:      "%s",
		Total:         "Total",
		GrossNote:     "Todos os preços incluem %s.",
		NetNote:       "Os preços unitários não incluem %s; o total inclui.",
		TaxHeading:    "%s no total",
		TaxRate:       "Taxa",
		TaxNet:        "Base",

		Payments:   "Pagamento",
		Deposit:    "Sinal",
		Instalment: "Prestação %d",
		Balance:    "Restante",
		PaidInFull: "Pagamento único",
		DueOn:      "vence a %s",

		OptionName:   "Opção %d: %s",
		OptionPlain:  "Opção %d",
		Compare:      "As opções lado a lado",
		CompareIntro: "Escolha, por favor, uma destas %s opções. Cada uma tem o seu preço total e é descrita por inteiro nas páginas seguintes.",
		ScaleNote:    "Todos os bolos estão desenhados à mesma escala.",
		CakesRow:     "Bolos",
		SizesRow:     "Medidas",
		PortionsRow:  "Fatias",
		ExtrasRow:    "Extras",
		PerPortion:   "Total por fatia, arredondado",
		Times:        "%d × %s",

		Changes:      "O que mudou",
		ChangesIntro: "Em relação à revisão anterior:",
		ChangeNames: map[string]string{
			"option": "Prosseguimos com",
			"client": "Cliente", "event": "Data do evento", "venue": "Local", "guests": "Convidados",
			"option new": "Nova opção", "option out": "Opção retirada", "line new": "Acrescentado", "line out": "Retirado",
			"quantity": "quantidade", "unit price": "preço unitário", "design": "andares alterados", "portions": "fatias para servir",
			"discount": "Desconto", "minimum": "Acréscimo até à encomenda mínima", "terms": "Condições alteradas", "total": "Total",
		},
		Instead:     "%s em vez de %s",
		Added:       "%s (novo)",
		Removed:     "%s (retirado)",
		ChangeOf:    "%s, %s",
		SingleOffer: "a proposta única",

		Cancellation: "Em caso de cancelamento",
		CancelEver:   "Desde a aceitação da encomenda: %s do total.",
		CancelFrom: [2]string{"A partir de %[1]s (%[2]d dia antes do evento): %[3]s do total.",
			"A partir de %[1]s (%[2]d dias antes do evento): %[3]s do total."},
		CancelNote: "Mantém-se qualquer direito de livre resolução que a lei lhe reconheça.",

		Terms:       "Condições",
		Accept:      "Aceitação",
		AcceptText:  "Aceito %s, no total de %s.",
		AcceptTerms: "Aceito %s, no total de %s, nas condições acima.",
		ChooseText:  "Aceito %s, com a única opção que assinalei.",
		ChooseTerms: "Aceito %s, com a única opção que assinalei, nas condições acima.",
		Choice:      "%s, no total de %s",
		ForClient:   "Pelo cliente",
		ForStudio:   "Pelo ateliê",
		SignHere:    "Assinatura",
		SignDate:    "Data",

		Allergens:    "Alergénios",
		Contains:     "Contém",
		MayContain:   "Pode conter",
		Also:         "e ainda: %s",
		NoneDeclared: "os ingredientes não declaram nenhum dos alergénios da lista",
		AllergenNote: "Esta lista corresponde aos ingredientes previstos hoje. Informe-nos, por favor, de qualquer alergia ou intolerância antes de " +
			"aceitar e guie-se pelo rótulo ou pela ficha de alergénios entregue com o bolo: prevalece sobre este orçamento.",
		SpeciesNote:  "Indicamos a espécie de peixe ou crustáceo no rótulo e a pedido.",
		AllergenName: portugueseAllergens(),

		Cautions: "A ter em atenção",
		Caution: map[string]string{
			CautionInedible: "Algumas partes deste bolo, como suportes, arames ou enfeites, não são comestíveis. Retire-as todas antes de o cortar e " +
				"servir, conte os suportes e arames e mantenha as peças pequenas longe das crianças.",
			CautionAlcohol: "Algumas partes contêm álcool. A cozedura não o elimina por completo. Avise os seus convidados, sobretudo as crianças, as " +
				"grávidas e quem evita álcool.",
			CautionRawEgg: "Algumas partes contêm ovo cru ou pouco cozinhado. É habitualmente desaconselhado a grávidas, idosos, crianças muito pequenas " +
				"e pessoas doentes. Conserve o bolo no frio como indica o rótulo e siga os conselhos de segurança alimentar do seu país.",
			CautionGelatine: "Algumas partes contêm gelatina, que é de origem animal e não convém a vegetarianos nem a todas as dietas. Pergunte-nos " +
				"qual a sua origem.",
			CautionFreshFlower: "As flores frescas são apenas decorativas. Podem ser tóxicas ou estar tratadas, mesmo quando parecem conhecidas: não espete " +
				"caules no bolo, não coma pétalas nem folhas e retire todas as flores antes de servir.",
		},
		CautionIn: "Diz respeito a: %s.",

		Receipt:       "Recibo",
		Refund:        "Reembolso",
		Correction:    "Retificação",
		PaperName:     "%s %s",
		ReceivedFrom:  "Recebido de",
		PaidBackTo:    "Reembolsado a",
		ReceivedText:  "Recebemos %s de %s. Muito obrigado.",
		PaidBackText:  "Reembolsámos %s a %s.",
		CorrectedText: "Anulamos %s do recibo %s, emitido por engano.",
		Received:      "Valor recebido",
		PaidBack:      "Valor reembolsado",
		ReceivedOn:    "Recebido em",
		PaidBackOn:    "Reembolsado em",
		Means:         "Meio de pagamento",
		MeansNames: map[string]string{"transfer": "transferência bancária", "card": "cartão", "cash": "numerário", "cheque": "cheque",
			"other": "outro meio"},
		ForOrder:      "Encomenda",
		Remark:        "Observação",
		Account:       "Situação da encomenda",
		OrderTotal:    "Total da encomenda",
		CancelledDue:  "A pagar pela encomenda cancelada",
		ReceivedSoFar: "Recebido até hoje",
		StillToPay:    "Por pagar",
		InYourFavour:  "A seu favor",
		ReceiptNote: "Este documento confirma um pagamento e não é uma fatura. Quando a lei a exige, o ateliê emite-a à parte, com o imposto " +
			"incluído no preço.",

		Tasting: "Degustação",

		Months: [12]string{"janeiro", "fevereiro", "março", "abril", "maio", "junho", "julho",
			"agosto", "setembro", "outubro", "novembro", "dezembro"},
		Weekdays:       [7]string{"domingo", "segunda-feira", "terça-feira", "quarta-feira", "quinta-feira", "sexta-feira", "sábado"},
		DayFirst:       "%[2]d de %[3]s de %[4]d",
		MonthFirst:     "%[2]d de %[3]s de %[4]d",
		DayFirstLong:   "%[1]s, %[2]d de %[3]s de %[4]d",
		MonthFirstLong: "%[1]s, %[2]d de %[3]s de %[4]d",
	}
}

// brazilian returns the wording of Portugal with what Brazil says otherwise.
func brazilian() Messages {
	m := portuguese()
	m.Language = "pt-BR"
	m.MinimumOrder = "Acréscimo até o pedido mínimo"
	m.ChangeNames["minimum"] = m.MinimumOrder
	m.NoPortions = "somente para exposição"
	m.DueOn = "vence em %s"
	m.Marks[MarkLapsed] = "VENCIDO"
	m.Instalment = "Parcela %d"
	m.ScaleNote = "Todos os bolos estão desenhados na mesma escala."
	m.CompareIntro = "Por favor, escolha uma destas %s opções. Cada uma tem seu preço total e é descrita por inteiro nas páginas seguintes."
	m.YourCake = [2]string{"Seu bolo", "Seus bolos"}
	m.CancelEver = "A partir da aceitação do pedido: %s do total."
	m.CancelNote = "Fica mantido qualquer direito de arrependimento que a lei lhe garanta."
	m.Allergens = "Alergênicos"
	m.NoneDeclared = "os ingredientes não declaram nenhum dos alergênicos da lista"
	m.AllergenNote = "Esta lista corresponde aos ingredientes previstos hoje. Por favor, informe-nos de qualquer alergia ou intolerância antes de " +
		"aceitar e siga o rótulo ou a ficha de alergênicos entregue com o bolo: ela prevalece sobre este orçamento."
	m.Cautions = "Atenção"
	m.Caution[CautionAlcohol] = "Algumas partes contêm álcool. O cozimento não o elimina por completo. Avise seus convidados, sobretudo crianças, " +
		"gestantes e quem evita álcool."
	m.Caution[CautionRawEgg] = "Algumas partes contêm ovo cru ou pouco cozido. Costuma ser desaconselhado a gestantes, idosos, crianças muito pequenas " +
		"e pessoas doentes. Conserve o bolo na geladeira como indica o rótulo e siga as orientações de segurança alimentar do seu país."
	m.PaidBackText = "Reembolsamos %s a %s."
	m.MeansNames["cash"] = "dinheiro"
	m.ReceiptNote = "Este documento confirma um pagamento e não é uma nota fiscal. Quando a lei a exige, o ateliê a emite à parte, com o imposto " +
		"incluído no preço."
	m.ForOrder, m.Account, m.OrderTotal = "Pedido", "Situação do pedido", "Total do pedido"
	m.CancelledDue = "A pagar pelo pedido cancelado"
	m.StillToPay = "A pagar"
	m.AllergenName["sesame"], m.AllergenName["eu:sesame"], m.AllergenName["ca:sesame"] = "sementes de gergelim", "Sementes de gergelim", "Sementes de gergelim"
	m.AllergenName["pistachio"], m.AllergenName["pecan"], m.AllergenName["brazil-nut"] = "pistaches", "nozes-pecã", "castanhas-do-brasil"
	m.AllergenName["us:sesame"], m.AllergenName["anz:sesame"] = "Gergelim", "Gergelim"
	return m
}

// portugueseAllergens: the entries of the European list as in the Portuguese
// text of Regulation (EU) No 1169/2011, Annex II, from memory; the others
// translated.
func portugueseAllergens() map[string]string {
	return map[string]string{
		"gluten-cereals": "Cereais que contêm glúten", "gluten": "Glúten", "gluten-sources": "Fontes de glúten",
		"nuts": "Frutos de casca rija", "tree-nuts": "Nozes e outros frutos de casca rija",
		"wheat": "trigo", "spelt": "espelta", "khorasan": "trigo khorasan", "rye": "centeio", "barley": "cevada", "oats": "aveia",
		"almond": "amêndoas", "hazelnut": "avelãs", "walnut": "nozes", "cashew": "castanhas de caju", "pecan": "nozes pécan",
		"brazil-nut": "castanhas do Brasil", "pistachio": "pistácios", "macadamia": "nozes de macadâmia", "pine-nut": "pinhões",
		"crustaceans": "crustáceos", "egg": "ovos", "fish": "peixes", "peanut": "amendoins", "soy": "soja", "milk": "leite",
		"celery": "aipo", "mustard": "mostarda", "sesame": "sementes de sésamo", "sulphites": "sulfitos", "lupin": "tremoço",
		"molluscs": "moluscos",

		"eu:crustaceans": "Crustáceos", "eu:egg": "Ovos", "eu:fish": "Peixes", "eu:peanut": "Amendoins", "eu:soy": "Soja",
		"eu:milk": "Leite", "eu:celery": "Aipo", "eu:mustard": "Mostarda", "eu:sesame": "Sementes de sésamo",
		"eu:sulphites": "Dióxido de enxofre e sulfitos", "eu:lupin": "Tremoço", "eu:molluscs": "Moluscos",

		"us:milk": "Leite", "us:egg": "Ovo", "us:fish": "Peixe", "us:crustaceans": "Crustáceos", "us:wheat": "Trigo",
		"us:peanut": "Amendoins", "us:soy": "Soja", "us:sesame": "Sésamo",

		"ca:peanut": "Amendoins", "ca:sesame": "Sementes de sésamo", "ca:milk": "Leite", "ca:egg": "Ovos", "ca:fish": "Peixe",
		"ca:crustaceans": "Crustáceos", "ca:molluscs": "Moluscos", "ca:soy": "Soja", "ca:wheat": "Trigo",
		"ca:mustard": "Mostarda", "ca:sulphites": "Sulfitos adicionados",

		"anz:peanut": "Amendoim", "anz:almond": "Amêndoa", "anz:brazil-nut": "Castanha do Brasil", "anz:cashew": "Castanha de caju",
		"anz:hazelnut": "Avelã", "anz:macadamia": "Macadâmia", "anz:pecan": "Noz pécan", "anz:pine-nut": "Pinhão",
		"anz:pistachio": "Pistácio", "anz:walnut": "Noz", "anz:egg": "Ovo", "anz:milk": "Leite", "anz:fish": "Peixe",
		"anz:crustaceans": "Crustáceos", "anz:molluscs": "Moluscos", "anz:sesame": "Sésamo", "anz:soy": "Soja",
		"anz:wheat": "Trigo", "anz:lupin": "Tremoço", "anz:sulphites": "Sulfitos",
	}
}
