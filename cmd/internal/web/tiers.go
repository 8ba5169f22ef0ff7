package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
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
	x, err := s.book(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return wrong("The address could not be read. Fill in the form again.")
	}
	f := form{values: r.Form}
	var result page.Stacks
	var faults record.Faults
	if f.get("guests") != "" {
		var a stackAnswer
		if a, faults = askStacks(x, f); len(faults) == 0 {
			if result, err = s.stacks(r, x, f, a); err != nil {
				return err
			}
		} else if wantsFragment(r) {
			for _, fault := range faults {
				result.Faults = append(result.Faults, sentence(fault.Problem))
			}
		}
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "tiers", "stacks", result)
	}
	body := page.Offered{Ask: tiersForm(x, f, faults), Result: result}
	return s.show(w, r, "tiers", "Tiers for guests", body, page.Link{Text: "Cakes", Href: "/cakes"}, page.Link{Text: "Tiers for guests", Current: true})
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
			a.field(page.Field{Name: "step", Label: "Seen of a tier round the one above", Help: "25 mm where empty."}),
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

// stackAnswer is a question about stacks, ready to be answered.
type stackAnswer struct {
	request stack.Request
	pattern *book.Cake // nil: none was there, and nothing is costed
	chosen  bool       // whether the pattern was found and not named
	look    bool
}

