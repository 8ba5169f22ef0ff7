package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Bounds of a file. A book of a thousand cakes is a few megabytes and nests
// six deep.
const (
	MaxBytes = 64 << 20
	maxDepth = 32
	maxNodes = 5_000_000 // some hundred MB of memory
)

// node is a JSON value as it stands in the file: a string, json.Number, bool or
// nil; or []member of an object, or []node of a list. It is small, since a hostile
// file has millions.
type node struct{ value any }

type member struct {
	key   string
	value node
}

// kind is what a value is, in the words of a fault.
func (n node) kind() string {
	switch n.value.(type) {
	case []member:
		return "object"
	case []node:
		return "list"
	case string:
		return "text"
	case json.Number:
		return "number"
	case bool:
		return "true or false"
	}
	return "null"
}

// parse reads the whole of data as one JSON value. A syntax error ends it,
// since what follows cannot be trusted; it comes with its line and column.
func parse(data []byte, faults *Faults) (node, bool) {
	if len(data) > MaxBytes {
		faults.Add("", "the file is larger than %d MB; split it", MaxBytes>>20)
		return node{}, false
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		faults.Add("", "the file is not UTF-8 text; save it as UTF-8")
		return node{}, false
	}
	p := parser{dec: json.NewDecoder(bytes.NewReader(data)), faults: faults}
	p.dec.UseNumber()
	n, err := p.value(nil, 0)
	if err == nil {
		if _, more := p.dec.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("something follows the end of the JSON value; one file holds one")
		}
	}
	if err != nil {
		line, column := position(data, p.dec.InputOffset())
		faults.Add("", "line %d, column %d: %s", line, column, syntaxProblem(err))
		return node{}, false
	}
	return n, true
}

func syntaxProblem(err error) string {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "the file ends in the middle; it seems cut off"
	}
	return "not JSON: " + strings.TrimPrefix(err.Error(), "json: ")
}

func position(data []byte, offset int64) (line, column int) {
	before := data[:min(offset, int64(len(data)))]
	line = 1 + bytes.Count(before, []byte("\n"))
	column = 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
	return line, column
}

type parser struct {
	dec    *json.Decoder
	faults *Faults
	nodes  int
}

// place is where a value stands: its key or its number in what holds it. Only a
// fault asks for the path, which would be millions of texts otherwise.
type place struct {
	in     *place
	key    string
	number int
	listed bool
}

func (p *place) path() string {
	switch {
	case p == nil:
		return ""
	case p.listed:
		return Item(p.in.path(), p.number)
	}
	return Join(p.in.path(), p.key)
}

func (p *parser) value(at *place, depth int) (node, error) {
	if depth > maxDepth {
		return node{}, fmt.Errorf("nested more than %d deep", maxDepth)
	}
	if p.nodes++; p.nodes > maxNodes {
		return node{}, fmt.Errorf("more than %d values; split the file", maxNodes)
	}
	token, err := p.dec.Token()
	if err != nil {
		return node{}, err
	}
	if t, ok := token.(json.Delim); ok {
		if t == '{' {
			return p.object(at, depth)
		}
		return p.list(at, depth)
	}
	return node{token}, nil
}

func (p *parser) object(at *place, depth int) (node, error) {
	var members []member
	var seen map[string]bool
	here := place{in: at}
	for p.dec.More() {
		token, err := p.dec.Token()
		if err != nil {
			return node{}, err
		}
		key, ok := token.(string)
		if !ok {
			return node{}, errors.New("a key must be text")
		}
		here.key = key
		v, err := p.value(&here, depth+1)
		if err != nil {
			return node{}, err
		}
		if seen[key] {
			p.faults.Add(here.path(), "the key stands twice; keep one")
			continue
		}
		if seen == nil {
			seen = map[string]bool{}
		}
		seen[key] = true
		members = append(members, member{key, v})
	}
	_, err := p.dec.Token()
	return node{members}, err
}

func (p *parser) list(at *place, depth int) (node, error) {
	var items []node
	here := place{in: at, listed: true}
	for n := 0; p.dec.More(); n++ {
		here.number = n
		v, err := p.value(&here, depth+1)
		if err != nil {
			return node{}, err
		}
		switch {
		case n < maxItems:
			items = append(items, v)
		case n == maxItems:
			p.faults.Add(at.path(), "has more than %d entries; split the file", maxItems)
			items = nil
		}
	}
	_, err := p.dec.Token()
	return node{items}, err
}
