package figure

import (
	"math"

	"emberbank/receiver"
)

// defs defines the hatchings. "cold" ones are dark for pale tints, "hot" ones pale for dark tints.
func (d *drawing) defs() {
	d.c.raw("<defs>\n")
	for _, k := range []struct{ id, colour, opacity string }{{"cold", ink, "0.3"}, {"hot", sheet, "0.4"}} {
		stroke := func(opacity, width string) []string {
			return []string{"stroke", k.colour, "stroke-opacity", opacity, "stroke-width", width}
		}
		d.c.pattern("block-"+k.id, 12, 12, 45, "M3 0V12M6 0V12", stroke(k.opacity, "0.7")...)
		d.c.pattern("wave-"+k.id, 16, 14, 0, "M0 4Q4 0 8 4T16 4M0 11Q4 15 8 11T16 11", stroke(k.opacity, "0.6")...)
		d.c.pattern("molten-"+k.id, 12, 8, 0, "M1 2H6M7 6H12", stroke("0.7", "0.8")...)
		d.c.pattern("box-"+k.id, 7, 7, -45, "M3 0V7", stroke(k.opacity, "0.6")...)
	}
	d.c.pattern("glass", 6, 6, 30, "M3 0V3", "stroke", ink, "stroke-width", "0.6")
	d.waterDefs()
	d.c.raw("</defs>\n")
}

// mean is the mean temperature in degC of the cells of the section for which is holds.
func (d *drawing) mean(is func(cell int) bool) float64 {
	sum, n := 0.0, 0
	for j := range d.s.nv {
		for i := range d.s.nu {
			if c := d.s.cell(i, j); d.warm() && is(c) && !math.IsNaN(d.f.Temperature[c]) {
				sum += d.f.Temperature[c] - zeroC
				n++
			}
		}
	}
	if n == 0 {
		return d.scale.low
	}
	return sum / float64(n)
}

func (d *drawing) shade(is func(cell int) bool) string {
	if d.scale.share(d.mean(is)) > 0.55 {
		return "hot"
	}
	return "cold"
}

// fillCells fills the cells for which is holds; the path is empty where there are none.
func (d *drawing) fillCells(is func(cell int) bool, fill string, pairs ...string) {
	var p polyline
	for _, q := range d.s.regions(is) {
		p.move(d.x(q.u0), d.y(q.v0))
		p.to(d.x(q.u1), d.y(q.v0))
		p.to(d.x(q.u1), d.y(q.v1))
		p.to(d.x(q.u0), d.y(q.v1))
		p.close()
	}
	if s := p.String(); s != "" {
		d.c.path(s, append([]string{"fill", fill}, pairs...)...)
	}
}

func (d *drawing) role(cell int) (receiver.Role, bool) {
	p := d.part[cell]
	if p < 0 || int(p) >= len(d.rec.Parts) {
		return 0, false
	}
	return d.rec.Parts[p].Role, true
}

// hatching hatches what is cut, by its role: block, insulation, boxes; thin metal is solid.
func (d *drawing) hatching() {
	for _, h := range []struct {
		role    receiver.Role
		pattern string
	}{{receiver.RoleBlock, "block"}, {receiver.RoleInsulation, "wave"}, {receiver.RoleBox, "box"}, {receiver.RoleFixture, "box"}, {receiver.RoleJacket, ""}} {
		is := func(cell int) bool {
			r, ok := d.role(cell)
			return ok && r == h.role
		}
		if h.pattern == "" {
			d.fillCells(is, ink)
			continue
		}
		d.fillCells(is, "url(#"+h.pattern+"-"+d.shade(is)+")")
	}
}

func (d *drawing) melts(cell int) bool {
	p := d.part[cell]
	if p < 0 || int(p) >= len(d.rec.Parts) {
		return false
	}
	m := d.rec.Parts[p].Medium
	return m >= 0 && m < len(d.rec.Media) && d.rec.Media[m].Latent > 0
}

// molten lays level dashes over what has melted.
func (d *drawing) molten() {
	is := func(cell int) bool { return d.melts(cell) && d.f.Melted[cell] >= 0.5 }
	d.fillCells(is, "url(#molten-"+d.shade(is)+")")
}

func (d *drawing) inBlock(p int16) bool {
	return p >= 0 && int(p) < len(d.rec.Parts) && d.rec.Parts[p].Role == receiver.RoleBlock
}

// outlines draws the edges between parts, and between solid and air.
func (d *drawing) outlines() {
	var p polyline
	for _, b := range d.s.borders(d.part) {
		p.move(d.x(b.u0), d.y(b.v0))
		p.to(d.x(b.u1), d.y(b.v1))
	}
	if s := p.String(); s != "" {
		d.c.path(s, "fill", "none", "stroke", ink, "stroke-width", "1", "stroke-linecap", "square")
	}
	// The block's own outline is the heavier one.
	b := d.rec.Block
	if d.at >= b.Min[d.s.normal] && d.at <= b.Max[d.s.normal] {
		x0, x1 := d.x(b.Min[d.s.across]), d.x(b.Max[d.s.across])
		y0, y1 := d.y(b.Max[d.s.up]), d.y(b.Min[d.s.up])
		d.c.rect(x0, y0, x1-x0, y1-y0, "fill", "none", "stroke", ink, "stroke-width", "1.5")
	}
}

// front draws where half of what melts has melted, with teeth to the solid.
func (d *drawing) front() {
	b := d.rec.Block
	some := false
	for _, m := range d.f.Melted {
		if m > 0 {
			some = true
			break
		}
	}
	if !some || d.at < b.Min[d.s.normal] || d.at > b.Max[d.s.normal] {
		return
	}
	var p polyline
	for _, l := range contours(d.s.field(d.f.Melted, d.part, d.inBlock), 0.5) {
		d.trace(&p, l)
		// Melted lies on the left of the line with v upwards, so the teeth stand on the right.
		next := 4.0
		for i := 1; i < len(l); i++ {
			ax, ay, bx, by := d.x(l[i-1].u), d.y(l[i-1].v), d.x(l[i].u), d.y(l[i].v)
			s := math.Hypot(bx-ax, by-ay)
			for next <= s && s > 0 {
				tx, ty := (bx-ax)/s, (by-ay)/s
				x, y := ax+tx*next, ay+ty*next
				p.move(x, y)
				p.to(x-ty*4, y+tx*4)
				next += 6
			}
			next -= s
		}
	}
	if s := p.String(); s != "" {
		for _, stroke := range [][2]string{{sheet, "3"}, {ink, "1.2"}} {
			d.c.path(s, "fill", "none", "stroke", stroke[0], "stroke-width", stroke[1], "clip-path", "url(#"+d.clipName+")")
		}
	}
}
