package kernel

import (
	"math"
	"math/rand/v2"
	"testing"
)

// newArc makes an arc over about one kelvin a node with a heat capacity that wanders.
func newArc(nodes int, seed uint64) *Arc {
	r := rand.New(rand.NewPCG(seed, 77))
	arc := &Arc{From: 0x1p17 + 1.0/3, Nodes: make([]Node, nodes)} // so that sums of two can be exactly From
	T := 293.15
	for i := range arc.Nodes {
		dT := 0.6 + 0.4*r.Float64()
		arc.Nodes[i] = Node{T, dT}
		T += dT
	}
	arc.To = arc.From + 871.3*float64(nodes)
	arc.Inv = float64(nodes) / (arc.To - arc.From)
	return arc
}

// split makes enthalpies on the arc as sums of two.
func split(arc *Arc, n int, seed uint64) (a, b []float64) {
	r := rand.New(rand.NewPCG(seed, 78))
	a, b = make([]float64, n), make([]float64, n)
	for c := range a {
		h := arc.From + (arc.To-arc.From)*(1e-6+(1-2e-6)*r.Float64())
		b[c] = 0.1 * (arc.To - arc.From) * r.NormFloat64()
		a[c] = h - b[c]
	}
	return a, b
}

// along answers for one enthalpy on the arc, by itself a curve, as Read's contract says, product by product.
func along(arc *Arc, h float64) float64 {
	if n := arc.Nodes[0]; len(arc.Nodes) == 1 {
		s := arc.Inv * n.DT
		start, rise := float64(s*arc.From), float64(s*h)
		return n.T - start + rise
	}
	return byNode(arc, h)
}

// byNode is along for an arc of a curve that is not straight.
func byNode(arc *Arc, h float64) float64 {
	x := float64((h - arc.From) * arc.Inv)
	i := min(math.Trunc(x), float64(len(arc.Nodes)-1))
	n := arc.Nodes[int(i)]
	rise := float64((x - i) * n.DT)
	return n.T + rise
}

func same(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }

// newCurve makes a curve of arcs with as many nodes, each arc of another slope.
func newCurve(nodes ...int) *Curve {
	var arcs []Arc
	for i, n := range nodes {
		a := *newArc(n, uint64(i))
		if i > 0 {
			before := arcs[i-1]
			a.From, a.To = before.To, before.To+(a.To-a.From)*float64(i+1)
			a.Inv = float64(n) / (a.To - a.From)
			for j := range a.Nodes {
				a.Nodes[j].T += float64(1000 * i) // no node is mistaken for another's
			}
		}
		arcs = append(arcs, a)
	}
	return Join(arcs...)
}

// onCurve answers for one enthalpy on the curve: by the last arc that begins at or before it.
func onCurve(q *Curve, h float64) float64 {
	i := MostArcs - 1
	for h < q.From[i] || q.Inv[i] == 0 {
		i--
	}
	first, last := int(q.First[i]), int(q.Last[i])
	arc := &Arc{From: q.From[i], To: q.From[i+1], Inv: q.Inv[i], Nodes: q.Nodes[first : first+last+1]}
	if q.Straight {
		return along(arc, h)
	}
	return byNode(arc, h)
}

