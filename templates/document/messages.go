package document

import (
	"golang.org/x/text/language"
)

// Messages is every word that papers say of their own, in one language.
// Patterns hold %s for text and %d for counts, in the order of the comment.
type Messages struct {
	Language string

	Quotation       string
	DraftMark       string
	Page            string // page, pages
	Continued       string
	FileTitle       string // name, studio
	PreparedForWhom string // client
	Number          string
	NotNumbered     string
	Revision        string
	Issued          string
	ValidUntil      string
	PreparedFor     string
	EventDate       string
	Venue           string
	YourCake        [2]string // one design, several
	TaxNumber       string    // label of the tax, number
	TaxLabel        string    // where the studio's tax has no label
	Copies          string    // count of one design
	Portions        [2]string // one, several
	ServedAndKept   string    // made, served, kept; each with its word
	AllKept         string    // made
	NoPortions      string
	DummyNote       string
	KeptNote        string
	Across          string // a size seen from above
	High            string
	Stands          string // shape and sizes, height
	ShapeNames      map[string]string
	Item            string
	Quantity        string
	UnitPrice       string
	Amount          string
	Prices          string
	Discount        string // percentage
	DiscountPlain   string
	MinimumOrder    string
	NetTotal        string // label of the tax
	TaxTotal        string // label of the tax
	Total           string
	GrossNote       string // label of the tax
	NetNote         string // label of the tax
	TaxHeading      string // label of the tax
	TaxRate         string
	TaxNet          string
	Payments        string
	Deposit         string
	Instalment      string // its number
	Balance         string
	PaidInFull      string
	DueOn           string // date
	QuoteName       string // number, revision
	DraftName       string
	Terms           string
	Accept          string
	AcceptText      string // name, total
	AcceptTerms     string // name, total
	ForClient       string
	ForStudio       string
	SignHere        string
	SignDate        string
	Percent         string // a number

	Allergens    string
	Contains     string
	MayContain   string
	Also         string // words outside the legal list
	NoneDeclared string
	AllergenNote string
	SpeciesNote  string
	AllergenName map[string]string

	Cautions  string
	Caution   map[string]string
	CautionIn string // names of what is concerned

	Months   [12]string
	Weekdays [7]string // Sunday first
	// Date patterns: weekday, day, month, year by the verbs %[1]s, %[2]d, %[3]s, %[4]d.
	DayFirst, MonthFirst         string
	DayFirstLong, MonthFirstLong string
}

// catalogue holds the wording by base language.
var catalogue = map[string]func() Messages{
	"en": english,
}

// MessagesFor returns the wording for a locale: that of its language, or
// English where there is none yet.
func MessagesFor(locale string) Messages {
	base, _ := language.Make(locale).Base()
	if words, ok := catalogue[base.String()]; ok {
		return words()
	}
	return english()
}
