package page

// Frame is what surrounds every page.
type Frame struct {
	Title    string // of the window; the studio's name is put behind it
	Studio   string // "" before there is one
	Sections []Link // the places of the studio, in the trade's words
	Crumbs   []Link // the way here; none on a section's first page
	Query    string // in the search box
	Notice   *Notice
	Demo     bool   // whether this is the demo studio, which can be thrown away
	SignedIn bool   // whether there is someone to sign out
	Scheme   string // "light", "dark", or "" as the screen has it
	Here     string // path and query of this page, to come back to
	Keys     bool   // whether single letters are shortcuts
	Bare     bool   // no sections and no search: nobody has come in yet
	Style    string // address of the stylesheet
	Script   string // address of the script
	Body     any    // for the page's own "content"
}

// Link leads to a page.
type Link struct {
	Text    string
	Href    string
	Current bool
	Key     string // letter that leads there after g
}

// Notice says what was done, and offers to take it back.
type Notice struct {
	Text string
	Undo string // token; "" where there is nothing to take back
	Bad  bool   // what was asked for was not done
}

// Look is the button that changes the colours, as it is where the screen itself
// is light, or at night where it is dark: the style sheet shows the one that
// fits. What somebody chose and the screen has anyway is not kept as a choice,
// so that the pages follow the screen again.
type Look struct {
	Night bool   // for a screen that is dark
	Dark  bool   // whether dark colours are in force
	Next  string // the scheme that the button puts on
}

// LookByDay is the button on a light screen.
func (f Frame) LookByDay() Look { return look(f.Scheme, "light", "dark") }

// LookByNight is the button on a dark screen.
func (f Frame) LookByNight() Look { return look(f.Scheme, "dark", "light") }

func look(scheme, screen, other string) Look {
	l := Look{Night: screen == "dark", Dark: scheme == "dark" || scheme == "" && screen == "dark", Next: other}
	if scheme == other {
		l.Next = "" // the screen has the rest by itself
	}
	return l
}
