package heat

import "math"

// Ability is what a load's circuits can give from a block that is as hot everywhere, by a steady flow: with 1, 2, … circuits
// open in the load's order, in W, or in kg/s of vapour where the load is one of steam.
type Ability struct {
	Block float64   // K
	Least []float64 // all open circuits at their least flow
	Most  []float64 // each at the flow, within its limits, that gives most and still serves
	// Unsettled says where films and water had not come to agree when their rounds were over; "" where they had.
	Unsettled string
}

// Abilities returns what a problem's load can be given at some temperatures of the block, in K. It marches nothing: a block
// from which heat has been drawn for a while is colder about its tubes than on the mean, and gives less. Without a load there
// are none.
func Abilities(p Problem, block []float64) ([]Ability, error) {
	m, err := newMarch(&p)
	if err != nil {
		return nil, err
	}
	defer m.s.team.stop()
	var out []Ability
	if m.load == nil {
		return nil, nil
	}
	for _, T := range block {
		for c := range m.b.n {
			if md := m.b.medium[c]; md >= 0 {
				m.s.y0[c] = m.b.enthalpy[md].Of(T)
			}
		}
		m.readTemperatures()
		m.net.update(m.s.team, m.s.y0, m.s.f1, 0)
		m.tubes.couple(m.net)
		m.tubes.measure(m.s.t0, m.s.pad)
		a := Ability{Block: T}
		least, most := 0.0, 0.0
		m.load.trials = Unsettled{}
		for k := range m.load.l.Circuits {
			x, err := m.could(k, m.load.l.Max)
			if err != nil {
				return nil, err
			}
			y, err := m.atLeast(k)
			if err != nil {
				return nil, err
			}
			least, most = least+math.Max(y, 0), most+math.Max(x, 0)
			a.Least, a.Most = append(a.Least, least), append(a.Most, most)
		}
		a.Unsettled = m.load.trials.says("what a circuit could give", percents)
		out = append(out, a)
	}
	return out, nil
}

// atLeast returns what the k-th circuit of the load gives at its least flow, in W or kg/s.
func (m *march) atLeast(k int) (float64, error) {
	v, t := m.load, m.tubes
	w, i := v.scouts[k], v.l.Circuits[k]
	if err := m.readies(w, i); err != nil {
		return 0, err
	}
	h, moved := 0.0, 0.0
	for round := range scoutRounds {
		before := h
		h = w.leaving(t, WeatherAt(&m.p.Duty, m.t).Tilt, v.l.Min)
		w.start(t)
		if moved = shareMoved(before-w.inlet, h-w.inlet, 1000); round > 0 && moved < scoutWithin {
			break
		}
	}
	v.trials.end(moved, scoutWithin)
	switch {
	case v.l.Steam:
		return v.l.Min * clamp(w.last().quality(h), 0, 1), nil
	case v.l.Serves > 0 && w.last().temperature(h) < v.l.Serves:
		return 0, nil
	}
	return v.l.Min * (h - w.inlet), nil
}
