package naive

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Book is a book file as it stands, every figure still the string of the file.
type Book struct {
	Format      string       `json:"format"`
	Studio      studio       `json:"studio"`
	Roles       []role       `json:"roles"`
	Energy      []dated      `json:"energy"`
	Equipment   []appliance  `json:"equipment"`
	Overhead    overhead     `json:"overhead"`
	Ingredients []ingredient `json:"ingredients"`
	Components  []component  `json:"components"`
	Cakes       []cake       `json:"cakes"`
	Extras      []extra      `json:"extras"`
	Tins        []tin        `json:"tins"`
}

type studio struct {
	Name         string `json:"name"`
	Currency     string `json:"currency"`
	Target       target `json:"target"`
	Address      string `json:"address"`
	Email        string `json:"email"`
	Phone        string `json:"phone"`
	Locale       string `json:"locale"`
	Household    string `json:"household"`
	RecoversTax  bool   `json:"recovers_tax"`
	PricesShown  string `json:"prices_shown"`
	Tax          *tax   `json:"tax"`
	PriceStep    string `json:"price_step"`
	MinimumOrder string `json:"minimum_order"`
	FloorMargin  string `json:"floor_margin"`
	AllergenList string `json:"allergen_list"`
	Quote        struct {
		ValidDays    int          `json:"valid_days"`
		Deposit      string       `json:"deposit"`
		Instalments  []instalment `json:"instalments"`
		Cancellation []struct {
			WithinDays int    `json:"within_days"`
			Share      string `json:"share"`
		} `json:"cancellation"`
		Terms []string `json:"terms"`
	} `json:"quote"`
	Look struct {
		Accent string `json:"accent"`
		Paper  string `json:"paper"`
		Logo   string `json:"logo"`
	} `json:"look"`
}

type tax struct {
	Label  string `json:"label"`
	Rate   string `json:"rate"`
	Number string `json:"number"`
	By     string `json:"by"`
}

type instalment struct {
	Share      string `json:"share"`
	DaysBefore int    `json:"days_before"`
}

type target struct {
	Margin     string `json:"margin"`
	Markup     string `json:"markup"`
	PerPortion string `json:"per_portion"`
	Fixed      string `json:"fixed"`
}

// dated is any figure that holds from a day on.
type dated struct {
	From     string `json:"from"`
	PerHour  string `json:"per_hour"`
	Price    string `json:"price"`
	Amount   string `json:"amount"`
	Share    string `json:"share"`
	Pack     string `json:"pack"`
	Supplier string `json:"supplier"`
	TaxIn    string `json:"tax_in"`
	Note     string `json:"note"`
}

type role struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	Wage       []dated `json:"wage"`
	OnCost     string  `json:"on_cost"`
	Productive string  `json:"productive"`
}

type appliance struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Power   string `json:"power"`
	Duty    string `json:"duty"`
	PerHour string `json:"per_hour"`
}

type overhead struct {
	Method string  `json:"method"`
	Dated  []dated `json:"dated"`
	Hours  string  `json:"hours"`
}

type ingredient struct {
	ID        string  `json:"id"`
	Name      string  `json:"name"`
	Measure   string  `json:"measure"`
	Prices    []dated `json:"prices"`
	Kind      string  `json:"kind"`
	Density   string  `json:"density"`
	Each      string  `json:"each"`
	TrimYield string  `json:"trim_yield"`
	Parts     []struct {
		ID   string `json:"id"`
		Name string `json:"name"`
		Mass string `json:"mass"`
	} `json:"parts"`
	Allergens struct {
		Contains   []string `json:"contains"`
		MayContain []string `json:"may_contain"`
	} `json:"allergens"`
	Flags    []string `json:"flags"`
	Supplier string   `json:"supplier"`
}

type component struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Lines     []line   `json:"lines"`
	Loss      string   `json:"loss"`
	Yield     string   `json:"yield"`
	Density   string   `json:"density"`
	Mould     *shape   `json:"mould"`
	Kind      string   `json:"kind"`
	BatchMin  string   `json:"batch_min"`
	BatchMax  string   `json:"batch_max"`
	Tasks     []task   `json:"tasks"`
	Equipment []usage  `json:"equipment"`
	Keeps     string   `json:"keeps"`
	Method    string   `json:"method"`
	Flags     []string `json:"flags"`
}

type line struct {
	Use  string `json:"use"`
	Qty  string `json:"qty"`
	Note string `json:"note"`
}

type task struct {
	Task  string `json:"task"`
	Role  string `json:"role"`
	Setup string `json:"setup"`
	Rate  string `json:"rate"`
	Per   string `json:"per"`
	Wait  string `json:"wait"`
}

