package figure

import (
	"math"

	"emberbank/receiver"
)

// rule draws the temperature rule on the right.
func (d *drawing) rule(lo, hi float64) {
	x := d.rulerAt
	top, high := d.top+10, math.Min(math.Max(d.height, 250)-20, 320)
	hottest, coolest := "hottest ", "coolest "
	if d.onPage() {
		top, high = d.top+16, math.Min(d.height-16, 320)
		hottest, coolest = "", ""
	}
	below := d.bottom + 18
	if d.view.Colours.Fixed {
		below = d.c.lines(names, x+7, top+high+16, 13, "middle", []string{"range of", "the bench"}, "fill", ink2) + 5
	}
	if d.onPage() {
		d.c.lines(names, d.left+d.width+14, below, 14, "start", wrap(names, d.even, d.c.w-d.left-d.width-14), "fill", ink2)
	}
	y := func(T float64) float64 { return top + high*(1-math.Max(0, math.Min(1, d.scale.share(T)))) }
	d.c.tintRule(d.scale, x, top, high, degree, d.scale.tint)
	for _, m := range []struct {
		T    float64
		name string
	}{{hi, hottest + Number(hi, 1)}, {lo, coolest + Number(lo, 1)}} {
		d.c.path("M"+px(x-1)+" "+px(y(m.T))+"l-8 -3v6Z", "fill", ink)
		d.c.text(names, x-12, y(m.T)+4, "end", m.name, "class", celsius, "stroke", sheet, "stroke-width", "3", "paint-order", "stroke")
	}
}

// tintRule draws a scale upright as its steps of tint with their numbers, and its unit above.
func (c *canvas) tintRule(s scale, x, top, high float64, unit string, tint func(float64) string) {
	const w = 14.0
	steps := int(math.Round((s.high - s.low) / s.step))
	y := func(v float64) float64 { return top + high*(1-s.share(v)) }
	for k := range steps {
		v := s.low + float64(k)*s.step
		c.rect(x, y(v+s.step), w, y(v)-y(v+s.step)+0.3, "fill", tint(v+s.step/2))
	}
	c.rect(x, top, w, high, "fill", "none", "stroke", ink, "stroke-width", "0.8")
	tick := niceStep(s.high-s.low, 8)
	draw := func() {
		for k := math.Ceil(s.low/tick - 1e-9); k*tick <= s.high+1e-9*tick; k++ {
			v := k * tick
			c.line(x+w, y(v), x+w+5, y(v), "stroke", ink, "stroke-width", "0.8")
			c.text(numbers, x+w+8, y(v)+4, "start", Number(v, decimalsOf(tick)))
		}
	}
	if unit == degree {
		c.inDegrees(degrees{tick, -high / (s.high - s.low), true, top, top + high}, draw)
	} else {
		draw()
	}
	c.text(captions, x-2, top-10, "start", unit)
}

// seen is what stands on drawings and needs a word.
type seen struct {
	role          map[receiver.Role]bool
	block         string // what the block is of
	molten, solid bool
	water         map[string]bool // its looks
}

// look adds what stands on the drawing.
func (d *drawing) look(s *seen) {
	if s.role == nil {
		s.role, s.water = map[receiver.Role]bool{}, map[string]bool{} // looked up, never walked
	}
	for j := range d.s.nv {
		for i := range d.s.nu {
			c := d.s.cell(i, j)
			if r, ok := d.role(c); ok {
				s.role[r] = true
			}
			if d.warm() && d.melts(c) {
				s.molten = s.molten || d.f.Melted[c] >= 0.5
				s.solid = s.solid || d.f.Melted[c] < 0.5
			}
		}
	}
	of := "block"
	for _, p := range d.rec.Parts {
		if p.Role == receiver.RoleBlock && p.Medium >= 0 && p.Medium < len(d.rec.Media) {
			of = d.rec.Media[p.Medium].Name
			break
		}
	}
	if s.block != "" && s.block != of { // several drawings, several fillers
		of = "block"
	}
	s.block = of
	for _, r := range d.circles() {
		s.water[r.look] = true
	}
	filled := d.wet()
	for _, p := range d.tubes() {
		if len(d.water[p.Name]) == 0 {
			s.water[d.lookAt(p.Name, p.From, filled)] = true
		}
		for _, w := range d.water[p.Name] {
			s.water[lookOf(w.state)] = true
		}
	}
}

// key explains the hatchings that are on the drawing.
func (d *drawing) key() {
	var s seen
	d.look(&s)
	switch {
	case d.keyBeside():
		d.c.keyOf(&s, d.keyLeft(), d.keyLeft()+1, d.top+14)
	case d.onPage():
		d.c.keyOf(&s, 20, d.c.w-20, d.bottom+d.rowsRoom(d.s.across)+24)
	default:
		d.c.keyOf(&s, 20, d.c.w-20, drawingTop+math.Max(d.height, 250)+92)
	}
}

// keyWide is the room that a key takes beside a drawing, px.
const keyWide = 172

// keyLeft is where a key beside the drawing begins.
func (d *drawing) keyLeft() float64 {
	if d.warm() {
		return d.rulerAt + 64
	}
	return d.left + d.width + 28
}

// keyBeside tells whether there is room for the key beside the drawing.
func (d *drawing) keyBeside() bool { return d.onPage() && d.keyLeft()+keyWide <= d.view.Wide }

// keyOf sets the key of what was seen between two edges from y on; each entry on a line of its own where they leave room
// for one only.
func (c *canvas) keyOf(s *seen, left, right, y float64) {
	x := left
	entry := func(name string, swatch func(x, y float64)) {
		w := widthOf(names, name) + 58
		if x+w > right && x > left {
			x, y = left, y+20
		}
		swatch(x, y-11)
		c.text(names, x+36, y, "start", fit(names, name, c.w-x-36))
		x += w
	}
	box := func(fill string) func(x, y float64) {
		return func(x, y float64) {
			c.rect(x, y, 28, 14, "fill", fill, "stroke", ink, "stroke-width", "0.8")
		}
	}
	if s.role[receiver.RoleBlock] {
		entry(fit(names, s.block, 180), box("url(#block-cold)"))
	}
	if s.molten {
		entry("molten", box("url(#molten-cold)"))
	}
	if s.molten && s.solid {
		says := "melting front, teeth to the solid"
		if widthOf(names, says) > c.w-left-36 {
			says = "melting front"
		}
		entry(says, func(x, y float64) {
			c.path("M"+px(x)+" "+px(y+5)+"h28m-24 0v4m6 -4v4m6 -4v4m6 -4v4m6 -4v4", "fill", "none", "stroke", ink, "stroke-width", "1.2")
		})
	}
	if s.role[receiver.RoleInsulation] {
		entry("insulation", box("url(#wave-cold)"))
	}
	if s.role[receiver.RoleFixture] || s.role[receiver.RoleBox] {
		entry("fixtures and boxes", box("url(#box-cold)"))
	}
	if s.role[receiver.RoleJacket] {
		entry("jacket", box(ink))
	}
	for _, w := range []struct{ look, says string }{
		{liquid, "pass with water"}, {subcooled, "subcooled boiling"}, {boiling, "boiling"}, {drying, "drying out"}, {steam, "steam"}, {drained, "pass, drained"},
	} {
		if s.water[w.look] {
			entry(w.says, func(x, y float64) {
				c.circle(x+18, y+7, 6.5, "fill", sheet, "stroke", ink, "stroke-width", "1")
				c.waterIn(x+18, y+7, 4.8, w.look)
			})
		}
	}
	if y+12 > c.h {
		c.h = y + 12
	}
}
