package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"
)

// policy is what a page may load and do: what this server serves, and nothing
// written into the page itself.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; font-src 'self'; " +
	"connect-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// paperPolicy is that of a PDF, which our own pages show in a frame.
const paperPolicy = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'self'; base-uri 'none'"

// Bounds of a request. A logo or a supplier's list fits into an upload.
const (
	bodyLimit   = 1 << 20
	uploadLimit = 32 << 20
	headerLimit = 32 << 10
)

// HTTPServer returns handler h with the time-outs and bounds that the pages
// need.
func HTTPServer(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       60 * time.Second,
		WriteTimeout:      120 * time.Second,
		IdleTimeout:       120 * time.Second,
		MaxHeaderBytes:    headerLimit,
	}
}

// guard refuses what no page of ours sends, and sends the headers that keep
// others out.
func (s *Server) guard(next http.Handler) http.Handler {
	next = s.sameOrigin(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store")
		// A page elsewhere may let its own name point here and so read ours as
		// if it were its own; it cannot make the browser ask for our name.
		if !slices.Contains(s.Hosts, strings.ToLower(r.Host)) {
			http.Error(w, "This address is not known here. Open the address that marchpane printed when it started; another name is allowed with --host NAME.", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// sameOrigin refuses what another site's page makes a browser send.
func (s *Server) sameOrigin(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, problem{Status: http.StatusForbidden, Title: "That came from another site", Text: "Nothing was changed. Open the page here and do it again."})
	}))
	return protection.Handler(next)
}

// bounded limits what is read of a request's body.
func bounded(limit int64, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		next.ServeHTTP(w, r)
	})
}

// tooLarge reports whether reading ended at the limit.
func tooLarge(err error) bool {
	var limit *http.MaxBytesError
	return errors.As(err, &limit)
}

// here returns where someone is to go back to: a path of ours, "/" where the
// form named anything else.
func here(path string) string {
	u, err := url.Parse(path)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n") {
		return "/"
	}
	return path
}
