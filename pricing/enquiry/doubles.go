package enquiry

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Likeness is what two records have in common.
type Likeness string

// What makes two records look like one client, in the order in which it is told.
const (
	SameEmail Likeness = "same email"
	SamePhone Likeness = "same phone"
	SameName  Likeness = "same name"
	NearName  Likeness = "near name"
)

// Likenesses lists all of them in that order.
func Likenesses() []Likeness { return []Likeness{SameEmail, SamePhone, SameName, NearName} }

// Traits are what a client is recognised by: by each likeness the text that is
// the same in another record which looks alike. What a client has none of is not
// there. A near name is told by [NearNames] from the trait of [SameName].
type Traits map[Likeness]string

// Traits returns what a client is recognised by.
func (c Client) Traits() Traits {
	t := Traits{}
	for why, text := range map[Likeness]string{SameEmail: mailbox(c), SamePhone: callable(c.Phone.Or("")), SameName: sortedWords(c.Name)} {
		if text != "" {
			t[why] = text
		}
	}
	return t
}

// mailbox returns a client's email address as such addresses are compared: no
// provider tells capitals apart, though RFC 5321 would let them.
func mailbox(c Client) string { return strings.ToLower(strings.TrimSpace(c.Email.Or(""))) }

// shortest name, in letters, in which a slip of the keys is looked for: Ann and
// Anna are two people.
const shortest = 8

// NearNames reports whether two names, as traits have them, are one slip of the
// keys apart and long enough for that to tell something.
func NearNames(a, b string) bool {
	return utf8.RuneCountInString(a) >= shortest && utf8.RuneCountInString(b) >= shortest && oneSlip([]rune(a), []rune(b))
}

// Remainders returns a name, as traits have it, and that name without each of its
// letters, each text once; none of a name that is too short to be near another.
// Two near names are the same once one letter of each is left out (of one of them
// alone where a letter was added or dropped), so names that share a remainder are
// all that need comparing: no name is held against every other.
func Remainders(name string) []string {
	if utf8.RuneCountInString(name) < shortest {
		return nil
	}
	list := []string{name}
	for at, r := range name {
		list = append(list, name[:at]+name[at+utf8.RuneLen(r):])
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// oneSlip reports whether b is a with one letter added, dropped or exchanged,
// or with two neighbours in the other order.
func oneSlip(a, b []rune) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	from := 0
	for from < len(a) && a[from] == b[from] {
		from++
	}
	switch restA, restB := a[from:], b[from:]; {
	case len(b)-len(a) > 1 || len(restB) == 0:
		return false
	case len(a) < len(b):
		return slices.Equal(restA, restB[1:])
	case slices.Equal(restA[1:], restB[1:]):
		return true
	default:
		return len(restA) > 1 && restA[0] == restB[1] && restA[1] == restB[0] && slices.Equal(restA[2:], restB[2:])
	}
}

// sortedWords returns the words of a name in alphabetical order, since some
// write the family name first, without commas and the like.
func sortedWords(name string) string {
	words := strings.FieldsFunc(Fold(name), func(r rune) bool { return strings.ContainsRune(" ,;.-'’\"()", r) })
	slices.Sort(words)
	return strings.Join(words, " ")
}

// callable returns the digits that two ways of writing one telephone number
// have in common: the last nine, since what stands before them is the code of
// the country or the 0 in its place. The nine are common practice, no source;
// shorter numbers are compared whole.
func callable(phone string) string {
	digits := phoneDigits(phone)
	const common = 9
	if len(digits) > common {
		return digits[len(digits)-common:]
	}
	if len(digits) < leastDigits {
		return ""
	}
	return digits
}
