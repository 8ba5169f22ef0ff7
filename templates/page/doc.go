// Package page holds what the pages of the studio look like: a template a page,
// the frame around all of them, and the parts that they share.
//
// # Display-ready
//
// A page is a struct whose texts and figures are as they are to be read. A
// template chooses and repeats; it computes nothing, formats nothing and knows
// no unit. So what a page says can be tested without HTML.
//
// # Files
//
// frame.html is the frame, parts.html the shared parts: "table", "field",
// "form", "empty", "pager", "crumbs", "figures", "tree" and others, each beside
// the struct of the same name in parts.go. Every other file is a page. It
// defines "content", and besides that any fragments of its own, which
// [WriteFragment] writes by themselves for a live preview:
//
//	{{define "content"}}
//	<h1>{{.Title}}</h1>
//	{{template "table" .Rows}}
//	{{end}}
//
// The content is given the page's own struct ([Frame.Body]).
//
// # What a content policy forbids
//
// No style attribute, no style or script element, no handler attribute. Lengths
// of bars are attributes of SVG shapes. Drawings and plots come as
// [html/template.HTML] from the packages that drew them.
package page
