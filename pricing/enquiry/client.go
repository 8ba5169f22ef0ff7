package enquiry

import (
	"net/mail"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/language"

	"marchpane/pricing/record"
)

// Client is who asks. Its json tags are the keys of a client's file.
type Client struct {
	Name     string               `json:"name"`
	Email    record.Maybe[string] `json:"email,omitzero"`
	Phone    record.Maybe[string] `json:"phone,omitzero"`
	Address  record.Maybe[string] `json:"address,omitzero"`
	Language record.Maybe[string] `json:"language,omitzero"` // BCP 47; the studio's where it is not stated
	Dietary  record.Maybe[string] `json:"dietary,omitzero"`  // in the client's words
	Notes    record.Maybe[string] `json:"notes,omitzero"`
}

// Bounds of texts, in letters. A line is a name, an address of email, a venue.
const (
	maxLine = 200
	maxText = 20_000
)

// ReadClient reads a client's file. The error holds every fault with its path.
func ReadClient(data []byte) (Client, error) {
	var c Client
	faults := record.Decode(data, &c)
	if len(faults) == 0 {
		faults = c.Check()
	}
	if err := faults.Err(); err != nil {
		return Client{}, err
	}
	return c, nil
}

// Check returns everything wrong with a client.
func (c Client) Check() record.Faults {
	var faults record.Faults
	if strings.TrimSpace(c.Name) == "" {
		faults.Add("name", "is empty; a client needs a name, if only a first name or a firm's")
	}
	checkLine(&faults, "name", record.Some(c.Name))
	checkLine(&faults, "email", c.Email)
	if c.Email.Given && !isEmail(c.Email.Value) {
		faults.Add("email", "%.80q is no email address; write it alone, such as zoe@example.com", c.Email.Value)
	}
	checkLine(&faults, "phone", c.Phone)
	if c.Phone.Given && len(phoneDigits(c.Phone.Value)) < leastDigits {
		faults.Add("phone", "%.80q has fewer than %d digits; write the number as it is dialled", c.Phone.Value, leastDigits)
	}
	checkText(&faults, "address", c.Address)
	if c.Language.Given {
		if _, err := language.Parse(c.Language.Value); err != nil {
			faults.Add("language", "%.40q is no language tag of BCP 47; use one such as en-IE or fr", c.Language.Value)
		}
	}
	checkText(&faults, "dietary", c.Dietary)
	checkText(&faults, "notes", c.Notes)
	return faults
}

// Mended returns c with what [Client.Check] refuses set right, for a client who
// is known from a paper that asked for less: a name is cut to one line, and what
// is no email, telephone or language goes into the notes as it was written.
func (c Client) Mended() Client {
	var aside []string
	move := func(key string, text *record.Maybe[string]) {
		aside = append(aside, key+": "+text.Value)
		*text = record.Maybe[string]{}
	}
	for _, path := range faultyKeys(c) {
		switch path {
		case "name":
			aside = append(aside, "name: "+c.Name)
			if c.Name = first(maxLine, strings.Join(strings.Fields(c.Name), " ")); c.Name == "" {
				c.Name = "without a name"
			}
		case "email":
			move(path, &c.Email)
		case "phone":
			move(path, &c.Phone)
		case "language":
			move(path, &c.Language)
		case "address":
			c.Address.Value = first(maxText, c.Address.Value)
		case "dietary":
			c.Dietary.Value = first(maxText, c.Dietary.Value)
		}
	}
	if len(aside) > 0 || utf8.RuneCountInString(c.Notes.Value) > maxText {
		c.Notes = record.Some(first(maxText, strings.TrimLeft(c.Notes.Or("")+"\n"+strings.Join(aside, "\n"), "\n")))
	}
	return c
}

// faultyKeys lists the keys of which something is wrong, each once.
func faultyKeys(c Client) []string {
	var keys []string
	for _, f := range c.Check() {
		if !slices.Contains(keys, f.Path) {
			keys = append(keys, f.Path)
		}
	}
	return keys
}

// first returns at most n letters of s.
func first(n int, s string) string {
	if letters := []rune(s); len(letters) > n {
		return string(letters[:n])
	}
	return s
}

// isEmail reports whether s is an address by RFC 5322 and nothing besides: no
// name before it, no < >.
func isEmail(s string) bool {
	a, err := mail.ParseAddress(s)
	return err == nil && a.Name == "" && a.Address == s
}

// checkLine looks at a text that stands on one line.
func checkLine(faults *record.Faults, path string, text record.Maybe[string]) {
	switch {
	case !text.Given:
	case strings.ContainsAny(text.Value, "\n\r\t"):
		faults.Add(path, "holds a line break or tab; write it on one line")
	case utf8.RuneCountInString(text.Value) > maxLine:
		faults.Add(path, "is longer than %d letters; put the rest into the notes", maxLine)
	}
}

func checkText(faults *record.Faults, path string, text record.Maybe[string]) {
	if text.Given && utf8.RuneCountInString(text.Value) > maxText {
		faults.Add(path, "is longer than %d letters; shorten it", maxText)
	}
}

// Absorb returns c with what it lacks taken from other, and left: what other
// states differently, as "key: value" in the order of the keys, so that nothing
// is lost when two records become one.
func (c Client) Absorb(other Client) (whole Client, left []string) {
	if Fold(c.Name) != Fold(other.Name) {
		left = append(left, "name: "+other.Name)
	}
	for _, f := range []struct {
		key  string
		into *record.Maybe[string]
		from record.Maybe[string]
	}{
		{"email", &c.Email, other.Email},
		{"phone", &c.Phone, other.Phone},
		{"address", &c.Address, other.Address},
		{"language", &c.Language, other.Language},
		{"dietary", &c.Dietary, other.Dietary},
		{"notes", &c.Notes, other.Notes},
	} {
		switch {
		case f.from.Or("") == "" || f.from.Value == f.into.Or(""):
		case f.into.Or("") == "":
			*f.into = f.from
		default:
			left = append(left, f.key+": "+f.from.Value)
		}
	}
	return c, left
}
