package season

import (
	"math"
	"slices"
)

// axis is rising values of one quantity on which something is tabled; one value: it does not hang on it.
type axis []float64

// place returns the piece that holds x and the share of the way through it; x outside is held at the end.
func (a axis) place(x float64) (i int, f float64) {
	n := len(a)
	if n == 1 {
		return 0, 0
	}
	j, _ := slices.BinarySearch(a, x)
	i = min(max(j-1, 0), n-2)
	return i, math.Min(math.Max((x-a[i])/(a[i+1]-a[i]), 0), 1)
}

// spread returns n equal steps from lo to hi; one value where the two are the same.
func spread(lo, hi float64, n int) axis {
	if hi-lo <= 1e-9*math.Max(math.Abs(lo), math.Abs(hi)) || n < 2 {
		return axis{0.5 * (lo + hi)}
	}
	out := make(axis, n)
	for i := range out {
		out[i] = lo + (hi-lo)*float64(i)/float64(n-1)
	}
	return out
}

// ratios is spread by equal ratios.
func ratios(lo, hi float64, n int) axis {
	out := spread(math.Log(lo), math.Log(hi), n)
	for i := range out {
		out[i] = math.Exp(out[i])
	}
	return out
}

// table holds curves over a first axis, as straight pieces, for every combination of values on further axes; what lies
// between is mixed along each of these.
type table struct {
	over   axis // of the curves
	by     []axis
	values []float64 // curve after curve; the last of by runs fastest
}

func newTable(over axis, by ...axis) *table {
	t := &table{over: over, by: by}
	n := len(over)
	for _, a := range by {
		n *= len(a)
	}
	t.values = make([]float64, n)
	return t
}

// each calls f with every combination and the curve to be filled.
func (t *table) each(f func(at []float64, curve []float64)) {
	at, index, n := make([]float64, len(t.by)), make([]int, len(t.by)), len(t.over)
	for q := 0; q*n < len(t.values); q++ {
		rest := q
		for k := len(t.by) - 1; k >= 0; k-- {
			index[k] = rest % len(t.by[k])
			rest /= len(t.by[k])
			at[k] = t.by[k][index[k]]
		}
		f(at, t.values[q*n:(q+1)*n])
	}
}

// mix fills out with the curve at the further axes' values.
func (t *table) mix(out []float64, at ...float64) {
	clear(out)
	t.mixFrom(out, at, 0, 0, 1)
}

func (t *table) mixFrom(out, at []float64, k, offset int, weight float64) {
	if k == len(t.by) {
		n := len(t.over)
		for i, v := range t.values[offset*n : (offset+1)*n] {
			out[i] += weight * v
		}
		return
	}
	a := t.by[k]
	i, f := a.place(at[k])
	if f < 1 {
		t.mixFrom(out, at, k+1, offset*len(a)+i, weight*(1-f))
	}
	if f > 0 {
		t.mixFrom(out, at, k+1, offset*len(a)+i+1, weight*f)
	}
}

// read returns a curve's value at x, straight on beyond its ends, and its slope.
func read(xs, ys []float64, x float64) (y, slope float64) {
	n := len(xs)
	if n == 1 {
		return ys[0], 0
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; xs[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	slope = (ys[hi] - ys[lo]) / (xs[hi] - xs[lo])
	return ys[lo] + slope*(x-xs[lo]), slope
}
