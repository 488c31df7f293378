package figure

import (
	"fmt"
	"math"
)

// mostLevels is how many levels of an axis are drawn; of more, some from the first to the last.
const mostLevels = 90

// fewer takes levels out where they are more than a picture can show; those of the best variant stay.
func (d *terrain) fewer() {
	wide, tall := len(d.U), len(d.V)
	bestU, bestV := -1, -1
	if k := d.Best; k >= 0 && k < len(d.F) {
		bestU, bestV = k%wide, k/wide
	} else {
		d.Best = -1
	}
	us, vs := picked(wide, bestU), picked(tall, bestV)
	for _, a := range []struct {
		name  string
		of, n int
	}{{d.X.Name, wide, len(us)}, {d.Y.Name, tall, len(vs)}} {
		if a.n < a.of {
			d.thinnedOut = append(d.thinnedOut, fmt.Sprintf("%d of %d levels of %s are drawn", a.n, a.of, a.name))
		}
	}
	fate := make([]Fate, 0, len(us)*len(vs))
	best := -1
	for _, j := range vs {
		for _, i := range us {
			if i == bestU && j == bestV {
				best = len(fate)
			}
			fate = append(fate, d.Fate[i+wide*j])
		}
	}
	field := func(from []float64) []float64 {
		out := make([]float64, 0, len(fate))
		for _, j := range vs {
			for _, i := range us {
				out = append(out, from[i+wide*j])
			}
		}
		return out
	}
	levels := func(from []float64, which []int) []float64 {
		out := make([]float64, len(which))
		for i, k := range which {
			out[i] = from[k]
		}
		return out
	}
	borders := append([]Border(nil), d.Borders...)
	for i := range borders {
		borders[i].F = field(borders[i].F)
	}
	d.F, d.Fate, d.Borders, d.Best = field(d.F), fate, borders, best
	d.U, d.V = levels(d.U, us), levels(d.V, vs)
	d.bestX, d.bestY = math.NaN(), math.NaN()
	if best >= 0 {
		d.bestX, d.bestY, d.bestF = d.U[best%len(d.U)], d.V[best/len(d.U)], d.F[best]
	}
}

// picked spreads mostLevels over n at the most, from the first to the last; one that must be among them takes the place of
// the nearest.
func picked(n, must int) []int {
	m := min(n, mostLevels)
	out := make([]int, m)
	nearest := -1
	for i := range out {
		out[i] = i * (n - 1) / max(1, m-1)
		if must >= 0 && (nearest < 0 || abs(out[i]-must) < abs(out[nearest]-must)) {
			nearest = i
		}
	}
	if nearest >= 0 {
		out[nearest] = must
	}
	return out
}
