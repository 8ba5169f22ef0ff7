package intake

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/charset"

	"marchpane/pricing/recipe"
)

// MaxRecipe bounds a file that holds a recipe. A saved page with all its
// scripts is seldom a tenth of it.
const MaxRecipe = 16 << 20

// Recipes reads what recipes a file holds: one of schema.org's Recipe as
// JSON-LD, a saved page with such in a script, or plain text, which is one
// recipe. What it is shows in its content.
func Recipes(data []byte) ([]recipe.Source, error) {
	if len(data) > MaxRecipe {
		return nil, fmt.Errorf("the file is larger than %d MB; this is no recipe as it stands", MaxRecipe>>20)
	}
	if bytes.HasPrefix(data, []byte("%PDF")) {
		return nil, errors.New("this is a PDF; copy the ingredients out of it and save them as text, or pipe them in with -")
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")) {
		return nil, errors.New("this is an office document or an archive; save the recipe as text")
	}
	start := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	switch {
	case len(start) == 0:
		return nil, errors.New("the file is empty; it should hold a recipe as text, JSON-LD or a saved page")
	case start[0] == '<':
		return fromPage(data)
	}
	text, err := decoded(data)
	if err != nil {
		return nil, err
	}
	start = bytes.TrimSpace([]byte(text))
	if len(start) > 0 && (start[0] == '{' || start[0] == '[' && !bytes.HasPrefix(start, []byte("[ ]")) && !bytes.HasPrefix(start, []byte("[x]"))) {
		found, err := fromJSON(start)
		if err != nil {
			return nil, fmt.Errorf("the file begins as JSON does and cannot be read as such: %w", err)
		}
		if len(found) == 0 {
			return nil, errors.New("the JSON holds no schema.org Recipe; its \"@type\" should say so")
		}
		return found, nil
	}
	if len(start) > 0 && start[0] == '<' || strings.Contains(text, "application/ld+json") {
		return fromPage([]byte(text))
	}
	if strings.ContainsRune(text, 0) {
		return nil, errors.New("the file is no text; save the recipe as text, JSON-LD or a web page")
	}
	s := recipe.FromText(text)
	if len(s.Lines) == 0 {
		return nil, errors.New("no line of ingredients was found in the text; write one ingredient a line, the amount first")
	}
	return []recipe.Source{s}, nil
}

// decoded returns a text in UTF-8.
func decoded(data []byte) (string, error) {
	if utf8.Valid(data) && bytes.IndexByte(data, 0) < 0 {
		return strings.TrimPrefix(string(data), "\ufeff"), nil
	}
	_, enc, err := encodingOf(bytes.NewReader(data), int64(len(data)), "")
	if err != nil {
		return "", err
	}
	out, err := io.ReadAll(io.LimitReader(enc.NewDecoder().Reader(bytes.NewReader(data)), 4*MaxRecipe))
	return strings.TrimPrefix(string(out), "\ufeff"), err
}

// mostScripts bounds how many scripts of a page are read for recipes.
const mostScripts = 200

// fromPage reads the JSON-LD scripts of a saved page. Nothing of the page is
// run or fetched, and no tree of it is built.
func fromPage(data []byte) ([]recipe.Source, error) {
	var in io.Reader = bytes.NewReader(data)
	if !utf8.Valid(data) {
		enc, _, _ := charset.DetermineEncoding(data[:min(len(data), 1024)], "")
		in = enc.NewDecoder().Reader(in)
	}
	z := html.NewTokenizer(in)
	z.SetMaxBuf(MaxRecipe)
	language := ""
	var found []recipe.Source
	var faults []string
	scripts := 0
	for {
		switch z.Next() {
		case html.ErrorToken:
			if err := z.Err(); !errors.Is(err, io.EOF) {
				return nil, fmt.Errorf("the page could not be read: %w", err)
			}
			return pageResult(found, faults, scripts, language)
		case html.StartTagToken:
			name, more := z.TagName()
			tag := string(name)
			if tag != "script" && tag != "html" {
				continue
			}
			linked := false
			for more {
				var key, value []byte
				key, value, more = z.TagAttr()
				switch {
				case tag == "html" && string(key) == "lang":
					language = string(value[:min(len(value), 35)])
				case tag == "script" && string(key) == "type":
					kind, _, _ := strings.Cut(strings.ToLower(string(value)), ";")
					linked = strings.TrimSpace(kind) == "application/ld+json"
				}
			}
			if !linked || scripts >= mostScripts || z.Next() != html.TextToken {
				continue
			}
			scripts++
			list, err := fromJSON(script(z.Raw()))
			if err != nil {
				faults = append(faults, fmt.Sprintf("script %d of the page holds JSON-LD that could not be read: %v", scripts, err))
				continue
			}
			found = append(found, list...)
		}
	}
}

func pageResult(found []recipe.Source, faults []string, scripts int, language string) ([]recipe.Source, error) {
	const instead = "copy the ingredients from the page and save them as text, or pipe them in with -"
	if len(found) == 0 {
		switch {
		case len(faults) > 0:
			return nil, errors.New(faults[0] + "; " + instead)
		case scripts > 0:
			return nil, errors.New("the page has JSON-LD, but no schema.org Recipe in it; " + instead)
		}
		return nil, errors.New("the page holds no schema.org Recipe as JSON-LD; " + instead)
	}
	var list []recipe.Source
	for _, s := range found {
		if s.Language == "" {
			s.Language = language
		}
		s.Faults = append(s.Faults, faults...)
		if !hasRecipe(list, s) {
			list = append(list, s)
		}
	}
	return list, nil
}

// hasRecipe reports whether a page holds a recipe twice.
func hasRecipe(list []recipe.Source, s recipe.Source) bool {
	for _, other := range list {
		if other.Name == s.Name && strings.Join(other.Lines, "\n") == strings.Join(s.Lines, "\n") {
			return true
		}
	}
	return false
}

// script cuts the comment or CDATA marks that pages put round a script.
func script(raw []byte) []byte {
	text := strings.TrimSpace(string(raw))
	for _, start := range []string{"<!--", "//<![CDATA[", "/*<![CDATA[*/", "<![CDATA[", "// <![CDATA["} {
		text = strings.TrimSpace(strings.TrimPrefix(text, start))
	}
	for _, end := range []string{"-->", "//]]>", "/*]]>*/", "]]>", "// ]]>"} {
		text = strings.TrimSpace(strings.TrimSuffix(text, end))
	}
	return []byte(strings.TrimSuffix(text, ";"))
}
