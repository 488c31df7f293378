package bench

import (
	"math"

	"emberbank/duty"
	"emberbank/sun"
)

// skyModels by their words.
var skyModels = map[string]sun.Model{"ineichen-perez": sun.IneichenPerez, "esra": sun.ESRA, "meinel": sun.Meinel}

// clearSky lays the beam under a clear sky.
func (r *reader) clearSky(v *value) duty.Signal {
	if !r.needsSun(v) {
		return duty.Signal{}
	}
	f := r.factors(v) // on the beam; it has reached the turbidity below too
	sky := sun.ClearSky{Model: skyModels[v.get("clear sky").word("")], Turbidity: 3}
	if x := v.get("turbidity"); x != nil {
		sky.Turbidity = x.num / f
		if sky.Model == sun.Meinel {
			r.doubt(x, "the model meinel knows no haze: the turbidity does not count", "take it out, or take another model")
		}
	}
	return r.byDay(func(p *sun.Position) float64 { return f * sky.Beam(p, r.cal.site) }, 0, 1000*f)
}

// follows lays the tilt of a dish that looks at the sun.
func (r *reader) follows(v *value) duty.Signal {
	if !r.needsSun(v) {
		return duty.Signal{}
	}
	return r.byDay(func(p *sun.Position) float64 { return math.Max(0, p.Elevation) }, v.get("by night").number(0), 1)
}

// factors is the product of all factors on a value over time.
func (r *reader) factors(v *value) float64 {
	f := 1.0
	for _, l := range r.changes {
		f *= r.factorOn(l, v.root+v.path, true)
	}
	return f
}

// byDay lays what hangs on the sun's place, while it is up, on knots with straight lines between; by night there is one
// value. scale is its usual size.
//
// Knots stand where the sun comes up and goes down and at full hours from the start, and between these at halves, quarters
// and so on where the curve asks for it, so that several such signals share them: the march stops at each.
func (r *reader) byDay(f func(*sun.Position) float64, night, scale float64) duty.Signal {
	c := &r.cal
	zero := sun.Seconds(c.starts)
	at := func(t float64) float64 {
		p := c.track.At(zero + t)
		return f(&p)
	}
	k := knotted{f: at, scale: scale}
	for _, s := range c.track.Daylight(zero, zero+c.length) {
		from, to := s.From-zero, s.To-zero
		k.mean = 0
		for i := range 8 {
			k.mean += math.Abs(at(from+(to-from)*(float64(i)+0.5)/8)) / 8
		}
		// At the horizon the sun is neither up nor down: ask just above it.
		first, last := at(from+1e-3), at(to-1e-3)
		if from > 0 {
			first = k.join(from, night, first)
		} else {
			k.add(from, first)
		}
		if to < c.length && math.Abs(last-night) <= 0.005*scale {
			last = night
		}
		a, fa := from, first
		for hour := math.Floor(from/3600) + 1; hour*3600 < to-1; hour++ {
			b := hour * 3600
			if b < a+1 {
				continue
			}
			fb := at(b)
			k.between(a, fa, b, fb)
			a, fa = b, fb
		}
		k.between(a, fa, to, last)
		if to < c.length && last != night {
			k.add(to, night)
		}
	}
	if len(k.out.T) == 0 {
		if c.length == 0 && c.track.At(zero).Elevation > 0 { // a steady state
			return duty.Fixed(at(0))
		}
		return duty.Fixed(night)
	}
	return k.out
}

// knotted lays a curve on knots.
type knotted struct {
	f     func(float64) float64
	scale float64
	mean  float64 // over the day that is laid
	out   duty.Signal
}

func (k *knotted) add(t, v float64) { k.out.T, k.out.V = append(k.out.T, t), append(k.out.V, v) }

// join goes from one value to another: at once, where they differ by more than the scale's 200th, else the curve begins at
// the one that is left. It returns the value from which the curve goes on.
func (k *knotted) join(t, from, to float64) float64 {
	k.add(t, from)
	if math.Abs(to-from) <= 0.005*k.scale {
		return from
	}
	k.add(t, to)
	return to
}

// between lays the curve from a knot that stands at a to one at b: halved until no line departs from the curve in the mean
// by more than 0.06 % of the day's mean, nor anywhere by more than 0.4 % of the scale, or they are a minute long.
func (k *knotted) between(a, fa, b, fb float64) {
	h := b - a
	m := (a + b) / 2
	f1, f2, f3 := k.f(a+h/4), k.f(m), k.f(b-h/4)
	curve := (7*fa + 32*f1 + 12*f2 + 32*f3 + 7*fb) / 90 // Boole's rule
	line := (fa + fb) / 2
	far := max(math.Abs(f2-line), math.Abs(f1-(3*fa+fb)/4), math.Abs(f3-(fa+3*fb)/4))
	if h > 60 && (math.Abs(curve-line) > 6e-4*k.mean || far > 0.004*k.scale) {
		k.between(a, fa, m, f2)
		k.between(m, f2, b, fb)
		return
	}
	k.add(b, fb)
}
