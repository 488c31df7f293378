package uncertainty

import (
	"fmt"
	"math"
	"sort"
)

// Draw says how a Monte Carlo is done.
type Draw struct {
	Seed      uint64
	Coverage  float64 // share that the interval covers; 0: 0.95
	Digits    int     // significant digits of u that the answer must be true to; 0: 2
	Most      int     // trials after which it ends, settled or not; 0: 1 000 000
	Symmetric bool    // the probabilistically symmetric interval instead of the shortest
}

// Distribution is what a Monte Carlo found.
type Distribution struct {
	Value     float64 // mean
	U         float64 // standard deviation
	Low, High float64 // interval that holds the share Coverage
	Coverage  float64
	Trials    int
	Tolerance float64 // δ: half of the last digit of U that counts
	Settled   bool    // twice the standard deviation of each of the four results is at most Tolerance
}

// block is how many trials are drawn before the results are looked at again. Source: JCGM 101:2008, 7.9.4 b.
func block(p float64) int { return max(int(math.Ceil(100/(1-p))), 10000) }

// MonteCarlo draws the inputs from their distributions until the results stand still to Digits digits of u, by the
// adaptive procedure. The same seed gives the same bytes. Source: JCGM 101:2008, 7.9; shortest interval: 5.3.4, 7.7.
func (m *Model) MonteCarlo(d Draw) (Distribution, error) {
	if d.Coverage == 0 {
		d.Coverage = 0.95
	}
	if d.Digits == 0 {
		d.Digits = 2
	}
	if d.Most == 0 {
		d.Most = 1_000_000
	}
	if !(d.Coverage > 0 && d.Coverage < 1) || d.Digits < 1 || d.Digits > 4 {
		return Distribution{}, fmt.Errorf("model %q: a Monte Carlo needs a coverage between 0 and 1 and 1 to 4 digits, not %g and %d", m.Name, d.Coverage, d.Digits)
	}
	s, err := m.sampler(d.Seed)
	if err != nil {
		return Distribution{}, err
	}
	size := block(d.Coverage)
	var all []float64
	var blocks []Distribution
	for {
		part := make([]float64, size)
		for i := range part {
			v := m.F(s.draw())
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return Distribution{}, fmt.Errorf("model %q: %w at a drawn point: the distributions reach over the model's border, for example %s", m.Name, errNoValue, s.point(m))
			}
			part[i] = v
		}
		all = append(all, part...)
		blocks = append(blocks, describe(part, d))
		if len(blocks) < 2 {
			continue
		}
		_, u := moments(all)
		delta := tolerance(u, d.Digits)
		settled := true
		for _, result := range []func(*Distribution) float64{
			func(b *Distribution) float64 { return b.Value }, func(b *Distribution) float64 { return b.U },
			func(b *Distribution) float64 { return b.Low }, func(b *Distribution) float64 { return b.High },
		} {
			var of []float64
			for i := range blocks {
				of = append(of, result(&blocks[i]))
			}
			_, sd := moments(of)
			settled = settled && 2*sd/math.Sqrt(float64(len(of))) <= delta
		}
		if settled || len(all)+size > d.Most {
			out := describe(all, d)
			out.Tolerance, out.Settled = delta, settled
			return out, nil
		}
	}
}

// tolerance is half of the last of the given significant digits of u. Source: JCGM 101:2008, 7.9.2.
func tolerance(u float64, digits int) float64 {
	if u == 0 {
		return 0
	}
	exponent := int(math.Floor(math.Log10(u))) + 1 - digits
	if math.Round(u/math.Pow10(exponent)) >= math.Pow10(digits) { // 0.0997 has two digits as 0.10
		exponent++
	}
	return math.Pow10(exponent) / 2
}

func moments(v []float64) (mean, sd float64) {
	n := float64(len(v))
	for _, x := range v {
		mean += x
	}
	mean /= n
	for _, x := range v {
		sd += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(sd / (n - 1))
}

// describe sorts the values and reads their distribution off.
func describe(v []float64, d Draw) Distribution {
	out := Distribution{Coverage: d.Coverage, Trials: len(v)}
	out.Value, out.U = moments(v)
	sorted := append([]float64(nil), v...)
	sort.Float64s(sorted)
	m := len(sorted)
	q := min(int(d.Coverage*float64(m)+0.5), m-1)
	at := (m - q) / 2
	if !d.Symmetric {
		for i := 0; i+q < m; i++ {
			if sorted[i+q]-sorted[i] < sorted[at+q]-sorted[at] {
				at = i
			}
		}
	}
	out.Low, out.High = sorted[at], sorted[at+q]
	return out
}
