package pdf

// block is a strip of a page over its full width, which no page break divides.
type block struct {
	above  float64 // space over it, except at the head of a page
	height float64
	keep   bool    // on the page of the next block
	room   float64 // on a page, or it begins the next one
	table  *table  // that it is a row of
	draw   func(c *canvas, y float64)
}

// table is what its rows share.
type table struct {
	heading block // drawn again on every page the table goes on to
}

// placed is a block on its page.
type placed struct {
	block
	y float64
}

// sheet is the part of a page that blocks may fill.
type sheet struct {
	first, top, bottom float64 // upper edge on the first page and on others, lower edge
}

// paginate places blocks on pages. It always returns one page at least.
func (s sheet) paginate(blocks []block) [][]placed {
	pages := [][]placed{nil}
	y := s.first
	for len(blocks) > 0 {
		n := together(blocks)
		last := len(pages) - 1
		head := s.top
		if last == 0 {
			head = s.first
		}
		fresh := len(pages[last]) == 0
		switch {
		case !fresh && blocks[0].room > 0 && y+blocks[0].above+blocks[0].room > s.bottom:
			n = 0
		case y+height(blocks[:n], fresh) <= s.bottom:
		case !fresh && s.top+repeated(blocks[0])+height(blocks[:n], true) <= s.bottom:
			n = 0 // as one, on the next page
		default:
			// Longer than a page: keep what can be kept and go on.
			n = 1
			if y+height(blocks[:1], fresh) > s.bottom && y > head {
				n = 0
			}
		}
		if n == 0 {
			pages, y = append(pages, nil), s.top
			if t := blocks[0].table; t != nil {
				pages[last+1] = append(pages[last+1], placed{t.heading, y})
				y += t.heading.height
			}
			continue
		}
		for i, b := range blocks[:n] {
			if !fresh || i > 0 {
				y += b.above
			}
			pages[last] = append(pages[last], placed{b, y})
			y += b.height
		}
		blocks = blocks[n:]
	}
	return pages
}

// together counts the leading blocks that stay on one page.
func together(blocks []block) int {
	n := 1
	for n < len(blocks) && blocks[n-1].keep {
		n++
	}
	return n
}

func height(blocks []block, fresh bool) float64 {
	h := 0.0
	for i, b := range blocks {
		h += b.height
		if i > 0 || !fresh {
			h += b.above
		}
	}
	return h
}

// repeated returns the height of the heading that b brings to a new page.
func repeated(b block) float64 {
	if b.table == nil {
		return 0
	}
	return b.table.heading.height
}