type usage struct {
	Use   string `json:"use"`
	Setup string `json:"setup"`
	Rate  string `json:"rate"`
	Per   string `json:"per"`
}

type shape struct {
	Shape     string `json:"shape"`
	Diameter  string `json:"diameter"`
	Side      string `json:"side"`
	Length    string `json:"length"`
	Width     string `json:"width"`
	Area      string `json:"area"`
	Perimeter string `json:"perimeter"`
	Height    string `json:"height"`
	Holds     string `json:"holds"` // of a mould or tin
}

// tin is read and not used: no cost depends on it.
type tin struct {
	shape
	ID    string `json:"id"`
	Owned int    `json:"owned"`
	Name  string `json:"name"`
}

type portion struct {
	Cut   string `json:"cut"`
	Width string `json:"width"`
	Depth string `json:"depth"`
	Count int    `json:"count"`
}

type part struct {
	Use      string `json:"use"`
	Qty      string `json:"qty"`
	Per      string `json:"per"`
	Layers   int    `json:"layers"`
	Thick    string `json:"thick"`
	Coat     string `json:"coat"`
	On       string `json:"on"`
	Sheet    string `json:"sheet"`
	Overhang string `json:"overhang"`
	Reuse    string `json:"reuse"`
	Waste    string `json:"waste"`
}

type tier struct {
	shape
	Name      string   `json:"name"`
	Dummy     bool     `json:"dummy"`
	Kept      bool     `json:"kept"`
	Portion   *portion `json:"portion"`
	Portions  *int     `json:"portions"`
	Parts     []part   `json:"parts"`
	Tasks     []task   `json:"tasks"`
	Equipment []usage  `json:"equipment"`
}

type cake struct {
	ID          string   `json:"id"`
	Name        string   `json:"name"`
	Tiers       []tier   `json:"tiers"`
	Portions    *int     `json:"portions"`
	Description string   `json:"description"`
	Price       string   `json:"price"`
	Target      *target  `json:"target"`
	TaxRate     string   `json:"tax_rate"`
	Portion     *portion `json:"portion"`
	Parts       []part   `json:"parts"`
	Tasks       []task   `json:"tasks"`
	Equipment   []usage  `json:"equipment"`
}

type extra struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	Always     bool    `json:"always"`
	Hidden     bool    `json:"hidden"`
	Price      string  `json:"price"`
	PricePerKM string  `json:"price_per_km"`
	TaxRate    string  `json:"tax_rate"`
	Parts      []part  `json:"parts"`
	Tasks      []task  `json:"tasks"`
	Equipment  []usage `json:"equipment"`
}

// Load reads a book file. It refuses keys it does not know and checks nothing else.
func Load(jsonBytes []byte) (*Book, error) {
	b := new(Book)
	decoder := json.NewDecoder(bytes.NewReader(jsonBytes))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(b); err != nil {
		return nil, fmt.Errorf("naive: read book: %w", err)
	}
	return b, nil
}

func (b *Book) cake(id string) *cake {
	for i := range b.Cakes {
		if b.Cakes[i].ID == id {
			return &b.Cakes[i]
		}
	}
	panic(fmt.Errorf("naive: no cake %q", id))
}

func (b *Book) extra(id string) *extra {
	for i := range b.Extras {
		if b.Extras[i].ID == id {
			return &b.Extras[i]
		}
	}
	panic(fmt.Errorf("naive: no extra %q", id))
}

// ingredientOf returns the ingredient with the id, or the one that has a part
// with it, and then the mass of that part too.
func (b *Book) ingredientOf(id string) (ing *ingredient, partMass string) {
	for i := range b.Ingredients {
		if b.Ingredients[i].ID == id {
			return &b.Ingredients[i], ""
		}
		for _, p := range b.Ingredients[i].Parts {
			if p.ID == id {
				return &b.Ingredients[i], p.Mass
			}
		}
	}
	panic(fmt.Errorf("naive: nothing is called %q", id))
}

func (b *Book) component(id string) *component {
	for i := range b.Components {
		if b.Components[i].ID == id {
			return &b.Components[i]
		}
	}
	return nil
}

func (b *Book) role(id string) *role {
	for i := range b.Roles {
		if b.Roles[i].ID == id {
			return &b.Roles[i]
		}
	}
	return nil
}

func (b *Book) appliance(id string) *appliance {
	for i := range b.Equipment {
		if b.Equipment[i].ID == id {
			return &b.Equipment[i]
		}
	}
	return nil
}
