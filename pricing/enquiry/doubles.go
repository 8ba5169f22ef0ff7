package enquiry

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Double is two records that look like one client, and why. First stands before
// Second in the list that was asked about.
type Double struct {
	First, Second int // places in that list
	Why           []Likeness
}

// Likeness is what two records have in common.
type Likeness string

// What makes two records look like one client.
const (
	SameEmail Likeness = "same email"
	SamePhone Likeness = "same phone"
	SameName  Likeness = "same name"
	NearName  Likeness = "near name"
)

// Doubles lists the pairs of clients that look alike, in the order of the list.
// Of more than two that share something each is paired with the first of them.
func Doubles(clients []Client) []Double {
	p := pairs{}
	names := make([]string, len(clients))
	for i, c := range clients {
		names[i] = sortedWords(c.Name)
	}
	p.alike(clients, SameEmail, func(i int) string { return mailbox(clients[i]) })
	p.alike(clients, SamePhone, func(i int) string { return callable(clients[i].Phone.Or("")) })
	p.alike(clients, SameName, func(i int) string { return names[i] })
	p.near(names)
	list := make([]Double, 0, len(p))
	for at, why := range p {
		list = append(list, Double{at[0], at[1], why})
	}
	slices.SortFunc(list, func(a, b Double) int { return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second)) })
	return list
}

// Alike returns a function that tells in what another client is like c, by the
// same measure as [Doubles].
func (c Client) Alike() func(Client) []Likeness {
	email, phone, name := mailbox(c), callable(c.Phone.Or("")), sortedWords(c.Name)
	return func(o Client) (why []Likeness) {
		if email != "" && mailbox(o) == email {
			why = append(why, SameEmail)
		}
		if phone != "" && callable(o.Phone.Or("")) == phone {
			why = append(why, SamePhone)
		}
		switch other := sortedWords(o.Name); {
		case other == name:
			why = append(why, SameName)
		case utf8.RuneCountInString(name) >= shortest && utf8.RuneCountInString(other) >= shortest && oneSlip([]rune(name), []rune(other)):
			why = append(why, NearName)
		}
		return why
	}
}

// mailbox returns a client's email address as such addresses are compared: no
// provider tells capitals apart, though RFC 5321 would let them.
func mailbox(c Client) string { return strings.ToLower(strings.TrimSpace(c.Email.Or(""))) }

// pairs are the likenesses of pairs of places, the earlier place first.
type pairs map[[2]int][]Likeness

func (p pairs) add(i, j int, why Likeness) {
	at := [2]int{min(i, j), max(i, j)}
	if !slices.Contains(p[at], why) {
		p[at] = append(p[at], why)
	}
}

// alike pairs those that have the same key; "" is none.
func (p pairs) alike(clients []Client, why Likeness, key func(int) string) {
	first := make(map[string]int, len(clients))
	for i := range clients {
		k := key(i)
		if k == "" {
			continue
		}
		if earlier, there := first[k]; there {
			p.add(earlier, i, why)
			continue
		}
		first[k] = i
	}
}

// shortest name, in letters, in which a slip of the keys is looked for: Ann and
// Anna are two people.
const shortest = 8

// near pairs names that are one slip apart. Two such names are the same once
// one letter of each is left out (of one of them alone where a letter was added
// or dropped), so names that share a remainder are all that need comparing: no
// name is held against every other.
func (p pairs) near(names []string) {
	withRemainder := map[string][]int{}
	seen := map[string]bool{}
	for i, name := range names {
		if seen[name] || utf8.RuneCountInString(name) < shortest {
			continue // of equal names the first stands for all
		}
		seen[name] = true
		for _, rest := range remainders(name) {
			for _, j := range withRemainder[rest] {
				if oneSlip([]rune(names[j]), []rune(name)) {
					p.add(j, i, NearName)
				}
			}
			withRemainder[rest] = append(withRemainder[rest], i)
		}
	}
}

// remainders returns name itself, and name without each of its letters, each
// text once.
func remainders(name string) []string {
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
