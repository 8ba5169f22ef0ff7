package document

import (
	"strings"
	"sync"
)

// A figurePattern is how figures of one kind are written: what stands before and
// after the digits, and what parts them. It is learnt from what the formatter
// makes of samples, since that takes the CLDR's pattern apart again for each
// figure of a page. A test holds the two against each other for every locale.
type figurePattern struct {
	learnt        bool
	before, after string
	point, group  string
	nearest       int // whole digits in the group by the point; 0: there are no groups
	further       int // and in those further on
	ungrouped     int // the most whole digits that stand without groups
	decimals      int // shown at least
}

// A plain figure of more letters is left to the formatter, as are decimals that
// it would round.
const mostFigure, mostDecimals = 20, 6

// learn asks for samples. Where they tell of no pattern, as in digits other than
// ours, nothing is learnt.
func learn(write func(plain string) string) (p figurePattern) {
	const digits = "0123456789"
	long := write("1234567890.5")
	from, to := strings.IndexAny(long, digits), strings.LastIndexAny(long, digits)
	if from < 0 {
		return p
	}
	p.before, p.after = long[:from], long[to+1:]
	whole := ""
	var runs []int // digits between what parts them
	var parts []string
	for rest := long[from : to+1]; rest != ""; {
		n := strings.IndexFunc(rest, func(r rune) bool { return !strings.ContainsRune(digits, r) })
		if n < 0 {
			n = len(rest)
		}
		whole += rest[:n]
		runs = append(runs, n)
		rest = rest[n:]
		n = max(strings.IndexAny(rest, digits), 0)
		parts = append(parts, rest[:n])
		rest = rest[n:]
	}
	if n := len(runs); n > 1 {
		p.point = parts[n-2]
		if n > 2 {
			p.group, p.nearest, p.further = parts[0], runs[n-2], runs[n-3]
		}
	}
	for n := 1; n <= 9 && p.nearest > 0; n++ {
		if sample := "987654321"[:n]; !strings.HasPrefix(write(sample), p.before+sample) {
			break
		}
		p.ungrouped = n
	}
	one := strings.TrimSuffix(strings.TrimPrefix(write("1"), p.before), p.after)
	if _, decimals, found := strings.Cut(one, p.point); found && p.point != "" {
		p.decimals = len(decimals)
	}
	p.learnt = true
	for _, sample := range []string{"0", "1", "12.25", "999.999", "1000", "98765.4", "123456", "9876543.21", "1234567890.5"} {
		if text, ok := p.write(sample, p.decimals); !ok || text != write(sample) {
			return figurePattern{}
		}
	}
	return p
}

// write sets a plain figure without a sign, such as "1234.50", with its decimals
// but for noughts beyond those asked for.
func (p figurePattern) write(plain string, decimals int) (string, bool) {
	if !p.learnt || len(plain) > mostFigure {
		return "", false
	}
	whole, fraction, _ := strings.Cut(plain, ".")
	for len(fraction) > decimals && fraction[len(fraction)-1] == '0' {
		fraction = fraction[:len(fraction)-1]
	}
	if len(fraction) > max(decimals, mostDecimals) {
		return "", false
	}
	buffer := make([]byte, 0, 96)
	buffer = append(buffer, p.before...)
	for i := range len(whole) {
		left := len(whole) - i
		if i > 0 && p.nearest > 0 && len(whole) > p.ungrouped && left >= p.nearest && (left-p.nearest)%p.further == 0 {
			buffer = append(buffer, p.group...)
		}
		buffer = append(buffer, whole[i])
	}
	if decimals > 0 || fraction != "" {
		buffer = append(buffer, p.point...)
		buffer = append(buffer, fraction...)
		for range decimals - len(fraction) {
			buffer = append(buffer, '0')
		}
	}
	buffer = append(buffer, p.after...)
	return string(buffer), true
}

// patterns are those of one locale, each learnt when it is first asked for.
type patterns struct {
	mu    sync.RWMutex
	known map[patternOf]figurePattern
}

// patternOf says which: money in a currency, as it is read in a region, or plain
// figures.
type patternOf struct {
	region, code string
	negative     bool
}

// of returns a pattern, and whether it was asked for before.
func (p *patterns) of(which patternOf) (figurePattern, bool) {
	p.mu.RLock()
	defer p.mu.RUnlock()
	known, there := p.known[which]
	return known, there
}

// learn learns a pattern from what write makes of figures.
func (p *patterns) learn(which patternOf, write func(plain string) string) figurePattern {
	known := learn(func(plain string) string {
		if which.negative {
			plain = "-" + plain
		}
		return write(plain)
	})
	p.mu.Lock()
	defer p.mu.Unlock()
	p.known[which] = known
	return known
}

// locales are those that were asked for, by their tags: a studio has a few, and
// every page asks for one. Nothing in a locale changes but what it has learnt.
var locales = struct {
	sync.RWMutex
	of map[string]Locale
}{of: map[string]Locale{}}

// mostLocales bounds what is kept of tags, which anybody may invent.
const mostLocales = 64
