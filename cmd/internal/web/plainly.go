package web

import (
	"regexp"
	"strings"
)

// Refusals of the store, of pricing and of the command line name the remedy as
// somebody at a terminal does it. pageWords are the same remedies as these
// pages have them. A test goes through the refusals for any that is not here.
var pageWords = []struct {
	typed *regexp.Regexp
	here  string
}{
	{regexp.MustCompile(`, or (\S+) it with --on a day up to then`), ", or $1 it as of a day up to then"},
	{regexp.MustCompile(`; an enquiry is called E1 or the like,? see: marchpane enquiry list`), "; look through your enquiries, where each says what it is called, such as E1"},
	{regexp.MustCompile(`; a client is called C1 or the like,? and found by: marchpane client list WORDS`), "; look through your clients, where each says what they are called, such as C1"},
	{regexp.MustCompile(`; see: marchpane client show \S+`), "; their page shows it"},
	{regexp.MustCompile(`; see: marchpane payment list \S+`), "; the order's page lists what there is"},
	{regexp.MustCompile(`, or erase all the same with --open-orders-too`), ", or tick that they are erased all the same"},
	{regexp.MustCompile(`; stop it first, or name somebody else with --who`), "; stop it first, or name somebody else"},
	{regexp.MustCompile(`; say when the work ended with --at, or how long it took with --minutes`), "; say when the work ended, or how long it took"},
	{regexp.MustCompile(`; take that back with: actual undo, or enter what came on top with --more`), "; take that back in the journal, or say that this comes on top"},
	{regexp.MustCompile(`; take a slip back with: marchpane actual undo`), "; take a slip back in the journal"},
	{regexp.MustCompile(`, or set it with: marchpane studio look --logo FILE`), ", or choose its file under Studio, Logo, colour, paper"},
	{regexp.MustCompile(`; say where the letter goes with --to, or revise the quote with the address in its request`), "; write above where the letter goes, or revise the quote with the address in it"},
	{regexp.MustCompile(`; add studio\.email to the book`), "; add it under Studio, Name, address, languages"},
	{regexp.MustCompile(`; send --kind reminder or --kind receipt, or the paper by itself: marchpane quote pdf \S+`), "; write a reminder or send a receipt, or save the paper by itself"},
	{regexp.MustCompile(`; send it as --kind quote`), "; send the quote instead"},
	{regexp.MustCompile(`a whole number without quotes(, not text)?`), "a whole number, such as 14"},
	{regexp.MustCompile(`; say tax in or out`), `; say it below, under "Its prices"`},
	{regexp.MustCompile(`[0-9.,]+ (?:each|g|ml) of (.*) has no mass(?: of one piece)?; add each(?:, the mass of one piece)?(?:, or give the recipe a yield)?`), "what one piece of $1 weighs is not known; say it under “One piece weighs”"},
	{regexp.MustCompile(`[0-9.,]+ (?:g|ml) of (.*) has no density; add one in g/ml(, or the mould that a batch fills)`), "what a millilitre of $1 weighs is not known; say it under “Finished, it weighs”$2"},
	{regexp.MustCompile(`[0-9.,]+ (?:g|ml) of (.*) has no density; add one in g/ml`), "what a millilitre of $1 weighs is not known; say it under “Weighs”, such as 0.53 g/ml"},
	{regexp.MustCompile(` has no density; add one in g/ml`), " has no density; say what a millilitre of it weighs, such as 0.53 g"},
	{regexp.MustCompile(`add each(, the mass of one piece)?`), "say what one piece weighs"},
	{regexp.MustCompile(`--kind (\S+) is unknown; use .*`), "there is no letter called $1; choose one of the list"},
}

// commandLine is what is typed at a terminal, or into a file, alone.
var commandLine = regexp.MustCompile(`marchpane [a-z]|(^|[ (:])--[a-z]|actual undo|: payment refund|studio\.email|without quotes|say tax in or out|add each|has no density; add one in g/ml`)

// plainly puts what a refusal asks to be typed into what these pages ask for.
func plainly(text string) string {
	if !commandLine.MatchString(text) {
		return text
	}
	for _, w := range pageWords {
		text = w.typed.ReplaceAllString(text, w.here)
	}
	return strings.ReplaceAll(text, ": payment refund", ", on the account below")
}
