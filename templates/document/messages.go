package document

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// Messages is every word that papers say of their own, in one language.
// Patterns hold %s for text and %d for counts, in the order of the comment; a
// language that needs another order numbers them, as in %[2]s. Where a pattern
// comes twice, the first form is the singular.
type Messages struct {
	Language string // BCP 47

	// How parts of a sentence are joined.
	Labelled   string    // label, value
	Semicolon  string    // between parts that hold commas themselves
	CountWords [4]string // two, three, four, five
	Percent    string    // a number

	// Quotation: the heading of the paper.
	Quotation       string
	DraftMark       string
	Marks           map[string]string // of quotes that no longer stand, by state
	Page            string            // page, pages
	Continued       string
	FileTitle       string // name, studio
	PreparedForWhom string // client
	QuoteName       string // number, revision; at the head of a page
	QuoteCited      string // number, revision; inside a sentence
	DraftName       string
	Number          string
	NotNumbered     string
	Revision        string
	Issued          string
	ValidUntil      string
	Option          string // label of the option that was chosen
	PreparedFor     string
	EventDate       string
	Venue           string
	Guests          string
	TaxNumber       string // label of the tax, number
	TaxLabel        string // where the studio's tax has no label

	// Cakes.
	YourCake      [2]string // one design, several
	Copies        string    // count of one design
	Portions      [2]string
	PortionsEach  string // portions of each of several cakes
	ServedAndKept string // made, served, kept; the first with its word
	AllKept       string // made
	NoPortions    string
	DummyNote     string
	KeptNote      string
	Across        string // the width of a round
	AcrossSquare  string // the width of a square
	High          string
	Stands        string // shape and sizes, height
	ShapeNames    map[string]string

	// Prices and tax.
	Item          string
	Quantity      string
	UnitPrice     string
	Amount        string
	Prices        string
	Discount      string // percentage
	DiscountPlain string
	MinimumOrder  string
	NetTotal      string // label of the tax
	TaxTotal      string // label of the tax
	Total         string
	GrossNote     string // label of the tax
	NetNote       string // label of the tax
	TaxHeading    string // label of the tax
	TaxRate       string
	TaxNet        string

	// Payment.
	Payments   string
	Deposit    string
	Instalment string // its number
	Balance    string
	PaidInFull string
	DueOn      string // date

	// Options to choose among.
	OptionName   string // its number, its name
	OptionPlain  string // its number
	Compare      string
	CompareIntro string // how many, in words
	ScaleNote    string
	CakesRow     string
	SizesRow     string
	PortionsRow  string
	ExtrasRow    string
	PerPortion   string
	Times        string // count, name

	// What a revision changes.
	Changes      string
	ChangeNames  map[string]string // label of a change, by its kind
	ChangesIntro string
	Instead      string // after, before
	Added        string // after
	Removed      string // before
	ChangeOf     string // name of a cake or extra, what of it
	SingleOffer  string // an offer without options, where options take its place

	// Cancellation by the client.
	Cancellation string
	CancelEver   string    // share
	CancelFrom   [2]string // date, days, share
	CancelNote   string

	// Terms and signatures.
	Terms       string
	Accept      string
	AcceptText  string // cited name, total
	AcceptTerms string // cited name, total
	ChooseText  string // cited name
	ChooseTerms string // cited name
	Choice      string // option, total
	ForClient   string
	ForStudio   string
	SignHere    string
	SignDate    string

	// Allergens and cautions.
	Allergens    string
	Contains     string
	MayContain   string
	Also         string // words outside the legal list
	NoneDeclared string
	AllergenNote string
	SpeciesNote  string
	AllergenName map[string]string
	Cautions     string
	Caution      map[string]string
	CautionIn    string // names of what is concerned

	// Receipts and refunds.
	Receipt       string
	Refund        string
	Correction    string
	PaperName     string // receipt, refund or correction; number
	ReceivedFrom  string
	PaidBackTo    string
	ReceivedText  string // amount, client
	PaidBackText  string // amount, client
	CorrectedText string // amount, number of the receipt it takes back
	Received      string // label of the amount
	PaidBack      string // label of the amount
	ReceivedOn    string
	PaidBackOn    string
	Means         string
	MeansNames    map[string]string
	ForOrder      string
	Remark        string
	Account       string
	OrderTotal    string
	CancelledDue  string // what a cancelled order costs
	ReceivedSoFar string
	StillToPay    string
	InYourFavour  string
	ReceiptNote   string

	// Calendars.
	Tasting string

	Months   [12]string
	Weekdays [7]string // Sunday first
	// Date patterns: weekday, day, month, year by the verbs %[1]s, %[2]d, %[3]s, %[4]d.
	DayFirst, MonthFirst         string
	DayFirstLong, MonthFirstLong string
}

// catalogue holds the wording by base language, or by language and region
// where a region has its own.
var catalogue = map[string]func() Messages{
	"en": english, "fr": french, "de": german, "de-AT": austrian, "es": spanish, "it": italian,
	"pt": portuguese, "pt-BR": brazilian, "nl": dutch,
}

// Languages lists the languages that papers are written in.
func Languages() []string { return []string{"en", "fr", "de", "es", "it", "pt", "nl"} }

// Speaks reports whether papers are written in the language of a locale.
func Speaks(locale string) bool {
	base, _ := language.Make(locale).Base()
	return catalogue[base.String()] != nil
}

// MessagesFor returns the wording for a locale: that of its language, or
// English where there is none yet.
func MessagesFor(locale string) Messages {
	tag := language.Make(locale)
	base, _ := tag.Base()
	region, sure := tag.Region()
	words, ok := catalogue[base.String()+"-"+region.String()]
	if !ok || sure != language.Exact {
		if words, ok = catalogue[base.String()]; !ok {
			words = english
		}
	}
	m := words()
	// CLDR 48: no space before the sign in Switzerland and in Latin America.
	if sure == language.Exact && (region.String() == "CH" || region.String() == "LI") || tag.Parent() == language.LatinAmericanSpanish {
		m.Percent = "%s%%"
	}
	return m
}

// Count writes a count with its word, in the figures of a locale: "1 portion",
// "1,080 portions".
func (m Messages) Count(l Locale, words [2]string, n int) string {
	return l.filled(m.form(words, n), n)
}

// filled fills in a pattern, each count in the figures of the locale.
func (l Locale) filled(pattern string, parts ...any) string {
	written := slices.Clone(parts)
	for i, part := range parts {
		if n, is := part.(int); is {
			written[i] = l.Number(decimal.NewFromInt(int64(n)), 0)
		}
	}
	return sentence(strings.NewReplacer("%d", "%s", "]d", "]s").Replace(pattern), written...)
}

// form returns the form of words that goes with n: the plural rules of the
// Unicode CLDR. French has the singular for 0.
func (m Messages) form(words [2]string, n int) string {
	// CLDR's pt is Brazilian and would make 0 singular, as Portugal does not.
	tag := m.Language
	if tag == "pt" {
		tag = "pt-PT"
	}
	if plural.Cardinal.MatchPlural(language.Make(tag), max(n, -n), 0, 0, 0, 0) == plural.One {
		return words[0]
	}
	return words[1]
}
