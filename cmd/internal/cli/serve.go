package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/record"
	"marchpane/store"
)

// homeAddress is where the pages are unless something else is said.
const homeAddress = "127.0.0.1:8347"

type serveOptions struct {
	listen        string
	open, demo    bool
	setPassphrase bool
	hosts         []string
	cert, key     string
}

func serveCommand(env *Env) *cobra.Command {
	var o serveOptions
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "The studio in your browser",
		Long: `Serve the pages of the studio to a browser: everything that the commands do, from the
price of butter to the report of the month. They are served to this machine alone, and
everything needed is in this program. Ctrl-C ends it, once what is on its way is done.

A store that is not there yet is made. The first page then asks how to begin: with a
few answers, with a backup or a book from elsewhere, or by looking around in the demo
studio. The demo is a copy of its own that ends in the week of today; your store is
not touched, and the demo is thrown away when you leave it or this ends. Commands, and
a second serve of the same store, may run meanwhile: the pages see what they change.

To use them from a phone or another computer of the house, say which address of this
machine to listen on. A passphrase is then asked for; set one first with
--set-passphrase, or put it into MARCHPANE_PASSPHRASE. Without --cert and --key what
passes over the network can be read there: do so in a network you trust.`,
		Example: `  marchpane serve --open
  marchpane serve --demo --open
  marchpane serve --set-passphrase
  marchpane serve --listen 192.168.1.20:8347`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if o.setPassphrase {
				return env.setPassphrase(cmd.Context())
			}
			if (o.cert == "") != (o.key == "") {
				env.started = false
				return errors.New("--cert and --key go together: name the file of each")
			}
			return env.serve(cmd.Context(), o, cmd.Flags().Changed("listen"))
		},
	}
	cmd.Flags().StringVar(&o.listen, "listen", homeAddress, "the `ADDRESS` and port to serve on")
	cmd.Flags().BoolVar(&o.open, "open", false, "open the browser")
	cmd.Flags().BoolVar(&o.demo, "demo", false, "begin in a copy of the demo studio, thrown away at the end")
	cmd.Flags().BoolVar(&o.setPassphrase, "set-passphrase", false, "ask for a new passphrase, keep its hash in the store, and end")
	cmd.Flags().StringSliceVar(&o.hosts, "host", nil, "another `NAME` under which browsers ask for this machine")
	cmd.Flags().StringVar(&o.cert, "cert", "", "serve over TLS with the certificate in this PEM `FILE`")
	cmd.Flags().StringVar(&o.key, "key", "", "and its key in this PEM `FILE`")
	return cmd
}

func (e *Env) serve(ctx context.Context, o serveOptions, chosen bool) (err error) {
	debug.SetGCPercent(web.GCPercent)
	ctx, stop := signalled(ctx)
	defer stop()
	host, _, err := net.SplitHostPort(o.listen)
	if err != nil {
		e.started = false
		return fmt.Errorf("--listen %s: write an address and a port, such as %s", o.listen, homeAddress)
	}
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	given, err := e.passphrase()
	if err != nil {
		return err
	}
	_, kept, err := s.Passphrase(ctx)
	if err != nil {
		return err
	}
	if !isLoopback(host) && given == "" && !kept {
		return fmt.Errorf("%s can be reached from other machines, and no passphrase is set; set one with: marchpane serve --set-passphrase", o.listen)
	}
	mail, _, err := s.MailServer(ctx)
	if err != nil {
		return err
	}
	listener, err := e.listen(ctx, o.listen, chosen)
	if err != nil {
		return err
	}
	port := fmt.Sprint(listener.Addr().(*net.TCPAddr).Port)
	tls := o.cert != ""
	server, err := web.New(ctx, web.Options{
		Store: s, Desk: desk{env: e, mail: mail, months: new(tallies)}, Now: e.Now, Log: slog.New(slog.NewTextHandler(e.Err, nil)),
		Hosts: knownHosts(host, port, o.hosts), TLS: tls, Passphrase: given, Demo: o.demo, Ahead: true,
		Reachable: !isLoopback(host),
	})
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	defer func() { err = errors.Join(err, server.Close()) }()
	address := addressOf(host, port, tls)
	fmt.Fprintf(e.Out, "Your studio is at %s\nIts store is %s. Ctrl-C ends it.\n", e.bold(address), s.Path())
	if !isLoopback(host) && !tls {
		fmt.Fprintln(e.Err, "marchpane: what passes over the network can be read there; use --cert and --key in a network you do not trust")
	}
	if o.open {
		if err := openBrowser(address); err != nil {
			fmt.Fprintf(e.Err, "marchpane: no browser could be opened; open the address yourself (%v)\n", err)
		}
	}
	return run(ctx, web.HTTPServer(server), listener, o)
}

