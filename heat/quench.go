package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/film"
)

// quench estimates how the first water wets the tubes of a circuit that was drained and has just begun to flow, once its
// flow is known. Films, as the march computes them, take the tube as wet from the first moment: the estimate tells how far
// that is from the truth.
func (m *march) quench(i int) {
	w := m.streams[i]
	if !w.unwetted {
		return
	}
	w.unwetted = false
	if w.state != duty.Flowing || !(w.flow > 0) {
		return
	}
	q := film.Quench{Flow: w.flow, Subcooling: math.Max(0, w.iso.HLiquid-w.inlet), Length: w.heatLen}
	hottest := -1
	for _, si := range w.slices {
		s := &m.tubes.slices[si]
		if s.mean > q.Block {
			q.Block, hottest = s.mean, si
		}
	}
	if hottest < 0 || q.Block <= w.iso.Saturation {
		return
	}
	s := &m.tubes.slices[hottest]
	p := &m.b.rec.Passes[s.pass]
	if p.WallMedium < 0 || p.Outer <= p.Inner {
		return
	}
	wall := &m.b.rec.Media[p.WallMedium]
	q.Wall = q.Block
	q.Density, q.HeatCapacity = wall.Density, wall.HeatCapacity.At(q.Wall)
	q.Conductivity = wall.Conductivity[0].At(q.Wall)
	q.Inner, q.Thickness = p.Inner, 0.5*(p.Outer-p.Inner)
	q.Contact = 1 / ((s.contact + s.ease) * s.outer)
	m.rec.quenching(i, film.Rewet(&w.iso.two, q), q.Wall, m.b.rec.Passes[s.pass].Name)
}

// quenching says with numbers what the first water does.
func (c *cautions) quenching(circuit int, r film.Rewetted, wall float64, pass string) {
	if c.known(KindFirstWater, c.circuits[circuit], wall, pass) {
		return
	}
	name := c.march.b.rec.Circuits[circuit].Name
	c.raise(Caution{Kind: KindFirstWater, Place: c.circuits[circuit], Value: wall, Limit: boilingPoint, Source: r.Law + "; an estimate, a factor of two at the least"}, pass,
		func(wall float64, pass string) string {
			wets := fmt.Sprintf("water wets it from the first moment (below about %.0f °C)", r.Leidenfrost.Best-273.15)
			if r.FilmBoiling {
				wets = fmt.Sprintf("it is above the temperature at which water wets a wall (about %.0f °C, %.0f to %.0f °C), so that steam first keeps the water off",
					r.Leidenfrost.Best-273.15, r.Leidenfrost.Low-273.15, r.Leidenfrost.High-273.15)
			}
			time := fmt.Sprintf("the tubes are wet after about %s (%s to %s) and by then have made", seconds(r.Time.Best), seconds(r.Time.Low), seconds(r.Time.High))
			if math.IsInf(r.Time.Best, 1) {
				time = fmt.Sprintf("this flow wets about %.2g m of tube, leaves the rest dry, and by then has made", r.Reach.Best)
			}
			return fmt.Sprintf("First water into circuit %s at a wall of %.0f °C (pass %s): %s; %s about %.2g kg of steam (%.2g to %.2g kg), on average %.2g g/s (%.2g to %.2g g/s). Expect steam at the outlet at once, water hammer and thermal shock to tubes and block: open the outlet first, begin with little water, keep clear of the outlet. The run itself takes the tubes as wet at once. %s",
				name, wall-273.15, pass, wets, time, r.Steam.Best, r.Steam.Low, r.Steam.High, 1e3*r.Rate.Best, 1e3*r.Rate.Low, 1e3*r.Rate.High, practice)
		})
}

func seconds(t float64) string {
	switch {
	case math.IsInf(t, 1):
		return "never"
	case t < 1:
		return fmt.Sprintf("%.1g s", t)
	case t < 10:
		return fmt.Sprintf("%.2g s", t)
	case t < 100:
		return fmt.Sprintf("%.0f s", t)
	case t < 600:
		return fmt.Sprintf("%.0f s", 10*math.Round(t/10))
	}
	return fmt.Sprintf("%.0f min", t/60)
}
