package page

// Studio is the first page of the studio's section: each part with what it is
// set to.
type Studio struct {
	Title    string
	Lead     string
	Sections []Section
}

// Part is a page of the studio's section: what is, and the forms that change
// it.
type Part struct {
	Title   string
	Lead    string
	Add     *Link // leads to a form for one more
	Empty   *Empty
	Figures []Figure
	Views   []Link // tabs
	Picture Image
	Live    string // id of the element that a form's preview goes into; "" none
	Trial   Trial
	Shows   []Table // what the forms are about, before them
	Forms   []Form
	Tables  []Table
	Buttons []Button
	Notes   []string
	Links   []Link
	Trouble []string // what went wrong outside the form
	Remove  string   // address that asks whether it is meant
}

// Image is a picture of the studio's own.
type Image struct{ Src, Alt string }

// Trial shows what a form that is being filled in makes.
type Trial struct {
	Title  string
	Text   string
	Lines  []string
	Bad    bool
	Sample Picture
}

// Intake is a supplier's price list on its way into the book: first the file,
// then what each row would do, row by row.
type Intake struct {
	First   bool // whether whose list it is is asked before the rows
	Whose   []Field
	Title   string
	Lead    string
	Fault   string
	Remedy  string
	Unclear bool   // whether the list cannot be read before somebody says how
	Ask     Form   // for the file; or how to read it, once there is one
	ID      string // of the form around the rows; "" before there are any
	Count   string // "12 new price, 3 unchanged"
	Fates   []Fate
	Pager   string
	Apply   Form   // its button and what belongs to it
	New     *Field // to take in all that is not known
	Unread  bool   // whether rows could not be read, so that how they are read wants a look
	Names   []string
}

// Fate is what a row of a supplier's list would do.
type Fate struct {
	Row     string
	Verdict string
	Tone    string
	Item    string
	Means   string // the ingredient's name
	Href    string
	Pack    string
	Price   string
	Was     string
	Change  string
	Why     string
	Fields  []Field // what there is to decide
}

// Waiting is a page that asks for itself again until something is ready.
type Waiting struct {
	Title string
	Text  string
	Share string // 0 to 100
}
