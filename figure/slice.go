package figure

import (
	"math"

	"emberbank/block"
	"emberbank/heat"
)

// slice is the plane of cells that a section cuts.
type slice struct {
	g          *block.Grid
	normal     block.Axis
	across, up block.Axis // directions to the right and upwards on the paper
	layer      int        // of cells along the normal
	nu, nv     int
}

// cut finds the cells of a section; a place outside the grid is moved to its nearest cell.
func cut(g *block.Grid, normal block.Axis, at float64) slice {
	s := slice{g: g, normal: normal}
	switch normal {
	case block.Depth:
		s.across, s.up = block.Width, block.Height
	case block.Width:
		s.across, s.up = block.Depth, block.Height
	default:
		s.across, s.up = block.Depth, block.Width
	}
	s.layer = g.Find(normal, at)
	if s.layer < 0 {
		if at > g.Lines[normal][0] {
			s.layer = g.N(normal) - 1
		} else {
			s.layer = 0
		}
	}
	s.nu, s.nv = g.N(s.across), g.N(s.up)
	return s
}

// cell is the number of the cell at place (i, j) of the section.
func (s *slice) cell(i, j int) int {
	var p [3]int
	p[s.normal], p[s.across], p[s.up] = s.layer, i, j
	return s.g.Index(p[0], p[1], p[2])
}

// field takes values by cell to nodes: the centres of cells, and the rim with the value of the cell behind it.
func (s *slice) field(values []float64, part []int16, keep func(part int16) bool) *nodes {
	rim := func(a block.Axis, n int) []float64 {
		out := []float64{s.g.Lines[a][0]}
		for i := range n {
			out = append(out, s.g.Centre(a, i))
		}
		return append(out, s.g.Lines[a][n])
	}
	n := &nodes{u: rim(s.across, s.nu), v: rim(s.up, s.nv)}
	n.f = make([]float64, len(n.u)*len(n.v))
	for j := range n.v {
		for i := range n.u {
			c := s.cell(min(max(i-1, 0), s.nu-1), min(max(j-1, 0), s.nv-1))
			x := values[c]
			if !keep(part[c]) {
				x = math.NaN()
			}
			n.f[i+len(n.u)*j] = x
		}
	}
	n.filled()
	return n
}

// span is a rectangle of cells, in m.
type span struct{ u0, v0, u1, v1 float64 }

// regions merges the cells for which is holds to as few rectangles as runs along rows allow.
func (s *slice) regions(is func(cell int) bool) []span {
	var out []span
	type run struct{ from, to, at int } // at: index in out
	var above []run
	for j := range s.nv {
		var now []run
		for i := 0; i < s.nu; {
			if !is(s.cell(i, j)) {
				i++
				continue
			}
			k := i
			for k < s.nu && is(s.cell(k, j)) {
				k++
			}
			r := run{i, k, -1}
			for _, a := range above {
				if a.from == i && a.to == k {
					r.at = a.at
				}
			}
			if r.at < 0 {
				r.at = len(out)
				out = append(out, span{s.g.Lines[s.across][i], s.g.Lines[s.up][j], s.g.Lines[s.across][k], 0})
			}
			out[r.at].v1 = s.g.Lines[s.up][j+1]
			now = append(now, r)
			i = k
		}
		above = now
	}
	return out
}

// borders lists the lines between cells of different parts, and round the whole, merged where they go on.
func (s *slice) borders(part []int16) []span {
	of := func(i, j int) int {
		if i < 0 || j < 0 || i >= s.nu || j >= s.nv {
			return -1
		}
		return int(part[s.cell(i, j)])
	}
	var out []span
	for i := 0; i <= s.nu; i++ { // upright lines
		from := -1
		for j := 0; j <= s.nv; j++ {
			differs := j < s.nv && of(i-1, j) != of(i, j)
			if differs && from < 0 {
				from = j
			}
			if !differs && from >= 0 {
				x := s.g.Lines[s.across][i]
				out = append(out, span{x, s.g.Lines[s.up][from], x, s.g.Lines[s.up][j]})
				from = -1
			}
		}
	}
	for j := 0; j <= s.nv; j++ { // level lines
		from := -1
		for i := 0; i <= s.nu; i++ {
			differs := i < s.nu && of(i, j-1) != of(i, j)
			if differs && from < 0 {
				from = i
			}
			if !differs && from >= 0 {
				y := s.g.Lines[s.up][j]
				out = append(out, span{s.g.Lines[s.across][from], y, s.g.Lines[s.across][i], y})
				from = -1
			}
		}
	}
	return out
}

// Extremes returns the least and the greatest temperature of a field in degC; the least is above the greatest where there is none.
func Extremes(f *heat.Field) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, T := range f.Temperature {
		if !math.IsNaN(T) {
			lo, hi = math.Min(lo, T-zeroC), math.Max(hi, T-zeroC)
		}
	}
	return lo, hi
}
