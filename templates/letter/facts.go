package letter

import (
	"reflect"
	"strings"
	"unicode"
)

// Facts are what a letter may say, as the reader is to see it: dates and sums
// written out in the letter's language. What is empty is not mentioned.
type Facts struct {
	Studio  string   `says:"the studio's name"`
	Signer  string   `says:"who signs"`
	Contact []string `says:"the lines under the name: address, telephone, web site"`
	Client  string   `says:"the client's name, as in the greeting"`

	QuoteName string `says:"number and revision of the quote"`
	EventDate string `says:"the day of the event"`
	Venue     string `says:"where the event is"`

	Options    []Option `says:"the designs to choose between, each with .Name and .Total"`
	Total      string   `says:"the price in all"`
	Previous   string   `says:"the price before the revision"`
	Changes    []string `says:"what a revision changed"`
	ValidUntil string   `says:"the last day on which the quote can be accepted"`
	Deposit    string   `says:"the deposit"`
	DepositDue string   `says:"the day by which the deposit is due"`

	Receipt    string `says:"the number of the receipt"`
	Received   string `says:"the sum received"`
	ReceivedOn string `says:"the day on which it was received"`
	Balance    string `says:"what is left to pay"`
	BalanceDue string `says:"the day by which the balance is due"`
	PaidInFull bool   `says:"yes where nothing is left to pay; for {{if .PaidInFull}}"`

	Due     string   `says:"the sum that a reminder asks for"`
	DueFor  string   `says:"what that sum is: deposit, second instalment"`
	DueOn   string   `says:"the day by which it is due"`
	Overdue bool     `says:"yes where that day has passed; for {{if .Overdue}}"`
	PayTo   []string `says:"how to pay: bank, account, reference"`

	Cancelled string `says:"the day of the cancellation"`
	Kept      string `says:"what the studio keeps after a cancellation"`
	Refund    string `says:"what the client gets back"`

	Note string `says:"the studio's own words for this one letter"`
}

// An Option is a design to choose, with its price.
type Option struct {
	Name  string `says:"the design's name"`
	Total string `says:"its price in all"`
}

// A Word is a fact that a wording may use.
type Word struct {
	Name    string // without the point before it
	Meaning string
	List    bool // to be gone through with range
}

// Words lists the facts, in the order of [Facts].
func Words() []Word {
	var words []Word
	t := reflect.TypeFor[Facts]()
	for i := range t.NumField() {
		f := t.Field(i)
		words = append(words, Word{f.Name, f.Tag.Get("says"), f.Type.Kind() == reflect.Slice})
	}
	return words
}

// clean returns a copy in which every fact is one line; only the note keeps
// its paragraphs. Lines left empty go.
func (f Facts) clean() Facts {
	note := f.Note
	v := reflect.ValueOf(&f).Elem()
	for i := range v.NumField() {
		switch field := v.Field(i); value := field.Interface().(type) {
		case string:
			field.SetString(oneLine(value))
		case []string:
			var lines []string
			for _, line := range value {
				if line = oneLine(line); line != "" {
					lines = append(lines, line)
				}
			}
			field.Set(reflect.ValueOf(lines))
		case []Option:
			options := make([]Option, len(value))
			for j, o := range value {
				options[j] = Option{oneLine(o.Name), oneLine(o.Total)}
			}
			field.Set(reflect.ValueOf(options))
		}
	}
	f.Note = paragraphs(note)
	return f
}

// oneLine drops what cannot be seen and makes every run of white space one
// blank.
func oneLine(s string) string {
	words := strings.FieldsFunc(strings.Map(visible, legible(s)), func(r rune) bool { return r == ' ' })
	return strings.Join(words, " ")
}

// paragraphs is oneLine for each line, with at most one empty line between two.
func paragraphs(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n\n").Replace(legible(s))
	var kept []string
	for line := range strings.Lines(s) {
		line = oneLine(line)
		if line == "" && (len(kept) == 0 || kept[len(kept)-1] == "") {
			continue
		}
		kept = append(kept, line)
	}
	return strings.TrimSpace(strings.Join(kept, "\n"))
}

// legible puts a mark where bytes are no text.
func legible(s string) string { return strings.ToValidUTF8(s, "\uFFFD") }

// visible maps control characters to nothing and line ends to blanks.
func visible(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		// No-break spaces hold a sum and its currency together.
		if r == '\u00a0' || r == '\u202f' {
			return r
		}
		return ' '
	case unicode.IsControl(r):
		return -1
	}
	return r
}
