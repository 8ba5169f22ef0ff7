package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"marchpane/pricing"
	"marchpane/pricing/day"
	"marchpane/store"
)

// ImpactPaper writes what changed prices do to every cake and open quote.
func (d desk) ImpactPaper(ctx context.Context, w io.Writer, ending string, s *store.Store, changes []pricing.Change, categories []pricing.CategoryChange, on day.Date) error {
	r, err := impactOn(ctx, s, wanted{changes: changes, categories: categories}, on)
	if err != nil {
		return err
	}
	if len(r.cakes) == 0 {
		return errors.New("no cake uses any of it, so there is nothing to write")
	}
	switch ending {
	case ".xlsx":
		return r.workbook(w)
	case ".svg":
		return impactPlot(r).SVG(w)
	case ".png":
		return impactPlot(r).PNG(w, pngScale)
	}
	return fmt.Errorf("%s is %w as a form of what if", ending, store.ErrNotFound)
}
