package answer

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
)

// Index is how much of a response's variance an input is behind, with a confidence interval.
type Index struct{ Value, Low, High float64 }

// Sensitivity is the share of each input in the variance of one response.
type Sensitivity struct {
	First []Index // by the input alone: the variance that would go if it were known exactly, on average
	Total []Index // with all that it does together with others: what would stay if all others were known
	Mean  float64
	SD    float64
	Rows  int // whole rows that were used
	Left  int // rows that were left out because a variant of theirs has no value
}

// Indices asks for sensitivity from the values of a sample.Exchange design. Zero values: as stated.
type Indices struct {
	Confidence float64 // of each interval; 0: 0.95
	Draws      int     // of the bootstrap; 0: 1000
	Seed       uint64  // of the bootstrap
}

// Sensitivity takes the values of a whole design in its order: for each row A, B, then A with input 1, 2, ... from B.
// NaN stands for a variant without a value; its row is left out. The estimators are
//
//	Sᵢ  = (1/N) Σ (f(B) − f₀) (f(ABᵢ) − f(A)) / V
//	STᵢ = (1/2N) Σ (f(A) − f(ABᵢ))² / V
//
// with the mean f₀ and the variance V of all f(A) and f(B). Intervals are percentiles of a bootstrap over rows; rows of a
// Sobol sequence are spread more evenly than drawn ones, so that for smooth responses they are wider than need be.
// Estimates may fall a little below 0 or above 1.
//
// Source: A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259-270, table 2, rows (b) and (f) (the latter Jansen's); f₀
// is subtracted as advised by I. M. Sobol', Math. Comput. Simul. 55 (2001) 271-280. Bootstrap: G. E. B. Archer,
// A. Saltelli, I. M. Sobol', J. Stat. Comput. Simul. 58 (1997) 99-120.
func (q Indices) Sensitivity(values []float64, inputs int) (Sensitivity, error) {
	if q.Confidence == 0 {
		q.Confidence = 0.95
	}
	if q.Draws == 0 {
		q.Draws = 1000
	}
	width := inputs + 2
	if inputs < 1 || len(values) == 0 || len(values)%width != 0 {
		return Sensitivity{}, fmt.Errorf("sensitivity to %d inputs: %d values are not whole rows of %d", inputs, len(values), width)
	}
	if !(q.Confidence > 0 && q.Confidence < 1) || q.Draws < 100 {
		return Sensitivity{}, fmt.Errorf("sensitivity: the confidence is between 0 and 1 and the bootstrap draws 100 times at least, not %g and %d", q.Confidence, q.Draws)
	}
	var rows [][]float64
	for i := 0; i < len(values); i += width {
		if row := values[i : i+width]; finite(row...) {
			rows = append(rows, row)
		}
	}
	s := Sensitivity{Rows: len(rows), Left: len(values)/width - len(rows), First: make([]Index, inputs), Total: make([]Index, inputs)}
	if len(rows) < 8 {
		return s, fmt.Errorf("sensitivity: %d whole rows are too few to say anything: at least 8, some hundreds for firm numbers", len(rows))
	}
	all := make([]int, len(rows))
	for i := range all {
		all[i] = i
	}
	first, total, mean, variance := estimate(rows, all, inputs)
	s.Mean, s.SD = mean, math.Sqrt(variance)
	if variance <= 1e-24*mean*mean {
		return s, fmt.Errorf("sensitivity: the response is %g for all variants: no input moves it", mean)
	}
	r := rand.New(rand.NewPCG(q.Seed, 30))
	firsts, totals := make([][]float64, inputs), make([][]float64, inputs)
	drawn := make([]int, len(rows))
	for range q.Draws {
		for i := range drawn {
			drawn[i] = r.IntN(len(rows))
		}
		f, t, _, v := estimate(rows, drawn, inputs)
		if !(v > 0) {
			continue
		}
		for k := range inputs {
			firsts[k], totals[k] = append(firsts[k], f[k]), append(totals[k], t[k])
		}
	}
	for k := range inputs {
		s.First[k] = percentiles(first[k], firsts[k], q.Confidence)
		s.Total[k] = percentiles(total[k], totals[k], q.Confidence)
	}
	return s, nil
}

// estimate computes the indices from some of the rows.
func estimate(rows [][]float64, which []int, inputs int) (first, total []float64, mean, variance float64) {
	first, total = make([]float64, inputs), make([]float64, inputs)
	n := float64(len(which))
	for _, i := range which {
		mean += (rows[i][0] + rows[i][1]) / (2 * n)
	}
	for _, i := range which {
		row := rows[i]
		a, b := row[0]-mean, row[1]-mean
		variance += (a*a + b*b) / (2 * n)
		for k := range inputs {
			d := row[2+k] - row[0]
			first[k] += b * d / n
			total[k] += d * d / (2 * n)
		}
	}
	for k := range inputs {
		first[k] /= variance
		total[k] /= variance
	}
	return first, total, mean, variance
}

func percentiles(value float64, draws []float64, confidence float64) Index {
	sort.Float64s(draws)
	at := func(p float64) float64 {
		i := p * float64(len(draws)-1)
		k := int(i)
		if k+1 >= len(draws) {
			return draws[len(draws)-1]
		}
		return draws[k] + (i-float64(k))*(draws[k+1]-draws[k])
	}
	return Index{value, min(value, at((1-confidence)/2)), max(value, at((1+confidence)/2))}
}
