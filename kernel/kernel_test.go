package kernel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

const ulp = 0x1p-52

// box is a made-up block of cells with its naive answers.
type box struct {
	Sweep
	nx, ny, nz int
	before     []float64 // Y before a stage
}

func (b *box) cells() int { return b.nx * b.ny * b.nz }

// newBox fills a box with random numbers. Padding holds numbers too, which only zero conductances hide.
func newBox(nx, ny, nz int, seed uint64) *box {
	r := rand.New(rand.NewPCG(seed, 7))
	b := &box{nx: nx, ny: ny, nz: nz}
	b.Row, b.Plane = nx, nx*ny
	n := nx * ny * nz
	b.T = make([]float64, n+2*b.Plane)
	for i := range b.T {
		b.T[i] = 300 + 600*r.Float64()
	}
	conductances := func() []float32 {
		g := make([]float32, n+2*b.Plane)
		for i := range g {
			g[i] = float32(math.Exp(4 * r.NormFloat64()))
		}
		return g
	}
	b.Gx, b.Gy, b.Gz = conductances(), conductances(), conductances()
	for c := range n + 2*b.Plane {
		i, j, k := b.place(c - b.Plane)
		inside := k >= 0 && k < nz
		if !inside || i == nx-1 {
			b.Gx[c] = 0
		}
		if !inside || j == ny-1 {
			b.Gy[c] = 0
		}
		if !inside || k == nz-1 {
			b.Gz[c] = 0
		}
	}
	b.W = make([]float32, n)
	for c := range b.W {
		if r.IntN(10) > 0 {
			b.W[c] = float32(math.Exp(2 * r.NormFloat64()))
		}
	}
	numbers := func(scale float64) []float64 {
		v := make([]float64, n)
		for i := range v {
			v[i] = scale * r.NormFloat64()
		}
		return v
	}
	b.Ya, b.before, b.F0 = numbers(1e6), numbers(1e6), numbers(1e3)
	b.Y = make([]float64, n)
	b.Mu, b.Nu, b.Mt, b.Gt = 1.7, -0.4, 12.5, -3.25
	return b
}

// place returns where cell c lies; outside the box k is.
func (b *box) place(c int) (i, j, k int) {
	c += b.Plane
	return c % b.nx, c / b.nx % b.ny, c/b.Plane - 1
}

// naive answers by i, j and k: what the faces bring, the stage, and for both the sum of the terms' sizes.
func (b *box) naive() (f, fSize, y, ySize []float64) {
	n := b.cells()
	f, fSize, y, ySize = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	cell := func(i, j, k int) int { return i + b.nx*(j+b.ny*k) }
	for k := range b.nz {
		for j := range b.ny {
			for i := range b.nx {
				c := cell(i, j, k)
				term := func(g float32, other int) {
					q := float64(b.W[c]) * float64(g) * (b.T[b.Plane+other] - b.T[b.Plane+c])
					f[c] += q
					fSize[c] += math.Abs(q)
				}
				if i > 0 {
					term(b.Gx[b.Plane+cell(i-1, j, k)], cell(i-1, j, k))
				}
				if i < b.nx-1 {
					term(b.Gx[b.Plane+c], cell(i+1, j, k))
				}
				if j > 0 {
					term(b.Gy[b.Plane+cell(i, j-1, k)], cell(i, j-1, k))
				}
				if j < b.ny-1 {
					term(b.Gy[b.Plane+c], cell(i, j+1, k))
				}
				if k > 0 {
					term(b.Gz[b.Plane+cell(i, j, k-1)], cell(i, j, k-1))
				}
				if k < b.nz-1 {
					term(b.Gz[b.Plane+c], cell(i, j, k+1))
				}
				y[c] = b.Mu*b.Ya[c] + b.Nu*b.before[c] + b.Gt*b.F0[c] + b.Mt*f[c]
				ySize[c] = math.Abs(b.Mu*b.Ya[c]) + math.Abs(b.Nu*b.before[c]) +
					math.Abs(b.Gt*b.F0[c]) + math.Abs(b.Mt)*fSize[c]
			}
		}
	}
	return f, fSize, y, ySize
}

// run answers with a set's flow or stage over the stretches between the given cells.
func (b *box) run(loop func(s *Sweep, from, to int), ends ...int) []float64 {
	s := b.Sweep
	s.Y = append([]float64(nil), b.before...)
	for i := 1; i < len(ends); i++ {
		loop(&s, ends[i-1], ends[i])
	}
	return s.Y
}

