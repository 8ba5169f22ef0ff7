package web

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

// TestNoCommandLineInPages goes through every text of the packages whose
// refusals pages show, in their source: none reaches a page as it would be typed
// at a terminal.
func TestNoCommandLineInPages(t *testing.T) {
	const root = "../../.."
	// What only the commands themselves say, never a page.
	own := map[string]string{
		"--now sends the letter and -o writes it to a file; choose one": "send.go",
	}
	seen := 0
	for _, folder := range []string{"store", "pricing", "cmd/internal/post", "cmd/internal/intake", "templates", "cmd/internal/cli/send.go"} {
		err := filepath.WalkDir(filepath.Join(root, folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			file, err := parser.ParseFile(gotoken.NewFileSet(), path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if f, ok := n.(*ast.FuncDecl); ok && strings.HasPrefix(f.Name.Name, "mail") {
					return false // the command that names the mail server
				}
				call, ok := n.(*ast.CallExpr)
				if !ok || !refuses(call) {
					return true
				}
				for _, arg := range call.Args {
					lit, ok := arg.(*ast.BasicLit)
					if !ok || lit.Kind != gotoken.STRING {
						continue
					}
					text, err := strconv.Unquote(lit.Value)
					if err != nil || !commandLine.MatchString(text) || own[text] != "" {
						continue
					}
					seen++
					if now := plainly(text); commandLine.MatchString(now) {
						t.Errorf("%s: a page would say %q", path, now)
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 10 {
		t.Errorf("only %d refusals speak as a command line does; the search is amiss", seen)
	}
}

// refuses reports whether a call makes an error or a fault.
func refuses(call *ast.CallExpr) bool {
	name := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	switch name {
	case "Errorf", "New", "refused", "Add", "add", "fault", "refuse":
		return true
	}
	return false
}

// Whatever somebody wrote stays as it is.
func TestPlainlyLeavesNamesAlone(t *testing.T) {
	for _, text := range []string{"salt--butter is not in the book", "no client is called --", "Marchpane's own", "client C9 is not found"} {
		if got := plainly(text); got != text {
			t.Errorf("plainly(%q) = %q, want it as it was", text, got)
		}
	}
}

// TestDaysInRefusals reads days in the form of the studio, but for one that shows
// how a day is typed.
func TestDaysInRefusals(t *testing.T) {
	words := wordsOf(book.Studio{Locale: record.Some("en-GB")})
	for in, want := range map[string]string{
		"butter has no price on 2026-11-26; add one": "butter has no price on 26 November 2026; add one",
		`"x" is no day; write it as 2026-11-26`:      `"x" is no day; write it as 2026-11-26`,
		"order 2026-0001 of 2026-13-40":              "order 2026-0001 of 2026-13-40",
		"from 2026-01-02 to 2026-01-03":              "from 2 January 2026 to 3 January 2026",
	} {
		if got := words.daysIn(in); got != want {
			t.Errorf("daysIn(%q) = %q, want %q", in, got, want)
		}
	}
}
