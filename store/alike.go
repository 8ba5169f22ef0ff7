package store

import (
	"context"
	"encoding/json"
	"hash/fnv"
	"math"
	"slices"
	"strings"

	"marchpane/pricing/enquiry"
)

// Double is two clients that look like one.
type Double struct {
	First  ClientEntry        `json:"first"`
	Second ClientEntry        `json:"second"`
	Why    []enquiry.Likeness `json:"why"`
}

// Doubles lists the clients that look like one another, in the order of their
// records, the earlier first. Of more than two that share something each is
// paired with the first of them.
func (s *Store) Doubles(ctx context.Context) (list []Double, err error) {
	list, _, err = s.DoublesPage(ctx, Span{Most: math.MaxInt32})
	return list, err
}

// DoublesPage lists part of the same list, and how many pairs are in it, up to one
// more than [MostFound]. It reads those alone that it returns.
func (s *Store) DoublesPage(ctx context.Context, part Span) (list []Double, n int, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, 0, err
	}
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, `SELECT count(*) FROM (SELECT DISTINCT first, second FROM client_double WHERE first > 0 LIMIT ?)`, []any{MostFound + 1}, &n)
		var found []likeness
		var l likeness
		r.each(func() { found = append(found, l) }, `SELECT first, second, group_concat(why, ', ') FROM client_double WHERE first > 0 GROUP BY first, second ORDER BY first, second LIMIT ? OFFSET ?`,
			[]any{max(part.Most, 0), max(part.From, 0)}, &l.first, &l.second, &l.why)
		list = r.doubles(found)
		return r.err
	})
	return list, n, err
}

// Alike lists the other clients that look like one, each as the second: all of
// them in the order of their records, or as many as are wanted.
func (s *Store) Alike(ctx context.Context, ref string, most int) (list []Double, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, err
	}
	err = s.read(ctx, func(r *reader) error {
		id, _, err := r.client(ref)
		if err != nil {
			return err
		}
		var found []likeness
		l := likeness{first: id}
		r.each(func() { found = append(found, l) }, alikeOf, []any{id, max(most, 0)}, &l.second, &l.why)
		list = r.doubles(found)
		return r.err
	})
	return list, err
}

// alikeOf selects those who share a trait with client ?1, and those whose name is
// near: whoever bears a name whose first is paired with the first of this one.
const alikeOf = `WITH own AS (SELECT why, trait FROM client_trait WHERE client = ?1),
	head AS (SELECT min(t.client) AS client FROM own JOIN client_trait t USING (why, trait) WHERE own.why = 'same name'),
	near AS (
		SELECT d.first AS client FROM head JOIN client_double d ON d.second = head.client WHERE d.why = 'near name'
		UNION ALL SELECT d.second FROM head JOIN client_double d ON d.first = head.client WHERE d.why = 'near name')
	SELECT client, group_concat(why, ', ') FROM (
		SELECT t.client, t.why FROM own JOIN client_trait t USING (why, trait) WHERE t.client <> ?1
		UNION ALL
		SELECT t.client, 'near name' FROM near JOIN client_trait n ON n.client = near.client AND n.why = 'same name' JOIN client_trait t ON t.why = n.why AND t.trait = n.trait)
	GROUP BY client ORDER BY client LIMIT ?2`

// likeness is two clients by their ids, and what they have in common.
type likeness struct {
	first, second int64
	why           string // a list
}

// doubles reads who the clients are.
func (r *reader) doubles(found []likeness) []Double {
	entries := map[int64]ClientEntry{}
	var ids []int64
	for _, l := range found {
		ids = append(ids, l.first, l.second)
	}
	slices.Sort(ids)
	var id int64
	var e ClientEntry
	r.each(func() {
		e.Ref = clientRef(id)
		entries[id] = e
	}, `SELECT id, name, coalesce(email, ''), coalesce(phone, ''), (SELECT count(*) FROM enquiry WHERE client = c.id),
		(SELECT count(*) FROM quote_party WHERE client = c.id) FROM client c WHERE id IN `+idList(slices.Compact(ids)), nil,
		&id, &e.Name, &e.Email, &e.Phone, &e.Enquiries, &e.Quotes)
	list := make([]Double, 0, len(found))
	for _, l := range found {
		d := Double{First: entries[l.first], Second: entries[l.second]}
		for _, why := range enquiry.Likenesses() {
			if strings.Contains(l.why, string(why)) {
				d.Why = append(d.Why, why)
			}
		}
		list = append(list, d)
	}
	return list
}

// compareClients holds the clients that were written since the last time
// against all others: by what they are recognised by, so that none of the others
// is read.
func (w *writer) compareClients(r *reader) {
	var ids []int64
	var id int64
	r.each(func() { ids = append(ids, id) }, `SELECT client FROM client_written ORDER BY client`, nil, &id)
	if len(ids) == 0 {
		return
	}
	c := comparison{w}
	for _, id := range ids {
		was, now := c.traits(id), c.client(id).Traits()
		for _, why := range enquiry.Likenesses() {
			if was[why] == now[why] {
				continue
			}
			if was[why] != "" {
				c.leave(id, why, was[why])
			}
			if now[why] != "" {
				c.join(id, why, now[why])
			}
		}
	}
	w.do(`DELETE FROM client_written`)
}

