package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/history"
)

// recorder keeps what a run gives: rows of the history, fields, marks, and the extremes that raise cautions.
type recorder struct {
	m       *march
	h       history.History
	columns []func() float64
	chains  chains
	tally   *tally
	moment  *moment
	kept    []Field
	marks   []Mark
	cautions
	nextAt              int // index of the next field time
	stopped             string
	start               content
	whole               float64 // J, about the heat content of the solid at 20 °C counted from absolute zero
	paneLost, paneLight float64 // J
	residual            float64
	off                 float64   // J, the imbalance at the last step's end
	heavy               float64   // J, heat content of the solid above 0 K at the start, with its least heat capacity
	lagged              []float64 // K, by probe: a sensor's reading
	felt                []float64 // K, by probe: what it would read without lag, at the same moment
	feltOld             []float64 // K, the same at the start of the last step
	lines               []frontLine
	uses                []use     // by circuit
	filling             []filling // by circuit
	fillings            []Filling
	leaves              []Left // by circuit
	profiles            []Profile
	present             present
}

// content is the heat content of everything inside at one moment, in J above 20 °C.
type content struct {
	roles  [5]float64
	pane   float64
	water  float64
	latent float64
}

func (c content) total() float64 {
	sum := c.pane + c.water
	for _, r := range c.roles {
		sum += r
	}
	return sum
}

// present is what a row needs of the moment.
type present struct {
	content content
	rates   []float64 // W, as the solver orders them
	mean    float64   // K, of the block
	melted  float64
	passes  []float64
	passSum float64
	drops   []float64
}

func newRecorder(m *march) *recorder {
	r := &recorder{m: m, tally: newTally(m.b, m.s)}
	m.rec = r
	r.lagged, r.felt, r.feltOld = make([]float64, len(m.p.Probes)), make([]float64, len(m.p.Probes)), make([]float64, len(m.p.Probes))
	r.lines = make([]frontLine, len(m.p.Probes))
	for i := range m.p.Probes {
		if m.p.Probes[i].Kind == Front {
			r.lines[i] = m.b.line(m.p.Probes[i].At, m.p.Probes[i].To)
		}
		r.lagged[i] = math.NaN()
	}
	m.net.update(m.s.team, m.s.y0, m.s.f1, 0) // a rule may look at a probe before the first step
	r.present.passes = make([]float64, len(m.b.rec.Passes))
	r.present.rates = make([]float64, m.s.r.n)
	r.present.drops = make([]float64, len(m.streams))
	r.leaves = make([]Left, len(m.streams))
	r.uses, r.filling = make([]use, len(m.streams)), make([]filling, len(m.streams))
	r.moment = newMoment(m)
	r.chains = newChains(m)
	r.start = m.content()
	for c := range m.b.n {
		if md := m.b.medium[c]; md >= 0 {
			r.whole += m.b.mass[c] * m.b.enthalpy[md].MinCp * 293.15
		}
	}
	for _, c := range m.b.runs {
		for i := c.from; i < c.to; i++ {
			r.heavy += m.b.mass[i] * m.b.enthalpy[c.medium].MinCp * m.s.t0[m.s.pad+int(i)]
		}
	}
	r.cautions.init(m)
	r.layColumns()
	r.h.Time = make([]float64, 0, len(m.p.Output)+1)
	values := make([]float64, len(r.columns)*(len(m.p.Output)+1))
	for i := range r.h.Columns {
		n := len(m.p.Output) + 1
		r.h.Columns[i].Values = values[i*n : i*n : (i+1)*n]
	}
	return r
}

func (r *recorder) column(name string, q history.Quantity, f func() float64) {
	r.h.Columns = append(r.h.Columns, history.Column{Name: name, Quantity: q})
	r.columns = append(r.columns, f)
}

