package pdf

import (
	"strings"

	"github.com/go-pdf/fpdf"

	"marchpane/templates/document"
)

// The wall is read from a step away: its names are set as large as the page
// lets them be, between these sizes in pt. Where they would be smaller, the days
// are shared between pages.
const (
	wallLargest  = 16.0
	wallSmallest = 10.5
	wallMargin   = 11.0
	wallGap      = 5.0 // between columns
	wallTop      = 26.5
	wallWidest   = 88.0 // a column
	wallNarrow   = 3.1  // the narrowest column, mm for each pt of the size
	wallMost     = 8    // days on a page
)

// wall sets the pages that hang on the wall: a column a day, a band a role.
func (p *productionPaper) wall() [][]placed {
	if len(p.d.Days) == 0 {
		return [][]placed{{{block{draw: func(c *canvas, _ float64) {
			p.wallHead(c, c.height)
			c.textMiddle(c.height/2, c.width/2, p.shorten(p.d.Empty, cakeName, c.height-2*wallMargin))
		}}, 0}}}
	}
	var days []document.ProductionDay
	for _, d := range p.d.Days {
		if len(d.Lanes) > 0 {
			days = append(days, d)
		}
	}
	var pages [][]placed
	for len(days) > 0 {
		n := min(len(days), wallMost)
		page, ok := p.wallOf(days[:n], false)
		for ; !ok && n > 1; page, ok = p.wallOf(days[:n], false) {
			n--
		}
		// A page ends with a week, rather than with a day of the next one.
		if end := weekOf(days[:n]); n < len(days) && end < n && end > n/2 {
			n, ok = end, false
		}
		if ok {
			pages = append(pages, page)
		} else {
			pages = append(pages, p.wallPages(days[:n])...)
		}
		days = days[n:]
	}
	return pages
}

// weekOf counts the days before the last week among them; all of them where
// they are of one week.
func weekOf(days []document.ProductionDay) int {
	monday := func(d document.ProductionDay) string {
		return d.Date.AddDays(-(int(d.Date.Time().Weekday()) + 6) % 7).String()
	}
	n := len(days)
	for n > 1 && monday(days[n-1]) == monday(days[len(days)-1]) {
		n--
	}
	if monday(days[n-1]) == monday(days[len(days)-1]) {
		return len(days) // all of one week
	}
	return n
}

// wallPages sets days on one page, or on as many as they need.
func (p *productionPaper) wallPages(days []document.ProductionDay) [][]placed {
	if page, ok := p.wallOf(days, false); ok {
		return [][]placed{page}
	}
	first, rest := halves(days)
	if rest == nil {
		page, _ := p.wallOf(days, true)
		return [][]placed{page}
	}
	return append(p.wallPages(first), p.wallPages(rest)...)
}

// halves parts days, and a day by its jobs; nothing can part a single job.
func halves(days []document.ProductionDay) (first, rest []document.ProductionDay) {
	if n := len(days); n > 1 {
		return days[:n/2], days[n/2:]
	}
	jobs := 0
	for _, l := range days[0].Lanes {
		jobs += len(l.Jobs)
	}
	if jobs < 2 {
		return days, nil
	}
	a, b := days[0], days[0]
	a.Lanes, b.Lanes = nil, nil
	for _, l := range days[0].Lanes {
		half := l
		switch n := jobs/2 - jobsOf(a); {
		case n >= len(l.Jobs):
			a.Lanes = append(a.Lanes, l)
		case n <= 0:
			b.Lanes = append(b.Lanes, l)
		default:
			l.Jobs, half.Jobs = l.Jobs[:n], l.Jobs[n:]
			a.Lanes, b.Lanes = append(a.Lanes, l), append(b.Lanes, half)
		}
	}
	return []document.ProductionDay{a}, []document.ProductionDay{b}
}

func jobsOf(d document.ProductionDay) (n int) {
	for _, l := range d.Lanes {
		n += len(l.Jobs)
	}
	return n
}

// wallLine is a line of a column. end stands at its right, sign before it.
type wallLine struct {
	line
	end   line
	sign  bool
	above float64
}

// wallBlock is a job, or the name of a role over its jobs.
type wallBlock struct {
	lines  []wallLine
	height float64
	again  *wallBlock // heads the next column where its role goes on there; nil of a role's name
}

// wallDay is a day in its columns.
type wallDay struct {
	column  int // the first of them
	y       float64
	heading []line
	columns [][]wallBlock
}

// wallOf sets days on one page in the largest type that fits, and reports
// whether any does. Forced, it takes the smallest.
func (p *productionPaper) wallOf(days []document.ProductionDay, forced bool) ([]placed, bool) {
	width, height := p.pageHeight, p.width+2*kitchenMargin // the page lies on its side
	foot := p.wallFoot(width - 2*wallMargin)
	bottom := height - bottomMargin - heightOf(foot)
	inner := width - 2*wallMargin
	for size := wallLargest; size >= wallSmallest; size -= 0.5 {
		// Each day a column of its own, or several; else short days below others.
		for _, below := range []bool{false, true} {
			for n := 3; ; n++ {
				column := (inner - wallGap*float64(n-1)) / float64(n)
				if column < wallNarrow*size {
					break
				}
				column = min(column, wallWidest)
				set, ok := p.flow(days, size, column, n, bottom, below)
				if ok || forced && size == wallSmallest {
					return []placed{{block{draw: func(c *canvas, _ float64) { p.drawWall(c, width, bottom, column, set, foot) }}, 0}}, true
				}
			}
		}
	}
	return nil, false
}

