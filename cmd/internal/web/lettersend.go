package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"marchpane/store"
	"marchpane/templates/letter"
	"marchpane/templates/page"
)

// mailPatience bounds the sending of a letter as a whole: within what the
// server allows an answer to take.
const mailPatience = 75 * time.Second

// askedLetter is the letter that a form asks for.
func askedLetter(f form) LetterAsk {
	return LetterAsk{Kind: f.get("kind"), To: f.get("to"), Payment: f.get("payment"), Note: f.get("note"), Calendar: f.ticked("calendar")}
}

// keptLetter carries what was asked for to the next page.
func keptLetter(ask LetterAsk) []page.Field {
	kept := []page.Field{}
	add := func(name, value string) {
		if value != "" {
			kept = append(kept, page.Field{Name: name, Kind: "hidden", Value: value})
		}
	}
	add("kind", ask.Kind)
	add("to", ask.To)
	add("payment", ask.Payment)
	add("note", ask.Note)
	if ask.Calendar {
		add("calendar", "yes")
	}
	return kept
}

// readingPage shows a letter as it would go out, before anything does.
func (s *Server) readingPage(w http.ResponseWriter, r *http.Request, status int, q store.SavedQuote, ask LetterAsk, trouble ...string) error {
	look, err := s.Desk.LookAtLetter(r.Context(), s.store(r), q, ask)
	if err != nil {
		return err
	}
	way, err := s.Desk.Mail(r.Context(), s.store(r))
	if err != nil {
		return err
	}
	at := quoteAt(q.Ref())
	ask.Kind, ask.To = look.Kind, look.To.Address
	body := page.Letter{
		Title: "Read it before it goes out", Lead: "This is the whole letter, in the language of the client's papers. Nothing has gone out yet.", Trouble: trouble, Body: look.Body, Cancel: at,
		Figures: []page.Figure{{Label: "From", Value: written(look.From)}, {Label: "To", Value: written(look.To), Strong: true}, {Label: "Subject", Value: look.Subject}},
		Save:    page.Button{Action: at + "/letter/file", Text: "Save it as a file", Quiet: way.Known, Kept: keptLetter(ask)},
		Change:  page.Button{Action: at + "/letter", Text: "Change it", Quiet: true, Kept: append(keptLetter(ask), page.Field{Name: "change", Kind: "hidden", Value: "yes"})},
	}
	if !way.Known {
		body.Setup = &page.Link{Text: "Name a mail server", Href: "/studio/mail"}
	} else {
		body.Send = s.sendForm(w, r, at+"/letter/send", way, append(keptLetter(ask), page.Field{Name: "version", Kind: "hidden", Value: look.Version}))
		body.Send.Title, body.Send.Button, body.Send.Lead = "Send it", "Send it to "+look.To.Address, "It leaves through "+way.Host+" at once, and cannot be called back. That it went out is noted on the quote's trail."
	}
	for _, f := range look.Files {
		body.Files = append(body.Files, page.Link{Text: f.Name, Href: paperOf(q, f.Name), Key: weight(len(f.Data))})
	}
	return s.showAs(w, r, status, "letter", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Letter", Href: at + "/letter"}, page.Link{Text: "Read it"})...)
}

// paperOf leads to a paper that goes with a letter, where it has a page.
func paperOf(q store.SavedQuote, name string) string {
	switch {
	case name == q.Ref()+"-"+q.Quote.Revision+".pdf":
		return quoteAt(q.Ref()) + "/" + q.Quote.Revision + ".pdf"
	case strings.HasPrefix(name, "R") && strings.HasSuffix(name, ".pdf"):
		return "/payments/" + url.PathEscape(name)
	}
	return ""
}

// written is an address as a letter's head has it.
func written(a letter.Address) string {
	if a.Name == "" {
		return a.Address
	}
	return a.Name + ", " + a.Address
}

// weight says how large a file is.
func weight(n int) string {
	if n < 1000 {
		return plural(n, "byte", "bytes")
	}
	return fmt.Sprintf("%d kB", (n+999)/1000)
}

// sendForm asks for the password where one is needed and not known.
func (s *Server) sendForm(w http.ResponseWriter, r *http.Request, action string, way MailWay, kept []page.Field) *page.Form {
	f := &page.Form{Action: action, Fields: kept}
	if way.Asks && visitOf(r).session.mailPassword(way) == "" {
		s.session(w, r) // begins here, so that the next page has one to remember in
		f.Fields = append(f.Fields,
			page.Field{Name: "password", In: "send", Label: "Password of " + way.User, Kind: "password", Required: true, Auto: "off", Help: "That of your mail account at " + way.Host + "."},
			page.Field{Name: "keep", In: "send", Label: "Do not ask again until I leave: it is remembered here, and written nowhere", Kind: "tick", Wide: true})
	}
	return f
}

// passwordFor returns the password that a form gives, or that is remembered.
func (s *Server) passwordFor(r *http.Request, f form, way MailWay) string {
	if typed := f.values.Get("password"); typed != "" {
		return typed
	}
	return visitOf(r).session.mailPassword(way)
}

// keepPassword remembers a password that the mail server took, where that is
// wanted, and forgets one otherwise refused.
func (s *Server) keepPassword(r *http.Request, f form, way MailWay, taken bool) {
	switch {
	case !way.Asks:
	case !taken:
		visitOf(r).session.keepMail(way, "")
	case f.ticked("keep") && f.values.Get("password") != "":
		visitOf(r).session.keepMail(way, f.values.Get("password"))
	}
}

// keptMail is a password, and whom it was given for: it goes to no other server.
type keptMail struct {
	way      MailWay
	password string
}

func (v *session) mailPassword(way MailWay) string {
	if v == nil {
		return ""
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.mail.way != way {
		return ""
	}
	return v.mail.password
}

func (v *session) keepMail(way MailWay, password string) {
	if v == nil {
		return
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	v.mail = keptMail{way, password}
}

// sendLetter sends what was looked at, and nothing else.
func (s *Server) sendLetter(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st := s.store(r)
	q, err := st.Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	way, err := s.Desk.Mail(r.Context(), st)
	if err != nil {
		return err
	}
	asked, password := askedLetter(f), s.passwordFor(r, f, way)
	if way.Asks && password == "" {
		return s.readingPage(w, r, http.StatusUnprocessableEntity, q, asked, "Nothing went out: "+way.Host+" asks for the password of "+way.User+".")
	}
	var look LetterLook
	err = s.mailing(r, func(ctx context.Context) (err error) {
		look, err = s.Desk.SendLetter(ctx, st, q, asked, f.version, password)
		return err
	})
	var fault MailFault
	switch {
	case errors.Is(err, ErrLetterChanged):
		return s.readingPage(w, r, http.StatusConflict, q, asked, "Nothing went out just now: the letter is another than the one you read, or it went out already. Look at the quote's trail, read it again, and send it if it is still right.")
	case errors.As(err, &fault):
		s.keepPassword(r, f, way, false)
		return s.readingPage(w, r, http.StatusBadGateway, q, asked, mailTrouble(fault)...)
	case err != nil:
		return s.orAskAgain(w, r, f, err)
	}
	s.keepPassword(r, f, way, true)
	return s.done(w, r, quoteAt(q.Ref())+"#trail", fmt.Sprintf("The letter with %s went to %s.", aboutLetters[look.Kind], look.To.Address), nil)
}

// mailing does what talks to the mail server, one after another: somebody who
// presses twice sends one letter. It goes on where the browser has gone away,
// since half a letter would leave everybody in doubt.
func (s *Server) mailing(r *http.Request, do func(context.Context) error) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(r.Context()), mailPatience)
	defer cancel()
	select {
	case s.post <- struct{}{}:
	case <-ctx.Done():
		return MailFault{Err: errors.New("another letter is still under way; try again in a minute")}
	}
	defer func() { <-s.post }()
	return do(ctx)
}

// mailTrouble says what became of a letter that the server did not take.
func mailTrouble(fault MailFault) []string {
	switch {
	case fault.Gone:
		return []string{sentence(fault.Error())}
	case fault.Unsure:
		return []string{"The line broke at the very end, so the letter may have gone out or not. Nothing is noted. Look into your mail account whether it was sent before you send it again."}
	}
	return []string{"The letter did not go out, and nothing is noted.", sentence(plainly(fault.Error()))}
}

// tryMail sends a letter to the studio itself.
func (s *Server) tryMail(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st := s.store(r)
	way, err := s.Desk.Mail(r.Context(), st)
	if err != nil {
		return err
	}
	password := s.passwordFor(r, f, way)
	if way.Asks && password == "" {
		return s.mailTrial(w, r, "Nothing went out: "+way.Host+" asks for the password of "+way.User+".")
	}
	var to string
	err = s.mailing(r, func(ctx context.Context) (err error) {
		to, err = s.Desk.TryMail(ctx, st, password)
		return err
	})
	var fault MailFault
	if errors.As(err, &fault) {
		s.keepPassword(r, f, way, false)
		return s.mailTrial(w, r, mailTrouble(fault)...)
	}
	if err != nil {
		return err
	}
	s.keepPassword(r, f, way, true)
	return s.done(w, r, "/studio/mail", "The mail server took a letter to "+to+". Look whether it arrives.", nil)
}

// mailTrial shows the page of the mail server, with what became of a trial.
func (s *Server) mailTrial(w http.ResponseWriter, r *http.Request, trouble ...string) error {
	return s.mailPage(w, r, http.StatusBadGateway, ask(nil, nil), trouble...)
}
