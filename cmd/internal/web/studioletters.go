package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/cmd/internal/post"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/letter"
	"marchpane/templates/page"
)

func (m *routes) letterPages() {
	m.get("/studio/letters", m.s.listLetters)
	m.get("/studio/letters/{language}/{kind}", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.letterPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/studio/letters/{language}/{kind}", m.s.saveWording)
	m.post("/studio/letters/{language}/{kind}/preview", m.s.previewWording)
	m.post("/studio/letters/{language}/{kind}/reset", m.s.resetWording)
}

// letterNames say when each kind of letter is written.
var letterNames = map[letter.Kind]string{
	letter.Quote: "With a quote", letter.Revision: "With a changed quote", letter.Receipt: "With a receipt", letter.Reminder: "When a payment is due", letter.Cancellation: "When an order is cancelled",
}

var languageNames = map[string]string{"en": "English", "de": "Deutsch", "fr": "Français", "es": "Español", "it": "Italiano", "nl": "Nederlands", "pt": "Português"}

func languageName(tag string) string {
	if name := languageNames[tag]; name != "" {
		return name
	}
	return tag
}

func (s *Server) listLetters(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	language := r.URL.Query().Get("language")
	if !slices.Contains(letter.Languages(), language) {
		language = document.NewLocale(x.Book.Studio.Locale.Or("en")).Messages().Language
	}
	own, err := s.store(r).Wordings(r.Context())
	if err != nil {
		return err
	}
	body := page.Part{Title: "Wording of letters", Lead: "What your e-mails to clients say, in each language. Ours is there until you write your own."}
	for _, tag := range letter.Languages() {
		body.Views = append(body.Views, page.Link{Text: languageName(tag), Href: "/studio/letters?language=" + tag, Current: tag == language})
	}
	t := page.Table{Caption: "Letters in " + languageName(language), Brief: true, Heads: []page.Head{{Text: "Letter"}, {Text: "Wording", Key: true}}}
	for _, k := range letter.Kinds() {
		whose := "ours"
		if slices.Contains(own, store.OwnWording{Kind: string(k), Language: language}) {
			whose = "your own"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: letterNames[k], Href: "/studio/letters/" + language + "/" + string(k)}, {Text: whose}}})
	}
	body.Tables = []page.Table{t}
	return s.show(w, r, "part", body.Title, body, studioCrumbs(body.Title)...)
}

// wordingOf returns the wording that the address is about.
func (s *Server) wordingOf(r *http.Request) (language string, kind letter.Kind, wording string, own bool, err error) {
	language, kind = r.PathValue("language"), letter.Kind(r.PathValue("kind"))
	if !slices.Contains(letter.Languages(), language) || !slices.Contains(letter.Kinds(), kind) {
		return "", "", "", false, notFound("letter")
	}
	if wording, own, err = s.store(r).Wording(r.Context(), language, string(kind)); err == nil && !own {
		wording = letter.Default(language, kind)
	}
	return language, kind, wording, own, err
}

func (s *Server) letterPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	language, kind, wording, own, err := s.wordingOf(r)
	if err != nil {
		return err
	}
	at := "/studio/letters/" + language + "/" + string(kind)
	field := a.field(page.Field{Name: "wording", Label: "Wording", Kind: "long", Wide: true, Value: strings.TrimRight(wording, "\n"), Required: true, Help: "The first line is the subject. Facts stand in double braces; those that are not known are left out. A line of -- begins the signature."})
	body := page.Part{
		Title: letterNames[kind] + ", " + languageName(language), Live: "letter",
		Forms: []page.Form{{Action: at, Button: "Keep this wording", Guard: true, Version: a.version(versionOf(wording)), Fields: []page.Field{field}, Faults: a.rest(), Live: at + "/preview", Target: "letter"}},
	}
	if body.Trial = previewOf(field.Value, wordsOf(x.Book.Studio), x.Book.Studio.Name); len(field.Faults) > 0 {
		body.Trial = page.Trial{}
	}
	if own {
		body.Buttons = []page.Button{{Action: at + "/reset", Text: "Go back to our wording", Loss: true}}
	}
	t := page.Table{Caption: "Facts that a letter may use", Shown: true, Brief: true, Heads: []page.Head{{Text: "Write"}, {Text: "for", Plain: true}}}
	for _, word := range letter.Words() {
		write := "{{." + word.Name + "}}"
		if word.List {
			write = "{{range ." + word.Name + "}} … {{end}}"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: write}, {Text: word.Meaning}}})
	}
	body.Tables = []page.Table{t}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title, page.Link{Text: "Wording of letters", Href: "/studio/letters?language=" + language})...)
}

