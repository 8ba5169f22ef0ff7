package post_test

import (
	"bufio"
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
	"strings"
	"sync"
	"testing"
	"time"
)

// A server is a mail server (RFC 5321) of a few lines, that says what it is
// told to and keeps what it gets.
type server struct {
	port    int
	direct  bool        // TLS from the start
	config  *tls.Config // nil where it offers none
	ways    string      // of signing in
	answers map[string]string

	mu       sync.Mutex
	heard    []string
	letters  []string
	user     string
	password string
}

// serve runs a server for the length of a test.
func serve(t *testing.T, s *server) *server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if s.direct {
		l = tls.NewListener(l, s.config)
	}
	s.port = l.Addr().(*net.TCPAddr).Port
	var all sync.WaitGroup
	all.Go(func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			all.Go(func() { s.talk(conn) })
		}
	})
	t.Cleanup(func() { l.Close(); all.Wait() })
	return s
}

func (s *server) talk(conn net.Conn) {
	defer func() { conn.Close() }()
	conn.SetDeadline(time.Now().Add(20 * time.Second))
	r := textproto.NewReader(bufio.NewReader(conn))
	say := func(line string) { fmt.Fprintf(conn, "%s\r\n", line) }
	// answer says what the test wants said to a command; "hang" is silence,
	// "drop" an end of the line.
	answer := func(command, usual string) bool {
		switch a := s.answers[command]; a {
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
	if !answer("greeting", "220 post.example ready") && s.answers["greeting"] != "" {
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
			if s.ways != "" {
				say("250-AUTH " + s.ways)
			}
			if _, private := conn.(*tls.Conn); s.config != nil && !private {
				say("250-STARTTLS")
			}
			say("250-SMTPUTF8")
			say("250 8BITMIME")
		case "STARTTLS":
			if !answer("STARTTLS", "220 go on") {
				continue
			}
			conn = tls.Server(conn, s.config)
			r = textproto.NewReader(bufio.NewReader(conn))
		case "AUTH":
			s.auth(rest, say, r, answer)
		case "DATA":
			if !answer("DATA", "354 go on") {
				if s.answers["DATA"] == "drop" || s.answers["DATA"] == "hang" {
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
			s.note(func() { s.letters = append(s.letters, letter.String()) })
			if !answer("end", "250 taken") && (s.answers["end"] == "drop" || s.answers["end"] == "hang") {
				return
			}
		case "MAIL", "RCPT":
			key := verb
			if s.answers[rest] != "" {
				key = rest
			}
			if !answer(key, "250 well") && (s.answers[key] == "drop" || s.answers[key] == "hang") {
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
func (s *server) auth(rest string, say func(string), r *textproto.Reader, answer func(string, string) bool) {
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
	answer("AUTH", "235 welcome")
}

func (s *server) note(change func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change()
}

// certificate makes one that vouches for itself, for this machine.
func certificate(t *testing.T) (*tls.Config, *x509.CertPool) {
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
