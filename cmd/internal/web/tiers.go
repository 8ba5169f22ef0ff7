package web

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/page"
)

// stacksShown is how many stacks are proposed at once.
const stacksShown = 4

// mostStacks is how many are proposed at most.
const mostStacks = 12

// proposeTiers shows which tins to stack for a number of guests.
func (s *Server) proposeTiers(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return wrong("The address could not be read. Fill in the form again.")
	}
	f := form{values: r.Form}
	if wantsFragment(r) {
		_, result, faults, err := s.tiersAsked(r, f)
		if err != nil {
			return err
		}
		for _, fault := range faults {
			result.Faults = append(result.Faults, sentence(fault.Problem))
		}
		return s.fragment(w, r, "tiers", "stacks", result)
	}
	return s.showKept(w, r, onBook, "tiers", func() (shown, error) {
		x, result, faults, err := s.tiersAsked(r, f)
		if err != nil {
			return shown{}, err
		}
		body := page.Offered{Ask: tiersForm(x, f, faults), Result: result}
		return shown{http.StatusOK, "Tiers for guests", body, []page.Link{{Text: "Cakes", Href: "/cakes"}, {Text: "Tiers for guests", Current: true}}}, nil
	})
}

// tiersAsked answers a form, once it says for how many guests.
func (s *Server) tiersAsked(r *http.Request, f form) (x *book.Index, result page.Stacks, faults record.Faults, err error) {
	if x, err = s.book(r); err != nil || f.get("guests") == "" {
		return x, result, nil, err
	}
	q, faults := askStacks(x, f)
	if len(faults) == 0 {
		result, err = s.stacks(r, x, f, q)
	}
	return x, result, faults, err
}

// drawStacks is the drawing of the stacks to save.
func (s *Server) drawStacks(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	q, faults := askStacks(x, form{values: r.URL.Query()})
	if len(faults) > 0 {
		return faults
	}
	found, err := q.Answer()
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	var b bytes.Buffer
	if err := s.Desk.StacksPaper(&b, x.Book, q.Cost(x.Book, found, s.priceDay(r))); err != nil {
		return err
	}
	return s.save(w, r, fmt.Sprintf("tiers-for-%d.svg", q.Guests), b.Bytes())
}

func tiersForm(x *book.Index, f form, faults record.Faults) page.Form {
	b := x.Book
	shapes := []page.Option{{Value: "", Text: "any one shape"}}
	for _, k := range shape.Kinds() {
		if k != shape.Measured {
			shapes = append(shapes, page.Option{Value: string(k), Text: shapeWords[k]})
		}
	}
	like := []page.Option{{Value: "", Text: "a cake that fits"}}
	for _, c := range b.Cakes {
		if len(c.Tiers) > 0 && len(like) < mostOffered {
			like = append(like, page.Option{Value: string(c.ID), Text: c.Name})
		}
	}
	typed := f.values
	if f.get("guests") == "" && len(typed) == 0 {
		typed = nil
	}
	a := ask(typed, faults)
	out := page.Form{
		Action: "/cakes/tiers", Get: true, Button: "Show the stacks", Live: "/cakes/tiers", Target: "stacks",
		Fields: []page.Field{
			a.field(page.Field{Name: "guests", Label: "Guests to serve", Kind: "number", Required: true}),
			a.field(page.Field{Name: "like", Label: "Made like", Kind: "choice", Options: like, Help: "Lends its recipes: bottom from bottom, top from top."}),
			a.field(page.Field{Name: "shape", Label: "Shape", Kind: "choice", Options: shapes}),
			a.field(page.Field{Name: "keep_top", Label: "The top tier", Kind: "choice", Options: []page.Option{{Text: "as that cake has it"}, {Value: "yes", Text: "is made and kept for later"}, {Value: "no", Text: "is served"}}}),
			a.field(page.Field{Name: "any_size", Label: "Not only our tins: every usual size", Kind: "tick"}),
			a.field(page.Field{Name: "keep_look", Label: "Keep that cake’s tiers and proportions", Kind: "tick"}),
		},
		Groups: []page.Group{{Title: "Limits, cuts and tins", Fields: []page.Field{
			a.field(page.Field{Name: "min_tiers", Label: "At least so many tiers", Kind: "number"}),
			a.field(page.Field{Name: "max_tiers", Label: "At most so many tiers", Kind: "number", Help: "6 where empty."}),
			a.field(page.Field{Name: "step", Label: "Step between tiers", Help: "What shows of the lower tier all round; 25 mm where empty."}),
			a.field(page.Field{Name: "max_height", Label: "No higher than"}),
			a.field(page.Field{Name: "style", Label: "Cut into", Kind: "choice", Options: []page.Option{{Text: "as that cake is"}, {Value: string(book.Finger), Text: "fingers"}, {Value: string(book.Wedge), Text: "wedges"}}}),
			a.field(page.Field{Name: "cut", Label: "A finger measures", Help: "25 mm x 50 mm"}),
			a.field(page.Field{Name: "wedges", Label: "Wedges to a tier", Kind: "number"}),
			a.field(page.Field{Name: "tins", Label: "Only from these tins", Help: "round 150 mm, round 200 mm x2. Empty: those you own."}),
			a.field(page.Field{Name: "show", Label: "Stacks to show", Kind: "number", Help: "4 where empty."}),
			a.field(page.Field{Name: "on", Label: "With prices of", Kind: "date"}),
			a.field(page.Field{Name: "mixed", Label: "Shapes may stand on each other", Kind: "tick"}),
		}}},
	}
	for _, field := range out.Groups[0].Fields {
		out.Groups[0].Open = out.Groups[0].Open || field.Ticked || field.Value != "" || len(field.Faults) > 0
	}
	out.Faults = a.rest()
	return out
}

