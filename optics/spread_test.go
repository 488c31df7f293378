package optics

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"

	"pgregory.net/rapid"
)

var opening = block.Box{Min: block.Point{0, -0.1, 0.2}, Max: block.Point{0, 0.25, 0.5}}

// facesOf divides a rectangle that overhangs the opening by unequal lines.
func facesOf(t *rapid.T) []Rect {
	lines := func(name string, lo, hi float64) []float64 {
		l := []float64{lo}
		for _, w := range rapid.SliceOfN(rapid.Float64Range(0.05, 1), 1, 12).Draw(t, name) {
			l = append(l, l[len(l)-1]+w)
		}
		end := l[len(l)-1]
		for i := range l {
			l[i] = lo + (l[i]-lo)*(hi-lo)/(end-lo)
		}
		return l
	}
	x, y := lines("widths", -0.3, 0.3), lines("heights", 0.2, 0.6)
	var faces []Rect
	for j := 0; j+1 < len(y); j++ {
		for i := 0; i+1 < len(x); i++ {
			faces = append(faces, Rect{[2]float64{x[i], y[j]}, [2]float64{x[i+1], y[j+1]}})
		}
	}
	return faces
}

func mapOf(t *rapid.T) duty.Map {
	switch rapid.IntRange(0, 2).Draw(t, "kind") {
	case 0:
		return duty.Map{Kind: duty.Uniform}
	case 1:
		s := rapid.Float64Range(0.01, 1)
		c := rapid.Float64Range(-0.2, 0.6)
		return duty.Map{Kind: duty.Gaussian, Centre: [2]float64{c.Draw(t, "x"), c.Draw(t, "y")}, Sigma: [2]float64{s.Draw(t, "sx"), s.Draw(t, "sy")}}
	}
	v := rapid.Float64Range(0.1, 3)
	m := duty.Map{Kind: duty.Table, TableWidth: []float64{-0.2, 0, 0.1}, TableHeight: []float64{0.25, 0.4}}
	for range 6 {
		m.Table = append(m.Table, v.Draw(t, "value"))
	}
	return m
}

func TestSharesSumToOneOnAnyGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, faces := mapOf(t), facesOf(t)
		if Check(m, opening) != nil {
			t.Skip("no light on the opening")
		}
		shares, _ := Shares(m, opening, faces)
		sum := 0.0
		for n, s := range shares {
			sum += s
			if s < 0 || s > 0 && faces[n].Min[0] >= opening.Max[1] {
				t.Fatalf("face %d has share %g", n, s)
			}
		}
		if math.Abs(sum-1) > 1e-13 {
			t.Fatalf("shares sum to 1 %+g", sum-1)
		}
	})
}

// A face cut in two gets what the two halves get: integrals are exact, not sampled.
func TestSharesOfHalvesSumToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, faces := mapOf(t), facesOf(t)
		cut := rapid.Float64Range(0.01, 0.99).Draw(t, "cut")
		var halves []Rect
		for _, f := range faces {
			x := f.Min[0] + cut*(f.Max[0]-f.Min[0])
			a, b := f, f
			a.Max[0], b.Min[0] = x, x
			halves = append(halves, a, b)
		}
		if Check(m, opening) != nil {
			t.Skip("no light on the opening")
		}
		whole, mean := Shares(m, opening, faces)
		parts, mean2 := Shares(m, opening, halves)
		if mean != mean2 {
			t.Fatalf("mean over peak depends on the grid: %g and %g", mean, mean2)
		}
		for n := range whole {
			if d := whole[n] - parts[2*n] - parts[2*n+1]; math.Abs(d) > 1e-12 {
				t.Fatalf("face %d differs from its halves by %g", n, d)
			}
		}
	})
}

// The probability integral of one standard deviation to each side is 0.682689492137 (Abramowitz & Stegun,
// Handbook of Mathematical Functions, table 26.1; from memory).
func TestGaussianWithinOneSigmaIsTheTabulatedProbability(t *testing.T) {
	const p = 0.682689492137
	s := 0.03
	m := duty.Map{Kind: duty.Gaussian, Centre: [2]float64{0.1, 0.2}, Sigma: [2]float64{s, 2 * s}}
	wide := block.Box{Min: block.Point{0, 0.1 - 12*s, 0.2 - 24*s}, Max: block.Point{0, 0.1 + 12*s, 0.2 + 24*s}}
	inner := Rect{[2]float64{0.1 - s, 0.2 - 2*s}, [2]float64{0.1 + s, 0.2 + 2*s}}
	rest := []Rect{inner}
	// The plane around it in eight pieces.
	x := []float64{wide.Min[1], inner.Min[0], inner.Max[0], wide.Max[1]}
	y := []float64{wide.Min[2], inner.Min[1], inner.Max[1], wide.Max[2]}
	for j := range 3 {
		for i := range 3 {
			if i != 1 || j != 1 {
				rest = append(rest, Rect{[2]float64{x[i], y[j]}, [2]float64{x[i+1], y[j+1]}})
			}
		}
	}
	shares, _ := Shares(m, wide, rest)
	if got := shares[0]; math.Abs(got-p*p) > 1e-11 {
		t.Errorf("within one sigma: %.12f, want %.12f", got, p*p)
	}
	// A whole Gaussian of peak q carries 2π q σ1 σ2.
	power := PowerAtPeak(m, wide, 1000)
	if want := 1000 * 2 * math.Pi * s * 2 * s; math.Abs(power/want-1) > 1e-12 {
		t.Errorf("power at peak: %g W, want %g W", power, want)
	}
}

// A tent over three by three points is the product of two triangles, each half of its box.
func TestBilinearTentHoldsAQuarterOfItsBox(t *testing.T) {
	m := duty.Map{
		Kind: duty.Table, TableWidth: []float64{0, 1, 2}, TableHeight: []float64{0, 1, 2},
		Table: []float64{0, 0, 0, 0, 5, 0, 0, 0, 0},
	}
	o := block.Box{Max: block.Point{0, 2, 2}}
	shares, mean := Shares(m, o, []Rect{{[2]float64{0, 0}, [2]float64{1, 1}}, {[2]float64{1, 0}, [2]float64{2, 2}}, {[2]float64{0, 1}, [2]float64{1, 3}}})
	for n, want := range []float64{0.25, 0.5, 0.25} {
		if math.Abs(shares[n]-want) > 1e-15 {
			t.Errorf("share %d: %g, want %g", n, shares[n], want)
		}
	}
	if math.Abs(mean-0.25) > 1e-15 {
		t.Errorf("mean over peak: %g, want 0.25", mean)
	}
}

func TestBadMapsAreRefused(t *testing.T) {
	for name, m := range map[string]duty.Map{
		"sigma 0":    {Kind: duty.Gaussian},
		"NaN sigma":  {Kind: duty.Gaussian, Sigma: [2]float64{math.NaN(), 1}},
		"no table":   {Kind: duty.Table},
		"dark table": {Kind: duty.Table, TableWidth: []float64{0}, TableHeight: []float64{0}, Table: []float64{0}},
		"negative":   {Kind: duty.Table, TableWidth: []float64{0}, TableHeight: []float64{0}, Table: []float64{-1}},
		"falling":    {Kind: duty.Table, TableWidth: []float64{1, 0}, TableHeight: []float64{0}, Table: []float64{1, 1}},
	} {
		if Check(m, opening) == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if Check(duty.Map{}, block.Box{}) == nil {
		t.Error("an opening without area: no error")
	}
	if Check(duty.Map{}, opening) != nil {
		t.Error("a uniform map on a sound opening is refused")
	}
}
