package season

import (
	"math"

	"emberbank/heat"
)

// Model is a fast model, built and held against the full one.
type Model struct {
	Nodes    []string       // what they are
	Runs     int            // of the full model that it was built from: a steady state and days
	Kept     int            // of all runs of the full model, those of days apart among them: those that had been computed before
	Built    []string       // names of the days that it was built from
	Checks   []Check        // on days held apart
	Reach    Reach          // the states of the days of building
	Factors  []Factor       // by which tabled losses were set right on the days of building
	Allowed  Allowance      // of its errors
	Cautions []heat.Caution // of the days that were computed in full: of each kind and place the one with the largest value
	Doubts   []string       // what was asked of the full model as it stands and had not settled

	p           *heat.Problem
	l           *laid
	links       []link
	sur         *surroundings
	outlets     []outlet
	paths       []float64  // by path, factor
	window      [2]float64 // factor, open and shut
	faceEase    float64    // K/W, of a window without glass
	glass       *glazing   // nil: none
	perWatt     float64    // W absorbed by the block for one unit of light
	inPane      float64    // W by the pane
	falling     float64    // W on the window's opening
	heaterShare [][]float64
	generated   []float64 // W, by node
	circuits    []circuit
}

// circuit is what the model knows of one.
type circuit struct {
	name   string
	known  bool // it flowed on a day of building
	boils  bool
	tap    *drawing
	shares []float64
	ease   float64 // K/W
	doubts []string
}

// Factor is one correction.
type Factor struct {
	Of    string
	Value float64
}

// Allowance is what errors may be on days held apart.
type Allowance struct {
	Heat float64 // of the day's heat
	Mean float64 // K, of the block's mean
}

// walker carries the state of the fast model through time.
type walker struct {
	m     *Model
	H     []float64 // J, by node
	T     []float64 // K
	slope []float64 // K/J
	hint  []int

	outer     [][]float64 // by path: W over outerOver
	face      [2][]float64
	faceRaw   []float64
	taps      []tap     // by circuit
	source    []float64 // W, by node
	air       float64
	paneLight float64
	gap       []float64 // W/(m² K), films of the gap at its tilt
	gapTilt   float64
	across    float64 // W, from the face to the pane

	f    []float64   // W, into each node
	J    [][]float64 // W/K
	A    [][]float64
	rhs  []float64
	now  flowing
	sums flowing // J, kg: over the step
	half flowing
}

// flowing is every heat flow of a moment in W, or its integral in J.
type flowing struct {
	absorbed, glass, electric, generated float64
	lost                                 []float64 // by path
	drawn                                []float64 // by circuit
	steam, flow                          []float64 // kg/s or kg, by circuit
	entropy                              float64   // W/K or J/K, that the water carries off
}

func (m *Model) newFlowing() flowing {
	c := len(m.circuits)
	return flowing{lost: make([]float64, len(m.sur.paths)), drawn: make([]float64, c), steam: make([]float64, c), flow: make([]float64, c)}
}

// add adds another one times a weight.
func (a *flowing) add(b *flowing, weight float64) {
	a.absorbed += weight * b.absorbed
	a.glass += weight * b.glass
	a.electric += weight * b.electric
	a.generated += weight * b.generated
	a.entropy += weight * b.entropy
	for i := range a.lost {
		a.lost[i] += weight * b.lost[i]
	}
	for i := range a.drawn {
		a.drawn[i] += weight * b.drawn[i]
		a.steam[i] += weight * b.steam[i]
		a.flow[i] += weight * b.flow[i]
	}
}

func (a *flowing) clear() {
	a.absorbed, a.glass, a.electric, a.generated, a.entropy = 0, 0, 0, 0, 0
	clear(a.lost)
	clear(a.drawn)
	clear(a.steam)
	clear(a.flow)
}

func (m *Model) newWalker(H []float64) *walker {
	n := m.l.nodes
	w := &walker{m: m, H: append([]float64(nil), H...), hint: make([]int, n)}
	for _, v := range []*[]float64{&w.T, &w.slope, &w.source, &w.f, &w.rhs} {
		*v = make([]float64, n)
	}
	w.J, w.A = make([][]float64, n), make([][]float64, n)
	for i := range n {
		w.J[i], w.A[i] = make([]float64, n), make([]float64, n)
	}
	for range m.sur.paths {
		w.outer = append(w.outer, make([]float64, len(outerOver)))
	}
	w.face = [2][]float64{make([]float64, len(windowOver)), make([]float64, len(windowOver))}
	w.faceRaw = make([]float64, len(windowOver))
	if m.glass != nil {
		w.gap, w.gapTilt = make([]float64, len(gapAt)*len(gapAt)), math.NaN()
	}
	for i := range m.circuits {
		if d := m.circuits[i].tap; d != nil {
			w.taps = append(w.taps, newTap(d))
		} else {
			w.taps = append(w.taps, tap{})
		}
	}
	w.now, w.sums, w.half = m.newFlowing(), m.newFlowing(), m.newFlowing()
	w.read()
	return w
}

// read sets the temperatures of the heat contents.
func (w *walker) read() {
	for n := range w.H {
		c := &w.m.l.curves[n]
		w.hint[n] = c.piece(w.H[n], w.hint[n])
		w.T[n], w.slope[n] = c.at(w.H[n], w.hint[n])
	}
}

// mean returns the block's mean temperature in K.
func (w *walker) mean() float64 {
	sum, all := 0.0, 0.0
	for n, v := range w.m.l.volume {
		sum, all = sum+v*w.T[n], all+v
	}
	return sum / all
}

