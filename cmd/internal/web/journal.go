package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/actual"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// unplaced makes an error a fault of a form that belongs to no box.
func unplaced(err error) record.Faults {
	if faults, ok := faultsOf(err); ok {
		return faults
	}
	return record.Faults{{Problem: err.Error()}}
}

// refusedInput reports whether an error is about what was typed, so that its form
// is shown again with it.
func refusedInput(err error) bool {
	return err != nil && !errors.Is(err, store.ErrNotFound) && !errors.Is(err, context.Canceled) && !errors.Is(err, store.ErrEmpty)
}

// sheetLines reads rows of a form as a sheet of the journal, as a file would be
// read. The names of the boxes are the paths of the sheet.
func sheetLines(order, list string, rows []any) (actual.Sheet, error) {
	if order == "" {
		order = "the store room"
	}
	text, err := json.Marshal(map[string]any{"order": order, list: rows})
	if err != nil {
		return actual.Sheet{}, err
	}
	return actual.DecodeSheet(text)
}

// gathered is a form whose rows are numbered without gaps, as faults number
// them.
func gathered(f form, list string, keys ...string) (url.Values, []any) {
	rows := f.rows(list, keys...)
	v := url.Values{}
	for name, values := range f.values {
		if !strings.HasPrefix(name, list+"[") {
			v[name] = values
		}
	}
	for i, row := range rows {
		for key, value := range row.(map[string]any) {
			v.Set(fmt.Sprintf("%s[%d].%s", list, i, key), fmt.Sprint(value))
		}
	}
	return v, rows
}

// journal shows entries, the newest first, with a button that takes one back.
func journal(words words, title, none string, j Journal, q url.Values, path string) page.Journal {
	j.Entries = slices.Clone(j.Entries)
	slices.Reverse(j.Entries)
	var pager page.Pager
	j.Entries, pager = paged(j.Entries, q, path)
	slices.Reverse(j.Entries)
	return journalPart(words, title, none, j, pager, path)
}

// journalPart is journal of the entries that a page shows, in the order in which
// they were made, with the way to the others.
func journalPart(words words, title, none string, j Journal, pager page.Pager, path string) page.Journal {
	p := page.Journal{Title: title, None: none, Pager: pager}
	for _, e := range slices.Backward(j.Entries) {
		row := page.Entry{ID: e.ID, On: dayText(words, e.On), Text: capital(e.Says)}
		if e.Undone != "" {
			row.Gone, row.Note = true, "taken back on "+dayText(words, e.Undone)
			if e.Why != "" {
				row.Note += ": " + e.Why
			}
		} else {
			row.Undo = &page.Link{Text: "Take back", Href: "/records/" + e.ID + "/back?to=" + escapeQuery(path)}
		}
		p.Entries = append(p.Entries, row)
	}
	return p
}

// pagerIn leads to the other parts of a journal. One that begins beyond its end
// is the first.
func pagerIn(part store.Span, shown, n int, r *http.Request, path string) page.Pager {
	if part.From >= n {
		part.From = 0
	}
	return pagerOf(part.From, shown, n, r.URL.Query(), path)
}

// recorded goes on after entries were kept: it says what was, and offers to take
// it back.
func (s *Server) recorded(w http.ResponseWriter, r *http.Request, to string, k Kept) error {
	st := s.store(r)
	var says, ids []string
	for _, e := range k.Entries {
		says, ids = append(says, e.Says), append(ids, e.ID)
	}
	text := "Recorded: " + strings.Join(says, "; ") + "."
	if len(says) > 3 {
		text = fmt.Sprintf("Recorded: %s and %d more.", says[0], len(says)-1)
	}
	if k.Prices > 0 {
		text += " " + plural(k.Prices, "price was", "prices were") + " added to the book."
	}
	for _, d := range k.Doubts {
		text += " Look: " + sentence(strings.ReplaceAll(d, "; take a slip back with: marchpane actual undo", "; take a slip back in the journal below"))
	}
	return s.done(w, r, to, text, s.entriesBack(st, ids))
}

// entriesBack takes entries back, the last first.
func (s *Server) entriesBack(st *store.Store, ids []string) back {
	if len(ids) == 0 {
		return nil
	}
	return func(ctx context.Context) (string, error) {
		for i := len(ids) - 1; i >= 0; i-- {
			if _, err := st.UndoActual(ctx, ids[i], "entered by mistake", s.today(), s.Now()); err != nil {
				return "", err
			}
		}
		return fmt.Sprintf("%s is taken back; both stay in the journal.", strings.Join(ids, ", ")), nil
	}
}

// askBack asks before an entry is taken back, which is for good.
func (s *Server) askBack(w http.ResponseWriter, r *http.Request) error {
	// As its number alone, since the form's address is made of it.
	number, err := strconv.ParseUint(strings.TrimPrefix(strings.ToUpper(r.PathValue("id")), "A"), 10, 63)
	if err != nil {
		return notFound("entry")
	}
	id, to := fmt.Sprintf("A%d", number), here(r.URL.Query().Get("to"))
	if _, err := s.store(r).Actual(r.Context(), id); err != nil {
		return refusedText(err)
	}
	body := page.Confirm{
		Title: "Take " + id + " back?", Text: "It stays in the journal, marked as taken back, and counts for nothing. Record it again if that was wrong. A price that a purchase brought into the book stays there.",
		Form: page.Form{Action: "/records/" + id + "/back", Button: "Take it back", Loss: true, Cancel: to, Fields: []page.Field{
			{Name: "why", Label: "Why", Help: "For the journal; may stay empty."}, {Name: "on", Label: "Day of the correction", Kind: "date", Value: s.today().String()}, {Name: "to", Kind: "hidden", Value: to},
		}},
	}
	return s.show(w, r, "confirm", "Take an entry back", body)
}

func (s *Server) takeBack(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	on, err := dayOr(f.get("on"), s.today())
	if err != nil {
		return wrong("%s Go back and mend it.", sentence(err.Error()))
	}
	undone, err := s.store(r).UndoActual(r.Context(), r.PathValue("id"), f.get("why"), on, s.Now())
	if err != nil {
		return err
	}
	j, err := s.Desk.Journal(r.Context(), s.store(r), undone, actual.Month{})
	if err != nil {
		return err
	}
	text := "Taken back."
	if len(j.Entries) > 0 {
		text = fmt.Sprintf("%s is taken back: %s.", j.Entries[0].ID, j.Entries[0].Says)
	}
	return s.done(w, r, here(f.get("to")), text, nil)
}
