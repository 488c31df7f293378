package kernel

import (
	"fmt"
	"math"
	"testing"
)

// Bytes that a loop must move for each cell, every array counted once: a value that is read and written counts twice;
// that a write may first fetch its line is not counted, here as in the triad.
const (
	flowBytes   = 8 + 3*4 + 4 + 8         // T, three conductances, 1/mass; F out
	stageBytes  = 8 + 3*4 + 4 + 3*8 + 2*8 // T, three conductances, 1/mass; y0, ya, f0; y in and out
	readBytes   = 2*8 + 8                 // y0, the increment; T out
	withinBytes = 5 * 8                   // a, b, f, g; y out
	missesBytes = 6 * 8                   // d, f0, f1, weight; v in and out
	sumBytes    = 2 * 8                   // two to weigh or to compare
	pullBytes   = 6*8 + 4                 // t, w, three coefficients; y in and out
	linkBytes   = 5*8 + 4                 // two temperatures, two integrals, shape; g out
	triadBytes  = 3 * 8                   // b, c; a out
)

// each runs a benchmark for every set and size. A stage has 56 bytes a cell in hand: half a MB, 2, 16 and 56 MB, which
// lies in the second cache of many cores, is about twice that, what a last cache holds, and more.
func each(b *testing.B, bytes int, loop func(set *Set, x *box) func()) {
	for _, set := range sets(b) {
		for _, s := range [][3]int{{40, 30, 8}, {40, 30, 30}, {80, 60, 60}, {100, 100, 100}} {
			cells := s[0] * s[1] * s[2]
			b.Run(fmt.Sprintf("kernel=%s/cells=%d", set.Name, cells), func(b *testing.B) {
				x := newBox(s[0], s[1], s[2], 1)
				x.Mu, x.Nu, x.Mt, x.Gt = 0.2, 0.3, 1e-9, 1e-9 // contracts, so that repeated stages stay numbers
				run := loop(set, x)
				b.SetBytes(int64(bytes * cells))
				b.ReportAllocs()
				for b.Loop() {
					run()
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cells), "ns/cell")
			})
		}
	}
}

func BenchmarkFlow(b *testing.B) {
	each(b, flowBytes, func(set *Set, x *box) func() {
		return func() { set.Flow(&x.Sweep, 0, x.cells()) }
	})
}

func BenchmarkStage(b *testing.B) {
	each(b, stageBytes, func(set *Set, x *box) func() {
		return func() { set.Stage(&x.Sweep, 0, x.cells()) }
	})
}

// BenchmarkRead reads fields that change smoothly over 400 K of an arc with a node a kelvin.
func BenchmarkRead(b *testing.B) { benchmarkRead(b, 400) }

// BenchmarkReadStraight reads the same where the heat capacity is constant.
func BenchmarkReadStraight(b *testing.B) { benchmarkRead(b, 1) }

func benchmarkRead(b *testing.B, nodes int) {
	each(b, readBytes, func(set *Set, x *box) func() {
		arc := newArc(nodes, 1)
		curve := join(arc)
		for c := range x.Ya {
			x.Ya[c] = arc.From + (arc.To-arc.From)*(0.5-0.4*math.Cos(float64(c)*0.01))
			x.F0[c] = 1
		}
		return func() {
			if n := set.Read(x.Y, x.Ya, x.F0, curve); n != x.cells() {
				b.Fatalf("read %d of %d", n, x.cells())
			}
		}
	})
}

// BenchmarkReadMixed reads cells that lie on three straight arcs, neighbours often on different ones: as in a block that
// melts.
func BenchmarkReadMixed(b *testing.B) {
	each(b, readBytes, func(set *Set, x *box) func() {
		curve := newCurve(1, 1, 1)
		for c := range x.Ya {
			x.Ya[c] = curve.From[0] + (curve.From[MostArcs]-curve.From[0])*(0.5+0.3*math.Sin(float64(c)*0.02)+0.1*math.Sin(float64(c)*1.7))
			x.F0[c] = 1
		}
		return func() {
			if n := set.Read(x.Y, x.Ya, x.F0, curve); n != x.cells() {
				b.Fatalf("read %d of %d", n, x.cells())
			}
		}
	})
}

