package heat

import (
	"fmt"
	"math"
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

	trials Unsettled // share of what a circuit could give
	sum    Served
	steamT float64 // kg, that had left the load's circuits before the step
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
	if m.p.Steady {
		m.warn("a steady state serves no load: what the duty wants of the water over time does not count, and each circuit stands as it does at the start")
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
	short := v.o.Open > 0 && v.lack > (1-HeldShare)*wanted && v.o.Open < len(v.most) && m.t >= v.o.Down+v.l.Rest
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