// layColumns lays the history's columns in the order that files keep.
func (r *recorder) layColumns() {
	m, now := r.m, &r.present
	r.column("block mean", history.Temperature, func() float64 { return now.mean })
	r.column("stored", history.Heat, func() float64 { return now.content.total() })
	r.column("melted", history.Fraction, func() float64 { return now.melted })
	r.column("absorbed", history.HeatFlow, func() float64 { return now.rates[m.s.r.absorbed] })
	r.column("heat to passes", history.HeatFlow, func() float64 { return now.passSum })
	for i := range m.b.rec.Passes {
		r.column("pass "+m.b.rec.Passes[i].Name+" heat", history.HeatFlow, func() float64 { return now.passes[i] })
	}
	circuit := func(what string, q history.Quantity, f func(i int, w *stream) float64) {
		for i, w := range m.streams {
			r.column("circuit "+m.b.rec.Circuits[i].Name+" "+what, q, func() float64 { return f(i, w) })
		}
	}
	circuit("outlet", history.Temperature, func(_ int, w *stream) float64 { T, _ := w.outlet(w.shown); return T })
	circuit("quality", history.Fraction, func(_ int, w *stream) float64 { _, x := w.outlet(w.shown); return x })
	circuit("steam", history.MassFlow, func(_ int, w *stream) float64 { return w.steam(w.shown, w.out) })
	circuit("flow", history.MassFlow, func(_ int, w *stream) float64 { return w.flow })
	circuit("wall max", history.Temperature, func(_ int, w *stream) float64 { return w.hottestWall(m.tubes) })
	circuit("pressure drop", history.Pressure, func(i int, _ *stream) float64 { return now.drops[i] })
	for i, w := range m.streams {
		if m.shuts(i) {
			r.column("circuit "+m.b.rec.Circuits[i].Name+" pressure", history.Pressure, func() float64 { return m.pressure(i, w) })
		}
	}
	for path := range 1 + len(m.b.rec.Surfaces) {
		if !m.hasPath(path) {
			continue
		}
		r.column("lost "+m.pathName(path), history.HeatFlow, func() float64 {
			if p := m.skin.pane; p != nil && path == windowPath {
				q, _ := p.loss(p.T)
				return q
			}
			return now.rates[path]
		})
	}
	if v := m.load; v != nil {
		q := history.HeatFlow
		if v.l.Steam {
			q = history.MassFlow
		}
		r.column("load wanted", q, func() float64 { return v.l.Wanted.At(m.t) })
		r.column("load delivered", q, func() float64 { return v.delivered(m) })
		r.column("load circuits open", history.Count, func() float64 { return float64(v.o.Open) })
	}
	for i := range m.p.Probes {
		q := history.Temperature
		if m.p.Probes[i].Kind == Front {
			q = history.Length
		}
		r.column(m.p.Probes[i].Name, q, func() float64 { return r.probeAt(i, m.s.y0, false) })
	}
}

func (m *march) hasPath(path int) bool {
	for i := range m.b.patches {
		if m.b.patches[i].path == path {
			return true
		}
	}
	return false
}

func (m *march) pathName(path int) string {
	if path == windowPath {
		return "window"
	}
	return m.b.rec.Surfaces[path-1].Name
}

// heatNow returns the heat content of everything inside in J above 20 °C.
func (m *march) heatNow() float64 {
	all := m.rec.tally.step() + m.waterHeat()
	if p := m.skin.pane; p != nil {
		all += p.capacity * (p.T - 293.15)
	}
	return all
}

// waterHeat returns the heat content of the water in the tubes in J above 20 °C.
func (m *march) waterHeat() float64 {
	sum := 0.0
	for _, w := range m.streams {
		if w.state != duty.Drained {
			sum += w.content()
		}
	}
	return sum
}

// row adds one row to the history.
func (r *recorder) row() {
	m := r.m
	r.h.Time = append(r.h.Time, m.t)
	for i, f := range r.columns {
		c := &r.h.Columns[i]
		c.Values = append(c.Values, f())
	}
	r.chains.record(r.present.mean)
	r.observe()
}

func (r *recorder) lastRow() float64 {
	if n := len(r.h.Time); n > 0 {
		return r.h.Time[n-1]
	}
	return -1
}

// balance compares the heat content with what came and went so far.
func (r *recorder) balance() {
	m := r.m
	content := m.heatNow()
	scale := math.Max(m.moved, 1e-6*math.Max(math.Abs(content), r.whole))
	r.off = r.imbalance(content)
	if scale > 0 {
		r.residual = math.Max(r.residual, math.Abs(r.off)/scale)
	}
}

// imbalance returns what came in less what went out less what is stored, in J.
func (r *recorder) imbalance(content float64) float64 {
	m, s := r.m, r.m.s
	in := m.total[s.r.absorbed] + m.total[s.r.electric] + m.total[s.r.generated] + r.paneLight
	return in - r.lost() - m.toOutside() - (content - r.start.total())
}

// lost returns the heat lost over every path, in J.
func (r *recorder) lost() float64 {
	sum := 0.0
	for path := range r.m.s.r.absorbed {
		sum += r.lostBy(path, 1)
	}
	return sum
}

// lostBy returns the heat lost over a path, in J, at the fraction x of the last step.
func (r *recorder) lostBy(path int, x float64) float64 {
	if path == windowPath && r.m.skin.pane != nil {
		if x < 1 {
			return r.paneLost - (1-x)*r.m.pane
		}
		return r.paneLost
	}
	return r.passed(path, x)
}

// toOutside returns what left by the tubes, in J: carried off by water, or taken at a fixed fluid temperature.
func (m *march) toOutside() float64 {
	sum := 0.0
	for _, w := range m.streams {
		sum += w.carried
	}
	for _, i := range m.tubes.fixed {
		sum += m.total[m.s.r.slices+i]
	}
	return sum
}

func (r *recorder) mark(t float64, what string) { r.marks = append(r.marks, Mark{t, what}) }

// nextField returns the next time after t at which a field is wanted.
func (r *recorder) nextField(t float64) float64 {
	for _, f := range r.m.p.FieldTimes {
		if f > t {
			return f
		}
	}
	return inf
}

