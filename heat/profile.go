package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
)

// Profile is one circuit's water, wall and block along the way from inlet to outlet at one time.
type Profile struct {
	Time    float64 // s
	Circuit string
	State   string  // of the circuit: "flowing", "closed", "open", "drained"
	Flow    float64 // kg/s, at the inlet
	Inlet   float64 // K, of the water that comes in; NaN where none flows
	Outlet  float64 // K, of the water that leaves; NaN where none flows
	Places  []Place // slice by slice, in the order of flow
}

// Place is one slice of a circuit. What is said of the water is so in the slice's middle; NaN where there is none.
type Place struct {
	Distance    float64 // m, along the tube from the circuit's inlet to the slice's middle
	Length      float64 // m, of the slice
	Pass        string  // to which its heat counts
	Run         string  // "pass", "lead" or "bend"
	Pressure    float64 // Pa
	Enthalpy    float64 // J/kg, 0 for liquid at the triple point
	Leaving     float64 // J/kg, of what leaves the slice: its rise over the slice before times the flow is the heat of a steady flow
	Temperature float64 // K
	Quality     float64 // 1, (h − h′)/(h″ − h′): below 0 for liquid under the boiling point, above 1 for superheated steam
	State       string  // "liquid", "subcooled boiling", "boiling", "stratified", "drying", "mist", "steam", or "empty"
	Inside      float64 // K, of the tube's wall at the water
	Outside     float64 // K, of the tube's wall towards the block
	Block       float64 // K, mean of the cells around the tube
	Film        float64 // W/(m² K), on the inner area, over the slice; NaN where no heat tells it
	Heat        float64 // W/m, to the water
	Wetted      float64 // 1, share of the bore that liquid wets; NaN where the film does not tell
}

// runNames are words for kinds of tube.
var runNames = map[receiver.RunKind]string{receiver.RunPass: "pass", receiver.RunLead: "lead", receiver.RunBend: "bend"}

// profile keeps how every circuit stands along its way at the moment that the last row shows.
func (r *recorder) profile() { r.profiles = r.m.profiles(r.profiles) }

// profiles adds to a list how every circuit stands now.
func (m *march) profiles(list []Profile) []Profile {
	for i, w := range m.streams {
		p := Profile{
			Time: m.t, Circuit: m.b.rec.Circuits[i].Name, State: stateNames[w.state], Flow: w.flow,
			Inlet: math.NaN(), Places: make([]Place, 0, len(w.slices)),
		}
		if p.Outlet, _ = w.outlet(w.shown); w.state == duty.Flowing {
			p.Inlet = w.inletT
		}
		at := 0.0
		for j := range w.slices {
			p.Places = append(p.Places, w.place(m.tubes, j, at))
			at += p.Places[j].Length
		}
		list = append(list, p)
	}
	return list
}

// place tells of slice i, which begins at m of the circuit's tube.
func (w *stream) place(t *tubes, i int, at float64) Place {
	s := &t.slices[w.slices[i]]
	p := Place{
		Distance: at + 0.5*s.length, Length: s.length, Pass: t.b.rec.Passes[s.pass].Name, Run: runNames[s.run],
		Heat: s.heat / s.length, Block: s.mean, Outside: s.outside(), Inside: s.inside(),
		Pressure: math.NaN(), Enthalpy: math.NaN(), Leaving: math.NaN(), Temperature: math.NaN(), Quality: math.NaN(),
		Film: math.NaN(), Wetted: s.wetted, State: "empty",
	}
	if w.state == duty.Drained {
		p.Wetted = math.NaN()
		return p
	}
	iso := w.at[i]
	p.Pressure, p.Leaving, p.Enthalpy = iso.P, w.shown[i], w.middle(i)
	if w.state == duty.Flowing && i < len(w.head) { // the table may stand at the outlet's pressure, or half a step off
		p.Pressure = w.iso.P + w.head[i]
	}
	p.Temperature, p.Quality = iso.temperature(p.Enthalpy), iso.quality(p.Enthalpy)
	regime, wetted := w.amidst(t, i, p.Enthalpy)
	p.State, p.Wetted = stateWord(p.Quality, regime, p.Inside > iso.Saturation), wetted
	if over := p.Inside - w.mean(t, i); over*s.heat > 0 {
		p.Film = s.heat / (s.inner * over)
	} else if s.filmR > 0 {
		p.Film = 1 / (s.filmR * s.inner)
	}
	return p
}

