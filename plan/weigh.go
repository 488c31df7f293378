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

// moments are the rows at which readings count, and how many of the logger's each stands for. A logger slower than the
// rows of the run is read between them; of a faster one as many readings are averaged as fall on a row, whose white noise is
// so much less while what lasts is not.
func moments(end, every float64) (times []float64, each float64) {
	if row := end / rowsOfRun; every < row {
		every, each = row, row/every
	} else {
		each = 1
	}
	n := int(math.Floor(end/every + 1e-9))
	for k := range n + 1 {
		times = append(times, float64(k)*every)
	}
	return times, each
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
		times, each := moments(r.time[len(r.time)-1], w.every)
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
				own = append(own, groupRows{q: q, rows: make([]match.Row, len(times)), noise: match.Noise{Time: z.time, Common: z.common, SlowTime: z.slowTime}})
				for n, t := range times {
					own[g].rows[n].Time = t
				}
			}
			z, n := d.noise[q], &own[g].noise
			column := len(n.White)
			n.White = append(n.White, d.white(s, q)/math.Sqrt(each))
			n.Slow = append(n.Slow, z.slow)
			lasting := s.Lasting
			if lasting == 0 {
				lasting = z.lasting[s.Column]
			}
			n.Lasting = append(n.Lasting, lasting)
			for row, t := range times {
				slope, ok := r.slopeAt(c, t, p)
				if !ok {
					continue
				}
				at := len(vectors[0])
				for j := range vectors {
					v := 0.0
					if j < p {
						v = slope[j]
					} else {
						v = offsets[j-p].effect[i]
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

// slopeAt reads the derivatives of a column at a time between the rows of the run, joined by straight lines.
func (r *replies) slopeAt(c int, at float64, parameters int) ([]float64, bool) {
	i, found := slices.BinarySearch(r.time, at)
	a, b, f := i, i, 0.0
	if !found {
		if i == 0 || i == len(r.time) {
			i = min(max(i, 1), len(r.time)-1)
			at = min(max(at, r.time[0]), r.time[len(r.time)-1])
		}
		a, b = i-1, i
		f = (at - r.time[a]) / (r.time[b] - r.time[a])
	}
	out := make([]float64, parameters)
	if math.IsNaN(r.value[c][a]) || math.IsNaN(r.value[c][b]) {
		return nil, false
	}
	for j, s := range r.slope[c] {
		if s != nil {
			out[j] = s[a] + f*(s[b]-s[a])
		}
	}
	return out, true
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