// askStacks reads the form.
func askStacks(x *book.Index, f form) (q stack.Question, faults record.Faults) {
	whole := func(name string) int {
		text := f.get(name)
		if text == "" {
			return 0
		}
		n, is := wholeNumber(text).(int)
		if !is || n < 1 || n > 100_000 {
			faults.Add(name, "%.20q is no number of %s; write a whole number above 0", text, map[string]string{"guests": "guests", "max_tiers": "tiers", "min_tiers": "tiers", "wedges": "wedges", "show": "stacks"}[name])
			return 0
		}
		return n
	}
	w := stack.Wish{
		Guests: whole("guests"), MinTiers: whole("min_tiers"), MaxTiers: whole("max_tiers"), Show: min(cmp.Or(whole("show"), stacksShown), mostStacks),
		Like: f.get("like"), KeepLook: f.ticked("keep_look"), Shape: f.get("shape"), Mixed: f.ticked("mixed"), Step: f.figure("step"), MaxHeight: f.figure("max_height"),
		// A cake whose portions are a number for its own size is cut as most are.
		Cutting: stack.Cutting{Style: book.Cut(f.get("style")), Finger: f.get("cut"), Wedges: whole("wedges")}, UsualCut: true,
		Tins: f.get("tins"), AnySize: f.ticked("any_size"),
	}
	if keep := f.get("keep_top"); keep != "" {
		w.KeepTop = record.Some(keep == "yes")
	}
	q, more := w.Ask(x)
	for _, fault := range more {
		if !slices.ContainsFunc(faults, func(known record.Fault) bool { return known.Path == fault.Path }) {
			faults = append(faults, fault)
		}
	}
	return q, faults
}

