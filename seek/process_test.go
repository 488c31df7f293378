package seek

import (
	"math"
	"math/rand/v2"
	"testing"

	"emberbank/internal/testkit"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

func someValues(n int) (axes []Axis, at [][]float64, y []float64) {
	r := rand.New(rand.NewPCG(8, 1))
	axes = []Axis{{Low: 0, High: 1}, {Low: 0, High: 1}, {Kind: Choice, Choices: 3}}
	for range n {
		x := []float64{r.Float64(), r.Float64(), float64(r.IntN(3))}
		at = append(at, x)
		y = append(y, 5+math.Sin(4*x[0])+x[1]*x[1]+0.3*x[2])
	}
	return axes, at, y
}

func TestSlopesOfTheLikelihoodAreItsSlopes(t *testing.T) {
	axes, at, y := someValues(14)
	l := &likelihood{axes: axes, at: at, z: y}
	l.lay()
	for _, x := range [][]float64{{-1, -0.5, 0.3, -6}, {0.5, -2, -1, -10}} {
		g := make([]float64, 4)
		l.value(x, g)
		want := fd.Gradient(nil, func(x []float64) float64 { return l.value(x, nil) }, x, &fd.Settings{Formula: fd.Central})
		testkit.CloseAll(t, "slopes, against differences by gonum", g, want, 1e-5, 1e-5)
	}
}

func TestProcessPassesThroughItsValuesAndForetellsBetween(t *testing.T) {
	axes, at, y := someValues(60)
	p := fitProcess(axes, at, y)
	v := make([]float64, 80)
	for i := range at {
		mean, sd := p.expect(at[i], v)
		testkit.Close(t, "value at a point told", mean, y[i], 0, 0.005)
		if sd > 0.01 {
			t.Errorf("the standard deviation at a point told is %g", sd)
		}
	}
	within, n := 0, 0
	_, others, truth := someValues(200)
	for i := 60; i < 200; i++ {
		mean, sd := p.expect(others[i], v)
		testkit.Close(t, "value between", mean, truth[i], 0, 0.15)
		n++
		if math.Abs(mean-truth[i]) < 2*sd {
			within++
		}
	}
	if within*10 < n*8 {
		t.Errorf("%d of %d values lie within two standard deviations", within, n)
	}
}

func TestExpectedImprovementIsItsIntegral(t *testing.T) {
	for _, z := range []float64{-9, -8.001, -7.999, -3, 0, 2} {
		direct := quad.Fixed(func(s float64) float64 { return (z - s) * density(s) }, z-20, z, 400, nil, 0)
		testkit.Close(t, "ln of the expected improvement, against quadrature by gonum", logImprovement(z), math.Log(direct), 0, 1e-3)
	}
	testkit.Close(t, "both ways to write it at −8", logImprovement(-8-1e-9), logImprovement(-8+1e-9), 0, 1e-3)
	testkit.Close(t, "ln Φ at −8", logBelow(-8-1e-9), logBelow(-8+1e-9), 0, 1e-3)
	if !(logImprovement(-50) < logImprovement(-40)) || !finite(logImprovement(-1e4)) {
		t.Error("far below, the logarithm does not fall")
	}
}

func TestGrowthOfTheAreaIsThatOfManyDraws(t *testing.T) {
	front, ref := [][2]float64{{0.1, 0.8}, {0.4, 0.5}, {0.7, 0.1}}, [2]float64{1, 1}
	before := area(front, ref)
	testkit.Close(t, "area of a front, by hand", before, 0.9*0.2+0.6*0.3+0.3*0.4, 1e-12, 0)
	r := rand.New(rand.NewPCG(1, 2))
	for _, c := range [][4]float64{{0.3, 0.3, 0.2, 0.1}, {0.9, 0.9, 0.05, 0.3}, {0, 0.2, 0.3, 0.3}} {
		const n = 200_000
		sum := 0.0
		for range n {
			p := [2]float64{c[0] + c[2]*r.NormFloat64(), c[1] + c[3]*r.NormFloat64()}
			var all []Told
			for _, f := range append([][2]float64{p}, front...) {
				all = append(all, Told{Values: Values{Aims: []float64{f[0], f[1]}}})
			}
			var joined [][2]float64
			for _, f := range unbeaten(all) {
				joined = append(joined, [2]float64{f.Aims[0], f.Aims[1]})
			}
			sum += (area(joined, ref) - before) / n
		}
		got := areaGain(front, ref, [2]float64{c[0], c[1]}, [2]float64{c[2], c[3]})
		testkit.Close(t, "expected growth of the area, against draws", got, sum, 0.02, 1e-4)
	}
}

func TestPlacesOnAnAxisComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Axis{Kind: Kind(rapid.IntRange(0, 2).Draw(t, "kind")), Low: float64(rapid.IntRange(1, 5).Draw(t, "low")), Choices: 4}
		a.High = a.Low + float64(rapid.IntRange(1, 30).Draw(t, "width"))
		a.Log = rapid.Bool().Draw(t, "log")
		x := a.value(rapid.Float64Range(0, 1).Draw(t, "u"))
		if back := a.value(a.unplace(x)); math.Abs(back-x) > 1e-9*math.Abs(x) {
			t.Fatalf("%+v: %g comes back as %g", a, x, back)
		}
	})
}
