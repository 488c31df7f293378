package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/water"
)

// cautions watches for what can hurt and keeps each danger once, with the number that shows it. It is asked after
// every step, so a danger that is known and no worse than before asks for no memory, and sentences are put together
// at the end.
type cautions struct {
	march     *march
	dangers   []danger
	hottest   []float64 // K, by medium, so far
	coldest   []float64
	circuits  []string  // names of places
	surfaces  []string  // by path
	window    []int32   // faces behind the window
	peakShare float64   // 1/m², share of the window's light over its area, of the brightest of them
	touched   []int32   // faces that a person can reach
	most      []float64 // K, by path: the hottest of them after the last step

	left      []leaving // by circuit
	tubeWalls []string  // names of places, by medium

	openLiquid, openLatent float64 // J/kg, of water that boils in the open
	openVolume             float64 // m³/kg, of its steam
}

// danger is a caution whose sentence hangs on its largest value so far and on where that was.
type danger struct {
	Caution
	where string
	text  func(value float64, where string) string
}

const practice = "Local codes and licensed practice decide."

func (c *cautions) init(m *march) {
	c.march = m
	n := len(m.b.rec.Media)
	c.hottest, c.coldest = make([]float64, n), make([]float64, n)
	for i := range n {
		c.coldest[i] = inf
	}
	for i := range m.streams {
		c.circuits = append(c.circuits, "circuit "+m.b.rec.Circuits[i].Name)
	}
	c.left = make([]leaving, len(m.streams))
	for i := range m.b.rec.Media {
		c.tubeWalls = append(c.tubeWalls, "tubes of "+m.b.rec.Media[i].Name)
	}
	if liquid, err := water.SaturatedLiquid(atmosphere); err == nil { // it never fails
		vapour, _ := water.SaturatedVapour(atmosphere)
		c.openLiquid, c.openLatent, c.openVolume = liquid.H, vapour.H-liquid.H, 1/vapour.Density
	}
	for path := range m.s.r.absorbed {
		c.surfaces = append(c.surfaces, "surface "+m.pathName(path))
	}
	for i := range m.b.faces {
		f := &m.b.faces[i]
		switch sf := m.b.patches[f.patch].surface; {
		case sf == nil:
			c.window, c.peakShare = append(c.window, int32(i)), max(c.peakShare, f.share/f.area)
		case m.p.TouchLimit > 0 && sf.Touchable:
			c.touched = append(c.touched, int32(i))
		}
	}
	c.most = make([]float64, m.s.r.absorbed)
	for i := range m.b.rec.Media {
		for _, note := range m.b.rec.Media[i].Notes {
			c.raise(Caution{Kind: KindMaterial, Place: m.b.rec.Media[i].Name}, "", func(float64, string) string { return note + " " + practice })
		}
	}
}

// known tells whether a danger has been raised already, and keeps its larger value.
func (c *cautions) known(kind, place string, value float64, where string) bool {
	for i := range c.dangers {
		d := &c.dangers[i]
		if d.Kind != kind || d.Place != place {
			continue
		}
		if value > d.Value {
			d.Value, d.where = value, where
		}
		return true
	}
	return false
}

// raise keeps a danger the first time.
func (c *cautions) raise(x Caution, where string, text func(value float64, where string) string) {
	if !c.known(x.Kind, x.Place, x.Value, where) {
		x.At = c.march.t
		c.dangers = append(c.dangers, danger{x, where, text})
	}
}

// told returns the cautions in the order in which they arose.
func (c *cautions) told() []Caution {
	var list []Caution
	for _, d := range c.dangers {
		d.Text = d.text(d.Value, d.where)
		list = append(list, d.Caution)
	}
	return list
}

// watchLimits compares the hottest of every medium and surface with its limits after a step.
func (r *recorder) watchLimits() {
	m := r.m
	for i := range r.hottest {
		hot, cold := r.tally.extremes(i)
		r.coldest[i] = math.Min(r.coldest[i], cold)
		if hot <= r.hottest[i] {
			continue
		}
		r.hottest[i] = hot
		md := &m.b.rec.Media[i]
		if md.ServiceLimit > 0 && hot > md.ServiceLimit && !r.known(KindServiceLimit, md.Name, hot, "") {
			r.pastService(md.Name, hot, md.ServiceLimit, md.ServiceSource)
		}
		if md.OxidationOnset > 0 && hot > md.OxidationOnset && !r.known(KindOxidation, md.Name, hot, "") {
			r.raise(Caution{Kind: KindOxidation, Place: md.Name, Value: hot, Limit: md.OxidationOnset, Source: md.OxidationSource}, "",
				func(T float64, _ string) string {
					return fmt.Sprintf("%s reaches %.0f °C; graphite burns away slowly in air from about %.0f °C, faster the hotter it is: keep air from it or stay below. %s",
						md.Name, T-273.15, md.OxidationOnset-273.15, practice)
				})
		}
	}
	r.tally.fresh = false
	if m.p.TouchLimit > 0 {
		r.touch()
	}
}

