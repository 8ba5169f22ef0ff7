package page

// Board is a list that is kept on several shelves: quotes by their state,
// enquiries, clients.
type Board struct {
	Title   string
	Actions []Link
	Places  []Link // the lists beside this one
	Tabs    []Link
	Empty   *Empty // in place of the list where there is nothing at all
	Search  Search
	AsOf    AsOf
	Span    *Form    // asks which days the list is of
	Sums    string   // heads the figures
	Figures []Figure // what the list comes to
	Rows    Table
	Pager   Pager
	None    string
	Beyond  *Link  // where else to look, with None
	Last    []Link // what is wanted now and then, beneath the list
}

// Offer is one offer of a quote, with what only the studio sees.
type Offer struct {
	Title   string // of an option; "" for a single offer
	Lines   Table
	Figures []Figure // the tax within it, and what the client pays when
	Own     []Figure // for the studio's eyes
	Notes   []string // what wants looking at
}

// Quote is a quote or the order that it became.
type Quote struct {
	Title     string
	Lead      string // where it stands
	Notes     []string
	Actions   []Link
	More      []Link // of the actions, those that are wanted less often
	Facts     []Figure
	Revisions []Link
	Offers    []Offer
	Changes   Table // against the revision before
	Room      []Notes
	RoomAt    string // address that tells the room, where it is not told here
	Paper     string // address of its PDF
	PaperAs   Form   // asks for it in another way
	StoodAs   AsOf   // asks whether it has lapsed by another day
	Stood     string // the answer
	Moves     []Form
	Account   *Account
	Trail     Table
	Files     []Link
}

// Account is what is owed for an order, and what was paid.
type Account struct {
	Figures     []Figure
	Instalments Table
	Remind      *Link // writes to the client about what is due
	Payments    Table
	Add         Form
}

// QuoteForm asks for what a client wants.
type QuoteForm struct {
	Title, Lead string
	File        *Form // fills it in from a file
	Action      string
	Version     string
	Typed       bool // whether it holds what is not saved
	Faults      []string
	Bad         int // how many boxes are faulty
	Kept        []Field
	Client      []Field
	Papers      []Field // of the client, asked for when somebody wants to
	PapersOpen  bool
	Event       []Field
	Wants       []Want
	Made        []Field // asked for when somebody wants to
	MadeOpen    bool
	Asked       []Figure // what the enquiry says that is no part of a quote
	Only        []Link   // goes on with one option alone
	Choices     []Link   // how many options there are to be
	ChoicesNote string
	Last        []Field
	Buttons     []FormButton
	Cancel      string
	Live        string
	Preview     QuotePreview
}

// Want is one order that the client may choose, or what holds for all of them.
type Want struct {
	Title    string
	Name     []Field
	Cakes    []WantRow
	Extras   []WantRow
	Discount []Field
}

// WantRow is one thing and how many of it.
type WantRow struct {
	Label  string // of the row, for those who hear it
	Fields []Field
}

// FormButton is one of several ways to send a form.
type FormButton struct {
	Text, Name, Value string
	Main              bool
}

// QuotePreview is what a quote would come to.
type QuotePreview struct {
	Short   []Figure // stays in view on a phone
	Text    string   // what is missing for a price
	Faults  []string
	Offers  []Offer
	Notes   []string // of all offers
	Changes []string
	Room    []Notes
}

// Reach is how a client is reached: what a telephone dials, and where mail goes.
type Reach struct{ Phone, Dial, Email string }

// Client is one client and all that is theirs.
type Client struct {
	Title     string
	Lead      string
	Reach     Reach
	Notes     []Item // other records that look like this one
	Actions   []Link
	Figures   []Figure
	Enquiries Section
	Quotes    Table
	Pager     Pager
	Payments  Table
	Details   Form
	Last      []Link
}

// Enquiry is what one client asks for.
type Enquiry struct {
	Title   string
	Lead    string
	Actions []Link
	Reach   Reach
	Figures []Figure
	Quotes  []Item
	Caution string
	Tiers   []Item // stacks that would serve the guests
	Buttons []Button
	Details Form
	Answer  *Form
	Close   *Form
}

// Doubles lists records that look like one client.
type Doubles struct {
	Title string
	Lead  string
	Pairs []Pair
	Pager Pager
	None  string
}

// Pair is two records, and the ways to make them one.
type Pair struct {
	Why   string
	Table Table
	Merge []Link
}

// Report is a page that tells something and asks whether to go on.
type Report struct {
	Title   string
	Lead    string
	Figures []Figure
	Table   Table
	Notes   []string
	AsOf    AsOf
	Form    Form
}

// Letter is a letter as it would go out, before it does.
type Letter struct {
	Title   string
	Lead    string
	Trouble []string // why it did not go out
	Figures []Figure // who writes to whom
	Files   []Link   // that go with it
	Body    string
	Send    *Form  // nil: no mail server is known
	Setup   *Link  // where one is named
	Save    Button // gives it as a file
	Change  Button // goes back to what it is about
	Cancel  string
}
