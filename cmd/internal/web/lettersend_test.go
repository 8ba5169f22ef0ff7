package web

import (
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/mail"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"marchpane/cmd/internal/post/posttest"
	"marchpane/store"
)

// newMailbox is a mail server that takes one password.
func newMailbox(t *testing.T) *posttest.Server {
	t.Helper()
	return posttest.Serve(t, &posttest.Server{Ways: "PLAIN", Password: "pass wörd"})
}

// partsOf reads a letter as Go's net/mail and mime/multipart do: its subject,
// its plain text and the names of its files.
func partsOf(t *testing.T, text string) (head mail.Header, plain string, files []string) {
	t.Helper()
	letter, err := mail.ReadMessage(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	var walk func(kind string, body io.Reader)
	walk = func(kind string, body io.Reader) {
		name, params, err := mime.ParseMediaType(kind)
		if err != nil || !strings.HasPrefix(name, "multipart/") {
			return
		}
		parts := multipart.NewReader(body, params["boundary"])
		for {
			p, err := parts.NextPart()
			if err != nil {
				return
			}
			if p.FileName() != "" {
				files = append(files, p.FileName())
			}
			if strings.HasPrefix(p.Header.Get("Content-Type"), "text/plain") {
				text, _ := io.ReadAll(p)
				plain = strings.ReplaceAll(string(text), "\r\n", "\n")
			}
			walk(p.Header.Get("Content-Type"), p)
		}
	}
	walk(letter.Header.Get("Content-Type"), letter.Body)
	return letter.Header, plain, files
}

// A letter is read, and then sent deliberately; what went out is what was read,
// and only what went out is noted.
func TestSendLetterFromPage(t *testing.T) {
	v := visitStudio(t, true)
	post := newMailbox(t)
	if err := v.store.SetMailServer(t.Context(), &store.MailServer{Host: "127.0.0.1", Port: post.Port(), User: "zoë", Security: "none"}); err != nil {
		t.Fatal(err)
	}
	sent := func() int {
		t.Helper()
		list, err := v.store.Sendings(t.Context(), "2026-0001")
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}
	read := func(more ...string) answer {
		t.Helper()
		return v.post("/quotes/2026-0001/letter", append([]string{"kind", "quote", "to", "m@example.org", "note", "See you on Tuesday."}, more...)...).expect(t, 200)
	}
	send := func(a answer, more ...string) answer {
		t.Helper()
		return v.post("/quotes/2026-0001/letter/send", append([]string{"kind", "quote", "to", "m@example.org", "note", "See you on Tuesday.", "version", a.value(t, "version")}, more...)...)
	}

	a := read()
	a.has(t, "Nothing has gone out yet", "m@example.org", "See you on Tuesday.", "2026-0001-A.pdf", "Password of zoë", "127.0.0.1")
	if a := v.post("/quotes/2026-0001/letter", "change", "yes", "kind", "quote", "to", "m@example.org", "note", "See you on Tuesday.").expect(t, 200); a.value(t, "to") != "m@example.org" {
		t.Error("what was typed is lost on the way back")
	}
	if sent() != 0 || len(post.Letters()) != 0 {
		t.Fatal("something went out by looking at it")
	}

	// Nothing goes out, and nothing is noted, where anything is refused.
	send(a).expect(t, 422).has(t, "asks for the password")
	wrong := send(a, "password", "S3CRET", "keep", "yes").expect(t, 502)
	wrong.has(t, "did not go out, and nothing is noted", "the password was refused")
	if strings.Contains(wrong.body, "S3CRET") {
		t.Error("a page repeats a password")
	}
	for verb, says := range map[string]string{"MAIL": "553 who are you", "RCPT": "550 no such mailbox", "DATA": "451 full", "end": "550 spam", "greeting": "554 no service"} {
		post.Refuse(verb, says)
		send(a, "password", "pass wörd").expect(t, 502).has(t, "did not go out, and nothing is noted", says[:3])
	}
	post.Refuse("", "")
	if n := sent(); n != 0 || len(post.Letters()) != 0 {
		t.Fatalf("%d letters are noted that never went out", n)
	}

	// What was looked at, and nothing else.
	v.post("/quotes/2026-0001/letter/send", "kind", "quote", "to", "other@example.org", "version", a.value(t, "version"), "password", "pass wörd").expect(t, 409).has(t, "Nothing went out just now", "other@example.org")
	v.post("/quotes/2026-0001/letter/send", "kind", "receipt", "to", "m@example.org", "version", a.value(t, "version"), "password", "pass wörd").expect(t, 422).has(t, "never accepted")

	done := send(a, "password", "pass wörd", "keep", "yes").expect(t, 200)
	done.has(t, "went to m@example.org", "Letter: quote", "sent")
	if sent() != 1 || len(post.Letters()) != 1 {
		t.Fatalf("%d letters went out and %d are noted, want 1 and 1", len(post.Letters()), sent())
	}
	head, plain, files := partsOf(t, post.Letters()[0])
	if to := head.Get("To"); !strings.Contains(to, "m@example.org") || head.Get("X-Unsent") != "" {
		t.Errorf("the letter went to %q", to)
	}
	if len(files) != 1 || files[0] != "2026-0001-A.pdf" {
		t.Errorf("with it went %q", files)
	}
	if word := decodedText(plain); !strings.Contains(word, "See you on Tuesday.") {
		t.Errorf("the letter says %q", word)
	}
	subject, err := (&mime.WordDecoder{}).DecodeHeader(head.Get("Subject"))
	if err != nil {
		t.Fatal(err)
	}
	a.has(t, subject)

	// Pressed twice it goes once; the password is remembered, and for this
	// server alone.
	send(a).expect(t, 409).has(t, "went out already")
	again := read()
	if strings.Contains(again.body, `name="password"`) {
		t.Error("a remembered password is asked for again")
	}
	send(again).expect(t, 200).has(t, "went to m@example.org")
	v.another().post("/quotes/2026-0001/letter", "kind", "quote", "to", "m@example.org").expect(t, 200).has(t, "Password of zoë")
	other := newMailbox(t)
	if err := v.store.SetMailServer(t.Context(), &store.MailServer{Host: "localhost", Port: other.Port(), User: "zoë", Security: "none"}); err != nil {
		t.Fatal(err)
	}
	send(read()).expect(t, 422).has(t, "asks for the password")
	if _, password := other.SignedIn(); password != "" {
		t.Error("a password went to a server that it was not given for")
	}

	// Where the line breaks at the very end nobody knows, and that is said.
	other.Refuse("end", "drop")
	send(read(), "password", "pass wörd").expect(t, 502).has(t, "may have gone out or not", "Nothing is noted")
	if sent() != 2 {
		t.Errorf("%d letters are noted, want 2", sent())
	}
}

// decodedText takes the line ends of quoted-printable out.
func decodedText(text string) string {
	return strings.ReplaceAll(text, "=\n", "")
}

func TestTryMail(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/studio/mail").expect(t, 200)
	if a := v.get("/studio/mail"); strings.Contains(a.body, "/studio/mail/try") {
		t.Error("without a mail server there is something to try")
	}
	v.post("/studio/mail/try").expect(t, 502)
	post := newMailbox(t)
	v.post("/studio/mail", "host", "127.0.0.1", "port", fmt.Sprint(post.Port()), "user", "zoë", "security", "none").expect(t, 200).has(t, "Send me a letter")
	v.post("/studio/mail/try").expect(t, 502).has(t, "asks for the password")
	v.post("/studio/mail/try", "password", "wrong").expect(t, 502).has(t, "the password was refused")
	post.Refuse("RCPT", "550 no such mailbox")
	v.post("/studio/mail/try", "password", "pass wörd").expect(t, 502).has(t, "did not go out", "550 no such mailbox")
	post.Refuse("", "")
	studio := mustBook(t, v).Book.Studio
	v.post("/studio/mail/try", "password", "pass wörd").expect(t, 200).has(t, "took a letter to "+studio.Email.Value)
	if got := post.Letters(); len(got) != 1 || !strings.Contains(got[0], "To: ") || !strings.Contains(got[0], studio.Email.Value) {
		t.Errorf("what arrived is %q", got)
	}
}

// A letter on its way to a mail server that takes its time keeps nobody else
// waiting, in the demo neither, nor whoever throws the demo away.
func TestSlowMailKeepsNobodyWaiting(t *testing.T) {
	v := visitStudio(t, false)
	v.post("/demo").has(t, "You are in the demo studio")
	post := newMailbox(t)
	post.Refuse("MAIL", "hang")
	v.post("/studio/mail", "host", "127.0.0.1", "port", fmt.Sprint(post.Port()), "user", "zoë", "security", "none").expect(t, 200)
	read := v.post("/quotes/2026-0001/letter", "kind", "quote", "to", "m@example.org").expect(t, 200)
	demo := v.server.demo.studio.store.Path()

	sent := make(chan answer, 1)
	go func() {
		sent <- v.post("/quotes/2026-0001/letter/send", "kind", "quote", "to", "m@example.org", "version", read.value(t, "version"), "password", "pass wörd")
	}()
	for len(post.Heard()) < 3 { // until it is on its way
		time.Sleep(5 * time.Millisecond)
	}
	stillOut := func(what string) {
		t.Helper()
		select {
		case a := <-sent:
			t.Fatalf("%s waited for the letter, which came back with %d", what, a.status)
		default:
		}
	}
	v.get("/prices").expect(t, 200).has(t, "You are in the demo studio")
	stillOut("a page")
	v.post("/prices/new", "name", "Rose petals", "kind", "ingredient", "measure", "mass").expect(t, 200)
	stillOut("a form")
	other := v.another()
	other.post("/demo").has(t, "You are in the demo studio")
	stillOut("another visitor")
	if a := v.post("/demo/leave"); a.path != "/welcome" {
		t.Errorf("throwing the demo away led to %s", a.path)
	}
	stillOut("who threw the demo away")
	// What somebody filled in for that demo is not for their own studio.
	other.post("/welcome", "name", "Theirs", "currency", "EUR", "target.margin", "30").expect(t, 409).has(t, "The demo studio is gone")
	if a := other.get("/prices"); a.path != "/welcome" {
		t.Errorf("the other visitor is at %s", a.path)
	}
	stillOut("pages after the demo")

	post.Close()
	if a := <-sent; a.status != 502 {
		t.Errorf("the letter came back with %d", a.status)
	}
	if err := v.server.demo.gone(); err != nil {
		t.Error(err)
	}
	if found, _ := filepath.Glob(demo + "*"); len(found) > 0 {
		t.Errorf("the demo is still there: %v", found)
	}
	other.post("/welcome", "name", "Theirs", "currency", "EUR", "locale", "en-IE", "target.margin", "30").expect(t, 200).has(t, "Theirs is open")
}