// comparison keeps who looks like whom while clients are written. After each of
// its steps the pairs are those of the traits as they are then.
type comparison struct{ w *writer }

// traits returns what a client is known by so far.
func (c comparison) traits(id int64) enquiry.Traits {
	t := enquiry.Traits{}
	var why enquiry.Likeness
	var trait string
	c.w.each(func() { t[why] = trait }, `SELECT why, trait FROM client_trait WHERE client = ?`, []any{id}, &why, &trait)
	return t
}

// client returns what a client says now; one that is gone says nothing.
func (c comparison) client(id int64) (v enquiry.Client) {
	c.w.each(func() {}, `SELECT name, email, phone FROM client WHERE id = ?`, []any{id}, &v.Name, maybe(&v.Email), maybe(&v.Phone))
	return v
}

// first returns the first of those who share a trait; 0: nobody does.
func (c comparison) first(why enquiry.Likeness, trait string) (id int64) {
	c.w.each(func() {}, `SELECT coalesce(min(client), 0) FROM client_trait WHERE why = ? AND trait = ?`, []any{string(why), trait}, &id)
	return id
}

// leave takes a client from those who share a trait.
func (c comparison) leave(id int64, why enquiry.Likeness, trait string) {
	first := c.first(why, trait)
	c.w.do(`DELETE FROM client_trait WHERE why = ? AND trait = ? AND client = ?`, string(why), trait, id)
	if first != id {
		c.w.do(`DELETE FROM client_double WHERE first = ? AND second = ? AND why = ?`, first, id, string(why))
		return
	}
	c.unlead(id, why, trait)
	if next := c.first(why, trait); next != 0 {
		c.lead(next, why, trait)
	}
}

// join adds a client to those who share a trait.
func (c comparison) join(id int64, why enquiry.Likeness, trait string) {
	first := c.first(why, trait)
	c.w.do(`INSERT INTO client_trait (why, trait, client) VALUES (?, ?, ?)`, string(why), trait, id)
	switch {
	case first == 0:
		c.lead(id, why, trait)
	case id < first:
		c.unlead(first, why, trait)
		c.lead(id, why, trait)
	default:
		c.w.do(`INSERT INTO client_double (first, second, why) VALUES (?, ?, ?)`, first, id, string(why))
	}
}

// lead pairs the first of those who share a trait with the others, and of a name
// with the firsts of names that are near.
func (c comparison) lead(first int64, why enquiry.Likeness, trait string) {
	c.w.do(`INSERT INTO client_double (first, second, why) SELECT ?1, client, why FROM client_trait WHERE why = ?2 AND trait = ?3 AND client > ?1`, first, string(why), trait)
	if why != enquiry.SameName {
		return
	}
	hashes := remainders(trait)
	among, err := json.Marshal(hashes)
	if err != nil {
		c.w.err = err
		return
	}
	var near []int64
	var other int64
	var name string
	c.w.each(func() {
		if enquiry.NearNames(trait, name) {
			near = append(near, other)
		}
	}, `SELECT t.client, t.trait FROM client_trait t WHERE t.why = 'same name' AND t.client IN
		(SELECT client FROM client_remainder WHERE remainder IN (SELECT value FROM json_each(?)))`, []any{string(among)}, &other, &name)
	for _, other := range near {
		c.w.do(`INSERT INTO client_double (first, second, why) VALUES (?, ?, ?)`, min(first, other), max(first, other), string(enquiry.NearName))
	}
	for _, hash := range hashes {
		c.w.do(`INSERT INTO client_remainder (remainder, client) VALUES (?, ?)`, hash, first)
	}
}

// unlead takes back what lead did.
func (c comparison) unlead(first int64, why enquiry.Likeness, trait string) {
	c.w.do(`DELETE FROM client_double WHERE first = ? AND why = ?`, first, string(why))
	if why != enquiry.SameName {
		return
	}
	c.w.do(`DELETE FROM client_double WHERE first = ? AND why = 'near name'`, first)
	c.w.do(`DELETE FROM client_double WHERE second = ? AND why = 'near name'`, first)
	for _, hash := range remainders(trait) {
		c.w.do(`DELETE FROM client_remainder WHERE remainder = ? AND client = ?`, hash, first)
	}
}

// remainders returns the hashes (FNV-1a, 64 bits) of what is left of a name. Two
// texts of one hash do no harm: names that meet by it are compared.
func remainders(name string) []int64 {
	var list []int64
	for _, text := range enquiry.Remainders(name) {
		h := fnv.New64a()
		h.Write([]byte(text))
		list = append(list, int64(h.Sum64()))
	}
	slices.Sort(list)
	return slices.Compact(list)
}
