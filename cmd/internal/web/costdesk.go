package web

import (
	"context"
	"io"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/stack"
	"marchpane/store"
)

// A CostDesk is the part of a [Desk] that writes what prices do.
type CostDesk interface {
	// ImpactPaper writes what changed prices do to every cake and open quote, as
	// what an ending says: ".xlsx", ".svg", ".png".
	ImpactPaper(ctx context.Context, w io.Writer, ending string, s *store.Store, changes []pricing.Change, categories []pricing.CategoryChange, on day.Date) error
	// StacksPaper draws proposed stacks side by side at one scale, as SVG.
	StacksPaper(w io.Writer, b book.Book, list []stack.Costed) error
}
