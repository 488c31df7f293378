package kernel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// odd fills v with numbers of all kinds: mostly ordinary ones, now and then what is special.
func odd(r *rand.Rand, v []float64) []float64 {
	special := []float64{0, math.Copysign(0, -1), math.NaN(), math.Inf(1), math.Inf(-1), 5e-324, -1e-310, 1e300}
	for i := range v {
		v[i] = 100 * r.NormFloat64()
		switch r.IntN(40) {
		case 0:
			v[i] = special[r.IntN(len(special))]
		case 1:
			v[i] = math.Round(v[i] / 50)
		}
	}
	return v
}

// noise returns words for n bits and one more, all of which hold something.
func noise(r *rand.Rand, n int) []uint64 {
	v := make([]uint64, (n+63)/64+1)
	for i := range v {
		v[i] = 1 | r.Uint64()
	}
	v[len(v)-1] = 1 // beyond what is marked
	return v
}

func alike(a, b float64) bool {
	return math.Float64bits(a) == math.Float64bits(b) || math.IsNaN(a) && math.IsNaN(b)
}

// lists are slices of all lengths up to some turns of the widest loop, and one of a plane's size.
func lists(visit func(n int, r *rand.Rand)) {
	for n := range 70 {
		for seed := range uint64(20) {
			visit(n, rand.New(rand.NewPCG(seed, uint64(n))))
		}
	}
	visit(1203, rand.New(rand.NewPCG(1, 1)))
}

func TestLoopsOfAStepGiveTheSameBitsInAllSets(t *testing.T) {
	plain := Plain()
	eachTwin(t, func(t *testing.T, twin *Set) {
		lists(func(n int, r *rand.Rand) {
			v := make([][]float64, 6)
			for i := range v {
				v[i] = odd(r, make([]float64, n))
			}
			same := func(name string, got, want []float64) {
				t.Helper()
				for i := range want {
					if !alike(got[i], want[i]) {
						t.Fatalf("%s: entry %d of %d is %v, plain %v", name, i, n, got[i], want[i])
					}
				}
			}
			x, y := make([]float64, n), make([]float64, n)
			at := Course{On: r.Float64(), Bow: 10 * r.Float64(), Inv: r.Float64()}
			twin.Within(x, v[0], v[1], v[2], v[3], at)
			plain.Within(y, v[0], v[1], v[2], v[3], at)
			same("within", x, y)
			copy(x, v[4])
			copy(y, v[4])
			twin.Misses(x, v[0], v[1], v[2], v[3], 0.8, at.On)
			plain.Misses(y, v[0], v[1], v[2], v[3], 0.8, at.On)
			same("misses", x, y)
			same("weigh", []float64{twin.Weigh(v[0], v[1])}, []float64{plain.Weigh(v[0], v[1])})
			high, low := 30*r.NormFloat64(), 30*r.NormFloat64()
			h1, l1 := twin.Extremes(v[0], high, low)
			h2, l2 := plain.Extremes(v[0], high, low)
			if h1 != h2 || l1 != l2 { // of two zeros either may stand
				t.Fatalf("extremes of %d: %v and %v, plain %v and %v", n, h1, l1, h2, l2)
			}
			bits, wanted := noise(r, n), noise(r, n)
			twin.Astride(bits, v[0], v[1], low, high)
			plain.Astride(wanted, v[0], v[1], low, high)
			if !slices.Equal(bits, wanted) {
				t.Fatalf("astride of %d: %x, plain %x", n, bits, wanted)
			}
			same("apart", []float64{twin.Apart(v[0], v[1])}, []float64{plain.Apart(v[0], v[1])})

			w := make([]float32, n)
			for i := range w {
				w[i] = float32(r.NormFloat64())
			}
			copy(x, v[5])
			copy(y, v[5])
			a, b := twin.Pull(x, v[0], w, v[1], v[2], v[3], at.On), plain.Pull(y, v[0], w, v[1], v[2], v[3], at.On)
			same("pull", append(x, a), append(y, b))

			g, q := make([]float32, n), make([]float32, n)
			for i := range v[1] { // most of them fit
				if r.IntN(20) > 0 {
					v[0][i], v[1][i], v[2][i], v[3][i] = 1+r.Float64(), 3+r.Float64(), 5+r.Float64(), 7+r.Float64()
					v[5][i] = r.Float64()
				}
			}
			got, want := twin.Link(g, v[0], v[1], v[2], v[3], v[5], 3, 0.01), plain.Link(q, v[0], v[1], v[2], v[3], v[5], 3, 0.01)
			if got != want {
				t.Fatalf("link did %d of %d, plain %d", got, n, want)
			}
			for i := range g {
				if math.Float32bits(g[i]) != math.Float32bits(q[i]) && g[i] == g[i] {
					t.Fatalf("link: entry %d of %d is %v, plain %v", i, n, g[i], q[i])
				}
			}
		})
	})
}