func TestReadFollowsACurveOfSeveralArcsToTheLastBit(t *testing.T) {
	const untouched = -7.0
	for _, set := range sets(t) {
		for _, nodes := range [][]int{{1, 1, 1}, {1, 1}, {2, 3}, {400, 1, 300}, {5, 30, 2}, {1, 7, 1}, {1}} {
			q := newCurve(nodes...)
			from, to := q.From[0], q.From[MostArcs]
			r := rand.New(rand.NewPCG(3, uint64(len(nodes))))
			corners := []float64{from, math.Nextafter(to, 0)}
			for _, h := range q.From[1:len(nodes)] {
				corners = append(corners, h, math.Nextafter(h, 0), math.Nextafter(h, to))
			}
			for field, of := range map[string]func(c int) float64{
				"anywhere": func(int) float64 { return from + (to-from)*r.Float64()*(1-1e-12) },
				"smooth":   func(c int) float64 { return from + (to-from)*(0.5+0.49*math.Sin(float64(c)*0.03)) },
				"corners":  func(int) float64 { return corners[r.IntN(len(corners))] },
			} {
				for n := range 90 {
					a, none := make([]float64, n), make([]float64, n)
					for c := range a {
						a[c] = of(c)
					}
					for _, beside := range []int{-1, 0, 7, n - 1, n / 2} { // a cell beside the curve
						want := n
						kept := 0.0
						if beside >= 0 && beside < n {
							want, kept = beside, a[beside]
							a[beside] = []float64{to, math.Nextafter(from, 0), math.NaN(), math.Inf(1)}[n%4]
						}
						out := make([]float64, n)
						for c := range out {
							out[c] = untouched
						}
						if got := set.Read(out, a, none, q); got != want {
							t.Fatalf("%s: arcs of %v nodes, %s: read %d of %d, want %d", set.Name, nodes, field, got, n, want)
						}
						for c, T := range out {
							if c >= want {
								if T != untouched {
									t.Fatalf("%s: read %d and wrote %d", set.Name, want, c)
								}
							} else if w := onCurve(q, a[c]); !same(T, w) {
								t.Fatalf("%s: arcs of %v nodes, %s: cell %d of %d, %v J/kg, reads %v, not %v", set.Name, nodes, field, c, n, a[c], T, w)
							}
						}
						if want < n {
							a[beside] = kept
						}
					}
				}
			}
		}
	}
}

func join(arc *Arc) *Curve { return Join(*arc) }

var arcSizes = []int{1, 2, 3, 8, 400}

func TestReadAgreesWithItsContractToTheLastBit(t *testing.T) {
	for _, set := range sets(t) {
		for _, nodes := range arcSizes {
			arc := newArc(nodes, uint64(nodes))
			for n := range 70 {
				a, b := split(arc, n, uint64(n))
				out := make([]float64, n)
				if got := set.Read(out, a, b, join(arc)); got != n {
					t.Fatalf("%s: %d nodes: read %d of %d", set.Name, nodes, got, n)
				}
				for c := range out {
					if want := along(arc, a[c]+b[c]); !same(out[c], want) {
						t.Fatalf("%s: %d nodes: cell %d of %d reads %v, not %v", set.Name, nodes, c, n, out[c], want)
					}
				}
			}
		}
	}
}

func TestTwinsReadThePlainLoopsBits(t *testing.T) {
	plain := Plain()
	eachTwin(t, func(t *testing.T, set *Set) {
		for _, nodes := range arcSizes {
			arc := newArc(nodes, 4)
			const n = 100003
			a, b := split(arc, n, 9)
			got, want := make([]float64, n), make([]float64, n)
			if g, w := set.Read(got, a, b, join(arc)), plain.Read(want, a, b, join(arc)); g != n || w != n {
				t.Fatalf("%d nodes: read %d and %d of %d", nodes, g, w, n)
			}
			for c := range want {
				if !same(got[c], want[c]) {
					t.Fatalf("%d nodes: cell %d reads %v, not %v", nodes, c, got[c], want[c])
				}
			}
		}
	})
}

// An arc of one node has a loop of its own: it must be what the other loop makes of the same line, but for roundings of the
// temperatures and of the products, no more than eight of numbers up to 1000 K.
func TestAStraightArcReadsLikeTheFirstNodeOfABentOne(t *testing.T) {
	for _, set := range sets(t) {
		bent := newArc(7, 2)
		straight := *bent
		straight.Nodes = bent.Nodes[:1]
		bent.To = bent.From + 0.99/bent.Inv
		straight.To = bent.To
		const n = 200
		a, b := split(bent, n, 3)
		x, y := make([]float64, n), make([]float64, n)
		if i, j := set.Read(x, a, b, join(bent)), set.Read(y, a, b, join(&straight)); i != n || j != n {
			t.Fatalf("%s: read %d and %d of %d", set.Name, i, j, n)
		}
		for c := range x {
			if !(math.Abs(x[c]-y[c]) <= 8*ulp*1000) {
				t.Errorf("%s: cell %d reads %v by one loop and %v by the other", set.Name, c, x[c], y[c])
			}
		}
	}
}

