package intake

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"marchpane/pricing/pricelist"
)

// sampleBytes is how much of a text is looked at to find out its separator.
const sampleBytes = 64 << 10

func readText(r io.ReaderAt, size int64, o Options) (List, error) {
	name, enc, err := encodingOf(r, size, o.Encoding)
	if err != nil {
		return List{}, err
	}
	decoded := func() io.Reader { return enc.NewDecoder().Reader(io.NewSectionReader(r, 0, size)) }
	list := List{Encoding: name, Separator: o.Separator}
	if list.Separator == 0 {
		sample, err := io.ReadAll(io.LimitReader(decoded(), sampleBytes))
		if err != nil {
			return List{}, err
		}
		list.Separator = separatorOf(strings.TrimPrefix(string(sample), "\ufeff"), o)
	}
	var k keeper
	f := fields{in: bufio.NewReader(decoded()), separator: list.Separator, line: 1}
	for {
		number, record, err := f.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil && !(number == 1 && isSeparatorLine(record)) {
			err = k.keep(number, record)
		}
		if err != nil {
			return List{}, err
		}
	}
	list.Rows = k.rows
	return list, nil
}

// encodingOf finds out how a text is encoded, by the whole of it: a list in
// English may show its first accent on the last page.
func encodingOf(r io.ReaderAt, size int64, name string) (string, encoding.Encoding, error) {
	if name != "" {
		enc, err := htmlindex.Get(name)
		if err != nil {
			return "", nil, fmt.Errorf("encoding %.40q is unknown; use a name such as utf-8, windows-1252 or windows-1250", name)
		}
		return name, enc, nil
	}
	in := bufio.NewReaderSize(io.NewSectionReader(r, 0, size), 64<<10)
	start, err := in.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		return "", nil, err
	}
	if name, enc := utf16(start); enc != nil {
		return name, enc, nil
	}
	proper, broken, line, firstBroken := 0, 0, 1, 0
	for {
		c, n, err := in.ReadRune()
		if errors.Is(err, io.EOF) {
			break
		}
		switch {
		case err != nil:
			return "", nil, err
		case c == utf8.RuneError && n == 1:
			if broken++; broken == 1 {
				firstBroken = line
			}
		case c >= utf8.RuneSelf && c != '\ufeff':
			proper++
		case c == '\n':
			line++
		}
	}
	switch {
	case broken == 0:
		return "utf-8", unicode.UTF8BOM, nil
	case proper >= broken: // a Windows text seldom looks like UTF-8 by chance
		return "", nil, fmt.Errorf("the file mixes UTF-8 with another encoding (line %d); save it as UTF-8, or say which encoding it is", firstBroken)
	}
	return "windows-1252", charmap.Windows1252, nil
}

// utf16 tells UTF-16 by its mark, or by every other byte being 0.
func utf16(start []byte) (string, encoding.Encoding) {
	zeros := [2]int{}
	for i, b := range start {
		if b == 0 {
			zeros[i%2]++
		}
	}
	many := len(start) / 4
	little := strings.HasPrefix(string(start), "\xff\xfe") || zeros[1] > many && zeros[0] == 0
	big := strings.HasPrefix(string(start), "\xfe\xff") || zeros[0] > many && zeros[1] == 0
	switch {
	case little:
		return "utf-16le", unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case big:
		return "utf-16be", unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	}
	return "", nil
}

// separatorOf finds what parts the fields: that which shows a heading, else
// that which gives most rows the same number of fields.
func separatorOf(sample string, o Options) rune {
	if first, _, _ := strings.Cut(sample, "\n"); isSeparatorLine([]pricelist.Cell{{Text: strings.Trim(first, "\r\"")}}) {
		r, _ := utf8.DecodeRuneInString(strings.Trim(first, "\r\"")[len("sep="):])
		return r
	}
	best, bestWorth := ',', [3]int{}
	for _, separator := range []rune{'\t', ';', '|', ','} {
		var rows []pricelist.Row
		counts := map[int]int{}
		f := fields{in: bufio.NewReader(strings.NewReader(sample)), separator: separator, line: 1}
		for len(rows) < 500 {
			number, record, err := f.next()
			if err != nil {
				break // the sample may end in the middle
			}
			rows = append(rows, pricelist.Row{Number: number, Cells: append([]pricelist.Cell{}, record...)})
			if len(record) > 1 {
				counts[len(record)]++
			}
		}
		worth := [3]int{}
		if l, err := pricelist.FindLayout(rows, o.Mapping, o.RecoversTax); err == nil && l.Head >= 0 {
			worth[0] = l.Worth()
		}
		for columns, n := range counts {
			if n > worth[1] || n == worth[1] && columns > worth[2] {
				worth[1], worth[2] = n, columns
			}
		}
		if more(worth, bestWorth) {
			best, bestWorth = separator, worth
		}
	}
	return best
}

