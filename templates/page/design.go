package page

// Design is the form of a cake or an extra, with what it costs always in view.
type Design struct {
	Title   string
	Lead    string
	Action  string // that saves it
	Draft   string // that answers with the form again, with a line or a tier more
	Live    string // that answers with the panel
	Cancel  string
	Button  string
	Version string
	Typed   bool // whether it holds what is not saved yet
	Faults  []string
	Count   int // of all faults, those beside boxes too
	Basics  []Field
	Selling Group
	Cutting Group // nothing for an extra
	Tiers   []TierForm
	Tiered  bool   // whether it can have tiers
	Next    string // the tier that would be added: tiers[3]
	Whole   Uses
	Wholly  bool     // whether a phone shows what the whole takes unfolded
	Items   []Option // what parts may be of
	Panel   Panel
	Remove  string
}

// Group is fields under a heading.
type Group struct {
	Title  string
	Help   string
	Fields []Field
	Open   bool // where it can be closed
	Short  bool // its boxes hold little: two stand beside one another on a phone
}

// TierForm is the part of the form that is one tier.
type TierForm struct {
	At      string // tiers[0]
	Above   string // the next one up: tiers[1]
	Below   string // the next one down; the tier itself where it is the lowest
	Number  int
	Title   string
	Side    string  // its size, for when it is folded
	Open    bool    // whether a phone shows it unfolded
	Basics  []Field // what shows depends on the shape that is chosen among them
	Cutting []Field
	Cut     bool // whether it is cut by a rule of its own
	Uses    Uses
	First   bool
}

// Uses is what a tier, a cake or an extra takes: parts, work, appliances.
type Uses struct {
	Parts, Tasks, Equipment Lines
}

// Lines is rows of boxes of one kind, the last ones empty.
type Lines struct {
	At    string // tiers[0].parts
	Kind  string // part, task, appliance
	Title string
	Help  string
	More  string // of the button that gives another row
	Draft string // where that button sends the form
	Count string // of the rows that hold something, for when they are folded
	Open  bool   // whether a phone shows them unfolded
	Rows  []BoxRow
}

// BoxRow is one row of boxes.
type BoxRow struct {
	Label  string // for those who hear it: part 2 of bottom
	Fields []Field
}

// Panel is what a design comes to as it is being typed.
type Panel struct {
	Drawing Picture
	Tally   []Figure
	Rest    []Figure
	Warning string
	Faults  []Link // why there is no cost yet, each with the box to mend it in
	Wanted  []Link // what is still to be filled in before there is one
	Explain string // address of every figure down to the gram
	Text    string
}

// Offered is the page of tiers for a number of guests.
type Offered struct {
	Ask    Form
	Empty  *Empty
	Result Stacks
}

// Stacks are stacks of tins that serve enough.
type Stacks struct {
	Text   string
	Faults []string // why there is none, and which limit would have to give
	Mend   *Link    // where that is mended
	List   []Stack
	Papers []Link // the drawing of them, to save
}

// Stack is one of them.
type Stack struct {
	Title   string
	Drawing Picture
	Tiers   []Figure // what each measures and serves
	Figures []Figure
	Warning string
	Keep    *Form
}

// WhatIf moves prices and shows what becomes of every margin.
type WhatIf struct {
	Moves  []Move
	More   Field // what else can be moved
	Day    Field // whose prices it starts from
	Set    Group // a new price for a pack
	Target string
	Result Moved
}

// Move is one price that can be moved.
type Move struct {
	Field Field
	Kept  string // the resource, so that it stays on the page
}

// movesFirst is how many of the moves, the weightiest, a phone shows at once.
const movesFirst = 4

// First are the moves that weigh most.
func (w WhatIf) First() []Move { return w.Moves[:min(len(w.Moves), movesFirst)] }

// Rest are the others, which a phone folds.
func (w WhatIf) Rest() []Move { return w.Moves[len(w.First()):] }

// RestOpen reports whether any of the others is moved, or said wrongly.
func (w WhatIf) RestOpen() bool {
	for _, m := range w.Rest() {
		if m.Field.Value != "" || len(m.Field.Faults) > 0 || m.Kept != "" {
			return true
		}
	}
	return false
}

// Moved is what moved prices do.
type Moved struct {
	Title     string
	Text      string
	Faults    []string
	Figures   []Figure
	Plot      Picture
	Files     []Link
	Cakes     Table
	Pager     Pager
	Quotes    Table
	QuotesIn  string // how many there are
	QuotesNo  string
	Exposures Picture
}

// Reprice proposes list prices.
type Reprice struct {
	Ask    Form
	Result Repriced
}

// Repriced is what is proposed.
type Repriced struct {
	Text   string
	Faults []string
	Rows   Table
	Pager  Pager
	Apply  *Form
}
