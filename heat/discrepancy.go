package heat

import "math"

// coarse is the blocks of 2 x 2 x 2 cells over which the step's error is taken as a mean. What alternates from cell to
// cell, as where a front passes through them one by one, decays by itself within moments and leaves nothing behind; a
// step that followed it would be many times shorter and no more accurate. Blocks that hold more than one medium, or one
// that melts at one temperature, count cell by cell, of the latter with a share (sharpShare). Blocks lie alike from both ends of a row, so that a mirrored body has
// the mirrored blocks.
type coarse struct {
	nx, ny  int       // blocks along depth and width
	i, j, k []int     // block of a cell by its place along each axis
	even    []bool    // by block: no more than one medium
	medium  []int16   // by block: the medium of an even one, -1 where there is none
	ranges  *ranges   // nil: no medium melts over a range
	sum     []float64 // K m³, by plane of cells and column of blocks
	volume  []float64 // m³, of what counts, by block
	pairs   int       // blocks of two cells from either end of a row; between them lie single cells, three at most
	first   []int     // by block along depth: its first cell; one more at the end
	row     []float64 // K m³, of the rows of cells in hand, by plane
	change  []float64 // J/kg, over the step, of the row in hand, by plane
	rows    []int     // by block along width: its first row; one more at the end
	uneven  []bool    // by block along width, for each along height: some block in the row of blocks counts cell by cell
	singles []float64 // K² m³, by plane of cells
}

// sharpShare is what the square of the error counts in cells that melt at one temperature. They hand heat to and fro with
// their neighbours as fronts reach and leave them, and the estimate takes that for an error: in a block of aluminium and
// tin that melts it shows kelvins where doubled steps move the mean by hundredths. How far fronts may go in a step is
// bounded beside it (frontShare).
const sharpShare = 0.5

func newCoarse(b *body, net *network) *coarse {
	q := &coarse{i: blocks(b.nx), j: blocks(b.ny), k: blocks(b.nz)}
	q.nx, q.ny = q.i[b.nx-1]+1, q.j[b.ny-1]+1
	q.sum, q.row, q.change = make([]float64, b.nz*q.nx*q.ny), make([]float64, b.nz*b.nx), make([]float64, b.nz*b.nx)
	q.first, q.rows = firsts(q.i), firsts(q.j)
	for q.pairs < q.nx/2 && q.first[q.pairs+1] == 2*(q.pairs+1) {
		q.pairs++
	}
	q.singles = make([]float64, b.nz)
	media := make([]int16, (q.k[b.nz-1]+1)*q.nx*q.ny) // 1 + medium; -1: several
	for k := range b.nz {
		for j := range b.ny {
			for i := range b.nx {
				c := b.g.Index(i, j, k)
				at := &media[(q.k[k]*q.ny+q.j[j])*q.nx+q.i[i]]
				switch m := b.medium[c] + 1; {
				case m == 0 || *at == m:
				case net.tables[m-1].sharp:
					*at = -1
				case *at == 0:
					*at = m
				default:
					*at = -1
				}
			}
		}
	}
	q.even, q.volume, q.medium = make([]bool, len(media)), make([]float64, len(media)), media
	q.uneven = make([]bool, len(media)/q.nx)
	for i, m := range media {
		q.even[i] = m >= 0 // where there is nothing all is zero
		q.medium[i] = max(m-1, -1)
		q.uneven[i/q.nx] = q.uneven[i/q.nx] || m < 0
	}
	return q
}

// firsts returns the first cell of each block, for the blocks of the cells along an axis, and then how many cells there are.
func firsts(blocks []int) []int {
	var at []int
	for c, block := range blocks {
		if block == len(at) {
			at = append(at, c)
		}
	}
	return append(at, len(blocks))
}

// blocks gives n cells in a row their blocks: pairs from both ends, and single cells in the middle where pairs do not
// meet.
func blocks(n int) []int {
	at := make([]int, n)
	half := (n + 1) / 2
	if n%2 == 0 && n%4 != 0 {
		half++ // a pair in the middle
	}
	last := 0
	for i := range half {
		at[i] = i / 2
		if n%2 == 1 && i == n/2 && i > 0 {
			at[i] = at[i-1] + 1
		}
		last = at[i]
	}
	count := 2*last + 1
	if n%4 == 0 {
		count = n / 2
	}
	for i := half; i < n; i++ {
		at[i] = count - 1 - at[n-1-i]
	}
	return at
}

