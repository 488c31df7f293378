package match

import "math"

// Noise is what the differences of one group of columns (those of one quantity) are made of beside the model. At one
// time t the difference of column i is
//
//	e_i(t) = c(t) + d_i(t) + a_i(t) + w_i(t)
//
// w is white from row to row. a is noise that lasts a while: its correlation falls off as exp(−|Δt|/τ), so that at equal
// distances it is autoregressive of the first order. d is a slow departure of the column alone and c one that the
// columns of a trial share: smooth courses whose correlation is (1 + b + b²/3) exp(−b), b = √5 |Δt|/ℓ. They stand for what is
// slow: a drifting sensor and above all the model's own error, which is never white. Trials are independent of one
// another; what they share are offsets, which are parameters (see Part).
//
// Source of the smooth kind: M. L. Stein, "Interpolation of Spatial Data", Springer 1999, 2.7 (Matérn, ν = 5/2). That
// the discrepancy of a model belongs into the covariance: M. C. Kennedy, A. O'Hagan, "Bayesian calibration of computer
// models", J. R. Statist. Soc. B 63 (2001) 425-464.
type Noise struct {
	White    []float64 // SI, standard deviation of w by column
	Lasting  []float64 // SI, of a by column
	Time     float64   // s, τ
	Slow     []float64 // SI, of d by column
	Common   float64   // SI, of c; 0 where there is one column
	SlowTime float64   // s, ℓ
}

// rows is where the differences of one group in one trial stand in the whole vector, by rising time.
type rows struct {
	time    []float64
	entries [][]entry   // at each time
	white   [][]float64 // SI, of each time's columns where it is not the noise's own; nil: it is
}

type entry struct {
	column int     // in the group
	at     int     // in the vector
	rel    float64 // its white noise in that of its column: more where fewer readings stand behind it; 0 is 1
}

// weigh turns differences into independent ones of unit variance, in place and by the same map for each vector, and
// returns half the logarithm of the determinant of their covariance.
//
// It is the Cholesky factor of the covariance without ever forming it: with the departures as the state of a linear
// system, each entry's error of prediction from all entries before it, divided by its standard deviation, is white.
// The work is proportional to the number of entries. A smooth course takes three states, f, f′/λ and f″/λ² with
// λ = √5/ℓ, which a time Δt with b = λ Δt turns by
//
//	e^(−b) | 1+b+b²/2    b+b²      b²/2      |
//	       | −b²/2       1+b−b²    b−b²/2    |
//	       | b²/2−b      b²−3b     1−2b+b²/2 |
//
// Source: R. E. Kalman, "A new approach to linear filtering and prediction problems", J. Basic Eng. 82 (1960) 35-45;
// A. C. Harvey, "Forecasting, structural time series models and the Kalman filter", Cambridge 1989, 3.4 (likelihood by
// prediction errors); J. Hartikainen, S. Särkkä, "Kalman filtering and smoothing solutions to temporal Gaussian process
// regression models", IEEE MLSP 2010 (smooth courses as states).
func (n *Noise) weigh(r *rows, vectors [][]float64) (halfLogDet float64) {
	f := n.filter(len(vectors))
	for k, t := range r.time {
		if len(r.entries[k]) == 0 {
			continue
		}
		if f.begun {
			f.pass(t - f.now)
		}
		f.now, f.begun = t, true
		for _, e := range r.entries[k] {
			w := n.White[e.column]
			if e.rel > 0 {
				w *= e.rel
			}
			if r.white != nil && r.white[k] != nil {
				w = r.white[k][e.column]
			}
			halfLogDet += f.see(e, w, vectors)
		}
	}
	return halfLogDet
}

// filter is the state of the departures while rows are read: the common course, then for each column its slow course
// and its lasting noise, one behind the other.
type filter struct {
	n     *Noise
	d     int       // states
	p     []float64 // their covariance
	rest  []float64 // their covariance when nothing is known
	mean  []float64 // of the states, by vector
	v     []float64 // scratch
	turn  [9]float64
	fade  float64
	now   float64
	begun bool
}

