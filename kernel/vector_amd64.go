package kernel

import (
	"unsafe"

	"golang.org/x/sys/cpu"
)

// The twins are generated: see tools/kernels, and run make kernels after a change to it, to Sweep or to Curve.

// twins returns the vector twins that the processor and the system run, the fastest last.
func twins() []*Set {
	x := &cpu.X86
	if !x.HasAVX2 || !x.HasFMA {
		return nil
	}
	narrow := Set{
		Name: "avx2", Flow: flowTwin, Stage: stageTwin, Read: readTwin, Rise: riseTwin, Triad: triadTwin,
		Within: withinTwin, Misses: missesTwin, Weigh: weighTwin, Extremes: extremesTwin, Astride: astrideTwin, Apart: apartTwin, Pull: pullTwin, Glow: glowTwin, Link: linkTwin,
	}
	if !x.HasAVX512F || !x.HasAVX512DQ || !x.HasBMI2 {
		return []*Set{&narrow}
	}
	wide := narrow
	wide.Name, wide.Flow, wide.Stage, wide.Read, wide.Rise = "avx512", flowWide, stageWide, readWide, riseWide
	return []*Set{&narrow, &wide}
}

// The assembly does not know how long a slice is. The functions below do, and panic as the plain loops do rather than
// read beside one.

func flowTwin(s *Sweep, from, to int) {
	s.hold(from, to)
	flowAVX2(s, from, to)
}

func stageTwin(s *Sweep, from, to int) {
	s.hold(from, to)
	_, _ = s.Ya[from:to], s.F0[from:to]
	stageAVX2(s, from, to)
}

func flowWide(s *Sweep, from, to int) {
	s.hold(from, to)
	flowAVX512(s, from, to)
}

func stageWide(s *Sweep, from, to int) {
	s.hold(from, to)
	_, _ = s.Ya[from:to], s.F0[from:to]
	stageAVX512(s, from, to)
}

// hold panics unless the slices that flow reads and writes hold what cells from..to need.
func (s *Sweep) hold(from, to int) {
	nx, plane := s.Row, s.Plane
	first, last := plane+from, plane+to
	_, _ = s.Y[from:to], s.W[from:to]
	_, _, _ = s.T[first-1:last+1], s.T[first-nx:last+nx], s.T[first-plane:last+plane]
	_, _, _ = s.Gx[first-1:last], s.Gy[first-nx:last], s.Gz[first-plane:last]
}

// readWide takes the loop for AVX2 where an arc has several nodes: four nodes are sooner in registers than eight are gathered.
func readWide(out, a, b []float64, curve *Curve) int {
	if !curve.Straight {
		return readTwin(out, a, b, curve)
	}
	if len(a) == 0 {
		return 0
	}
	out, b = out[:len(a)], b[:len(a)]
	return linesAVX512(&out[0], &a[0], &b[0], len(a), curve)
}

func riseWide(out, base, d []float64, slope []float32) {
	n := len(out)
	if n == 0 {
		return
	}
	base, d, slope = base[:n], d[:n], slope[:n]
	riseAVX512(&out[0], &base[0], &d[0], &slope[0], n)
}

// readAVX2 takes a node for two doubles, T first.
var (
	_ [16]byte = [unsafe.Sizeof(Node{})]byte{}
	_ [8]byte  = [unsafe.Offsetof(Node{}.DT)]byte{}
)

func readTwin(out, a, b []float64, curve *Curve) int {
	_ = curve.Nodes[0]
	if len(a) == 0 {
		return 0
	}
	out, b = out[:len(a)], b[:len(a)]
	return readAVX2(&out[0], &a[0], &b[0], len(a), curve)
}

func riseTwin(out, base, d []float64, slope []float32) {
	n := len(out)
	if n == 0 {
		return
	}
	base, d, slope = base[:n], d[:n], slope[:n]
	riseAVX2(&out[0], &base[0], &d[0], &slope[0], n)
}

func triadTwin(a, b, c []float64, s float64) {
	if len(a) == 0 {
		return
	}
	b, c = b[:len(a)], c[:len(a)]
	triadAVX2(&a[0], &b[0], &c[0], len(a), s)
}
