package figure

import (
	"fmt"
	"math"
	"sort"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// Room for the drawing itself, px; dimensions, rule and key stand around it.
const (
	leastWidth  = 640
	drawingLeft = 136
	drawingTop  = 62
	drawingWide = 520
	drawingHigh = 460
)

// drawing is a section being drawn.
type drawing struct {
	c     *canvas
	r     *heat.Result
	rec   *receiver.Receiver
	part  []int16 // of each cell, bores counted to what they are drilled through
	f     heat.Field
	s     slice
	at    float64
	scale scale
	// paper = offset ± m·perMetre; v grows upwards.
	perMetre, left, bottom float64
	width, height          float64 // px
	rulerAt                float64 // px
}

func (d *drawing) x(u float64) float64 { return d.left + (u-d.s.g.Lines[d.s.across][0])*d.perMetre }
func (d *drawing) y(v float64) float64 { return d.bottom - (v-d.s.g.Lines[d.s.up][0])*d.perMetre }

// Section draws the receiver cut through the plane at a coordinate, in m, along an axis, to scale: temperature as
// tints with isotherms, hatching by what a part is for, passes as circles with their water, the melting front as a
// line with teeth to the solid, the main dimensions, and the temperature rule. For the two upright planes height
// is up; for a level one depth runs to the right and width upwards.
func Section(r *heat.Result, rec *receiver.Receiver, field heat.Field, axis block.Axis, at float64) []byte {
	d := &drawing{r: r, rec: rec, f: field, s: cut(r.Grid, axis, at), at: at}
	d.part = drilled(r, rec)
	g := r.Grid
	u, v := g.Lines[d.s.across], g.Lines[d.s.up]
	d.perMetre = math.Min(drawingWide/(u[len(u)-1]-u[0]), drawingHigh/(v[len(v)-1]-v[0]))
	d.width, d.height = (u[len(u)-1]-u[0])*d.perMetre, (v[len(v)-1]-v[0])*d.perMetre
	d.left, d.bottom = drawingLeft, drawingTop+math.Max(d.height, 250)
	if d.height < 250 {
		d.bottom -= (250 - d.height) / 2
	}
	lo, hi := spread(&field)
	if lo > hi {
		lo, hi = 0, 1
	}
	d.scale = scaleOver(lo, hi)

	title := fmt.Sprintf("Section at %s %s mm, after %s", axis, Number(at*1000, 0), Span(field.Time))
	if r.Ended == 0 && field.Time == 0 && len(r.History.Time) < 2 {
		title = fmt.Sprintf("Section at %s %s mm, steady", axis, Number(at*1000, 0))
	}
	// The frame's height: the drawing, its dimensions, the key.
	d.rulerAt = d.left + d.width + 118
	d.c = newCanvas(math.Max(leastWidth, d.rulerAt+76), drawingTop+math.Max(d.height, 250)+130, title,
		fmt.Sprintf("Temperatures from %s to %s %s.", Number(lo, 1), Number(hi, 1), degree))
	d.defs()
	d.c.text(sentence, 20, 28, "start", fit(sentence, title, d.c.w-40))
	temperatures := d.s.field(field.Temperature, d.part, func(p int16) bool { return p >= 0 })
	d.tints(temperatures)
	d.hatching()
	d.molten()
	isotherms := d.isotherms(temperatures)
	d.air()
	d.clip()
	isotherms = append(isotherms, d.within()...)
	d.outlines()
	d.front()
	d.glass()
	d.heaters()
	d.passes()
	d.label(isotherms)
	d.dimensions()
	d.rule(lo, hi)
	d.key()
	return d.c.bytes()
}

// drilled returns the part of each cell, where a cell that a bore has emptied counts to the part that it is drilled
// through: the tube is drawn over it.
func drilled(r *heat.Result, rec *receiver.Receiver) []int16 {
	out := append([]int16(nil), r.Part...)
	for c, p := range out {
		if p >= 0 {
			continue
		}
		i, j, k := r.Grid.Place(c)
		at := block.Point{r.Grid.Centre(0, i), r.Grid.Centre(1, j), r.Grid.Centre(2, k)}
		for q := len(rec.Parts) - 1; q >= 0; q-- {
			if rec.Parts[q].Box.Contains(at) {
				if rec.Parts[q].Medium >= 0 {
					out[c] = int16(q)
				}
				break
			}
		}
	}
	return out
}

// defs defines the hatchings. "cold" ones are dark for pale tints, "hot" ones pale for dark tints.
func (d *drawing) defs() {
	d.c.raw("<defs>\n")
	for _, k := range []struct{ id, colour, opacity string }{{"cold", ink, "0.3"}, {"hot", sheet, "0.4"}} {
		d.c.raw(`<pattern id="block-` + k.id + `" width="12" height="12" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M3 0V12M6 0V12" stroke="` + k.colour + `" stroke-opacity="` + k.opacity + `" stroke-width="0.7"/></pattern>` + "\n")
		d.c.raw(`<pattern id="wave-` + k.id + `" width="16" height="14" patternUnits="userSpaceOnUse"><path d="M0 4Q4 0 8 4T16 4M0 11Q4 15 8 11T16 11" fill="none" stroke="` + k.colour + `" stroke-opacity="` + k.opacity + `" stroke-width="0.6"/></pattern>` + "\n")
		d.c.raw(`<pattern id="molten-` + k.id + `" width="12" height="8" patternUnits="userSpaceOnUse"><path d="M1 2H6M7 6H12" stroke="` + k.colour + `" stroke-opacity="0.7" stroke-width="0.8"/></pattern>` + "\n")
		d.c.raw(`<pattern id="box-` + k.id + `" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path d="M3 0V7" stroke="` + k.colour + `" stroke-opacity="` + k.opacity + `" stroke-width="0.6"/></pattern>` + "\n")
	}
	d.c.raw(`<pattern id="glass" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(30)"><path d="M3 0V3" stroke="` + ink + `" stroke-width="0.6"/></pattern>` + "\n")
	d.c.raw("</defs>\n")
}

// tints fills the region at or above each step of the rule with the step's colour, coolest first.
func (d *drawing) tints(n *nodes) {
	f := n.fenced()
	steps := int(math.Round((d.scale.high - d.scale.low) / d.scale.step))
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, T := range n.f {
		lo, hi = math.Min(lo, T), math.Max(hi, T)
	}
	first := true
	for k := range steps {
		level := d.scale.low + float64(k)*d.scale.step + zeroC
		above := level + d.scale.step
		if above <= lo && k+1 < steps || level > hi {
			continue
		}
		colour := d.scale.tint(level - zeroC + d.scale.step/2)
		if first { // the coolest step that shows fills all
			d.c.rect(d.left, d.bottom-d.height, d.width, d.height, "fill", colour)
			first = false
			continue
		}
		var p polyline
		for _, l := range contours(f, level) {
			d.trace(&p, l)
			p.close()
		}
		if s := p.String(); s != "" {
			d.c.path(s, "fill", colour, "fill-rule", "evenodd")
		}
	}
}

func (d *drawing) trace(p *polyline, l []vertex) {
	for i, v := range l {
		if i == 0 {
			p.move(d.x(v.u), d.y(v.v))
		} else {
			p.to(d.x(v.u), d.y(v.v))
		}
	}
}

// mean is the mean temperature in degC of the cells of the section for which is holds.
func (d *drawing) mean(is func(cell int) bool) float64 {
	sum, n := 0.0, 0
	for j := range d.s.nv {
		for i := range d.s.nu {
			if c := d.s.cell(i, j); is(c) && !math.IsNaN(d.f.Temperature[c]) {
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

// air takes the tint away where nothing solid stands.
func (d *drawing) air() {
	// The stroke covers what spills over the rim by half a line; outlines are drawn later.
	d.fillCells(func(cell int) bool { return d.part[cell] < 0 }, sheet, "stroke", sheet, "stroke-width", "1.5")
}

// isoline is a drawn isotherm, in px.
type isoline struct {
	celsius  float64
	decimals int
	inside   bool // only its stretch inside the block is drawn
	points   []vertex
}

// isotherms draws lines of equal temperature through all that is solid; each fifth is heavier.
func (d *drawing) isotherms(n *nodes) []isoline {
	return d.lines(n, niceStep(d.scale.high-d.scale.low, 14), d.scale.low, d.scale.high)
}

// within draws finer isotherms inside the block where those of the whole leave it empty, so that the shape of a
// nearly even field shows.
func (d *drawing) within() []isoline {
	lo, hi := math.Inf(1), math.Inf(-1)
	for j := range d.s.nv {
		for i := range d.s.nu {
			c := d.s.cell(i, j)
			if r, ok := d.role(c); ok && r == receiver.RoleBlock && !math.IsNaN(d.f.Temperature[c]) {
				lo, hi = math.Min(lo, d.f.Temperature[c]-zeroC), math.Max(hi, d.f.Temperature[c]-zeroC)
			}
		}
	}
	if !(hi >= lo) {
		return nil
	}
	if hi-lo < 2 { // lines closer than a kelvin would show the grid, not the block
		d.c.text(names, d.c.w-20, d.bottom+48, "end", "block even to "+Number(hi-lo, 1)+thin+"K", "fill", ink2)
		return nil
	}
	if coarse := niceStep(d.scale.high-d.scale.low, 14); hi-lo > 2*coarse {
		return nil
	}
	n := d.s.field(d.f.Temperature, d.part, d.inBlock)
	lines := d.lines(n, niceStep(hi-lo, 6), lo, hi, "clip-path", "url(#in-block)")
	for i := range lines {
		lines[i].inside = true
	}
	return lines
}

func (d *drawing) inBlock(p int16) bool {
	return p >= 0 && int(p) < len(d.rec.Parts) && d.rec.Parts[p].Role == receiver.RoleBlock
}

// clip defines the block's outline as a clip.
func (d *drawing) clip() {
	var p polyline
	for _, q := range d.s.regions(func(cell int) bool { return d.inBlock(d.part[cell]) }) {
		p.move(d.x(q.u0), d.y(q.v0))
		p.to(d.x(q.u1), d.y(q.v0))
		p.to(d.x(q.u1), d.y(q.v1))
		p.to(d.x(q.u0), d.y(q.v1))
		p.close()
	}
	d.c.raw(`<clipPath id="in-block"><path d="` + p.String() + `"/></clipPath>` + "\n")
}

func (d *drawing) lines(n *nodes, step, lo, hi float64, pairs ...string) []isoline {
	var out []isoline
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step; k++ {
		T := k * step
		var p polyline
		for _, l := range contours(n, T+zeroC) {
			d.trace(&p, l)
			line := isoline{celsius: T, decimals: decimalsOf(step)}
			for _, v := range l {
				line.points = append(line.points, vertex{d.x(v.u), d.y(v.v)})
			}
			out = append(out, line)
		}
		if s := p.String(); s != "" {
			width := "0.45"
			if math.Mod(math.Abs(k), 5) == 0 {
				width = "0.9"
			}
			colour := ink
			if d.scale.share(T) > 0.65 {
				colour = sheet
			}
			d.c.path(s, append([]string{"fill", "none", "stroke", colour, "stroke-width", width}, pairs...)...)
		}
	}
	return out
}

// drawn tells whether a line is drawn at a place on the paper: in something solid, or in the block alone.
func (d *drawing) drawn(l isoline, p vertex) bool {
	i := d.s.g.Find(d.s.across, d.s.g.Lines[d.s.across][0]+(p.u-d.left)/d.perMetre)
	j := d.s.g.Find(d.s.up, d.s.g.Lines[d.s.up][0]+(d.bottom-p.v)/d.perMetre)
	if i < 0 || j < 0 {
		return false
	}
	part := d.part[d.s.cell(i, j)]
	return part >= 0 && (!l.inside || d.inBlock(part))
}

// label writes temperatures on the longest lines first, where no other label stands near.
func (d *drawing) label(lines []isoline) {
	length := func(l isoline) float64 {
		sum := 0.0
		for i := 1; i < len(l.points); i++ {
			sum += math.Hypot(l.points[i].u-l.points[i-1].u, l.points[i].v-l.points[i-1].v)
		}
		return sum
	}
	sort.SliceStable(lines, func(i, j int) bool { return length(lines[i]) > length(lines[j]) })
	var taken []vertex
	for _, c := range d.circles() {
		taken = append(taken, vertex{c.x, c.y})
	}
	times := map[float64]int{}
	for _, l := range lines {
		all := length(l)
		if all < 40 || times[l.celsius] >= 2 {
			continue
		}
		for _, share := range []float64{0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95} {
			p := along(l.points, share*all)
			s := Number(l.celsius, l.decimals)
			w := widthOf(numbers, s)
			free := p.u > d.left+w/2+3 && p.u < d.left+d.width-w/2-3 && p.v > d.bottom-d.height+8 && p.v < d.bottom-8 && d.drawn(l, p)
			for _, t := range taken {
				if math.Abs(t.u-p.u) < w+10 && math.Abs(t.v-p.v) < 16 {
					free = false
				}
			}
			if !free {
				continue
			}
			taken = append(taken, p)
			times[l.celsius]++
			fill, halo := ink, d.scale.tint(l.celsius)
			if d.scale.share(l.celsius) > 0.6 {
				fill = sheet
			}
			d.c.text(numbers, p.u, p.v+4, "middle", s, "fill", fill, "stroke", halo, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round")
			break
		}
	}
}

func along(points []vertex, want float64) vertex {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		l := math.Hypot(b.u-a.u, b.v-a.v)
		if want <= l && l > 0 {
			return vertex{a.u + (b.u-a.u)*want/l, a.v + (b.v-a.v)*want/l}
		}
		want -= l
	}
	return points[len(points)-1]
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
			d.c.path(s, "fill", "none", "stroke", stroke[0], "stroke-width", stroke[1], "clip-path", "url(#in-block)")
		}
	}
}

// glass draws the pane before the block's face.
func (d *drawing) glass() {
	w := d.rec.Window
	if w == nil || w.Glass == nil || d.s.across != block.Depth {
		return
	}
	o := w.Opening
	if d.at < o.Min[d.s.normal] || d.at > o.Max[d.s.normal] {
		return
	}
	face := d.rec.Block.Min[block.Depth]
	x1 := d.x(face - w.Glass.Gap)
	thick := math.Max(w.Glass.Thickness*d.perMetre, 3)
	y0, y1 := d.y(o.Max[d.s.up]), d.y(o.Min[d.s.up])
	d.c.rect(x1-thick, y0, thick, y1-y0, "fill", sheet)
	d.c.rect(x1-thick, y0, thick, y1-y0, "fill", "url(#glass)", "stroke", ink, "stroke-width", "1")
}

// heaters draws cartridges: a crossed circle where they are cut across, a centre line where they lie in the plane.
func (d *drawing) heaters() {
	for _, h := range d.rec.Heaters {
		if h.Axis != d.s.normal {
			if math.Abs(h.At[d.s.normal]-d.at) <= h.Diameter/2 {
				d.lying(h.Axis, h.At, h.From, h.To, h.Diameter, "none")
			}
			continue
		}
		if d.at < h.From || d.at > h.To {
			continue
		}
		x, y, r := d.x(h.At[d.s.across]), d.y(h.At[d.s.up]), math.Max(h.Diameter/2*d.perMetre, 3)
		d.c.circle(x, y, r, "fill", sheet, "stroke", ink, "stroke-width", "1")
		k := r * math.Sqrt2 / 2
		d.c.path("M"+px(x-k)+" "+px(y-k)+"L"+px(x+k)+" "+px(y+k)+"M"+px(x-k)+" "+px(y+k)+"L"+px(x+k)+" "+px(y-k), "fill", "none", "stroke", ink, "stroke-width", "0.8")
	}
}

func (d *drawing) lying(a block.Axis, at block.Point, from, to, diameter float64, fill string) {
	lo, hi := at, at
	lo[a], hi[a] = from, to
	other := d.s.up
	if a == d.s.up {
		other = d.s.across
	}
	lo[other] -= diameter / 2
	hi[other] += diameter / 2
	x0, x1 := d.x(lo[d.s.across]), d.x(hi[d.s.across])
	y0, y1 := d.y(hi[d.s.up]), d.y(lo[d.s.up])
	d.c.rect(x0, y0, x1-x0, y1-y0, "fill", fill, "stroke", ink, "stroke-width", "0.8")
}

// ring is a pass cut across.
type ring struct {
	x, y, outer, inner float64
	name               string
	wet                bool
}

// wet tells for every pass whether water was in it, by the chain nearest in time to the field.
func (d *drawing) wet() map[string]bool {
	out := map[string]bool{}
	best := math.Inf(1)
	for _, c := range d.r.Chains {
		best = math.Min(best, math.Abs(c.Time-d.f.Time))
	}
	for _, c := range d.r.Chains {
		if math.Abs(c.Time-d.f.Time) == best {
			out[c.Pass] = c.State != "drained"
		}
	}
	return out
}

func (d *drawing) circles() []ring {
	var out []ring
	wet := d.wet()
	for _, p := range d.rec.Passes {
		if p.Axis != d.s.normal || d.at < p.From || d.at > p.To {
			continue
		}
		c := ring{x: d.x(p.At[d.s.across]), y: d.y(p.At[d.s.up]), outer: math.Max(p.Outer/2*d.perMetre, 3), inner: p.Inner / 2 * d.perMetre, name: p.Name}
		c.inner = math.Min(math.Max(c.inner, 1.8), c.outer-0.8)
		c.wet = wet[p.Name]
		out = append(out, c)
	}
	return out
}

// tubes lists the passes that lie in the plane.
func (d *drawing) tubes() []receiver.Pass {
	var out []receiver.Pass
	for _, p := range d.rec.Passes {
		if p.Axis != d.s.normal && math.Abs(p.At[d.s.normal]-d.at) <= math.Max(p.Outer/2, 1e-9) {
			out = append(out, p)
		}
	}
	return out
}

// passes draws tubes: white rings, filled with water's colour where water is in them.
func (d *drawing) passes() {
	wet := d.wet()
	for _, p := range d.tubes() {
		least := 4 / d.perMetre // a line sink has no width
		d.lying(p.Axis, p.At, p.From, p.To, math.Max(p.Outer, least), sheet)
		if wet[p.Name] {
			d.lying(p.Axis, p.At, p.From, p.To, math.Max(p.Inner, least/2), water)
		}
		if size := p.Outer * d.perMetre; size >= 12 && p.Axis == d.s.across {
			fill := ink
			if wet[p.Name] {
				fill = sheet
			}
			d.c.text(numbers, d.x(p.From)+8, d.y(p.At[d.s.up])+4, "start", p.Name, "fill", fill)
		}
	}
	rings := d.circles()
	for _, c := range rings {
		d.c.circle(c.x, c.y, c.outer, "fill", sheet, "stroke", ink, "stroke-width", "1")
		fill := sheet
		if c.wet {
			fill = water
		}
		d.c.circle(c.x, c.y, c.inner, "fill", fill, "stroke", ink, "stroke-width", "0.5")
	}
	dark := d.scale.share(d.mean(func(cell int) bool { return d.inBlock(d.part[cell]) })) > 0.6
	for i, c := range rings {
		room := true // beside the tube, towards the right
		w := widthOf(numbers, c.name)
		for j, o := range rings {
			if i != j && o.x > c.x && o.x-c.x < c.outer+o.outer+w+8 && math.Abs(o.y-c.y) < o.outer+8 {
				room = false
			}
		}
		if !room {
			continue
		}
		fill, halo := ink, sheet
		if dark {
			fill, halo = sheet, ink
		}
		d.c.text(numbers, c.x+c.outer+4, c.y+4, "start", c.name, "fill", fill, "stroke", halo, "stroke-width", "2.5", "stroke-opacity", "0.55", "paint-order", "stroke", "stroke-linejoin", "round")
	}
}

// rule draws the temperature rule on the right.
func (d *drawing) rule(lo, hi float64) {
	x, w := d.rulerAt, 14.0
	top, high := drawingTop+10.0, math.Min(math.Max(d.height, 250)-20, 320)
	steps := int(math.Round((d.scale.high - d.scale.low) / d.scale.step))
	y := func(T float64) float64 { return top + high*(1-d.scale.share(T)) }
	for k := range steps {
		T := d.scale.low + float64(k)*d.scale.step
		d.c.rect(x, y(T+d.scale.step), w, y(T)-y(T+d.scale.step)+0.3, "fill", d.scale.tint(T+d.scale.step/2))
	}
	d.c.rect(x, top, w, high, "fill", "none", "stroke", ink, "stroke-width", "0.8")
	tick := niceStep(d.scale.high-d.scale.low, 8)
	for k := math.Ceil(d.scale.low/tick - 1e-9); k*tick <= d.scale.high+1e-9; k++ {
		T := k * tick
		d.c.line(x+w, y(T), x+w+5, y(T), "stroke", ink, "stroke-width", "0.8")
		d.c.text(numbers, x+w+8, y(T)+4, "start", Number(T, decimalsOf(tick)))
	}
	d.c.text(captions, x-2, top-10, "start", degree)
	for _, m := range []struct {
		T    float64
		name string
	}{{hi, "hottest " + Number(hi, 1)}, {lo, "coolest " + Number(lo, 1)}} {
		d.c.path("M"+px(x-1)+" "+px(y(m.T))+"l-8 -3v6Z", "fill", ink)
		d.c.text(names, x-12, y(m.T)+4, "end", m.name, "stroke", sheet, "stroke-width", "3", "paint-order", "stroke")
	}
}

// key explains the hatchings that are on the drawing.
func (d *drawing) key() {
	y := drawingTop + math.Max(d.height, 250) + 92
	x := 20.0
	entry := func(name string, swatch func(x, y float64)) {
		w := widthOf(names, name) + 58
		if x+w > d.c.w-20 && x > 20 {
			x, y = 20, y+20
		}
		swatch(x, y-11)
		d.c.text(names, x+36, y, "start", name)
		x += w
	}
	has := map[receiver.Role]bool{}
	molten, solid := false, false
	for j := range d.s.nv {
		for i := range d.s.nu {
			c := d.s.cell(i, j)
			if r, ok := d.role(c); ok {
				has[r] = true
			}
			if d.melts(c) {
				molten = molten || d.f.Melted[c] >= 0.5
				solid = solid || d.f.Melted[c] < 0.5
			}
		}
	}
	box := func(fill string) func(x, y float64) {
		return func(x, y float64) {
			d.c.rect(x, y, 28, 14, "fill", fill, "stroke", ink, "stroke-width", "0.8")
		}
	}
	name := "block"
	for _, p := range d.rec.Parts {
		if p.Role == receiver.RoleBlock && p.Medium >= 0 && p.Medium < len(d.rec.Media) {
			name = d.rec.Media[p.Medium].Name
			break
		}
	}
	if has[receiver.RoleBlock] {
		entry(fit(names, name, 180), box("url(#block-cold)"))
	}
	if molten {
		entry("molten", box("url(#molten-cold)"))
	}
	if molten && solid {
		entry("melting front, teeth to the solid", func(x, y float64) {
			d.c.path("M"+px(x)+" "+px(y+5)+"h28m-24 0v4m6 -4v4m6 -4v4m6 -4v4m6 -4v4", "fill", "none", "stroke", ink, "stroke-width", "1.2")
		})
	}
	if has[receiver.RoleInsulation] {
		entry("insulation", box("url(#wave-cold)"))
	}
	if has[receiver.RoleFixture] || has[receiver.RoleBox] {
		entry("fixtures and boxes", box("url(#box-cold)"))
	}
	if has[receiver.RoleJacket] {
		entry("jacket", box(ink))
	}
	wet, dry := false, false
	for _, r := range d.circles() {
		wet, dry = wet || r.wet, dry || !r.wet
	}
	filled := d.wet()
	for _, p := range d.tubes() {
		wet, dry = wet || filled[p.Name], dry || !filled[p.Name]
	}
	if wet || dry {
		sample := func(fill string) func(x, y float64) {
			return func(x, y float64) {
				d.c.circle(x+18, y+7, 6, "fill", sheet, "stroke", ink, "stroke-width", "1")
				d.c.circle(x+18, y+7, 4, "fill", fill, "stroke", ink, "stroke-width", "0.5")
			}
		}
		if wet {
			entry("pass with water", sample(water))
		}
		if dry {
			entry("pass, drained", sample(sheet))
		}
	}
	if y+12 > d.c.h {
		d.c.h = y + 12
	}
}

// dimensions draws the main sizes in the user's blue: below along the section, on the left upwards.
func (d *drawing) dimensions() {
	b := d.rec.Block
	u, v := d.s.across, d.s.up
	lines := d.s.g.Lines
	// Along: outside, block, outside.
	stops := clean([]float64{lines[u][0], b.Min[u], b.Max[u], lines[u][len(lines[u])-1]})
	y := d.bottom + 26
	for i := 1; i < len(stops); i++ {
		d.dimension(d.x(stops[i-1]), y, d.x(stops[i]), y, stops[i]-stops[i-1])
	}
	for _, s := range stops {
		d.c.line(d.x(s), d.bottom+3, d.x(s), y+4, "stroke", pen, "stroke-width", "0.6")
	}
	if len(stops) > 2 {
		y += 24
		d.dimension(d.x(stops[0]), y, d.x(stops[len(stops)-1]), y, stops[len(stops)-1]-stops[0])
		for _, s := range []float64{stops[0], stops[len(stops)-1]} {
			d.c.line(d.x(s), d.bottom+3, d.x(s), y+4, "stroke", pen, "stroke-width", "0.6")
		}
	}
	// Upwards.
	stops = clean([]float64{lines[v][0], b.Min[v], b.Max[v], lines[v][len(lines[v])-1]})
	x := d.left - 26
	for i := 1; i < len(stops); i++ {
		d.dimension(x, d.y(stops[i-1]), x, d.y(stops[i]), stops[i]-stops[i-1])
	}
	for _, s := range stops {
		d.c.line(d.left-3, d.y(s), x-4, d.y(s), "stroke", pen, "stroke-width", "0.6")
	}
	// The window's opening, one line further out.
	if w := d.rec.Window; w != nil && u == block.Depth && d.at >= w.Opening.Min[d.s.normal] && d.at <= w.Opening.Max[d.s.normal] {
		lo, hi := w.Opening.Min[v], w.Opening.Max[v]
		x -= 32
		d.dimension(x, d.y(lo), x, d.y(hi), hi-lo)
		for _, s := range []float64{lo, hi} {
			d.c.line(d.left-3, d.y(s), x-4, d.y(s), "stroke", pen, "stroke-width", "0.6")
		}
		d.c.text(names, x-17, d.y((lo+hi)/2)+4, "end", "window")
	}
	d.c.text(numbers, d.c.w-20, d.bottom+30, "end", "lengths in mm, to scale", "fill", ink2)
	d.c.text(names, d.left+d.width/2, drawingTop-12, "middle", map[block.Axis]string{
		block.Depth: "seen from the window: width to the right, height upwards",
		block.Width: "depth to the right, height upwards", block.Height: "depth to the right, width upwards",
	}[d.s.normal], "fill", ink2)
}

// clean sorts out stops that coincide.
func clean(stops []float64) []float64 {
	out := stops[:1]
	for _, s := range stops[1:] {
		if s-out[len(out)-1] > 1e-9 {
			out = append(out, s)
		}
	}
	return out
}

// dimension draws a line with slender closed arrowheads and the length above it, in mm. Where the line is too
// short for its number, arrows come from outside and the number goes beside it.
func (d *drawing) dimension(x0, y0, x1, y1, metres float64) {
	mm := metres * 1000
	decimals := 0
	if mm < 10 && math.Abs(mm-math.Round(mm)) > 1e-6 {
		decimals = 1
	}
	s := Number(mm, decimals)
	l := math.Hypot(x1-x0, y1-y0)
	w := widthOf(numbers, s)
	head := func(x, y, dx, dy float64) { // tip at x, y, coming along dx, dy
		d.c.path("M"+px(x)+" "+px(y)+"L"+px(x-8*dx-1.25*dy)+" "+px(y-8*dy+1.25*dx)+"L"+px(x-8*dx+1.25*dy)+" "+px(y-8*dy-1.25*dx)+"Z", "fill", pen)
	}
	if l == 0 {
		return
	}
	dx, dy := (x1-x0)/l, (y1-y0)/l
	inside := l >= 20
	d.c.line(x0, y0, x1, y1, "stroke", pen, "stroke-width", "0.6")
	if inside {
		head(x0, y0, -dx, -dy)
		head(x1, y1, dx, dy)
	} else { // small ticks instead of arrowheads
		for _, p := range [][2]float64{{x0, y0}, {x1, y1}} {
			d.c.line(p[0]-3, p[1]+3, p[0]+3, p[1]-3, "stroke", pen, "stroke-width", "0.8")
		}
	}
	mx, my := (x0+x1)/2, (y0+y1)/2
	if l < w+6 {
		return // no room: the neighbours and the whole are given
	}
	if dy == 0 {
		d.c.text(numbers, mx, my-4, "middle", s, "fill", pen)
	} else {
		d.c.text(numbers, mx-4, my, "middle", s, "fill", pen, "transform", "rotate(-90 "+px(mx-4)+" "+px(my)+")")
	}
}
