package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/water"
)

// cautions watches for what can hurt and keeps each danger once, with the number that shows it.
type cautions struct {
	march   *march
	list    []Caution
	hottest []float64 // K, by medium, so far
	coldest []float64
	seen    map[string]int // index into list by kind and place
}

const practice = "Local codes and licensed practice decide."

func (c *cautions) init(m *march) {
	c.march = m
	n := len(m.b.rec.Media)
	c.hottest, c.coldest = make([]float64, n), make([]float64, n)
	for i := range n {
		c.coldest[i] = inf
	}
	c.seen = map[string]int{}
	for i := range m.b.rec.Media {
		for _, note := range m.b.rec.Media[i].Notes {
			c.raise(Caution{Kind: "material", Place: m.b.rec.Media[i].Name, Text: note + " " + practice})
		}
	}
}

// raise keeps a caution the first time, and afterwards its largest value.
func (c *cautions) raise(x Caution) {
	key := x.Kind + "\x00" + x.Place
	if i, ok := c.seen[key]; ok {
		if x.Value > c.list[i].Value {
			at := c.list[i].At
			c.list[i] = x
			c.list[i].At = at
		}
		return
	}
	c.seen[key] = len(c.list)
	c.list = append(c.list, x)
}

const boilingPoint = 373.15 // K: tubes hotter than this may flash the first water to steam, whatever the pressure

// wetting notes water let into a circuit whose tubes are hot.
func (c *cautions) wetting(circuit int, T float64, pass string) {
	if T <= boilingPoint {
		return
	}
	name := c.march.b.rec.Circuits[circuit].Name
	c.raise(Caution{
		Kind: "water into hot tubes", At: c.march.t, Place: "circuit " + name, Value: T, Limit: boilingPoint,
		Text: fmt.Sprintf("Water enters circuit %s while the block around pass %s stands at %.0f °C, above 100 °C: expect steam, hammer and thermal shock at the first water, and scalding steam at the outlet. %s",
			name, pass, T-273.15, practice),
		Source: "common practice",
	})
}

// closing notes a full circuit shut in a hot block.
func (c *cautions) closing(circuit int, T float64, pass string) {
	if T <= boilingPoint {
		return
	}
	name := c.march.b.rec.Circuits[circuit].Name
	c.raise(Caution{
		Kind: "closed wet tube", At: c.march.t, Place: "circuit " + name, Value: T, Limit: boilingPoint,
		Text: fmt.Sprintf("Circuit %s is shut full of water in a block at %.0f °C (pass %s): trapped water expands and boils and can burst the tube. %s Relieve the pressure or drain it. %s",
			name, T-273.15, pass, saturation(T), practice),
		Source: "common practice; saturation pressure by IAPWS-IF97",
	})
}

// watchLimits compares the hottest of every medium and surface with its limits after a step.
func (r *recorder) watchLimits() {
	m := r.m
	b := m.b
	hot, cold := make([]float64, len(r.hottest)), make([]float64, len(r.hottest))
	for i := range cold {
		cold[i] = inf
	}
	for _, run := range b.runs {
		t := m.s.t0[m.s.pad+int(run.from) : m.s.pad+int(run.to)]
		hi, lo := hot[run.medium], cold[run.medium]
		for _, T := range t {
			if T > hi {
				hi = T
			}
			if T < lo {
				lo = T
			}
		}
		hot[run.medium], cold[run.medium] = hi, lo
	}
	for i := range hot {
		r.coldest[i] = math.Min(r.coldest[i], cold[i])
		if hot[i] <= r.hottest[i] {
			continue
		}
		r.hottest[i] = hot[i]
		md := &b.rec.Media[i]
		if md.ServiceLimit > 0 && hot[i] > md.ServiceLimit {
			r.raise(Caution{
				Kind: "service limit", At: m.t, Place: md.Name, Value: hot[i], Limit: md.ServiceLimit,
				Text: fmt.Sprintf("%s reaches %.0f °C, above its service limit of %.0f °C. %s",
					md.Name, hot[i]-273.15, md.ServiceLimit-273.15, practice), Source: md.ServiceSource,
			})
		}
		if md.OxidationOnset > 0 && hot[i] > md.OxidationOnset {
			r.raise(Caution{
				Kind: "oxidation", At: m.t, Place: md.Name, Value: hot[i], Limit: md.OxidationOnset,
				Text: fmt.Sprintf("%s reaches %.0f °C; graphite burns away slowly in air from about %.0f °C, faster the hotter it is: keep air from it or stay below. %s",
					md.Name, hot[i]-273.15, md.OxidationOnset-273.15, practice), Source: md.OxidationSource,
			})
		}
	}
	if m.p.TouchLimit > 0 {
		r.touch()
	}
}

