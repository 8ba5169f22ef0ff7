package letter

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"text/template/parse"
)

// checkWords reads a wording and refuses all but facts, if, else, range, and,
// or, not. What it lets pass cannot fail for want of a fact, and ends.
func checkWords(wording string) error {
	if len(wording) > longestWording {
		return fmt.Errorf("the wording has %d characters; %d is the most", len(wording), longestWording)
	}
	if strings.ToValidUTF8(wording, "") != wording {
		return errors.New("the wording is not UTF-8 text; save it as UTF-8")
	}
	text := unified(wording)
	known := map[string]any{"and": true, "or": true, "not": true}
	trees, err := parse.Parse("letter", text, "", "", known)
	if err != nil {
		return unreadable(err)
	}
	c := checker{text: text, facts: reflect.TypeFor[Facts]()}
	for name, tree := range trees {
		if name != "letter" {
			c.fault(tree.Root.Position(), "define is not used here; write the text where it belongs")
		}
	}
	if tree := trees["letter"]; tree != nil {
		c.list(tree.Root, c.facts)
	}
	slices.SortStableFunc(c.faults, func(a, b fault) int { return a.line - b.line })
	var all []error
	for _, f := range c.faults {
		all = append(all, f)
	}
	return errors.Join(all...)
}

// A fault is something wrong on a line of a wording.
type fault struct {
	line int
	says string
}

func (f fault) Error() string { return fmt.Sprintf("line %d: %s", f.line, f.says) }

var (
	parserSays  = regexp.MustCompile(`^template: letter:(\d+): (.*)$`)
	noFunction  = regexp.MustCompile(`^function "(.*)" not defined$`)
	afterMarked = regexp.MustCompile(`unexpected "?(.+?)"? in (operand|command|end|else|define clause|if|range)`)
)

// unreadable puts the parser's complaint into words that name a remedy.
func unreadable(err error) error {
	m := parserSays.FindStringSubmatch(err.Error())
	if m == nil {
		return fmt.Errorf("the wording cannot be read: %w", err)
	}
	says := m[2]
	switch f := noFunction.FindStringSubmatch(says); {
	case f != nil:
		if fact, found := reflect.TypeFor[Facts]().FieldByName(f[1]); found {
			says = fmt.Sprintf("write a point before %s: {{.%s}}", fact.Name, fact.Name)
		} else {
			says = fmt.Sprintf("there is no word %s; in braces stand facts with a point before them, if, else, end, range, and, or, not", f[1])
		}
	case strings.Contains(says, "unexpected EOF"):
		says = "an if or range has no {{end}} below it"
	case strings.Contains(says, "unexpected {{end}}"):
		says = "this {{end}} has no if or range above it"
	case strings.Contains(says, "unexpected {{else}}"), strings.Contains(says, "unexpected {{else"):
		says = "this {{else}} has no if or range above it"
	case strings.Contains(says, "unclosed action"):
		says = "braces opened with {{ are not closed with }}"
	case strings.Contains(says, "missing value"):
		says = "if and range need a fact after them, as in {{if .Deposit}}"
	default:
		if u := afterMarked.FindStringSubmatch(says); u != nil {
			says = fmt.Sprintf("%s does not belong between the braces", u[1])
		}
		says += "; write facts as {{.Total}}"
	}
	return fmt.Errorf("line %s: %s", m[1], says)
}

type checker struct {
	text   string
	facts  reflect.Type
	faults []fault
}

func (c *checker) fault(at parse.Pos, says string, args ...any) {
	line := 1 + strings.Count(c.text[:min(int(at), len(c.text))], "\n")
	c.faults = append(c.faults, fault{line, fmt.Sprintf(says, args...)})
}

// list checks nodes in which the point stands for a value of type dot.
func (c *checker) list(l *parse.ListNode, dot reflect.Type) {
	if l == nil {
		return
	}
	for _, n := range l.Nodes {
		switch n := n.(type) {
		case *parse.TextNode, *parse.CommentNode:
		case *parse.ActionNode:
			c.shown(n.Pipe, dot)
		case *parse.IfNode:
			c.condition(n.Pipe, dot)
			c.list(n.List, dot)
			c.list(n.ElseList, dot)
		case *parse.RangeNode:
			c.list(n.List, c.ranged(n, dot))
			c.list(n.ElseList, dot)
		case *parse.WithNode:
			c.fault(n.Position(), "with is not used here; write {{if .Venue}} … {{.Venue}} … {{end}}")
		case *parse.TemplateNode:
			c.fault(n.Position(), "template and block are not used here; write the text where it belongs")
		default:
			c.fault(n.Position(), "%s is not used here; there are facts, if, else, end, range, and, or, not", n)
		}
	}
}