// inside and outside return the temperatures of the tube's wall in K, from the side of the block.
func (s *slice) inside() float64  { return s.outside() - s.heat*s.wall }
func (s *slice) outside() float64 { return s.mean - s.heat*(s.ahead()+s.contact) }

// ahead returns the resistance in K/W from the cells to the bore: what the chain has besides contact, wall and film.
func (s *slice) ahead() float64 {
	if s.u == 0 || s.line > 0 {
		return s.ease
	}
	return 1/s.u - s.contact - s.wall - s.filmR
}

// middle returns the enthalpy in J/kg in the middle of slice i as the present row shows it.
func (w *stream) middle(i int) float64 {
	if w.state != duty.Flowing {
		return w.shown[i]
	}
	return 0.5 * (w.before(i) + w.shown[i])
}

// before returns the enthalpy in J/kg with which water comes into slice i.
func (w *stream) before(i int) float64 {
	if i == 0 {
		return w.inlet
	}
	return w.shown[i-1]
}

// mean returns the water's mean temperature in K over slice i. Liquid and steam stand below the cells by what the chain
// takes, which is the mean of an exponential approach; across a change of phase it is the mean of what comes and what
// leaves.
func (w *stream) mean(t *tubes, i int) float64 {
	s, iso := &t.slices[w.slices[i]], w.at[i]
	if w.state != duty.Flowing {
		return iso.temperature(w.shown[i])
	}
	in, out := w.before(i), w.shown[i]
	lo, hi := math.Min(in, out), math.Max(in, out)
	cold, hot := iso.temperature(lo), iso.temperature(hi)
	if s.u > 0 && (hi <= iso.HLiquid || lo >= iso.HVapour) {
		return clamp(s.mean-s.heat/s.u, cold, hot) // between them also where a flow has only begun
	}
	return 0.5 * (cold + hot)
}

// amidst returns the regime of the film in the middle of slice i, where the water stands at h in J/kg, and the share of the
// bore that it wets there: the slice's own film is that of what leaves, which may boil where the middle does not yet. It
// leaves no trace.
func (w *stream) amidst(t *tubes, i int, h float64) (film.Regime, float64) {
	si, q, iso := w.slices[i], &w.plan[i], w.at[i]
	s := t.slices[si] // a copy
	p := &t.b.rec.Passes[s.pass]
	if w.state != duty.Flowing || !q.zones.ready || !(s.u > 0) || p.FilmNone || p.FilmFixed > 0 {
		return s.regime, s.wetted
	}
	y := q.zones.spots
	switch x := iso.quality(h); {
	case x >= 1:
		return film.Steam, 0
	case x >= 0:
		b := y.boil(x, q.zones.from, q.zones.to)
		return b.Regime, b.Wetted
	default:
		b := t.boil(&s, &y.bore, x, s.mean-iso.temperature(h), math.Max(q.zones.onset, y.two.LiquidOnly))
		return b.Regime, b.Wetted
	}
}

// boilingWords are words for water between liquid and steam.
var boilingWords = map[film.Regime]string{
	film.Saturated: "boiling", film.Stratified: "stratified", film.Drying: "drying", film.Droplets: "mist", film.Pool: "boiling",
}

// stateWord returns the word for water of a quality under a film of a regime; where that tells nothing, by the quality alone.
// Hot tells whether the wall stands above saturation: below, nothing boils on it, whatever the film was laid for.
func stateWord(quality float64, regime film.Regime, hot bool) string {
	told := boilingWords[regime]
	switch {
	case quality < 0 && hot && regime == film.Subcooled:
		return "subcooled boiling"
	case quality < 0:
		return "liquid"
	case quality >= 1:
		return "steam"
	case told != "":
		return told
	case regime == film.Steam: // it leaves as steam
		return "mist"
	}
	return "boiling"
}

// hottestWall returns the highest temperature in K of a circuit's walls at the water, or where that is, of dry ones.
func (w *stream) hottestWall(t *tubes) float64 {
	hot := math.NaN()
	for _, si := range w.slices {
		s := &t.slices[si]
		if s.first == s.last {
			continue
		}
		if T := s.inside(); !(T <= hot) {
			hot = T
		}
	}
	return hot
}
