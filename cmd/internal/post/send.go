package post

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/mail"
	"net/textproto"
	"os"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/wneessen/go-mail/smtp"
)

// ErrUnsure is within the error where a letter may or may not have gone out.
var ErrUnsure = errors.New("the letter may or may not have gone out; look whether it arrived before sending it again")

// Send hands a letter, as it stands in an .eml file, to the server of s. It
// either goes out to everybody named in it or, on an error other than
// [ErrUnsure], to nobody.
func Send(ctx context.Context, s Settings, letter []byte) error {
	if err := s.Check(); err != nil {
		return err
	}
	from, to, err := people(letter)
	if err != nil {
		return err
	}
	letter = undraft(letter)

	conn, err := dial(ctx, s)
	if err != nil {
		return err
	}
	defer conn.Close()
	// A cancelled context cuts the line, whatever step it is at.
	defer context.AfterFunc(ctx, func() { conn.Close() })()
	h := handover{Settings: s, ctx: ctx, conn: conn}
	if err := h.greet(); err != nil {
		return err
	}
	if err := h.signIn(); err != nil {
		return err
	}
	return h.deliver(from, to, letter)
}

// people reads who sends a letter to whom, and refuses one that a plain server
// could not take: 7-bit lines of at most 998 octets (RFC 5321, 2.3.1; RFC
// 5322, 2.1.1).
func people(letter []byte) (from string, to []string, err error) {
	m, err := mail.ReadMessage(bytes.NewReader(letter))
	if err != nil {
		return "", nil, errors.New("the letter is no e-mail file: its header cannot be read")
	}
	for line := range bytes.Lines(letter) {
		text, ended := bytes.CutSuffix(line, []byte("\r\n"))
		if len(text) > 998 || bytes.ContainsFunc(text, func(r rune) bool { return r > '~' || r == 0 || r == '\r' || r == '\n' }) || !ended && bytes.ContainsAny(line, "\r\n") {
			return "", nil, errors.New("the letter has lines that mail servers do not carry; write the .eml file anew")
		}
	}
	senders, err := m.Header.AddressList("From")
	if err != nil || len(senders) != 1 {
		return "", nil, errors.New("the letter does not name one sender")
	}
	for _, name := range []string{"To", "Cc"} {
		if m.Header.Get(name) == "" {
			continue
		}
		list, err := m.Header.AddressList(name)
		if err != nil {
			return "", nil, fmt.Errorf("the letter's addresses under %s cannot be read", name)
		}
		for _, a := range list {
			to = append(to, a.Address)
		}
	}
	if len(to) == 0 {
		return "", nil, errors.New("the letter is addressed to nobody")
	}
	if m.Header.Get("Bcc") != "" {
		return "", nil, errors.New("the letter has a Bcc line, which its readers would see; take it out")
	}
	return senders[0].Address, to, nil
}

// undraft takes the mark of a draft off the header.
func undraft(letter []byte) []byte {
	header, body, _ := bytes.Cut(letter, []byte("\r\n\r\n"))
	return slices.Concat(bytes.Replace(header, []byte("\r\nX-Unsent: 1"), nil, 1), []byte("\r\n\r\n"), body)
}

// dial opens the line. A line in the open must end on this machine, whatever
// its name resolved to.
func dial(ctx context.Context, s Settings) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, s.timeout())
	defer cancel()
	conn, err := (&net.Dialer{}).DialContext(ctx, "tcp", s.address())
	if err != nil {
		return nil, explain(ctx, s, "cannot be reached at "+s.address()+"; check its name, the port and the connection", err)
	}
	if here, ok := conn.RemoteAddr().(*net.TCPAddr); s.Security == None && (!ok || !here.IP.IsLoopback()) {
		conn.Close()
		return nil, fmt.Errorf("%s: is not on this machine; set security to starttls or tls", s.Host)
	}
	if s.Security != TLS {
		return conn, nil
	}
	private := tls.Client(conn, s.tls())
	if err := private.HandshakeContext(ctx); err != nil {
		conn.Close()
		return nil, explain(ctx, s, "no private line from the start; check the port (465 is usual), or set security to starttls", err)
	}
	return private, nil
}

func (s Settings) tls() *tls.Config {
	return &tls.Config{ServerName: s.Host, RootCAs: s.Authorities, MinVersion: tls.VersionTLS12}
}

// A handover is one conversation with a server.
type handover struct {
	Settings
	ctx    context.Context
	conn   net.Conn
	client *smtp.Client
}

// step gives the next step its time.
func (h *handover) step() { h.conn.SetDeadline(time.Now().Add(h.timeout())) }

func (h *handover) fail(what string, err error) error { return explain(h.ctx, h.Settings, what, err) }

// greet exchanges names and turns the line private where asked to.
func (h *handover) greet() (err error) {
	h.step()
	if h.client, err = smtp.NewClient(h.conn, h.Host); err != nil {
		return h.fail("did not greet as a mail server does; check the port, or set security to tls", err)
	}
	h.client.SkipSMTPUTF8(true) // addresses are plain
	// The name of the studio's computer is nobody's business, RFC 5321, 4.1.3
	// allows an address instead.
	h.step()
	if err := h.client.Hello("[127.0.0.1]"); err != nil {
		return h.fail("refused to talk", err)
	}
	if h.Security == TLS || h.Security == None {
		return nil
	}
	if offered, _ := h.client.Extension("STARTTLS"); !offered {
		return fmt.Errorf("%s: the server offers no private line here; set security to tls, with its port (465 is usual)", h.Host)
	}
	h.step()
	if err := h.client.StartTLS(h.tls()); err != nil {
		return h.fail("the line could not be made private", err)
	}
	return nil
}

