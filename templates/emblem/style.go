package emblem

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/image/colornames"
)

// style is how a shape looks. Its parts come down from the groups around it,
// but for clip and hidden.
type style struct {
	fill, stroke               string // as written
	fillOpacity, strokeOpacity float64
	opacity                    float64 // of all groups around it too
	current                    string  // what currentColor stands for
	evenOdd, clipEvenOdd       bool
	pen                        Pen
	invisible                  bool
	hidden                     bool // and all inside
	clip                       string
}

// inherited is the style outside everything (SVG 2, initial values).
func inherited() style {
	return style{fill: "black", stroke: "none", fillOpacity: 1, strokeOpacity: 1, opacity: 1, current: "black", pen: Pen{Width: 1, Miter: 4}}
}

// inks returns what the inside and the outline are painted with.
func (s style) inks() (fill, stroke Ink, err error) {
	if s.invisible {
		return Ink{}, Ink{}, nil
	}
	if fill, err = colour(s.fill, s.current); err != nil {
		return Ink{}, Ink{}, err
	}
	fill.Opacity *= s.fillOpacity * s.opacity
	if s.pen.Width > 0 {
		stroke, err = colour(s.stroke, s.current)
		stroke.Opacity *= s.strokeOpacity * s.opacity
	}
	return fill, stroke, err
}

// known are the properties that are read here.
var known = []string{"color", "fill", "fill-opacity", "fill-rule", "stroke", "stroke-opacity", "stroke-width", "stroke-linecap", "stroke-linejoin",
	"stroke-miterlimit", "stroke-dasharray", "stroke-dashoffset", "opacity", "display", "visibility", "clip-path", "clip-rule",
	"filter", "mask", "mix-blend-mode", "marker", "marker-start", "marker-mid", "marker-end", "transform", "paint-order", "vector-effect"}

// style returns the style of e: what it inherits, its attributes, the rules of
// style sheets, then what stands in its style attribute; later ones win.
func (d *drawer) style(e *element, outer style) (style, error) {
	st := outer
	st.clip = ""
	stated := map[string]string{}
	for _, key := range known {
		if v, ok := e.attrs[key]; ok && key != "transform" {
			stated[key] = v
		}
	}
	for _, important := range []bool{false, true} {
		for _, r := range d.rules {
			if r.matches(e) {
				r.declarations.put(stated, important)
			}
		}
		own, err := readDeclarations(e.attrs["style"])
		if err != nil {
			return st, err
		}
		own.put(stated, important)
	}
	for _, key := range known {
		if v, ok := stated[key]; ok && v != "inherit" {
			if err := d.property(&st, key, v); err != nil {
				return st, err
			}
		}
	}
	return st, nil
}

func (d *drawer) property(st *style, key, v string) (err error) {
	switch key {
	case "color":
		st.current = v
	case "fill":
		st.fill = v
	case "stroke":
		st.stroke = v
	case "fill-opacity":
		st.fillOpacity, err = fraction(v)
	case "stroke-opacity":
		st.strokeOpacity, err = fraction(v)
	case "opacity":
		var own float64
		own, err = fraction(v)
		st.opacity *= own
	case "fill-rule":
		st.evenOdd = v == "evenodd"
	case "clip-rule":
		st.clipEvenOdd = v == "evenodd"
	case "stroke-width":
		st.pen.Width, err = d.length(v, d.width)
	case "stroke-linecap":
		st.pen.Cap = max(0, slices.Index([]string{"butt", "round", "square"}, v))
	case "stroke-linejoin":
		st.pen.Join = max(0, slices.Index([]string{"miter", "round", "bevel"}, v))
	case "stroke-miterlimit":
		if st.pen.Miter, err = d.length(v, 0); st.pen.Miter < 1 {
			st.pen.Miter = 1
		}
	case "stroke-dasharray":
		st.pen.Dashes, err = d.dashes(v)
	case "stroke-dashoffset":
		st.pen.Offset, err = d.length(v, d.width)
	case "display":
		st.hidden = v == "none"
	case "visibility":
		st.invisible = v == "hidden" || v == "collapse"
	case "clip-path":
		st.clip, err = reference(v)
	default:
		if plain := map[string]string{"mix-blend-mode": "normal", "paint-order": "normal"}[key]; v != "none" && v != plain {
			err = fmt.Errorf("uses %s, which is not understood; flatten it in your drawing program, or save the logo as a PNG", key)
		}
	}
	return err
}