// flow sets days into n columns, and reports whether they fit. Below, a day may
// stand under another one where all of it has room there.
func (p *productionPaper) flow(days []document.ProductionDay, size, width float64, n int, bottom float64, below bool) ([]wallDay, bool) {
	var set []wallDay
	next, y := 0, wallTop // the first free column, and how far the one before is filled
	for _, d := range days {
		heading, over := p.wallHeading(d, size, width)
		blocks := p.wallBlocks(d, size, width)
		all := 0.0
		for _, b := range blocks {
			all += b.height
		}
		const apart = 5
		if below && next > 0 && y+apart+over+all <= bottom {
			y += apart
			set = append(set, wallDay{next - 1, y, heading, [][]wallBlock{blocks}})
			y += over + all
			continue
		}
		columns := share(blocks, bottom-wallTop-over)
		set = append(set, wallDay{next, wallTop, heading, columns})
		next += len(columns)
		y = wallTop + over
		for _, b := range columns[len(columns)-1] {
			y += b.height
		}
	}
	return set, next <= n
}

// share puts blocks into columns of a height. The name of a role stays with
// its first job, and is said again where the role goes on.
func share(blocks []wallBlock, height float64) [][]wallBlock {
	columns := [][]wallBlock{nil}
	used := 0.0
	for i, b := range blocks {
		need := b.height
		if b.again == nil && i+1 < len(blocks) {
			need += blocks[i+1].height
		}
		last := len(columns) - 1
		if used+need > height && len(columns[last]) > 0 {
			columns = append(columns, nil)
			last, used = last+1, 0
			if b.again != nil {
				columns[last] = append(columns[last], *b.again)
				used = b.again.height
			}
		}
		columns[last] = append(columns[last], b)
		used += b.height
	}
	return columns
}

func heightOf(lines []wallLine) (h float64) {
	for _, l := range lines {
		h += l.above + l.style.height()
	}
	return h
}

// wallHeading sets the name of a day: the weekday large, the date below.
func (p *productionPaper) wallHeading(d document.ProductionDay, size, width float64) (lines []line, height float64) {
	large := style{face: serif, size: min(size*1.35, 21), ink: accent, leading: 1.15}
	date := style{face: sans, size: size * 0.8, ink: quiet, leading: 1.3}
	weekday, rest, _ := strings.Cut(d.Heading, ", ")
	lines = []line{p.shorten(weekday, large, width)}
	if rest != "" {
		lines = append(lines, p.shorten(rest, date, width))
	}
	return lines, large.height() + date.height() + 1
}

// The lines that a name and its tasks may take on the wall.
const (
	wallNameLines = 3
	wallHowLines  = 4
)

// wallBlocks sets what is to do on a day, role by role.
func (p *productionPaper) wallBlocks(d document.ProductionDay, size, width float64) []wallBlock {
	name := style{face: serif, size: size, ink: ink, leading: 1.12}
	role := style{face: serif, size: size * 0.95, ink: accent, leading: 1.15}
	when := style{face: sans, size: size * 0.82, ink: ink, leading: 1.25}
	how := style{face: sans, size: max(size*0.76, 8.5), ink: ink, leading: 1.25}
	faint, warn := how, how
	faint.ink, warn.ink = quiet, accent
	var blocks []wallBlock
	for _, lane := range d.Lanes {
		var head wallBlock
		for i, l := range p.few(lane.Who, role, width, 2) {
			head.lines = append(head.lines, wallLine{line: l, above: []float64{2.4, 0}[i]})
		}
		again := head
		again.height = heightOf(again.lines)
		st := faint
		if lane.Load.Over {
			st = warn
		}
		for i, l := range p.few(lane.Load.Text, st, width-5, 2) {
			head.lines = append(head.lines, wallLine{line: l, sign: lane.Load.Over && i == 0})
		}
		head.height = heightOf(head.lines)
		blocks = append(blocks, head)
		for _, j := range lane.Jobs {
			var b wallBlock
			add := func(above float64, sign bool, lines ...line) {
				for i, l := range lines {
					b.lines = append(b.lines, wallLine{line: l, sign: sign, above: above})
					if i == 0 {
						above, sign = 0, false
					}
				}
			}
			add(1.5, false, p.line(j.Time, when))
			b.lines[0].end = p.line(j.Minutes, faint)
			title, under := j.What, ""
			if j.Tier != "" {
				title, under = j.Tier, j.What
			}
			add(0, false, p.few(title, name, width, wallNameLines)...)
			if under != "" {
				add(0, false, p.shorten(under, faint, width))
			}
			add(0, false, p.few(j.How, how, width, wallHowLines)...)
			for _, s := range j.Cautions {
				add(0.4, true, p.shorten(s, warn, width-6))
			}
			if len(p.d.Deadlines.Rows) != 1 {
				add(0, false, p.few(whole(j.Orders), faint, width, 3)...)
			}
			b.height, b.again = heightOf(b.lines), &again
			blocks = append(blocks, b)
		}
	}
	return blocks
}

