package figure

import (
	"math"

	"emberbank/block"
	"emberbank/receiver"
)

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
	look               string // of its water
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
		c.look = d.lookAt(p.Name, d.at, wet)
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

// joints draws the leads and bends of circuits: as bands where they lie in the plane, as rings without a name where they are cut
// across, filled with water's colour where their pass has water.
func (d *drawing) joints(wet map[string]bool) {
	for _, c := range d.rec.Circuits {
		var band []receiver.Run // in the plane, one after another, of one pass
		flush := func() {
			if len(band) > 0 {
				d.band(band, wet)
				band = nil
			}
		}
		for _, r := range c.Runs {
			p := &d.rec.Passes[r.Pass]
			n := d.s.normal
			lo, hi := math.Min(r.From[n], r.To[n]), math.Max(r.From[n], r.To[n])
			switch {
			case r.Kind == receiver.RunPass:
				flush()
			case hi-lo > 1e-9:
				flush()
				if d.at < lo || d.at > hi {
					continue
				}
				x, y := d.x(r.From[d.s.across]), d.y(r.From[d.s.up])
				outer := math.Max(p.Outer/2*d.perMetre, 3)
				inner := math.Min(math.Max(p.Inner/2*d.perMetre, 1.8), outer-0.8)
				d.c.circle(x, y, outer, "fill", sheet, "stroke", ink, "stroke-width", "1")
				d.c.circle(x, y, inner, "fill", d.filling(wet[p.Name]), "stroke", ink, "stroke-width", "0.5")
			case math.Abs(r.From[n]-d.at) <= math.Max(p.Outer/2, 1e-9):
				if len(band) > 0 && band[0].Pass != r.Pass {
					flush()
				}
				band = append(band, r)
			default:
				flush()
			}
		}
		flush()
	}
}

// band draws runs that follow one another as one tube with corners.
func (d *drawing) band(runs []receiver.Run, wet map[string]bool) {
	p := &d.rec.Passes[runs[0].Pass]
	var way polyline
	way.move(d.x(runs[0].From[d.s.across]), d.y(runs[0].From[d.s.up]))
	for _, r := range runs {
		way.to(d.x(r.To[d.s.across]), d.y(r.To[d.s.up]))
	}
	outer := math.Max(p.Outer*d.perMetre, 4)
	stroke := func(colour string, width float64) {
		d.c.path(way.String(), "fill", "none", "stroke", colour, "stroke-width", px(width), "stroke-linejoin", "round")
	}
	stroke(ink, outer+0.8)
	stroke(sheet, outer-0.8)
	if wet[p.Name] {
		stroke(water, math.Min(math.Max(p.Inner*d.perMetre, 2), outer-1.6))
	}
}

func (d *drawing) filling(wet bool) string {
	if wet {
		return water
	}
	return sheet
}

// passes draws tubes: white rings, filled with water's colour where water is in them.
func (d *drawing) passes() {
	wet := d.wet()
	d.joints(wet)
	for _, p := range d.tubes() {
		least := 4 / d.perMetre // a line sink has no width
		d.lying(p.Axis, p.At, p.From, p.To, math.Max(p.Outer, least), sheet)
		d.waterAlong(&p, math.Max(p.Inner, least/2), wet)
		d.nameAlong(&p, wet)
	}
	rings := d.circles()
	for _, c := range rings {
		d.c.circle(c.x, c.y, c.outer, "fill", sheet, "stroke", ink, "stroke-width", "1")
		d.c.waterIn(c.x, c.y, c.inner, c.look)
	}
	dark := d.warm() && d.scale.share(d.mean(func(cell int) bool { return d.inBlock(d.part[cell]) })) > 0.6
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

// waterAlong fills a tube that lies in the plane with its water, state by state.
func (d *drawing) waterAlong(p *receiver.Pass, bore float64, wet map[string]bool) {
	all := d.water[p.Name]
	if len(all) == 0 {
		if wet[p.Name] {
			d.lying(p.Axis, p.At, p.From, p.To, bore, water)
		}
		return
	}
	for i := 0; i < len(all); {
		k, lo, hi := i, all[i].from, all[i].to
		for k+1 < len(all) && lookOf(all[k+1].state) == lookOf(all[i].state) {
			k++
			lo, hi = math.Min(lo, all[k].from), math.Max(hi, all[k].to)
		}
		if look := lookOf(all[i].state); look != drained {
			d.lying(p.Axis, p.At, lo, hi, bore, fillOf(look))
		}
		i = k + 1
	}
}

// nameAlong names a tube that lies in the plane: in it where it is broad enough, else beside it.
func (d *drawing) nameAlong(p *receiver.Pass, wet map[string]bool) {
	size := math.Max(p.Outer*d.perMetre, 4)
	fill, halo := ink, sheet
	switch {
	case p.Axis == d.s.up:
		d.c.text(numbers, d.x(p.At[d.s.across])+size/2+3, d.y(p.From)-8, "start", p.Name, "fill", fill, "stroke", halo, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round")
		return
	case size < 12:
		d.c.text(numbers, d.x(p.From)+8, d.y(p.At[d.s.up])-size/2-3, "start", p.Name, "fill", fill, "stroke", halo, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round")
		return
	case d.lookAt(p.Name, p.From+8/d.perMetre, wet) != drained:
		fill, halo = sheet, water
	}
	d.c.text(numbers, d.x(p.From)+8, d.y(p.At[d.s.up])+4, "start", p.Name, "fill", fill, "stroke", halo, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round")
}
