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

// beamByNight looks for a beam while the sun is down, from one knot to the next. A line counts where it has the beam at both
// ends; a step where the sun is down all its time, or, if it is hours long, at any time of it: a row of means that spans the
// sunrise is let pass.
func (c *calendar) beamByNight(s *duty.Signal) (t, value float64, found bool) {
	const stride, long = 600, 4 * 3600
	all := s.Over(c.length)
	times := append(append([]float64{0}, all.T...), c.length)
	for i := 1; i < len(times); i++ {
		a, b := max(times[i-1], 0), min(times[i], c.length)
		if b <= a || all.At(a) <= nightOffset || all.Before(b) <= nightOffset {
			continue
		}
		if all.Step && b-a < long && !(c.down(a) && c.down((a+b)/2) && c.down(b)) {
			continue
		}
		for x := a; x <= b; x += stride {
			if c.down(x) {
				return x, all.At(x), true
			}
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
