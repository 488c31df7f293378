package figure

import (
	"math"

	"emberbank/receiver"
)

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
		d.even = "block even to " + Number(math.Max(hi-lo, 0.1), 1) + thin + "K"
		return nil
	}
	if coarse := niceStep(d.scale.high-d.scale.low, 14); hi-lo > 2*coarse {
		return nil
	}
	n := d.s.field(d.f.Temperature, d.part, d.inBlock)
	lines := d.lines(n, niceStep(hi-lo, 6), lo, hi, "clip-path", "url(#"+d.clipName+")")
	for i := range lines {
		lines[i].inside = true
	}
	return lines
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
	d.c.raw(`<clipPath id="` + d.clipName + `"><path d="` + p.String() + `"/></clipPath>` + "\n")
}

func (d *drawing) lines(n *nodes, step, lo, hi float64, pairs ...string) []isoline {
	var out []isoline
	zero := 0.0 // of the numbers that are round, in °C
	if d.view.Kelvin {
		zero = -zeroC
	}
	for k := math.Ceil((lo-zero)/step - 1e-9); zero+k*step <= hi+1e-9*step; k++ {
		T := zero + k*step
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
