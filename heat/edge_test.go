package heat

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

// What crosses an edge of insulation around a block converges to its shape factor, 0.54 of the edge's length. Source:
// Langmuir, Adams & Meikle, Trans. Am. Electrochem. Soc. 24 (1913) 53, as in Incropera & DeWitt's table of conduction
// shape factors (both from memory; the exact figure for thin cells is a little above it). At the block's edge the flux has no
// bound, it grows with r^(-1/3), so that the error falls with the power 4/3 of the cell, by 2.5 for half the size: what
// three cells through a layer miss is the grid's, not a conductance's.
func TestEdgesOfInsulationConvergeToTheirShapeFactor(t *testing.T) {
	const thick, side, k = 0.09, 0.27, 0.05
	edge := func(per int) float64 {
		p := cuboid(block.Point{side, side, side}, [3]int{1, 1, 1}, plain(2700, 900, 1e4))
		p.Receiver.Media = append(p.Receiver.Media, plain(100, 1000, k))
		p.Receiver.Parts = []receiver.Part{{
			Name: "layer", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
			Box: block.Box{Max: block.Point{side + thick, side + thick, side}},
		}, p.Receiver.Parts[0]}
		p.Grid = GridPlan{PerLayer: per, Size: thick}
		p.hold(block.Back, 20+zero)
		p.hold(block.Right, 20+zero)
		tube := p.tube("1", block.Height, block.Point{side / 2, side / 2, 0})
		tube.Contact.None, tube.FilmNone, tube.Fluid = true, true, 120+zero
		p.Steady = true
		r := solve(t, p)
		shape := -r.Ledger.ToPasses / (k * (last(values(t, r, "block mean")) - 20 - zero))
		return (shape - 2*side*side/thick) / side
	}
	e3, e6, e12 := edge(3), edge(6), edge(12)
	limit := e12 + (e12-e6)/(math.Pow(2, 4.0/3)-1)
	t.Logf("3, 6, 12 cells: %.4f, %.4f, %.4f, towards %.4f", e3, e6, e12, limit)
	closeTo(t, "the limit", limit, 0.54, 0.04*0.54)
	closeTo(t, "with three cells", e3, limit, 0.15*limit)
	if d3, d6 := limit-e3, limit-e6; !(d3 > 2*d6 && d6 > 2*(limit-e12)) {
		t.Errorf("errors of %.4f, %.4f, %.4f do not fall as they should", d3, d6, limit-e12)
	}
}
