package page

// AsOf asks on which day's prices a page is to rest.
type AsOf struct {
	Action string
	Field  Field
	Kept   []Field // of the address, so that they stay
	Back   string  // address of the page as of today; "" where it is
}

// Exposed is what prices carry a cost, and what each does to its margin.
type Exposed struct {
	Title  string
	Lead   string
	Places []Link
	Form   Form
	Result Carried
}

// Carried is what the form asked for.
type Carried struct {
	Faults []string
	Text   string
	Plot   Picture
	Rows   Table
	All    *Link // to those that are not shown
	Files  []Link
}

// Ahead is what an order may cost on its day.
type Ahead struct {
	Title  string
	Lead   string
	Places []Link
	Form   Form
	Result Future
}

// Future is what the form asked for.
type Future struct {
	None        string // why nothing can be said
	Figures     []Figure
	Plot        Picture
	Moving      Table
	Held        Table
	Method      []string
	Assumptions []string
}

// BillGroup is all of one kind that a cake takes.
type BillGroup struct {
	Title   string
	Figures []Figure
}

// Bill is everything that a cake takes, in the units it is bought in.
type Bill struct {
	Title  string
	Places []Link
	Fault  string
	Groups []BillGroup
	Files  []Link
}
