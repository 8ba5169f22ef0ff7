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

// node is a JSON value as it stands in the file.
type node struct {
	members []member // of an object
	items   []node   // of an array
	value   any      // string, json.Number, bool or nil
	kind    string   // "object", "list", "text", "number", "true or false", "null"
}

type member struct {
	key   string
	value node
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
	n, err := p.value("", 0)
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

func (p *parser) value(path string, depth int) (node, error) {
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
	switch t := token.(type) {
	case json.Delim:
		if t == '{' {
			return p.object(path, depth)
		}
		return p.list(path, depth)
	case string:
		return node{value: t, kind: "text"}, nil
	case json.Number:
		return node{value: t, kind: "number"}, nil
	case bool:
		return node{value: t, kind: "true or false"}, nil
	}
	return node{kind: "null"}, nil
}

func (p *parser) object(path string, depth int) (node, error) {
	n := node{kind: "object"}
	seen := map[string]bool{}
	for p.dec.More() {
		token, err := p.dec.Token()
		if err != nil {
			return n, err
		}
		key, ok := token.(string)
		if !ok {
			return n, errors.New("a key must be text")
		}
		v, err := p.value(Join(path, key), depth+1)
		if err != nil {
			return n, err
		}
		if seen[key] {
			p.faults.Add(Join(path, key), "the key stands twice; keep one")
			continue
		}
		seen[key] = true
		n.members = append(n.members, member{key, v})
	}
	_, err := p.dec.Token()
	return n, err
}

func (p *parser) list(path string, depth int) (node, error) {
	n := node{kind: "list"}
	for p.dec.More() {
		v, err := p.value(Item(path, len(n.items)), depth+1)
		if err != nil {
			return n, err
		}
		n.items = append(n.items, v)
	}
	_, err := p.dec.Token()
	return n, err
}
