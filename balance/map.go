package balance

import (
	"fmt"
	"math"
	"math/rand/v2"

	"emberbank/uncertainty"
)

// Map is heat flow to the water over the block's temperature for one wetted area, with a confidence band.
type Map struct {
	Area   float64 // m², 0: not known
	From   []string
	Rows   []MapRow // where there is data only, by rising temperature
	Memory float64  // first autocorrelation of the noise
	Apart  float64  // W, standard deviation of the yields' offsets from the common curve; 0 for one yield
	Notes  []string
}

// MapRow is the map at one temperature.
type MapRow struct {
	T         float64 // K, of the block
	Q         float64 // W
	Low, High float64 // W, the 95 % band of the curve: noise with its memory, differences between yields, systematic errors
	Points    int     // rows of data behind it, within half a step
}

// undersmooth is by how much the penalty that predicts best is lowered, so that the bias of smoothing stays small
// against the noise and the band is honest. The factor was found by trial, see the tests.
const undersmooth = 3

// MapOptions says how a map is made.
type MapOptions struct {
	Nodes int    // 0: 40
	Falls bool   // the heat flow never rises with temperature, instead of never falling
	Draws int    // resamples for the band; 0: 400
	Seed  uint64 // of the resamples
}

// FitMap makes a map for each wetted area among the yields, by rising area. The curve is the smoothest that never
// falls and that predicts stretches left out best; the band comes from resampling stretches of the residuals, as long
// as their memory asks (moving blocks: Künsch, Annals of Statistics 17 (1989) 1217-1241, from memory).
func FitMap(yields []Yield, opt MapOptions) ([]Map, error) {
	if opt.Nodes == 0 {
		opt.Nodes = 40
	}
	if opt.Draws == 0 {
		opt.Draws = 400
	}
	var areas []float64
	for i := range yields {
		known := false
		for _, a := range areas {
			known = known || math.Abs(a-yields[i].Area) <= 0.001*a
		}
		if !known {
			areas = append(areas, yields[i].Area)
		}
	}
	for i := range areas {
		for j := i; j > 0 && areas[j] < areas[j-1]; j-- {
			areas[j], areas[j-1] = areas[j-1], areas[j]
		}
	}
	var out []Map
	for _, a := range areas {
		var group []Yield
		for i := range yields {
			if math.Abs(a-yields[i].Area) <= 0.001*a {
				group = append(group, yields[i])
			}
		}
		m, err := fitMap(group, opt)
		if err != nil {
			return nil, err
		}
		out = append(out, *m)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("there is no yield to map")
	}
	return out, nil
}

// cloud is the points of all yields of a map.
type cloud struct {
	x, y   []float64
	starts []int // where each yield begins, and the end
	all    []float64
}

func gather(group []Yield) (*cloud, error) {
	const most = 500
	c := &cloud{}
	for i := range group {
		g := &group[i]
		if len(g.T) != len(g.Q) || len(g.T) < 24 {
			return nil, fmt.Errorf("the yield of %s has %d rows; a map needs at least 24", g.Name, len(g.T))
		}
		c.starts = append(c.starts, len(c.x))
		x, y := thinned(g.T, g.Q, most)
		c.x, c.y = append(c.x, x...), append(c.y, y...)
		c.all = append(c.all, g.T...)
	}
	c.starts = append(c.starts, len(c.x))
	return c, nil
}

