package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// ladder lists every package with the packages of ours that it may import. An
// import that is not listed is a step up, or sideways between outputs.
var ladder = map[string]string{
	"pricing/exact":               "",
	"pricing/day":                 "",
	"pricing/names":               "",
	"pricing/measure":             "pricing/exact",
	"pricing/money":               "pricing/exact pricing/measure",
	"pricing/shape":               "pricing/exact pricing/measure",
	"pricing/record":              "",
	"pricing/book":                "pricing/exact pricing/day pricing/measure pricing/money pricing/shape pricing/record",
	"pricing":                     "pricing/exact pricing/day pricing/measure pricing/money pricing/shape pricing/record pricing/book",
	"pricing/quote":               "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/book",
	"pricing/enquiry":             "pricing/names pricing/day pricing/measure pricing/money pricing/record pricing/quote",
	"pricing/schedule":            "pricing pricing/exact pricing/day pricing/measure pricing/book pricing/quote",
	"pricing/machine":             "pricing pricing/exact pricing/book pricing/quote",
	"pricing/catalogue":           "pricing pricing/exact pricing/book",
	"pricing/risk":                "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/book pricing/quote",
	"pricing/pricelist":           "pricing pricing/names pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/book",
	"pricing/reference":           "pricing/exact pricing/measure pricing/record pricing/book pricing/names",
	"pricing/recipe":              "pricing/exact pricing/measure pricing/record pricing/book pricing/pricelist pricing/names pricing/reference",
	"pricing/variance":            "pricing pricing/exact pricing/money pricing/record pricing/book pricing/quote",
	"pricing/actual":              "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/book pricing/quote pricing/variance",
	"pricing/month":               "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/book pricing/quote pricing/variance pricing/actual",
	"pricing/stack":               "pricing pricing/exact pricing/day pricing/measure pricing/record pricing/shape pricing/book",
	"pricing/shopping":            "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/book",
	"pricing/internal/naive":      "",
	"pricing/internal/randombook": "",
	"seed":                        "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/book pricing/quote pricing/enquiry pricing/actual pricing/schedule",
	"store":                       "pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/shape pricing/book pricing/quote pricing/pricelist pricing/names pricing/enquiry pricing/actual pricing/month pricing/schedule",
	"templates/document":          "pricing pricing/schedule pricing/shopping pricing/month pricing/record pricing/exact pricing/day pricing/measure pricing/money pricing/shape pricing/book pricing/quote",
	"templates/drawing":           "templates/document pricing/shape pricing/exact",
	"templates/pdf":               "templates/document templates/typeface templates/emblem pricing/book",
	"templates/emblem":            "pricing/book",
	"templates/sheet":             "templates/document pricing pricing/shopping pricing/month pricing/record pricing/exact pricing/day pricing/measure pricing/money pricing/book",
	"templates/csvfile":           "pricing pricing/shopping pricing/quote pricing/money pricing/exact",
	"templates/plot":              "templates/typeface",
	"templates/letter":            "",
	"templates/calendar":          "pricing/day",
	"templates/typeface":          "",
	"cmd/internal/post":           "",
	"cmd/internal/post/posttest":  "",
	"templates/page":              "",
	"cmd/internal/web":            "store pricing pricing/exact pricing/day pricing/measure pricing/money pricing/record pricing/shape pricing/book pricing/quote pricing/enquiry pricing/pricelist pricing/catalogue pricing/risk pricing/stack pricing/recipe pricing/reference pricing/names pricing/actual pricing/variance pricing/month pricing/schedule pricing/shopping templates/document templates/drawing templates/plot templates/pdf templates/sheet templates/letter templates/calendar templates/csvfile templates/emblem templates/page cmd/internal/intake cmd/internal/post",
	"cmd/internal/intake":         "pricing/pricelist pricing/recipe pricing/day",
}

// forbidden to the engine: it reads nothing, knows no time of day and leaves
// no trace.
var impure = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "embed", "io/fs", "syscall", "os/exec", "path/filepath"}

// inexact names what rounds unasked or leaves exact figures, in
// shopspring/decimal, math/big and strconv.
var inexact = []string{"DivRound", "NewFromFloat", "NewFromFloat32", "NewFromFloatWithExponent", "InexactFloat64", "Float64", "Float32", "SetFloat64", "ParseFloat", "FormatFloat"}

func TestLadder(t *testing.T) {
	for pkg, files := range packages(t) {
		if strings.HasPrefix(pkg, "cmd/marchpane") || pkg == "cmd/internal/cli" {
			continue // joins all the others
		}
		allowed, listed := ladder[pkg]
		if !listed {
			t.Errorf("package %s is not on the ladder; add it with the packages it may import", pkg)
			continue
		}
		for name, file := range files {
			for _, spec := range file.Imports {
				imported, err := strconv.Unquote(spec.Path.Value)
				if err != nil {
					t.Fatal(err)
				}
				if ours, ok := strings.CutPrefix(imported, "marchpane/"); ok {
					if !slices.Contains(strings.Fields(allowed), ours) {
						t.Errorf("%s imports %s, which the ladder does not allow %s", name, ours, pkg)
					}
					continue
				}
				engine := pkg == "pricing" || strings.HasPrefix(pkg, "pricing/")
				if engine && slices.Contains(impure, imported) {
					t.Errorf("%s imports %s; the engine is pure", name, imported)
				}
				internal := strings.HasPrefix(pkg, "pricing/internal/")
				if engine && imported == "time" && !internal && pkg != "pricing/day" && pkg != "pricing/risk" {
					t.Errorf("%s imports time; dates are of package day", name)
				}
			}
		}
	}
}

