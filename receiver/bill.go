package receiver

import (
	"math"
	"slices"

	"emberbank/block"
)

// Bill is what is built, counted: volumes and masses as the parts fill space, tubes by their length.
//
// A later part takes the room of an earlier one, and bores that of the part through which they lead, all around the tube's
// axis. Masses are with the densities of the media, which hold at 20 °C. Left out: the cover, of which only the conductance
// is known, heaters, what holds the receiver, and the water in the tubes.
type Bill struct {
	Parts    []Piece // one for each of Receiver.Parts
	Tubes    []Tube  // one for each medium of tube walls, in the order of media; -1, without mass, first
	Glass    Piece   // without volume where there is none
	Opening  float64 // m², of the window
	Passes   int     // tubes, not bare line sinks
	Circuits int
	Heaters  int
}

// Piece is something that fills space.
type Piece struct {
	Name   string
	Role   Role
	Medium int     // index into Receiver.Media; -1: none
	Volume float64 // m³
	Mass   float64 // kg
}

// Tube is all tubes with walls of one medium: in the block, and as leads and bends.
type Tube struct {
	Medium int
	Length float64 // m, along the axis
	Mass   float64 // kg
}

// Bill counts what is built.
func (r *Receiver) Bill() Bill {
	s := newSpace(r.Parts)
	volumes := s.volumes()
	b := Bill{Circuits: len(r.Circuits), Heaters: len(r.Heaters), Glass: Piece{Name: "glass", Medium: -1}}
	tubes := map[int]*Tube{}
	r.eachStretch(func(p *Pass, from, to block.Point) {
		length := s.bore(volumes, from, to, math.Pi/4*p.Outer*p.Outer)
		t := tubes[p.WallMedium]
		if t == nil {
			t = &Tube{Medium: p.WallMedium}
			tubes[p.WallMedium] = t
		}
		t.Length += length
		if p.WallMedium >= 0 {
			t.Mass += math.Pi / 4 * (p.Outer*p.Outer - p.Inner*p.Inner) * length * r.Media[p.WallMedium].Density
		}
	})
	for m := -1; m < len(r.Media); m++ {
		if t := tubes[m]; t != nil {
			b.Tubes = append(b.Tubes, *t)
		}
	}
	for i := range r.Passes {
		if r.Passes[i].Line == 0 {
			b.Passes++
		}
	}
	for i := range r.Parts {
		p := Piece{Name: r.Parts[i].Name, Role: r.Parts[i].Role, Medium: r.Parts[i].Medium, Volume: math.Max(volumes[i], 0)}
		if p.Medium >= 0 {
			p.Mass = p.Volume * r.Media[p.Medium].Density
		}
		b.Parts = append(b.Parts, p)
	}
	if w := r.Window; w != nil {
		o := w.Opening
		b.Opening = (o.Max[block.Width] - o.Min[block.Width]) * (o.Max[block.Height] - o.Min[block.Height])
		if g := w.Glass; g != nil {
			b.Glass.Medium, b.Glass.Volume = g.Medium, b.Opening*g.Thickness
			if g.Medium >= 0 {
				b.Glass.Mass = b.Glass.Volume * r.Media[g.Medium].Density
			}
		}
	}
	return b
}

// Mass returns the sum of all masses in kg.
func (b *Bill) Mass() float64 {
	sum := b.Glass.Mass
	for _, p := range b.Parts {
		sum += p.Mass
	}
	return sum + b.TubeMass()
}

// TubeMass returns the mass of all tubes in kg.
func (b *Bill) TubeMass() float64 {
	sum := 0.0
	for _, t := range b.Tubes {
		sum += t.Mass
	}
	return sum
}

// eachStretch goes through the stretches of tube: the runs of circuits, then passes that stand alone. Bare line sinks are
// no tubes.
func (r *Receiver) eachStretch(do func(p *Pass, from, to block.Point)) {
	in := make([]bool, len(r.Passes))
	for _, c := range r.Circuits {
		for _, run := range c.Runs {
			in[run.Pass] = true
			if p := &r.Passes[run.Pass]; p.Line == 0 {
				do(p, run.From, run.To)
			}
		}
	}
	for i := range r.Passes {
		if p := &r.Passes[i]; !in[i] && p.Line == 0 {
			from, to := p.At, p.At
			from[p.Axis], to[p.Axis] = p.From, p.To
			do(p, from, to)
		}
	}
}

// space is cut at the edges of all parts, so that each of its cells belongs to one part as a whole.
type space struct {
	edges [3][]float64 // m, rising
	owner []int        // part of each cell, depth fastest; -1: none
}

func newSpace(parts []Part) *space {
	s := &space{}
	for a := range s.edges {
		for i := range parts {
			s.edges[a] = append(s.edges[a], parts[i].Box.Min[a], parts[i].Box.Max[a])
		}
		slices.Sort(s.edges[a])
		s.edges[a] = slices.Compact(s.edges[a])
	}
	s.owner = make([]int, s.cells(0)*s.cells(1)*s.cells(2))
	for c := range s.owner {
		s.owner[c] = -1
	}
	for i := range parts {
		var lo, hi [3]int
		for a := range lo {
			lo[a], _ = slices.BinarySearch(s.edges[a], parts[i].Box.Min[a])
			hi[a], _ = slices.BinarySearch(s.edges[a], parts[i].Box.Max[a])
		}
		for z := lo[2]; z < hi[2]; z++ {
			for y := lo[1]; y < hi[1]; y++ {
				for x := lo[0]; x < hi[0]; x++ {
					s.owner[s.at(x, y, z)] = i
				}
			}
		}
	}
	return s
}

func (s *space) cells(a int) int { return max(len(s.edges[a])-1, 0) }

func (s *space) at(x, y, z int) int { return x + s.cells(0)*(y+s.cells(1)*z) }

// volumes sums the cells of each part, in m³.
func (s *space) volumes() map[int]float64 {
	out := map[int]float64{}
	c := 0
	for z := range s.cells(2) {
		for y := range s.cells(1) {
			for x := range s.cells(0) {
				out[s.owner[c]] += (s.edges[0][x+1] - s.edges[0][x]) * (s.edges[1][y+1] - s.edges[1][y]) * (s.edges[2][z+1] - s.edges[2][z])
				c++
			}
		}
	}
	return out
}

// bore takes a bore of the given cross-section, in m², out of the parts through which it leads from one point to another
// along one direction, and returns its length in m.
func (s *space) bore(volumes map[int]float64, from, to block.Point, section float64) float64 {
	along := 0
	for a := range from {
		if math.Abs(to[a]-from[a]) > math.Abs(to[along]-from[along]) {
			along = a
		}
	}
	low, high := math.Min(from[along], to[along]), math.Max(from[along], to[along])
	var cell [3]int
	for a := range cell {
		if a != along {
			if cell[a] = s.cellOf(a, from[a]); cell[a] < 0 {
				return high - low
			}
		}
	}
	for k := range s.cells(along) {
		lo, hi := math.Max(low, s.edges[along][k]), math.Min(high, s.edges[along][k+1])
		if hi > lo {
			cell[along] = k
			volumes[s.owner[s.at(cell[0], cell[1], cell[2])]] -= section * (hi - lo)
		}
	}
	return high - low
}

// cellOf finds the cell along a direction in which a coordinate lies; -1: in none.
func (s *space) cellOf(a int, x float64) int {
	for k := range s.cells(a) {
		if x >= s.edges[a][k] && x < s.edges[a][k+1] {
			return k
		}
	}
	return -1
}
