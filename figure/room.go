package figure

// patch is a piece of paper, px.
type patch struct{ x0, y0, x1, y1 float64 }

// room remembers what is taken on the paper, so that no text is set over another. Lines are better kept clear of, too.
type room struct{ taken, lines []patch }

func (r *room) free(b patch) bool { return apart(b, r.taken) }

func apart(b patch, of []patch) bool {
	for _, t := range of {
		if b.x0 < t.x1 && t.x0 < b.x1 && b.y0 < t.y1 && t.y0 < b.y1 {
			return false
		}
	}
	return true
}

func (r *room) take(b patch) { r.taken = append(r.taken, b) }

// patchOf is what a line of text takes.
func patchOf(style int, x, y float64, anchor, s string) patch {
	w := widthOf(style, s)
	switch anchor {
	case "middle":
		x -= w / 2
	case "end":
		x -= w
	}
	return patch{x, y - 11, x + w, y + 4}
}

// beside sets words of one line or several near a point where they are free and inside the limits: right, left, above or below of
// it, then further off with a leader; where no place is free of lines too, over a line; where nothing is free, nowhere. What the
// user gave stands in the pen's blue.
func (c *canvas) beside(r *room, within patch, x, y float64, words string, given bool) {
	all := wrap(names, words, 190)
	wide := 0.0
	for _, s := range all {
		wide = max(wide, widthOf(names, s))
	}
	high := 14 * float64(len(all))
	colour := ink
	if given {
		colour = pen
	}
	for _, over := range [2]bool{false, true} {
		for _, far := range []float64{10, 22, 38, 60, 90, 130} {
			for _, p := range [8][2]float64{{1, -1}, {-1, -1}, {1, 1}, {-1, 1}, {1, 0}, {-1, 0}, {0, -1}, {0, 1}} {
				left, anchor, at := x+p[0]*far-wide/2, "middle", x
				switch {
				case p[0] > 0:
					left, anchor, at = x+far, "start", x+far
				case p[0] < 0:
					left, anchor, at = x-far-wide, "end", x-far
				}
				top := y + p[1]*(far*0.8+high/2) - high/2
				b := patch{left, top, left + wide, top + high}
				if b.x0 < within.x0 || b.x1 > within.x1 || b.y0 < within.y0 || b.y1 > within.y1 || !r.free(b) || !over && !apart(b, r.lines) {
					continue
				}
				r.take(b)
				if far > 12 {
					c.line(x+p[0]*5, y+p[1]*5, x+p[0]*(far-2), y+p[1]*(far*0.8), "stroke", line, "stroke-width", "0.6")
				}
				c.rect(left-2, top-1, wide+4, high+2, "fill", sheet, "fill-opacity", "0.85")
				c.lines(names, at, top+11, 14, anchor, all, "fill", colour)
				return
			}
		}
	}
}