// stacks answers the question: every stack drawn to one scale, costed and
// priced by the recipes of the pattern.
func (s *Server) stacks(r *http.Request, x *book.Index, f form, q stack.Question) (page.Stacks, error) {
	var out page.Stacks
	if len(q.Tins) == 0 {
		out.Faults = []string{"The studio has no tins yet. Add those you own, or tick every usual size."}
		out.Mend = &page.Link{Text: "Add a tin", Href: tins.path + "/new"}
		return out, nil
	}
	found, err := q.Answer()
	var none *stack.NoFit
	if errors.As(err, &none) {
		out.Faults = noFit(none)
		return out, nil
	}
	var crowd *stack.TooMany
	if errors.As(err, &crowd) {
		out.Faults = []string{sentence(crowd.In(wordsOf(x.Book.Studio).count))}
		return out, nil
	}
	if err != nil {
		out.Faults = []string{sentence(err.Error())}
		return out, nil
	}
	words := wordsOf(x.Book.Studio)
	switch {
	case q.Lender == nil:
		out.Text = "No cake of the book lends its recipes, so nothing is costed. Add a cake with tiers first."
	case q.Found:
		out.Text = "Costed by the recipes of " + q.Lender.Name + "."
	}
	costed := q.Cost(x.Book, found, s.priceDay(r))
	columns := make([][]document.Cake, len(found))
	for i := range costed {
		columns[i] = []document.Cake{drawable(words, costed[i].Cake)}
	}
	pictures := drawing.Lineup(columns, 80, 80)
	for i, p := range costed {
		st := page.Stack{Title: fmt.Sprintf("Stack %d, %s", i+1, plural(len(p.Tins), "tier", "tiers"))}
		if st.Drawing, err = drawnCake(pictures[i], ""); err != nil {
			return out, err
		}
		for j, t := range p.Cake.Tiers {
			f := page.Figure{Label: capital(strings.Replace(t.Solid().Outline.String(), ",", "", 1)), Value: words.counted(p.Portions[j], "portion", "portions")}
			if t.Kept.Or(false) {
				f.Value += ", kept"
			}
			st.Tiers = append(st.Tiers, f)
		}
		st.Tiers = append(st.Tiers, page.Figure{Label: "High in all", Value: words.locale.Number(p.Height.Mul(exact.Int(10)).Round(0), 0) + "\u00a0mm"})
		st.Figures = append(st.Figures, page.Figure{Label: "Serves", Value: words.count(p.Served) + ", " + words.count(p.Spare) + " to spare"})
		if q.Lender != nil {
			if p.Err != nil {
				st.Warning = sentence(p.Err.Error())
			} else {
				figures, warning := cakeFigures(words, x.Book.Studio, *p.Costing)
				st.Figures, st.Warning = append(st.Figures, figures[1:]...), warning
				for j := range st.Figures {
					st.Figures[j].Href, st.Figures[j].Strong = "", false
				}
			}
			st.Keep = keepForm(f, q, i)
		}
		out.List = append(out.List, st)
	}
	out.Papers = []page.Link{{Text: "Save the drawing (SVG)", Href: withQuery("/cakes/tiers/stacks.svg", r.URL.Query())}}
	return out, nil
}

func noFit(none *stack.NoFit) []string { return strings.Split(strings.TrimSpace(none.Error()), "\n") }

// keepForm makes a cake of a stack: it sends what was asked, and which stack.
func keepForm(f form, q stack.Question, i int) *page.Form {
	name := fmt.Sprintf("%s, for %d", q.Lender.Name, q.Guests)
	k := &page.Form{Action: "/cakes/tiers", Button: "Use this one"}
	for _, key := range []string{"guests", "like", "shape", "min_tiers", "max_tiers", "step", "max_height", "keep_top", "style", "cut", "wedges", "tins", "show", "any_size", "mixed", "keep_look"} {
		if v := f.get(key); v != "" {
			k.Fields = append(k.Fields, page.Field{Name: key, Kind: "hidden", Value: v})
		}
	}
	k.Fields = append(k.Fields, page.Field{Name: "pick", Kind: "hidden", Value: fmt.Sprint(i)},
		page.Field{Name: "name", In: fmt.Sprintf("stack%d", i), Label: "Call it", Value: name})
	return k
}

// keepTiers stores a stack as a new cake.
func (s *Server) keepTiers(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	q, faults := askStacks(x, f)
	if len(faults) > 0 {
		return faults
	}
	found, err := q.Answer()
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	i, err := strconv.Atoi(f.get("pick"))
	if err != nil || i < 0 || i >= len(found) || q.Lender == nil {
		return wrong("That stack is not among the proposals any more. Ask for them again.")
	}
	c := found[i].Cake
	if c.Name = f.get("name"); c.Name == "" {
		c.Name = q.Lender.Name
	}
	c.ID = cakeID(x, c.Name)
	undo, err := addObject(r, s, cakes, c)
	if err != nil {
		return err
	}
	return s.added(w, r, cakes.at(c.ID), cakes.path, c.Name+" is a cake of its own now. Look through what does not grow with it: boards, boxes, dowels.", undo)
}