func TestRoundingAtTheArcsEndStaysOnTheLastNode(t *testing.T) {
	for _, nodes := range arcSizes {
		arc := newArc(nodes, 6)
		arc.Inv *= 1 + 1e-12 // rounding is less, but seldom met
		last := math.Nextafter(arc.To, 0)
		if x := (last - arc.From) * arc.Inv; x < float64(nodes) {
			t.Fatalf("%d nodes: x is %v: the case does not test what it should", nodes, x)
		}
		// Far beyond too, where x is no whole number of 32 or 64 bits.
		far := *arc
		far.To = math.Inf(1)
		for _, set := range sets(t) {
			for n := 1; n < 20; n++ {
				a, none, out := make([]float64, n), make([]float64, n), make([]float64, n)
				for _, h := range []float64{last, arc.From + 1e7, arc.From + 1e13, 1e25, 1e300} {
					for c := range a {
						a[c] = h
					}
					on := &far
					if h == last {
						on = arc
					}
					if got := set.Read(out, a, none, join(on)); got != n {
						t.Fatalf("%s: %d nodes: at %v read %d of %d", set.Name, nodes, h, got, n)
					}
					want := along(on, h)
					if end := arc.Nodes[nodes-1]; want < end.T+end.DT*(1-1e-9) {
						t.Fatalf("the naive answer %v is not on the last node's line, %v", want, end)
					}
					for c := range out {
						if !same(out[c], want) {
							t.Fatalf("%s: %d nodes: cell %d of %d at %v reads %v, not %v", set.Name, nodes, c, n, h, out[c], want)
						}
					}
				}
			}
		}
	}
}

func TestReadStopsAtTheFirstCellBesideTheArc(t *testing.T) {
	const untouched = -7.0
	for _, set := range sets(t) {
		for _, nodes := range []int{1, 5, 400} {
			arc := newArc(nodes, 8)
			leavers := map[string]float64{
				"below": math.Nextafter(arc.From, 0), "at its end": arc.To, "far above": 1e30, "no number": math.NaN(),
				"endless": math.Inf(1), "endless below": math.Inf(-1),
			}
			for n := range 40 {
				a, b := split(arc, n, uint64(n))
				if n > 0 {
					a[0], b[0] = arc.From, 0 // the beginning belongs to the arc
					a[n-1], b[n-1] = math.Nextafter(arc.To, 0), 0
				}
				check := func(a, b []float64, want int, why string) {
					t.Helper()
					out := make([]float64, len(a)+4)
					for i := range out {
						out[i] = untouched
					}
					if got := set.Read(out[:len(a)], a, b, join(arc)); got != want {
						t.Fatalf("%s: %d nodes: of %d cells, cell %d %s: read %d", set.Name, nodes, n, want, why, got)
					}
					for i, v := range out {
						if i >= want {
							if v != untouched {
								t.Fatalf("%s: of %d cells, read %d and wrote %d", set.Name, n, want, i)
							}
						} else if x := along(arc, a[i]+b[i]); !same(v, x) {
							t.Fatalf("%s: cell %d reads %v, not %v", set.Name, i, v, x)
						}
					}
				}
				check(a, b, n, "stays")
				for at := range n {
					for why, h := range leavers {
						keptA, keptB := a[at], b[at]
						a[at], b[at] = h, 0
						check(a, b, at, "leaves "+why)
						a[at], b[at] = 0, h
						check(a, b, at, "leaves "+why)
						if at+2 < n { // others after it that leave too change nothing
							keptC := a[at+2]
							a[at+2] = math.NaN()
							check(a, b, at, "leaves "+why)
							a[at+2] = keptC
						}
						a[at], b[at] = keptA, keptB
					}
				}
			}
		}
	}
}

