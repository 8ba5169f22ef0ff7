package page

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"strings"
)

//go:embed *.html
var files embed.FS

// pages are the templates by the name of their page; each has the frame and the
// shared parts with it.
var pages = parse()

// parse reads every template. A mistake in one ends the program at its start,
// and every test.
func parse() map[string]*template.Template {
	shared := template.Must(template.New("").ParseFS(files, "frame.html", "parts.html"))
	names, err := fs.Glob(files, "*.html")
	if err != nil {
		panic(err)
	}
	all := map[string]*template.Template{}
	for _, file := range names {
		name := strings.TrimSuffix(file, ".html")
		if name == "frame" || name == "parts" {
			continue
		}
		all[name] = template.Must(template.Must(shared.Clone()).ParseFS(files, file))
	}
	return all
}

// Write writes the page called name, in its frame.
func Write(w io.Writer, name string, f Frame) error { return WriteFragment(w, name, "frame", f) }

// WriteFragment writes one template of the page called name by itself.
func WriteFragment(w io.Writer, name, fragment string, v any) error {
	t, there := pages[name]
	if !there {
		return fmt.Errorf("there is no page %q", name)
	}
	return t.ExecuteTemplate(w, fragment, v)
}

// Names lists the pages.
func Names() []string {
	names := make([]string, 0, len(pages))
	for name := range pages {
		names = append(names, name)
	}
	return names
}
