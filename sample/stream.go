package sample

import "math/bits"

// Stream gives the points of a scrambled Sobol sequence one after the other, each for the cost of a few operations a
// column, for sums over millions of points. Its scrambling is linear: each column's direction numbers, as vectors of
// binary digits, are multiplied by a random lower triangular matrix L with ones on its diagonal, and a random number s is
// added to each point, digit by digit:
//
//	x = L v₁b₁ ⊕ L v₂b₂ ⊕ ... ⊕ s
//
// The points stay as even as the sequence, and any one of them is spread evenly over the cube, so that means over it have
// no bias, and means by independent seeds tell the error.
//
// Source: J. Matoušek, "On the L2-discrepancy for anchored boxes", J. Complexity 14 (1998) 527-556.
type Stream struct {
	v []([digits]uint32) // for each column
	x []uint32           // the point that comes next
	i uint32             // its number
}

// NewStream returns the sequence for so many columns, 1 to MostColumns, its matrices drawn from the seed. It begins at
// point 0 without an addition: see Begin.
func NewStream(columns int, seed uint64) (*Stream, error) {
	plain, err := NewSobol(columns, 0)
	if err != nil {
		return nil, err
	}
	s := &Stream{v: plain.v, x: make([]uint32, columns)}
	for c := range s.v {
		key := mix(seed ^ mix(uint64(c)+1))
		var rows [digits]uint32 // of the matrix: digit j of the result takes those digits before it, and itself
		for j := range rows {
			own := uint32(1) << (digits - 1 - j)
			rows[j] = uint32(mix(key^uint64(j+1)))&^(own<<1-1) | own
		}
		for k, v := range s.v[c] {
			out := uint32(0)
			for _, row := range rows {
				out = out<<1 | uint32(bits.OnesCount32(row&v)&1)
			}
			s.v[c][k] = out
		}
	}
	return s, nil
}

// Begin goes to point i, 0 ≤ i < 2³², with the additions drawn from shift. Streams of one seed and other shifts share
// their matrices.
func (s *Stream) Begin(i int64, shift uint64) {
	s.i = uint32(i)
	for c := range s.v {
		x := uint32(mix(shift ^ mix(uint64(c)+0x5eed)))
		for g := s.i ^ s.i>>1; g != 0; g &= g - 1 {
			x ^= s.v[c][bits.TrailingZeros32(g)]
		}
		s.x[c] = x
	}
}

// Next writes a point into u, which has a place for each column, and goes to the next. All values are within 0 < u < 1.
func (s *Stream) Next(u []float64) {
	s.i++
	k := bits.TrailingZeros32(s.i) & (digits - 1)
	for c := range s.x {
		x := s.x[c]
		u[c] = (float64(x) + 0.5) / (1 << digits)
		s.x[c] = x ^ s.v[c][k]
	}
}
