package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/recipe"
)

// askLines asks the person at the terminal about every line that is open, and
// puts what they say into the answers. What is left open stays so.
func askLines(env *Env, x *book.Index, d recipe.Draft, a recipe.Answers) error {
	in := bufio.NewReader(io.LimitReader(env.In, 1<<20))
	for _, l := range d.Lines {
		if len(l.Open) == 0 {
			continue
		}
		fmt.Fprintf(env.Err, "\n%d  %s\n", l.Number, env.bold(l.Text))
		for _, why := range l.Open {
			fmt.Fprintf(env.Err, "   %s\n", why)
		}
		for i, m := range l.Matches {
			fmt.Fprintf(env.Err, "   %d) %s, %s (%s %s)\n", i+1, m.Use, m.Name, m.Confidence, m.Confidence.Word())
		}
		if err := askLine(env, in, x, l, a); err != nil {
			return err
		}
	}
	return nil
}

// askLine asks until a line is answered.
func askLine(env *Env, in *bufio.Reader, x *book.Index, l recipe.DraftLine, a recipe.Answers) error {
	proposal := ""
	if l.Use != "" && l.Qty.Given() {
		proposal = fmt.Sprintf("Enter takes %s of %s; ", l.Qty, l.Use)
	}
	for {
		fmt.Fprintf(env.Err, "   %sa number of the list or an id, a quantity such as 250 g, - to leave it out: ", proposal)
		text, err := in.ReadString('\n')
		text = strings.TrimSpace(text)
		if err != nil && text == "" {
			return errors.New("nothing was stored: the answers ended before the lines did")
		}
		n := l.Number
		number, notNumber := strconv.Atoi(text)
		q, notQuantity := measure.Parse(spacedQuantity(text))
		settled := false
		switch {
		case text == "-":
			a.Skip[n], settled = true, true
		case text == "" && proposal != "":
			a.Accept[n], settled = true, true
		case notQuantity == nil:
			a.Qty[n] = q
			settled = a.Use[n] != "" || len(l.Matches) > 0 && l.Matches[0].Confidence >= recipe.Sure
			if !settled && len(l.Matches) > 0 {
				proposal = fmt.Sprintf("Enter takes %s of %s; ", q, l.Use)
			}
		case notNumber == nil && number >= 1 && number <= len(l.Matches):
			a.Use[n] = l.Matches[number-1].Use
		case usable(x, book.ID(text)) == nil:
			a.Use[n] = book.ID(text)
		default:
			fmt.Fprintf(env.Err, "   %.60q is none of these.\n", text)
			continue
		}
		if a.Use[n] != "" && !settled {
			_, said := a.Qty[n]
			if settled = said || l.Qty.Given() && len(l.Faults) == 0; settled {
				a.Accept[n] = true // the doubts were shown with the question
			} else {
				proposal = ""
			}
		}
		if settled {
			return nil
		}
	}
}
