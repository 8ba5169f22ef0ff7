package cli

import (
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

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
		Cmds:          map[string]func(*testscript.TestScript, bool, []string){"freeport": freePort, "fetch": fetch, "send": send, "upload": upload},
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

// freePort puts the number of a port that nobody listens on into a variable:
// freeport NAME.
func freePort(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: freeport NAME")
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	ts.Check(err)
	ts.Setenv(args[0], fmt.Sprint(l.Addr().(*net.TCPAddr).Port))
	ts.Check(l.Close())
}

// fetch asks for a page until it holds a text: fetch URL TEXT. With ! the page
// must answer, and must not hold it.
func fetch(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: fetch URL TEXT")
	}
	// A machine that is busy with other tests takes its time for a year of demo.
	last := ""
	for patient := time.Now().Add(4 * time.Minute); time.Now().Before(patient); time.Sleep(50 * time.Millisecond) {
		res, err := http.Get(args[0])
		if err == nil {
			var body []byte
			body, err = io.ReadAll(res.Body)
			res.Body.Close()
			last = string(body)
			if holds := strings.Contains(last, args[1]); err == nil && (holds || neg) {
				if holds == neg {
					ts.Fatalf("%s holds %q", args[0], args[1])
				}
				return
			}
		}
		if err != nil {
			last = err.Error()
		}
	}
	ts.Fatalf("%s never held %q: %.300s", args[0], args[1], last)
}

// send fills in a form as a page of ours does: send URL FORM.
func send(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: send URL FORM")
	}
	res, err := http.Post(args[0], "application/x-www-form-urlencoded", strings.NewReader(args[1]))
	ts.Check(err)
	res.Body.Close()
	if res.StatusCode != http.StatusOK {
		ts.Fatalf("%s: %s", args[0], res.Status)
	}
}

// upload begins to send a file and never ends: upload URL BOX.
func upload(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: upload URL BOX")
	}
	at, err := url.Parse(args[0])
	ts.Check(err)
	conn, err := net.Dial("tcp", at.Host)
	ts.Check(err)
	ts.Defer(func() { conn.Close() })
	_, err = fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Type: multipart/form-data; boundary=b\r\nContent-Length: 2000000\r\n\r\n--b\r\nContent-Disposition: form-data; name=%q; filename=\"f\"\r\n\r\n%s",
		at.Path, at.Host, args[1], strings.Repeat("half of it ", 100_000))
	ts.Check(err)
}
