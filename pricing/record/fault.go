package record

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with a file.
type Fault struct {
	Path    string // of the value, such as components[2].lines[0].qty; "" for the file as a whole
	Problem string // what is wrong and what to do about it
}

// String returns the fault on one line.
func (f Fault) String() string {
	if f.Path == "" {
		return f.Problem
	}
	return f.Path + ": " + f.Problem
}

// Faults is all that is wrong with a file, in the order of the file.
type Faults []Fault

// Error lists the faults, one a line.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// mostFaults bounds a report; a file with more is not a book.
const mostFaults = 10_000

// Add appends a fault at path.
func (fs *Faults) Add(path, format string, args ...any) {
	switch {
	case len(*fs) < mostFaults:
		*fs = append(*fs, Fault{path, fmt.Sprintf(format, args...)})
	case len(*fs) == mostFaults:
		*fs = append(*fs, Fault{"", "there are more faults; mend these first"})
	}
}

// Err returns fs as an error, or nil where nothing is wrong.
func (fs Faults) Err() error {
	if len(fs) == 0 {
		return nil
	}
	return fs
}

// Join adds a key to a path. A key that is no plain word is quoted.
func Join(path, key string) string {
	plain := func(r rune) bool {
		return r == '_' || r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
	}
	if len(key) > 60 || key == "" || strings.TrimLeftFunc(key, plain) != "" {
		key = fmt.Sprintf("%.60q", key)
	}
	if path == "" {
		return key
	}
	return path + "." + key
}

// Related reports whether one path is the other, or leads to it.
func Related(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	return strings.HasPrefix(b, a) && (len(a) == len(b) || b[len(a)] == '.' || b[len(a)] == '[')
}

// Item returns the path of element i of the list at path.
func Item(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }
