package heat

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/duty"
)

// serving is a load's control: how many of its circuits are open, and what each of them is to give.
//
// How many are open is looked at where something is switched, where those that are open fall short, and every now and then
// besides: see attend. What each could give at the most is found by a steady flow past the cells as they stand, without a
// trace in the water. Between two looks the flows of those that are open follow what is wanted as those of a control do: see
// throttle. All changes lie between two steps.
type serving struct {
	l      *duty.Load
	o      duty.Opening
	scouts []*stream // by the load's circuits: a steady flow that is tried
	kept   []slice   // memory of a trial
	most   []float64 // W or kg/s, what each could give at the last look, in the load's order
	flow   []float64 // kg/s, as found last
	gave   []float64 // W or kg/s, of the steady flow of each open circuit
	order  []int     // in which open circuits are asked
	lack   float64   // W or kg/s, by which they fall short together; below 0: by which they give too much
	look   float64   // s, of the next look

	sum    Served
	steamT float64 // kg, that had left the load's circuits before the step
}

// heldShare is the share of what is wanted that counts as given.
const heldShare = 0.98

// Served is what became of a load over a run: amounts in J, or in kg of vapour where the load is one of steam.
type Served struct {
	Steam     bool
	Wanted    float64
	Delivered float64
	Met       float64   // the smaller of the two, taken at each step
	Asked     float64   // s, in which anything was wanted
	Held      float64   // s, of these, in which at least 98 % of it was given
	Heat      float64   // J, carried off by the water of the load's circuits while it flowed or stood open
	Let       float64   // J, let out with the water of circuits that were shut, less what filled those that were opened
	Heated    float64   // J, of Heat, what left while steam or heat was wanted
	Counts    []float64 // s, in which 0, 1, 2, … circuits were open
	Opened    int
	Shut      int
}

// takeLoad prepares the control of a load.
func (m *march) takeLoad() error {
	l := m.p.Duty.Load
	if l == nil {
		return nil
	}
	n := len(l.Circuits)
	v := &serving{l: l, o: duty.NothingOpen(), most: make([]float64, n), flow: make([]float64, n), gave: make([]float64, n)}
	v.sum.Steam, v.sum.Counts = l.Steam, make([]float64, n+1)
	for _, i := range l.Circuits {
		if i < 0 || i >= len(m.streams) {
			return fmt.Errorf("the load opens circuit %d of %d", i+1, len(m.streams))
		}
		v.scouts = append(v.scouts, newStream(m.tubes, m.tubes.circuits[i]))
	}
	if !(l.Min > 0) || !(l.Max > l.Min) {
		return fmt.Errorf("the load's flows lie between %g and %g kg/s: the least must be above zero and below the greatest", l.Min, l.Max)
	}
	m.load = v
	return nil
}

// asked returns what a circuit of the load is asked to hold.
func (v *serving) asked(k int, value float64) duty.Control {
	c := duty.Control{Circuit: v.l.Circuits[k], Holds: duty.HoldHeat, Value: value, Min: v.l.Min, Max: v.l.Max, Serves: v.l.Serves}
	if v.l.Steam {
		c.Holds = duty.HoldSteam
	}
	return c
}

// nextLook returns when, in s, the march has to stop for the load.
func (m *march) nextLook() float64 {
	if v := m.load; v != nil && v.look > m.t {
		return v.look
	}
	return inf
}

// attend decides at this moment how many circuits are open, where it is time to look or sure; it sets their switches and
// tells whether that changed.
func (m *march) attend(sure bool) (changed bool, err error) {
	v := m.load
	if v == nil || m.p.Steady {
		return false, nil
	}
	wanted := v.l.Wanted.At(m.t)
	short := v.o.Open > 0 && v.lack > (1-heldShare)*wanted && v.o.Open < len(v.most) && m.t >= v.o.Down+v.l.Rest
	if !sure && !short && m.t < v.look {
		return false, nil
	}
	v.look = inf
	if wanted > 0 {
		v.look = m.t + math.Max(0.5*v.l.Rest, leastLook)
		if err := m.looks(wanted); err != nil {
			return false, err
		}
		if at := v.o.Down + v.l.Rest; at > m.t {
			v.look = math.Min(v.look, at)
		}
	}
	before := v.o.Open
	v.o = v.l.Next(v.o, m.t, wanted, v.most)
	for k, i := range v.l.Circuits {
		state := v.l.Shut
		if k < v.o.Open {
			state = duty.Flowing
		}
		m.player.Switches.Water[i] = state
	}
	if v.o.Open == before {
		return false, nil
	}
	v.sum.Opened += max(0, v.o.Open-before)
	v.sum.Shut += max(0, before-v.o.Open)
	m.rec.mark(m.t, v.says(m))
	return true, nil
}

// leastLook is the least time between two looks, in s.
const leastLook = 30

// says names the circuits that are open.
func (v *serving) says(m *march) string {
	var names []string
	for _, i := range v.l.Circuits[:v.o.Open] {
		names = append(names, m.b.rec.Circuits[i].Name)
	}
	if len(names) == 0 {
		return "load: all circuits shut"
	}
	return "load: open " + strings.Join(names, ", ")
}

// looks finds what each circuit could give at the most, as far as it decides anything.
func (m *march) looks(wanted float64) error {
	v := m.load
	if !m.s.fresh {
		m.readTemperatures()
	}
	if m.steps == 0 { // else the last step has
		m.net.update(m.s.team, m.s.y0, m.s.f1, 0)
		m.tubes.couple(m.net)
	}
	m.tubes.measure(m.s.t0, m.s.pad)
	enough := wanted * (1 + v.l.Band)
	sum := 0.0
	for k := range v.most {
		v.most[k] = 0
		if sum >= enough && k >= v.o.Open {
			continue
		}
		if w := m.streams[v.l.Circuits[k]]; k < v.o.Open && w.tauOld > 0 && w.held != "" && w.held != tooCold && w.steer.off < 0 { // it gives its most
			v.most[k] = v.gave[k]
			sum += math.Max(v.gave[k], 0)
			continue
		}
		x, err := m.could(k, enough)
		if err != nil {
			return err
		}
		v.most[k] = x
		sum += math.Max(x, 0)
	}
	return nil
}

// could returns the most that the k-th circuit of the load could give by a steady flow past the cells as they stand, in W or
// kg/s; of steam no more than enough.
func (m *march) could(k int, enough float64) (float64, error) {
	v, t := m.load, m.tubes
	w, i := v.scouts[k], v.l.Circuits[k]
	v.kept = v.kept[:0]
	for _, si := range w.slices {
		v.kept = append(v.kept, t.slices[si])
	}
	defer func() {
		for q, si := range w.slices {
			t.slices[si] = v.kept[q]
			t.conductance(&t.slices[si])
			if m.streams[i].state == duty.Drained {
				t.cut(&t.slices[si])
			}
		}
	}()
	tilt := weatherAt(&m.p.Duty, m.t).tilt
	if err := m.readies(w, i); err != nil {
		return 0, err
	}
	c := v.asked(k, enough)
	given := 0.0
	for round := range scoutRounds {
		before := given
		if v.l.Steam {
			w.flow = w.steady(t, c, tilt, w.steer.flow, true)
			w.steer.known, w.steer.flow = true, w.flow
			given = c.Value + w.steer.off
		} else {
			given = w.mostHeat(t, c, tilt)
		}
		w.links(t, tilt, 0)
		w.start(t)
		if round > 0 && math.Abs(given-before) < scoutWithin*math.Abs(given) {
			break
		}
	}
	return given, nil
}

// A trial takes films and profile in turn until they agree.
const (
	scoutRounds = 5
	scoutWithin = 5e-3
)

// readies gives a scout what circuit i is fed with now.
func (m *march) readies(w *stream, i int) error {
	d := &m.p.Duty.Water[i]
	first := w.state != duty.Flowing
	w.state, w.linkTau, w.surge = duty.Flowing, 0, 0
	if err := w.setPressure(m.tubes, d.Pressure.At(m.t)); err != nil {
		return fmt.Errorf("circuit %s: %w", m.b.rec.Circuits[i].Name, err)
	}
	w.inletT = d.Inlet.At(m.t)
	w.inlet = w.iso.Enthalpy(w.inletT)
	w.inletEnd = w.inlet
	if first {
		w.flow = m.load.l.Max
		w.fill(m.tubes)
		w.links(m.tubes, 0, 0)
		w.start(m.tubes)
	}
	return nil
}

// mostHeat returns the most heat in W that a steady flow within a control's limits carries off and still serves; 0 where none
// does.
func (w *stream) mostHeat(t *tubes, c duty.Control, tilt float64) float64 {
	h := w.leaving(t, tilt, c.Max)
	if c.Serves > 0 {
		if w.last().temperature(h) < c.Serves {
			flow, end := w.serves(t, c, tilt, c.Max)
			if h = w.leaving(t, tilt, flow); end < 0 {
				return 0
			}
		}
	}
	return w.flow * (h - w.inlet)
}

// serves returns the flow in kg/s within a control's limits at which what leaves is just hot enough to serve; end is below
// zero where it is too cold at the least flow.
func (w *stream) serves(t *tubes, c duty.Control, tilt, guess float64) (flow float64, end int) {
	p := &w.steer
	if !(p.served > 0) {
		p.served = steadyGain
	}
	want := w.last().Enthalpy(c.Serves)
	gain := p.gain
	p.gain = p.served
	flow, end = p.seek(func(flow float64) float64 { return (w.leaving(t, tilt, flow) - want) / coldCp }, guess, c.Min, c.Max, 0.1*steamWithin)
	p.gain, p.served = gain, p.gain
	return flow, end
}

