package sample

import (
	"math"
	"testing"

	"emberbank/internal/testkit"
)

func stream(t *testing.T, columns int, seed uint64) *Stream {
	t.Helper()
	s, err := NewStream(columns, seed)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestStreamFillsEverySlice: of 2ᵏ points from a multiple of 2ᵏ on, each slice of 1/2ᵏ holds one in every column, and each
// box of the first two columns with an area of 1/2ᵏ too: scrambling keeps the evenness.
func TestStreamFillsEverySlice(t *testing.T) {
	const k = 10
	s := stream(t, 10, 7)
	u := make([]float64, 10)
	for _, start := range []int64{0, 1 << k, 5 << k} {
		s.Begin(start, 11)
		slices := make([][1 << k]int, 10)
		boxes := map[[3]int]int{}
		for range 1 << k {
			s.Next(u)
			for c := range u {
				if u[c] <= 0 || u[c] >= 1 {
					t.Fatalf("column %d holds %g", c, u[c])
				}
				slices[c][int(u[c]*(1<<k))]++
			}
			for cut := range k + 1 {
				boxes[[3]int{cut, int(u[0] * float64(int(1)<<cut)), int(u[1] * float64(int(1)<<(k-cut)))}]++
			}
		}
		for c := range slices {
			for i, n := range slices[c] {
				if n != 1 {
					t.Fatalf("from %d on, column %d: slice %d holds %d points", start, c, i, n)
				}
			}
		}
		for b, n := range boxes {
			if n != 1 {
				t.Fatalf("from %d on, box %v holds %d points", start, b, n)
			}
		}
	}
}

// TestStreamGoesOnWhereItBegins: points do not hang on where one begins to count.
func TestStreamGoesOnWhereItBegins(t *testing.T) {
	s, o := stream(t, 4, 3), stream(t, 4, 3)
	u, w := make([]float64, 4), make([]float64, 4)
	s.Begin(0, 9)
	for i := range int64(200) {
		s.Next(u)
		o.Begin(i, 9)
		o.Next(w)
		for c := range u {
			if u[c] != w[c] {
				t.Fatalf("point %d differs in column %d: %g and %g", i, c, u[c], w[c])
			}
		}
	}
}

// TestSeedsOfAStreamTellItsError: the mean of a smooth product over many seeds is its integral, with no bias beyond what their
// spread allows, and the spread is far below that of independent points.
func TestSeedsOfAStreamTellItsError(t *testing.T) {
	const seeds, n = 200, 256
	u := make([]float64, 3)
	sum, square := 0.0, 0.0
	for seed := range uint64(seeds) {
		s := stream(t, 3, seed)
		s.Begin(0, seed+1000)
		mean := 0.0
		for range n {
			s.Next(u)
			mean += math.Exp(u[0]) * (u[1] + 0.5) * math.Sin(math.Pi*u[2]) / n
		}
		sum, square = sum+mean, square+mean*mean
	}
	want := (math.E - 1) * 2 / math.Pi
	mean := sum / seeds
	sd := math.Sqrt(square/seeds - mean*mean)
	testkit.Close(t, "mean over the seeds, exact by hand", mean, want, 0, 4*sd/math.Sqrt(seeds))
	if sd > 0.005*want { // independent points: 0.65/√256 = 4 %
		t.Errorf("seeds differ by %g of %g", sd, want)
	}
	next := stream(t, 3, 1)
	if allocs := testing.AllocsPerRun(10, func() { next.Next(u) }); allocs > 0 {
		t.Errorf("a point costs %g allocations", allocs)
	}
}
