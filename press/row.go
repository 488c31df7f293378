package press

import "emberbank/paper"

// The page: A4 in points, with room at the left for the numbers of chapters.
const (
	mm        = 72 / 25.4
	pageWide  = 210 * mm
	pageTall  = 297 * mm
	left      = 19 * mm
	top       = pageTall - 24*mm // where text begins
	bottom    = 21 * mm          // where it ends
	fullWide  = paper.TextWidth * mm
	textWide  = paper.ColumnWidth * mm
	right     = left + fullWide
	textLeft  = right - textWide
	room      = top - bottom
	leastRoom = 0.14 * room // on a page, that a figure for the next one leaves to text
)

// mostWaiting is how many figures wait for the next page before no more text passes them.
const mostWaiting = 2

// row is what is never parted: a line, a row of a table, a picture with its words.
type row struct {
	before float64 // empty room above, none at the top of a page
	height float64
	keep   bool   // on the page of the row below
	apart  bool   // begins a page
	floats bool   // a figure that may go to the next page's top, and let text pass
	stops  bool   // no figure passes it
	anchor string // by which links find it
	also   string // a further anchor, of a chapter without a title
	mark   *mark  // what the bookmarks call it
	again  []row  // what stands above it once more where it begins a page: a table's head
	draw   func(p *leaf, y float64)

	smaller func(most float64) *row // a figure that may be set smaller, at most so high; nil: that would be too small
}

// mark is a chapter in the bookmarks, in the table of contents and at the head of pages.
type mark struct {
	depth         int
	number, title string
	anchor        string
}

// place is where something came to stand.
type place struct {
	page int
	y    float64
}

// leaf is a page.
type leaf struct {
	*pen
	rows  []placed
	links []link
	above *mark // the chapter at its head
}

type placed struct {
	*row
	y float64
}

// link is a part of a page that leads somewhere.
type link struct {
	to             string
	x0, y0, x1, y1 float64
}

// pager lays rows onto pages.
type pager struct {
	pages   []*leaf
	y       float64 // down from the page's top, of what is free
	lift    float64 // by how much the first page, which has no head, begins higher
	waiting []*row  // figures for the top of the next page
	fresh   func() *leaf
	chapter *mark
	places  map[string]place
}

func (g *pager) page() *leaf { return g.pages[len(g.pages)-1] }

func (g *pager) empty() bool { return len(g.page().rows) == 0 }

// turn begins a page, with the figures that wait for one.
func (g *pager) turn() {
	g.pages = append(g.pages, g.fresh())
	g.page().above = g.chapter
	g.y = 0
	for len(g.waiting) > 0 {
		r := g.fitting(g.waiting[0])
		if !g.empty() && g.y+r.before+r.height > room {
			return
		}
		g.waiting = g.waiting[1:]
		g.put(r)
	}
}

// fitting is a figure as it goes on what is free of the page: smaller where that is enough.
func (g *pager) fitting(r *row) *row {
	if r.smaller == nil || g.empty() || g.y+r.before+r.height <= room {
		return r
	}
	if small := r.smaller(room - g.y - r.before - 0.01); small != nil {
		small.before, small.anchor, small.also = r.before, r.anchor, r.also
		return small
	}
	return r
}

// flush sets all figures that wait.
func (g *pager) flush() {
	for len(g.waiting) > 0 {
		if r := g.fitting(g.waiting[0]); g.y+r.before+r.height <= room {
			g.waiting = g.waiting[1:]
			g.put(r)
			continue
		}
		g.turn()
	}
}

// put sets a row where the page is free.
func (g *pager) put(r *row) {
	if !g.empty() {
		g.y += r.before
	}
	p := g.page()
	y := top - g.y
	p.rows = append(p.rows, placed{r, y})
	for _, a := range []string{r.anchor, r.also} {
		if a != "" {
			g.places[a] = place{len(g.pages) - 1, y + 4}
		}
	}
	if r.mark != nil && r.mark.depth == 1 {
		if len(p.rows) == 1 {
			p.above = r.mark
		}
		g.chapter = r.mark
	}
	g.y += r.height
}

// lay lays all rows.
func (g *pager) lay(rows []row) {
	g.turn()
	g.y = -g.lift
	for i := 0; i < len(rows); {
		r := &rows[i]
		k := i + 1
		for k < len(rows) && rows[k-1].keep {
			k++
		}
		if r.stops || r.apart {
			g.flush()
		}
		if r.apart && !g.empty() || len(g.waiting) >= mostWaiting {
			g.turn()
		}
		tall := height(rows[i:k], g.empty())
		if r.floats && k == i+1 && len(g.waiting) == 0 {
			if small := g.fitting(r); small != r {
				r, rows[i] = small, *small
				tall = height(rows[i:k], g.empty())
			}
		}
		if r.floats && k == i+1 && (len(g.waiting) > 0 || g.y+tall > room && room-g.y > leastRoom && !g.empty()) {
			g.waiting = append(g.waiting, r)
			i = k
			continue
		}
		if g.y+tall > room && !g.empty() {
			g.turn()
			if !g.empty() && g.y+height(rows[i:k], false) > room { // figures took the page
				g.turn()
			}
			for n := range r.again {
				g.put(&r.again[n])
			}
		}
		for ; i < k; i++ {
			if g.y+rows[i].height > room && !g.empty() { // a group that is taller than a page
				g.turn()
			}
			g.put(&rows[i])
		}
	}
	g.flush()
}

// height is that of rows; at the top of a page the first has no room above it.
func height(rows []row, first bool) float64 {
	sum := 0.0
	for i := range rows {
		if i > 0 || !first {
			sum += rows[i].before
		}
		sum += rows[i].height
	}
	return sum
}