func fitMap(group []Yield, opt MapOptions) (*Map, error) {
	c, err := gather(group)
	if err != nil {
		return nil, err
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range c.x {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if !(high > low) {
		return nil, fmt.Errorf("the block's temperature does not change in %s: there is nothing to map over", group[0].Name)
	}
	w := ones(len(c.x))
	s := newSmoother(c.x, w, low, high, opt.Nodes)
	s.falls = opt.Falls
	lambda := c.choose(low, high, opt) / undersmooth
	g := s.fit(c.y, lambda)
	out := &Map{Area: group[0].Area}
	residuals := make([]float64, len(c.x))
	for i := range residuals {
		residuals[i] = c.y[i] - s.at(g, i)
	}
	used := s.freedom(lambda)
	offsets := c.offsets(residuals)
	for k := range group {
		out.From = append(out.From, group[k].Name)
		if group[k].Note != "" {
			out.Notes = append(out.Notes, group[k].Name+": "+group[k].Note)
		}
		if len(group) > 1 { // what sets yields apart is no noise of the rows
			for i := c.starts[k]; i < c.starts[k+1]; i++ {
				residuals[i] -= offsets[k]
			}
		}
	}
	spread := c.spread(s, g, residuals, lambda, used, opt, out)
	between := 0.0
	if k := float64(len(group)); k > 1 {
		_, sd := meanAndDeviation(offsets)
		out.Apart = sd
		between = sd / math.Sqrt(k) * t95(k-1, 2) / 1.96
	}
	common := sharedError(group)
	rounded := 0.0
	for k := range group {
		rounded = math.Max(rounded, math.Hypot(group[k].Rounding, rounding(group[k].Q)))
	}
	for j, v := range g {
		T := low + float64(j)*s.step
		n := 0
		for _, x := range c.all {
			if math.Abs(x-T) <= s.step/2 {
				n++
			}
		}
		if n == 0 {
			continue
		}
		slope := 0.0
		if a, b := max(0, j-1), min(len(g)-1, j+1); b > a {
			slope = (g[b] - g[a]) / (float64(b-a) * s.step)
		}
		u := math.Sqrt(spread[j]*spread[j] + between*between + sq(v*common) + sq(slope*sharedShift(group)) + sq(rounded))
		out.Rows = append(out.Rows, MapRow{T: T, Q: v, Low: v - 1.96*u, High: v + 1.96*u, Points: n})
	}
	return out, nil
}

func sq(x float64) float64 { return x * x }

// choose picks the penalty that predicts left-out stretches of a tenth of each yield best.
func (c *cloud) choose(low, high float64, opt MapOptions) float64 {
	const folds = 10
	best, least := 1.0, math.Inf(1)
	scale := float64(len(c.x)) / float64(opt.Nodes)
	parts := c.parts(low, high, scale, opt)
	var without [folds]*smoother
	var out [folds][]int // the points that each leaves out
	for f := range folds {
		w := ones(len(c.x))
		for k := 0; k+1 < len(c.starts); k++ {
			n := c.starts[k+1] - c.starts[k]
			for part := range parts {
				a, b := (part*folds+f)*n/(parts*folds), (part*folds+f+1)*n/(parts*folds)
				for i := a; i < b; i++ {
					w[c.starts[k]+i] = 0
					out[f] = append(out[f], c.starts[k]+i)
				}
			}
		}
		without[f] = newSmoother(c.x, w, low, high, opt.Nodes)
		without[f].falls = opt.Falls
	}
	for e := -2.0; e <= 5; e += 0.5 {
		lambda := scale * math.Pow(10, e)
		score := 0.0
		for f, s := range without {
			g := s.fit(c.y, lambda)
			for _, i := range out[f] {
				score += sq(c.y[i] - s.at(g, i))
			}
		}
		if score < least {
			best, least = lambda, score
		}
	}
	return best
}

// parts returns into how many stretches a fold is cut: five, since one long stretch would ask for extrapolation, but
// fewer where the noise remembers longer than a third of a stretch, since neighbours would then tell what was left out.
func (c *cloud) parts(low, high, scale float64, opt MapOptions) int {
	const folds = 10
	s := newSmoother(c.x, ones(len(c.x)), low, high, opt.Nodes)
	s.falls = opt.Falls
	g := s.fit(c.y, 100*scale)
	r := make([]float64, len(c.x))
	for i := range r {
		r[i] = c.y[i] - s.at(g, i)
	}
	rho := memory(r, 4)
	n := float64(len(r)) / float64(len(c.starts)-1)
	return int(math.Min(5, math.Max(1, n/(folds*3*(1+rho)/(1-rho)))))
}

// freedom returns the trace of the smoother without its condition: how many parameters the curve is worth.
func (s *smoother) freedom(lambda float64) float64 {
	n := s.n
	wrong := make([]bool, n)
	trace := 0.0
	for j := range n { // column j of A⁻¹ BᵀWB
		right := make([]float64, n)
		right[j] = s.diagonal[j]
		if j > 0 {
			right[j-1] = s.beside[j-1]
		}
		if j+1 < n {
			right[j+1] = s.beside[j]
		}
		trace += s.solve(right, lambda, 0, wrong)[j]
	}
	return trace
}

// offsets returns the mean residual of each yield.
func (c *cloud) offsets(residuals []float64) []float64 {
	out := make([]float64, len(c.starts)-1)
	for k := range out {
		out[k] = mean(residuals[c.starts[k]:c.starts[k+1]])
	}
	return out
}

func meanAndDeviation(v []float64) (m, sd float64) {
	m = mean(v)
	for _, x := range v {
		sd += sq(x - m)
	}
	return m, math.Sqrt(sd / math.Max(1, float64(len(v)-1)))
}

// spread returns the standard deviation of the curve at the nodes, by refitting to the curve plus stretches of its
// residuals drawn anew.
func (c *cloud) spread(s *smoother, g, residuals []float64, lambda, used float64, opt MapOptions, out *Map) []float64 {
	n := len(residuals)
	rho := memory(residuals, int(used+0.5))
	out.Memory = rho
	grow := 1.0
	length := max(1, min(n/8, int(math.Ceil(3*(1+rho)/(1-rho)))))
	// Stretches cut short lose part of the noise's memory, and the fit took part of the noise: what the stretches hold
	// is brought to what the autoregression says.
	sum2 := 0.0
	for _, e := range residuals {
		sum2 += e * e / float64(n)
	}
	worth := math.Max(effective(rho, n), used+4)
	dof := worth - used
	sd1 := math.Sqrt(sum2 * worth / dof * ofMean(rho, n))
	// Slow noise under fast noise shows in means of neighbours: see levels. The largest of several estimates is above the
	// truth by chance alone, so that only a clear excess counts.
	if sd, d := c.coarser(residuals, used); sd*t95(d, 2) > 1.3*sd1*t95(dof, 2) {
		sd1, dof = sd, d
	}
	held := 0.0
	for k := 0; k+1 < len(c.starts); k++ {
		a, b := c.starts[k], c.starts[k+1]
		for i := a; i < b; i++ {
			m := 0.0
			for j := range length {
				m += residuals[a+(i-a+j)%(b-a)]
			}
			held += m * m / float64(length) / float64(n)
		}
	}
	if held > 0 {
		grow = math.Max(1, sd1/math.Sqrt(held))
	}
	rng := rand.New(rand.NewPCG(opt.Seed, 0x6d6170))
	sum, squares := make([]float64, s.n), make([]float64, s.n)
	y := make([]float64, n)
	for range opt.Draws {
		for k := 0; k+1 < len(c.starts); k++ {
			a, b := c.starts[k], c.starts[k+1]
			for i := a; i < b; {
				from := a + rng.IntN(b-a)
				for j := 0; j < length && i < b; j++ {
					y[i] = s.at(g, i) + grow*residuals[a+(from-a+j)%(b-a)]
					i++
				}
			}
		}
		for j, v := range s.fit(y, lambda) {
			sum[j] += v
			squares[j] += v * v
		}
	}
	sd := make([]float64, s.n)
	d := float64(opt.Draws)
	k := t95(dof, 2) / 1.96
	for j := range sd {
		sd[j] = k * math.Sqrt(math.Max(0, squares[j]/d-sq(sum[j]/d))*d/(d-1))
	}
	return sd
}

// coarser looks at means of two residuals, of four, and so on while thirty are left, each yield by itself, as levels
// does, and returns the largest standard deviation of a sum over the root of its number of residuals, with its degrees of
// freedom.
func (c *cloud) coarser(residuals []float64, used float64) (sd, dof float64) {
	dof = 4
	for size := 2; len(residuals)/size >= 30; size *= 2 {
		var v []float64
		for k := 0; k+1 < len(c.starts); k++ {
			for i := c.starts[k]; i+size <= c.starts[k+1]; i += size {
				v = append(v, mean(residuals[i:i+size]))
			}
		}
		if len(v) < 30 {
			break
		}
		r := memory(v, int(used+0.5))
		worth := math.Max(effective(r, len(v)), used+4)
		d := worth - used
		if s := math.Sqrt(meanSquare(v) * worth / d * ofMean(r, len(v)) * float64(size)); s*t95(d, 2) > sd*t95(dof, 2) {
			sd, dof = s, d
		}
	}
	return sd, dof
}

// sharedError returns the relative standard uncertainty of the mean of the yields from their systematic errors.
func sharedError(group []Yield) float64 {
	q := uncertainty.Quantity{}
	for i := range group {
		for _, c := range group[i].Errors {
			c.U /= float64(len(group))
			if c.Group == "" {
				c.Group = fmt.Sprintf("own of yield %d, %s", i, c.Name)
			}
			q.Components = append(q.Components, c)
		}
	}
	return q.U()
}

// sharedShift returns the standard uncertainty in K by which all temperatures may be off, taken as common.
func sharedShift(group []Yield) float64 {
	most := 0.0
	for i := range group {
		most = math.Max(most, group[i].UT)
	}
	return most
}