// previewOf fills a wording with made-up facts.
func previewOf(wording string, words words, studio string) page.Trial {
	wording = strings.ReplaceAll(wording, "\r\n", "\n")
	if err := letter.Check(wording); err != nil {
		return page.Trial{Title: "Not yet", Text: sentence(err.Error()), Bad: true}
	}
	money := func(n int64) string { return words.money(exact.Int(n)) }
	subject, text, err := letter.Fill(wording, letter.Facts{
		Studio: studio, Signer: studio, Client: "Zoë Šimková", QuoteName: "2026-0001 A", EventDate: words.locale.LongDate(exampleDay), Venue: "The Old Barn",
		Total: money(640), ValidUntil: words.day(exampleDay.AddDays(-180)), Deposit: money(160), DepositDue: words.day(exampleDay.AddDays(-170)),
		Previous: money(600), Changes: []string{"90 → 110"}, Receipt: "R-1", Received: money(160), ReceivedOn: words.day(exampleDay.AddDays(-172)),
		Balance: money(480), BalanceDue: words.day(exampleDay.AddDays(-14)), Due: money(480), DueFor: "", DueOn: words.day(exampleDay.AddDays(-14)),
		Cancelled: words.day(exampleDay.AddDays(-60)), Kept: money(160), Refund: money(80),
	})
	if err != nil {
		return page.Trial{Title: "Not yet", Text: sentence(err.Error()), Bad: true}
	}
	return page.Trial{Title: subject, Text: "", Lines: strings.Split(text, "\n")}
}

func (s *Server) previewWording(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	return s.fragment(w, r, "part", "trial", previewOf(f.get("wording"), wordsOf(x.Book.Studio), x.Book.Studio.Name))
}