// dashes reads the lengths of dashes and gaps; an odd number of them is
// repeated.
func (d *drawer) dashes(v string) (list []float64, err error) {
	if v == "none" {
		return nil, nil
	}
	for _, word := range strings.FieldsFunc(v, func(r rune) bool { return r == ',' || r == ' ' }) {
		n, err := d.length(word, d.width)
		if err != nil || n < 0 {
			return nil, fmt.Errorf("has the dashes %.40q, which are not understood; use plain numbers", v)
		}
		list = append(list, n)
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list, nil
}

// reference reads url(#name), or none.
func reference(v string) (string, error) {
	if v == "none" {
		return "", nil
	}
	id := strings.TrimSuffix(strings.TrimPrefix(v, "url("), ")")
	id, local := strings.CutPrefix(strings.Trim(id, `'" `), "#")
	if !local || !strings.HasPrefix(v, "url(") {
		return "", fmt.Errorf("refers to %.40q outside the drawing; embed it, or save the logo as a PNG", v)
	}
	return id, nil
}

func fraction(v string) (float64, error) {
	percent := strings.HasSuffix(v, "%")
	f, err := strconv.ParseFloat(strings.TrimSuffix(v, "%"), 64)
	if err != nil || f != f {
		return 0, fmt.Errorf("has the opacity %.30q, which is no number", v)
	}
	if percent {
		f /= 100
	}
	return min(max(f, 0), 1), nil
}

// colour reads a colour with the opacity of its own.
func colour(v, current string) (Ink, error) {
	text := strings.ToLower(strings.TrimSpace(v))
	if text == "currentcolor" {
		text = strings.ToLower(strings.TrimSpace(current))
	}
	if text == "none" || text == "transparent" {
		return Ink{}, nil
	}
	if c, ok := colornames.Map[text]; ok {
		return Ink{c.R, c.G, c.B, 1}, nil
	}
	ink, ok := Ink{}, false
	switch {
	case strings.HasPrefix(text, "url("):
		return Ink{}, errors.New("is painted with a gradient or pattern, which is not understood; use plain colours, or save the logo as a PNG")
	case strings.HasPrefix(text, "#"):
		ink, ok = hexColour(text[1:])
	case strings.HasPrefix(text, "rgb") && strings.HasSuffix(text, ")"):
		ink, ok = rgbColour(text)
	}
	if !ok {
		return Ink{}, fmt.Errorf("has the colour %.30q, which is not understood; write it like #6a3f52", v)
	}
	return ink, nil
}

// hexColour reads three, four, six or eight digits.
func hexColour(digits string) (Ink, bool) {
	if len(digits) == 3 || len(digits) == 4 {
		var long strings.Builder
		for i := range len(digits) {
			long.WriteByte(digits[i])
			long.WriteByte(digits[i])
		}
		digits = long.String()
	}
	if len(digits) == 6 {
		digits += "ff"
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	return Ink{uint8(n >> 24), uint8(n >> 16), uint8(n >> 8), float64(n&0xff) / 255}, err == nil && len(digits) == 8
}

// rgbColour reads rgb(106, 63, 82), rgb(41% 25% 32% / 50%) and the like.
func rgbColour(text string) (Ink, bool) {
	_, inside, _ := strings.Cut(strings.TrimSuffix(text, ")"), "(")
	parts := strings.FieldsFunc(inside, func(r rune) bool { return r == ',' || r == ' ' || r == '/' })
	if len(parts) != 3 && len(parts) != 4 {
		return Ink{}, false
	}
	var rgb [3]uint8
	for i, part := range parts[:3] {
		number, percent := strings.CutSuffix(part, "%")
		f, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return Ink{}, false
		}
		if percent {
			f *= 2.55
		}
		rgb[i] = uint8(min(max(f, 0), 255) + 0.5)
	}
	ink := Ink{rgb[0], rgb[1], rgb[2], 1}
	if len(parts) == 4 {
		a, err := fraction(parts[3])
		ink.Opacity = a
		return ink, err == nil
	}
	return ink, true
}

// styleRule is a selector of a style sheet with what it declares.
type styleRule struct {
	tag, class, id string // "" for any
	declarations   declarations
}

func (r styleRule) matches(e *element) bool {
	return (r.tag == "" || r.tag == e.name) && (r.id == "" || r.id == e.attrs["id"]) &&
		(r.class == "" || slices.Contains(strings.Fields(e.attrs["class"]), r.class))
}

// weight orders rules: an id counts for more than a class, that for more than
// the name of an element.
func (r styleRule) weight() (n int) {
	for i, part := range []string{r.tag, r.class, r.id} {
		if part != "" {
			n += 1 << i
		}
	}
	return n
}

const sheetRemedy = "save it with inline styles or presentation attributes, or as a PNG"

// readStyleSheet reads the rules of a style sheet. before is how many others
// have.
func readStyleSheet(text string, before int) ([]styleRule, error) {
	var rules []styleRule
	rest := withoutComments(text)
	for {
		head, after, found := strings.Cut(rest, "{")
		head = strings.TrimSpace(head)
		if strings.HasPrefix(head, "@") {
			return nil, fmt.Errorf("has %.30q in its style sheet, which is not understood; %s", head, sheetRemedy)
		}
		if !found {
			if head != "" {
				return nil, fmt.Errorf("has a style sheet that breaks off at %.30q; %s", head, sheetRemedy)
			}
			break
		}
		body, next, closed := strings.Cut(after, "}")
		if !closed {
			return nil, fmt.Errorf("has a style sheet that breaks off; %s", sheetRemedy)
		}
		own, err := readDeclarations(body)
		if err != nil {
			return nil, err
		}
		for selector := range strings.SplitSeq(head, ",") {
			r, err := readSelector(strings.TrimSpace(selector))
			if err != nil {
				return nil, err
			}
			r.declarations = own
			if rules = append(rules, r); before+len(rules) > maxRules {
				return nil, fmt.Errorf("has too long a style sheet; %s", sheetRemedy)
			}
		}
		rest = next
	}
	slices.SortStableFunc(rules, func(a, b styleRule) int { return a.weight() - b.weight() })
	return rules, nil
}

func withoutComments(text string) string {
	var out strings.Builder
	for {
		before, after, found := strings.Cut(text, "/*")
		out.WriteString(before)
		if !found {
			return out.String()
		}
		if _, text, found = strings.Cut(after, "*/"); !found {
			return out.String()
		}
	}
}

// readSelector reads the name of an element, .class, #id or a chain of them.
func readSelector(s string) (styleRule, error) {
	var r styleRule
	if s == "*" {
		return r, nil
	}
	for rest := s; rest != ""; {
		end := strings.IndexAny(rest[1:], ".#") + 1
		if end == 0 {
			end = len(rest)
		}
		word := rest[:end]
		rest = rest[end:]
		if strings.ContainsAny(word, " \t\r\n>+~:[*") {
			return r, fmt.Errorf("has the selector %.30q in its style sheet, which is not understood; %s", s, sheetRemedy)
		}
		switch {
		case word[0] == '.' && r.class == "":
			r.class = word[1:]
		case word[0] == '#' && r.id == "":
			r.id = word[1:]
		case word[0] != '.' && word[0] != '#':
			r.tag = word
		default:
			return r, fmt.Errorf("has the selector %.30q in its style sheet, which is not understood; %s", s, sheetRemedy)
		}
	}
	return r, nil
}

// declarations are properties with their values.
type declarations []declaration

type declaration struct {
	key, value string
	important  bool
}

func readDeclarations(text string) (declarations, error) {
	var list declarations
	for part := range strings.SplitSeq(withoutComments(text), ";") {
		key, value, found := strings.Cut(part, ":")
		key, value = strings.ToLower(strings.TrimSpace(key)), strings.TrimSpace(value)
		if !found || !slices.Contains(known, key) {
			continue // such as the font of text that is not there
		}
		value, important := strings.CutSuffix(value, "!important")
		list = append(list, declaration{key, strings.TrimSpace(value), important})
	}
	return list, nil
}

// put lays declarations over what is stated.
func (list declarations) put(stated map[string]string, important bool) {
	for _, d := range list {
		if d.important == important {
			stated[d.key] = d.value
		}
	}
}
