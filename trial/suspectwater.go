package trial

import (
	"fmt"
	"math"

	"emberbank/water"
)

// waterScale looks for water whose sensors all begin far from block and air alike while it stands, and just there if
// their numbers are read on another scale.
func (s *suspicion) waterScale() {
	rest := s.resting()
	if rest != rest {
		return
	}
	var all []int
	scale := ""
	for _, role := range []Role{Inlet, Outlet} {
		for _, i := range s.r.Find(role) {
			c := &s.r.Columns[i]
			rows, flow := s.flowing(c.Of)
			x := s.begin(i)
			if rows == nil || s.told[i] || x != x {
				continue
			}
			for k := range rows[:min(10, len(rows))] {
				if rows[k] || s.v(flow)[k] != s.v(flow)[k] {
					return
				}
			}
			if scale != "" && c.scale() != scale || c.scale() == "" {
				return
			}
			scale = c.scale()
			all = append(all, i)
		}
	}
	if len(all) < 2 {
		return
	}
	for _, sc := range scales {
		fits := sc != scale
		for _, i := range all {
			x := s.begin(i)
			fits = fits && math.Abs(x-rest) > 15 && math.Abs(s.r.Columns[i].onScale(x, sc)-rest) < 8
		}
		if !fits {
			continue
		}
		for _, i := range all {
			c, x := &s.r.Columns[i], s.begin(i)
			s.tell(i, fmt.Sprintf("%s begins at %s while the water stands in a block at %s: it may be read on the wrong scale, %s", c.Name, celsius(x), celsius(rest), c.scale()),
				fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(c.onScale(x, sc)), sc))
		}
		return
	}
}

// begin returns the first value of a column among its first ten rows, NaN where there is none.
func (s *suspicion) begin(i int) float64 {
	v := s.v(i)
	for _, x := range v[:min(10, len(v))] {
		if x == x {
			return x
		}
	}
	return math.NaN()
}

// resting returns the temperature in K at which the record starts from rest: that of air and block, or of two places of
// the block at least; NaN where these are apart.
func (s *suspicion) resting() float64 {
	var v []float64
	low, high := math.Inf(1), math.Inf(-1)
	bodies := 0
	for _, role := range []Role{Body, Ambient} {
		for _, i := range s.r.Find(role) {
			x := s.begin(i)
			if x != x || s.told[i] {
				continue
			}
			if role == Body {
				bodies++
			}
			v = append(v, x)
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	if bodies == 0 || len(v) < 2 || high-low > 8 {
		return math.NaN()
	}
	return typical(v)
}

// vapour looks for water that comes in hotter than it boils at its recorded pressure.
func (s *suspicion) vapour() {
	for _, i := range s.r.Find(Inlet) {
		c := &s.r.Columns[i]
		rows, _ := s.flowing(c.Of)
		p := s.of(PressureAt, c.Of)
		if rows == nil || p < 0 || s.told[i] {
			continue
		}
		var above, here []float64
		for k, on := range rows {
			x := s.v(i)[k]
			sat, err := water.SaturationTemperature(s.v(p)[k])
			if on && x == x && err == nil {
				above, here = append(above, x-sat), append(here, x)
			}
		}
		d, T := typical(above), typical(here)
		if len(above) < 10 || !(d > 3+3*c.Systematic(T)) {
			continue
		}
		fix := "is it the right column, and are its unit and the pressure's right?"
		for _, sc := range scales {
			if x := c.onScale(T, sc); sc != c.scale() && x > zeroDegC && x < T-d {
				fix = fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(x), sc)
			}
		}
		s.tell(i, fmt.Sprintf("%s is %s while water flows, %.3g K above its boiling point at the recorded pressure: it may be read on the wrong scale, %s", c.Name, celsius(T), d, c.scale()), fix)
	}
}
