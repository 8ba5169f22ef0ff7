package document

// ProductionWords is every word that a production plan says of its own, in one
// language. Patterns hold %s for text and %d for counts, in the order of the
// comment.
type ProductionWords struct {
	Language  string
	Heading   string
	FileTitle string // first day, last day, studio
	Page      string // page, pages, both %d
	Continued string
	Span      string // first day, last day
	Columns   ProductionColumns
	Nothing   string

	Of       string    // component or cake, task
	OfTier   string    // cake, tier, task
	Copies   string    // what is worked on, how many
	Made     string    // a making without a task of its own
	Spread   string    // task, stretch, stretches; both %d
	Waits    string    // task, until when
	Runs     string    // appliance, until when
	Batches  [2]string // how many, of how much; one, several
	Running  string    // appliance, how long
	Minutes  string    // a number
	Hours    string    // hours, minutes
	OnlyHour string    // hours
	NextDay  string    // a time, a day

	Load      string // role or appliance, taken, of
	LoadOpen  string // role or appliance, taken
	LoadOver  string // role or appliance, taken, of, over
	Deadlines string // heading over the orders
	Order     string // reference, label
	HandOver  string // when
	StartBy   string // when
	Begins    string // when

	Clashes     string
	Clash       map[string]string // by kind: name, day, minutes over, orders, all by number: %[1]s
	Unstated    string            // names
	Notes       string
	KeepingNote string
	ColdNote    string

	Cards     string
	CardTitle string // component, day
	Each      string // how many pieces
	Keeps     string // how long
	GoodUntil string // when
	About     string // a measure in cups and spoons
	Measures  map[string]string
	Spans     map[string][2]string // names of the units of time; one, several
	HotSugar  string
	RawEgg    string // names

	HotSugarMark string // the same in a word or two
	RawEggMark   string
	Tasks        string // tasks in order
}

// ProductionColumns heads the columns of a day.
type ProductionColumns struct {
	Time, What, Who, Minutes, Orders string
}

// EnglishProduction returns the wording of a production plan in English.
//
// The cautions are the usual ones and send the reader on to labels and local
// codes. Cold holding at or below 5 °C (41 °F): US Food Code 3-501.16 as adopted
// in Delaware, also WAC 246-215-03525 (read); at or below 8 °C in England, Wales
// and Northern Ireland: a training page and the contents list of the FSA's
// guidance of May 2016 (secondary copies). The words on hot sugar and raw egg
// are common practice, no source.
func EnglishProduction() ProductionWords {
	return ProductionWords{
		Language:  "en",
		Heading:   "Production plan",
		FileTitle: "Production plan, %s to %s, %s",
		Page:      "Page %d of %d",
		Continued: "continued",
		Span:      "%s to %s",
		Columns:   ProductionColumns{Time: "Time", What: "What", Who: "Who", Minutes: "Hands-on", Orders: "For"},
		Nothing:   "Nothing is to be made in these days.",

		Of:       "%s: %s",
		OfTier:   "%s, %s: %s",
		Copies:   "%s, %d of them",
		Made:     "make",
		Spread:   "%s (part %d of %d)",
		Waits:    "%s, until %s",
		Runs:     "%s runs, until %s",
		Batches:  [2]string{"%d batch of %s", "%d batches of %s"},
		Running:  "%s %s",
		Minutes:  "%d min",
		Hours:    "%d h %02d min",
		OnlyHour: "%d h",
		NextDay:  "%s on %s",

		Load:      "%s: %s of %s taken",
		LoadOpen:  "%s: %s",
		LoadOver:  "%s: %s of %s taken, %s over",
		Deadlines: "Orders",
		Order:     "%s, %s",
		HandOver:  "hand-over %s",
		StartBy:   "start by %s",
		Begins:    "begins %s",

		Clashes: "What does not fit",
		Clash: map[string]string{
			"capacity": "%[1]s on %[2]s: %[3]s more than the day holds. Concerns %[4]s.",
			"hours":    "%[1]s on %[2]s: %[3]s of work outside the hours of the studio. Concerns %[4]s.",
			"hands":    "%[1]s on %[2]s: %[3]s of work for more hands at once than there are. Concerns %[4]s.",
			"keeping":  "%[1]s: past its keeping time on %[2]s, by %[3]s. Change the design or the recipe; do not serve it so. Concerns %[4]s.",
			"late":     "%[4]s: had to be begun on %[2]s, before the first day of this plan.",
		},
		Unstated: "No keeping time is stated for: %s. They are made for each hand-over alone; state how long they keep in the recipe, and check these days by hand.",
		Notes:    "Please note",
		KeepingNote: "Keeping times are those of the studio's own recipes, counted to the hand-over. The labels of what you buy, your local food code and " +
			"the advice of your food safety officer go before this plan. When in doubt, throw it out.",
		ColdNote: "A keeping time counts only for food held as its recipe says. Food that needs the cold is usually held at or below 5 °C (41 °F); " +
			"some places allow 8 °C. Time at room temperature while you work counts against it.",

		Cards:     "Recipe cards",
		CardTitle: "%s, %s",
		Each:      "%s pieces",
		Keeps:     "keeps %s",
		GoodUntil: "use up by %s",
		About:     "about %s",
		Measures:  map[string]string{"cup": "%s cup", "tbsp": "%s tbsp", "tsp": "%s tsp"},
		Spans:     EnglishShopping().Spans,
		HotSugar: "Hot sugar sticks and burns deeply. Long sleeves, closed shoes, no bare hands near it, a bowl of cold water within reach, " +
			"nobody else at the hob, and never leave the pan. Cool a burn under running water at once and get medical help.",
		RawEgg: "Holds egg that is raw or only lightly cooked: %s. Use pasteurised egg where you can, keep it cold, clean hands, bowls and benches after it, " +
			"tell the client, and follow the food safety advice of your country.",
		HotSugarMark: "hot sugar",
		RawEggMark:   "raw egg",
		Tasks:        "Steps: %s",
	}
}