// TestExactness refuses floats where money and quantities live, and the
// division of shopspring/decimal, which rounds at 16 places, everywhere.
func TestExactness(t *testing.T) {
	for pkg, files := range packages(t) {
		exact := pkg == "store" || pkg == "pricing" || strings.HasPrefix(pkg, "pricing/")
		statistics := pkg == "pricing/risk"
		for name, file := range files {
			ast.Inspect(file, func(n ast.Node) bool {
				switch v := n.(type) {
				case *ast.Ident:
					if exact && !statistics && (v.Name == "float64" || v.Name == "float32") {
						t.Errorf("%s has a %s; money and quantities never touch one", name, v.Name)
					}
				case *ast.SelectorExpr:
					if exact && !statistics && slices.Contains(inexact, v.Sel.Name) {
						t.Errorf("%s calls %s, which rounds or makes a float", name, v.Sel.Name)
					}
					// big.Int has a Div too, for Floor and for the naive twin.
					if v.Sel.Name == "Div" && name != "pricing/exact/round.go" && pkg != "pricing/internal/naive" {
						if x, ok := v.X.(*ast.Ident); !ok || x.Name != "bits" {
							t.Errorf("%s calls Div; divide with exact.Number, and round where it has a name", name)
						}
					}
				}
				return true
			})
		}
	}
}

// TestClockAndChance keeps the clock and randomness out of the engine. Where
// statistics are drawn, a seed decides them.
func TestClockAndChance(t *testing.T) {
	clock := []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Sleep", "Local"}
	seeded := []string{"New", "NewPCG", "NewChaCha8", "Rand", "PCG", "Source"}
	for pkg, files := range packages(t) {
		if pkg != "pricing" && !strings.HasPrefix(pkg, "pricing/") {
			continue
		}
		for name, file := range files {
			called := map[string]string{} // package names of this file → import paths
			for _, spec := range file.Imports {
				imported, err := strconv.Unquote(spec.Path.Value)
				if err != nil {
					t.Fatal(err)
				}
				as := strings.TrimSuffix(imported, "/v2")
				as = as[strings.LastIndex(as, "/")+1:]
				if spec.Name != nil {
					as = spec.Name.Name
				}
				called[as] = imported
				chance := strings.HasPrefix(imported, "math/rand") || imported == "crypto/rand"
				if chance && pkg != "pricing/risk" && pkg != "pricing/internal/randombook" {
					t.Errorf("%s imports %s; nothing in the engine is left to chance", name, imported)
				}
				if as == "." {
					t.Errorf("%s imports %s into its own names", name, imported)
				}
			}
			ast.Inspect(file, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				x, ok := s.X.(*ast.Ident)
				if !ok {
					return true
				}
				switch imported := called[x.Name]; {
				case imported == "time" && slices.Contains(clock, s.Sel.Name):
					t.Errorf("%s uses time.%s; take the day as an argument", name, s.Sel.Name)
				case strings.HasPrefix(imported, "math/rand") && !slices.Contains(seeded, s.Sel.Name):
					t.Errorf("%s uses rand.%s; draw from a source with a seed", name, s.Sel.Name)
				}
				return true
			})
		}
	}
}

// TestNaiveStandsAlone: the second implementation shares nothing with the
// engine or its libraries.
func TestNaiveStandsAlone(t *testing.T) {
	files := packages(t)["pricing/internal/naive"]
	if len(files) == 0 {
		t.Fatal("no naive implementation was found")
	}
	for name, file := range files {
		for _, spec := range file.Imports {
			// Paths of the standard library have no dot in their first word.
			first, _, _ := strings.Cut(strings.Trim(spec.Path.Value, `"`), "/")
			if strings.Contains(first, ".") || first == "marchpane" {
				t.Errorf("%s imports %s; it uses the standard library alone", name, spec.Path.Value)
			}
		}
	}
}

// packages parses every file that is not a test, by package folder.
func packages(t *testing.T) map[string]map[string]*ast.File {
	t.Helper()
	found := map[string]map[string]*ast.File{}
	fset := token.NewFileSet()
	root := ".."
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			if d != nil && d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && len(d.Name()) > 2) {
				return fs.SkipDir
			}
			return err
		}
		if !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(fset, p, text, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		name := strings.TrimPrefix(filepath.ToSlash(p), "../")
		pkg := path.Dir(name)
		if found[pkg] == nil {
			found[pkg] = map[string]*ast.File{}
		}
		found[pkg][name] = file
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(found) < 10 {
		t.Fatalf("only %d packages were found", len(found))
	}
	return found
}