// fields keeps the field if one is wanted now.
func (r *recorder) fields() {
	m := r.m
	for r.nextAt < len(m.p.FieldTimes) && m.p.FieldTimes[r.nextAt] <= m.t {
		r.kept = append(r.kept, m.field())
		r.nextAt++
	}
}

func (m *march) field() Field {
	f := Field{Time: m.t, Temperature: make([]float64, m.b.n), Melted: make([]float64, m.b.n)}
	for c := range m.b.n {
		if m.b.medium[c] < 0 {
			f.Temperature[c], f.Melted[c] = math.NaN(), math.NaN()
			continue
		}
		e := m.b.enthalpy[m.b.medium[c]]
		f.Temperature[c], f.Melted[c] = e.Temperature(m.s.y0[c]), e.Melted(m.s.y0[c])
	}
	return f
}

// probe returns a probe's reading by name.
func (r *recorder) probe(name string, y []float64, candidate bool) float64 {
	for i := range r.m.p.Probes {
		if r.m.p.Probes[i].Name == name {
			return r.probeAt(i, y, candidate)
		}
	}
	return math.NaN()
}

func (r *recorder) probeAt(i int, y []float64, candidate bool) float64 {
	m := r.m
	p := &m.p.Probes[i]
	switch p.Kind {
	case Front:
		melted := m.meltedLength(&r.lines[i], y)
		if !p.Frozen {
			return melted
		}
		whole := 0.0
		for _, l := range r.lines[i].cells {
			whole += l.length
		}
		return whole - melted
	case Sensor:
		if math.IsNaN(r.lagged[i]) {
			r.lagged[i] = r.truth(i)
			r.felt[i] = r.lagged[i]
		}
		if candidate {
			return follow(r.lagged[i], r.felt[i], r.truth(i), m.s.tau, p.Lag)
		}
		return r.lagged[i]
	}
	return m.place(p.At, m.s.t0)
}

// truth is what a sensor would read without lag: its place's temperature, short by what its stem leads away.
func (r *recorder) truth(i int) float64 {
	m := r.m
	p := &m.p.Probes[i]
	T := m.place(p.At, m.s.t0)
	if p.Immersion < 1 {
		air := WeatherAt(&m.p.Duty, m.t).Air
		T = p.Immersion*T + (1-p.Immersion)*air
	}
	return T
}

// follow is a sensor's reading after tau (s) of a lag (s): a first-order lag behind what it feels, which runs straight
// from felt to now. The answer is exact for a straight run, so that long steps do not spoil it.
func follow(reading, felt, now, tau, lag float64) float64 {
	if lag <= 0 {
		return now
	}
	trail := (now - felt) / tau * lag // K, by which the reading trails a lasting ramp
	return now - trail + (reading-felt+trail)*math.Exp(-tau/lag)
}

// sensors moves every sensor's reading over an accepted step.
func (r *recorder) sensors(tau float64) {
	for i := range r.m.p.Probes {
		p := &r.m.p.Probes[i]
		if p.Kind != Sensor {
			continue
		}
		now := r.truth(i)
		if math.IsNaN(r.lagged[i]) {
			r.lagged[i], r.felt[i] = now, now
		}
		r.lagged[i] = follow(r.lagged[i], r.felt[i], now, tau, p.Lag)
		r.feltOld[i], r.felt[i] = r.felt[i], now
	}
}

// result puts everything together.
func (r *recorder) result() *Result {
	m, s := r.m, r.m.s
	r.present.content = m.content() // of the end, also where a run was stopped between rows
	res := &Result{
		Grid: m.b.g, Part: m.b.part, History: r.h, Fields: r.kept, Chains: r.chains.list, Events: r.marks,
		Cells: m.b.active, Steps: m.steps, Rejected: m.rejected, Stages: s.evaluations, Ended: m.t,
		Stopped: r.stopped, Residual: r.residual, Kernel: s.loops.Name,
	}
	r.rangeWarnings()
	r.warnUnreached()
	m.warnMisses()
	m.warnTrials()
	res.Films = r.filmUses()
	for i := range r.uses {
		res.FilmsUsed = res.FilmsUsed || r.uses[i].heat > 0
	}
	r.warnFilmUses(res.Films)
	res.Profiles = r.profiles
	for i, w := range m.streams {
		if w.switched && w.state == duty.Flowing { // just before the end
			r.fillings = append(r.fillings, Filling{m.b.rec.Circuits[i].Name, m.t, inf})
		}
	}
	res.Fillings = r.fillings
	for i := range r.leaves {
		r.leaves[i].Circuit = m.b.rec.Circuits[i].Name
	}
	res.Left = r.leaves
	res.Served, res.Account = m.load.became(m), m.closeAccount()
	res.Warnings = m.warnings
	res.Cautions = r.cautions.told()
	res.Ledger = r.ledger(r.present.content, 1)
	return res
}