// run serves until the context ends, and then lets those finish who are being
// served.
func run(ctx context.Context, h *http.Server, l net.Listener, o serveOptions) error {
	ended := make(chan error, 1)
	go func() {
		if o.cert != "" {
			ended <- h.ServeTLS(l, o.cert, o.key)
			return
		}
		ended <- h.Serve(l)
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if err := h.Shutdown(grace); err != nil {
		return h.Close()
	}
	return nil
}

// listen opens the port, or another where the usual one is taken and none was
// asked for.
func (e *Env) listen(ctx context.Context, address string, chosen bool) (net.Listener, error) {
	var config net.ListenConfig
	l, err := config.Listen(ctx, "tcp", address)
	switch {
	case err == nil:
		return l, nil
	case errors.Is(err, syscall.EACCES):
		return nil, fmt.Errorf("%s may not be used: ports below 1024 are kept for the system; name a higher one with --listen", address)
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return nil, fmt.Errorf("%s is no address of this machine; name one that is with --listen", address)
	case !errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("--listen %s: %w; write an address and a port, such as %s", address, err, homeAddress)
	}
	if chosen {
		return nil, fmt.Errorf("%s is in use by another program; name another port with --listen, or 0 for any that is free", address)
	}
	host, _, _ := net.SplitHostPort(address)
	if l, err = config.Listen(ctx, "tcp", net.JoinHostPort(host, "0")); err != nil {
		return nil, err
	}
	fmt.Fprintf(e.Err, "marchpane: %s is in use, perhaps by another marchpane; a free port was taken instead\n", address)
	return l, nil
}

// isLoopback reports whether only this machine can reach an address.
func isLoopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// knownHosts lists the names under which the pages may be asked for. Where every
// address is listened on, each of this machine's is one.
func knownHosts(host, port string, more []string) []string {
	names := append([]string{"localhost", "127.0.0.1", "::1"}, more...)
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		if addresses, err := net.InterfaceAddrs(); err == nil {
			for _, a := range addresses {
				if n, ok := a.(*net.IPNet); ok {
					names = append(names, n.IP.String())
				}
			}
		}
		if name, err := os.Hostname(); err == nil {
			names = append(names, name, name+".local")
		}
	} else {
		names = append(names, host)
	}
	var hosts []string
	for _, name := range names {
		name = strings.ToLower(strings.Trim(name, "[]"))
		hosts = append(hosts, net.JoinHostPort(name, port))
		if port == "80" || port == "443" {
			hosts = append(hosts, name)
		}
	}
	slices.Sort(hosts)
	return slices.Compact(hosts)
}

func addressOf(host, port string, tls bool) string {
	scheme := "http"
	if tls {
		scheme = "https"
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return scheme + "://" + net.JoinHostPort(host, port) + "/"
}

// openBrowser opens an address as the desktop opens any.
func openBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	c := exec.Command(name, args...)
	if err := c.Start(); err != nil {
		return err
	}
	go c.Wait() // it ends by itself; nobody asks how
	return nil
}

// passphrase returns the hash of what the environment gives as the passphrase,
// "" where it gives none.
func (e *Env) passphrase() (string, error) {
	words := e.Getenv("MARCHPANE_PASSPHRASE")
	if words == "" {
		return "", nil
	}
	hash, err := web.HashPassphrase(words)
	if err != nil {
		return "", fmt.Errorf("MARCHPANE_PASSPHRASE: %w", err)
	}
	return hash, nil
}

// setPassphrase asks for a new passphrase, twice at a terminal, and keeps its
// hash. An empty one takes the passphrase away.
func (e *Env) setPassphrase(ctx context.Context) error {
	words, err := e.askSecret("New passphrase (empty to have none): ")
	if err != nil {
		return err
	}
	hash := ""
	if words != "" {
		if hash, err = web.HashPassphrase(words); err != nil {
			return err
		}
		if e.Asks {
			again, err := e.askSecret("Once more: ")
			if err != nil {
				return err
			}
			if again != words {
				return errors.New("the two differ; nothing was changed")
			}
		}
	}
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	if err := s.SetPassphrase(ctx, hash, e.Now()); err != nil {
		return err
	}
	if hash == "" {
		fmt.Fprintln(e.Out, "The pages ask for no passphrase, and are for this machine alone.")
		return nil
	}
	fmt.Fprintln(e.Out, "The passphrase is set. A server that is running asks for it from its next page on.")
	return nil
}

// askSecret asks for what is not to be shown, or reads a line where nobody sits
// at a terminal.
func (e *Env) askSecret(what string) (string, error) {
	if f, ok := e.In.(*os.File); ok && e.Asks {
		fmt.Fprint(e.Err, what)
		words, err := term.ReadPassword(int(f.Fd()))
		fmt.Fprintln(e.Err)
		return string(words), err
	}
	line := bufio.NewScanner(e.In)
	line.Scan()
	return strings.TrimRight(line.Text(), "\r"), line.Err()
}

// desk is what the pages have the command line do.
type desk struct {
	env *Env
	// mail is the mail server that was named when the pages began. The password
	// in the environment is meant for it, and goes to no other that a visitor
	// names later.
	mail store.MailServer
	// months is what reports worked out before.
	months *tallies
}

// NewDesk returns the desk of an environment, for tests of the pages.
func NewDesk(env *Env) web.Desk { return desk{env: env, months: new(tallies)} }

// QuotePDF writes the paper of a quote, marked where it is not to be accepted
// unless somebody wants it as it was issued.
func (d desk) QuotePDF(ctx context.Context, s *store.Store, q store.SavedQuote, ask web.PaperAsk) ([]byte, error) {
	size, err := paperSize(ask.Size)
	if err != nil {
		return nil, record.Faults{{Path: "paper", Problem: strings.TrimPrefix(err.Error(), "--paper ")}}
	}
	return d.env.quotePDF(ctx, s, q, size, !ask.Unmarked)
}

// Mark is what stands across the paper of a quote that is not to be accepted.
func (d desk) Mark(q store.SavedQuote) string { return mark(q) }

// signalled returns a context that ends when the system asks the program to:
// Ctrl-C is seen to already.
func signalled(ctx context.Context) (context.Context, context.CancelFunc) {
	return signal.NotifyContext(ctx, syscall.SIGTERM)
}