func TestLoopsOfAStepAnswerWhatTheyPromise(t *testing.T) {
	for _, set := range sets(t) {
		lists(func(n int, r *rand.Rand) {
			v := make([][]float64, 5)
			for i := range v {
				v[i] = make([]float64, n)
				for c := range v[i] {
					v[i][c] = 10 * r.NormFloat64()
				}
			}
			off := func(name string, i int, got, want, size float64) {
				if !(math.Abs(got-want) <= 8*ulp*size) {
					t.Fatalf("%s, %s: entry %d of %d is %v, not %v", set.Name, name, i, n, got, want)
				}
			}
			out := make([]float64, n)
			const on, tau = 0.3, 7.0
			set.Within(out, v[0], v[1], v[2], v[3], Course{On: on, Bow: on * (1 - on) * tau, Inv: 1 / tau})
			sum, size, most, high, low := 0.0, 0.0, 0.0, -1.0, 1.0
			for c := range out {
				a, b, f, g := v[0][c], v[1][c], v[2][c], v[3][c]
				p, q := f-(b-a)/tau, (b-a)/tau-g
				w := 0.0
				if p > 0 && q > 0 || p < 0 && q < 0 {
					w = math.Copysign(math.Min(math.Abs(p), math.Abs(q)), p)
				}
				off("within", c, out[c], (1-on)*a+on*b+on*(1-on)*tau*w, math.Abs(a)+math.Abs(b)+2*tau*(math.Abs(f)+math.Abs(g)))
				sum += a * b
				size += math.Abs(a * b)
				most, high, low = math.Max(most, math.Abs(a-b)), math.Max(high, a), math.Min(low, a)
			}
			copy(out, v[4])
			set.Misses(out, v[0], v[1], v[2], v[3], 0.8, 3)
			for c := range out {
				d, f, g, w, before := v[0][c], v[1][c], v[2][c], v[3][c], v[4][c]
				off("misses", c, out[c], before+w*(3*f+3*g-0.8*d), math.Abs(before)+math.Abs(w)*(math.Abs(d)+3*math.Abs(f)+3*math.Abs(g)))
			}
			off("weigh", 0, set.Weigh(v[0], v[1]), sum, size*float64(1+n/4))
			if got := set.Apart(v[0], v[1]); got != most {
				t.Fatalf("%s, apart of %d: %v, not %v", set.Name, n, got, most)
			}
			marks := noise(r, n)
			set.Astride(marks, v[0], v[1], -5, 8)
			for c := range out {
				a, b := v[0][c], v[1][c]
				if got := marks[c/64]>>(c%64)&1 == 1; got != (math.Max(a, b) > -5 && math.Min(a, b) < 8) {
					t.Fatalf("%s: astride marks entry %d of %d, %v to %v: %v", set.Name, c, n, a, b, got)
				}
			}
			w := make([]float32, n)
			copy(out, v[4])
			lost := 0.0
			for c := range w {
				w[c] = float32(1 + c)
				lost += v[1][c] + v[0][c]*v[2][c] + v[0][c]*v[0][c]*v[3][c]
			}
			size = 0
			all := set.Pull(out, v[0], w, v[1], v[2], v[3], 0.5)
			for c := range out {
				one := v[1][c] + v[0][c]*v[2][c] + v[0][c]*v[0][c]*v[3][c]
				terms := math.Abs(v[1][c]) + math.Abs(v[0][c]*v[2][c]) + math.Abs(v[0][c]*v[0][c]*v[3][c])
				off("pull", c, out[c], v[4][c]-0.5*float64(w[c])*one, math.Abs(v[4][c])+0.5*float64(w[c])*terms)
				size += terms
			}
			off("all that is pulled", 0, all, lost, size*float64(1+n/4))
			if h, l := set.Extremes(v[0], -1, 1); h != high || l != low {
				t.Fatalf("%s, extremes of %d: %v and %v, not %v and %v", set.Name, n, h, l, high, low)
			}
		})
	}
}

