package figure

import (
	"math"

	"emberbank/receiver"
)

// wetted is a stretch of a pass with one state of its water.
type wetted struct {
	from, to float64 // m along the pass
	state    string  // as a profile has it
}

// Wet is how the water of a circuit stands along its way from the inlet.
type Wet struct {
	Circuit string
	Along   []WetStretch
}

// WetStretch is a stretch of a circuit with one state of its water; it begins where the one before ends.
type WetStretch struct {
	To    float64 // m from the inlet
	State string  // as a profile has it
}

// waters tells how the water stands along each pass at the moment of the field.
func (d *drawing) waters() map[string][]wetted {
	all := d.view.Water
	for i := range d.r.Profiles {
		if p := &d.r.Profiles[i]; d.view.Water == nil && math.Abs(p.Time-d.f.Time) < 1e-6 {
			w := Wet{Circuit: p.Circuit}
			for _, q := range p.Places {
				w.Along = append(w.Along, WetStretch{q.Distance + 0.5*q.Length, q.State})
			}
			all = append(all, w)
		}
	}
	out := map[string][]wetted{} // looked up, never walked
	for i := range all {
		for k := range d.rec.Circuits {
			if d.rec.Circuits[k].Name == all[i].Circuit {
				d.along(&d.rec.Circuits[k], all[i].Along, out)
			}
		}
	}
	return out
}

// along lays stretches of water over the passes of their circuit.
func (d *drawing) along(c *receiver.Circuit, water []WetStretch, out map[string][]wetted) {
	begin := 0.0 // m from the inlet
	for _, r := range c.Runs {
		long := math.Abs(r.To[0]-r.From[0]) + math.Abs(r.To[1]-r.From[1]) + math.Abs(r.To[2]-r.From[2])
		if r.Kind == receiver.RunPass {
			p := &d.rec.Passes[r.Pass]
			at := func(s float64) float64 { // m along the pass
				return r.From[p.Axis] + math.Copysign(math.Max(0, math.Min(long, s-begin)), r.To[p.Axis]-r.From[p.Axis])
			}
			from := 0.0
			for _, w := range water {
				if a, b := at(from), at(w.To); w.To > begin && from < begin+long && a != b {
					out[p.Name] = append(out[p.Name], wetted{math.Min(a, b), math.Max(a, b), w.State})
				}
				from = w.To
			}
		}
		begin += long
	}
}

// looks of water: what a state's pattern is called.
const (
	drained   = "drained"
	liquid    = "liquid"
	subcooled = "subcooled boiling"
	boiling   = "boiling"
	drying    = "drying out"
	steam     = "steam"
)

// lookOf gathers the states of a profile to those that a drawing tells apart.
func lookOf(state string) string {
	switch state {
	case "liquid", "subcooled boiling", "boiling", "steam":
		return state
	case "stratified":
		return boiling
	case "drying", "mist":
		return drying
	}
	return drained
}

// lookAt is how the water of a pass looks at a place along it. Without a profile only whether there is any is known.
func (d *drawing) lookAt(pass string, at float64, wet map[string]bool) string {
	for _, w := range d.water[pass] {
		if at >= w.from-1e-9 && at <= w.to+1e-9 {
			return lookOf(w.state)
		}
	}
	if wet[pass] {
		return liquid
	}
	return drained
}

// waterDefs defines the patterns of water in tubes that lie in the plane.
func (d *drawing) waterDefs() {
	c := d.c
	pattern := func(id string, w, h float64, ground string, draw func()) {
		c.open("pattern", "id", id, "width", px(w), "height", px(h), "patternUnits", "userSpaceOnUse")
		c.rect(0, 0, w, h, "fill", ground)
		draw()
		c.close("pattern")
	}
	pattern("water-subcooled", 9, 8, water, func() { c.circle(3, 5, 0.9, "fill", sheet) })
	pattern("water-boiling", 6, 8, water, func() {
		c.circle(1.6, 2.3, 1.25, "fill", sheet)
		c.circle(4.6, 5.6, 1.25, "fill", sheet)
	})
	pattern("water-drying", 7, 8, sheet, func() { c.path("M1 2h3.4M3.6 5.6h3", "fill", "none", "stroke", water, "stroke-width", "1.3") })
}

// fillOf is the fill of water in a tube that lies in the plane.
func fillOf(look string) string {
	switch look {
	case liquid:
		return water
	case subcooled:
		return "url(#water-subcooled)"
	case boiling:
		return "url(#water-boiling)"
	case drying:
		return "url(#water-drying)"
	}
	return sheet
}

// waterIn draws the water of a tube that is cut across.
func (c *canvas) waterIn(x, y, r float64, look string) {
	fill, rim, width := sheet, ink, "0.5"
	switch look {
	case liquid, subcooled, boiling:
		fill = water
	case steam:
		rim, width = water, "1"
	}
	c.circle(x, y, r, "fill", fill, "stroke", rim, "stroke-width", width)
	b := math.Max(0.26*r, 0.7)
	switch look {
	case subcooled:
		c.circle(x, y-0.4*r, b, "fill", sheet)
	case boiling:
		for _, p := range [][2]float64{{-0.42, 0.3}, {0.42, 0.3}, {0, -0.45}} {
			c.circle(x+p[0]*r, y+p[1]*r, b, "fill", sheet)
		}
	case drying:
		c.path("M"+px(x-0.6*r)+" "+px(y-0.3*r)+"h"+px(0.8*r)+"M"+px(x-0.2*r)+" "+px(y+0.35*r)+"h"+px(0.8*r), "fill", "none", "stroke", water, "stroke-width", "1.2")
	}
}

// sensors draws places of sensors as numbered circles; one that lies off the plane is drawn broken, as what is hidden is.
func (d *drawing) sensors() {
	const near = 0.005 // m off the plane that still counts as in it
	for _, s := range d.view.Sensors {
		x, y := d.x(s.At[d.s.across]), d.y(s.At[d.s.up])
		if x < d.left-1 || x > d.left+d.width+1 || y > d.bottom+1 || y < d.bottom-d.height-1 {
			continue
		}
		style := []string{"fill", sheet, "stroke", ink, "stroke-width", "1"}
		if math.Abs(s.At[d.s.normal]-d.at) > near {
			style = append(style, "stroke-dasharray", "2 2")
		}
		d.c.open("g", "class", "sensor", "data-sensor", Number(float64(s.Number), 0))
		d.c.raw("<title>" + escape(s.Name) + "</title>")
		d.c.circle(x, y, 7.5, style...)
		d.c.text(numbers, x, y+3.9, "middle", Number(float64(s.Number), 0))
		d.c.close("g")
	}
}
