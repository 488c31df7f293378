package heat

import "emberbank/duty"

// Grouped is a row of a run as a coarser model sees it: the cells gathered in groups. Every number is the full model's own
// at that moment.
type Grouped struct {
	Heat    []float64   // J above 20 °C, by group
	Between [][]float64 // W that solid conducts from group a to group b; [b][a] is its negative
	Faces   [][]float64 // K, by path (in the order of Still.Paths) and group: mean of the cells behind the free faces, by area; 0: none
	Tubes   []float64   // K, by circuit: mean of the cells around its passes, by length
	Taken   [][]float64 // W, by circuit and group: what its tubes take of the group's cells
	Flowing []bool      // by circuit
	Boils   []bool      // by circuit
	Shut    bool        // the cover is
	Light   float64     // the light's signal as it shines; 0 where it is off or the cover is shut
	Pane    float64     // K; 0 without glass
	Across  float64     // W, from the window's faces across the gap to the pane; without glass to the outside
}

// Groups gathers the row by groups of cells; cells of a group below 0 count to none.
func (s Sight) Groups(group []int16, n int) Grouped {
	m := s.m
	out := Grouped{Heat: make([]float64, n), Between: make([][]float64, n), Faces: m.touching(group, n)}
	out.Shut, out.Light = m.player.Switches.CoverShut, m.lightAt(m.t)
	if m.skin.pane != nil {
		out.Pane = m.skin.pane.T
	}
	if m.hasPath(windowPath) {
		out.Across = m.rec.present.rates[windowPath]
	}
	for g := range out.Between {
		out.Between[g] = make([]float64, n)
	}
	b, net := m.b, m.net
	T := m.s.t0[m.s.pad:]
	step := [3]int{1, b.nx, net.pad}
	links := [3][]float32{net.gx, net.gy, net.gz}
	for c := range b.n {
		g := group[c]
		if b.medium[c] < 0 || g < 0 {
			continue
		}
		out.Heat[g] += b.mass[c] * m.s.y0[c]
		for a := range 3 {
			d := c + step[a]
			if d >= b.n || group[d] < 0 || group[d] == g {
				continue
			}
			if k := float64(links[a][net.pad+c]); k > 0 {
				q := k * (T[c] - T[d])
				out.Between[g][group[d]] += q
				out.Between[group[d]][g] -= q
			}
		}
	}
	areas := m.touching(group, n)
	for _, row := range out.Faces {
		clear(row)
	}
	at := m.pathOrder()
	for i := range b.faces {
		f := &b.faces[i]
		if g, p := group[f.cell], at[b.patches[f.patch].path]; g >= 0 {
			out.Faces[p][g] += f.area * T[f.cell] / areas[p][g]
		}
	}
	for i, w := range m.streams {
		out.Tubes = append(out.Tubes, m.tubeMean(i))
		taken := make([]float64, n)
		for _, si := range w.slices {
			sl := &m.tubes.slices[si]
			for _, l := range m.tubes.links[sl.first:sl.last] {
				if g := group[l.cell]; g >= 0 {
					taken[g] += m.tubes.draw(&l, T[l.cell])
				}
			}
		}
		out.Taken = append(out.Taken, taken)
		out.Flowing = append(out.Flowing, w.state == duty.Flowing)
		out.Boils = append(out.Boils, w.boils)
	}
	return out
}
