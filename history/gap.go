package history

import (
	"math"
	"slices"
)

// Gap is by how much a column of one history differs from the column of the same name of another. Differences are the
// second less the first, in SI.
type Gap struct {
	Name     string
	Quantity Quantity
	Times    int     // at how many times both have a value
	Most     float64 // where the two differ most
	At       float64 // s, when that is
	Mean     float64 // over those times
	Last     float64 // at the last of them
	EndA     float64 // the values there
	EndB     float64
	Span     float64 // from the least to the greatest value of both
	A, B     float64 // the values at At
}

// Common is the times at which two histories are compared.
type Common struct {
	Times []float64 // s
	// Drawn tells that values between rows were drawn as straight lines: the two have less than half of the times of the one
	// with fewer in common.
	Drawn bool
}

// CommonTimes returns the times that two histories share; where they share few, all times of both in the stretch that both
// cover.
func CommonTimes(a, b *History) (c Common) {
	if len(a.Time) == 0 || len(b.Time) == 0 {
		return c
	}
	from, to := math.Max(a.Time[0], b.Time[0]), math.Min(a.Time[len(a.Time)-1], b.Time[len(b.Time)-1])
	var within [2]int // rows of each in that stretch
	var all []float64
	for k, h := range []*History{a, b} {
		for _, t := range h.Time {
			if t < from || t > to {
				continue
			}
			within[k]++
			if k == 0 {
				all = append(all, t)
			} else if _, shared := slices.BinarySearch(a.Time, t); shared {
				c.Times = append(c.Times, t)
			} else {
				all = append(all, t)
			}
		}
	}
	if 2*len(c.Times) >= min(within[0], within[1]) && len(c.Times) > 0 {
		return c
	}
	slices.Sort(all)
	return Common{all, len(all) > 0}
}

// At returns the value of a column at a time: that of a row, or on the straight line between two rows; NaN outside.
func (h *History) At(c *Column, t float64) float64 {
	if n := len(h.Time); n == 0 || !(t >= h.Time[0] && t <= h.Time[n-1]) {
		return math.NaN()
	}
	return Straight(h.Time, c.Values, t)
}

// Gaps compares the columns that two histories both have, in the order of the first. Columns without a value at a common
// time are left out.
func Gaps(a, b *History) ([]Gap, Common) {
	common := CommonTimes(a, b)
	var gaps []Gap
	for k := range a.Columns {
		x := &a.Columns[k]
		y := b.Column(x.Name)
		if y == nil || y.Quantity != x.Quantity {
			continue
		}
		if g := gap(a, b, x, y, common.Times); g.Times > 0 {
			gaps = append(gaps, g)
		}
	}
	return gaps, common
}

func gap(a, b *History, x, y *Column, times []float64) Gap {
	g := Gap{Name: x.Name, Quantity: x.Quantity}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, t := range times {
		va, vb := a.At(x, t), b.At(y, t)
		d := vb - va
		if math.IsNaN(d) || math.IsInf(d, 0) {
			continue
		}
		lo, hi = min(lo, va, vb), max(hi, va, vb)
		if math.Abs(d) > math.Abs(g.Most) || g.Times == 0 {
			g.Most, g.At, g.A, g.B = d, t, va, vb
		}
		g.Times++
		g.Mean += (d - g.Mean) / float64(g.Times)
		g.Last, g.EndA, g.EndB = d, va, vb
	}
	if g.Times > 0 {
		g.Span = hi - lo
	}
	return g
}

// Missing lists the columns of a that b does not have.
func Missing(a, b *History) (names []string) {
	for k := range a.Columns {
		if c := b.Column(a.Columns[k].Name); c == nil || c.Quantity != a.Columns[k].Quantity {
			names = append(names, a.Columns[k].Name)
		}
	}
	return names
}