func more(a, b [3]int) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] > b[i]
		}
	}
	return false
}

// isSeparatorLine reports whether a first line only names the separator, as
// spreadsheets write it: "sep=;".
func isSeparatorLine(record []pricelist.Cell) bool {
	text := ""
	for _, c := range record {
		text += c.Text
	}
	rest, ok := strings.CutPrefix(strings.ToLower(text), "sep=")
	return ok && utf8.RuneCountInString(rest) <= 1 && len(record) <= 2 && (rest != "" || len(record) == 2)
}

// fields reads records of a text.
type fields struct {
	in        *bufio.Reader
	separator rune
	line      int
	size      int // bytes of this record so far
	record    []pricelist.Cell
	field     strings.Builder
}

// next returns the line that the next record begins on, from 1, and its
// fields, which hold until the next call. A quote opens a field only at its
// start, and closes it only before a separator or line end: what comes between
// is text, as in 12" drum.
func (f *fields) next() (int, []pricelist.Cell, error) {
	f.record, f.size = f.record[:0], 0
	begun := f.line
	for {
		more, err := f.value(begun)
		if err != nil {
			return begun, nil, err
		}
		if !more {
			return begun, f.record, nil
		}
	}
}

// value reads one field; more says whether another follows on the record.
func (f *fields) value(begun int) (more bool, err error) {
	f.field.Reset()
	quoted, opened := false, false
	for first := true; ; first = false {
		r, err := f.rune(begun)
		if errors.Is(err, io.EOF) {
			switch {
			case quoted:
				return false, fmt.Errorf("line %d: a quoted field is never closed; add the closing quote", begun)
			case first && len(f.record) == 0:
				return false, io.EOF
			}
			return false, f.end(begun)
		}
		if err != nil {
			return false, err
		}
		switch {
		case quoted && r == '"':
			switch {
			case f.peek() == '"':
				f.field.WriteByte('"')
				if _, err := f.rune(begun); err != nil {
					return false, err
				}
			case f.closes():
				quoted = false
			default:
				f.field.WriteByte('"')
			}
		case quoted:
			f.field.WriteRune(r)
		case r == '"' && !opened && strings.TrimSpace(f.field.String()) == "" && f.field.Len() < 8:
			f.field.Reset()
			quoted, opened = true, true
		case r == f.separator:
			return true, f.end(begun)
		case r == '\n':
			return false, f.end(begun)
		default:
			f.field.WriteRune(r)
		}
	}
}

func (f *fields) end(begun int) error {
	if len(f.record) >= 16_384 {
		return fmt.Errorf("line %d has more than 16384 fields; this is no price list", begun)
	}
	f.record = append(f.record, pricelist.Cell{Text: strings.TrimSpace(f.field.String())})
	return nil
}

// rune reads a character; every line end becomes a line feed.
func (f *fields) rune(begun int) (rune, error) {
	r, n, err := f.in.ReadRune()
	if err != nil {
		if errors.Is(err, io.EOF) {
			return 0, io.EOF
		}
		return 0, fmt.Errorf("line %d: %w", f.line, err)
	}
	if f.size += n; f.size > MaxRecord {
		return 0, fmt.Errorf("line %d is longer than %d kB, or a quote in it is never closed; this is no price list as it stands", begun, MaxRecord>>10)
	}
	switch {
	case r == '\r':
		if f.peek() == '\n' {
			_, _, _ = f.in.ReadRune()
		}
		f.line++
		return '\n', nil
	case r == '\n':
		f.line++
	case r == 0x1a && f.peek() == utf8.RuneError: // old systems end a text so
		return 0, io.EOF
	case r < ' ' && r != '\t' && r != '\v' && r != '\f' || r >= 0x7f && r < 0xa0:
		return 0, fmt.Errorf("line %d holds the control character %U; the file is no text, or in an encoding that was not recognised", f.line, r)
	case r == '\ufeff' && f.line == 1 && f.size == n:
		return f.rune(begun)
	}
	return r, nil
}

// closes reports whether a field ends here, but for spaces.
func (f *fields) closes() bool {
	for n := 1; n <= 16; n++ {
		ahead, err := f.in.Peek(n)
		if err != nil {
			return strings.Trim(string(ahead), " ") == ""
		}
		switch b := ahead[n-1]; {
		case b == '\n' || b == '\r':
			return true
		case b != ' ':
			rest, _ := f.in.Peek(n + utf8.UTFMax - 1)
			r, _ := utf8.DecodeRune(rest[n-1:])
			return r == f.separator
		}
	}
	return false
}

// peek returns the character that comes next, utf8.RuneError at the end.
func (f *fields) peek() rune {
	r, _, err := f.in.ReadRune()
	if err != nil {
		return utf8.RuneError
	}
	_ = f.in.UnreadRune()
	return r
}