// BenchmarkReadShort reads a plane that lies in runs of few cells: what a call costs.
func BenchmarkReadShort(b *testing.B) {
	for _, nodes := range []int{1, 400} {
		arc := newArc(nodes, 1)
		curve := join(arc)
		for _, set := range sets(b) {
			for _, run := range []int{1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 24, 32} {
				b.Run(fmt.Sprintf("nodes=%d/kernel=%s/run=%d", nodes, set.Name, run), func(b *testing.B) {
					const cells = 960
					x, y, out := make([]float64, cells), make([]float64, cells), make([]float64, cells)
					for c := range x {
						x[c] = arc.From + (arc.To-arc.From)*(0.5-0.4*math.Cos(float64(c)*0.01))
					}
					for b.Loop() {
						for c := 0; c+run <= cells; c += run {
							set.Read(out[c:c+run], x[c:c+run], y[c:c+run], curve)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cells/run*run), "ns/cell")
				})
			}
		}
	}
}

func BenchmarkWithin(b *testing.B) {
	each(b, withinBytes, func(set *Set, x *box) func() {
		return func() {
			set.Within(x.Y, x.Ya, x.before, x.F0, x.T[x.Plane:][:x.cells()], Course{On: 0.3, Bow: 0.2, Inv: 0.1})
		}
	})
}

func BenchmarkMisses(b *testing.B) {
	each(b, missesBytes, func(set *Set, x *box) func() {
		T := x.T[x.Plane:][:x.cells()]
		return func() { set.Misses(x.Y, x.Ya, x.F0, T, T, 0.8, 0.1) }
	})
}

func BenchmarkWeigh(b *testing.B) {
	each(b, sumBytes, func(set *Set, x *box) func() {
		return func() { set.Weigh(x.Ya, x.before) }
	})
}

func BenchmarkExtremes(b *testing.B) {
	each(b, sumBytes/2, func(set *Set, x *box) func() {
		return func() { set.Extremes(x.Ya, 0, 0) }
	})
}

func BenchmarkAstride(b *testing.B) {
	each(b, sumBytes, func(set *Set, x *box) func() {
		marks := make([]uint64, (len(x.Ya)+63)/64)
		return func() { set.Astride(marks, x.Ya, x.before, 0, 1) }
	})
}

func BenchmarkApart(b *testing.B) {
	each(b, sumBytes, func(set *Set, x *box) func() {
		return func() { set.Apart(x.Ya, x.before) }
	})
}

func BenchmarkPull(b *testing.B) {
	each(b, pullBytes, func(set *Set, x *box) func() {
		return func() { set.Pull(x.Y, x.Ya, x.W, x.before, x.F0, x.Ya, 1e-30) }
	})
}

// BenchmarkLink takes temperatures that differ everywhere, as what a kernel takes without a stop.
func BenchmarkLink(b *testing.B) {
	each(b, linkBytes, func(set *Set, x *box) func() {
		n := x.cells()
		for c := range n {
			x.Ya[c], x.before[c], x.F0[c] = 300+float64(c%7), 2*float64(c%7), 1
		}
		return func() {
			if got := set.Link(x.Gx[:n-1], x.Ya[:n-1], x.Ya[1:], x.before[:n-1], x.before[1:], x.F0[:n-1], 1, 0.01); got != n-1 {
				b.Fatalf("linked %d of %d", got, n-1)
			}
		}
	})
}

// BenchmarkTriad is the yardstick: a = b + s c over arrays that together are as large as a stage's.
func BenchmarkTriad(b *testing.B) {
	for _, set := range sets(b) {
		for _, cells := range []int{36000, 288000, 1000000} {
			b.Run(fmt.Sprintf("kernel=%s/cells=%d", set.Name, cells), func(b *testing.B) {
				n := stageBytes * cells / triadBytes
				x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
				for i := range y {
					y[i], z[i] = float64(i), 1
				}
				b.SetBytes(int64(triadBytes * n))
				for b.Loop() {
					set.Triad(x, y, z, 3)
				}
			})
		}
	}
}
