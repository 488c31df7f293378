package sample

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"
)

// digits is how many binary digits the direction numbers have: enough for 2³² points.
const digits = 32

// Sobol is Sobol's sequence in the unit cube: any 2ᵏ points from a multiple of 2ᵏ on fill it as evenly as the
// direction numbers allow. Point i is
//
//	x = (b₁ v₁) ⊕ (b₂ v₂) ⊕ ...,   g = i ⊕ ⌊i/2⌋ = ... b₂ b₁ in binary,
//
// with direction numbers vₖ = mₖ/2ᵏ and, beyond the published m₁ ... mₛ of a polynomial of degree s,
//
//	mₖ = 2a₁mₖ₋₁ ⊕ 2²a₂mₖ₋₂ ⊕ ... ⊕ 2ˢ⁻¹aₛ₋₁mₖ₋ₛ₊₁ ⊕ 2ˢmₖ₋ₛ ⊕ mₖ₋ₛ.
//
// Source: I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86-112; the order by Gray's code: I. A. Antonov,
// V. M. Saleev, ibid. 19 (1980) 252-256; the direction numbers: see joeKuo.
//
// With a seed the digits are scrambled, see scramble: the points stay as even, and no longer sit on the cube's corner
// and centre.
type Sobol struct {
	seed uint64
	v    [][digits]uint32 // for each column
}

// NewSobol returns the sequence for so many columns, 1 to MostColumns. Seed 0 leaves it as published, beginning at the
// corner 0; any other seed scrambles it.
func NewSobol(columns int, seed uint64) (*Sobol, error) {
	if columns < 1 || columns > MostColumns {
		return nil, fmt.Errorf("a Sobol sequence has 1 to %d columns, not %d: vary fewer inputs, or take a Latin hypercube", MostColumns, columns)
	}
	s := &Sobol{seed: seed, v: make([][digits]uint32, columns)}
	for k := range digits {
		s.v[0][k] = 1 << (digits - 1 - k)
	}
	lines := strings.Split(strings.TrimSpace(joeKuo), "\n")
	for c := 1; c < columns; c++ {
		v, err := directions(lines[c-1])
		if err != nil {
			return nil, fmt.Errorf("direction numbers of column %d: %w", c+1, err)
		}
		s.v[c] = v
	}
	return s, nil
}

// directions reads a line of joeKuo and goes on by the recurrence.
func directions(line string) (v [digits]uint32, err error) {
	var n []uint32
	for _, f := range strings.Fields(line) {
		u, err := strconv.ParseUint(f, 10, 32)
		if err != nil {
			return v, err
		}
		n = append(n, uint32(u))
	}
	if len(n) < 3 || len(n) != 2+int(n[0]) {
		return v, fmt.Errorf("%q does not hold a degree, its coefficients and as many integers", line)
	}
	s, a, m := int(n[0]), n[1], n[2:]
	for k := range digits {
		if k < s {
			v[k] = m[k] << (digits - 1 - k)
			continue
		}
		v[k] = v[k-s] ^ v[k-s]>>s
		for j := 1; j < s; j++ {
			if a>>(s-1-j)&1 == 1 {
				v[k] ^= v[k-j]
			}
		}
	}
	return v, nil
}

// Columns is the number of columns.
func (s *Sobol) Columns() int { return len(s.v) }

// At writes point i, 0 ≤ i < 2³², into u, which has a place for each column. All values are within 0 ≤ u < 1; with a
// seed none is 0.
func (s *Sobol) At(i int64, u []float64) {
	for c := range s.v {
		var x uint32
		for g := uint32(i) ^ uint32(i)>>1; g != 0; g &= g - 1 {
			x ^= s.v[c][bits.TrailingZeros32(g)]
		}
		if s.seed == 0 {
			u[c] = float64(x) / (1 << digits)
		} else {
			u[c] = scramble(x, s.seed, c)
		}
	}
}
