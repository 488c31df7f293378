package figure

// patch is a piece of paper, px.
type patch struct{ x0, y0, x1, y1 float64 }

// room remembers what is taken on the paper, so that no text is set over another.
type room struct{ taken []patch }

func (r *room) free(b patch) bool {
	for _, t := range r.taken {
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

// beside sets a text near a point where it is free and inside the limits: right, left, above or below of it, then further off
// with a leader. It tells whether it found a place.
func (c *canvas) beside(r *room, within patch, style int, x, y float64, s string) bool {
	for _, far := range []float64{9, 20, 34, 52} {
		for _, p := range [8][2]float64{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}} {
			at, anchor := x+p[0]*far, "middle"
			switch {
			case p[0] > 0:
				anchor = "start"
			case p[0] < 0:
				anchor = "end"
			}
			down := y + 4 + p[1]*(far+3)
			b := patchOf(style, at, down, anchor, s)
			if b.x0 < within.x0 || b.x1 > within.x1 || b.y0 < within.y0 || b.y1 > within.y1 || !r.free(b) {
				continue
			}
			r.take(b)
			if far > 20 {
				c.line(x+p[0]*4, y+p[1]*4, at-p[0]*2, y+p[1]*(far-6), "stroke", line, "stroke-width", "0.6")
			}
			c.text(style, at, down, anchor, s, halo()...)
			return true
		}
	}
	return false
}