// discrepancy returns the estimated local error of the candidate in K: the root of the mean square over the
// solid's volume, in blocks of cells, of
//
//	e = 4/5 (y0 - y1) + 2/5 τ (F0 + F1)
//
// divided by the heat capacity. Source: Sommeijer, Shampine & Verwer 1998, Eq. 3.1.
//
// Without implicit parts the sums by columns of blocks have been made with the last evaluation.
func (s *solver) discrepancy() float64 {
	if s.thin != nil {
		s.team.each(&s.jobs.discrepancy)
	}
	s.team.each(&s.jobs.blocks)
	sum := 0.0
	for k, v := range s.errs {
		sum += v + s.coarse.singles[k]
	}
	if s.thin != nil {
		sum += s.thin.discrepancy(s)
	}
	return math.Sqrt(sum / s.solid)
}

// discrepancyPlane adds up the error of plane k by columns of blocks. The step's change is in ya, or, once that has landed, ya
// less y0.
func (s *solver) discrepancyPlane(k int, ya []float64, landed bool) {
	b, q := s.b, s.coarse
	columns := q.nx * q.ny
	sum := q.sum[k*columns : (k+1)*columns]
	clear(sum)
	row := q.row[k*b.nx : (k+1)*b.nx]
	part := 0.4 * s.tau
	singles := 0.0
	for block := range q.ny {
		uneven := q.uneven[q.k[k]*q.ny+block]
		clear(row)
		for j := q.rows[block]; j < q.rows[block+1]; j++ {
			from := k*s.pad + j*b.nx
			to := from + b.nx
			change := ya[from:to]
			if landed {
				change = q.change[k*b.nx : (k+1)*b.nx]
				s.loops.Triad(change, ya[from:to], s.y0[from:to], -1)
			}
			s.loops.Misses(row, change, s.f0[from:to], s.f1[from:to], s.errorWeight[from:to], 0.8, part)
			if uneven {
				singles += s.unevenRow(k, block, from, row, change)
				clear(row)
			}
		}
		if !uneven {
			q.gather(sum[block*q.nx:][:q.nx], row)
		}
	}
	q.singles[k] = singles
}

// gather adds up a row by blocks.
func (q *coarse) gather(of, row []float64) {
	from, to := q.pairs, len(of)-q.pairs
	gatherPairs(of[:from], row)
	for block := from; block < to; block++ {
		for _, v := range row[q.first[block]:q.first[block+1]] {
			of[block] += v
		}
	}
	gatherPairs(of[to:], row[q.first[to]:])
}

// gatherPairs adds up a row by pairs.
func gatherPairs(of, row []float64) {
	for len(of) > 0 && len(row) > 1 {
		of[0] = of[0] + row[0] + row[1]
		of, row = of[1:], row[2:]
	}
}

// unevenRow adds the errors of a row of plane k that begins with the cell from to its blocks, and returns what cells count by
// themselves.
func (s *solver) unevenRow(k, block, from int, row, change []float64) (singles float64) {
	q := s.coarse
	columns := q.nx * q.ny
	of, alike := q.sum[k*columns+block*q.nx:][:q.nx], q.even[q.k[k]*columns+block*q.nx:][:q.nx]
	for i := range of {
		first := q.first[i]
		cells := row[first:q.first[i+1]]
		if alike[i] {
			for _, v := range cells {
				of[i] += v
			}
			continue
		}
		for c, v := range cells {
			if v != 0 {
				singles += s.single(from+first+c, v, change[first+c])
			}
		}
	}
	return singles
}

// single returns what a cell counts by itself, in K² m³, whose error times its weight is v and which changed by so much, in
// J/kg.
func (s *solver) single(c int, v, change float64) float64 {
	m := s.b.medium[c]
	e := 0.4*s.tau*(s.f0[c]+s.f1[c]) - 0.8*change
	off := e * v * s.net.ratio[m]
	if s.net.tables[m].sharp {
		off *= sharpShare
	}
	return off
}

// blocksPlane joins plane k and the next to blocks where plane k is the first of its block.
func (s *solver) blocksPlane(k int) {
	s.errs[k] = 0
	q := s.coarse
	if k > 0 && q.k[k-1] == q.k[k] {
		return
	}
	columns := q.nx * q.ny
	sum, volume := q.sum[k*columns:(k+1)*columns], q.volume[q.k[k]*columns:(q.k[k]+1)*columns]
	medium := q.medium[q.k[k]*columns:][:columns]
	next := sum
	both := k+1 < s.b.nz && q.k[k+1] == q.k[k]
	if both {
		next = q.sum[(k+1)*columns : (k+2)*columns]
	}
	total := 0.0
	g := q.ranges
	if g != nil && !g.about(q.k[k]) {
		g = nil
	}
	for j := range q.ny {
		for i := range q.nx {
			at := j*q.nx + i
			v := volume[at]
			if v == 0 {
				continue
			}
			e := sum[at]
			if both {
				e += next[at]
			}
			e *= e / v
			if m := medium[at]; g != nil && m >= 0 && g.share[m] < 1 && g.near(q.k[k], i, j) {
				e *= g.share[m]
			}
			total += e
		}
	}
	s.errs[k] = total
}
