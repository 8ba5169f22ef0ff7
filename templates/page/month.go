package page

// Month is the report of a month, a year or other days.
type Month struct {
	Places []Link // of the section
	Title  string
	Lead   string
	Pick   MonthPick
	Papers []Link
	Empty  *Empty
	Key    Table
	Beside Block
	Blocks []Block
	Notes  []string
}

// MonthPick leads to another month.
type MonthPick struct {
	Before, After *Link
	Form          Form  // asks for a month or a year
	Days          *Form // for days that are neither
	DaysOpen      bool
}

// Block is a table under a heading, or what stands where there are no rows. One
// that is closed opens when somebody asks for it; one that is short does so on a
// phone alone, and on a phone too where it is open.
type Block struct {
	ID     string
	Title  string
	Lead   string
	Table  Table
	None   string
	Plot   Picture
	Pager  Pager
	More   *Link
	Closed bool
	Short  bool
	Open   bool
	Side   string // what it comes to, beside its heading
}

// Shopping is what to buy for the orders between two days.
type Shopping struct {
	Places  []Link
	Form    Form
	Papers  []Link
	Title   string
	Lead    string
	Empty   *Empty
	Figures []Figure
	Groups  []Block
	Notes   []Notes
}

// Notes are sentences under a heading.
type Notes struct {
	Title string
	Lines []string
	Bad   bool
	More  []Link // where it can be mended
	Shown int    // how many stand open; 0: a few
}

// shownNotes is how many sentences stand open; the rest is a click away.
const shownNotes = 3

// First are the sentences that stand open.
func (n Notes) First() []string { return n.Lines[:min(len(n.Lines), n.open())] }

// Rest are the others.
func (n Notes) Rest() []string { return n.Lines[len(n.First()):] }

func (n Notes) open() int {
	if n.Shown > 0 {
		return n.Shown
	}
	if len(n.Lines) <= shownNotes+1 {
		return len(n.Lines)
	}
	return shownNotes
}

// Kitchen is the plan of the kitchen, day by day.
type Kitchen struct {
	Places []Link
	Form   Form
	Papers []Link
	Lead   string
	Empty  *Empty
	Orders Block
	Clash  Notes
	Days   []KitchenDay
	Notes  []Notes
}

// Cards are recipes to be printed.
type Cards struct {
	Places []Link
	Lead   string
	Papers []Link
	Cards  []Card
	Empty  *Empty
}

// KitchenDay is what to do on a day, and how full it is.
type KitchenDay struct {
	ID    string
	Title string
	Short string // "Fri 27"
	Side  string // what there is to do, beside the heading
	Open  bool   // on a phone too, where other days are folded
	Loads []Load
	Work  Table
}

// Load is how much of a day's hours is taken.
type Load struct {
	Text string
	Bar  *Bar
	Over bool
}

// Card is a recipe for one batch, to be printed.
type Card struct {
	ID       string
	Title    string
	Batches  string
	Lines    Table
	Steps    string
	Method   []string
	Facts    []string
	Cautions []string
	Orders   string
}

// Hours are what the studio can do in a day.
type Hours struct {
	Places  []Link
	Lead    string
	Ask     Form  // how full a day is
	Room    Notes // the answer to that
	Form    Form  // without its fields; those stand in groups
	Day     []Field
	Works   []Field
	Closed  []Field
	Groups  []HoursGroup
	Reset   *Button
	Version string
}

// HoursGroup is the hours of a role or of an appliance.
type HoursGroup struct {
	Title  string
	Side   string // what they are, while the group is folded
	Open   bool
	Note   string
	Fields []Field
}

// Actuals is an order as planned and as it went.
type Actuals struct {
	Places  []Link
	Title   string
	Lead    string
	Warning string
	Doubts  []string
	Clocks  Clocks
	Files   []Link // to where a file is read instead
	Figures []Figure
	Bridge  Block
	Lines   Block
	Planned Block // what went as planned, as far as anybody knows
	Forms   []Form
	Journal Journal
}

// Clocks are those that run, and the buttons that start one.
type Clocks struct {
	Running []Clock
	Start   *StartClock
	None    string
}

// Clock is one that runs.
type Clock struct {
	Text      string
	Note      string
	Href      string // of its order
	Stop      string // where its buttons post to
	Who       string
	Forgotten *Form  // asks how long it took, where the clock does not know
	More      string // address of the page that asks when it ended
	Back      string
}

// StartClock is a big button for each role.
type StartClock struct {
	Action string
	Fields []Field
	Roles  []Option
	Faults []string
}

// Open reports whether any of the boxes wants mending.
func (s StartClock) Open() bool { return Form{Fields: s.Fields}.Count() > 0 }

// Journal is what was recorded.
type Journal struct {
	Title   string
	None    string
	Entries []Entry
	Pager   Pager
}

// Entry is one entry of the journal, with the way to take it back.
type Entry struct {
	ID, On, Text, Note string
	Undo               *Link // asks whether it is meant
	Gone               bool
}

// Records is what was recorded in a month, and the forms to do so.
type Records struct {
	Places  []Link
	Title   string
	Lead    string
	Doubts  []string
	Pick    MonthPick
	Sums    []Figure
	Forms   []Form
	Journal Journal
}

// Purchases is the entry of an invoice.
type Purchases struct {
	Places  []Link
	Lead    string
	Doubts  []string
	Form    Form   // without its fields
	Files   []Link // to where a file is read instead
	Head    []Field
	Rows    []PurchaseRow
	Further []PurchaseRow // that a long invoice has
	Long    bool          // whether those stand open
	Note    Field
	Things  []Option // what can be bought
	Journal Journal
}

// PurchaseRow is one line of an invoice.
type PurchaseRow struct {
	Title  string
	Fields []Field
}

// OrdersToRecord lists orders, each with the way to its record.
type OrdersToRecord struct {
	Places []Link
	Lead   string
	Clocks Clocks
	Orders Table
	None   string
}
