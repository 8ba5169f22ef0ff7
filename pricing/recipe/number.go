package recipe

import (
	"errors"
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/pricelist"
)

// Amount is how much a line says: from Low to High, which are the same where
// one figure stands there. The zero Amount is none.
type Amount struct {
	Low, High exact.Number
	Given     bool
	About     bool // "ca.", "scant": meant roughly
}

// Range reports whether two figures stand there.
func (a Amount) Range() bool { return a.Given && !a.Low.Equal(a.High) }

// Text writes a as "3/2" or "100–120".
func (a Amount) Text() string {
	switch {
	case !a.Given:
		return ""
	case a.Range():
		return a.Low.Text() + "–" + a.High.Text()
	}
	return a.Low.Text()
}

func (a Amount) times(n exact.Number) Amount {
	a.Low, a.High = a.Low.Mul(n), a.High.Mul(n)
	return a
}

func one(n exact.Number) Amount { return Amount{Low: n, High: n, Given: true} }

// numberWords are figures in words; "a" and "an" count only before a word.
var numberWords = map[string]exact.Number{}

func init() {
	for n, words := range map[int64]string{
		1: "one a an un une ein eine einen einem einer eines", 2: "two deux zwei", 3: "three trois drei", 4: "four quatre vier", 5: "five cinq funf",
		6: "six sechs", 7: "seven sept sieben", 8: "eight huit acht", 9: "nine neuf neun", 10: "ten dix zehn", 11: "eleven onze elf", 12: "twelve douze zwolf",
	} {
		for w := range strings.FieldsSeq(words) {
			numberWords[w] = exact.Int(n)
		}
	}
	for n, words := range map[int64]string{
		15: "fifteen quinze funfzehn", 16: "sixteen seize sechzehn", 18: "eighteen dix-huit achtzehn", 20: "twenty vingt zwanzig", 24: "twenty-four vingt-quatre vierundzwanzig", 30: "thirty trente dreissig",
		40: "forty quarante vierzig", 50: "fifty cinquante funfzig", 60: "sixty soixante sechzig", 100: "hundred cent hundert",
	} {
		for w := range strings.FieldsSeq(words) {
			numberWords[strings.ReplaceAll(w, "-", " ")] = exact.Int(n)
		}
	}
	for n, words := range map[int64]string{1: "anderthalb eineinhalb", 2: "zweieinhalb", 3: "dreieinhalb", 4: "viereinhalb"} {
		for w := range strings.FieldsSeq(words) {
			numberWords[w] = exact.Frac(2*n+1, 2)
		}
	}
}

var halfWords = set("half halfs halbe halber halbes halben halbem demi demie")

var quarterWords = map[string]exact.Number{"quarter": exact.Frac(1, 4), "quart": exact.Frac(1, 4), "viertel": exact.Frac(1, 4), "third": exact.Frac(1, 3), "dreiviertel": exact.Frac(3, 4), "three-quarters": exact.Frac(3, 4), "three-quarter": exact.Frac(3, 4), "two-thirds": exact.Frac(2, 3)}

// rangeWords join the ends of a range.
var rangeWords = set("to or bis oder a ou und and et")

