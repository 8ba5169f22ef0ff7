package web

// realDesk is that of package cli, which imports this package; the package of
// tests beside this one, which may import both, puts it here.
var realDesk Desk

// UseDesk is how.
func UseDesk(d Desk) { realDesk = d }

// TestTime is the time of the tests.
var TestTime = testNow