// askStacks reads the form.
func askStacks(x *book.Index, f form) (a stackAnswer, faults record.Faults) {
	whole := func(name string, least int) int {
		text := f.get(name)
		if text == "" {
			return 0
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > 100_000 {
			faults.Add(name, "%.20q is no number of %s; write a whole number above 0", text, map[string]string{"guests": "guests", "max_tiers": "tiers", "min_tiers": "tiers", "wedges": "wedges", "show": "stacks"}[name])
		}
		return n
	}
	length := func(name string) (q measure.Quantity) {
		text := f.figure(name)
		if text == "" {
			return q
		}
		q, err := stack.ParseQuantity(text)
		if err != nil {
			faults.Add(name, "%s", err)
		} else if q.Dimension() != measure.Length {
			faults.Add(name, "%.40q is no length; write it as 25 mm", text)
		}
		return q
	}
	req := &a.request
	*req = stack.Request{
		Guests: whole("guests", 1), MinTiers: whole("min_tiers", 1), MaxTiers: whole("max_tiers", 1), Step: length("step"), MaxHeight: length("max_height"),
		Mixed: f.ticked("mixed"), Show: min(cmp.Or(whole("show", 1), stacksShown), mostStacks), Tins: x.Book.Tins,
	}
	wedges := whole("wedges", 1)
	a.look = f.ticked("keep_look")
	if text := f.get("shape"); text != "" {
		k, err := shape.ParseKind(text)
		if err != nil {
			faults.Add("shape", "%s", err)
		}
		req.Shape = k
	}
	if id := f.get("like"); id != "" {
		c, there := x.Cake(book.ID(id))
		switch {
		case !there:
			faults.Add("like", "there is no such cake any more; choose another")
		case len(c.Tiers) == 0:
			faults.Add("like", "%s has no tiers to take as a pattern; choose a cake with tiers", c.Name)
		default:
			a.pattern, req.Pattern = c, *c
		}
	} else if c, there := stack.PatternIn(x.Book, req.Shape); there && !a.look {
		a.pattern, req.Pattern, a.chosen = c, *c, true
	} else {
		req.Pattern = stack.BarePattern(req.Shape)
	}
	if top := len(req.Pattern.Tiers) - 1; top >= 0 && f.get("keep_top") != "yes" {
		switch {
		case f.get("keep_top") == "":
			req.KeepTop = !a.look && req.Pattern.Tiers[top].Kept.Or(false)
		case a.look: // what keeps its look keeps its top too, unless somebody says so
			req.Pattern.Tiers = slices.Clone(req.Pattern.Tiers)
			req.Pattern.Tiers[top].Kept = record.Maybe[bool]{}
		}
	} else {
		req.KeepTop = true
	}
	if a.look && a.pattern == nil {
		faults.Add("like", "say which cake's look is to be kept")
	}
	if len(faults) > 0 {
		return a, faults
	}
	var err error
	switch req.Cut, err = (stack.Cutting{Style: book.Cut(f.get("style")), Finger: f.get("cut"), Wedges: wedges}).Rule(req.Pattern); {
	case errors.Is(err, stack.ErrNoRule):
		// Its portions are a number for its own size; another size is cut as
		// most are.
		req.Cut = stack.UsualFinger()
	case errors.Is(err, stack.ErrNoWedges):
		faults.Add("wedges", "%s", err)
	case err != nil && f.get("cut") != "" && !errors.Is(err, stack.ErrTwoCuts):
		faults.Add("cut", "%s", err)
	case err != nil:
		faults.Add("style", "%s", err)
	}
	switch {
	case f.get("tins") != "" && f.ticked("any_size"):
		faults.Add("tins", "name tins, or take every usual size; not both")
	case f.get("tins") != "":
		if req.Tins, err = stack.ReadTins(f.get("tins"), x.Book.Tins); err != nil {
			faults.Add("tins", "%s", err)
		}
	case f.ticked("any_size"):
		if req.Tins, err = stack.UsualTins(req.Pattern, req.Shape, x.Book.Studio.Household.Or(measure.Metric)); err != nil {
			faults.Add("any_size", "%s", err)
		}
	}
	return a, faults
}

func (a stackAnswer) search() ([]stack.Proposal, error) {
	if a.look {
		return stack.Rescale(a.request)
	}
	return stack.Propose(a.request)
}

// stacks answers the question: every stack drawn to one scale, costed and
// priced by the recipes of the pattern.
func (s *Server) stacks(r *http.Request, x *book.Index, f form, a stackAnswer) (page.Stacks, error) {
	var out page.Stacks
	if len(a.request.Tins) == 0 {
		out.Faults = []string{"The studio has no tins yet. Add those you own, or tick every usual size."}
		out.Mend = &page.Link{Text: "Add a tin", Href: tins.path + "/new"}
		return out, nil
	}
	found, err := a.search()
	var none *stack.NoFit
	if errors.As(err, &none) {
		out.Faults = noFit(none)
		return out, nil
	}
	if err != nil {
		out.Faults = []string{sentence(err.Error())}
		return out, nil
	}
	words := wordsOf(x.Book.Studio)
	switch {
	case a.pattern == nil:
		out.Text = "No cake of the book lends its recipes, so nothing is costed. Add a cake with tiers first."
	case a.chosen:
		out.Text = "Costed by the recipes of " + a.pattern.Name + "."
	}
	designs := x.Book
	designs.Cakes = nil
	columns := make([][]document.Cake, len(found))
	for i := range found {
		found[i].Cake.ID = book.ID(fmt.Sprintf("proposal-%d", i+1))
		designs.Cakes = append(designs.Cakes, found[i].Cake)
		columns[i] = []document.Cake{drawable(words, found[i].Cake)}
	}
	y := book.NewIndex(designs)
	rates := pricing.NewRates(y, s.priceDay(r))
	pictures := drawing.Lineup(columns, 80, 80)
	for i, p := range found {
		st := page.Stack{Title: fmt.Sprintf("%d: %s", i+1, plural(len(p.Tins), "tier", "tiers"))}
		if st.Drawing, err = drawnCake(pictures[i], ""); err != nil {
			return out, err
		}
		for j, t := range p.Cake.Tiers {
			f := page.Figure{Label: capital(strings.Replace(t.Solid().Outline.String(), ",", "", 1)), Value: plural(p.Portions[j], "portion", "portions")}
			if t.Kept.Or(false) {
				f.Value += ", kept"
			}
			st.Tiers = append(st.Tiers, f)
		}
		st.Tiers = append(st.Tiers, page.Figure{Label: "High in all", Value: words.locale.Number(p.Height.Mul(exact.Int(10)).Round(0), 0) + "\u00a0mm"})
		st.Figures = append(st.Figures, page.Figure{Label: "Serves", Value: fmt.Sprintf("%d, %d to spare", p.Served, p.Spare)})
		if a.pattern != nil {
			c, err := pricing.CostCake(y, p.Cake.ID, rates)
			if err != nil {
				st.Warning = sentence(err.Error())
			} else {
				figures, warning := cakeFigures(words, x.Book.Studio, c)
				st.Figures, st.Warning = append(st.Figures, figures[1:]...), warning
				for j := range st.Figures {
					st.Figures[j].Href, st.Figures[j].Strong = "", false
				}
			}
			st.Keep = keepForm(f, a, i)
		}
		out.List = append(out.List, st)
	}
	return out, nil
}

func noFit(none *stack.NoFit) []string { return strings.Split(strings.TrimSpace(none.Error()), "\n") }

// keepForm makes a cake of a stack: it sends what was asked, and which stack.
func keepForm(f form, a stackAnswer, i int) *page.Form {
	name := fmt.Sprintf("%s, for %d", a.pattern.Name, a.request.Guests)
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
	a, faults := askStacks(x, f)
	if len(faults) > 0 {
		return faults
	}
	found, err := a.search()
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	i, err := strconv.Atoi(f.get("pick"))
	if err != nil || i < 0 || i >= len(found) || a.pattern == nil {
		return wrong("That stack is not among the proposals any more. Ask for them again.")
	}
	c := found[i].Cake
	if c.Name = f.get("name"); c.Name == "" {
		c.Name = a.pattern.Name
	}
	c.ID = cakeID(x, c.Name)
	undo, err := addObject(r, s, cakes, c)
	if err != nil {
		return err
	}
	return s.added(w, r, cakes.at(c.ID), cakes.path, c.Name+" is a cake of its own now. Look through what does not grow with it: boards, boxes, dowels.", undo)
}
