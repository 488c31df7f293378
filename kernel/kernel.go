// Package kernel holds the hottest loops of the march, each in plain Go and, where the processor has it, as a
// vector twin: heat conduction over a stretch of cells with one stage of the scheme, enthalpy to temperature along
// a medium's curve, or along its slope; what a step and a row of the history do with all cells; beside them the triad, the
// yardstick of the machine's bandwidth.
//
// The plain loops are the reference on every platform. In Flow and Stage a twin adds the same terms with fused
// multiply-adds and, in sums, in another order: the two agree within the bound that the tests state, not to the last
// bit. All twins take the terms in one order, and agree to the last bit. In Read nothing is fused, plain or twin, on any
// platform: there all agree to the last bit, so that a caller may read some cells by its own loop and cells of one
// enthalpy still have one temperature. Within one kernel a cell's result does not depend on where a stretch begins or
// ends, so that the number of workers changes nothing.
//
// Cells are numbered along depth first, then width, then height. Temperatures and conductances carry one plane of
// padding at both ends: entry Plane+c belongs to cell c. A conductance at Plane+c joins cell c and its next cell along
// the axis and is zero where there is none, at the end of a row or plane too, so that a stretch may run over rows.
package kernel

import (
	"fmt"
	"slices"
	"strings"
)

// Sweep is what a stage reads and writes.
type Sweep struct {
	T          []float64 // K, padded
	Gx, Gy, Gz []float32 // W/K, padded: to the next cell along depth, width, height
	W          []float32 // 1/kg, by cell; 0 where there is no solid
	Ya, F0     []float64 // J/kg, J/(kg s), by cell
	Y          []float64 // J/kg (Flow: J/(kg s)), by cell: Ya's predecessor on entry of a Stage, the result on return
	Row, Plane int       // cells in a row, in a plane

	// The stage's weights: y = Mu ya + Nu y + Mt F(T) + Gt f0.
	Mu, Nu, Mt, Gt float64
}

// Arc is a part of a medium's curve from enthalpy to temperature with knots at equal steps of enthalpy:
//
//	x = (h - From) Inv,  i = trunc x, but not beyond the last node,  T = Nodes[i].T + (x - i) Nodes[i].DT
//
// for From <= h < To. Inv is above zero; there is one node at least, and there are fewer than 2^31. In a curve all of whose
// arcs have one node each the same line is T = C + S h, with S = Inv DT and C = T - S From of its node.
type Arc struct {
	From, To float64 // J/kg
	Inv      float64 // kg/J, pieces per J/kg
	Nodes    []Node
}

// Node is a straight piece's temperature at its start and its rise over the piece, in K.
type Node struct{ T, DT float64 }

// MostArcs is how many arcs a Curve holds: those of a solid, of melting and of the melt.
const MostArcs = 3

// Curve is a medium's curve from enthalpy to temperature as Read takes it: see Join.
type Curve struct {
	From        [MostArcs + 1]float64 // J/kg, where arcs begin; that of one that is not there, and the last, is the curve's end
	Inv         [MostArcs]float64     // kg/J
	First, Last [MostArcs]float64     // whole numbers: an arc's first node, and its last counted from there
	C, S        [MostArcs]float64     // K, K kg/J: an arc's first node as a line over h
	Nodes       []Node                // of all arcs
	Straight    bool                  // every arc has one node
}

// Join makes a curve of one to MostArcs arcs, each of which begins where the one before ends. It panics where there are
// more or none, or where one has no node.
func Join(arcs ...Arc) *Curve {
	q := &Curve{Straight: true}
	end := arcs[len(arcs)-1].To
	for i := range q.From {
		q.From[i] = end
	}
	for i := range arcs {
		a := &arcs[i]
		first := a.Nodes[0]
		q.From[i], q.Inv[i], q.S[i] = a.From, a.Inv, a.Inv*first.DT
		q.C[i] = first.T - float64(q.S[i]*a.From)
		q.First[i], q.Last[i] = float64(len(q.Nodes)), float64(len(a.Nodes)-1)
		q.Nodes = append(q.Nodes, a.Nodes...)
		q.Straight = q.Straight && len(a.Nodes) == 1
	}
	return q
}

// Glow is what faces exchange heat with: H and E in W/(m² K) and W/(m² K⁴), Air in K, Sky in K⁴.
type Glow struct{ H, E, Air, Sky float64 }