// sizes are boxes of every remainder, of rows of one cell, of one row, and some that fill the vectors many times.
func sizes(visit func(nx, ny, nz int)) {
	for n := 1; n <= 17; n++ {
		visit(n, 1, 1)
		visit(1, n, 1)
		visit(1, 1, n)
		visit(n, 2, 3)
		visit(3, n, 2)
	}
	visit(13, 11, 7)
	visit(40, 30, 5)
}

// The bound for flow and stage, in which u = 2^-53 is half an ulp. The differences of temperature are rounded alike
// everywhere. In flow a term is rounded as a product, five times at most in the sum, and once or, in the naive loop,
// twice with the mass: at most 8 u of the terms' sizes. In a stage the sum of the faces comes to that, then is rounded
// as a product and four times at most in the sum: at most 13 u. Two loops so differ by at most 26 u, which is 13 ulps.
// Terms of second order are far below one more.
const stencilBound = 14 * ulp

func near(t *testing.T, name string, got, want, size []float64) {
	t.Helper()
	for c := range want {
		if d := math.Abs(got[c] - want[c]); !(d <= stencilBound*size[c]) {
			t.Fatalf("%s: cell %d of %d: %v, not %v: off by %.3g ulps of the sizes of its terms", name, c, len(want), got[c], want[c], d/size[c]/ulp)
		}
	}
}

// sets are the sets that this machine runs.
func sets(t testing.TB) []*Set {
	all := All()
	for _, name := range names[len(all):] {
		t.Logf("this processor does not run the loops for %s", name)
	}
	return all
}

// eachTwin tests every set of vector twins.
func eachTwin(t *testing.T, test func(t *testing.T, set *Set)) {
	twins := sets(t)[1:]
	if len(twins) == 0 {
		t.Skip("this processor runs no vector twin")
	}
	for _, set := range twins {
		t.Run(set.Name, func(t *testing.T) { test(t, set) })
	}
}

func TestLoopsAgreeWithNaiveSums(t *testing.T) {
	for _, set := range sets(t) {
		sizes(func(nx, ny, nz int) {
			b := newBox(nx, ny, nz, uint64(nx+100*ny+10000*nz))
			f, fSize, y, ySize := b.naive()
			name := fmt.Sprintf("%s, %d x %d x %d", set.Name, nx, ny, nz)
			near(t, name+", flow", b.run(set.Flow, 0, b.cells()), f, fSize)
			near(t, name+", stage", b.run(set.Stage, 0, b.cells()), y, ySize)
		})
	}
}

func TestTwinsStencilsAgreeWithPlain(t *testing.T) {
	plain := Plain()
	eachTwin(t, func(t *testing.T, set *Set) {
		sizes(func(nx, ny, nz int) {
			for seed := range uint64(5) {
				b := newBox(nx, ny, nz, seed)
				_, fSize, _, ySize := b.naive()
				name := fmt.Sprintf("%d x %d x %d", nx, ny, nz)
				near(t, name+", flow", b.run(set.Flow, 0, b.cells()), b.run(plain.Flow, 0, b.cells()), fSize)
				near(t, name+", stage", b.run(set.Stage, 0, b.cells()), b.run(plain.Stage, 0, b.cells()), ySize)
			}
		})
	})
}

// TestTwinsGiveOneAnothersBits: both take a cell's terms in one order, so that a run's bytes do not hang on which of them a
// processor has.
func TestTwinsGiveOneAnothersBits(t *testing.T) {
	first := sets(t)[min(1, len(sets(t))-1)]
	eachTwin(t, func(t *testing.T, set *Set) {
		sizes(func(nx, ny, nz int) {
			b := newBox(nx, ny, nz, uint64(nx*ny+nz))
			for name, loops := range map[string][2]func(s *Sweep, from, to int){"flow": {first.Flow, set.Flow}, "stage": {first.Stage, set.Stage}} {
				want := b.run(loops[0], 0, b.cells())
				for c, got := range b.run(loops[1], 0, b.cells()) {
					if math.Float64bits(got) != math.Float64bits(want[c]) {
						t.Fatalf("%s of %d x %d x %d: cell %d is %v, by %s %v", name, nx, ny, nz, c, got, first.Name, want[c])
					}
				}
			}
		})
	})
}

