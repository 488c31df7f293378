package balance

import (
	"math"
	"slices"
	"sort"
)

// quantile returns the p-quantile of the values that are numbers, NaN without any.
func quantile(v []float64, p float64) float64 {
	s := make([]float64, 0, len(v))
	for _, x := range v {
		if !math.IsNaN(x) {
			s = append(s, x)
		}
	}
	if len(s) == 0 {
		return math.NaN()
	}
	sort.Float64s(s)
	at := p * float64(len(s)-1)
	i := min(int(at), len(s)-1)
	j := min(i+1, len(s)-1)
	return s[i] + (at-float64(i))*(s[j]-s[i])
}

// roughness estimates the noise of a series from its second differences: for independent noise their standard
// deviation is √6 σ. The median makes jumps harmless. It is 0 for a series that repeats itself.
func roughness(v []float64) float64 {
	var d []float64
	for i := 2; i < len(v); i++ {
		if x := v[i] - 2*v[i-1] + v[i-2]; !math.IsNaN(x) {
			d = append(d, math.Abs(x))
		}
	}
	if len(d) == 0 {
		return 0
	}
	return quantile(d, 0.5) / 0.6745 / math.Sqrt(6)
}

// interval returns the median distance of the rows.
func interval(t []float64) float64 {
	d := make([]float64, 0, len(t))
	for i := 1; i < len(t); i++ {
		d = append(d, t[i]-t[i-1])
	}
	return quantile(d, 0.5)
}

// within returns the rows from a to b inclusive, as a half-open range of indices. A thousandth of a second is
// forgiven.
func within(t []float64, a, b float64) (from, to int) {
	from, _ = slices.BinarySearch(t, a-1e-3)
	to, _ = slices.BinarySearch(t, b+1e-3)
	return from, max(from, to)
}

// buckets thins a series to at most most points: the median over equal stretches of time, with the mean of the
// times. Empty stretches are left out.
func buckets(t, v []float64, most int) (tb, vb []float64) {
	if len(t) == 0 {
		return nil, nil
	}
	if len(t) <= most {
		for i := range t {
			if !math.IsNaN(v[i]) {
				tb, vb = append(tb, t[i]), append(vb, v[i])
			}
		}
		return tb, vb
	}
	width := (t[len(t)-1] - t[0]) / float64(most)
	for i := 0; i < len(t); {
		end := t[0] + width*(math.Floor((t[i]-t[0])/width)+1)
		j := i
		sum, n := 0.0, 0.0
		var part []float64
		for j < len(t) && (t[j] < end || j == i) {
			if !math.IsNaN(v[j]) {
				part = append(part, v[j])
				sum += t[j]
				n++
			}
			j++
		}
		if n > 0 {
			tb, vb = append(tb, sum/n), append(vb, quantile(part, 0.5))
		}
		i = j
	}
	return tb, vb
}

// thinned is buckets with means, for fits in which noise should average out; n counts the rows of each.
func thinned(t, v []float64, most int) (tb, vb []float64) {
	stride := (len(t) + most - 1) / most
	for i := 0; i < len(t); i += stride {
		st, sv, n := 0.0, 0.0, 0.0
		for j := i; j < min(i+stride, len(t)); j++ {
			if !math.IsNaN(v[j]) {
				st, sv, n = st+t[j], sv+v[j], n+1
			}
		}
		if n > 0 {
			tb, vb = append(tb, st/n), append(vb, sv/n)
		}
	}
	return tb, vb
}

// ends returns the values at a and b by straight lines through the few rows nearest to each end, and how many rows
// stood behind each. NaN where there are none.
func ends(t, v []float64, from, to int) (first, last float64, n int) {
	const rows = 5
	n = rows
	one := func(i, step int, x float64) float64 {
		var st, sv, stt, stv, k float64
		for ; i >= from && i < to && k < rows; i += step {
			if d := t[i] - x; !math.IsNaN(v[i]) {
				st, sv, stt, stv, k = st+d, sv+v[i], stt+d*d, stv+d*v[i], k+1
			}
		}
		n = min(n, int(k))
		if k == 0 {
			return math.NaN()
		}
		det := k*stt - st*st
		if k < 3 || det < 1e-12*k*stt {
			return sv / k
		}
		return (stt*sv - st*stv) / det
	}
	if to <= from {
		return math.NaN(), math.NaN(), 0
	}
	return one(from, 1, t[from]), one(to-1, -1, t[to-1]), n
}

// at returns a series' value at a time, linear between its points, NaN outside.
func at(t, v []float64, x float64) float64 {
	n := len(t)
	if n == 0 || x < t[0] || x > t[n-1] {
		return math.NaN()
	}
	i, exact := slices.BinarySearch(t, x)
	if exact {
		return v[i]
	}
	f := (x - t[i-1]) / (t[i] - t[i-1])
	return v[i-1] + f*(v[i]-v[i-1])
}
