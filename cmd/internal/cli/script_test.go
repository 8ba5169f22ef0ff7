package cli

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"marchpane/seed"
)

var update = flag.Bool("update", false, "rewrite what the scripts expect")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"marchpane": func() { os.Exit(Main(os.Args[1:], System())) },
	})
}

// TestScripts drives the real command line as a user would.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", "")
			env.Setenv("MARCHPANE_STORE", filepath.Join(env.WorkDir, "studio.db"))
			for name, from := range map[string]string{
				"example.json": "../../../pricing/testdata/example-book.json",
			} {
				data, err := os.ReadFile(from)
				if err != nil {
					return err
				}
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), data, 0o644); err != nil {
					return err
				}
			}
			for name, data := range map[string][]byte{"demo.json": seed.Studio(), "wedding.json": seed.WeddingRequest()} {
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), data, 0o644); err != nil {
					return err
				}
			}
			return nil
		},
	})
}
