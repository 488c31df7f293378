package follow

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// shown is what a stretch of readings has shown of the model: the mean of measured less predicted.
type shown struct {
	from, t, to float64 // s of the trial: its beginning, its middle, its end
	d           float64
	n           float64   // readings
	moves       []float64 // by parameter: what one unit of it changes
}

// mostShown is how many stretches are kept.
const mostShown = 40

// show keeps one mean difference. When there are too many, the two neighbours that are the shortest for their age become
// one: what is recent stays fine.
func (k *channel) show(q pooled, d float64, moves []float64) {
	if n := len(k.shown); n > 0 && !(q.t > k.shown[n-1].t) {
		return
	}
	k.shown = append(k.shown, shown{q.from, q.t, max(q.t, 2*q.t-q.from), d, q.n, slices.Clone(moves)})
	if len(k.shown) <= mostShown {
		return
	}
	best, least := 0, math.Inf(1)
	for i := range len(k.shown) - 1 {
		a, b := &k.shown[i], &k.shown[i+1]
		if size := (b.to - a.from) / (q.t - b.t + 300); size < least {
			best, least = i, size
		}
	}
	a, b := &k.shown[best], &k.shown[best+1]
	sum := a.n + b.n
	mean := func(x, y float64) float64 { return (x*a.n + y*b.n) / sum }
	for j := range a.moves {
		a.moves[j] = mean(a.moves[j], b.moves[j])
	}
	a.t, a.d, a.to, a.n = mean(a.t, b.t), mean(a.d, b.d), b.to, sum
	k.shown = slices.Delete(k.shown, best+1, best+2)
}

// corrected is by how much a prediction is moved over time, and how well that is known.
type corrected struct {
	time, by, sd []float64 // s of the trial, SI, SI
}

// at gives both at a time; ok is false outside.
func (c *corrected) at(t float64) (by, sd float64, ok bool) {
	if c == nil || len(c.time) < 2 || t > c.time[len(c.time)-1] {
		return math.NaN(), math.NaN(), false
	}
	i, _ := slices.BinarySearch(c.time, t)
	i = max(i, 1)
	w := max((t-c.time[i-1])/(c.time[i]-c.time[i-1]), 0)
	return c.by[i-1] + w*(c.by[i]-c.by[i-1]), c.sd[i-1] + w*(c.sd[i]-c.sd[i-1]), true
}

// doubts are how many times as large as stated the variance of the model's error may be, and slowTimes, in s, how long its
// slow part may last where no match tells. Our own choice: from what is stated to sixteen times its size, and from a
// third of what such a block takes to answer to half a day.
var (
	doubts    = [...]float64{1, 4, 16, 64, 256}
	slowTimes = [...]float64{600, 2400, 9600}
)

// correct moves the model's course by what the readings have shown of it. With d the mean differences of measured less
// predicted over stretches around the times t_i, the error of the model for the reading at time t is expected as
//
//	e(t) = k(t)ᵀ K⁻¹ d,    u² = κ (J(t) C J(t)ᵀ + s²) + o² − k(t)ᵀ K⁻¹ k(t)
//
//	K_ij   = κ (J_i C J_jᵀ + s² ρ(t_i − t_j)) + o² + a_i a_j exp(−|t_i − t_j|/T) + δ_ij w²/n_i
//	k(t)_i = κ (J(t) C J_iᵀ + s² ρ(t − t_i)) + o²
//
// J are the changes by parameters and C their covariance, s is the size of the model's slow error and ρ its correlation
// (Matérn, ν = 5/2, as in a match), o the sensor's lasting error, which the next readings have too, a the noise that
// remembers (of a mean over a stretch, so smaller where that is long) and w the white one of n readings. So an error that
// grows as a parameter would make it grow goes on growing, one that is smooth goes on smoothly and is forgotten by and by,
// and one that all readings have alike stays; how far each may be believed is in u. It is the run itself that is moved, not
// its state: what the error does to later losses is in J alone.
//
// A model may be wrong by more than is stated. So e and u are means over the doubts κ, and over the times of ρ where no
// match tells, each with the weight κ^(−1/2) times the likelihood of d (the weight is our own choice: the stated size counts most
// until the readings speak against it). s is the noise's size at least.
//
// Source: C. E. Rasmussen, C. K. I. Williams, "Gaussian processes for machine learning", MIT Press 2006, eqs. 2.22 to 2.24
// (conditional mean and covariance) and 2.30 (likelihood), from memory; that a model's discrepancy is found beside its
// parameters: M. C. Kennedy, A. O'Hagan, "Bayesian calibration of computer models", J. R. Statist. Soc. B 63 (2001) 425-464.
// What stands for what, and the means over doubts, are derived here.
func (f *Follower) correct(k *channel, doubts []float64) {
	p := f.course
	k.corrected = nil
	c := p.Columns[k.Name]
	n := len(k.shown)
	if c == nil || n == 0 {
		return
	}
	from, _ := slices.BinarySearch(p.Time, k.shown[n-1].t)
	from = min(max(from-1, 0), max(len(p.Time)-2, 0))
	rows := p.Time[from:]
	m := len(rows)
	if m < 2 {
		return
	}
	ahead := make([][]float64, m)
	for j := range rows {
		_, ahead[j], _ = p.column(k.Name, rows[j])
	}
	noise, slow, slowTime := f.of(k)
	lasting, T := k.chart.lasting(noise)
	slow = max(slow, math.Hypot(lasting, noise.White))
	own := 0.0
	if !math.IsNaN(k.value) {
		own = k.Systematic(k.value)
	}
	times := slowTimes[:]
	if slowTime > 0 {
		times = []float64{slowTime}
	}
	// What does not hang on doubts.
	byParameters, noises, toAhead := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil), mat.NewDense(n, m, nil)
	for i := range n {
		a := &k.shown[i]
		for j := i; j < n; j++ {
			b := &k.shown[j]
			byParameters.SetSym(i, j, f.model.covariance(a.moves, b.moves))
			v := lasting * lasting * meaned(a, T) * meaned(b, T)
			if i != j {
				v *= fades(b.t-a.t, T)
			} else {
				v += noise.White*noise.White/a.n + 1e-12*(own*own+slow*slow) + 1e-18
			}
			noises.SetSym(i, j, v)
		}
		for j := range rows {
			toAhead.Set(i, j, f.model.covariance(a.moves, ahead[j]))
		}
	}
	d := mat.NewVecDense(n, nil)
	for i := range n {
		d.SetVec(i, k.shown[i].d)
	}
	var cases []supposed
	best := math.Inf(-1)
	for _, kappa := range doubts {
		for _, slowTime := range times {
			cov, cross := mat.NewSymDense(n, nil), mat.NewDense(n, m, nil)
			for i := range n {
				for j := i; j < n; j++ {
					cov.SetSym(i, j, kappa*(byParameters.At(i, j)+slow*slow*smooth(k.shown[j].t-k.shown[i].t, slowTime))+own*own+noises.At(i, j))
				}
				for j := range rows {
					cross.Set(i, j, kappa*(toAhead.At(i, j)+slow*slow*smooth(rows[j]-k.shown[i].t, slowTime))+own*own)
				}
			}
			s, ok := suppose(cov, cross, d, func(j int) float64 {
				return kappa*(f.model.variance(ahead[j])+slow*slow) + own*own
			})
			if !ok {
				continue
			}
			s.likely -= math.Log(kappa) / 2
			best = max(best, s.likely)
			cases = append(cases, s)
		}
	}
	if len(cases) > 0 {
		k.corrected = average(rows, cases, best)
	}
}

