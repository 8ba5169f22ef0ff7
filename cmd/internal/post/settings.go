package post

import (
	"crypto/x509"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"
)

// Security says how the line to the server is kept private.
type Security string

// The kinds of line. Both with TLS check that the server is the one named.
const (
	StartTLS Security = "starttls" // begins in the open and turns private (RFC 3207)
	TLS      Security = "tls"      // private from the start (RFC 8314)
	None     Security = "none"     // in the open; to this machine only
)

// Settings are how to reach a mail server.
type Settings struct {
	Host     string
	Port     int // 0 for the usual one: 587, 465 with TLS, 25 in the open
	User     string
	Password string
	Security Security // "" for StartTLS
	// Timeout bounds each step; 0 for a minute.
	Timeout time.Duration
	// Authorities vouch for the server's certificate; nil for the system's.
	Authorities *x509.CertPool
}

// Check reports what is wrong with the settings, before anything is sent.
func (s Settings) Check() error {
	name := s.Host
	switch {
	case name == "":
		return fmt.Errorf("no mail server is set; give its name, such as smtp.example.org")
	case strings.ContainsFunc(name, func(r rune) bool { return r <= ' ' || r > '~' || strings.ContainsRune(`/@"<>[]`, r) }),
		strings.Contains(name, ":") && net.ParseIP(name) == nil:
		return fmt.Errorf("the mail server %.60q is no name of a server; write it like smtp.example.org, and the port apart", name)
	case s.Port < 0 || s.Port > 65535:
		return fmt.Errorf("%s: port %d is not between 1 and 65535", name, s.Port)
	case s.Security != "" && s.Security != StartTLS && s.Security != TLS && s.Security != None:
		return fmt.Errorf("%s: security %.20q is none of starttls, tls, none", name, string(s.Security))
	case s.Security == None && !loopback(name):
		return fmt.Errorf("%s: without TLS, anybody on the way could read letters and password; set security to starttls or tls (none is for a server on this machine)", name)
	case s.User == "" && s.Password != "":
		return fmt.Errorf("%s: a password is set but no user", name)
	case strings.ContainsAny(s.User+s.Password, "\r\n\x00"):
		return fmt.Errorf("%s: user or password has a line end in it; enter them again", name)
	case s.Timeout < 0:
		return fmt.Errorf("%s: the time limit %s is below zero", name, s.Timeout)
	}
	return nil
}

// address returns host and port, for dialling.
func (s Settings) address() string {
	port := s.Port
	if port == 0 {
		port = map[Security]int{TLS: 465, None: 25}[s.Security]
	}
	if port == 0 {
		port = 587 // submission, RFC 6409, 3.1
	}
	return net.JoinHostPort(s.Host, strconv.Itoa(port))
}

func (s Settings) timeout() time.Duration {
	if s.Timeout == 0 {
		return time.Minute
	}
	return s.Timeout
}

// loopback reports whether a host is this machine by its own word.
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}