func TestAnArcWithoutNumbersReadsNothing(t *testing.T) {
	ones, none := make([]float64, 13), make([]float64, 13)
	for i := range ones {
		ones[i] = 1
	}
	for _, set := range sets(t) {
		for nodes := 1; nodes <= 2; nodes++ {
			for _, arc := range []Arc{{From: math.NaN(), To: 2}, {From: 0, To: math.NaN()}, {From: 2, To: 0}} {
				arc.Inv, arc.Nodes = 1, make([]Node, nodes)
				if n := set.Read(make([]float64, len(ones)), ones, none, join(&arc)); n != 0 {
					t.Errorf("%s: arc %v: read %d", set.Name, arc, n)
				}
			}
		}
	}
}

func TestReadsBitsDoNotDependOnThePlace(t *testing.T) {
	for _, set := range sets(t) {
		for _, nodes := range []int{1, 9} {
			arc := newArc(nodes, 5)
			a, b := split(arc, 53, 6)
			whole, part := make([]float64, len(a)), make([]float64, len(a))
			set.Read(whole, a, b, join(arc))
			for from := range a {
				for to := from; to <= len(a); to++ {
					if n := set.Read(part[from:to], a[from:to], b[from:to], join(arc)); n != to-from {
						t.Fatalf("%s: read %d of %d", set.Name, n, to-from)
					}
					for i := from; i < to; i++ {
						if !same(part[i], whole[i]) {
							t.Fatalf("%s: cell %d in %d..%d is %v, in all %v", set.Name, i, from, to, part[i], whole[i])
						}
					}
				}
			}
		}
	}
}

func TestReadInPlaceIsTheSame(t *testing.T) {
	for _, set := range sets(t) {
		for _, nodes := range []int{1, 9} {
			arc := newArc(nodes, 5)
			for n := range 40 {
				a, b := split(arc, n, 6)
				want := make([]float64, n)
				set.Read(want, a, b, join(arc))
				for _, out := range []*[]float64{&a, &b} {
					kept := append([]float64(nil), *out...)
					set.Read(*out, a, b, join(arc))
					for c := range want {
						if !same((*out)[c], want[c]) {
							t.Fatalf("%s: cell %d of %d in place is %v, not %v", set.Name, c, n, (*out)[c], want[c])
						}
					}
					copy(*out, kept)
				}
			}
		}
	}
}

func TestTriadAgreesWithItsFormulaToTheLastBit(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for _, set := range sets(t) {
		for n := range 70 {
			a, b, c := make([]float64, n+3), make([]float64, n), make([]float64, n)
			for i := range b {
				b[i], c[i] = r.NormFloat64(), r.NormFloat64()
			}
			set.Triad(a[:n], b, c, 1.7)
			for i := range a {
				want := 0.0
				if i < n {
					product := float64(1.7 * c[i])
					want = b[i] + product
				}
				if !same(a[i], want) {
					t.Fatalf("%s: entry %d of %d is %v, not %v", set.Name, i, n, a[i], want)
				}
			}
		}
	}
}

func TestRiseAgreesWithItsFormulaToTheLastBit(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	for _, set := range sets(t) {
		for n := range 70 {
			out, base, d, slope := make([]float64, n+3), make([]float64, n), make([]float64, n), make([]float32, n)
			for i := range base {
				base[i], d[i], slope[i] = r.NormFloat64(), r.NormFloat64(), float32(r.NormFloat64())
			}
			set.Rise(out[:n], base, d, slope)
			for i := range out {
				want := 0.0
				if i < n {
					product := float64(float64(slope[i]) * d[i])
					want = base[i] + product
				}
				if !same(out[i], want) {
					t.Fatalf("%s: entry %d of %d is %v, not %v", set.Name, i, n, out[i], want)
				}
			}
		}
	}
}
