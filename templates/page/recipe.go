package page

// Recipes is the list of what the studio makes.
type Recipes struct {
	List
	Kinds []Link
}

// Recipe is one recipe with its form, and what it comes to as it is typed.
type Recipe struct {
	Title   string
	Lead    string
	Actions []Link
	Copy    string // address that makes a copy
	Form    RecipeForm
	Bakers  *Bakers
	Tree    []Node
	Users   []Link
	Saved   bool
	Remove  string
}

// RecipeForm asks for a recipe. Its lines are one box, a line each.
type RecipeForm struct {
	Action  string
	Live    string
	Version string
	Button  string
	Cancel  string
	Faults  []string
	Typed   bool // whether it holds what is not saved yet
	Names   []Field
	Lines   Field
	Rows    int // of the box for the lines
	Amounts []Field
	Limits  Group  // of what few recipes need
	Worked  string // how many lines of work there are, for when they are folded
	Work    []FieldRow
	Working bool // whether the work is shown at once
	Method  []Field
	Reading Reading
}

// Count says how many faults there are to mend.
func (f RecipeForm) Count() int {
	n := Form{Faults: f.Faults, Fields: append(append(append([]Field{f.Lines}, f.Names...), f.Amounts...), f.Method...)}.Count()
	n += Form{Fields: f.Limits.Fields}.Count()
	for _, row := range f.Work {
		n += Form{Fields: row.Fields}.Count()
	}
	return n
}

// FieldRow is boxes that belong together under a name.
type FieldRow struct {
	Legend string
	Fields []Field
}

// Reading is what the lines of a recipe were read as, and what they cost.
type Reading struct {
	Figures   []Figure
	Questions []Question
	Lines     Table
	Notes     []Link // what is amiss, each with where it is mended
	Allergens []Figure
	Caution   string
	Cautions  Notes
	Empty     string
}

// Question asks what a line means.
type Question struct {
	Text  string
	Why   []string
	Mend  *Link  // where what the line is of is mended
	Field *Field // nil: the line itself has to say more
}

// Bakers is a recipe in baker's percentages.
type Bakers struct {
	Action string
	Live   string
	Open   bool
	Flours []Field
	Table  Table
	None   string
}

// Scaled is a recipe for another mould, or in another amount.
type Scaled struct {
	Title  string
	Form   Form
	Result ScaledRecipe
}

// ScaledRecipe is what the form asked for.
type ScaledRecipe struct {
	Figures []Figure
	Lines   Table
	Method  string
	Caution string
	Fault   string
}

// NewIngredient asks for something that is bought, and offers what is known.
type NewIngredient struct {
	Title  string
	Form   Form
	Known  Known
	Lookup string // address that looks a name up without script
	Name   string
}

// Known is what the tables of reference know of a food.
type Known struct {
	Pick    *Field
	Others  []Link // to what else it may be, where it is not picked
	Figures Table
	Notes   []string
	None    string
}
