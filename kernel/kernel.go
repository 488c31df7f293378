// Package kernel holds the hottest loops of the march, each in plain Go and, where the processor has it, as a
// vector twin: heat conduction over a stretch of cells with one stage of the scheme, enthalpy to temperature along
// an arc of a medium's curve, or along its slope; beside them the triad, the yardstick of the machine's bandwidth.
//
// The plain loops are the reference on every platform. In Flow and Stage a twin adds the same terms with fused
// multiply-adds and, in sums, in another order: the two agree within the bound that the tests state, not to the last
// bit. In Read nothing is fused, plain or twin, on any platform: there all agree to the last bit, so that a caller may
// read some cells by its own loop and cells of one enthalpy still have one temperature. Within one kernel a cell's
// result does not depend on where a stretch begins or ends, so that the number of workers changes nothing.
//
// Cells are numbered along depth first, then width, then height. Temperatures and conductances carry one plane of
// padding at both ends: entry Plane+c belongs to cell c. A conductance at Plane+c joins cell c and its next cell along
// the axis and is zero where there is none, at the end of a row or plane too, so that a stretch may run over rows.
package kernel

import "fmt"

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
// for From <= h < To. Inv is above zero; there is one node at least, and there are fewer than 2^31.
type Arc struct {
	From, To float64 // J/kg
	Inv      float64 // kg/J, pieces per J/kg
	Nodes    []Node
}

// Node is a straight piece's temperature at its start and its rise over the piece, in K.
type Node struct{ T, DT float64 }

// Set is one implementation of the loops.
type Set struct {
	Name string
	// Flow writes F, in J/(kg s), of cells from..to into Y: what conduction brings over each cell's faces, over its mass.
	Flow func(s *Sweep, from, to int)
	// Stage computes one stage of cells from..to into Y from conduction alone.
	Stage func(s *Sweep, from, to int)
	// Read fills out with the temperatures of the enthalpies a + b, up to the first that is not on the arc, and returns
	// how many it did. Out, which may be a or b, and b are as long as a.
	Read func(out, a, b []float64, arc *Arc) int
	// Rise computes out = base + slope d, in K, with slopes in K kg/J, over as many cells as out has.
	Rise func(out, base, d []float64, slope []float32)
	// Triad computes a = b + s c over as many entries as a has.
	Triad func(a, b, c []float64, s float64)
}

// Plain returns the loops in plain Go.
func Plain() *Set {
	return &Set{Name: "go", Flow: flow, Stage: stage, Read: read, Rise: rise, Triad: triad}
}

// Best returns the fastest set that this processor runs.
func Best() *Set {
	if s := vector(); s != nil {
		return s
	}
	return Plain()
}

// Named returns a set by its name: go, avx2, or the best where name is empty. It returns an error for other names
// and for one that this processor does not run.
func Named(name string) (*Set, error) {
	switch name {
	case "":
		return Best(), nil
	case "go":
		return Plain(), nil
	case "avx2":
		if s := vector(); s != nil {
			return s, nil
		}
		return nil, fmt.Errorf("kernel %q does not run on this processor; use go, or leave the choice to the program", name)
	}
	return nil, fmt.Errorf("kernel %q is not known; there are go and avx2", name)
}
