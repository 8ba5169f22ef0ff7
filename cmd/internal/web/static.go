package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"
)

//go:embed static
var static embed.FS

// asset is a file of static/.
type asset struct {
	kind   string
	plain  []byte
	packed []byte // gzip; nil where it would be no smaller
	tag    string
}

// assets reads every file of static/, by its name. What a stylesheet names
// under /static/ is named with its fingerprint there too.
func assets() map[string]asset {
	all := map[string]asset{}
	entries, err := static.ReadDir("static")
	if err != nil {
		panic(err)
	}
	read := func(name string) []byte {
		data, err := static.ReadFile("static/" + name)
		if err != nil {
			panic(err)
		}
		return data
	}
	add := func(name string, data []byte) {
		sum := sha256.Sum256(data)
		a := asset{kind: kindOf(name), plain: data, tag: hex.EncodeToString(sum[:8])}
		if packed := pack(data); len(packed) < len(data) && !strings.HasSuffix(name, ".woff2") {
			a.packed = packed
		}
		all[name] = a
	}
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".css") {
			add(e.Name(), read(e.Name()))
		}
	}
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".css") {
			data := read(e.Name())
			for name, a := range all {
				data = bytes.ReplaceAll(data, []byte("/static/"+name), []byte(a.address(name)))
			}
			add(e.Name(), data)
		}
	}
	return all
}

func kindOf(name string) string {
	switch path.Ext(name) {
	case ".woff2":
		return "font/woff2"
	case ".js":
		return "text/javascript; charset=utf-8"
	}
	return mime.TypeByExtension(path.Ext(name))
}

// address is where a file of this content is; another content has another.
func (a asset) address(name string) string {
	return fmt.Sprintf("/static/%s?%s", name, a.tag)
}

// asset returns the address of a file of static/.
func (s *Server) asset(name string) string {
	a, there := s.assets[name]
	if !there {
		panic("web: there is no static/" + name)
	}
	return a.address(name)
}

func (s *Server) serveStatic(w http.ResponseWriter, r *http.Request) {
	a, there := s.assets[r.PathValue("name")]
	if !there {
		s.fail(w, r, notFound("file"))
		return
	}
	h := w.Header()
	tag := `"` + a.tag + `"`
	h.Set("ETag", tag)
	h.Set("Vary", "Accept-Encoding")
	if r.URL.RawQuery == a.tag {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		h.Set("Cache-Control", "no-cache")
	}
	if r.Header.Get("If-None-Match") == tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", a.kind)
	data := a.plain
	if a.packed != nil && takesGzip(r) {
		h.Set("Content-Encoding", "gzip")
		data = a.packed
	}
	h.Set("Content-Length", fmt.Sprint(len(data)))
	w.Write(data)
}

func takesGzip(r *http.Request) bool {
	for part := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(part, ";")
		if strings.TrimSpace(name) == "gzip" && !strings.HasPrefix(strings.ReplaceAll(weight, " ", ""), "q=0") {
			return true
		}
	}
	return false
}

// pack compresses data.
func pack(data []byte) []byte {
	z := packers.Get().(*gzip.Writer)
	defer packers.Put(z)
	var b bytes.Buffer
	b.Grow(len(data) / 4)
	z.Reset(&b)
	z.Write(data) // a buffer takes whatever it is given
	z.Close()
	return b.Bytes()
}

// packers are kept: one takes more memory to set up than any page.
var packers = sync.Pool{New: func() any { return gzip.NewWriter(nil) }}