// pastService says that something is hotter than it may be.
func (r *recorder) pastService(name string, hot, limit float64, source string) {
	r.raise(Caution{Kind: KindServiceLimit, Place: name, Value: hot, Limit: limit, Source: source}, "",
		func(T float64, _ string) string {
			return fmt.Sprintf("%s reaches %.0f °C, above its service limit of %.0f °C. %s", name, T-273.15, limit-273.15, practice)
		})
}

// brightest is the flux, in W/m², above which light counts as concentrated: ten times the sun's.
const brightest = 10e3

// observe raises the cautions that the present row shows: concentrated light, molten metal, hot water that
// leaves.
func (r *recorder) observe() {
	m := r.m
	if m.s.light > 0 {
		if peak := r.peakShare * m.s.light; peak > brightest && !r.known(KindLight, "window", peak, "") {
			r.raise(Caution{Kind: KindLight, Place: "window", Value: peak, Limit: brightest, Source: "common practice"}, "",
				func(peak float64, _ string) string {
					return fmt.Sprintf("Light of up to %.0f kW/m² is absorbed at the window: the beam and its reflections burn and blind within a moment, also before and behind the focus. Keep people and things out of it. %s",
						peak/1e3, practice)
				})
		}
	}
	if m.b.rec.Window != nil {
		r.watchWindow()
	}
	for i := range m.b.rec.Media {
		md := &m.b.rec.Media[i]
		if md.Metal != "" && md.Latent > 0 && r.hottest[i] > md.Solidus && !r.known(KindMoltenMetal, md.Name, r.hottest[i], "") {
			r.raise(Caution{Kind: KindMoltenMetal, Place: md.Name, Value: r.hottest[i], Limit: md.Solidus, Source: "common practice"}, "",
				func(T float64, _ string) string {
					return fmt.Sprintf("%s holds molten %s at up to %.0f °C: a leak burns and sets fire, moisture under it explodes into steam, and its vapour and dust are not for breathing. %s",
						md.Name, md.Metal, T-273.15, practice)
				})
		}
	}
	for i, w := range m.streams {
		if w.state != duty.Drained {
			hot, where := m.hottestBore(w)
			r.pressing(i, hot, where)
			if w.state == duty.Closed { // the block may have grown hot since the valves were shut
				r.closing(i, hot, where)
			}
			r.letOut(i, w)
		}
	}
	r.watchWalls()
}

// touch compares the surfaces that a person can reach with the limit for touching.
func (r *recorder) touch() {
	m := r.m
	clear(r.most)
	for _, i := range r.touched {
		path := m.b.patches[m.b.faces[i].patch].path
		r.most[path] = max(r.most[path], m.skin.T[i])
	}
	for path, T := range r.most {
		if T <= m.p.TouchLimit || r.known(KindTouch, r.surfaces[path], T, "") {
			continue
		}
		name := m.pathName(path)
		r.raise(Caution{Kind: KindTouch, Place: r.surfaces[path], Value: T, Limit: m.p.TouchLimit, Source: m.p.TouchSource}, "",
			func(T float64, _ string) string {
				return fmt.Sprintf("The outer surface %s reaches %.0f °C, above the touch limit of %.0f °C: it burns the skin. Guard it. %s",
					name, T-273.15, m.p.TouchLimit-273.15, practice)
			})
	}
}

// rangeWarnings says where a property was used outside the range in which it holds.
func (r *recorder) rangeWarnings() {
	m := r.m
	for i := range m.b.rec.Media {
		md := &m.b.rec.Media[i]
		if r.hottest[i] == 0 {
			continue
		}
		lo, hi := md.Range()
		if r.hottest[i] > hi+0.5 || r.coldest[i] < lo-0.5 {
			m.warn(fmt.Sprintf("%s was used from %.0f to %.0f °C; its properties hold from %.0f to %.0f °C and keep their end values beyond",
				md.Name, r.coldest[i]-273.15, r.hottest[i]-273.15, lo-273.15, hi-273.15))
		}
	}
}
