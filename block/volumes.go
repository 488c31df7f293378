package block

import (
	"fmt"
	"math"
	"sort"
)

// SolidVolumes returns the volume of solid in each cell of the whole grid, in m³, after the bores were cut, and
// the removed cells, rising. What a hole leaves of a removed cell is given to the cells linked to the hole
// beside it. The sum is the grid's volume less that of the holes.
func SolidVolumes(g *Grid, bores []Bore) (volume []float64, removed []int) {
	volume = make([]float64, g.Cells())
	c := 0
	for k := range g.N(2) {
		for j := range g.N(1) {
			for i := range g.N(0) {
				volume[c] = g.Size(0, i) * g.Size(1, j) * g.Size(2, k)
				c++
			}
		}
	}
	gone := map[int]bool{}
	for _, b := range bores {
		for _, c := range b.Removed {
			gone[c] = true
		}
	}
	for n := range bores {
		bores[n].takeOut(g, volume)
	}
	for c, v := range volume {
		volume[c] = math.Max(0, v) // where holes overlap, as at an elbow, what both take is taken once
	}
	for n := range bores {
		bores[n].handOver(g, volume, gone)
	}
	for c := range gone {
		removed = append(removed, c)
	}
	sort.Ints(removed)
	return volume, removed
}

// takeOut takes the hole's own volume out of the cells that it crosses.
func (b *Bore) takeOut(g *Grid, volume []float64) {
	if b.Radius <= 0 || len(b.Slices) == 0 {
		return
	}
	u, v := across(b.Axis)
	lines := g.Lines[b.Axis]
	for _, y := range cutByLines(lines, b.Slices[0].From, b.Slices[len(b.Slices)-1].To) {
		for j := 0; j < g.N(v); j++ {
			y0, y1 := g.Lines[v][j]-b.At[v], g.Lines[v][j+1]-b.At[v]
			if y0 >= b.Radius || y1 <= -b.Radius {
				continue
			}
			for i := 0; i < g.N(u); i++ {
				a := discOverlap(b.Radius, g.Lines[u][i]-b.At[u], g.Lines[u][i+1]-b.At[u], y0, y1)
				if a == 0 {
					continue
				}
				var at [3]int
				at[u], at[v], at[b.Axis] = i, j, y.cell
				volume[g.Index(at[0], at[1], at[2])] -= a * (y.to - y.from)
			}
		}
	}
}

// handOver gives what is left of the removed cells to the cells beside them.
func (b *Bore) handOver(g *Grid, volume []float64, gone map[int]bool) {
	linked := map[int][]int{} // linked cells by layer
	for _, s := range b.Slices {
		for _, k := range s.Links {
			if !gone[k.Cell] {
				y := g.layerOf(b.Axis, k.Cell)
				linked[y] = append(linked[y], k.Cell)
			}
		}
	}
	u, v := across(b.Axis)
	step := [3]int{1, g.N(0), g.N(0) * g.N(1)}
	for _, c := range b.Removed {
		if volume[c] == 0 {
			continue
		}
		all := linked[g.layerOf(b.Axis, c)]
		var beside []int
		for _, q := range all {
			if d := q - c; d == step[u] || d == -step[u] || d == step[v] || d == -step[v] {
				beside = append(beside, q)
			}
		}
		if len(beside) == 0 {
			beside = all
		}
		if len(beside) == 0 {
			continue
		}
		for _, q := range beside {
			volume[q] += volume[c] / float64(len(beside))
		}
		volume[c] = 0
	}
}

// layerOf is the index of a cell along an axis.
func (g *Grid) layerOf(a Axis, cell int) int {
	i, j, k := g.Place(cell)
	return [...]int{i, j, k}[a]
}

// Settle makes bores that were cut one by one fit each other: a link to a cell that another bore removed is
// dropped and the rest of its slice raised to the same sum. It returns a warning for each pair of tubes that
// are linked to the same cell, or that leave a cell hardly any solid.
func (c *Cutter) Settle(bores []*Bore) (warnings []string) {
	gone := map[int]bool{}
	for _, b := range bores {
		for _, cell := range b.Removed {
			gone[cell] = true
		}
	}
	owner := map[int]int{}
	told := map[[2]int]bool{}
	for n := range bores {
		for s := range bores[n].Slices {
			slice := &bores[n].Slices[s]
			before, after := 0.0, 0.0
			kept := slice.Links[:0:0]
			for _, k := range slice.Links {
				before += k.Shape
				other, shared := owner[k.Cell]
				if gone[k.Cell] || shared && other != n {
					pair := [2]int{other, n}
					if !shared {
						pair = [2]int{n, n}
					}
					if !told[pair] {
						told[pair] = true
						warnings = append(warnings, c.tooClose(bores, pair, k.Cell))
					}
				}
				if gone[k.Cell] {
					continue
				}
				if !shared {
					owner[k.Cell] = n
				}
				after += k.Shape
				kept = append(kept, k)
			}
			if after > 0 && after < before {
				for i := range kept {
					kept[i].Shape *= before / after
				}
			}
			slice.Links = kept
		}
	}
	return warnings
}

func (c *Cutter) tooClose(bores []*Bore, pair [2]int, cell int) string {
	i, j, k := c.grid.Place(cell)
	where := fmt.Sprintf("depth %.4g mm, width %.4g mm, height %.4g mm", 1e3*c.grid.Centre(0, i), 1e3*c.grid.Centre(1, j), 1e3*c.grid.Centre(2, k))
	if pair[0] == pair[1] {
		return fmt.Sprintf("tube %d runs beside another tube's bore within the same cells, near %s: the grid is too coarse between them", pair[0]+1, where)
	}
	gap := math.Hypot(bores[pair[0]].At[(bores[pair[0]].Axis+1)%3]-bores[pair[1]].At[(bores[pair[0]].Axis+1)%3],
		bores[pair[0]].At[(bores[pair[0]].Axis+2)%3]-bores[pair[1]].At[(bores[pair[0]].Axis+2)%3])
	return fmt.Sprintf("tubes %d and %d draw on the same cell, near %s (axes %.4g mm apart): the heat flow between them is rough; use smaller cells",
		pair[0]+1, pair[1]+1, where, 1e3*gap)
}