// few sets a text on a few lines, the last one shortened.
func (p *productionPaper) few(s string, st style, width float64, most int) []line {
	lines := p.wrap(s, st, width)
	if len(lines) <= most {
		return lines
	}
	lines = lines[:most]
	var last strings.Builder
	for _, r := range lines[most-1].runs {
		last.WriteString(r.text)
	}
	lines[most-1] = p.shorten(last.String()+" …", st, width)
	return lines
}

// wallFoot says which orders there are and how much does not fit, where that
// is short enough for the wall.
func (p *productionPaper) wallFoot(width float64) (lines []wallLine) {
	const most = 4
	st := style{face: sans, size: 10.5, ink: ink, leading: 1.35}
	add := func(s string, st style, sign bool, most int) {
		for i, l := range p.few(s, st, width-6, most) {
			w := wallLine{line: l, sign: sign && i == 0}
			if len(lines) == 0 {
				w.above = 2.5
			}
			lines = append(lines, w)
		}
	}
	if rows := p.d.Deadlines.Rows; len(rows) <= most {
		for _, o := range rows {
			add(strings.Join([]string{o.Name, o.HandOver, o.StartBy}, "  ·  "), st, false, 1)
		}
	}
	st.ink = accent
	for i, s := range p.d.Clashes.Lines {
		if i == most-1 && len(p.d.Clashes.Lines) > most {
			add(p.d.Clashes.Heading+": "+p.d.More, st, true, 1)
			break
		}
		add(s, st, true, 2)
	}
	return lines
}

// wallPage draws a page that lies on its side.
func (p *quotePaper) wallPage(c *canvas, blocks []placed, page, pages int) {
	c.pdf.AddPageFormat("L", fpdf.SizeType{Wd: c.width, Ht: c.height})
	c.face, c.size, c.spacing = nil, 0, 0
	for _, b := range blocks {
		b.draw(c, b.y)
	}
	upright := *p
	p.left, p.width, p.pageHeight = wallMargin, c.height-2*wallMargin, c.width
	p.foot(c, page, pages)
	p.left, p.width, p.pageHeight = upright.left, upright.width, upright.pageHeight
}

// wallHead is the head of a page on the wall.
func (p *productionPaper) wallHead(c *canvas, width float64) {
	st := style{face: serif, size: 25, ink: accent, leading: 1.2}
	title := p.line(p.d.Heading, st)
	c.text(wallMargin, 10+st.ascent(), title)
	span := p.shorten(p.d.Span, paperName, width-2*wallMargin-title.width-column)
	c.textEnd(width-wallMargin, 10+st.ascent(), span)
	c.rule(wallMargin, wallTop-3.5, width-2*wallMargin, accent)
}

func (p *productionPaper) drawWall(c *canvas, width, bottom, column float64, days []wallDay, foot []wallLine) {
	p.wallHead(c, width)
	x := func(i int) float64 { return wallMargin + float64(i)*(column+wallGap) }
	for _, d := range days {
		y := d.y
		span := float64(len(d.columns))*(column+wallGap) - wallGap
		over := 0.0
		for _, l := range d.heading {
			over += l.style.height()
		}
		c.fill(x(d.column)-1.5, y, span+3, over+0.6, cream)
		for _, l := range d.heading {
			c.text(x(d.column), y+l.style.ascent(), l)
			y += l.style.height()
		}
		c.rule(x(d.column)-1.5, y+0.6, span+3, accent)
		for i, blocks := range d.columns {
			at := y + 1
			for _, b := range blocks {
				for _, l := range b.lines {
					at += l.above
					p.drawLine(c, l, x(d.column+i), at, column)
					at += l.style.height()
				}
			}
		}
		if d.column > 0 {
			c.fill(x(d.column)-wallGap/2-0.1, d.y, 0.2, bottom-d.y, rule)
		}
	}
	y := bottom
	for _, l := range foot {
		y += l.above
		p.drawLine(c, l, wallMargin, y, width-2*wallMargin)
		y += l.style.height()
	}
}

// drawLine draws a line of a column.
func (p *productionPaper) drawLine(c *canvas, l wallLine, x, y, width float64) {
	base, side := y+l.style.ascent(), l.style.size*mmPerPoint*0.85
	if l.sign {
		c.caution(x, base-side*0.86, side)
		x += side + 1.2
	}
	c.text(x, base, l.line)
	if l.end.width > 0 {
		c.textEnd(x+width, base, l.end)
	}
}
