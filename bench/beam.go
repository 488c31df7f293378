package bench

import (
	"fmt"
	"math"

	"emberbank/duty"
)

// nightOffset is what an instrument for the beam may show by night, in W/m², and still be taken for good (common practice;
// the radiometers of stations drift by some W/m² as they radiate to the sky).
const nightOffset = 10

// beam reads a direct normal irradiance over time, and holds it against the sun where its place is known.
func (r *reader) beam(v *value) duty.Signal {
	if v == nil {
		return duty.Signal{}
	}
	if v.has("station") {
		return r.stationSignal(v, true)
	}
	s := r.signal(v)
	if r.cal.track == nil || s.Empty() || v.has("clear sky") {
		return s
	}
	if t, x, found := r.cal.beamByNight(&s); found {
		r.beamByNight(v, t, x)
	}
	return s
}

// beamByNight complains of a beam while the sun is down.
func (r *reader) beamByNight(v *value, t, x float64) {
	r.problemAt(v, fmt.Sprintf("%s: the beam is %.4g W/m2 at %s, while the sun is below the horizon", v.path, x, r.cal.moment(t)),
		fmt.Sprintf("no beam while the sun is down; up to %d W/m2 are taken for the instrument's offset", nightOffset),
		"is the time zone, the site or the column another one? A table of means over the time after each row needs \"between: steps\"; a station \"rows: …\"")
}

// beamByNight looks for a beam while the sun is down: at a knot, and along lines and steps that have it at both ends, so that a
// row that spans the sunrise is let pass.
func (c *calendar) beamByNight(s *duty.Signal) (t, value float64, found bool) {
	const stride = 600
	dark := func(a, b float64) (float64, bool) {
		for x := a; ; x += stride {
			if x = min(x, b); c.down(x) {
				return x, true
			}
			if x >= b {
				return 0, false
			}
		}
	}
	all := s.Over(c.length)
	end := c.length
	n := len(all.T)
	for i := 0; i <= n; i++ { // the stretch before knot i
		a, b := 0.0, end
		va, vb := 0.0, 0.0
		if i > 0 {
			a, va = all.T[i-1], all.V[i-1]
		} else {
			va = all.V[0]
		}
		if vb = va; i < n {
			b = all.T[i]
			if !all.Step || i == 0 {
				vb = all.V[i]
			}
		}
		a, b = max(a, 0), min(b, end)
		if b < a || va <= nightOffset || vb <= nightOffset {
			continue
		}
		if all.Step { // a mean or a held value: all of it must lie in the dark
			if c.down(a) && c.down(b) && c.down((a+b)/2) {
				return a, va, true
			}
			if b-a < 4*3600 {
				continue
			}
		}
		if x, is := dark(a, b); is {
			return x, va + (vb-va)*(x-a)/math.Max(b-a, 1e-9), true
		}
	}
	return 0, 0, false
}

// byArea makes power of a beam and the area that catches it.
func (r *reader) byArea(beam, area *value) duty.Signal {
	s := r.beam(beam)
	a := area.number(math.NaN())
	for i := range s.V {
		s.V[i] *= a
	}
	return s
}