// shown checks braces that put a fact into the text.
func (c *checker) shown(p *parse.PipeNode, dot reflect.Type) {
	operand := c.single(p)
	if operand == nil {
		return
	}
	t := c.operand(operand, dot)
	switch {
	case t == nil:
	case t.Kind() == reflect.Slice:
		c.fault(p.Position(), "%s is a list; go through it with {{range %s}} … {{end}}", operand, operand)
	case t.Kind() == reflect.Bool:
		c.fault(p.Position(), "%s is yes or no; ask it with {{if %s}} … {{end}}", operand, operand)
	case t == c.facts:
		c.fault(p.Position(), "the point alone stands for nothing here; %s", thereAre(t))
	case t.Kind() == reflect.Struct:
		c.fault(p.Position(), "the point alone is a whole design here; %s", thereAre(t))
	}
}

// condition checks what follows an if.
func (c *checker) condition(p *parse.PipeNode, dot reflect.Type) {
	if len(p.Decl) > 0 || len(p.Cmds) != 1 {
		c.single(p)
		return
	}
	args := p.Cmds[0].Args
	if word, ok := args[0].(*parse.IdentifierNode); ok {
		switch {
		case word.Ident == "not" && len(args) != 2:
			c.fault(p.Position(), "not takes one fact: {{if not .Deposit}}")
		case len(args) < 2:
			c.fault(p.Position(), "%s takes facts: {{if %s .Deposit .DepositDue}}", word.Ident, word.Ident)
		}
		args = args[1:]
	} else if len(args) > 1 {
		c.fault(p.Position(), "%s has more than one fact; join them with and, or: {{if and .Deposit .DepositDue}}", p)
	}
	for _, arg := range args {
		if nested, ok := arg.(*parse.PipeNode); ok {
			c.condition(nested, dot)
			continue
		}
		c.operand(arg, dot)
	}
}

// ranged checks what follows a range, and returns what the point is within.
func (c *checker) ranged(n *parse.RangeNode, dot reflect.Type) reflect.Type {
	unknown := reflect.Type(nil)
	operand := c.single(n.Pipe)
	if operand == nil {
		return unknown
	}
	t := c.operand(operand, dot)
	if t == nil {
		return unknown
	}
	if t.Kind() != reflect.Slice {
		c.fault(n.Position(), "%s is no list to go through; there are %s", operand, strings.Join(lists(), ", "))
		return unknown
	}
	if dot != c.facts {
		// No list is within another; going round in rounds only takes time.
		c.fault(n.Position(), "a range within a range; close the first with {{end}} before")
	}
	return t.Elem()
}

// single returns the one operand of a pipe, or nil after a complaint.
func (c *checker) single(p *parse.PipeNode) parse.Node {
	switch {
	case len(p.Decl) > 0:
		c.fault(p.Position(), "names with $ are not made here; use the facts themselves")
	case len(p.Cmds) != 1:
		c.fault(p.Position(), "| is not used here; facts come ready to show")
	case len(p.Cmds[0].Args) != 1:
		c.fault(p.Position(), "{{%s}} has more than one fact; give each its own braces", p)
	default:
		return p.Cmds[0].Args[0]
	}
	return nil
}

// operand returns the type of a fact, or nil after a complaint or where the
// point is not known.
func (c *checker) operand(n parse.Node, dot reflect.Type) reflect.Type {
	path := []string(nil)
	switch n := n.(type) {
	case *parse.DotNode:
		return dot
	case *parse.FieldNode:
		path = n.Ident
	case *parse.VariableNode:
		if n.Ident[0] != "$" {
			c.fault(n.Position(), "there is no %s; use the facts themselves", n.Ident[0])
			return nil
		}
		dot, path = c.facts, n.Ident[1:]
	default:
		c.fault(n.Position(), "%s is no fact; facts have a point before them, as .Total", n)
		return nil
	}
	for _, name := range path {
		if dot == nil {
			return nil
		}
		if dot.Kind() != reflect.Struct {
			c.fault(n.Position(), "there is no field .%s here; write {{.}}, or $.%s for the fact of the whole letter", name, name)
			return nil
		}
		field, found := dot.FieldByName(name)
		if !found {
			c.fault(n.Position(), "there is no field .%s; %s", name, thereAre(dot))
			return nil
		}
		dot = field.Type
	}
	return dot
}

func thereAre(t reflect.Type) string {
	var names []string
	for i := range t.NumField() {
		names = append(names, "."+t.Field(i).Name)
	}
	return "there are " + strings.Join(names, ", ")
}

func lists() []string {
	var names []string
	for _, w := range Words() {
		if w.List {
			names = append(names, "."+w.Name)
		}
	}
	return names
}
