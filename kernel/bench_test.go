package kernel

import (
	"fmt"
	"math"
	"testing"
)

// Bytes that a loop must move for each cell, every array counted once: a value that is read and written counts twice;
// that a write may first fetch its line is not counted, here as in the triad.
const (
	flowBytes  = 8 + 3*4 + 4 + 8         // T, three conductances, 1/mass; F out
	stageBytes = 8 + 3*4 + 4 + 3*8 + 2*8 // T, three conductances, 1/mass; y0, ya, f0; y in and out
	readBytes  = 2*8 + 8                 // y0, the increment; T out
	errorBytes = 5 * 8                   // y0, y1, f0, f1, v
	triadBytes = 3 * 8                   // b, c; a out
)

// each runs a benchmark for every set and size. A stage has 56 bytes a cell in hand: 2, 16 and 56 MB, which is about
// twice the second cache of many cores, what a last cache holds, and more than that.
func each(b *testing.B, bytes int, loop func(set *Set, x *box) func()) {
	for _, set := range sets(b) {
		for _, s := range [][3]int{{40, 30, 30}, {80, 60, 60}, {100, 100, 100}} {
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