func (s *Server) saveWording(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	language, kind, old, _, err := s.wordingOf(r)
	if err != nil {
		return err
	}
	at := "/studio/letters/" + language + "/" + string(kind)
	text := f.get("wording")
	var faults record.Faults
	if text == "" {
		faults.Add("wording", "there is nothing in it; to have our wording again, go back to it below")
	} else if err := letter.Check(text); err != nil {
		faults.Add("wording", "%s", err)
	}
	if len(faults) > 0 {
		return s.letterPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if f.version != "" && f.version != versionOf(old) && text != old {
		stands := clash{version: versionOf(old), name: "This wording", stored: []pair{{"wording", old}}, typed: []pair{{"wording", text}}}
		_, err := s.showClash(w, r, stands, f, at, at)
		return err
	}
	return s.setWording(w, r, language, kind, text, "Your wording is kept.")
}

func (s *Server) resetWording(w http.ResponseWriter, r *http.Request) error {
	language, kind, _, _, err := s.wordingOf(r)
	if err != nil {
		return err
	}
	return s.setWording(w, r, language, kind, "", "It is our wording again.")
}

// setWording keeps a wording; "" is ours.
func (s *Server) setWording(w http.ResponseWriter, r *http.Request, language string, kind letter.Kind, text, said string) error {
	st := s.store(r)
	old, _, err := st.Wording(r.Context(), language, string(kind))
	if err != nil {
		return err
	}
	if err := st.SetWording(r.Context(), language, string(kind), text); err != nil {
		return err
	}
	return s.done(w, r, "/studio/letters/"+language+"/"+string(kind), said, func(ctx context.Context) (string, error) {
		now, _, err := st.Wording(ctx, language, string(kind))
		if err == nil && now != text {
			err = tooLate("The wording")
		}
		if err != nil {
			return "", err
		}
		return "The wording is as it was before.", st.SetWording(ctx, language, string(kind), old)
	})
}

func (m *routes) mailPages() {
	m.get("/studio/mail", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.mailPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/studio/mail", m.s.saveMail)
	m.post("/studio/mail/forget", m.s.forgetMail)
	m.post("/studio/mail/try", m.s.tryMail)
}

func (s *Server) mailFigure(r *http.Request) (string, error) {
	m, there, err := s.store(r).MailServer(r.Context())
	if !there {
		return "none; letters become files", err
	}
	return m.Host, err
}

func (s *Server) mailPage(w http.ResponseWriter, r *http.Request, status int, a *asking, trouble ...string) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	m, there, err := s.store(r).MailServer(r.Context())
	if err != nil {
		return err
	}
	port, security := "", string(post.StartTLS)
	if m.Port != 0 {
		port = fmt.Sprint(m.Port)
	}
	if there {
		security = m.Security
	}
	f := page.Form{Action: "/studio/mail", Button: "Save", Guard: true, Version: a.version(versionOf(m)), Fields: []page.Field{
		a.field(page.Field{Name: "host", Label: "Server", Value: m.Host, Required: true, Help: "From your mail provider: mail.example.org."}),
		a.field(page.Field{Name: "user", Label: "You sign in there as", Value: m.User, Auto: "username"}),
		a.field(page.Field{Name: "security", Label: "The line is kept private by", Kind: "choice", Value: security, Options: []page.Option{{Value: "starttls", Text: "STARTTLS, most often port 587"}, {Value: "tls", Text: "TLS from the start, most often port 465"}, {Value: "none", Text: "nothing: a server on this machine"}}}),
		a.field(page.Field{Name: "port", Label: "Port", Kind: "number", Value: port, Help: "Empty for the usual one."}),
	}}
	f.Faults = a.rest()
	body := page.Part{
		Title: "Mail server", Lead: "Letters are files that your mail program opens. With a server named here they can also go out directly.", Forms: []page.Form{f},
		Notes: []string{"The password is never stored. It is asked for when a letter goes out. Whoever starts Marchpane can give it then instead, as MARCHPANE_MAIL_PASSWORD; it goes only to the server that is named here at the start."},
	}
	way, err := s.Desk.Mail(r.Context(), s.store(r))
	if err != nil {
		return err
	}
	if there {
		trial := s.sendForm(w, r, "/studio/mail/try", way, nil)
		trial.Title, trial.Lead, trial.Button, trial.Quiet = "Try it", "Sends a short letter to the studio's own address, and to nobody else.", "Send me a letter", true
		body.Forms = append(body.Forms, *trial)
		body.Trouble = trouble
		body.Buttons = []page.Button{{Action: "/studio/mail/forget", Text: "Forget the mail server", Loss: true}}
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

func (s *Server) saveMail(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	old, _, err := s.store(r).MailServer(r.Context())
	if err != nil {
		return err
	}
	m := store.MailServer{Host: f.get("host"), User: f.get("user"), Security: f.get("security")}
	var faults record.Faults
	if text := f.get("port"); text != "" {
		n, ok := wholeNumber(text).(int)
		if m.Port = n; !ok || n < 1 || n > 65535 {
			faults.Add("port", "a port is a number from 1 to 65535")
		}
	}
	settings := post.Settings{Host: m.Host, Port: m.Port, User: m.User, Security: post.Security(m.Security)}
	if m.User != "" {
		settings.Password = "asked for later" // so that the rest is checked
	}
	if err := settings.Check(); err != nil && len(faults) == 0 {
		faults.Add("host", "%s", err)
	}
	if len(faults) > 0 {
		return s.mailPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if f.version != "" && f.version != versionOf(old) && m != old {
		_, err := s.showClash(w, r, clash{version: versionOf(old), name: "The mail server", stored: flat(old), typed: flat(m)}, f, "/studio/mail", "/studio/mail")
		return err
	}
	return s.setMail(w, r, &m, "The mail server is kept; its password is not.")
}

func (s *Server) forgetMail(w http.ResponseWriter, r *http.Request) error {
	return s.setMail(w, r, nil, "The mail server is forgotten; letters are files again.")
}

func (s *Server) setMail(w http.ResponseWriter, r *http.Request, m *store.MailServer, said string) error {
	st := s.store(r)
	old, there, err := st.MailServer(r.Context())
	if err != nil {
		return err
	}
	if err := st.SetMailServer(r.Context(), m); err != nil {
		return err
	}
	before := &old
	if !there {
		before = nil
	}
	return s.done(w, r, "/studio/mail", said, func(ctx context.Context) (string, error) {
		now, there, err := st.MailServer(ctx)
		if err == nil && (there != (m != nil) || m != nil && now != *m) {
			err = tooLate("The mail server")
		}
		if err != nil {
			return "", err
		}
		return "The mail server is as it was before.", st.SetMailServer(ctx, before)
	})
}

// exampleDay is the day of the event in letters that are only looked at.
var exampleDay = day.Must("2027-06-12")