// figures reads the figure at the head of ts: it returns the amount, how many
// tokens it took, and a doubt or a fault where the figure is not plain.
func (p *parser) figures(ts []token) (Amount, int) {
	skip := 0
	if len(ts) > 1 && (ts[0].bare == "between" || ts[0].bare == "entre" || ts[0].bare == "zwischen") {
		skip = 1
	}
	low, n := p.mixed(ts[skip:])
	if n == 0 {
		return Amount{}, 0
	}
	n += skip
	a := one(low)
	if n+1 < len(ts) {
		join := ts[n]
		dash := join.kind == sign && join.text == "-"
		if join.text == "/" && ts[n+1].kind == figure && skip == 0 {
			return a, n
		}
		if dash || join.kind == word && rangeWords[join.bare] && (skip == 1 || join.bare != "and" && join.bare != "und" && join.bare != "et") {
			if high, m := p.mixed(ts[n+1:]); m > 0 && ts[n+1].kind == figure || m > 0 && ts[n+1].kind == word && len(ts[n+1].bare) > 1 && numberWord(ts[n+1].bare) {
				switch {
				case high.Cmp(low) > 0:
					return Amount{Low: low, High: high, Given: true}, n + 1 + m
				case dash && high.Cmp(exact.Int(1)) < 0 && isWhole(low): // "1-1/2"
					return one(low.Add(high)), n + 1 + m
				case high.Cmp(low) < 0:
					p.doubt("the range %s to %s falls; it was taken from the lower to the higher", low.Text(), high.Text())
					return Amount{Low: high, High: low, Given: true}, n + 1 + m
				case high.Equal(low):
					return a, n + 1 + m
				}
			}
		}
	}
	return a, n
}

// numberWord reports whether a word is a figure that cannot be an article.
func numberWord(w string) bool {
	n, ok := numberWords[w]
	return ok && (!n.Equal(exact.Int(1)) || w == "one")
}

func isWhole(n exact.Number) bool { return n.Equal(exact.FromBig(n.Floor())) }

// mixed reads a whole number with a fraction, either of them, or number words.
func (p *parser) mixed(ts []token) (exact.Number, int) {
	if len(ts) == 0 {
		return exact.Number{}, 0
	}
	half := exact.Frac(1, 2)
	if ts[0].kind == word {
		w := ts[0].bare
		switch {
		case halfWords[w]:
			// "half a cup", "half the butter" is not read as a figure.
			if len(ts) > 1 && (ts[1].bare == "a" || ts[1].bare == "an") {
				return half, 2
			}
			return half, 1
		}
		if q, ok := quarterWords[w]; ok && w != "quart" && w != "viertel" && len(ts) > 1 {
			return q, 1 + p.ofA(ts[1:])
		}
		n, ok := numberWords[w]
		if !ok || len(ts) == 1 {
			return exact.Number{}, 0
		}
		if n.Equal(exact.Int(1)) && len(ts) > 1 {
			next := ts[1].bare
			if vague[w+" "+next] {
				return exact.Number{}, 0
			}
			if halfWords[next] {
				return half, 2
			}
			if q, ok := quarterWords[next]; ok && len(ts) > 2 && (next != "quart" || ts[2].bare == "de") {
				return q, 2 + p.ofA(ts[2:])
			}
		}
		m := 1 + p.andHalf(ts[1:])
		if m > 1 {
			n = n.Add(half)
		}
		if w == "three" && len(ts) > 2 && (ts[1].bare == "quarters") {
			return exact.Frac(3, 4), 2 + p.ofA(ts[2:])
		}
		if w == "two" && len(ts) > 2 && (ts[1].bare == "thirds") {
			return exact.Frac(2, 3), 2 + p.ofA(ts[2:])
		}
		return n, m
	}
	n, used := p.plain(ts)
	if used == 0 {
		return n, 0
	}
	if used == 1 && isWhole(n) {
		rest := ts[1:]
		joined := 0
		if len(rest) > 1 && (rest[0].bare == "and" || rest[0].bare == "et" || rest[0].bare == "und" || rest[0].text == "," && !rest[0].spaced) && rest[1].kind == figure {
			joined = 1
		}
		if f, m := p.plain(rest[joined:]); m == 3 && f.Cmp(exact.Int(1)) < 0 && f.Sign() > 0 {
			return n.Add(f), 1 + joined + m
		}
		if m := p.andHalf(rest); m > 0 {
			return n.Add(half), 1 + m
		}
	}
	return n, used
}

