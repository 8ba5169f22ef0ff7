package stack

import (
	"errors"
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// ParseFinger reads the size of a finger: "25 mm x 50 mm".
func ParseFinger(text string) (*book.Portion, error) {
	unread := fmt.Errorf("%.40q: write its width and depth, such as \"25 mm x 50 mm\"", text)
	width, depth, ok := strings.Cut(strings.ReplaceAll(text, "×", "x"), "x")
	if !ok {
		return nil, unread
	}
	p := &book.Portion{Cut: book.Finger}
	for _, side := range []struct {
		text string
		into *measure.Quantity
	}{{width, &p.Width}, {depth, &p.Depth}} {
		if strings.TrimSpace(side.text) == "" {
			return nil, unread
		}
		q, err := ParseQuantity(strings.TrimSpace(side.text))
		switch {
		case err != nil:
			return nil, err
		case q.Dimension() != measure.Length:
			return nil, fmt.Errorf("%q is no length; write it as \"25 mm\"", strings.TrimSpace(side.text))
		case q.Sign() == 0:
			return nil, unread
		}
		*side.into = q
	}
	return p, nil
}

// CutAs returns the rule of a style by which every tier is cut: that of the
// pattern, else the usual finger. Of wedges there is none where the pattern
// does not say how many.
func CutAs(pattern book.Cake, style book.Cut) (rule *book.Portion, there bool) {
	rules := []*book.Portion{pattern.Portion}
	for _, t := range pattern.Tiers {
		rules = append(rules, t.Portion)
	}
	for _, rule := range rules {
		if rule != nil && rule.Cut == style {
			return rule, true
		}
	}
	if style == book.Wedge {
		return nil, false
	}
	return UsualFinger(), true
}

// Cutting is how somebody asks for tiers to be cut.
type Cutting struct {
	Style  book.Cut // "": as the pattern has it
	Finger string   // its size, "25 mm x 50 mm"
	Wedges int      // to a tier
}

// Why tiers cannot be cut as somebody asks.
var (
	ErrTwoCuts  = errors.New("fingers have a size and wedges a number; say one of them")
	ErrNoWedges = errors.New("say how many wedges a tier is cut into")
	ErrNoRule   = errors.New("its portions are a number, which holds for its own size only; say how others are cut")
)

// Rule returns by what rule every tier is cut; nil for as the pattern has it.
func (c Cutting) Rule(pattern book.Cake) (*book.Portion, error) {
	switch {
	case c.Style != "" && c.Style != book.Finger && c.Style != book.Wedge:
		return nil, fmt.Errorf("%.20q is unknown; use finger or wedge", c.Style)
	case c.Finger != "" && c.Wedges > 0, c.Style == book.Finger && c.Wedges > 0, c.Style == book.Wedge && c.Finger != "":
		return nil, ErrTwoCuts
	case c.Wedges > 0:
		return &book.Portion{Cut: book.Wedge, Count: record.Some(c.Wedges)}, nil
	case c.Finger != "":
		return ParseFinger(c.Finger)
	case c.Style == "" && !SaysCut(pattern):
		return nil, ErrNoRule
	case c.Style == "":
		return nil, nil
	}
	rule, there := CutAs(pattern, c.Style)
	if !there {
		return nil, ErrNoWedges
	}
	return rule, nil
}

// ReadTins reads tins to choose from, by comma: ids of those that are owned, or
// shapes with their sizes, "round 150 mm, round 200 mm x2".
func ReadTins(text string, owned []book.Tin) (list []book.Tin, err error) {
	ids := map[string]book.Tin{}
	for _, t := range owned {
		ids[string(t.ID)] = t
	}
	for one := range strings.SplitSeq(text, ",") {
		one = strings.TrimSpace(one)
		t, there := ids[one]
		if !there {
			if t, err = ParseTin(one); err != nil {
				return nil, err
			}
		}
		list = append(list, t)
	}
	return list, nil
}
