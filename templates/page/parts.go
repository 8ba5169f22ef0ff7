package page

import (
	"html/template"
	"strings"
)

// Cell is one figure or word of a table.
type Cell struct {
	Text string
	Href string // where it leads; "" nowhere
	Note string // in small beneath
	Tone string // "good", "bad", "quiet"; "" plain
	Bar  *Bar
}

// Bar is a length out of a hundred, drawn beside what it measures.
type Bar struct {
	Share string // 0 to 100, "41.7"
	Tone  string // of the series: "1" to "6"
}

// Head is the heading of a column.
type Head struct {
	Text  string
	Right bool   // figures stand to the right
	Href  string // sorts by this column
	Sort  string // "ascending", "descending" where the table is sorted by it
	Key   bool   // of a brief table: stands beside the first cell on a phone
	Plain bool   // of a brief table: says enough without its heading on a phone
}

// Table is rows under headings. On a phone each row becomes a card, with its
// first cell as the card's heading; of a brief table two or three lines, so that
// a list stays a list.
type Table struct {
	Caption string // for those who hear it; also shown where Shown is set
	Shown   bool
	Brief   bool
	Heads   []Head
	Rows    []Row
	Foot    []Row
}

// Row is one line of a table.
type Row struct {
	Tone  string
	Cells []Cell
	ID    string // to be led to
}

// Field is one question of a form.
type Field struct {
	Name     string // path of the value in the record, such as prices[0].pack
	Label    string
	Value    string
	Kind     string // "text" where empty; else "date", "number", "long", "choice", "tick", "password", "email", "tel", "file", "hidden"
	Unit     string // behind the box
	Help     string // beneath it
	Faults   []string
	See      *Link    // behind what is wrong: where that is settled
	Options  []Option // of a choice; of text: what is offered while typing
	List     string   // of text, in place of Options: id of a list that stands on the page once
	Required bool
	Ticked   bool
	Wide     bool   // takes the whole row
	Auto     string // autocomplete
	Accept   string // of a file
	In       string // its form, where several on a page have a box of this name
}

// ID is how the page refers to the box.
func (f Field) ID() string {
	if f.In != "" {
		return "f-" + f.In + "-" + f.Name
	}
	return "f-" + f.Name
}

// Described lists what else is to be read of the box, by id.
func (f Field) Described() string {
	text := ""
	if f.Help != "" {
		text = f.ID() + "-help"
	}
	if len(f.Faults) > 0 {
		if text != "" {
			text += " "
		}
		text += f.ID() + "-fault"
	}
	return text
}

// Option is one answer of a choice.
type Option struct {
	Value, Text string
	Chosen      bool
}

// Form asks for something and sends it. It works without script; with script
// Live is asked for a fragment whenever something is typed.
type Form struct {
	Action  string
	Title   string
	Lead    string // a sentence beneath the title
	Version string // of the thing as it is shown; see package web
	Fields  []Field
	Groups  []Group  // behind them, each to be opened
	Faults  []string // that belong to no box of the form
	Button  string
	Loss    bool // whether the button takes something away
	Quiet   bool // whether the button is not what the page is mainly for
	Cancel  string
	Live    string // address that answers with a fragment
	Target  string // id of the element that takes it
	Guard   bool   // ask before leaving with something typed
	Files   bool   // holds files
	Get     bool   // asks and changes nothing
	Folded  bool   // opens when somebody asks for it; needs a title
	Unroll  bool   // of a folded one: stands open on a wide screen
}

// Count says how many faults there are to mend, with those of the boxes.
func (f Form) Count() int {
	n := len(f.Faults)
	for _, field := range f.Fields {
		n += len(field.Faults)
	}
	for _, g := range f.Groups {
		n += Form{Fields: g.Fields}.Count()
	}
	return n
}

// Empty stands where there is nothing yet and says what to do.
type Empty struct {
	Title   string
	Text    string
	Actions []Link
}

// Pager leads through a long list.
type Pager struct {
	Text           string // "26 to 50 of 312"
	Previous, Next string // addresses; "" at the ends
}

// Figure is one key figure: a label, dots, and what it comes to.
type Figure struct {
	Label  string
	Value  string
	Note   string
	Tone   string
	Href   string // where the label leads
	Leads  string // where the value leads
	Strong bool
}

// Node is one figure of an explanation and what it is made of.
type Node struct {
	ID       string
	Label    string
	Amount   string
	Working  string
	Price    string
	Href     string // of the label of one that has no children
	Open     bool
	Children []Node
}

// Search is a box that looks through one list.
type Search struct {
	Action string
	Label  string
	Query  string
	Live   string  // id of the element that takes the fragment
	Kept   []Field // of the address, so that they stay
}

// Section is a heading with a list beneath it, on Today and in what a search
// found.
type Section struct {
	ID    string
	Title string
	Items []Item
	More  *Link
	None  string // what it says where there are no items
}

// Item is one thing to see or do.
type Item struct {
	Text string
	Href string
	Note string
	Side string // figure at the right
	Act  *Link  // what to do about it, beneath the figure
	Tone string
}

// Picture is a drawing or a plot.
type Picture struct {
	SVG     template.HTML
	Caption string
}

// Plotted reports whether it is a plot, which a phone shows at a size that can
// be read, to be moved sideways.
func (p Picture) Plotted() bool {
	head := p.SVG
	if len(head) > 200 {
		head = head[:200]
	}
	return strings.Contains(string(head), `class="plot"`)
}

// Confirm asks before something is lost.
type Confirm struct {
	Title    string
	Text     string
	Users    []Link // what still uses it: then it cannot be removed
	Form     Form
	Undoable bool
}

// Conflict shows what someone else saved while a form was open, beside what is
// in the form.
type Conflict struct {
	Title  string
	Text   string
	Table  Table
	Kept   []Field // hidden: what was typed
	Action string
	Mine   string // version to save over
	Theirs string // address of the thing as it is now
	Save   string // what its button says
}

// Button posts without asking anything.
type Button struct {
	Action string
	Text   string
	Loss   bool
	Quiet  bool
	Kept   []Field
}
