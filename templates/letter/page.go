package letter

import (
	_ "embed"
	"fmt"
	"html/template"
	"net/url"
	"regexp"
	"strings"
)

//go:embed page.tmpl
var pageText string

var pageTemplate = template.Must(template.New("page").Parse(pageText))

// page returns the HTML of a body, with the accent colour as its rules. Text
// keeps its own dark colour: a pale accent would not be read.
func page(tag, subject, body, accent string) (string, error) {
	if accent == "" {
		accent = "#222222"
	}
	if !colour.MatchString(accent) {
		return "", fmt.Errorf("the accent colour %.20q is not written as #7a3b4e", accent)
	}
	var b strings.Builder
	err := pageTemplate.Execute(&b, struct {
		Language, Subject string
		Accent            template.CSS // checked above
		Blocks            []block
	}{tag, subject, template.CSS(accent), blocks(body)})
	return b.String(), err
}

var colour = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

// A block is a paragraph, a list or the signature.
type block struct {
	Points, Signature bool
	Lines             [][]span
}

// A span is text, or a link with the text that shows it.
type span struct{ Text, Link string }

// blocks reads a body, as [Fill] makes it, into blocks.
func blocks(body string) []block {
	var all []block
	var open *block
	signature := false
	for line := range strings.Lines(body) {
		line = strings.TrimSuffix(line, "\n")
		point, isPoint := strings.CutPrefix(line, "- ")
		switch {
		case line == "-- ":
			signature, open = true, nil
			continue
		case line == "":
			open = nil
			continue
		case isPoint:
			line = point
		}
		if open == nil || open.Points != isPoint {
			all = append(all, block{Points: isPoint, Signature: signature})
			open = &all[len(all)-1]
		}
		open.Lines = append(open.Lines, spans(line))
	}
	return all
}

// address finds web addresses; a full stop or bracket at the end belongs to
// the sentence.
var address = regexp.MustCompile(`https?://[^\s<>"]*[^\s<>"'.,;:!?)\]}»”]`)

func spans(line string) []span {
	var all []span
	at := 0
	for _, m := range address.FindAllStringIndex(line, -1) {
		link := line[m[0]:m[1]]
		if u, err := url.Parse(link); err != nil || u.Host == "" {
			continue
		}
		if at < m[0] {
			all = append(all, span{Text: line[at:m[0]]})
		}
		all = append(all, span{link, link})
		at = m[1]
	}
	if at < len(line) {
		all = append(all, span{Text: line[at:]})
	}
	return all
}
