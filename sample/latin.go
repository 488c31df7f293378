package sample

import (
	"fmt"
	"math/rand/v2"
)

// Latin is a Latin hypercube of N points: each column has exactly one point in each N-th of its range.
//
//	uᵢc = (πc(i) + rᵢc) / N
//
// with a random permutation πc for each column and r evenly drawn from 0..1.
// Source: M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979) 239-245.
type Latin struct {
	seed uint64
	rank [][]uint32 // for each column the permutation
}

// mostLatin bounds the memory of the permutations to a few hundred megabytes.
const mostLatin = 100_000_000

// NewLatin returns a hypercube of n points in so many columns. Any seed, 0 as well, draws.
func NewLatin(n int64, columns int, seed uint64) (*Latin, error) {
	if n < 1 || columns < 1 {
		return nil, fmt.Errorf("a Latin hypercube needs at least one point and one column, not %d and %d", n, columns)
	}
	if n > mostLatin/int64(columns) {
		return nil, fmt.Errorf("a Latin hypercube of %d points in %d columns is too large: at most %d numbers are kept; a Sobol sequence keeps none", n, columns, mostLatin)
	}
	l := &Latin{seed: seed, rank: make([][]uint32, columns)}
	for c := range l.rank {
		r := rand.New(rand.NewPCG(seed, uint64(c)+1))
		l.rank[c] = make([]uint32, n)
		for i := range l.rank[c] {
			l.rank[c][i] = uint32(i)
		}
		r.Shuffle(int(n), func(i, j int) { l.rank[c][i], l.rank[c][j] = l.rank[c][j], l.rank[c][i] })
	}
	return l, nil
}

// Columns is the number of columns.
func (l *Latin) Columns() int { return len(l.rank) }

// At writes point i, 0 ≤ i < N, into u. All values are within 0 < u < 1.
func (l *Latin) At(i int64, u []float64) {
	for c, rank := range l.rank {
		draw := mix(mix(l.seed^mix(uint64(c)+1))^uint64(i)) >> 12
		u[c] = (float64(rank[i]) + (float64(draw)+0.5)/(1<<52)) / float64(len(rank))
		if u[c] >= 1 {
			u[c] = 1 - 1.0/(1<<53)
		}
	}
}
