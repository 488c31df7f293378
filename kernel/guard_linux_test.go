package kernel

import (
	"math"
	"syscall"
	"testing"
	"unsafe"
)

// guarded returns a copy of v that ends where memory ends, or begins where it begins: one step beside it is a fault.
func guarded[E float32 | float64 | uint64](t *testing.T, v []E, atEnd bool) []E {
	t.Helper()
	size, page := len(v)*int(unsafe.Sizeof(v[0])), syscall.Getpagesize()
	inner := (size + page - 1) / page * page
	m, err := syscall.Mmap(-1, 0, inner+2*page, syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE)
	if err != nil {
		t.Skipf("no memory to guard: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Munmap(m); err != nil {
			t.Error(err)
		}
	})
	for _, guard := range [][]byte{m[:page], m[page+inner:]} {
		if err := syscall.Mprotect(guard, syscall.PROT_NONE); err != nil {
			t.Skipf("memory cannot be guarded: %v", err)
		}
	}
	start := page
	if atEnd {
		start += inner - size
	}
	g := unsafe.Slice((*E)(unsafe.Pointer(&m[start])), len(v))
	copy(g, v)
	return g
}

func TestNothingIsTouchedBesideTheSlices(t *testing.T) {
	for _, set := range sets(t) {
		for _, atEnd := range []bool{false, true} {
			// Only what a stretch may touch is there: a plane of padding at both ends less what no cell reaches is no
			// less than one entry, so that boxes of one cell a plane are the strictest.
			for _, size := range [][3]int{{1, 1, 1}, {1, 1, 2}, {1, 1, 3}, {1, 1, 5}, {1, 1, 16}, {1, 1, 17}, {1, 1, 23}, {3, 1, 9}, {2, 3, 5}, {7, 3, 3}} {
				b := newBox(size[0], size[1], size[2], 1)
				for _, v := range []*[]float64{&b.T, &b.Ya, &b.F0, &b.Y} {
					*v = guarded(t, *v, atEnd)
				}
				for _, v := range []*[]float32{&b.Gx, &b.Gy, &b.Gz, &b.W} {
					*v = guarded(t, *v, atEnd)
				}
				for from := range b.cells() {
					for to := from; to <= b.cells(); to++ {
						set.Flow(&b.Sweep, from, to)
						set.Stage(&b.Sweep, from, to)
					}
				}
			}
		}
	}
}

func TestReadRiseAndTriadTouchNothingBesideTheSlices(t *testing.T) {
	for _, set := range sets(t) {
		for _, atEnd := range []bool{false, true} {
			for _, nodes := range []int{1, 2, 33} {
				arc := newArc(nodes, 3)
				flat := guarded(t, make([]float64, 2*nodes), atEnd)
				copy(unsafe.Slice((*Node)(unsafe.Pointer(&flat[0])), nodes), arc.Nodes)
				curve := join(arc)
				curve.Nodes = unsafe.Slice((*Node)(unsafe.Pointer(&flat[0])), nodes)
				const n = 41
				a, b := split(arc, n, 5)
				ga, gb, out := guarded(t, a, atEnd), guarded(t, b, atEnd), guarded(t, make([]float64, n), atEnd)
				// Cells beside the arc, or no numbers, must not lead to nodes that are not there: neither in a block that
				// is all on the arc but for them, nor where a mask hides them.
				for _, bad := range []float64{0, 1e300, -1e300, math.Inf(1), math.NaN()} {
					for at := range n {
						kept := ga[at]
						if bad != 0 {
							ga[at] = bad
						}
						for from := range n {
							if got := set.Read(out[from:], ga[from:], gb[from:], curve); bad == 0 && got != n-from {
								t.Fatalf("%s: read %d of %d", set.Name, got, n-from)
							}
							set.Read(out[:from], ga[:from], gb[:from], curve)
						}
						ga[at] = kept
					}
				}
				for from := range n {
					set.Triad(out[from:], ga[from:], gb[from:], 2)
					set.Triad(out[:from], ga[:from], gb[:from], 2)
					slope := unsafe.Slice((*float32)(unsafe.Pointer(&ga[n/2])), n-n/2) // ends where its page does
					if atEnd {
						slope = unsafe.Slice((*float32)(unsafe.Pointer(&ga[n/2+1])), 2*(n-n/2-1))
					}
					if m := min(n-from, len(slope)); m > 0 {
						set.Rise(out[:m], gb[:m], gb[:m], slope[len(slope)-m:])
						set.Rise(out[from:from+m], gb[from:from+m], gb[from:from+m], slope[:m])
					}
				}
			}
		}
	}
}

func TestLoopsOfAStepTouchNothingBesideTheSlices(t *testing.T) {
	for _, set := range sets(t) {
		for _, atEnd := range []bool{false, true} {
			for n := range 40 {
				v := make([]float64, n+1)
				for i := range v {
					v[i] = float64(i * i)
				}
				var q [6][]float64
				for i := range q {
					q[i] = guarded(t, v, atEnd)[1:]
					if !atEnd {
						q[i] = guarded(t, v, atEnd)[:n]
					}
				}
				set.Within(q[0], q[1], q[2], q[3], q[4], Course{})
				set.Misses(q[0], q[1], q[2], q[3], q[4], 1, 1)
				set.Weigh(q[1], q[2])
				set.Apart(q[1], q[2])
				set.Extremes(q[1], 0, 0)
				bits := guarded(t, make([]uint64, (n+63)/64+1), atEnd)[1:]
				if !atEnd {
					bits = guarded(t, make([]uint64, (n+63)/64+1), atEnd)[:(n+63)/64]
				}
				set.Astride(bits, q[1], q[2], 3, 5)
				g := guarded(t, make([]float32, n+1), atEnd)[1:]
				if !atEnd {
					g = guarded(t, make([]float32, n+1), atEnd)[:n]
				}
				set.Glow(q[0], q[1], q[2], q[3], q[4], Glow{})
				set.Pull(q[0], q[1], g, q[2], q[3], q[4], 0)
				copy(q[1], q[2])
				for i := range q[1] {
					q[2][i], q[4][i] = q[1][i]+1, q[3][i]+1
				}
				if got := set.Link(g, q[1], q[2], q[3], q[4], q[5], 1, 0.5); got < n && q[5][got] > 0 {
					t.Fatalf("%s: link stopped at %d of %d", set.Name, got, n)
				}
			}
		}
	}
}