// tooCold is why a circuit serves no longer.
const tooCold = "at its smallest flow it leaves too cold to serve"

// heating returns the flow in kg/s that carries the heat that is asked for, and leaves hot enough to serve.
func (w *stream) heating(t *tubes, c duty.Control, tilt, guess float64) float64 {
	p := &w.steer
	h := 0.0
	flow, end := p.seek(func(flow float64) float64 {
		h = w.leaving(t, tilt, flow)
		return 1 - flow*(h-w.inlet)/c.Value
	}, guess, c.Min, c.Max, p.within(flowWithin))
	switch {
	case end > 0:
		w.held = "at its largest flow it carries less heat than asked"
	case end < 0:
		w.held = "at its smallest flow it carries more heat than asked"
	}
	if c.Serves > 0 && w.last().temperature(h) < c.Serves {
		flow, end = w.serves(t, c, tilt, flow)
		h = w.leaving(t, tilt, flow)
		w.held = "with more flow it would leave too cold to serve"
		if end < 0 {
			w.held = tooCold
		}
	}
	if w.held != "" {
		p.off = flow*(h-w.inlet) - c.Value
	}
	return flow
}

// serve sets the flows of the load's open circuits for a step of tau (s), or with 0 for the moment.
func (m *march) serve(tilt, tau float64) {
	v := m.load
	if v == nil || v.o.Open == 0 {
		return
	}
	asks := false
	for _, i := range v.l.Circuits[:v.o.Open] {
		asks = asks || m.asks(m.streams[i], tau)
	}
	if asks {
		m.deal(tilt)
	}
	for k, i := range v.l.Circuits[:v.o.Open] {
		if m.streams[i].state != duty.Flowing {
			continue
		}
		flow := math.NaN()
		if asks {
			flow = v.flow[k]
		}
		m.steer(m.streams[i], v.asked(k, 0), tau, flow)
	}
}

// deal shares what is wanted out over the open circuits and finds the flow of each. All are asked for the same; what one
// cannot give, or cannot give less than, the others make up for: those that had to be taken as they are come first.
func (m *march) deal(tilt float64) {
	v := m.load
	wanted := v.l.Wanted.At(m.t)
	bound := func(k int) bool { return m.streams[v.l.Circuits[k]].held != "" }
	for range 2 {
		v.order = v.order[:0]
		for _, first := range []bool{true, false} {
			for k := range v.o.Open {
				if bound(k) == first {
					v.order = append(v.order, k)
				}
			}
		}
		left, late := wanted, false
		for n, k := range v.order {
			w, was := m.streams[v.l.Circuits[k]], bound(k)
			c := v.asked(k, math.Max(left, 1e-9*wanted)/float64(len(v.order)-n))
			v.flow[k] = m.find(w, c, tilt)
			v.gave[k] = c.Value
			if w.held != "" {
				v.gave[k] += w.steer.off
				late = late || !was && n > 0
			}
			left -= v.gave[k]
		}
		v.lack = left
		if !late || math.Abs(left) <= flowWithin*wanted {
			return
		}
	}
}

// served books what an accepted step of tau (s) from m.t brought the load.
func (m *march) served(tau float64) {
	v := m.load
	if v == nil {
		return
	}
	heat, steam := 0.0, 0.0
	for _, i := range v.l.Circuits {
		heat += m.streams[i].pending
		steam += m.rec.leaves[i].Steam
	}
	s := &v.sum
	wanted := 0.5 * (v.l.Wanted.At(m.t) + v.l.Wanted.Before(m.t+tau)) * tau
	given := heat
	if s.Steam {
		given = steam - v.steamT
	}
	v.steamT = steam
	s.Wanted += wanted
	s.Delivered += given
	s.Met += math.Max(0, math.Min(given, wanted))
	s.Heat += heat
	s.Counts[v.o.Open] += tau
	if wanted > 0 {
		s.Asked += tau
		s.Heated += heat
		if given >= heldShare*wanted {
			s.Held += tau
		}
	}
}

// delivered returns what the load's circuits give as the row shows them, in W or kg/s.
func (v *serving) delivered(m *march) float64 {
	sum := 0.0
	for _, i := range v.l.Circuits {
		w := m.streams[i]
		switch {
		case v.l.Steam:
			sum += w.steam(w.shown, w.out)
		case w.state == duty.Flowing:
			out := w.flow
			if w.tauOld > 0 { // what leaves differs from what enters as it did over the last step
				out += w.out - w.flowOld
			}
			sum += out*(w.shown[len(w.shown)-1]-w.origin) - w.flow*(w.inlet-w.origin)
		}
	}
	return sum
}

// became returns what became of the load.
func (v *serving) became(m *march) *Served {
	if v == nil {
		return nil
	}
	s := v.sum
	s.Counts = slices.Clone(s.Counts)
	carried := 0.0
	for _, i := range v.l.Circuits {
		carried += m.streams[i].carried
	}
	s.Let = carried - s.Heat
	return &s
}
