package heat

import "emberbank/duty"

// Filling is a time in which a circuit that has begun to flow still holds water that stood in its tubes when it began: the
// first water, let in at once and cold from end to end, takes far more heat than any flow that lasts.
type Filling struct {
	Circuit  string
	From, To float64 // s; To is +Inf where the run ended before that water had left
}

// At tells whether t in s lies within the filling.
func (f *Filling) At(t float64) bool { return t >= f.From && t < f.To }

// filling follows how much of what stood in a circuit's tubes is still to leave.
type filling struct {
	left float64 // kg
	open bool
	last int // index into fillings; only where there was one
	any  bool
}

// fill follows the first transits over an accepted step of tau (s) from m.t, before the water is moved on.
func (r *recorder) fill(tau float64) {
	m := r.m
	for i, w := range m.streams {
		f := &r.filling[i]
		if w.switched && w.state == duty.Flowing {
			*f = filling{left: w.holds(), open: true, last: len(r.fillings), any: true}
			r.fillings = append(r.fillings, Filling{m.b.rec.Circuits[i].Name, m.t, inf})
		}
		if !f.open {
			continue
		}
		end := &r.fillings[f.last]
		if w.state != duty.Flowing {
			f.open, end.To = false, m.t
			continue
		}
		if out := w.outNew * tau; out < f.left {
			f.left -= out
		} else {
			f.open, end.To = false, m.t+tau*f.left/out
		}
	}
}

// fills tells whether circuit i is filling at the moment of the row in hand.
func (r *recorder) fills(i int) bool {
	w, f := r.m.streams[i], &r.filling[i]
	return w.state == duty.Flowing && (w.switched || f.any && r.fillings[f.last].At(r.m.t))
}

// holds returns the mass in the tubes in kg.
func (w *stream) holds() float64 {
	kg := 0.0
	for _, m := range w.mass {
		kg += m
	}
	return kg
}
