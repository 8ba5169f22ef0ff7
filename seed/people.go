package seed

import (
	"fmt"
	"strings"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
)

// Every name, place and firm here is invented.
var (
	firstNames = strings.Fields(`Sorcha Odhran Maeve Tadhg Brona Fiachra Niamh Eamon Grainne Cillian Aoibhe Donal Roisin Lorcan
		Saoirse Ciaran Una Ruairi Deirdre Oisin Martha Jonas Petra Silas Edith Hugo Nora Felix Ada Rufus Ottilie Conrad Ivy Magnus Tess Bram`)
	surnames = strings.Fields(`Fennamore Tarravane Corrandell Mulvarrick Ashkerrin Lonnegarth Pellindar Brackenhythe Tolgarrow Quennimore
		Dunnaskell Rathvennor Killamoyle Ballintarn Wexenford Garrivane Morrinfay Trevallick Oskerry Larkendale
		Hollinshay Duvernagh Cranmoyle Slevannon Tyrrenmoor Ardlenny Castlemoyne Fallowmere Inverlarne Moyvannagh`)

	// Clients who write in another language, by its tag.
	visitors = []struct{ name, language string }{
		{"Maëlle Trévarrec and Bastien Coulormel", "fr"},
		{"Henrike Ahlbrünn and Jost Wiesenthaler", "de"},
		{"Inés Valdorrojo and Álvaro Montesclaro", "es"},
		{"Ginevra Montalbrasco and Tito Serravecchi", "it"},
		{"Leonor Figueiralva and Duarte Penhavide", "pt"},
		{"Fenna van der Hoolst and Joris Eekmeer", "nl"},
		{"Solène Gourvarec and Yann Plougastennec", "fr"},
		{"Annegret Mohrfelder and Till Sandrütter", "de"},
		{"Oriane Valmoncourt and Théo Brissandier", "fr"},
		{"Lieke Zandwoude and Sander Kruismolen", "nl"},
		{"Noa Riverolana and Bruno Castañarez", "es"},
		{"Elettra Pontescuro and Dario Vallombrini", "it"},
	}

	firms = []string{
		"Marrowbeck Joinery", "Saltworks Rowing Club", "Tidewell School Friends", "Hotel Ardmorrow", "Dunmarrow Harbour Office",
		"Inishcorran Choral Society", "Brackenhythe Animal Practice", "Loughmorrin Seed Company", "Quaymarsh Pottery", "Corrandell Abbey Gardens",
	}

	// Venues with the km there and back.
	venues = []venue{
		{"The Glasshouse, Ardmorrow Gardens", 64}, {"Tarravane House", 38}, {"The Old Ropewalk, Inishcorran", 4}, {"Loughmorrin Castle", 92},
		{"Brackenhythe Barn", 46}, {"Hotel Ardmorrow", 62}, {"The Fishermen's Hall, Quaymarsh", 28}, {"Corrandell Abbey Gardens", 110},
		{"Mulvarrick Lakeside", 74}, {"The Saltworks Boathouse, Inishcorran", 2}, {"Dunmarrow Assembly Rooms", 34}, {"Castlemoyne Walled Garden", 56},
	}
	rooms = []venue{{"Tidewell Parish Hall", 18}, {"at home, Inishcorran", 6}, {"at home, Quaymarsh", 26}, {"The Saltworks Boathouse, Inishcorran", 2}, {"at home, Dunmarrow", 32}}

	offices = []venue{{"the office, Inishcorran", 4}, {"the office, Dunmarrow", 34}, {"the office, Quaymarsh", 26}, {"Tidewell Parish Hall", 18}, {"Dunmarrow Assembly Rooms", 34}}

	needs = []string{
		"one guest is coeliac and brings her own slice; please keep the rest apart for her",
		"no gelatine, half the table is vegetarian",
		"two children with an egg allergy; they will not have the cake",
		"no alcohol in any tier",
		"one guest avoids nuts; told that the kitchen handles them",
		"one guest is expecting and asks for nothing with raw egg",
	}

	wishes = map[kind][]string{
		wedding:     {"soft greens and ivory, like the invitation", "nothing too tall, the marquee is low", "the top tier to keep for a christening", "flowers as they grow in July", "three flavours if that can be done"},
		christening: {"white with a little blue blossom", "a name piped on the board", "simple, the robe is the show"},
		birthday:    {"not too sweet", "she loves raspberries", "chocolate all the way through", "a number for the table", "something with caramel"},
		firm:        {"easy to eat standing up", "cut and ready by noon", "the invoice to the office, please"},
		gift:        {"to post a week before Christmas", "boxed, with a ribbon", "well matured, as last year"},
		anniversary: {"the cake they had then, if we can guess it from a photograph", "for a small table"},
	}
)

