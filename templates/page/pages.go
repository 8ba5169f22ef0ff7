package page

// Message is a page that says one thing: an error, or what to do next.
type Message struct {
	Title   string
	Text    string
	Details []string
	Actions []Link
	Buttons []Button
}

// Login asks for the passphrase.
type Login struct{ Form Form }

// Welcome is the first page of a store without a book.
type Welcome struct {
	Lead  string
	Demo  string
	Form  Form // asks a few questions
	Bring Form // asks for a file that holds the answers
}

// Today is what needs attention.
type Today struct {
	Title    string
	Lead     string
	Sections []Section
}

// Shortcuts lists the keys.
type Shortcuts struct {
	Keys   Table
	Text   string
	Next   string // what the button sets: "on" or "off"
	Button string
}

// Found is what a search over everything found.
type Found struct {
	Title    string
	Empty    *Empty
	Sections []Section
}

// List is a page of a long list that can be looked through: prices, cakes.
type List struct {
	Empty  *Empty // in place of the list where the studio has none at all
	Search Search
	Rows   Table
	Pager  Pager
	None   string // what it says where the search finds nothing
	AsOf   AsOf   // of cakes
	Drop   *Form  // of prices: a supplier's list that is dropped on the page
}

// FormPage is a page that holds one form.
type FormPage struct {
	Title string
	Lead  string
	Form  Form
}

// Ingredient is one thing that is bought.
type Ingredient struct {
	Title   string
	Figures []Figure
	History Picture
	Price   Form
	Effect  Effect
	Past    Table
	Pager   Pager
	Span    Form // asks between which days to look back
	Files   []Link
	Details Form
	Known   Known // what the tables would fill in
	Fill    string
	Version string
	Users   []Link
	Remove  string // address that asks whether it is meant
}

// Effect is what a new price would do.
type Effect struct {
	Text  string
	Cakes Table
}

// Cake is one design and what it earns.
type Cake struct {
	Title       string
	Description string
	Drawing     Picture
	Figures     []Figure
	Warning     string
	Fault       string // why it cannot be costed
	Tiers       Table
	Classes     Table
	Actions     []Link
	Places      []Link
	AsOf        AsOf
	Cautions    Notes
	Allergens   []Figure
	Caution     string // beneath the allergens
	Files       []Link
	Price       Form // of a new list price
	Past        Table
	Views       []Link
	Tree        Node
	Made        []Node
}
