package season

import "math"

// tap is the water of one circuit as a step meets it: curves over the mean temperature of the layers behind its passes.
type tap struct {
	open                      bool
	fed                       [2]float64  // inlet in K and pressure in Pa, for which the tables are mixed
	mixed                     bool        // ever
	heats, steams, flows      [][]float64 // by what sets the flow, over the temperature of the cells around the passes
	entropies                 [][]float64
	most, fill                []float64
	opening                   float64   // W, what fills the tubes takes over the step in which they are opened
	behind, heat, steam, flow []float64 // the curves of the step
	entropy                   []float64
	mostBehind                []float64 // K, of the layers where the circuit gives the most
}

func newTap(d *drawing) tap {
	t := tap{}
	n := len(d.heat.over)
	for range d.heat.by[0] {
		for _, v := range []*[][]float64{&t.heats, &t.steams, &t.flows, &t.entropies} {
			*v = append(*v, make([]float64, n))
		}
	}
	for _, v := range []*[]float64{&t.most, &t.fill, &t.behind, &t.heat, &t.steam, &t.flow, &t.entropy, &t.mostBehind} {
		*v = make([]float64, n)
	}
	return t
}

// feed mixes a circuit's tables for an inlet and a pressure.
func (t *tap) feed(q *circuit, inlet, pressure float64) {
	if t.mixed && t.fed == [2]float64{inlet, pressure} {
		return
	}
	t.mixed, t.fed = true, [2]float64{inlet, pressure}
	d := q.tap
	for i, x := range d.heat.by[0] {
		d.heat.mix(t.heats[i], x, inlet, pressure)
		d.steam.mix(t.steams[i], x, inlet, pressure)
		d.flow.mix(t.flows[i], x, inlet, pressure)
		d.entropy.mix(t.entropies[i], x, inlet, pressure)
	}
	d.fill.mix(t.fill, inlet, pressure)
	if d.most != nil {
		d.most.mix(t.most, inlet, pressure)
		last := t.heats[len(t.heats)-1]
		for k, T := range d.heat.over {
			t.mostBehind[k] = T + q.ease*last[k]
		}
	}
}

// could returns what the circuit could give a load at the most, in W or kg/s, with the layers behind it at T.
func (t *tap) could(T float64) float64 {
	x, _ := read(t.mostBehind, t.most, T)
	return math.Max(0, x)
}

// fills returns what fills the circuit's empty tubes takes in J, with the layers behind it at T.
func (t *tap) fills(q *circuit, T float64) float64 {
	x, _ := read(q.tap.fill.over, t.fill, T)
	return math.Max(0, x)
}

// lay lays the step's curves for a flow (kg/s), or of a load for what it is asked to give (W or kg/s).
func (t *tap) lay(q *circuit, set float64) {
	d := q.tap
	place, share := 0, 0.0
	if d.set == byFlow {
		place, share = d.heat.by[0].place(set)
	}
	for k, T := range d.heat.over {
		if d.set == byLoad {
			place, share = 0, 0
			if t.most[k] > 0 {
				place, share = drawShares.place(set / t.most[k])
			}
		}
		at := func(v [][]float64) float64 {
			if share == 0 {
				return v[place][k]
			}
			return (1-share)*v[place][k] + share*v[place+1][k]
		}
		t.heat[k], t.steam[k], t.flow[k], t.entropy[k] = at(t.heats), at(t.steams), at(t.flows), at(t.entropies)
		t.behind[k] = T + q.ease*t.heat[k]
	}
}
