// Package posttest is a mail server for tests: RFC 5321 in a few lines, over a
// plain line, one that is made private, or one that is private from the start. It
// says what it is told to and keeps what it gets.
package posttest

import (
	"bufio"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/textproto"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// A Server is a mail server. Its fields are set before [Serve]; what changes
// meanwhile goes by its methods.
type Server struct {
	Direct bool        // TLS from the start
	Config *tls.Config // nil where it offers none
	Ways   string      // of signing in
	// Password is the only one it takes; "" any.
	Password string
	// Answers are what it says to a command in place of what is usual, by its verb,
	// by the whole of MAIL or RCPT, or by "greeting" and "end" of the text. "hang"
	// is silence, "drop" an end of the line.
	Answers map[string]string

	port int
	stop context.CancelFunc

	mu             sync.Mutex
	heard          []string
	letters        []string
	user, password string
}

// Port returns where it listens.
func (s *Server) Port() int { return s.port }

// Close ends every line that is open.
func (s *Server) Close() { s.stop() }

// Heard returns what was said to it, a line each.
func (s *Server) Heard() []string { return kept(s, &s.heard) }

// Letters returns the letters that arrived whole, as they came.
func (s *Server) Letters() []string { return kept(s, &s.letters) }

// SignedIn returns by which name and password somebody last signed in, or tried.
func (s *Server) SignedIn() (user, password string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.user, s.password
}

// Refuse makes it say something else to one command from now on, and what is usual
// to all others; "" to all.
func (s *Server) Refuse(command, answer string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.Answers = map[string]string{command: answer}
}

func kept(s *Server, list *[]string) []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(*list)
}

// said is what it says to a command, where that is not what is usual.
func (s *Server) said(command string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.Answers[command]
}

// Serve runs a server for the length of a test.
func Serve(t *testing.T, s *Server) *Server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if s.Direct {
		l = tls.NewListener(l, s.Config)
	}
	s.port = l.Addr().(*net.TCPAddr).Port
	ctx, stop := context.WithCancel(context.Background())
	s.stop = stop
	var all sync.WaitGroup
	all.Go(func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			context.AfterFunc(ctx, func() { conn.Close() })
			all.Go(func() { s.talk(conn) })
		}
	})
	t.Cleanup(func() { l.Close(); stop(); all.Wait() })
	return s
}

func (s *Server) talk(conn net.Conn) {
	defer func() { conn.Close() }()
	conn.SetDeadline(time.Now().Add(20 * time.Second))
	r := textproto.NewReader(bufio.NewReader(conn))
	say := func(line string) { fmt.Fprintf(conn, "%s\r\n", line) }
	// answer says what the test wants said to a command; "hang" is silence,
	// "drop" an end of the line.
	answer := func(command, usual string) bool {
		switch a := s.said(command); a {
		case "":
			say(usual)
			return true
		case "hang":
			io.Copy(io.Discard, conn)
			return false
		case "drop":
			return false
		default:
			say(a)
			return a[0] == '2' || a[0] == '3'
		}
	}
	if !answer("greeting", "220 post.example ready") && s.said("greeting") != "" {
		return
	}
	for {
		line, err := r.ReadLine()
		if err != nil {
			return
		}
		verb, rest, _ := strings.Cut(line, " ")
		s.note(func() { s.heard = append(s.heard, line) })
		switch verb {
		case "EHLO":
			say("250-post.example")
			if s.Ways != "" {
				say("250-AUTH " + s.Ways)
			}
			if _, private := conn.(*tls.Conn); s.Config != nil && !private {
				say("250-STARTTLS")
			}
			say("250-SMTPUTF8")
			say("250 8BITMIME")
		case "STARTTLS":
			if !answer("STARTTLS", "220 go on") {
				continue
			}
			conn = tls.Server(conn, s.Config)
			r = textproto.NewReader(bufio.NewReader(conn))
		case "AUTH":
			s.auth(rest, say, r, answer)
		case "DATA":
			if !answer("DATA", "354 go on") {
				if s.said("DATA") == "drop" || s.said("DATA") == "hang" {
					return
				}
				continue
			}
			// As it came, but for the doubled points of RFC 5321, 4.5.2.
			var letter strings.Builder
			for {
				raw, err := r.R.ReadString('\n')
				if err != nil {
					return
				}
				if raw == ".\r\n" {
					break
				}
				letter.WriteString(strings.TrimPrefix(raw, "."))
			}
			if refused := s.said("end"); refused == "" || refused == "drop" || refused == "hang" {
				s.note(func() { s.letters = append(s.letters, letter.String()) })
			}
			if !answer("end", "250 taken") && (s.said("end") == "drop" || s.said("end") == "hang") {
				return
			}
		case "MAIL", "RCPT":
			key := verb
			if s.said(rest) != "" {
				key = rest
			}
			if !answer(key, "250 well") && (s.said(key) == "drop" || s.said(key) == "hang") {
				return
			}
		case "QUIT":
			answer("QUIT", "221 goodbye")
			return
		default:
			say("502 what?")
		}
	}
}

// auth takes PLAIN (RFC 4616) and LOGIN.
func (s *Server) auth(rest string, say func(string), r *textproto.Reader, answer func(string, string) bool) {
	decode := func(line string) string {
		text, _ := base64.StdEncoding.DecodeString(line)
		return string(text)
	}
	var user, password string
	if initial, plain := strings.CutPrefix(rest, "PLAIN "); plain {
		parts := strings.Split(decode(initial), "\x00")
		if len(parts) == 3 {
			user, password = parts[1], parts[2]
		}
	} else {
		say("334 " + base64.StdEncoding.EncodeToString([]byte("Username:")))
		line, _ := r.ReadLine()
		user = decode(line)
		say("334 " + base64.StdEncoding.EncodeToString([]byte("Password:")))
		line, _ = r.ReadLine()
		password = decode(line)
	}
	s.note(func() { s.user, s.password = user, password })
	if s.Password != "" && password != s.Password {
		answer("AUTH", "535 no")
		return
	}
	answer("AUTH", "235 welcome")
}

func (s *Server) note(change func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change()
}

// Certificate makes one that vouches for itself, for this machine.
func Certificate(t *testing.T) (*tls.Config, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "post.example"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	raw, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(raw)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(parsed)
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{raw}, PrivateKey: key}}}, pool
}
