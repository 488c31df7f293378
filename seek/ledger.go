package seek

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"sort"
)

// ledger keeps what was told and what is pending.
type ledger struct {
	problem Problem
	told    map[string]Told
	pending map[string][]float64
}

func newLedger(p Problem) (ledger, error) {
	if err := p.check(); err != nil {
		return ledger{}, fmt.Errorf("search: %w", err)
	}
	return ledger{p, map[string]Told{}, map[string][]float64{}}, nil
}

// key is a point as a map's key: its bits. Minus zero is zero.
func key(x []float64) string {
	b := make([]byte, 0, 8*len(x))
	for _, v := range x {
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(v+0))
	}
	return string(b)
}

func (l *ledger) known(x []float64) bool {
	k := key(x)
	_, told := l.told[k]
	_, pending := l.pending[k]
	return told || pending
}

func (l *ledger) ask(x []float64) { l.pending[key(x)] = x }

// Tell hands over what a variant gave. It need not have been asked for: the present design may be told too. A point told
// twice keeps its first values, so that a history may be told again.
func (l *ledger) Tell(at []float64, v Values) error {
	p := l.problem
	if len(at) != len(p.Axes) || !finite(at...) {
		return fmt.Errorf("search: a variant has %d values of axes, not %v", len(p.Axes), at)
	}
	for i, a := range p.Axes {
		low, high := a.Low, a.High
		if a.Kind == Choice {
			low, high = 0, float64(a.Choices-1)
		}
		if at[i] < low || at[i] > high || a.Kind != Real && at[i] != math.Floor(at[i]) {
			return fmt.Errorf("search: %g is no value of axis %d", at[i], i+1)
		}
	}
	if !v.Failed {
		if len(v.Aims) != p.Aims || len(v.Constraints) != p.Constraints {
			return fmt.Errorf("search: a variant has %d aims and %d constraints, not %d and %d", p.Aims, p.Constraints, len(v.Aims), len(v.Constraints))
		}
		if !finite(v.Aims...) || !finite(v.Constraints...) {
			return fmt.Errorf("search: the values of the variant at %v are not numbers: tell it as failed", at)
		}
	}
	k := key(at)
	delete(l.pending, k)
	if _, ok := l.told[k]; !ok {
		l.told[k] = Told{slices.Clone(at), Values{v.Failed, slices.Clone(v.Aims), slices.Clone(v.Constraints)}}
	}
	return nil
}

// History returns what was told, sorted by the values of the axes: in this order everything is computed from it.
func (l *ledger) History() []Told {
	out := make([]Told, 0, len(l.told))
	for _, t := range l.told {
		out = append(out, t)
	}
	sort.Slice(out, func(i, j int) bool { return slices.Compare(out[i].At, out[j].At) < 0 })
	return out
}

// waiting returns the pending points in the same order.
func (l *ledger) waiting() [][]float64 {
	out := make([][]float64, 0, len(l.pending))
	for _, x := range l.pending {
		out = append(out, x)
	}
	sort.Slice(out, func(i, j int) bool { return slices.Compare(out[i], out[j]) < 0 })
	return out
}

// Best is what a search has come to.
type Best struct {
	// Met tells whether any variant meets all constraints. Where none does, Front holds the one that comes nearest.
	Met bool
	// Front is the best variant, or with two aims those that are not beaten, by rising first aim.
	Front  []Told
	Told   int // variants with values
	Failed int
}

// Best returns the best of what was told. Nearness to the constraints is the sum of what they are missed by, each as a share of
// the most that any variant misses it by.
func (l *ledger) Best() Best {
	var b Best
	var good, all []Told
	for _, t := range l.History() {
		if t.Failed {
			b.Failed++
			continue
		}
		b.Told++
		all = append(all, t)
		if meets(t.Values) {
			good = append(good, t)
		}
	}
	switch b.Met = len(good) > 0; {
	case len(all) == 0:
	case !b.Met:
		scale := worst(all, l.problem.Constraints)
		best := all[0]
		for _, t := range all {
			if missed(t.Values, scale) < missed(best.Values, scale) {
				best = t
			}
		}
		b.Front = []Told{best}
	case l.problem.Aims == 1:
		best := good[0]
		for _, t := range good {
			if t.Aims[0] < best.Aims[0] {
				best = t
			}
		}
		b.Front = []Told{best}
	default:
		b.Front = unbeaten(good)
	}
	return b
}

func meets(v Values) bool {
	for _, c := range v.Constraints {
		if c > 0 {
			return false
		}
	}
	return true
}

// worst returns the most that each constraint is missed by.
func worst(all []Told, constraints int) []float64 {
	scale := make([]float64, constraints)
	for _, t := range all {
		for k, c := range t.Constraints {
			scale[k] = max(scale[k], c)
		}
	}
	return scale
}

func missed(v Values, scale []float64) float64 {
	sum := 0.0
	for k, c := range v.Constraints {
		if c > 0 {
			sum += c / max(scale[k], 1e-300)
		}
	}
	return sum
}

// unbeaten returns those of the variants that no other betters in one aim without being worse in the other.
func unbeaten(all []Told) []Told {
	sorted := slices.Clone(all)
	sort.SliceStable(sorted, func(i, j int) bool { return slices.Compare(sorted[i].Aims, sorted[j].Aims) < 0 })
	var out []Told
	for _, t := range sorted {
		if len(out) == 0 || t.Aims[1] < out[len(out)-1].Aims[1] {
			out = append(out, t)
		}
	}
	return out
}