func TestACellsBitsDoNotDependOnTheStretch(t *testing.T) {
	for _, set := range sets(t) {
		for name, loop := range map[string]func(s *Sweep, from, to int){"flow": set.Flow, "stage": set.Stage} {
			check := func(b *box, ends ...int) {
				t.Helper()
				whole, parts := b.run(loop, 0, b.cells()), b.run(loop, ends...)
				for c := range whole {
					if math.Float64bits(whole[c]) != math.Float64bits(parts[c]) {
						t.Fatalf("%s of %s: cell %d is %v in one stretch and %v in stretches with the ends %v", name, set.Name, c, whole[c], parts[c], ends)
					}
				}
			}
			b := newBox(7, 3, 3, 3)
			n := b.cells()
			for at := range n + 1 {
				check(b, 0, at, n)
				for to := at; to <= min(at+17, n); to++ {
					check(b, 0, at, to, n)
				}
			}
			single := make([]int, n+1)
			for i := range single {
				single[i] = i
			}
			check(b, single...)
		}
	}
}

func TestNothingIsWrittenOutsideTheStretch(t *testing.T) {
	for _, set := range sets(t) {
		b := newBox(5, 3, 3, 9)
		n := b.cells()
		for from := range n {
			for to := from; to <= n; to++ {
				for _, y := range [][]float64{b.run(set.Flow, from, to), b.run(set.Stage, from, to)} {
					for c := range y {
						if (c < from || c >= to) && y[c] != b.before[c] {
							t.Fatalf("%s: cells %d..%d wrote cell %d", set.Name, from, to, c)
						}
					}
				}
			}
		}
	}
}

func TestAConductanceCarriesTheSameBothWays(t *testing.T) {
	for _, set := range sets(t) {
		b := newBox(9, 5, 4, 11)
		for c := range b.W {
			b.W[c] = 1
		}
		size, sum := 0.0, 0.0
		_, sizes, _, _ := b.naive()
		for c, f := range b.run(set.Flow, 0, b.cells()) {
			sum += f
			size += sizes[c]
		}
		// Every term is there twice with both signs; only roundings are left, at most the bound of each and of the sum.
		if bound := (stencilBound + float64(b.cells())*ulp) * size; math.Abs(sum) > bound {
			t.Errorf("%s: what cells give is %g off what cells take, allowed %g", set.Name, sum, bound)
		}
	}
}

func TestWhatIsNoNumberComesOutAsNone(t *testing.T) {
	nan, nan32 := math.NaN(), float32(math.NaN())
	for _, set := range sets(t) {
		b := newBox(6, 3, 3, 13)
		n := b.cells()
		for c := range n {
			p := b.Plane + c
			spoil := func(name string, loop func(s *Sweep, from, to int), ruin func(b *box)) {
				t.Helper()
				spoilt := newBox(6, 3, 3, 13)
				ruin(spoilt)
				if y := spoilt.run(loop, 0, n); !math.IsNaN(y[c]) {
					t.Fatalf("%s: no number in %s, but cell %d becomes %v", set.Name, name, c, y[c])
				}
			}
			for _, loop := range []func(s *Sweep, from, to int){set.Flow, set.Stage} {
				for _, other := range []int{0, -1, 1, -b.Row, b.Row, -b.Plane, b.Plane} {
					spoil("T", loop, func(b *box) { b.T[p+other] = nan })
				}
				spoil("Gx", loop, func(b *box) { b.Gx[p] = nan32 })
				spoil("Gx before", loop, func(b *box) { b.Gx[p-1] = nan32 })
				spoil("Gy", loop, func(b *box) { b.Gy[p] = nan32 })
				spoil("Gy before", loop, func(b *box) { b.Gy[p-b.Row] = nan32 })
				spoil("Gz", loop, func(b *box) { b.Gz[p] = nan32 })
				spoil("Gz before", loop, func(b *box) { b.Gz[p-b.Plane] = nan32 })
				spoil("W", loop, func(b *box) { b.W[c] = nan32 })
			}
			spoil("Ya", set.Stage, func(b *box) { b.Ya[c] = nan })
			spoil("F0", set.Stage, func(b *box) { b.F0[c] = nan })
			spoil("Y", set.Stage, func(b *box) { b.before[c] = nan })
			for i, name := range []string{"Mu", "Nu", "Mt", "Gt"} {
				spoil(name, set.Stage, func(b *box) { *[]*float64{&b.Mu, &b.Nu, &b.Mt, &b.Gt}[i] = nan })
			}
		}
	}
}

// refused fails the test where a loop does not panic.
func refused(t *testing.T, name string, loop func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s was not refused", name)
		}
	}()
	loop()
}

