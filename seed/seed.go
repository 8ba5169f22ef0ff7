package seed

import _ "embed"

//go:embed studio.json
var studio string

//go:embed wedding-request.json
var weddingRequest string

// Studio returns the demo studio's book file, UTF-8 JSON in the format
// marchpane-book/1. Each call returns its own copy.
func Studio() []byte { return []byte(studio) }

// WeddingRequest returns a request for a quote on the demo studio's three-tier
// wedding cake with delivery and a hired stand, UTF-8 JSON. Each call returns
// its own copy.
func WeddingRequest() []byte { return []byte(weddingRequest) }
