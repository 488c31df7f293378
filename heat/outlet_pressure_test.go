package heat

import (
	"testing"

	"emberbank/block"
)

// Boiling water leaves at saturation of the outlet's pressure (99.61 °C at 1 bar, IAPWS-IF97), though half a slice before
// the outlet the pressure is far higher, and with the quality that belongs to it.
func TestBoilingWaterLeavesAtTheOutletsPressure(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 4, 3}, plain(2000, 1000, 1e5))
	p.Initial = 300 + zero
	tube := p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	tube.Outer, tube.Inner = 0.004, 0.003
	tube.Contact.None, tube.Spreading, tube.FilmFixed = true, false, 3e4
	p.circuit(0.004, 95+zero, 1e5, through(&p, 0, false))
	p.every(0.1, 0.2)
	r := solve(t, p)
	closes(t, r)
	drop := values(t, r, "circuit A pressure drop")[0]
	if drop < 2e4 {
		t.Fatalf("the drop of %g Pa proves nothing", drop)
	}
	closeTo(t, "outlet", values(t, r, "circuit A outlet")[0], 99.61+zero, 0.02)
	// h′ and the latent heat at 1 bar: 417.4 and 2257.5 kJ/kg; 398.1 kJ/kg enter at 95 °C.
	h := 398.1e3 + values(t, r, "heat to passes")[0]/0.004
	closeTo(t, "quality", values(t, r, "circuit A quality")[0], (h-417.4e3)/2257.5e3, 0.003)
}