func TestLoopsRefuseShortSlices(t *testing.T) {
	for _, set := range sets(t) {
		refuse := func(name string, loop func()) { t.Helper(); refused(t, set.Name+": "+name, loop) }
		for name, cut := range map[string]func(b *box){
			"T": func(b *box) { b.T = b.T[: len(b.T)-1 : len(b.T)-1] }, "Gx": func(b *box) { b.Gx = b.Gx[: b.Plane+b.cells()-1 : b.Plane+b.cells()-1] },
			"Gy": func(b *box) { b.Gy = b.Gy[: b.Plane+b.cells()-1 : b.Plane+b.cells()-1] }, "Gz": func(b *box) { b.Gz = b.Gz[: b.Plane+b.cells()-1 : b.Plane+b.cells()-1] },
			"W": func(b *box) { b.W = b.W[: b.cells()-1 : b.cells()-1] }, "Y": func(b *box) { b.before = nil },
		} {
			b := newBox(4, 3, 2, 1)
			cut(b)
			refuse("flow with a short "+name, func() { b.run(set.Flow, 0, b.cells()) })
			refuse("stage with a short "+name, func() { b.run(set.Stage, 0, b.cells()) })
		}
		for name, cut := range map[string]func(b *box){
			"Ya": func(b *box) { b.Ya = b.Ya[:3:3] }, "F0": func(b *box) { b.F0 = b.F0[:3:3] },
		} {
			b := newBox(4, 3, 2, 1)
			cut(b)
			refuse("stage with a short "+name, func() { b.run(set.Stage, 0, b.cells()) })
		}
		b := newBox(4, 3, 2, 1)
		refuse("a stretch that ends before it begins", func() { b.run(set.Flow, 3, 2) })
		refuse("a stretch before the first cell", func() { b.run(set.Flow, -1, 2) })
		two, three, line := make([]float64, 2), make([]float64, 3), Join(Arc{To: 1, Inv: 1, Nodes: make([]Node, 1)})
		refuse("a short out of read", func() { set.Read(two[:2:2], three, three, line) })
		refuse("a short b of read", func() { set.Read(three, three, two[:2:2], line) })
		refuse("a curve of no nodes", func() { set.Read(three, three, three, &Curve{}) })
		refuse("a curve of no nodes and no cells", func() { set.Read(nil, nil, nil, &Curve{}) })
		refuse("no arcs", func() { Join() })
		refuse("an arc of no nodes", func() { Join(Arc{To: 1, Inv: 1}) })
		refuse("too many arcs", func() { one := *newArc(1, 1); Join(one, one, one, one) })
		refuse("a short b of triad", func() { set.Triad(three, two[:2:2], three, 1) })
		refuse("a short c of triad", func() { set.Triad(three, three, two[:2:2], 1) })
	}
}

func TestLoopsAllocateNothing(t *testing.T) {
	for _, set := range sets(t) {
		b := newBox(10, 10, 10, 1)
		n := b.cells()
		bent, straight := join(newArc(40, 1)), join(newArc(1, 1))
		copy(b.Y, b.before)
		out, a, none := make([]float64, n), make([]float64, n), make([]float64, n)
		for c := range a {
			a[c] = bent.From[0]
		}
		if a := testing.AllocsPerRun(10, func() {
			set.Flow(&b.Sweep, 0, n)
			set.Stage(&b.Sweep, 0, n)
			set.Read(out, a, none, bent)
			set.Read(out, a, none, straight)
			set.Triad(out, a, b.Ya, 3)
			set.Rise(out, a, b.Ya, b.W[:n])
		}); a != 0 {
			t.Errorf("%s: %v allocations", set.Name, a)
		}
	}
}

func TestSetsGoByTheirNames(t *testing.T) {
	if _, err := Named("sse9"); err == nil || !strings.Contains(err.Error(), `kernel "sse9" is not known; it can be go, avx2 or avx512`) {
		t.Errorf("unknown name: %v", err)
	}
	all := All()
	for i, name := range names {
		s, err := Named(name)
		if i >= len(all) {
			if err == nil || !strings.Contains(err.Error(), "does not run on this processor") {
				t.Errorf("%s where there is none: %v", name, err)
			}
			continue
		}
		if err != nil || s.Name != name || all[i].Name != name {
			t.Errorf("%s: %v, %v", name, s, err)
		}
	}
	if s, err := Named(""); err != nil || s.Name != all[len(all)-1].Name || Best().Name != s.Name {
		t.Errorf("no name: %v, %v", s, err)
	}
}
