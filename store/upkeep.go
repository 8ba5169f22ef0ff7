package store

import (
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
)

// upkeep makes what lists go by and SQL cannot work out, wherever a trigger has
// marked it as not made. Each question is answered by an index of what is
// marked, which holds next to nothing.
func upkeep(ctx context.Context, tx *sql.Tx) error {
	w := newWriter(ctx, tx)
	r := &reader{ctx: ctx, tx: tx}
	w.foldQuotes(r)
	w.foldEnquiries(r)
	w.sortClients(r)
	w.compareClients(r)
	w.settleOrders(r)
	return errors.Join(r.err, w.close())
}

// catchUp does the upkeep that somebody has left who wrote to the file without
// this program, or an upgrade.
func (s *Store) catchUp(ctx context.Context) error {
	left := false
	err := s.read(ctx, func(r *reader) error {
		r.each(func() {}, `SELECT EXISTS (SELECT 1 FROM quote_board WHERE folded IS NULL) OR EXISTS (SELECT 1 FROM enquiry_board WHERE folded IS NULL)
			OR EXISTS (SELECT 1 FROM client WHERE sorted IS NULL) OR EXISTS (SELECT 1 FROM client_written) OR EXISTS (SELECT 1 FROM order_due WHERE NOT known)
			OR EXISTS (SELECT 1 FROM client_order JOIN studio WHERE client_order.locale <> coalesce(studio.locale, ''))`, nil, &left)
		return r.err
	})
	if err != nil || !left {
		return err
	}
	return s.update(ctx, func(*sql.Tx) error { return nil })
}

// foldQuotes makes what a search for quotes looks at: their client and what they
// are called, without accents.
func (w *writer) foldQuotes(r *reader) {
	type unfolded struct {
		id          int64
		client, ref string
	}
	var list []unfolded
	var u unfolded
	r.each(func() { list = append(list, u) }, `SELECT b.quote, coalesce(number || ' D' || draft, number, 'D' || draft),
		(SELECT group_concat(client, ' ') FROM quote_revision WHERE quote = q.id AND revision IN (coalesce(q.newest, 1), q.accepted))
		FROM quote_board b JOIN quote q ON q.id = b.quote WHERE folded IS NULL`, nil, &u.id, &u.ref, &u.client)
	for _, u := range list {
		w.do(`UPDATE quote_board SET folded = ? WHERE quote = ?`, enquiry.Fold(u.client)+"\n"+strings.ToLower(u.ref), u.id)
	}
}

// foldEnquiries likewise: who asks, what for, where, and what they wish.
func (w *writer) foldEnquiries(r *reader) {
	type unfolded struct {
		id   int64
		text string
	}
	var list []unfolded
	var u unfolded
	r.each(func() { list = append(list, u) }, `SELECT b.enquiry, concat_ws(char(10), 'E' || e.id, c.name, e.occasion, e.event_date, e.venue, e.wishes, e.dietary, e.closed_why)
		FROM enquiry_board b JOIN enquiry e ON e.id = b.enquiry JOIN client c ON c.id = e.client WHERE b.folded IS NULL`, nil, &u.id, &u.text)
	for _, u := range list {
		lines := strings.Split(u.text, "\n")
		for i := range lines {
			lines[i] = enquiry.Fold(lines[i])
		}
		w.do(`UPDATE enquiry_board SET folded = ? WHERE enquiry = ?`, strings.Join(lines, "\n"), u.id)
	}
}

// sortClients works out where names stand in the alphabet of the studio: all of
// them where that has become another.
func (w *writer) sortClients(r *reader) {
	var locale, before string
	r.each(func() {}, `SELECT coalesce((SELECT locale FROM studio), locale), locale FROM client_order`, nil, &locale, &before)
	if r.err == nil && locale != before {
		w.do(`UPDATE client_order SET locale = ?`, locale)
		w.do(`UPDATE client SET sorted = NULL`)
	}
	var ids []int64
	var names []string
	var id int64
	var name string
	r.each(func() { ids, names = append(ids, id), append(names, name) }, `SELECT id, name FROM client WHERE sorted IS NULL`, nil, &id, &name)
	for i, key := range enquiry.AlphabetOf(locale).Keys(names) {
		w.do(`UPDATE client SET sorted = ? WHERE id = ?`, hex.EncodeToString(key), ids[i])
	}
}

// atLast is a day by which every payment counts.
var atLast = day.Must("9999-12-31")

// settleOrders works out what falls due first of what is left to pay.
func (w *writer) settleOrders(r *reader) {
	var ids []int64
	var id int64
	r.each(func() { ids = append(ids, id) }, `SELECT quote FROM order_due WHERE NOT known`, nil, &id)
	for _, id := range ids {
		list, err := r.orders(`q.id = ?`, id)
		if err != nil {
			r.err = err
			return
		}
		var due any
		for _, o := range list {
			if next := o.Account(atLast).Next(); next != nil {
				due = next.Due.String()
			}
		}
		w.do(`UPDATE order_due SET known = 1, due = ? WHERE quote = ?`, due, id)
	}
}
