package book

import (
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// Format names the form of the book file.
const Format = "marchpane-book/1"

// Book is everything a studio prices with. Its json tags are the keys of the
// book file; a key tagged omitzero or omitempty may be left out there.
type Book struct {
	Format      string        `json:"format"`
	Studio      Studio        `json:"studio"`
	Roles       []Role        `json:"roles,omitempty"`
	Energy      []EnergyPrice `json:"energy,omitempty"`
	Equipment   []Appliance   `json:"equipment,omitempty"`
	Overhead    *Overhead     `json:"overhead,omitempty"`
	Ingredients []Ingredient  `json:"ingredients,omitempty"`
	Components  []Component   `json:"components,omitempty"`
	Tins        []Tin         `json:"tins,omitempty"`
	Cakes       []Cake        `json:"cakes,omitempty"`
	Extras      []Extra       `json:"extras,omitempty"`
}

// Studio is the business: who it is, how it is taxed, what it aims to earn and
// on what terms it quotes.
type Studio struct {
	Name         string                          `json:"name"`
	Address      record.Maybe[string]            `json:"address,omitzero"`
	Email        record.Maybe[string]            `json:"email,omitzero"`
	Phone        record.Maybe[string]            `json:"phone,omitzero"`
	Locale       record.Maybe[string]            `json:"locale,omitzero"` // BCP 47; en
	Currency     money.Currency                  `json:"currency"`
	Household    record.Maybe[measure.Household] `json:"household,omitzero"`
	RecoversTax  record.Maybe[bool]              `json:"recovers_tax,omitzero"`
	PricesShown  record.Maybe[Shown]             `json:"prices_shown,omitzero"` // gross
	Tax          *Tax                            `json:"tax,omitempty"`         // nil: the studio charges none
	PriceStep    record.Maybe[money.Price]       `json:"price_step,omitzero"`
	MinimumOrder record.Maybe[money.Price]       `json:"minimum_order,omitzero"`
	Target       Target                          `json:"target"`
	FloorMargin  record.Maybe[measure.Percent]   `json:"floor_margin,omitzero"`
	AllergenList record.Maybe[AllergenList]      `json:"allergen_list,omitzero"` // eu
	Quote        record.Maybe[QuoteTerms]        `json:"quote,omitzero"`
	Look         record.Maybe[Look]              `json:"look,omitzero"`
}

// Tax is the sales tax or VAT that the studio charges.
type Tax struct {
	Label  record.Maybe[string] `json:"label,omitzero"`
	Rate   measure.Percent      `json:"rate"`
	Number record.Maybe[string] `json:"number,omitzero"`
	By     record.Maybe[TaxBy]  `json:"by,omitzero"` // document
}

// QuoteTerms are the conditions that every quote carries.
type QuoteTerms struct {
	ValidDays   record.Maybe[int]             `json:"valid_days,omitzero"` // 30
	Deposit     record.Maybe[measure.Percent] `json:"deposit,omitzero"`    // 0 %
	Instalments []Instalment                  `json:"instalments,omitempty"`
	Terms       []string                      `json:"terms,omitempty"`
	// What a cancelled order costs the client, the nearer the event the more.
	Cancellation []CancellationFee `json:"cancellation,omitempty"`
}

// CancellationFee is the share of the total that a cancellation costs from so
// many days before the event on; at any time where WithinDays is not stated.
type CancellationFee struct {
	WithinDays record.Maybe[int] `json:"within_days,omitzero"`
	Share      measure.Percent   `json:"share"`
}

// Instalment is a share of the total that falls due before the event.
type Instalment struct {
	Share      measure.Percent `json:"share"`
	DaysBefore int             `json:"days_before"`
}

// Target is what a price aims at: exactly one of its figures is stated.
type Target struct {
	Margin     record.Maybe[measure.Percent] `json:"margin,omitzero"` // net = cost ÷ (1 − margin)
	Markup     record.Maybe[measure.Percent] `json:"markup,omitzero"` // net = cost × (1 + markup)
	PerPortion record.Maybe[money.Price]     `json:"per_portion,omitzero"`
	Fixed      record.Maybe[money.Price]     `json:"fixed,omitzero"`
}

// Role is work of one kind at one wage.
type Role struct {
	ID         ID                            `json:"id"`
	Name       string                        `json:"name"`
	OnCost     record.Maybe[measure.Percent] `json:"on_cost,omitzero"`    // 0 %
	Productive record.Maybe[measure.Percent] `json:"productive,omitzero"` // 100 %
	Wage       []Wage                        `json:"wage"`
}

// Wage is an hourly wage from a day on.
type Wage struct {
	From    day.Date    `json:"from"`
	PerHour money.Price `json:"per_hour"`
}

// EnergyPrice is the price of a kWh from a day on.
type EnergyPrice struct {
	From  day.Date    `json:"from"`
	Price money.Price `json:"price"`
}

// Appliance is a piece of equipment that draws power and wears.
type Appliance struct {
	ID      ID                            `json:"id"`
	Name    string                        `json:"name"`
	Power   measure.Quantity              `json:"power,omitzero"`    // 0 W
	Duty    record.Maybe[measure.Percent] `json:"duty,omitzero"`     // 100 %
	PerHour record.Maybe[money.Price]     `json:"per_hour,omitzero"` // wear; 0
}

// Overhead is the month's fixed cost and how it reaches a cake.
type Overhead struct {
	Method OverheadMethod   `json:"method"`
	Hours  measure.Quantity `json:"hours,omitzero"` // labour hours a month, for ByLabourHour
	Dated  []DatedOverhead  `json:"dated"`
}

// DatedOverhead is the overhead from a day on: a share for ByPercent, else an
// amount.
type DatedOverhead struct {
	From   day.Date                      `json:"from"`
	Amount record.Maybe[money.Price]     `json:"amount,omitzero"`
	Share  record.Maybe[measure.Percent] `json:"share,omitzero"`
}

// Ingredient is anything bought by measure to be eaten or wrapped with.
type Ingredient struct {
	ID        ID                            `json:"id"`
	Name      string                        `json:"name"`
	Kind      record.Maybe[IngredientKind]  `json:"kind,omitzero"`     // ingredient
	Category  record.Maybe[string]          `json:"category,omitzero"` // a free word: dairy, sugar
	Measure   measure.Dimension             `json:"measure"`           // what it is bought and costed in
	Density   measure.Density               `json:"density,omitzero"`
	Each      measure.Quantity              `json:"each,omitzero"`       // mass of a piece as purchased
	TrimYield record.Maybe[measure.Percent] `json:"trim_yield,omitzero"` // 100 %
	Parts     []EggPart                     `json:"parts,omitempty"`
	Allergens *AllergenNotes                `json:"allergens,omitempty"`
	Flags     []Flag                        `json:"flags,omitempty"`
	Supplier  record.Maybe[string]          `json:"supplier,omitzero"` // the only one whose prices count
	Prices    []Price                       `json:"prices"`
}

// EggPart is a part that one piece is split into, such as a yolk.
type EggPart struct {
	ID   ID               `json:"id"`
	Name string           `json:"name"`
	Mass measure.Quantity `json:"mass"`
}

// AllergenNotes says what an ingredient contains, and what it may contain
// traces of.
type AllergenNotes struct {
	Contains   []Allergen `json:"contains,omitempty"`
	MayContain []Allergen `json:"may_contain,omitempty"`
}

// Price is what one pack costs from a day on.
type Price struct {
	From     day.Date                      `json:"from"`
	Supplier record.Maybe[string]          `json:"supplier,omitzero"`
	Pack     measure.Pack                  `json:"pack"`
	Price    money.Price                   `json:"price"`
	TaxIn    record.Maybe[measure.Percent] `json:"tax_in,omitzero"` // the rate of the tax that Price holds
	Note     record.Maybe[string]          `json:"note,omitzero"`
}

// Component is a recipe that cakes and other components use.
type Component struct {
	ID        ID                            `json:"id"`
	Name      string                        `json:"name"`
	Kind      record.Maybe[string]          `json:"kind,omitzero"` // a free word: sponge, filling
	Lines     []Line                        `json:"lines"`
	Loss      record.Maybe[measure.Percent] `json:"loss,omitzero"`  // 0 %
	Yield     measure.Quantity              `json:"yield,omitzero"` // a mass or a count
	Density   measure.Density               `json:"density,omitzero"`
	Mould     *Mould                        `json:"mould,omitempty"` // one batch fills it
	BatchMin  measure.Quantity              `json:"batch_min,omitzero"`
	BatchMax  measure.Quantity              `json:"batch_max,omitzero"`
	Tasks     []Task                        `json:"tasks,omitempty"`
	Equipment []EquipmentUse                `json:"equipment,omitempty"`
	Keeps     measure.Quantity              `json:"keeps,omitzero"` // how long it stays good
	Method    record.Maybe[string]          `json:"method,omitzero"`
	Flags     []Flag                        `json:"flags,omitempty"`
}

// Line is one line of a recipe.
type Line struct {
	Use  ID                   `json:"use"`
	Qty  measure.Quantity     `json:"qty"`
	Note record.Maybe[string] `json:"note,omitzero"`
}

// Form is the sizes of a mould or tier as the book file writes them. A valid
// book's forms all make a [shape.Solid]; see [Form.Solid].
type Form struct {
	Shape     shape.Kind       `json:"shape"`
	Diameter  measure.Quantity `json:"diameter,omitzero"`
	Side      measure.Quantity `json:"side,omitzero"`
	Length    measure.Quantity `json:"length,omitzero"`
	Width     measure.Quantity `json:"width,omitzero"`
	Area      measure.Quantity `json:"area,omitzero"`
	Perimeter measure.Quantity `json:"perimeter,omitzero"`
	Height    measure.Quantity `json:"height"`
}

// size returns the size that the book file calls name.
func (f Form) size(name string) measure.Quantity {
	switch name {
	case "diameter":
		return f.Diameter
	case "side":
		return f.Side
	case "length":
		return f.Length
	case "width":
		return f.Width
	case "area":
		return f.Area
	case "perimeter":
		return f.Perimeter
	}
	return measure.Quantity{}
}

// sizeNames lists every size a form may state besides its height.
var sizeNames = []string{"diameter", "side", "length", "width", "area", "perimeter"}

// Solid returns the mould or tier that f describes.
func (f Form) Solid() shape.Solid {
	sizes := make([]measure.Quantity, 0, 2)
	for _, name := range f.Shape.Sizes() {
		sizes = append(sizes, f.size(name))
	}
	outline, err := shape.New(f.Shape, sizes...)
	if err != nil {
		return shape.Solid{} // not in a valid book
	}
	return shape.Solid{Outline: outline, Height: f.Height}
}

// Cake is a design that can be ordered.
type Cake struct {
	ID          ID                            `json:"id"`
	Name        string                        `json:"name"`
	Description record.Maybe[string]          `json:"description,omitzero"`
	Price       record.Maybe[money.Price]     `json:"price,omitzero"` // list price, as shown
	ListPrices  []ListPrice                   `json:"list_prices,omitempty"`
	Target      *Target                       `json:"target,omitempty"`
	TaxRate     record.Maybe[measure.Percent] `json:"tax_rate,omitzero"`
	Portion     *Portion                      `json:"portion,omitempty"`
	Portions    record.Maybe[int]             `json:"portions,omitzero"` // for a cake without tiers
	Tiers       []Tier                        `json:"tiers,omitempty"`
	Parts       []Part                        `json:"parts,omitempty"`
	Tasks       []Task                        `json:"tasks,omitempty"`
	Equipment   []EquipmentUse                `json:"equipment,omitempty"`
}

// ListPrice is a list price, as shown, from a day on. Before the first, and
// where there are none, the cake's Price stands.
type ListPrice struct {
	From  day.Date    `json:"from"`
	Price money.Price `json:"price"`
}

// Tier is one storey of a cake.
type Tier struct {
	Name string `json:"name"`
	Form
	Dummy     record.Maybe[bool] `json:"dummy,omitzero"` // not edible
	Kept      record.Maybe[bool] `json:"kept,omitzero"`  // saved for later
	Portion   *Portion           `json:"portion,omitempty"`
	Portions  record.Maybe[int]  `json:"portions,omitzero"`
	Parts     []Part             `json:"parts,omitempty"`
	Tasks     []Task             `json:"tasks,omitempty"`
	Equipment []EquipmentUse     `json:"equipment,omitempty"`
}

// Portion is how a tier is cut: fingers of a width and depth, or a count of
// wedges.
type Portion struct {
	Cut   Cut               `json:"cut"`
	Width measure.Quantity  `json:"width,omitzero"`
	Depth measure.Quantity  `json:"depth,omitzero"`
	Count record.Maybe[int] `json:"count,omitzero"`
}

// Part says how much of what a tier, cake or extra uses, in one of four ways:
// Qty (with Per, for each of a driver), Layers with Thick, Coat with On, or
// Sheet with Overhang and Reuse.
type Part struct {
	Use      ID                            `json:"use"`
	Qty      measure.Quantity              `json:"qty,omitzero"`
	Per      Driver                        `json:"per,omitzero"`
	Layers   record.Maybe[int]             `json:"layers,omitzero"`
	Thick    measure.Quantity              `json:"thick,omitzero"`
	Coat     measure.Quantity              `json:"coat,omitzero"`  // thickness
	On       Driver                        `json:"on,omitzero"`    // surface, top or side
	Sheet    measure.Quantity              `json:"sheet,omitzero"` // thickness
	Overhang measure.Quantity              `json:"overhang,omitzero"`
	Reuse    record.Maybe[measure.Percent] `json:"reuse,omitzero"` // of the offcuts; 0 %
	Waste    record.Maybe[measure.Percent] `json:"waste,omitzero"` // on top; 0 %
}

// Task is hands-on work of a role, Setup + Rate × driver; or a Wait, which is
// scheduled and not charged.
type Task struct {
	Name  string           `json:"task"`
	Role  ID               `json:"role,omitzero"`
	Setup measure.Quantity `json:"setup,omitzero"`
	Rate  measure.Quantity `json:"rate,omitzero"`
	Per   Driver           `json:"per,omitzero"`
	Wait  measure.Quantity `json:"wait,omitzero"`
}

// EquipmentUse is the time an appliance runs, Setup + Rate × driver.
type EquipmentUse struct {
	Use   ID               `json:"use"`
	Setup measure.Quantity `json:"setup,omitzero"`
	Rate  measure.Quantity `json:"rate,omitzero"`
	Per   Driver           `json:"per,omitzero"`
}

// Extra is what is sold beside cakes.
type Extra struct {
	ID         ID                            `json:"id"`
	Name       string                        `json:"name"`
	Always     record.Maybe[bool]            `json:"always,omitzero"` // comes with every quote
	Hidden     record.Maybe[bool]            `json:"hidden,omitzero"` // costs, but is never shown or charged
	Price      record.Maybe[money.Price]     `json:"price,omitzero"`
	PricePerKm record.Maybe[money.Price]     `json:"price_per_km,omitzero"`
	TaxRate    record.Maybe[measure.Percent] `json:"tax_rate,omitzero"`
	Parts      []Part                        `json:"parts,omitempty"`
	Tasks      []Task                        `json:"tasks,omitempty"`
	Equipment  []EquipmentUse                `json:"equipment,omitempty"`
}