// supposed is what follows if the model's error is of one size and one time.
type supposed struct {
	likely       float64 // logarithm, but for a constant
	by, variance []float64
}

// suppose is the conditional mean and variance at the columns of cross, given d of the covariance cov.
func suppose(cov *mat.SymDense, cross *mat.Dense, d *mat.VecDense, whole func(j int) float64) (s supposed, ok bool) {
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return s, false
	}
	var weights mat.VecDense
	var solved mat.Dense
	if chol.SolveVecTo(&weights, d) != nil || chol.SolveTo(&solved, cross) != nil {
		return s, false
	}
	s.likely = -mat.Dot(d, &weights)/2 - chol.LogDet()/2
	n, m := cross.Dims()
	for j := range m {
		by, less := 0.0, 0.0
		for i := range n {
			by += cross.At(i, j) * weights.AtVec(i)
			less += cross.At(i, j) * solved.At(i, j)
		}
		s.by, s.variance = append(s.by, by), append(s.variance, max(whole(j)-less, 0))
	}
	return s, true
}

// average is mean and standard deviation over all cases by their likelihood.
func average(rows []float64, cases []supposed, best float64) *corrected {
	out := &corrected{time: slices.Clone(rows), by: make([]float64, len(rows)), sd: make([]float64, len(rows))}
	sum := 0.0
	for i := range cases {
		cases[i].likely = math.Exp(cases[i].likely - best)
		sum += cases[i].likely
	}
	for j := range rows {
		square := 0.0
		for i := range cases {
			w := cases[i].likely / sum
			out.by[j] += w * cases[i].by[j]
			square += w * (cases[i].variance[j] + cases[i].by[j]*cases[i].by[j])
		}
		out.sd[j] = math.Sqrt(max(square-out.by[j]*out.by[j], 0))
	}
	return out
}

// smooth is the correlation of a slow error with itself dt s later: Matérn, ν = 5/2, as in a match.
func smooth(dt, time float64) float64 {
	b := math.Sqrt(5) * math.Abs(dt) / time
	return (1 + b + b*b/3) * math.Exp(-b)
}

// fades is the correlation of noise that remembers with itself dt s later.
func fades(dt, T float64) float64 {
	if T <= 0 {
		return 0
	}
	return math.Exp(-math.Abs(dt) / T)
}

// meaned is by how much a mean over a stretch has less noise that remembers, as a share of its standard deviation: with
// x the stretch's length in units of T,
//
//	v = 2 (x − 1 + exp(−x))/x²
//
// of the variance. Derived here, by the mean of exp(−|t − t′|/T) over both times; of noise without memory 1/n.
func meaned(s *shown, T float64) float64 {
	if T <= 0 {
		return 1 / math.Sqrt(s.n)
	}
	x := (s.to - s.from) / T
	if x < 1e-3 {
		return 1
	}
	return math.Sqrt(2 * (x + math.Expm1(-x)) / (x * x))
}