type venue struct {
	name string
	km   int
}

// people hands out clients in the order in which they first ask.
type people struct {
	known   []person
	names   map[string]bool
	abroad  int // visitors that have come
	firms   int // firms that have come
	numbers int // telephones given
}

// person is a client that has come, or one of two records of one.
type person struct {
	key    ClientKey
	client enquiry.Client
	kind   kind // of the first occasion
	twin   bool // has a second record
}

// find returns who asks for an occasion: someone who came before, or someone
// new, with the deed of adding them.
func (p *people) find(d dice, k kind) (person, *ClientCame) {
	again := [kinds]int{wedding: 0, christening: 45, birthday: 34, firm: 55, gift: 45, anniversary: 25}
	if d.chance(again[k]) || k == firm && p.firms == len(firms) {
		var known []person
		for _, c := range p.known {
			if (c.kind == firm) == (k == firm) && !c.client.Language.Given && !c.twin {
				known = append(known, c)
			}
		}
		if len(known) > 0 {
			return pick(d, known), nil
		}
	}
	c := p.fresh(d, k)
	p.known = append(p.known, c)
	return c, &ClientCame{c.key, c.client}
}

// fresh makes a new client.
func (p *people) fresh(d dice, k kind) person {
	c := person{key: ClientKey(len(p.known)), kind: k}
	abroad := k == wedding && d.chance(24) || k == anniversary && d.chance(10)
	switch {
	case k == firm:
		p.firms++
		c.client.Name = p.unused(func() string { return pick(d, firms) }, len(firms)*4)
		c.client.Address = record.Some("the office, " + pick(d, []string{"Inishcorran", "Dunmarrow", "Quaymarsh", "Tidewell"}))
	case abroad && p.abroad < len(visitors):
		v := visitors[p.abroad]
		p.abroad++
		c.client.Name, c.client.Language = v.name, record.Some(v.language)
	default:
		one := func() string { return pick(d, firstNames) + " " + pick(d, surnames) }
		c.client.Name = p.unused(one, 1000)
		if k == wedding {
			c.client.Name += " and " + p.unused(one, 1000)
		}
	}
	c.client.Email = record.Some(mailbox(c.client.Name) + "@" + pick(d, []string{"inishcorran.example", "mail.example", "post.example"}))
	if d.chance(85) {
		p.numbers++
		c.client.Phone = record.Some(fmt.Sprintf("+353 20 91%d %04d", 1+p.numbers%7, 1000+p.numbers*37%9000))
	}
	if k == wedding && d.chance(30) {
		c.client.Notes = record.Some(pick(d, []string{"came by word of mouth", "saw the cake at a friend's wedding", "prefers a call in the evening", "came from the wedding fair at Dunmarrow"}))
	}
	return c
}

// unused returns a name that nobody has yet.
func (p *people) unused(name func() string, tries int) string {
	for range tries {
		if n := name(); !p.names[n] {
			p.names[n] = true
			return n
		}
	}
	n := fmt.Sprintf("%s (%d)", name(), len(p.known)+1)
	p.names[n] = true
	return n
}

// again is a second record of a client, made on the telephone by someone who
// did not look for the first: one letter is missing, and the email.
func (p *people) again(c person) (person, ClientCame) {
	letters := []rune(c.client.Name)
	slip := enquiry.Client{Name: string(letters[:len(letters)-2]) + string(letters[len(letters)-1:]), Phone: c.client.Phone, Notes: record.Some("rang on a Saturday")}
	twin := person{key: ClientKey(len(p.known)), client: slip, kind: c.kind, twin: true}
	p.known = append(p.known, twin)
	return twin, ClientCame{twin.key, slip}
}

// mailbox makes what stands before the @ out of the first of a name's words.
func mailbox(name string) string {
	var words []string
	for _, w := range strings.Fields(enquiry.Fold(name)) {
		if w == "and" || len(words) == 2 {
			break
		}
		words = append(words, strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' {
				return r
			}
			return -1
		}, w))
	}
	return strings.Join(words, ".")
}
