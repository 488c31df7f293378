package water

import (
	"math"
	"slices"
)

// series is a sum of powers Σ n (x0 ± π)^I y^J at one pressure, its terms of one J gathered: a sixth of the work of
// the whole sum. Each coefficient is that of a derivative of γ.
type series []coefficient

type coefficient struct {
	gap                      int // by which J rises from the one before; at the first J itself
	g, gp, gpp, gt, gtt, gpt float64
}

// gather returns the terms of a region at x, where x rises by rise (±1) with π.
func gather(terms []term, x, rise float64) series {
	var exponents []int
	for _, c := range terms {
		exponents = append(exponents, c.j)
	}
	slices.Sort(exponents)
	exponents = slices.Compact(exponents)
	s := make(series, len(exponents))
	inv := 1 / x
	power, at := 1.0, 0 // x^I: the terms come in rising I
	for _, c := range terms {
		if c.i != at {
			power, at = intPower(x, c.i), c.i
		}
		k, _ := slices.BinarySearch(exponents, c.j)
		i, v := float64(c.i), c.n*power
		s[k].g += v
		s[k].gp += rise * v * i * inv
		s[k].gpp += v * i * (i - 1) * inv * inv
	}
	last := 0
	for k := range s {
		j := float64(exponents[k])
		s[k].gap, last = exponents[k]-last, exponents[k]
		s[k].gt, s[k].gtt, s[k].gpt = s[k].g*j, s[k].g*j*(j-1), s[k].gp*j
	}
	return s
}

// add adds the sum at y to g.
func (s series) add(g *gibbs, y float64) {
	inv := 1 / y
	var small [9]float64 // powers of y
	small[0] = 1
	for i := 1; i < len(small); i++ {
		small[i] = small[i-1] * y
	}
	power := 1.0
	var t gibbs
	for i := range s {
		c := &s[i]
		if c.gap >= 0 && c.gap < len(small) {
			power *= small[c.gap]
		} else {
			power *= signedPower(y, inv, c.gap)
		}
		t.g += c.g * power
		t.gp += c.gp * power
		t.gpp += c.gpp * power
		t.gt += c.gt * power
		t.gtt += c.gtt * power
		t.gpt += c.gpt * power
	}
	g.g += t.g
	g.gp += t.gp
	g.gpp += t.gpp
	g.gt += t.gt * inv
	g.gtt += t.gtt * inv * inv
	g.gpt += t.gpt * inv
}

// region2IdealTerms is region2Ideal as terms.
var region2IdealTerms = func() (terms [len(region2Ideal)]term) {
	for i, c := range region2Ideal {
		terms[i] = term{0, c.j, c.n}
	}
	return terms
}()

// isobaric1 returns region1 at the pressure p in Pa as a function of T in K.
func isobaric1(p float64) func(T float64) phase {
	const pStar, tStar = 16.53e6, 1386.0
	s := gather(region1Gibbs[:], 7.1-p/pStar, -1)
	return func(T float64) phase {
		var g gibbs
		s.add(&g, tStar/T-1.222)
		return g.phase(p, T, pStar, tStar)
	}
}

// isobaric2 returns region2 at the pressure p in Pa as a function of T in K.
func isobaric2(p float64) func(T float64) phase {
	const pStar, tStar = 1e6, 540.0
	x := p / pStar
	ideal, residual := gather(region2IdealTerms[:], 1, 1), gather(region2Residual[:], x, 1)
	log := math.Log(x)
	return func(T float64) phase {
		tau := tStar / T
		g := gibbs{g: log, gp: 1 / x, gpp: -1 / (x * x)}
		ideal.add(&g, tau)
		residual.add(&g, tau-0.5)
		return g.phase(p, T, pStar, tStar)
	}
}
