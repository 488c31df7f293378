package follow

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// span is how much of a course is looked at in s, at least spanRows intervals; mostPoints is how many points of it are kept.
const (
	span       = 15 * 60
	spanRows   = 40
	mostPoints = 240
)

// trend keeps the last stretch of one channel's course, thinned.
type trend struct {
	t, v   []float64
	length float64 // s, of the stretch
}

func (k *trend) add(at, v, interval float64) {
	k.length = max(span, spanRows*interval)
	if n := len(k.t); n > 0 && at-k.t[n-1] < 0.999*k.length/mostPoints {
		return
	}
	k.t, k.v = append(k.t, at), append(k.v, v)
	cut := 0
	for k.t[cut] < at-k.length {
		cut++
	}
	k.t, k.v = slices.Delete(k.t, 0, cut), slices.Delete(k.v, 0, cut)
}

// since returns the course from a moment on, times counted back from the last.
func (k *trend) since(from float64) (u, v []float64) {
	i, _ := slices.BinarySearch(k.t, from)
	if i == len(k.t) {
		return nil, nil
	}
	last := k.t[len(k.t)-1]
	for _, t := range k.t[i:] {
		u = append(u, t-last)
	}
	return u, k.v[i:]
}

// rate is the slope of the last third of the stretch in SI per s, NaN where there are too few points.
func (k *trend) rate(from float64) float64 {
	if n := len(k.t); n > 0 {
		from = max(from, k.t[n-1]-k.length/3)
	}
	u, v := k.since(from)
	if len(u) < 4 {
		return math.NaN()
	}
	f, ok := fit(u, v, 0)
	if !ok {
		return math.NaN()
	}
	return f.b
}

// bent is a course y = a + b g(u), g(u) = (1 − exp(−κu))/κ, fitted by least squares: a is the value at u = 0, b the slope
// there, and a + b/κ where it leads to. κ = 0 is a straight course.
type bent struct {
	kappa, a, b float64
	sse         float64
	inverse     [3]float64 // of the normal matrix: aa, ab, bb
}

func g(u, kappa float64) float64 {
	if kappa == 0 {
		return u
	}
	return -math.Expm1(-kappa*u) / kappa
}

func fit(u, v []float64, kappa float64) (bent, bool) {
	var n, sx, sxx, sy, sxy float64
	for i := range u {
		x := g(u[i], kappa)
		n, sx, sxx, sy, sxy = n+1, sx+x, sxx+x*x, sy+v[i], sxy+x*v[i]
	}
	det := n*sxx - sx*sx
	if !(det > 1e-12*n*sxx) {
		return bent{}, false
	}
	f := bent{kappa: kappa, a: (sxx*sy - sx*sxy) / det, b: (n*sxy - sx*sy) / det, inverse: [3]float64{sxx / det, -sx / det, n / det}}
	for i := range u {
		d := v[i] - f.at(u[i])
		f.sse += d * d
	}
	return f, true
}

func (f *bent) at(u float64) float64 { return f.a + f.b*g(u, f.kappa) }

// sd is the standard deviation of the fitted course at u for points whose scatter is s.
func (f *bent) sd(u, s float64) float64 {
	x := g(u, f.kappa)
	return s * math.Sqrt(max(f.inverse[0]+2*x*f.inverse[1]+x*x*f.inverse[2], 0))
}

// farthest is how far ahead a course is carried on, in stretches of what was seen.
const farthest = 40

// left is the time until the course comes to a level. Courses y = a + b (1 − exp(−κu))/κ are fitted for a spread of κ ≥ 0; all
// whose sum of squares lies within the 95 % bound of the best (profile likelihood) count, each with its own interval, so
// that a course of which nobody can tell whether it bends has a wide one. Scatter that remembers widens them (remembering).
// Sources: exponential approach of a body with one time constant; D. M. Bates, D. G. Watts, "Nonlinear regression analysis and
// its applications", Wiley 1988, chapter 6 (profiles).
func (k *trend) left(level, from float64) Left {
	u, v := k.since(from)
	if len(u) < 12 {
		return unknown()
	}
	seen := -u[0]
	best, straight := fits(u, v, seen)
	if best == nil || straight == nil {
		return unknown()
	}
	n := float64(len(u))
	inflate := remembering(u, v, best)
	freedom := max(n/inflate-3, 1)
	s2 := best.sse / (n - 3) * inflate
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(0.975)
	scatter := math.Sqrt(s2)
	out := Left{By: "straight course", Within: farthest * seen, Lower: math.Inf(1), Upper: math.Inf(-1)}
	point := straight
	allowed := best.sse + t*t*s2
	if straight.sse > allowed {
		point, out.By = best, "exponential course"
	}
	up := v[len(v)-1] < level // by the reading: where the course is there already, nothing is left
	out.Time = crossing(func(u float64) float64 { return point.at(u) }, level, up, seen)
	for _, f := range []*bent{best, edge(u, v, best, allowed, 0), edge(u, v, best, allowed, steepest/seen), point} {
		out.widen(func(u, z float64) float64 { return f.at(u) + z*t*f.sd(u, scatter) }, level, up, seen)
	}
	out.tidy()
	return out
}