// Set is one implementation of the loops.
type Set struct {
	Name string
	// Flow writes F, in J/(kg s), of cells from..to into Y: what conduction brings over each cell's faces, over its mass.
	Flow func(s *Sweep, from, to int)
	// Stage computes one stage of cells from..to into Y from conduction alone.
	Stage func(s *Sweep, from, to int)
	// Read fills out with the temperatures of the enthalpies a + b, up to the first that is not on the curve, and returns
	// how many it did. Out, which may be a or b, and b are as long as a.
	Read func(out, a, b []float64, curve *Curve) int
	// Rise computes out = base + slope d, in K, with slopes in K kg/J, over as many cells as out has.
	Rise func(out, base, d []float64, slope []float32)
	// Triad computes a = b + s c over as many entries as a has, each product rounded. A may be b or c.
	Triad func(a, b, c []float64, s float64)

	// What follows agrees to the last bit in all sets.

	// Within sets y between a step's start a and its end b, whose rates are f and g: with d = b - a and the slope
	// s = d Inv of the chord, y = a + On d + Bow w, w the smaller of f - s and s - g where they have one sign, else 0.
	Within func(y, a, b, f, g []float64, at Course)
	// Misses adds (part (f0 + f1) - share d) weight to v.
	Misses func(v, d, f0, f1, weight []float64, share, part float64)
	// Weigh returns the sum of the products of a and b, which are of equal length, gathered in four sums.
	Weigh func(a, b []float64) float64
	// Extremes returns high or the largest entry, and low or the smallest. What is no number does not count.
	Extremes func(v []float64, high, low float64) (highest, lowest float64)
	// Astride sets bit i%64 of marks[i/64] where one of a[i] and b[i] is above lo and one of them below hi, and clears the other bits
	// of the words so begun.
	Astride func(marks []uint64, a, b []float64, lo, hi float64)
	// Apart returns the largest difference between entries of a and b, without sign. What is no number does not count.
	Apart func(a, b []float64) float64
	// Pull takes lost = p0 + t (p1 + t p2) from each entry of y, times weight and w, and returns the sum of all that is lost,
	// gathered in four sums.
	Pull func(y, t []float64, w []float32, p0, p1, p2 []float64, weight float64) float64
	// Glow finds the temperatures x, in K, of faces behind half cells of conductance g (W/K) that radiate: those at which what comes,
	// s - g x, is what is lost, lost = H area (x - Air) + E area (x⁴ - Sky). By Newton's method from the guesses in x, each until it
	// moves by less than 3e-5 of itself, within fifty turns; none falls below 1 K.
	Glow func(x, lost, s, g, area []float64, to Glow)
	// Link sets g = (up1 - up0)/(t1 - t0) shape factor up to the first entry whose temperatures t0 and t1 are not more
	// than least apart, or where that is not above zero, and returns how many it set.
	Link func(g []float32, t0, t1, up0, up1, shape []float64, factor, least float64) int
}

// Plain returns the loops in plain Go.
func Plain() *Set {
	return &Set{
		Name: "go", Flow: flow, Stage: stage, Read: read, Rise: rise, Triad: triad,
		Within: within, Misses: misses, Weigh: weigh, Extremes: extremes, Astride: astride, Apart: apart, Pull: pull, Glow: glow, Link: link,
	}
}

// All returns the sets that this processor runs, the plain loops first and the fastest last.
func All() []*Set { return append([]*Set{Plain()}, twins()...) }

// Best returns the fastest set that this processor runs.
func Best() *Set {
	all := All()
	return all[len(all)-1]
}

// names are those of all sets, whether or not this processor runs them.
var names = []string{"go", "avx2", "avx512"}

// Names says which names Named knows: "go, avx2 or avx512".
func Names() string {
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// Named returns a set by its name, the best where name is empty. It returns an error for names that are not known
// and for one that this processor does not run.
func Named(name string) (*Set, error) {
	if name == "" {
		return Best(), nil
	}
	for _, s := range All() {
		if s.Name == name {
			return s, nil
		}
	}
	if slices.Contains(names, name) {
		return nil, fmt.Errorf("kernel %q does not run on this processor; use go, or leave the choice to the program", name)
	}
	return nil, fmt.Errorf("kernel %q is not known; it can be %s", name, Names())
}
