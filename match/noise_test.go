package match

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestWeighingIsTheInverseOfTheCovariance forms the covariance of a few rows in full and compares the quadratic form
// and the determinant.
func TestWeighingIsTheInverseOfTheCovariance(t *testing.T) {
	n := Noise{
		White: []float64{0.3, 0.5}, Lasting: []float64{0.7, 0.4}, Time: 90,
		Slow: []float64{1.5, 0.8}, Common: 1.1, SlowTime: 700,
	}
	var r rows
	type place struct {
		t float64
		c int
	}
	var places []place
	for k, at := range []float64{0, 60, 110, 300, 900, 2000} {
		r.time = append(r.time, at)
		var e []entry
		for c := range 2 {
			if (k+c)%3 == 2 { // some rows lack a column
				continue
			}
			e = append(e, entry{c, len(places), 0})
			places = append(places, place{at, c})
		}
		r.entries = append(r.entries, e)
	}
	size := len(places)
	full := mat.NewSymDense(size, nil)
	for i, a := range places {
		for j := i; j < size; j++ {
			b := places[j]
			dt := math.Abs(a.t - b.t)
			z := math.Sqrt(5) * dt / n.SlowTime
			smooth := (1 + z + z*z/3) * math.Exp(-z)
			v := n.Common * n.Common * smooth
			if a.c == b.c {
				v += n.Slow[a.c]*n.Slow[a.c]*smooth + n.Lasting[a.c]*n.Lasting[a.c]*math.Exp(-dt/n.Time)
			}
			if i == j {
				v += n.White[a.c] * n.White[a.c]
			}
			full.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(full) {
		t.Fatal("the covariance is not positive")
	}
	rnd := rand.New(rand.NewPCG(1, 1))
	x, y := make([]float64, size), make([]float64, size)
	for i := range x {
		x[i], y[i] = rnd.NormFloat64(), rnd.NormFloat64()
	}
	var s mat.VecDense
	if err := chol.SolveVecTo(&s, mat.NewVecDense(size, append([]float64(nil), y...))); err != nil {
		t.Fatal(err)
	}
	want := mat.Dot(mat.NewVecDense(size, append([]float64(nil), x...)), &s)
	half := n.weigh(&r, [][]float64{x, y})
	if got := dot(x, y); math.Abs(got-want) > 1e-10*math.Abs(want) {
		t.Errorf("x Σ⁻¹ y is %.12g, want %.12g", got, want)
	}
	if want := 0.5 * chol.LogDet(); math.Abs(half-want) > 1e-10*math.Abs(want) {
		t.Errorf("half the log of the determinant is %.12g, want %.12g", half, want)
	}
}

// TestAMeanOfFewReadingsWeighsLess: the white noise of an entry is that of its column times its own share.
func TestAMeanOfFewReadingsWeighsLess(t *testing.T) {
	n := Noise{White: []float64{0.1}, Lasting: []float64{0}, Time: 90, Slow: []float64{0}, SlowTime: 700}
	r := rows{time: []float64{0, 60}, entries: [][]entry{{{0, 0, 0}}, {{0, 1, 2.5}}}}
	x := []float64{1, 1}
	n.weigh(&r, [][]float64{x})
	if math.Abs(x[0]-10) > 1e-9 || math.Abs(x[1]-4) > 1e-9 {
		t.Errorf("differences of 1 with noise 0.1 and 0.25 weigh %g and %g, want 10 and 4", x[0], x[1])
	}
}
