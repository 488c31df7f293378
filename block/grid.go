package block

import (
	"fmt"
	"math"
)

// Uniform returns a grid of equal cells over a body, with the given counts along depth, width and height. It
// returns an error where a count is below one or the body has no extent.
func Uniform(body Box, counts [3]int) (*Grid, error) {
	g := &Grid{}
	for a := range counts {
		lo, hi := body.Min[a], body.Max[a]
		if counts[a] < 1 {
			return nil, fmt.Errorf("cells along %s: %d, must be 1 or more", Axis(a), counts[a])
		}
		if !(hi > lo) || math.IsInf(hi-lo, 0) {
			return nil, fmt.Errorf("body along %s: from %g m to %g m has no extent", Axis(a), lo, hi)
		}
		lines := make([]float64, counts[a]+1)
		n := float64(counts[a])
		for i := range lines {
			// Weighted from both ends, so that a mirrored body gives mirrored lines to the last bit.
			lines[i] = (lo*(n-float64(i)) + hi*float64(i)) / n
		}
		lines[0], lines[counts[a]] = lo, hi
		g.Lines[a] = lines
	}
	return g, nil
}

// FromLines returns a grid with the given cell edges in m. It returns an error where they do not rise or there
// are fewer than two along a direction.
func FromLines(lines [3][]float64) (*Grid, error) {
	g := &Grid{}
	for a := range lines {
		if len(lines[a]) < 2 {
			return nil, fmt.Errorf("edges along %s: %d given, at least 2 are needed", Axis(a), len(lines[a]))
		}
		for i, x := range lines[a] {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, fmt.Errorf("edge %d along %s: %g is not a length", i+1, Axis(a), x)
			}
			if i > 0 && x <= lines[a][i-1] {
				return nil, fmt.Errorf("edge %d along %s: %g m does not lie beyond the one before it, %g m",
					i+1, Axis(a), x, lines[a][i-1])
			}
		}
		g.Lines[a] = append([]float64(nil), lines[a]...)
	}
	return g, nil
}

// Fill returns the box that each cell belongs to, judged by the cell's centre: the last box that holds it, or -1
// where none does.
func Fill(g *Grid, boxes []Box) []int16 {
	part := make([]int16, g.Cells())
	for c := range part {
		part[c] = -1
	}
	for n, b := range boxes {
		var from, to [3]int
		for a := range from {
			from[a], to[a] = g.centresIn(Axis(a), b.Min[a], b.Max[a])
		}
		for k := from[2]; k < to[2]; k++ {
			for j := from[1]; j < to[1]; j++ {
				for i := from[0]; i < to[0]; i++ {
					part[g.Index(i, j, k)] = int16(n)
				}
			}
		}
	}
	return part
}

// centresIn returns the half-open range of cells along a direction whose centres lie in [lo, hi).
func (g *Grid) centresIn(a Axis, lo, hi float64) (from, to int) {
	n := g.N(a)
	for from < n && g.Centre(a, from) < lo {
		from++
	}
	to = from
	for to < n && g.Centre(a, to) < hi {
		to++
	}
	return from, to
}