func (n *Noise) filter(vectors int) *filter {
	m := len(n.White)
	f := &filter{n: n, d: 3 + 4*m}
	d := f.d
	f.rest = make([]float64, d*d)
	f.mean, f.v = make([]float64, d*vectors), make([]float64, d)
	smooth := func(s int, sd float64) {
		v := sd * sd
		f.rest[s*d+s], f.rest[(s+1)*d+s+1], f.rest[(s+2)*d+s+2] = v, v/3, v
		f.rest[s*d+s+2], f.rest[(s+2)*d+s] = -v/3, -v/3
	}
	smooth(0, n.Common)
	for i := range m {
		smooth(3+4*i, n.Slow[i])
		f.rest[(6+4*i)*(d+1)] = n.Lasting[i] * n.Lasting[i]
	}
	f.p = append([]float64(nil), f.rest...)
	return f
}

// pass lets a time dt go by: x ← A x, P ← A (P − P∞) Aᵀ + P∞, A being made of blocks.
func (f *filter) pass(dt float64) {
	b := math.Sqrt(5) * dt / f.n.SlowTime
	e, b2 := math.Exp(-b), b*b
	f.turn = [9]float64{
		e * (1 + b + b2/2), e * (b + b2), e * b2 / 2,
		-e * b2 / 2, e * (1 + b - b2), e * (b - b2/2),
		e * (b2/2 - b), e * (b2 - 3*b), e * (1 - 2*b + b2/2),
	}
	f.fade = math.Exp(-dt / f.n.Time)
	d := f.d
	for a, v := range f.rest {
		f.p[a] -= v
	}
	for a := range d { // A from the right: each row
		f.move(f.p[a*d : (a+1)*d])
	}
	t := f.turn
	three := func(s int) {
		x, y, z := f.p[s*d:(s+1)*d], f.p[(s+1)*d:(s+2)*d], f.p[(s+2)*d:(s+3)*d]
		for k, u := range x {
			v, w := y[k], z[k]
			x[k], y[k], z[k] = t[0]*u+t[1]*v+t[2]*w, t[3]*u+t[4]*v+t[5]*w, t[6]*u+t[7]*v+t[8]*w
		}
	}
	three(0)
	for s := 3; s < d; s += 4 {
		three(s)
		z := f.p[(s+3)*d : (s+4)*d]
		for k := range z {
			z[k] *= f.fade
		}
	}
	for a, v := range f.rest {
		f.p[a] += v
	}
	for l := 0; l < len(f.mean); l += d {
		f.move(f.mean[l : l+d])
	}
}

// move applies A to a list of states.
func (f *filter) move(x []float64) {
	t := f.turn
	u, v, w := x[0], x[1], x[2]
	x[0], x[1], x[2] = t[0]*u+t[1]*v+t[2]*w, t[3]*u+t[4]*v+t[5]*w, t[6]*u+t[7]*v+t[8]*w
	for s := 3; s < len(x); s += 4 {
		u, v, w = x[s], x[s+1], x[s+2]
		x[s], x[s+1], x[s+2] = t[0]*u+t[1]*v+t[2]*w, t[3]*u+t[4]*v+t[5]*w, t[6]*u+t[7]*v+t[8]*w
		x[s+3] *= f.fade
	}
}

// see reads one entry of every vector, whose white noise is w, weighs it, and returns its share of the determinant.
func (f *filter) see(e entry, w float64, vectors [][]float64) float64 {
	d, own := f.d, 3+4*e.column
	lasting := own + 3
	for a := range d {
		row := f.p[a*d : (a+1)*d]
		f.v[a] = row[0] + row[own] + row[lasting]
	}
	s := f.v[0] + f.v[own] + f.v[lasting] + w*w
	scale := 1 / math.Sqrt(s)
	for l, x := range vectors {
		mean := f.mean[l*d : (l+1)*d]
		err := x[e.at] - mean[0] - mean[own] - mean[lasting]
		x[e.at] = err * scale
		g := err / s
		for a, v := range f.v {
			mean[a] += v * g
		}
	}
	for a, va := range f.v {
		if va == 0 {
			continue
		}
		g := va / s
		row := f.p[a*d : (a+1)*d]
		for b, vb := range f.v {
			row[b] -= g * vb
		}
	}
	return 0.5 * math.Log(s)
}

// group is the columns of one quantity over all trials.
type group struct {
	name    string
	columns []string
	stated  []float64 // SI, white noise as stated, by column
	span    []float64 // SI, of the measured values, by column
	trials  []rows
	step    float64 // s, typical distance of rows
	length  float64 // s, of the longest trial
	noise   Noise
}

// weighAll applies every group's noise.
func weighAll(groups []*group, vectors [][]float64) (halfLogDet float64) {
	for _, g := range groups {
		for t := range g.trials {
			halfLogDet += g.noise.weigh(&g.trials[t], vectors)
		}
	}
	return halfLogDet
}