// brightest is the flux, in W/m², above which light counts as concentrated: ten times the sun's.
const brightest = 10e3

// observe raises the cautions that the present row shows: concentrated light, molten metal, hot water that
// leaves.
func (r *recorder) observe() {
	m := r.m
	if m.s.light > 0 {
		peak := 0.0
		for i := range m.b.faces {
			f := &m.b.faces[i]
			peak = math.Max(peak, f.share/f.area*m.s.light)
		}
		if peak > brightest {
			r.raise(Caution{
				Kind: "concentrated light", At: m.t, Place: "window", Value: peak, Limit: brightest,
				Text: fmt.Sprintf("Light of up to %.0f kW/m² is absorbed at the window: the beam and its reflections burn and blind within a moment, also before and behind the focus. Keep people and things out of it. %s",
					peak/1e3, practice), Source: "common practice",
			})
		}
	}
	for i := range m.b.rec.Media {
		md := &m.b.rec.Media[i]
		if md.Metal != "" && md.Latent > 0 && r.hottest[i] > md.Solidus {
			r.raise(Caution{
				Kind: "molten metal", At: m.t, Place: md.Name, Value: r.hottest[i], Limit: md.Solidus,
				Text: fmt.Sprintf("%s holds molten %s at up to %.0f °C: a leak burns and sets fire, moisture under it explodes into steam, and its vapour and dust are not for breathing. %s",
					md.Name, md.Metal, r.hottest[i]-273.15, practice), Source: "common practice",
			})
		}
	}
	for i, w := range m.streams {
		if w.state == duty.Closed { // the block may have grown hot since the valves were shut
			hot, where := m.hottestBore(w)
			r.closing(i, hot, where)
		}
		T, _ := w.outlet(w.shown)
		if T > boilingPoint {
			r.raise(Caution{
				Kind: "hot outlet", At: m.t, Place: "circuit " + m.b.rec.Circuits[i].Name, Value: T, Limit: boilingPoint,
				Text: fmt.Sprintf("Water leaves circuit %s at %.0f °C: let into the open it flashes to steam and scalds. %s",
					m.b.rec.Circuits[i].Name, T-273.15, practice), Source: "common practice",
			})
		}
	}
}

// touch compares the surfaces that a person can reach with the limit for touching.
func (r *recorder) touch() {
	m := r.m
	most := map[int]float64{}
	for i := range m.b.faces {
		p := m.b.faces[i].patch
		sf := m.b.patches[p].surface
		if sf == nil || !sf.Touchable {
			continue
		}
		if T := m.skin.T[i]; T > most[m.b.patches[p].path] {
			most[m.b.patches[p].path] = T
		}
	}
	for path := range m.s.r.absorbed { // in order
		T := most[path]
		if T <= m.p.TouchLimit {
			continue
		}
		name := m.pathName(path)
		r.raise(Caution{
			Kind: "touch", At: m.t, Place: "surface " + name, Value: T, Limit: m.p.TouchLimit,
			Text: fmt.Sprintf("The outer surface %s reaches %.0f °C, above the touch limit of %.0f °C: it burns the skin. Guard it. %s",
				name, T-273.15, m.p.TouchLimit-273.15, practice), Source: m.p.TouchSource,
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

// saturation says what pressure water at T (K) would have.
func saturation(T float64) string {
	p, err := water.SaturationPressure(T)
	if err != nil {
		return "Above 373.946 °C water has no saturation pressure: the pressure of trapped water is then set by how full the tube is, and can be far above 220 bar."
	}
	return fmt.Sprintf("Its saturation pressure at that temperature is %.1f bar.", p/1e5)
}
