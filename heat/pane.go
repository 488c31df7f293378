package heat

import (
	"math"

	"emberbank/film"
	"emberbank/receiver"
)

// pane is the glass before the window: one temperature, its heat capacity, and what it exchanges on both sides.
//
// At the start of a step its mean over the step is foretold with the block's face as it will be in the step's middle,
// and the block sees that mean during the step; when the step is done, the same step with the heat that really came over
// the gap closes the books. The mean is w T1 + (1-w) T0, with w as for the water (see endShare), which makes the step exact
// for a pane that relaxes, however quick or slow it is. The pane never bounds the step.
type pane struct {
	win      *receiver.Window
	area     float64
	capacity float64 // J/K
	T        float64 // K at the start of the step
	ahead    float64 // K foretold, mean over it
	w        float64 // of the step's end in that mean
	TNew     float64
	// The outer side during the step:
	h, air, eps, radiator4 float64
	doubt                  bool    // the outer film lies outside its correlation's range
	absorbed               float64 // W of light absorbed by the pane
}

func newPane(b *body, w *receiver.Window) *pane {
	area := 0.0
	for i := range b.faces {
		if b.patches[b.faces[i].patch].surface == nil {
			area += b.faces[i].area
		}
	}
	return paneOf(b.rec, area)
}

// paneOf returns a receiver's pane with an area in m².
func paneOf(rec *receiver.Receiver, area float64) *pane {
	g := rec.Window.Glass
	m := &rec.Media[g.Medium]
	return &pane{
		win: rec.Window, T: math.NaN(), area: area,
		capacity: area * g.Thickness * m.Density * m.HeatCapacity.At(330),
	}
}

// gapEmissivity returns the emissivity that face and pane have together across the gap, for the face's area. They see each
// other as opposed rectangles; what passes them by meets the gap's sides, which pass no heat and send all of it back. For
// a narrow gap that is 1/(1/ε₁ + 1/ε₂ − 1).
// Source: film.ReradiatingPair and film.OpposedRectangles.
func gapEmissivity(win *receiver.Window, p *patch) float64 {
	e1, e2 := win.Emissivity, win.Glass.Emissivity
	if !(e1 > 0 && e2 > 0) {
		return 0
	}
	view := film.OpposedRectangles(p.width, p.height, win.Glass.Gap)
	return film.ReradiatingPair(e1, e2, 1, 1, view, 1, 0) / film.StefanBoltzmann
}

// outside sets what the pane's outer side meets at the pane's temperature T: open air, or the shut cover.
func (p *pane) outside(w Weather, shut bool, pt *patch, T float64) {
	win := p.win
	elevation := w.elevation(int(pt.side))
	if shut {
		p.h, p.eps, p.radiator4, p.doubt = win.Cover, 0, 0, false
		p.air = w.Air
		if win.Ambient != nil {
			p.air = *win.Ambient
		}
		return
	}
	c := exchange(condition{}, w, elevation, T, win.Glass.OutsideFilm, win.Glass.Emissivity, win.Ambient, win.Surrounds, pt)
	p.h, p.air, p.eps, p.radiator4, p.doubt = c.h, c.air, c.eps, c.radiator4, c.outside
}

// loss returns what the pane at T gives to the outside in W, and its slope in W/K.
func (p *pane) loss(T float64) (q, slope float64) {
	r := p.eps * film.StefanBoltzmann
	return p.area * (p.h*(T-p.air) + r*(p4(T)-p.radiator4)), p.area * (p.h + 4*r*T*T*T)
}

// foretell finds the pane's mean temperature over a step tau (0: the steady one) for the face's mean temperature and the
// gap's condition.
func (p *pane) foretell(tau, face float64, gap *condition) {
	inertia := 0.0
	p.w = 1
	if tau > 0 {
		_, slope := p.loss(p.T)
		slope += p.area * (gap.h + 4*gap.eps*film.StefanBoltzmann*p.T*p.T*p.T)
		p.w = endShare(tau * slope / p.capacity)
		inertia = p.capacity / (p.w * tau)
	}
	T := p.T
	r := gap.eps * film.StefanBoltzmann
	for range 50 {
		out, slope := p.loss(T)
		in := p.area * (gap.h*(face-T) + r*(p4(face)-p4(T)))
		f := inertia*(T-p.T) + out - in - p.absorbed
		d := f / (inertia + slope + p.area*(gap.h+4*r*T*T*T))
		T = math.Max(1, T-d)
		if math.Abs(d) < 1e-9*T {
			break
		}
	}
	p.ahead = T
}

// close sets the candidate temperature at the step's end for the heat (J) that came over the gap during the step and
// returns what was lost to the outside in J.
func (p *pane) close(tau, heat float64) float64 {
	T, inertia := p.ahead, p.capacity/(p.w*tau)
	for range 50 {
		out, slope := p.loss(T)
		f := inertia*(T-p.T) + out - heat/tau - p.absorbed
		d := f / (inertia + slope)
		T = math.Max(1, T-d)
		if math.Abs(d) < 1e-12*T {
			break
		}
	}
	out, _ := p.loss(T)
	lost := out * tau
	p.TNew = p.T + (heat+p.absorbed*tau-lost)/p.capacity
	return lost
}
