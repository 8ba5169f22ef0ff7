package store

import (
	"context"
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

// Picture returns the picture of a fingerprint, as a quote that shows it was
// issued with. The error is [ErrNotFound] where the store never had it.
func (s *Store) Picture(ctx context.Context, fingerprint string) (p book.Picture, err error) {
	err = s.read(ctx, func(r *reader) error {
		p = r.picture(fingerprint)
		if p.IsZero() && r.err == nil {
			return fmt.Errorf("picture %.12s… is %w; the file is not the one that the quote was issued from", fingerprint, ErrNotFound)
		}
		return r.err
	})
	return p, err
}

func (r *reader) picture(fingerprint string) (p book.Picture) {
	var kind string
	var data []byte
	r.each(func() { p = book.RestorePicture(book.PictureKind(kind), data) },
		`SELECT type, bytes FROM picture WHERE fingerprint = ?`, []any{fingerprint}, &kind, &data)
	return p
}

// look reads what the studio's papers look like.
func (r *reader) look() (look record.Maybe[book.Look]) {
	v := &look.Value
	var logo record.Maybe[string]
	r.each(func() {}, `SELECT look_stated, accent, paper, logo FROM studio`, nil,
		&look.Given, maybe(&v.Accent), maybe(&v.Paper), maybe(&logo))
	if logo.Given {
		v.Logo = record.Some(r.picture(logo.Value))
	}
	return look
}

// putLook writes the look into the studio's row. The picture of an earlier one
// stays for the quotes that show it.
func (w *writer) putLook(look record.Maybe[book.Look]) {
	v := look.Value
	var logo any
	if v.Logo.Given {
		p := v.Logo.Value
		logo = p.Fingerprint()
		w.do(`INSERT INTO picture (fingerprint, type, bytes) SELECT ?1, ?2, ?3 WHERE NOT EXISTS (SELECT 1 FROM picture WHERE fingerprint = ?1)`,
			logo, string(p.Kind()), p.Bytes())
	}
	w.do(`UPDATE studio SET look_stated = ?, accent = ?, paper = ?, logo = ?`, look.Given, stated(v.Accent), stated(v.Paper), logo)
}