// ofA skips "of a", as in "three quarters of a cup".
func (p *parser) ofA(ts []token) int {
	n := 0
	if len(ts) > n && ts[n].bare == "of" {
		n++
	}
	if n < len(ts) && (ts[n].bare == "a" || ts[n].bare == "an") {
		n++
	}
	return n
}

// andHalf reads "and a half" and "et demi".
func (p *parser) andHalf(ts []token) int {
	if len(ts) < 2 || ts[0].bare != "and" && ts[0].bare != "et" && ts[0].bare != "und" {
		return 0
	}
	n := 1
	if ts[n].bare == "a" || ts[n].bare == "one" || strings.HasPrefix(ts[n].bare, "ein") {
		n++
	}
	if n < len(ts) && halfWords[ts[n].bare] {
		return n + 1
	}
	return 0
}

// plain reads "250", "1,5", "1 000" or "3/4".
func (p *parser) plain(ts []token) (exact.Number, int) {
	if len(ts) == 0 || ts[0].kind != figure {
		return exact.Number{}, 0
	}
	if len(ts) > 2 && ts[1].text == "/" && ts[2].kind == figure && fewDigits(ts[0].text) && fewDigits(ts[2].text) {
		// "225 g/8 oz" never gets here: a unit stands before its slash.
		n, m := p.decimal(ts[0].text), p.decimal(ts[2].text)
		if m.Sign() > 0 && m.Cmp(exact.Int(100)) <= 0 {
			return n.Quo(m), 3
		}
		return n, 1
	}
	if len(ts) > 1 && len(ts[0].text) <= 3 && allDigits(ts[0].text) && ts[0].text[0] != '0' && len(ts[1].text) == 3 && allDigits(ts[1].text) && ts[1].spaced {
		return p.spacedThousands(ts)
	}
	return p.decimal(ts[0].text), 1
}

// spacedThousands reads "1 000 g", and "1 400 g tin" as one tin.
func (p *parser) spacedThousands(ts []token) (exact.Number, int) {
	first := p.decimal(ts[0].text)
	if unit, n := p.unit(ts[2:], 0); n > 0 && unit.known() && len(ts) > 2+n {
		if container, m := p.unit(ts[2+n:], 0); m > 0 && container.packs {
			return first, 1
		}
	}
	if p.context.Language != French {
		p.doubt("%q was read as one figure with its thousands apart", ts[0].text+" "+ts[1].text)
	}
	return first.Mul(exact.Int(1000)).Add(p.decimal(ts[1].text)), 2
}

func fewDigits(s string) bool { return len(s) <= 4 && allDigits(s) }

func allDigits(s string) bool {
	for i := range len(s) {
		if !digit(s, i) {
			return false
		}
	}
	return s != ""
}

// decimal reads a figure token. One that can be read two ways goes by the mark
// of the text, with a doubt, and is a fault where that is unknown.
func (p *parser) decimal(s string) exact.Number {
	if s[0] == '.' || s[0] == ',' {
		s = "0" + s
	}
	if len(s) > 12 {
		p.fault("the figure %.20q is too long to be meant", s)
		return exact.Number{}
	}
	a, err := pricelist.ReadAmount(s, pricelist.Unknown)
	if errors.Is(err, pricelist.ErrAmbiguous) && (s[0] != '0' || strings.ContainsRune(s, '\'')) {
		if p.context.Mark == pricelist.Unknown && !strings.ContainsRune(s, '\'') {
			p.fault("%q can be read two ways, with a decimal point or a decimal comma; write it out", s)
			return exact.Number{}
		}
		a, err = pricelist.ReadAmount(s, p.context.Mark)
		if err == nil && !strings.ContainsRune(s, '\'') {
			p.doubt("%q was read as %s, by %s", s, exact.FromDecimal(a.Figure).Text(), p.context.why())
		}
	}
	if err != nil {
		p.fault("the figure %q could not be read", s)
		return exact.Number{}
	}
	return exact.FromDecimal(a.Figure)
}