// A link is set up to the first whose temperatures are alike or whose conductance would not be above zero, and none beyond.
func TestLinkStopsBeforeWhatIsNotForIt(t *testing.T) {
	for _, set := range sets(t) {
		for n := range 40 {
			for stop := range n + 1 {
				for name, spoil := range map[string]func(t1, up1 []float64){
					"alike": func(t1, _ []float64) { t1[stop] = 300.01 }, "nothing to conduct": func(_, up1 []float64) { up1[stop] = 1000 },
					"no number": func(_, up1 []float64) { up1[stop] = math.NaN() }, "no temperature": func(t1, _ []float64) { t1[stop] = math.NaN() },
				} {
					t0, t1, up0, up1, shape, g := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float32, n)
					for i := range t0 {
						t0[i], t1[i], up0[i], up1[i], shape[i] = 300, 310-20*float64(i%2), 1000, 1000+float64(300-600*(i%2)), float64(1+i)
					}
					if stop < n {
						spoil(t1, up1)
					}
					for i := range g {
						g[i] = -1
					}
					what := fmt.Sprintf("%s, %s at %d of %d", set.Name, name, stop, n)
					if got := set.Link(g, t0, t1, up0, up1, shape, 2, 0.011); got != stop {
						t.Fatalf("%s: stopped at %d", what, got)
					}
					for i := range g {
						want := float32(-1)
						if i < stop {
							want = float32(30 * shape[i] * 2)
						}
						if g[i] != want {
							t.Fatalf("%s: entry %d is %v, not %v", what, i, g[i], want)
						}
					}
				}
			}
		}
	}
}

func TestLoopsOfAStepRefuseShortSlicesAndAllocateNothing(t *testing.T) {
	long, short, narrow, words := make([]float64, 41), make([]float64, 40), make([]float32, 41), make([]uint64, 1)
	for _, set := range sets(t) {
		all := func(v [6][]float64) {
			set.Within(v[0], v[1], v[2], v[3], v[4], Course{})
			set.Misses(v[0], v[1], v[2], v[3], v[4], 1, 1)
		}
		same := [6][]float64{long, long, long, long, long, long}
		if a := testing.AllocsPerRun(5, func() {
			all(same)
			set.Weigh(long, long)
			set.Pull(long, long, narrow, long, long, long, 0)
			set.Apart(long, long)
			set.Extremes(long, 0, 0)
			set.Astride(words, long, long, 0, 1)
			set.Link(narrow, long, long, long, long, long, 1, 1)
		}); a != 0 {
			t.Errorf("%s: %v allocations", set.Name, a)
		}
		refuse := func(name string, loop func()) { t.Helper(); refused(t, set.Name+": "+name, loop) }
		for i := 1; i < 6; i++ {
			v := same
			v[i] = short
			if i < 5 {
				refuse("within", func() { set.Within(v[0], v[1], v[2], v[3], v[4], Course{}) })
				refuse("misses", func() { set.Misses(v[0], v[1], v[2], v[3], v[4], 1, 1) })
			}
			if i > 1 {
				refuse("pull", func() { set.Pull(long, v[5], narrow, v[2], v[3], v[4], 1) })
			}
			refuse("astride", func() { set.Astride(words, long, short, 0, 1) })
			refuse("astride", func() { set.Astride(nil, long, long, 0, 1) })
			refuse("link", func() { set.Link(narrow, v[1], v[2], v[3], v[4], v[5], 1, 1) })
		}
		refuse("pull", func() { set.Pull(long, long, narrow[:40:40], long, long, long, 1) })
		refuse("weigh", func() { set.Weigh(long, short) })
		refuse("apart", func() { set.Apart(long, short) })
	}
}
