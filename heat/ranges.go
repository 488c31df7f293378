package heat

import (
	"math"
	"math/bits"
)

// ranges is where media melt over a range in the step in hand, by block of the coarse error: cells come to the ends of a range one by
// one, and the estimate takes that for an error.
type ranges struct {
	q       *coarse
	share   []float64 // by medium: what the square of the error counts where some of it melts
	melts   []bool    // by plane of cells and column of blocks
	planes  []bool    // by plane: somewhere in it
	first   []int     // by layer of blocks: its first plane; one more at the end
	columns []int32   // by cell of a plane: its column of blocks
	marks   []uint64  // by plane, for a run of it: a bit for each cell that is within its range
}

// rangeShare is what the square of the error counts at the least in blocks of a medium that melts over a range, in steps in which a cell
// of theirs or of a neighbour melts: the sharper the capacity jumps there, the more the estimate sees of it. Measured on the small
// benchmark B1: see docs/decisions/0006.
const rangeShare = 0.25

// layRanges returns nil where no medium's error counts less while it melts.
func layRanges(s *solver) *ranges {
	q := s.coarse
	g := &ranges{q: q}
	some := false
	for i := range s.b.rec.Media {
		share := s.shareOf(i)
		g.share = append(g.share, share)
		some = some || share < 1
	}
	if !some {
		return nil
	}
	g.melts, g.planes, g.first = make([]bool, s.b.nz*q.nx*q.ny), make([]bool, s.b.nz), firsts(q.k)
	g.marks = make([]uint64, s.b.nz*words(s.pad))
	for _, j := range q.j {
		for _, i := range q.i {
			g.columns = append(g.columns, int32(j*q.nx+i))
		}
	}
	return g
}

// shareOf returns what the square of the error counts in blocks in which a medium melts: the ratio of the heat capacity beside the
// range to that within it, rangeShare at the least; 1 where it melts at one temperature, whose cells count by themselves, or not.
func (s *solver) shareOf(medium int) float64 {
	m, e := &s.b.rec.Media[medium], s.b.enthalpy[medium]
	if m.Latent == 0 || s.net.tables[medium].sharp {
		return 1
	}
	within := (e.Hl - e.Hs) / (m.Liquidus - m.Solidus)
	return math.Max(rangeShare, math.Min(1, e.MinCp/within))
}

// meltsPlane notes in which columns of blocks cells of plane k are within the range of their medium in the step that ends with the
// enthalpies ya, at an end of it or on the way.
func (s *solver) meltsPlane(k int, ya []float64) {
	b, g := s.b, s.coarse.ranges
	if g == nil {
		return
	}
	n := g.q.nx * g.q.ny
	melts := g.melts[k*n:][:n]
	if g.planes[k] {
		clear(melts)
		g.planes[k] = false
	}
	medium := g.q.medium[g.q.k[k]*len(melts):][:len(melts)]
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		if g.share[r.medium] == 1 {
			continue
		}
		e := b.enthalpy[r.medium]
		marks := g.marks[k*words(s.pad):][:words(int(r.to-r.from))]
		s.loops.Astride(marks, s.y0[r.from:r.to], ya[r.from:r.to], e.Hs, e.Hl)
		places := g.columns[int(r.from)-k*s.pad:]
		for i, word := range marks {
			for ; word != 0; word &= word - 1 {
				if at := places[64*i+bits.TrailingZeros64(word)]; medium[at] == r.medium {
					melts[at] = true
					g.planes[k] = true
				}
			}
		}
	}
}

// words returns how many words hold a bit for each of so many cells.
func words(cells int) int { return (cells + 63) / 64 }

// about tells whether a medium melts over a range in a layer of blocks or beside it.
func (g *ranges) about(layer int) bool {
	for k := g.first[max(0, layer-1)]; k < g.first[min(layer+2, len(g.first)-1)]; k++ {
		if g.planes[k] {
			return true
		}
	}
	return false
}

// near tells whether a medium melts over a range in the block i, j of a layer, or in one that has a face in common with it.
func (g *ranges) near(layer, i, j int) bool {
	nx, ny := g.q.nx, g.q.ny
	column := j*nx + i
	from, to := g.first[layer], g.first[layer+1]
	for k := from; k < to; k++ {
		at := k*nx*ny + column
		if g.melts[at] || i > 0 && g.melts[at-1] || i+1 < nx && g.melts[at+1] || j > 0 && g.melts[at-nx] || j+1 < ny && g.melts[at+nx] {
			return true
		}
	}
	last := len(g.first) - 1
	return layer > 0 && g.column(column, g.first[layer-1], from) || layer+1 < last && g.column(column, to, g.first[layer+2])
}

// column tells whether a medium melts over a range in some block's plane of a column, of the planes from..to.
func (g *ranges) column(column, from, to int) bool {
	for k := from; k < to; k++ {
		if g.melts[k*g.q.nx*g.q.ny+column] {
			return true
		}
	}
	return false
}
