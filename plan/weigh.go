package plan

import (
	"math"
	"slices"

	"emberbank/history"
	"emberbank/match"
)

// weighing is what is measured: by which sensors, in which runs, how often.
type weighing struct {
	sensors []Sensor
	runs    []*replies // one for each trial
	every   float64    // s
}

// known is what such a measurement teaches.
type known struct {
	cov  [][]float64 // of the parameters
	cols [][]float64 // weighed derivatives by parameters and offsets, with the rows of the offsets' priors only
	rows []int       // readings that count, by sensor
}

// sd is the standard deviation of each parameter.
func (k *known) sd() []float64 {
	out := make([]float64, len(k.cov))
	for j := range out {
		out[j] = math.Sqrt(k.cov[j][j])
	}
	return out
}

// learn computes the covariance that a measurement gives.
func (d *design) learn(w weighing) *known {
	p := len(d.x)
	offsets := offsetsOf(w.sensors)
	vectors := make([][]float64, p+len(offsets))
	k := &known{rows: make([]int, len(w.sensors))}
	type groupRows struct {
		noise match.Noise
		rows  []match.Row
		q     history.Quantity
	}
	var groups []groupRows
	for _, r := range w.runs {
		byQuantity := map[history.Quantity]int{}
		var own []groupRows
		for i, s := range w.sensors {
			c := r.index(s.Column)
			if c < 0 {
				continue
			}
			q := r.quantity[c]
			g, ok := byQuantity[q]
			if !ok {
				g = len(own)
				byQuantity[q] = g
				z := d.noise[q]
				own = append(own, groupRows{q: q, rows: make([]match.Row, len(r.time)), noise: match.Noise{Time: z.time, Common: z.common, SlowTime: z.slowTime}})
				for n, t := range r.time {
					own[g].rows[n].Time = t
				}
			}
			z, n := d.noise[q], &own[g].noise
			column := len(n.White)
			n.White = append(n.White, d.white(s, q))
			n.Slow = append(n.Slow, z.slow)
			lasting := s.Lasting
			if lasting == 0 {
				lasting = z.lasting[s.Column]
			}
			n.Lasting = append(n.Lasting, lasting)
			settled := r.settles(c, r.row)
			for row := range r.time {
				own[g].rows[row].White = append(own[g].rows[row].White, white(n.White[column], lasting, z.time, w.every, max(r.width[row], 1e-9)))
				if !settled[row] {
					continue
				}
				at := len(vectors[0])
				for j := range vectors {
					v := 0.0
					switch {
					case j >= p:
						v = offsets[j-p].effect[i]
					case r.slope[c][j] != nil:
						v = r.slope[c][j][row]
					}
					vectors[j] = append(vectors[j], v)
				}
				own[g].rows[row].Readings = append(own[g].rows[row].Readings, match.Reading{Column: column, At: at})
				k.rows[i]++
			}
		}
		groups = append(groups, own...)
	}
	for i := range groups {
		g := &groups[i]
		g.rows = slices.DeleteFunc(g.rows, func(r match.Row) bool { return len(r.Readings) == 0 })
		g.noise.Weigh(g.rows, vectors)
	}
	for o := range offsets { // one standard deviation each
		for j := range vectors {
			vectors[j] = append(vectors[j], map[bool]float64{true: 1}[j == p+o])
		}
	}
	k.cols = vectors
	full := make([][]float64, len(vectors))
	for j := range full {
		full[j] = slices.Clone(vectors[j])
		for i := range d.p.Parameters {
			sd, _ := before(&d.p.Parameters[i])
			full[j] = append(full[j], map[bool]float64{true: 1 / sd}[i == j])
		}
	}
	all := match.CovarianceOf(full)
	for j := range p {
		k.cov = append(k.cov, all[j][:p:p])
	}
	return k
}

// offset is one systematic error: its effect on each sensor's readings by one standard deviation.
type offset struct {
	name   string
	effect []float64
}

func offsetsOf(sensors []Sensor) (out []offset) {
	for i, s := range sensors {
		if s.Offset > 0 {
			o := offset{"sensor " + s.Column, make([]float64, len(sensors))}
			o.effect[i] = s.Offset
			out = append(out, o)
		}
	}
	for i, s := range sensors {
		if s.Logger == "" || !(s.Shared > 0) {
			continue
		}
		k := slices.IndexFunc(out, func(o offset) bool { return o.name == "logger "+s.Logger })
		if k < 0 {
			k = len(out)
			out = append(out, offset{"logger " + s.Logger, make([]float64, len(sensors))})
		}
		out[k].effect[i] = s.Shared
	}
	return out
}

// joint is the logarithm of the determinant of a covariance, each parameter in units of what is known of it before; half of
// it over the number of parameters is the logarithm of the mean share of uncertainty that is left (the D criterion).
func (d *design) joint(cov [][]float64) float64 {
	n := len(cov)
	scaled := make([][]float64, n)
	for i := range scaled {
		scaled[i] = make([]float64, n)
		for j := range n {
			a, _ := before(&d.p.Parameters[i])
			b, _ := before(&d.p.Parameters[j])
			scaled[i][j] = cov[i][j] / (a * b)
		}
	}
	values, _ := eigen(scaled)
	sum := 0.0
	for _, v := range values {
		sum += math.Log(max(v, 1e-300))
	}
	return sum
}
