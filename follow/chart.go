package follow

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Chart averages differences of measured less predicted with fading weights and knows how far the noise alone moves that
// mean. The difference at time t_k is
//
//	r_k = d + a_k + w_k
//
// d lasts (parameters, offsets, the model's own error), a is noise that remembers, with correlation exp(−Δt/T), and w is
// white. The mean
//
//	z_k = (1 − λ_k) z_{k−1} + λ_k r_k,    λ_k = 1 − exp(−Δt_k/τ)
//
// then has from the noise the variance, exactly and from the first row on,
//
//	V_k = (1−λ)² V_{k−1} + λ² (σa² + σw²) + 2 (1−λ) λ φ C_{k−1},   C_k = (1−λ) φ C_{k−1} + λ σa²,   φ = exp(−Δt/T)
//
// where C is the covariance of z with a. The mean with fading weights as a chart: S. W. Roberts, "Control chart tests based
// on geometric moving averages", Technometrics 1 (1959) 239-250; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
// The recursion is worked out here: it is what makes noise that remembers no alarm.
type Chart struct {
	Mean  float64 // z, NaN before the first difference
	n     int
	v, c  float64
	last  float64
	first float64
	// What the noise is, where no match tells: found from the differences about a slower mean.
	slow     float64
	variance float64
	lagged   float64
	before   float64
	step     float64
}

func newChart() Chart { return Chart{Mean: math.NaN()} }

// Noise is what the differences of one column are made of, in SI as standard deviations.
type Noise struct {
	White   float64
	Lasting float64 // NaN: to be found from the differences
	Time    float64 // s, T
}

// Add takes the difference r at time t in s; tau is the chart's memory in s. still tells not to learn from this one, as
// while a departure is in the making.
func (c *Chart) Add(t, r, tau float64, n Noise, still bool) {
	if c.n == 0 {
		c.n, c.Mean, c.last, c.first = 1, r, t, t
		c.slow, c.before = r, 0
		a, _ := c.lasting(n)
		c.v, c.c = a*a+n.White*n.White, a*a
		return
	}
	dt := max(t-c.last, 1e-9)
	c.last = t
	c.learn(dt, r, tau, n, still)
	a, T := c.lasting(n)
	lambda := -math.Expm1(-dt / tau)
	if first := 1 / float64(c.n+1); lambda < first { // a plain mean until the memory is filled
		lambda = first
	}
	c.n++
	phi := 0.0
	if T > 0 {
		phi = math.Exp(-dt / T)
	}
	keep := 1 - lambda
	c.v = keep*keep*c.v + lambda*lambda*(a*a+n.White*n.White) + 2*keep*lambda*phi*c.c
	c.c = keep*phi*c.c + lambda*a*a
	c.Mean = keep*c.Mean + lambda*r
}

// SD returns the standard deviation of the mean from noise alone.
func (c *Chart) SD() float64 { return math.Sqrt(max(c.v, 0)) }

// learn finds size and memory of the noise from the differences about a mean ten times slower, by variance and
// covariance from one row to the next; a difference counts for three standard deviations at most.
func (c *Chart) learn(dt, r, tau float64, n Noise, still bool) {
	if !math.IsNaN(n.Lasting) || still {
		return
	}
	w := max(-math.Expm1(-dt/(10*tau)), 1/float64(c.n+1))
	c.slow += w * (r - c.slow)
	e := r - c.slow
	if sd := math.Sqrt(c.variance); c.n > 20 && sd > 0 {
		e = min(max(e, -3*sd), 3*sd)
	}
	g := max(0.005, 1/float64(c.n))
	c.variance += g * (e*e - c.variance)
	c.lagged += g * (e*c.before - c.lagged)
	c.step += g * (dt - c.step)
	c.before = e
}

// lasting returns size and time of the noise that remembers.
func (c *Chart) lasting(n Noise) (sd, T float64) {
	if !math.IsNaN(n.Lasting) {
		return n.Lasting, n.Time
	}
	v := c.variance - n.White*n.White
	if v <= 0 || c.lagged <= 0 || c.step <= 0 {
		return math.Sqrt(max(v, 0)), 0
	}
	phi := min(c.lagged/v, 0.98)
	return math.Sqrt(v), -c.step / math.Log(phi)
}

// Ready tells whether enough was seen for a judgement: ten rows, or, where the noise is to be found first, thirty over five
// times the memory.
func (c *Chart) Ready(n Noise, tau float64) bool {
	return c.n >= 10 && (!math.IsNaN(n.Lasting) || c.n >= 30 && c.last-c.first >= 5*tau)
}

// Alarm is how many standard deviations count as a departure.
type Alarm struct {
	Lasts float64 // of what lasts
	Noise float64 // of the mean by noise
}

// Boundary returns how far the mean may lie off zero before that is a departure, from the standard deviations of what
// lasts and of the mean by noise.
func (a Alarm) Boundary(lasts, noise float64) float64 { return a.Lasts*lasts + a.Noise*noise }

// NewAlarm sets the boundary
//
//	z s + L v,    z = z(α/(4 m (1 + over/slowTime))),    2 m (over/τ) L φ(L) = α/2
//
// for m columns that are judged for the time over with the memory τ, so that in an undisturbed trial any of them passes it
// with a probability of at most α. s is the standard deviation of what lasts, which is drawn anew each slowTime (0: once),
// and gets half of α; v is that of the mean by noise and gets the other half; chances are added (Bonferroni). z is the normal
// distribution's upper quantile and φ its density. The equation for L is the chance that a stationary Gaussian course whose
// correlation is 1 − |t|/τ at small t passes a high level within a time; courses that are smoother, as a mean of noise that
// remembers is, pass it more seldom.
// Source: J. Pickands, "Upcrossing probabilities for stationary Gaussian processes", Trans. Amer. Math. Soc. 145 (1969) 51-73;
// M. R. Leadbetter, G. Lindgren, H. Rootzén, "Extremes and related properties of random sequences and processes", Springer 1983,
// theorem 12.2.9 (both cited from memory).
func NewAlarm(alpha, over, tau, slowTime float64, columns int) Alarm {
	m := float64(max(columns, 1))
	draws := 1.0
	if slowTime > 0 {
		draws += over / slowTime
	}
	normal := distuv.UnitNormal
	rate := 2 * m * max(over/tau, 1)
	lo, hi := 1.0, 20.0
	for range 60 {
		if L := (lo + hi) / 2; rate*L*normal.Prob(L) > alpha/2 {
			lo = L
		} else {
			hi = L
		}
	}
	return Alarm{Lasts: normal.Quantile(1 - alpha/(4*m*draws)), Noise: hi}
}
