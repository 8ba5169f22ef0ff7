package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"marchpane/pricing/day"
	"marchpane/store"
)

// Env is what a command may touch of the world.
type Env struct {
	In     io.Reader
	Out    io.Writer
	Err    io.Writer
	Now    func() time.Time
	Getenv func(string) string
	Home   func() (string, error)
	Colour bool // whether Out is a terminal that shows colour
	Asks   bool // whether In is a terminal, where someone can answer

	storePath string
	json      bool
	started   bool // whether the command line was right, so that what fails now is the job
}

// System returns the environment of the running process.
func System() *Env {
	return &Env{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Asks: term.IsTerminal(int(os.Stdin.Fd())),
		Now:  time.Now, Getenv: os.Getenv, Home: os.UserHomeDir,
		Colour: os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(os.Stdout.Fd())),
	}
}

// today is the day on the user's calendar.
func (e *Env) today() day.Date { return day.Of(e.Now()) }

// storeFile returns where the studio's store is: --store, MARCHPANE_STORE, or
// the user's data folder by the platform's convention.
func (e *Env) storeFile() (string, error) {
	if e.storePath != "" {
		return e.storePath, nil
	}
	if path := e.Getenv("MARCHPANE_STORE"); path != "" {
		return path, nil
	}
	home, err := e.Home()
	if err != nil {
		return "", fmt.Errorf("no home folder is known; say where the store is with --store FILE: %w", err)
	}
	return filepath.Join(dataFolder(runtime.GOOS, home, e.Getenv), "marchpane", "studio.db"), nil
}

func dataFolder(system, home string, getenv func(string) string) string {
	switch system {
	case "windows":
		if dir := getenv("LocalAppData"); dir != "" {
			return dir
		}
		return filepath.Join(home, "AppData", "Local")
	case "darwin":
		return filepath.Join(home, "Library", "Application Support")
	}
	if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir
	}
	return filepath.Join(home, ".local", "share")
}

// open opens the store, which is created on first use.
func (e *Env) open(ctx context.Context) (*store.Store, error) {
	path, err := e.storeFile()
	if err != nil {
		return nil, err
	}
	return store.Open(ctx, path)
}

// withStore is a command that opens the store, which is closed behind it.
func (e *Env) withStore(run func(cmd *cobra.Command, args []string, s *store.Store) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		s, err := e.open(cmd.Context())
		if err != nil {
			return err
		}
		defer s.Close()
		return run(cmd, args, s)
	}
}

// bold marks text on a terminal and leaves it alone elsewhere.
func (e *Env) bold(s string) string {
	if !e.Colour {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// faint likewise.
func (e *Env) faint(s string) string {
	if !e.Colour {
		return s
	}
	return "\x1b[2m" + s + "\x1b[0m"
}

// writeFile writes a paper to path whole or not at all.
func writeFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".marchpane-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err := write(f); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