// melted returns the melted share of what can melt in the block.
func (w *walker) melted() float64 {
	if w.m.l.latent == 0 {
		return 0
	}
	sum := 0.0
	for n := range w.m.l.layers {
		sum += w.m.l.curves[n].melted(w.H[n], w.hint[n])
	}
	return math.Min(1, math.Max(0, sum/w.m.l.latent))
}

// stored returns the heat content in J above 20 °C.
func (w *walker) stored() float64 {
	sum := 0.0
	for _, h := range w.H {
		sum += h
	}
	return sum
}

// prepare mixes the tables for a moment.
func (w *walker) prepare(at *moment) {
	m, s := w.m, w.m.sur
	k := &at.weather
	w.air = k.Air
	for path := range s.paths {
		if path != s.window.path {
			s.outer[path].mix(w.outer[path], k.Air, k.Sky-k.Air, k.Ground-k.Air, k.Wind, k.Tilt)
		}
	}
	copy(w.source, m.generated)
	for h, watts := range at.heaters {
		for n, x := range m.heaterShare[h] {
			w.source[n] += x * watts
		}
	}
	w.now.absorbed, w.now.glass = m.perWatt*at.light, m.inPane*at.light
	w.now.electric, w.now.generated = 0, 0
	for _, watts := range at.heaters {
		w.now.electric += watts
	}
	for _, g := range m.generated {
		w.now.generated += g
	}
	w.source[0] += w.now.absorbed
	w.paneLight = w.now.glass
	if s.window.path >= 0 {
		factor := m.window[0]
		if at.shut {
			s.window.shut.mix(w.faceRaw, k.Air, k.Sky-k.Air, k.Ground-k.Air, k.Wind, k.Tilt)
			factor = m.window[1]
		} else {
			s.window.open.mix(w.faceRaw, k.Air, k.Sky-k.Air, k.Ground-k.Air, k.Wind, k.Tilt, at.light)
		}
		for i, lost := range w.faceRaw {
			lost *= factor
			w.face[0][i] = k.Air + windowOver[i]
			if m.glass == nil {
				w.face[0][i] -= m.faceEase * (w.now.absorbed - lost)
			}
			w.face[1][i] = lost
		}
		if m.glass != nil && k.Tilt != w.gapTilt {
			m.glass.tilted(w.gap, k.Tilt)
			w.gapTilt = k.Tilt
		}
	}
	for c := range m.circuits {
		q, t := &m.circuits[c], &w.taps[c]
		if t.open = at.flows[c] != 0 && q.tap != nil; t.open {
			t.feed(q, at.inlet[c], at.press[c])
			t.lay(q, at.flows[c])
		}
	}
}

// evaluate finds every heat flow at the present temperatures, and how those into the nodes rise with them.
func (w *walker) evaluate() {
	m := w.m
	copy(w.f, w.source)
	for i := range w.J {
		clear(w.J[i])
	}
	for i := range m.links {
		k := &m.links[i]
		g := k.at(w.T[k.a], w.T[k.b])
		d := w.T[k.a] - w.T[k.b]
		q := g * d
		w.f[k.a] -= q
		w.f[k.b] += q
		da, db := g+0.5*k.g1*d, -g+0.5*k.g1*d
		w.J[k.a][k.a] -= da
		w.J[k.a][k.b] -= db
		w.J[k.b][k.a] += da
		w.J[k.b][k.b] += db
	}
	clear(w.now.lost)
	for i := range m.outlets {
		o := &m.outlets[i]
		q, slope := read(outerOver, w.outer[o.path], o.ratio*(w.T[o.node]-w.air))
		x := o.share * m.paths[o.path]
		w.f[o.node] -= x * q
		w.J[o.node][o.node] -= x * slope * o.ratio
		w.now.lost[o.path] += x * q
	}
	switch path := m.sur.window.path; {
	case path < 0:
	case m.glass != nil:
		w.behindGlass(path)
	default:
		q, slope := read(w.face[0], w.face[1], w.T[0])
		w.f[0] -= q
		w.J[0][0] -= slope
		w.now.lost[path] = q
	}
	w.now.entropy = 0
	for c := range m.circuits {
		w.now.drawn[c], w.now.steam[c], w.now.flow[c] = 0, 0, 0
		if w.taps[c].open {
			w.drawFrom(c)
		}
	}
}

// drawFrom is evaluate for the water of one circuit.
func (w *walker) drawFrom(c int) {
	q := &w.m.circuits[c]
	T := behind(q.shares, w.m.l.layers, w.T)
	t := &w.taps[c]
	heat, slope := read(t.behind, t.heat, T)
	heat += t.opening
	w.now.drawn[c] = heat
	w.now.steam[c], _ = read(t.behind, t.steam, T)
	w.now.steam[c] = math.Max(0, w.now.steam[c])
	w.now.flow[c], _ = read(t.behind, t.flow, T)
	entropy, _ := read(t.behind, t.entropy, T)
	w.now.entropy += entropy
	if t.opening > 0 {
		w.now.entropy += t.opening / logarithmic(t.fed[0], T)
	}
	all := 0.0
	for n := range w.m.l.layers {
		all += q.shares[n]
	}
	for n, x := range q.shares {
		w.f[n] -= x * heat
		for b := range w.m.l.layers {
			if all > 0 {
				w.J[n][b] -= x * slope * q.shares[b] / all
			}
		}
	}
}
