package post_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime"
	"net"
	"net/mail"
	"strings"
	"testing"
	"time"

	"marchpane/cmd/internal/post"
	"marchpane/cmd/internal/post/posttest"
	"marchpane/templates/letter"
)

// ready is a letter as the studio keeps it. Lines of it begin with a point.
func ready(t *testing.T, draft bool) []byte {
	t.Helper()
	var b bytes.Buffer
	err := letter.Write(&b, letter.Letter{
		Envelope: letter.Envelope{
			From: letter.Address{Name: "Zoë, Drei Türme", Address: "hello@drei-tuerme.example"}, To: letter.Address{Name: "Łucja", Address: "lucja@post.example"},
			Date: time.Date(2027, 2, 3, 16, 5, 9, 0, time.UTC), Language: "en", Draft: draft,
		},
		Kind:        letter.Quote,
		Facts:       letter.Facts{Studio: "Drei Türme", Client: "Łucja", QuoteName: "Q-2027-0012", Total: "SECRETSUM", Note: ".\n.point\n..two"},
		Attachments: []letter.Attachment{{Name: "q.pdf", Data: []byte(strings.Repeat("%PDF\n.\n", 30_000))}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestSend: over each kind of line and way of signing in, what arrives is what
// was written, from and to whom it says.
func TestSend(t *testing.T) {
	config, pool := posttest.Certificate(t)
	for _, c := range []struct {
		name     string
		server   *posttest.Server
		security post.Security
		user     string
		heard    string
	}{
		{"starttls, plain", &posttest.Server{Config: config, Ways: "LOGIN PLAIN"}, post.StartTLS, "zoë", "STARTTLS"},
		{"usual, login", &posttest.Server{Config: config, Ways: "LOGIN"}, "", "zoë", "AUTH LOGIN"},
		{"tls", &posttest.Server{Config: config, Direct: true, Ways: "PLAIN"}, post.TLS, "zoë", "AUTH PLAIN"},
		{"none, login", &posttest.Server{Ways: "LOGIN"}, post.None, "zoë", "AUTH LOGIN"},
		{"none, no password", &posttest.Server{}, post.None, "", "DATA"},
		{"refused goodbye", &posttest.Server{Answers: map[string]string{"QUIT": "drop"}}, post.None, "", "QUIT"},
	} {
		s := posttest.Serve(t, c.server)
		set := post.Settings{Host: "127.0.0.1", Port: s.Port(), User: c.user, Security: c.security, Authorities: pool, Timeout: 10 * time.Second}
		if c.user != "" {
			set.Password = "pass wörd"
		}
		text := ready(t, false)
		if err := post.Send(t.Context(), set, text); err != nil {
			t.Errorf("%s: Send = %v", c.name, err)
			continue
		}
		letters := s.Letters()
		if len(letters) != 1 || letters[0] != string(text) {
			t.Errorf("%s: %d letters arrived, or another one", c.name, len(letters))
		}
		if user, password := s.SignedIn(); user != c.user || password != set.Password {
			t.Errorf("%s: signed in as %q with %q", c.name, user, password)
		}
		all := strings.Join(s.Heard(), "\n") + "\n"
		for _, want := range []string{c.heard, "EHLO [127.0.0.1]\n", "MAIL FROM:<hello@drei-tuerme.example> BODY=8BITMIME\n", "RCPT TO:<lucja@post.example>\n"} {
			if !strings.Contains(all, want) {
				t.Errorf("%s: the server did not hear %q:\n%s", c.name, want, all)
			}
		}
		if len(letters) == 1 {
			m, err := mail.ReadMessage(strings.NewReader(letters[0]))
			if err != nil {
				t.Fatal(err)
			}
			to, err := m.Header.AddressList("To")
			kind, _, err2 := mime.ParseMediaType(m.Header.Get("Content-Type"))
			body, err3 := io.ReadAll(m.Body)
			if errors.Join(err, err2, err3) != nil || to[0].Name != "Łucja" || kind != "multipart/mixed" || !bytes.Contains(body, []byte("SECRETSUM")) {
				t.Errorf("%s: what arrived reads %v, %s", c.name, to, kind)
			}
		}
	}
}

// TestDraft: the mark of a draft stays at home.
func TestDraft(t *testing.T) {
	s := posttest.Serve(t, &posttest.Server{})
	draft := ready(t, true)
	if err := post.Send(t.Context(), post.Settings{Host: "localhost", Port: s.Port(), Security: post.None}, draft); err != nil {
		t.Fatal(err)
	}
	if want := strings.Replace(string(draft), "X-Unsent: 1\r\n", "", 1); want == string(draft) || s.Letters()[0] != want {
		t.Errorf("a draft arrived as\n%.900s", s.Letters()[0])
	}
}

// TestRefusals: each error names the server, the step and what to do, and
// neither the letter nor the password. Nothing has gone out.
func TestRefusals(t *testing.T) {
	config, pool := posttest.Certificate(t)
	_, other := posttest.Certificate(t)
	for _, c := range []struct {
		server *posttest.Server
		set    post.Settings
		want   string
	}{
		{&posttest.Server{Config: config, Ways: "PLAIN", Answers: map[string]string{"AUTH": "535 5.7.8 no: sesame"}}, post.Settings{User: "u", Password: "sesame"}, "127.0.0.1: the password was refused (code 535); check user and password"},
		{&posttest.Server{Config: config, Ways: "PLAIN", Answers: map[string]string{"AUTH": "454 4.7.0 later"}}, post.Settings{User: "u", Password: "sesame"}, "the password cannot be checked now (code 454); try again later"},
		{&posttest.Server{Config: config, Ways: "PLAIN", Answers: map[string]string{"AUTH": "hang"}}, post.Settings{User: "u", Password: "sesame"}, "the line broke while signing in: no answer within 300ms"},
		{&posttest.Server{Config: config, Ways: "XOAUTH2 GSSAPI"}, post.Settings{User: "u", Password: "sesame"}, "takes passwords by XOAUTH2 GSSAPI only"},
		{&posttest.Server{Config: config}, post.Settings{User: "u", Password: "sesame"}, "asks for no password here"},
		{&posttest.Server{}, post.Settings{}, "127.0.0.1: the server offers no private line here; set security to tls"},
		{&posttest.Server{Config: config}, post.Settings{Authorities: other}, "127.0.0.1: is not trusted to be who it says: x509: "},
		{&posttest.Server{Config: config, Direct: true}, post.Settings{Security: post.TLS, Authorities: other}, "is not trusted to be who it says: x509: "},
		{&posttest.Server{}, post.Settings{Security: post.TLS}, "no private line from the start; check the port (465 is usual), or set security to starttls"},
		{&posttest.Server{Config: config, Answers: map[string]string{"STARTTLS": "454 not now"}}, post.Settings{}, "the line could not be made private: 454 not now (for now; try again later)"},
		{&posttest.Server{Answers: map[string]string{"greeting": "554 go away"}}, post.Settings{Security: post.None}, "did not greet as a mail server does; check the port, or set security to tls: 554 go away"},
		{&posttest.Server{Answers: map[string]string{"greeting": "hang"}}, post.Settings{Security: post.None}, "no answer within 300ms"},
		{&posttest.Server{Answers: map[string]string{"MAIL": "550 not yours"}}, post.Settings{Security: post.None}, "127.0.0.1: refused the sender hello@drei-tuerme.example: 550 not yours"},
		{&posttest.Server{Answers: map[string]string{"RCPT": "550 5.1.1 nobody\x1b[31m"}}, post.Settings{Security: post.None}, "127.0.0.1: refused the receiver lucja@post.example: 550 5.1.1 nobody [31m"},
		{&posttest.Server{Answers: map[string]string{"RCPT": "450 4.2.0 busy"}}, post.Settings{Security: post.None}, "450 4.2.0 busy (for now; try again later)"},
		{&posttest.Server{Answers: map[string]string{"RCPT": "drop"}}, post.Settings{Security: post.None}, "refused the receiver lucja@post.example: EOF"},
		{&posttest.Server{Answers: map[string]string{"DATA": "554 no"}}, post.Settings{Security: post.None}, "refused the letter: 554 no"},
		{&posttest.Server{Answers: map[string]string{"end": "552 5.3.4 too big"}}, post.Settings{Security: post.None}, "refused the letter: 552 5.3.4 too big"},
	} {
		s := posttest.Serve(t, c.server)
		c.set.Host, c.set.Port, c.set.Timeout = "127.0.0.1", s.Port(), 300*time.Millisecond
		if c.set.Authorities == nil {
			c.set.Authorities = pool
		}
		err := post.Send(t.Context(), c.set, ready(t, false))
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "127.0.0.1: ") || errors.Is(err, post.ErrUnsure) {
			t.Errorf("Send = %v, want %q", err, c.want)
			continue
		}
		if len(s.Letters()) > 0 {
			t.Errorf("Send = %v, and yet a letter went out", err)
		}
		for _, never := range []string{"sesame", "SECRETSUM", "Łucja", "\x1b", "\n", "%!"} {
			if strings.Contains(err.Error(), never) {
				t.Errorf("the error says %q: %v", never, err)
			}
		}
	}
}

// TestUnsure: once the whole text is handed over, silence is no refusal.
func TestUnsure(t *testing.T) {
	for _, how := range []string{"drop", "hang"} {
		s := posttest.Serve(t, &posttest.Server{Answers: map[string]string{"end": how}})
		err := post.Send(t.Context(), post.Settings{Host: "127.0.0.1", Port: s.Port(), Security: post.None, Timeout: 300 * time.Millisecond}, ready(t, false))
		if !errors.Is(err, post.ErrUnsure) || !strings.Contains(err.Error(), "look whether it arrived before sending it again") {
			t.Errorf("%s: Send = %v", how, err)
		}
	}
}

// TestStopped: a cancelled context ends a conversation that hangs.
func TestStopped(t *testing.T) {
	s := posttest.Serve(t, &posttest.Server{Answers: map[string]string{"MAIL": "hang"}})
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(200*time.Millisecond, cancel)
	began := time.Now()
	err := post.Send(ctx, post.Settings{Host: "127.0.0.1", Port: s.Port(), Security: post.None}, ready(t, false))
	if !errors.Is(err, context.Canceled) || err.Error() != "127.0.0.1: sending was stopped" || time.Since(began) > 10*time.Second {
		t.Errorf("Send = %v after %s", err, time.Since(began))
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := l.Addr().(*net.TCPAddr).Port
	l.Close()
	err = post.Send(t.Context(), post.Settings{Host: "127.0.0.1", Port: port, Security: post.None}, ready(t, false))
	if err == nil || !strings.Contains(err.Error(), "127.0.0.1: cannot be reached at 127.0.0.1:") {
		t.Errorf("Send to nobody = %v", err)
	}
}

// TestCheck: settings are refused before a line is opened.
func TestCheck(t *testing.T) {
	for _, c := range []struct {
		set  post.Settings
		want string
	}{
		{post.Settings{}, "no mail server is set; give its name"},
		{post.Settings{Host: "smtp.example.org:587"}, "and the port apart"},
		{post.Settings{Host: "https://smtp.example.org"}, "is no name of a server"},
		{post.Settings{Host: "a b"}, "is no name of a server"},
		{post.Settings{Host: "h.example", Port: 70000}, "port 70000 is not between 1 and 65535"},
		{post.Settings{Host: "h.example", Security: "ssl"}, `security "ssl" is none of starttls, tls, none`},
		{post.Settings{Host: "h.example", Security: post.None}, "anybody on the way could read letters and password"},
		{post.Settings{Host: "localhost.evil.example", Security: post.None}, "anybody on the way"},
		{post.Settings{Host: "h.example", Password: "sesame"}, "a password is set but no user"},
		{post.Settings{Host: "h.example", User: "u\r\nX", Password: "sesame"}, "has a line end in it"},
		{post.Settings{Host: "h.example", Timeout: -1}, "below zero"},
	} {
		err := c.set.Check()
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "sesame") {
			t.Errorf("Check(%+v) = %v, want %q", c.set, err, c.want)
		}
	}
	for _, host := range []string{"smtp.example.org", "127.0.0.1", "::1", "localhost"} {
		if err := (post.Settings{Host: host, User: "u", Password: "p"}).Check(); err != nil {
			t.Errorf("Check(%s) = %v", host, err)
		}
	}
	for _, host := range []string{"127.0.0.1", "::1", "localhost", "127.9.9.9"} {
		if err := (post.Settings{Host: host, Security: post.None}).Check(); err != nil {
			t.Errorf("Check(%s, none) = %v", host, err)
		}
	}
}

// TestLetters: a file that is no letter, or one that servers do not carry.
func TestLetters(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "no e-mail file"},
		{"nonsense", "no e-mail file"},
		{"To: a@b.example\r\n\r\nx", "does not name one sender"},
		{"From: a@b.example, c@d.example\r\nTo: a@b.example\r\n\r\nx", "does not name one sender"},
		{"From: a@b.example\r\n\r\nx", "addressed to nobody"},
		{"From: a@b.example\r\nTo: what\r\n\r\nx", "addresses under To cannot be read"},
		{"From: a@b.example\r\nTo: a@b.example\r\nBcc: c@d.example\r\n\r\nx", "has a Bcc line"},
		{"From: a@b.example\nTo: a@b.example\n\nx", "lines that mail servers do not carry"},
		{"From: a@b.example\r\nTo: a@b.example\r\n\r\né", "lines that mail servers do not carry"},
		{"From: a@b.example\r\nTo: a@b.example\r\n\r\n" + strings.Repeat("x", 999), "lines that mail servers do not carry"},
	} {
		err := post.Send(t.Context(), post.Settings{Host: "127.0.0.1", Port: 1, Security: post.None}, []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Send(%.60q) = %v, want %q", c.text, err, c.want)
		}
	}
}
