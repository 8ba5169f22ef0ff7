package web

import (
	"fmt"
	"math"
	"net/http"

	"marchpane/pricing/record"
	"marchpane/templates/page"
)

func (m *routes) accessPages() {
	m.get("/studio/passphrase", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.passphrasePage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/studio/passphrase", m.s.changePassphrase)
}

func (s *Server) passphrasePage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	body := page.Part{Title: "Who may come in", Lead: "Without a passphrase, these pages are for this machine alone. With one, everyone who opens them is asked for it."}
	set := s.passphrase() != ""
	switch {
	case visitOf(r).isDemo:
		body.Notes = []string{"The demo studio has no passphrase of its own. Throw the demo away to set that of your studio."}
	case s.Passphrase != "":
		body.Notes = []string{"The passphrase was given when marchpane was started, in MARCHPANE_PASSPHRASE; it is changed there."}
	default:
		f := page.Form{Action: "/studio/passphrase", Title: "Set a passphrase", Button: "Set it", Lead: "Three or four words that have nothing to do with one another are easy to keep in mind. Only a hash of it is kept: nobody can look it up, not even you."}
		if set {
			f.Title, f.Button = "Change the passphrase", "Change it"
			f.Fields = append(f.Fields, a.field(page.Field{Name: "old", Label: "Passphrase as it is", Kind: "password", Auto: "current-password", Required: true, Wide: true}))
		}
		f.Fields = append(f.Fields,
			a.field(page.Field{Name: "new", Label: "New passphrase", Kind: "password", Auto: "new-password", Help: fmt.Sprintf("At least %d letters.", shortest)}),
			a.field(page.Field{Name: "again", Label: "Once more", Kind: "password", Auto: "new-password"}))
		if set && !s.Reachable {
			f.Fields[1].Help += " Both empty: ask for none any more."
		}
		for i := range f.Fields {
			f.Fields[i].Value = "" // what was typed is not sent back
		}
		f.Faults = a.rest()
		body.Forms = []page.Form{f}
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

// changePassphrase holds from the next request on, for everyone: all others
// have to come in again.
func (s *Server) changePassphrase(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if visitOf(r).isDemo || s.Passphrase != "" {
		return problem{Status: http.StatusConflict, Title: "It is not changed here", Text: "The passphrase was left as it is."}
	}
	var faults record.Faults
	words, hash := f.values.Get("new"), ""
	switch {
	case words != f.values.Get("again"):
		faults.Add("again", "the two differ")
	case words != "":
		if hash, err = HashPassphrase(words); err != nil {
			faults.Add("new", "%s", err)
		}
	case s.passphrase() == "":
		faults.Add("new", "write the passphrase that is to be asked for")
	case s.Reachable:
		faults.Add("new", "these pages can be reached from other machines, so a passphrase has to stay")
	}
	if len(faults) == 0 && s.passphrase() != "" {
		in, wait, err := s.doors.try(f.values.Get("old"))
		switch {
		case err != nil:
			return err
		case wait > 0:
			faults.Add("old", "that was wrong too often; wait %s and try again", plural(int(math.Ceil(wait.Seconds())), "second", "seconds"))
		case !in:
			faults.Add("old", "that is not the passphrase")
		}
	}
	if len(faults) > 0 {
		return s.passphrasePage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	s.doors.looks.Lock()
	defer s.doors.looks.Unlock()
	if err := s.own.store.SetPassphrase(r.Context(), hash, s.Now()); err != nil {
		return err
	}
	s.doors.keep(hash)
	s.sessions.endAll()
	v := s.sessions.begin(w, visitOf(r).session)
	v.mu.Lock()
	v.in = hash != ""
	v.mu.Unlock()
	said := "The passphrase is set. Everyone else has to come in again."
	if hash == "" {
		said = "Nothing is asked for any more."
	}
	v.tell(s.Now(), page.Notice{Text: said}, undo{})
	http.Redirect(w, r, "/studio/passphrase", http.StatusSeeOther)
	return nil
}
