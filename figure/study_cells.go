package figure

import "math"

// table lays a table of cells out, and the picture's width to it.
func (d *terrain) table() {
	nu, nv := float64(max(len(d.U), 1)), float64(max(len(d.V), 1))
	widest := 0.0
	for j := range d.V {
		d.rows = append(d.rows, fit(numbers, level(&d.Y, d.V[j]), 220))
		widest = math.Max(widest, widthOf(numbers, d.rows[j]))
	}
	d.left = 20 + widest + 12
	d.wide, d.tall = math.Min(110, (d.right-d.left)/nu), math.Min(44, 440/nv)
	d.right = d.left + d.wide*nu
	d.told = d.tall >= 16
	for _, v := range d.F {
		d.told = d.told && widthOf(numbers, d.number(v)) <= d.wide-6
	}
	d.c.w = math.Max(leastWidth, d.right+30)
	if !d.told {
		d.c.w = math.Max(leastWidth, d.right+220)
	}
}

// cells draws a map as a table: a tinted cell for each variant, with its number where there is room.
func (d *terrain) cells() {
	nu, nv := len(d.U), len(d.V)
	d.bottom = d.top + d.tall*float64(nv)
	x := func(i int) float64 { return d.left + d.wide*float64(i) }
	y := func(j int) float64 { return d.bottom - d.tall*float64(j+1) } // of the upper edge: levels rise upwards
	for j := range nv {
		for i := range nu {
			d.cell(i+nu*j, x(i), y(j), d.wide, d.tall)
		}
	}
	d.edges(x, y, d.wide, d.tall)
	d.c.rect(d.left, d.top, d.right-d.left, d.bottom-d.top, "fill", "none", "stroke", ink, "stroke-width", "0.8")
	if k := d.Best; k >= 0 && k < len(d.F) {
		at, up := x(k%nu), y(k/nu)
		text, other := d.inkOn(d.F[k])
		for _, s := range [2][2]string{{other, "4"}, {text, "1.8"}} {
			d.c.rect(at+2, up+2, math.Max(1, d.wide-4), math.Max(1, d.tall-4), "fill", "none", "stroke", s[0], "stroke-width", s[1])
		}
	}
	every := max(1, int(math.Ceil(14/d.tall)))
	for j := 0; j < nv; j += every {
		d.c.text(numbers, d.left-8, y(j)+d.tall/2+4, "end", d.rows[j])
	}
	d.c.h = d.columns(x) + 40
}

// level is the text of a level; its unit stands with the axis' name.
func level(s *Studied, v float64) string {
	if s.Words != nil {
		return s.word(v)
	}
	return sized(v)
}

// cell draws one variant.
func (d *terrain) cell(k int, x, y, w, h float64) {
	v := d.F[k]
	if d.Fate[k] == Failed || math.IsNaN(v) {
		d.c.rect(x, y, w, h, "fill", sheet, "stroke", hair, "stroke-width", "0.6")
		if w >= 10 && h >= 10 {
			d.c.variant(Failed, x+w/2, y+h/2, 2.6, line)
		}
		return
	}
	d.c.rect(x, y, w, h, "fill", d.tint(v), "stroke", sheet, "stroke-width", px(math.Min(0.8, w/12)))
	text, _ := d.inkOn(v)
	if d.Fate[k] == Misses {
		shade := "cold"
		if text == sheet {
			shade = "hot"
		}
		d.c.rect(x, y, w, h, "fill", "url(#misses-"+shade+")")
	}
	if s := d.number(v); widthOf(numbers, s) <= w-6 && h >= 16 {
		halo := []string{"fill", text}
		if d.Fate[k] == Misses {
			halo = append(halo, "stroke", d.tint(v), "stroke-width", "3", "paint-order", "stroke")
		}
		d.c.text(numbers, x+w/2, y+h/2+4, "middle", s, d.marked(halo)...)
	}
}

// edges draws the border between what meets the constraints and what does not along the cells' edges.
func (d *terrain) edges(x, y func(int) float64, w, h float64) {
	nu, nv := len(d.U), len(d.V)
	misses := func(i, j int) bool { return d.Fate[i+nu*j] == Misses }
	good := func(i, j int) bool { return d.Fate[i+nu*j] == Meets }
	var p polyline
	for j := range nv {
		for i := range nu {
			if i+1 < nu && (misses(i, j) && good(i+1, j) || good(i, j) && misses(i+1, j)) {
				p.move(x(i)+w, y(j))
				p.to(x(i)+w, y(j)+h)
			}
			if j+1 < nv && (misses(i, j) && good(i, j+1) || good(i, j) && misses(i, j+1)) {
				p.move(x(i), y(j))
				p.to(x(i)+w, y(j))
			}
		}
	}
	if s := p.String(); s != "" {
		d.c.path(s, "fill", "none", "stroke", sheet, "stroke-width", "4", "stroke-linecap", "square")
		d.c.path(s, "fill", "none", "stroke", ink, "stroke-width", "2", "stroke-linecap", "square")
	}
}

// columns sets the levels below the table and both axes' names under them, and returns the height below.
func (d *terrain) columns(x func(int) float64) float64 {
	l := &ladder{from: x(0), to: x(len(d.U)), lo: -0.5, hi: float64(len(d.U)) - 0.5}
	for i := range d.U {
		l.of.Words = append(l.of.Words, level(&d.X, d.U[i]))
	}
	l.words()
	style := numbers
	if d.X.Words != nil {
		style = names
	}
	foot := d.c.wordsAlong(l, style, d.bottom)
	return d.c.lines(names, d.left, foot+8, 14, "start", wrap(names, d.X.named()+" to the right, "+d.Y.named()+" upwards", d.c.w-d.left-20), "fill", ink2) - 14
}
