package heat

import "math"

// ranges is where media melt over a range in the step in hand, by block of the coarse error: cells come to the ends of a range one by
// one, and the estimate takes that for an error.
type ranges struct {
	q       *coarse
	share   []float64 // by medium: what the square of the error counts where some of it melts
	crosses []bool    // by plane: a cell may do
	melts   []bool    // by block
	layers  []bool    // by layer of blocks: some block does
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
	g.crosses, g.melts, g.layers = make([]bool, s.b.nz), make([]bool, len(q.even)), make([]bool, len(q.even)/(q.nx*q.ny))
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

// crossesPlane notes whether a cell of plane k may melt over a range in the step that ends with the enthalpies end.
func (s *solver) crossesPlane(k int, end []float64) {
	b, g := s.b, s.coarse.ranges
	g.crosses[k] = false
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		if g.share[r.medium] < 1 && s.crosses(r, end) {
			g.crosses[k] = true
			return
		}
	}
}

// crosses tells whether some cell of a run is above the least enthalpy of its medium's range at an end of the step, and some cell below
// the highest.
func (s *solver) crosses(r span, end []float64) bool {
	e := s.b.enthalpy[r.medium]
	high, low := s.loops.Extremes(end[r.from:r.to], -inf, inf)
	high, low = s.loops.Extremes(s.y0[r.from:r.to], high, low)
	return high > e.Hs && low < e.Hl
}

// meltsPlane notes in which blocks that begin with plane k a medium melts over a range.
func (s *solver) meltsPlane(k int) {
	q := s.coarse
	if k > 0 && q.k[k-1] == q.k[k] {
		return
	}
	g, layer, columns := q.ranges, q.k[k], q.nx*q.ny
	clear(g.melts[layer*columns:][:columns])
	g.layers[layer] = false
	for ; k < s.b.nz && q.k[k] == layer; k++ {
		if s.thin != nil {
			s.crossesPlane(k, s.ya)
		}
		if g.crosses[k] {
			s.melts(k)
		}
	}
}

// melts notes in which blocks cells of plane k are within the range of their medium in the candidate step, at an end of it or on the way.
func (s *solver) melts(k int) {
	b, q := s.b, s.coarse
	g, columns := q.ranges, q.nx*q.ny
	melts, medium := g.melts[q.k[k]*columns:][:columns], q.medium[q.k[k]*columns:][:columns]
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		if g.share[r.medium] == 1 {
			continue
		}
		hs, hl := b.enthalpy[r.medium].Hs, b.enthalpy[r.medium].Hl
		for from := r.from; from < r.to; {
			j := (int(from) - k*s.pad) / b.nx
			first := k*s.pad + j*b.nx // of the row
			row := span{from, min(r.to, int32(first+b.nx)), r.medium}
			from = row.to
			if !s.crosses(row, s.ya) {
				continue
			}
			end := s.ya[row.from:row.to]
			for c, h := range s.y0[row.from:row.to] {
				if e := end[c]; (h <= hs && e <= hs) || (h >= hl && e >= hl) {
					continue
				}
				if at := q.j[j]*q.nx + q.i[int(row.from)+c-first]; medium[at] == r.medium {
					melts[at], g.layers[q.k[k]] = true, true
				}
			}
		}
	}
}

// about tells whether a medium melts over a range in a layer of blocks or beside it.
func (g *ranges) about(layer int) bool {
	return g.layers[layer] || layer > 0 && g.layers[layer-1] || layer+1 < len(g.layers) && g.layers[layer+1]
}

// near tells whether a medium melts over a range in the block of a layer and column, or in one that has a face in common with it.
func (g *ranges) near(layer, column int) bool {
	nx, ny := g.q.nx, g.q.ny
	columns := nx * ny
	at := layer*columns + column
	i, j := column%nx, column/nx
	return g.melts[at] || i > 0 && g.melts[at-1] || i+1 < nx && g.melts[at+1] || j > 0 && g.melts[at-nx] || j+1 < ny && g.melts[at+nx] ||
		layer > 0 && g.melts[at-columns] || at+columns < len(g.melts) && g.melts[at+columns]
}
