package trial

import (
	"fmt"
	"math"
)

// alignClock finds the offset of a log's clock by laying one of its columns over one of another log.
func (j *joining) alignClock(i int) {
	want := j.logs[i].Source.Clock.Align
	mine := j.logs[i].channelIndex(want.Channel)
	other, theirs := -1, -1
	for k, l := range j.logs {
		if k != i {
			if c := l.channelIndex(want.With); c >= 0 {
				other, theirs = k, c
			}
		}
	}
	if mine < 0 || other < 0 {
		name := want.Channel
		if mine >= 0 {
			name = want.With
		}
		j.tell(i, "clock", fmt.Sprintf("clock: %q is not a column to align by", name), "name a column of this logger, and one of another", false)
		return
	}
	a, b := j.logs[i], j.logs[other]
	lag, r, ok := bestLag(a.Time, a.Values[mine], j.offset[i], b.Time, b.Values[theirs], j.offset[other], want.Within)
	if !ok || r < 0.7 {
		j.tell(i, "clock", fmt.Sprintf("clock: %s and %s do not show the same course within %s: their best correlation is %.2f", want.Channel, want.With, words(want.Within), r),
			`choose columns that show the same thing, or give "offset: …"`, false)
		return
	}
	j.offset[i] += lag
	j.align = append(j.align, Repair{
		Key: "offset", File: a.Source.Name, Count: len(a.Time), Mended: true,
		What: fmt.Sprintf("clock moved by %.4g s: %s then lies best on %s (correlation %.4f)", lag, want.Channel, want.With, r),
	})
}

func (l *Log) channelIndex(name string) int {
	for i := range l.channels {
		if l.channels[i].c.Name == name {
			return i
		}
	}
	return -1
}

// bestLag returns the time in s by which the first series must be moved so that it lies best on the second, and the
// correlation there. Both are brought to a grid of at most 4000 points; the correlation of each shift is taken where
// both have values, at a quarter of the grid at least, and the top is refined by a parabola through three shifts.
func bestLag(ta, va []float64, oa float64, tb, vb []float64, ob, within float64) (lag, r float64, ok bool) {
	lo, hi := math.Max(ta[0]+oa, tb[0]+ob)-within, math.Min(ta[len(ta)-1]+oa, tb[len(tb)-1]+ob)+within
	if !(hi > lo) || !(within > 0) {
		return 0, 0, false
	}
	step := math.Max(math.Min(medianStep(ta), medianStep(tb)), (hi-lo)/4000)
	step = math.Min(step, within/4)
	n := int((hi-lo)/step) + 1
	if n > 40000 {
		return 0, 0, false
	}
	axis := make([]float64, n)
	for k := range axis {
		axis[k] = lo + float64(k)*step
	}
	a := resample(axis, step, ta, va, oa, medianStep(ta), nil, false)
	b := resample(axis, step, tb, vb, ob, medianStep(tb), nil, false)
	most := int(within / step)
	corr := make([]float64, 2*most+1)
	best := -1
	for s := -most; s <= most; s++ {
		c := correlation(a, b, s)
		corr[s+most] = c
		if c == c && (best < 0 || c > corr[best]) {
			best = s + most
		}
	}
	if best < 0 {
		return 0, 0, false
	}
	x := float64(best - most)
	if best > 0 && best < 2*most {
		l, m, u := corr[best-1], corr[best], corr[best+1]
		if d := l - 2*m + u; d < 0 && l == l && u == u {
			x += 0.5 * (l - u) / d
		}
	}
	return x * step, corr[best], true
}

// correlation is that of a moved by s points with b, NaN where they have less than a quarter in common.
func correlation(a, b []float64, s int) float64 {
	n, ma, mb := 0, 0.0, 0.0
	for k := range b {
		i := k - s
		if i < 0 || i >= len(a) || a[i] != a[i] || b[k] != b[k] {
			continue
		}
		n++
		ma += a[i]
		mb += b[k]
	}
	if n < 10 || 4*n < len(b) {
		return math.NaN()
	}
	ma /= float64(n)
	mb /= float64(n)
	aa, bb, ab := 0.0, 0.0, 0.0
	for k := range b {
		i := k - s
		if i < 0 || i >= len(a) || a[i] != a[i] || b[k] != b[k] {
			continue
		}
		x, y := a[i]-ma, b[k]-mb
		aa += x * x
		bb += y * y
		ab += x * y
	}
	if aa == 0 || bb == 0 {
		return math.NaN()
	}
	return ab / math.Sqrt(aa*bb)
}