// signIn proves who the studio is, where a user is set.
func (h *handover) signIn() error {
	if h.User == "" {
		return nil
	}
	_, offered := h.client.Extension("AUTH")
	inTheOpen := h.Security == None
	var auth smtp.Auth
	switch ways := strings.Fields(strings.ToUpper(offered)); {
	case slices.Contains(ways, "SCRAM-SHA-256"):
		auth = smtp.ScramSHA256Auth(h.User, h.Password)
	case slices.Contains(ways, "PLAIN"):
		auth = smtp.PlainAuth("", h.User, h.Password, h.Host, inTheOpen)
	case slices.Contains(ways, "LOGIN"):
		auth = smtp.LoginAuth(h.User, h.Password, h.Host, inTheOpen)
	case len(ways) == 0:
		return fmt.Errorf("%s: the server asks for no password here; check the port, or leave the user empty", h.Host)
	default:
		return fmt.Errorf("%s: the server takes passwords by %s only, which this program does not speak (it speaks SCRAM-SHA-256, PLAIN, LOGIN)", h.Host, clip(offered))
	}
	h.step()
	err := h.client.Auth(auth)
	var reply *textproto.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &reply) && reply.Code/100 == 5:
		// The server's own words are left out: some repeat what was sent.
		return fmt.Errorf("%s: the password was refused (code %d); check user and password, and whether the service wants a password made for mail programs", h.Host, reply.Code)
	case errors.As(err, &reply):
		return fmt.Errorf("%s: the password cannot be checked now (code %d); try again later", h.Host, reply.Code)
	case h.ctx.Err() != nil || isNetwork(err):
		return h.fail("the line broke while signing in", err)
	default:
		return fmt.Errorf("%s: signing in failed; the server did not keep to its own way of doing it", h.Host)
	}
}

// deliver hands the letter over. Receivers come first, so that a refused one
// stops the letter for all.
func (h *handover) deliver(from string, to []string, letter []byte) error {
	h.step()
	if err := h.client.Mail("<" + from + ">"); err != nil {
		return h.fail("refused the sender "+from, err)
	}
	for _, address := range to {
		h.step()
		if err := h.client.Rcpt("<" + address + ">"); err != nil {
			return h.fail("refused the receiver "+address, err)
		}
	}
	h.step()
	w, err := h.client.Data()
	if err != nil {
		return h.fail("refused the letter", err)
	}
	for piece := range slices.Chunk(letter, 64<<10) {
		h.step()
		if _, err := w.Write(piece); err != nil {
			// Without its end the text counts for nothing, RFC 5321, 4.2.5.
			return h.fail("the line broke while the letter was handed over; nothing went out", err)
		}
	}
	h.step()
	err = w.Close()
	var reply *textproto.Error
	switch {
	case errors.As(err, &reply):
		return h.fail("refused the letter", err)
	case err != nil:
		return fmt.Errorf("%s: %w", h.Host, ErrUnsure)
	}
	h.step()
	h.client.Quit() // the letter has gone; how the server says goodbye changes nothing
	return nil
}

// explain puts an error into words: the server, what it did, why.
func explain(ctx context.Context, s Settings, what string, err error) error {
	var reply *textproto.Error
	var certificate *tls.CertificateVerificationError
	var record tls.RecordHeaderError
	var network net.Error
	why := ""
	switch {
	case errors.As(err, &reply):
		why = fmt.Sprintf("%d %s", reply.Code, clip(reply.Msg))
		if reply.Code/100 == 4 {
			why += " (for now; try again later)"
		}
	case errors.As(err, &certificate):
		what, why = "is not trusted to be who it says", clip(certificate.Err.Error())
	case errors.As(err, &record):
		why = "the server does not speak TLS there"
	case errors.Is(ctx.Err(), context.Canceled):
		what, why = "sending was stopped", ""
		err = ctx.Err()
	case errors.As(err, &network) && network.Timeout(), errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded):
		why = fmt.Sprintf("no answer within %s", s.timeout())
	default:
		why = clip(err.Error())
	}
	if why == "" {
		return fmt.Errorf("%s: %s%w", s.Host, what, silent{err})
	}
	return fmt.Errorf("%s: %s: %s%w", s.Host, what, why, silent{err})
}

// silent keeps an error for errors.Is without saying it twice.
type silent struct{ error }

func (silent) Error() string   { return "" }
func (s silent) Unwrap() error { return s.error }

func isNetwork(err error) bool {
	var network net.Error
	return errors.As(err, &network) || errors.Is(err, net.ErrClosed) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
}

// clip makes a server's words one short line.
func clip(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	runes := []rune(strings.Join(strings.Fields(s), " "))
	if len(runes) > 200 {
		return string(runes[:200]) + "…"
	}
	return string(runes)
}
