package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/pdf"
)

// quotePDF writes the paper of a quote, on the studio's paper or another size.
// It is the same whatever becomes of the quote, unless it is to be marked.
func (e *Env) quotePDF(ctx context.Context, s *store.Store, q store.SavedQuote, size document.Paper, marked bool) ([]byte, error) {
	d := document.FromQuote(q.Quote)
	if why := mark(q); why != "" && marked {
		d = d.Marked(why)
	}
	if size != "" {
		d.Paper = size
	}
	var err error
	if d.Look, err = withLogo(ctx, s, d.Look); err != nil {
		return nil, err
	}
	var paper bytes.Buffer
	warnings, err := pdf.Quote(&paper, drawing.Illustrate(d, pdf.PictureSize))
	e.warn(warnings)
	return paper.Bytes(), err
}

// mark says why a revision is not to be accepted any more; "" while it is.
func mark(q store.SavedQuote) string {
	switch {
	case q.Quote.Draft() || q.Quote.Revision == q.Life.Order:
		if q.Life.State == quote.Cancelled {
			return document.MarkCancelled
		}
	case q.Quote.Revision != q.Life.Newest:
		return document.MarkReplaced
	case q.Life.Refused:
		return document.MarkDeclined
	case q.Life.Stands() != q.Quote.Revision:
		return document.MarkLapsed // an order stands that it would have changed
	case q.Life.State == quote.Cancelled:
		return document.MarkCancelled
	case q.Life.State == quote.Declined:
		return document.MarkDeclined
	case q.Life.State == quote.Lapsed:
		return document.MarkLapsed
	}
	return ""
}

// withLogo puts the picture into the look of a paper.
func withLogo(ctx context.Context, s *store.Store, look document.Look) (document.Look, error) {
	if look.Logo == "" {
		return look, nil
	}
	var err error
	look.Picture, err = s.Picture(ctx, look.Logo)
	return look, err
}

// warn tells of what a paper could not show.
func (e *Env) warn(warnings []string) {
	for _, warning := range warnings {
		fmt.Fprintf(e.Err, "marchpane: %s\n", warning)
	}
}

// writeQuotePDF writes the paper of a quote to a file.
func (e *Env) writeQuotePDF(ctx context.Context, s *store.Store, path string, q store.SavedQuote, size document.Paper, marked bool) error {
	paper, err := e.quotePDF(ctx, s, q, size, marked)
	if err != nil {
		return err
	}
	return writeFile(path, func(w io.Writer) error { _, err := w.Write(paper); return err })
}
