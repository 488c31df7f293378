package seek

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// process is a Gaussian process through some values: it expects, at any place, a value with a standard deviation.
//
//	k(a, b) = σ² (1 + √5 r + 5r²/3) e^(−√5 r),   r² = Σ dᵢ²/ℓᵢ²
//
// (Matérn, ν = 5/2), dᵢ the difference along axis i, for choices 0 where they are the same and 1 where not; on the diagonal
// of the values told stands σ² ν more. The mean is constant.
//
// Source: C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press (2006), eq. 4.17 and
// algorithm 2.1; whole numbers enter the distance as they are, after rounding: E. C. Garrido-Merchán,
// D. Hernández-Lobato, Neurocomputing 380 (2020) 20-35.
type process struct {
	axes   []Axis
	at     [][]float64
	y      []float64
	length []float64 // ℓ of each axis
	nu     float64
	level  float64   // the constant mean, in the unit of the values
	sigma2 float64   // σ², in its square
	low    []float64 // rows of the Cholesky factor of K/σ², one after another
	alpha  []float64 // (K/σ²)⁻¹ (y − level)
}

func (p *process) r2(a, b []float64) float64 {
	sum := 0.0
	for i, l := range p.length {
		d := a[i] - b[i]
		if p.axes[i].Kind == Choice && d != 0 {
			d = 1
		}
		sum += d * d / (l * l)
	}
	return sum
}

func matern(r2 float64) float64 {
	s := math.Sqrt(5 * r2)
	return (1 + s + s*s/3) * math.Exp(-s)
}

// newProcess lays a process with given lengths and ν through values at places; false: not possible in these numbers.
func newProcess(axes []Axis, at [][]float64, y, length []float64, nu float64) (*process, bool) {
	p := &process{axes: axes, at: at, y: y, length: length, nu: nu}
	n := len(at)
	k := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i {
			k.SetSym(i, j, matern(p.r2(at[i], at[j])))
		}
		k.SetSym(i, i, 1+nu)
	}
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return nil, false
	}
	ones, values, one, b := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		ones.SetVec(i, 1)
		values.SetVec(i, y[i])
	}
	if chol.SolveVecTo(one, ones) != nil || chol.SolveVecTo(b, values) != nil {
		return nil, false
	}
	p.level = mat.Sum(b) / mat.Sum(one)
	b.AddScaledVec(b, -p.level, one)
	p.alpha = b.RawVector().Data
	for i := range n {
		p.sigma2 += (y[i] - p.level) * p.alpha[i] / float64(n)
	}
	p.sigma2 = max(p.sigma2, 1e-300)
	var low mat.TriDense
	chol.LTo(&low)
	p.low = make([]float64, 0, n*(n+1)/2)
	for i := range n {
		for j := range i + 1 {
			p.low = append(p.low, low.At(i, j))
		}
	}
	return p, finite(p.level, p.sigma2)
}

// expect returns the value that the process expects at a place and its standard deviation. v is scratch of as many
// numbers as there are values.
func (p *process) expect(x, v []float64) (mean, sd float64) {
	mean = p.level
	left := 1.0
	row := p.low
	for i, a := range p.at {
		k := matern(p.r2(x, a))
		mean += k * p.alpha[i]
		for j, l := range row[:i] {
			k -= l * v[j]
		}
		v[i] = k / row[i]
		left -= v[i] * v[i]
		row = row[i+1:]
	}
	return mean, math.Sqrt(max(left, 1e-12) * p.sigma2)
}