// widen takes the interval of one course into account; band gives the course with z times its half-width.
func (l *Left) widen(band func(u, z float64) float64, level float64, up bool, seen float64) {
	sign := 1.0
	if !up {
		sign = -1
	}
	l.Lower = min(l.Lower, crossing(func(u float64) float64 { return band(u, sign) }, level, up, seen))
	l.Upper = max(l.Upper, crossing(func(u float64) float64 { return band(u, -sign) }, level, up, seen))
}

func (l *Left) tidy() {
	l.Lower, l.Upper = min(l.Lower, l.Time), max(l.Upper, l.Time)
}

// steepest is the largest κ looked at, by the length of the stretch.
const steepest = 10

// fits returns the best course and the straight one.
func fits(u, v []float64, seen float64) (best, straight *bent) {
	try := func(kappa float64) *bent {
		if f, ok := fit(u, v, kappa); ok {
			return &f
		}
		return nil
	}
	const steps = 24
	at := func(x float64) float64 { // x from 0 to 1: time constants from 50 stretches down to a tenth of one
		return math.Pow(50*steepest, x) / (50 * seen)
	}
	straight = try(0)
	best, x := straight, 0.0
	for i := range steps + 1 {
		if f := try(at(float64(i) / steps)); f != nil && (best == nil || f.sse < best.sse) {
			best, x = f, float64(i)/steps
		}
	}
	if best == straight {
		return best, straight
	}
	lo, hi := max(x-1.0/steps, 0), min(x+1.0/steps, 1)
	for range 40 { // thirds: one valley is left between neighbours
		a, b := try(at(lo+(hi-lo)/3)), try(at(hi-(hi-lo)/3))
		if a == nil || b == nil {
			break
		}
		if a.sse < b.sse {
			hi -= (hi - lo) / 3
		} else {
			lo += (hi - lo) / 3
		}
		if a.sse < best.sse {
			best = a
		}
		if b.sse < best.sse {
			best = b
		}
	}
	return best, straight
}

// edge returns the course farthest from the best towards a κ whose sum of squares is still allowed.
func edge(u, v []float64, best *bent, allowed, towards float64) *bent {
	out := best
	if f, ok := fit(u, v, towards); ok && f.sse <= allowed {
		return &f
	}
	lo, hi := best.kappa, towards
	for range 50 {
		mid := (lo + hi) / 2
		if f, ok := fit(u, v, mid); ok && f.sse <= allowed {
			lo, out = mid, &f
		} else {
			hi = mid
		}
	}
	return out
}

// remembering is by how much scatter that remembers widens the variance of what is fitted:
//
//	1 + 2 Σ ρ_k
//
// over the correlations of lag k up to the first pair of them whose sum is not above zero, at most a quarter of the points. The
// residuals of a fit of three numbers show too little of them, by about 3/n of the whole each, which is put back.
// Source: C. J. Geyer, "Practical Markov chain Monte Carlo", Statist. Sci. 7 (1992) 473-483 (initial positive sequence).
func remembering(u, v []float64, f *bent) float64 {
	n := len(u)
	d := make([]float64, n)
	c0 := 0.0
	for i := range u {
		d[i] = v[i] - f.at(u[i])
		c0 += d[i] * d[i]
	}
	if c0 == 0 {
		return 1
	}
	rho := func(k int, back float64) float64 {
		s := 0.0
		for i := k; i < n; i++ {
			s += d[i] * d[i-k]
		}
		return s/c0 + back
	}
	out := 1.0
	for range 3 {
		back := 3 * out / float64(n)
		if out <= 1 {
			back = 3 / float64(n)
		}
		sum := 1.0
		for k := 1; k+1 < n/4; k += 2 {
			pair := rho(k, back) + rho(k+1, back)
			if pair <= 2*back || pair <= 0 {
				break
			}
			sum += 2 * pair
		}
		out = min(max(sum, 1), float64(n)/4)
	}
	return out
}

// crossing is the first u ≥ 0 at which a course has come to a level, +Inf where it does not within reach.
func crossing(course func(u float64) float64, level float64, up bool, seen float64) float64 {
	beyond := func(u float64) bool {
		y := course(u)
		return up && y >= level || !up && y <= level
	}
	if beyond(0) {
		return 0
	}
	lo := 0.0
	for hi := seen / 200; hi <= farthest*seen; hi *= 1.05 {
		if beyond(hi) {
			for range 40 {
				if mid := (lo + hi) / 2; beyond(mid) {
					hi = mid
				} else {
					lo = mid
				}
			}
			return hi
		}
		lo = hi
	}
	return math.Inf(1)
}
