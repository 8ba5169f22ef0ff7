package cli

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
	"marchpane/seed"
	"marchpane/store"
)

// OpenDemo makes a store of the demo studio with the year it has behind it, which
// ends in the week of now. Noting a year takes some seconds, so a copy is kept
// where the user's programs keep what they can make again.
func (d desk) OpenDemo(ctx context.Context, path string, now time.Time, progress func(float64)) error {
	by := seed.MoveTo(day.Of(now))
	kept := demoCopy(by.Today())
	if kept != "" && takeCopy(ctx, kept, path) {
		return nil
	}
	if err := makeDemoYear(ctx, path, now, by, progress); err != nil {
		return err
	}
	if kept != "" {
		keepCopy(ctx, path, kept)
	}
	return nil
}

// makeDemoYear notes the demo's book, hours and year in a new store.
func makeDemoYear(ctx context.Context, path string, now time.Time, by seed.Move, progress func(float64)) (err error) {
	s, err := store.Open(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	file, err := book.Parse(seed.Studio())
	if err != nil {
		return err
	}
	if _, err := s.Import(ctx, by.Book(file), false, "the demo studio", now); err != nil {
		return err
	}
	if _, err := s.ChangeCapacity(ctx, now, func(_ *book.Index, c *schedule.Capacity) error { *c = by.Capacity(seed.Capacity()); return nil }); err != nil {
		return err
	}
	_, err = liveDemoYear(ctx, s, by, func(share float64, _ string) { progress(share) })
	return err
}

// demoCopy names where this very program keeps its demo of a week; "" where it
// has no place, or cannot tell itself from another build, whose demo may be
// another.
func demoCopy(today day.Date) string {
	folder, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	name, err := os.Executable()
	if err != nil {
		return ""
	}
	program, err := os.Open(name)
	if err != nil {
		return ""
	}
	defer program.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, program); err != nil {
		return ""
	}
	return filepath.Join(folder, "marchpane", "demo-"+today.String()+"-"+hex.EncodeToString(sum.Sum(nil)[:12])+".db")
}

// takeCopy makes path a copy of what is kept, and reports whether it could. A
// file that is no sound store is passed over and made afresh.
func takeCopy(ctx context.Context, kept, path string) bool {
	s, err := store.Examine(ctx, kept)
	if err != nil {
		return false
	}
	err = s.CopyTo(ctx, path)
	return errors.Join(err, s.Close()) == nil
}

// keepCopy keeps the demo for the next time, in place of those of other builds
// and weeks.
// Where that fails it is made again then.
func keepCopy(ctx context.Context, path, kept string) {
	folder := filepath.Dir(kept)
	if os.MkdirAll(folder, 0o700) != nil {
		return
	}
	old, _ := filepath.Glob(filepath.Join(folder, "demo-*.db*"))
	for _, name := range old {
		os.Remove(name)
	}
	s, err := store.Open(ctx, path)
	if err != nil {
		return
	}
	defer s.Close()
	if s.CopyTo(ctx, kept) != nil {
		os.Remove(kept + ".part")
	}
}
