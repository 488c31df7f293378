package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

// A tube in the middle of a thin layer of insulation between good conductors, as a bend beside the block, takes what the
// insulation lets through, however few cells the layer has: a cylinder midway between isothermal planes. Shape factors a
// metre by multipole collocation in 30 digits, case of Hahne & Grigull, Int. J. Heat Mass Transfer 18 (1975) 751-767.
// Where the link used the plates' conductivity for the whole way, one cell gave many times as much.
func TestTubeInAThinLayerTakesWhatTheLayerLetsThrough(t *testing.T) {
	const length, wide, plate, layer, k = 0.1, 0.36, 0.02, 0.04, 0.05
	for _, c := range []struct {
		cells  int
		narrow float64 // diameter over the layer
		shape  float64 // per metre
		off    float64
	}{
		{1, 0.5, 6.76126617746, 0.03},
		{2, 0.5, 6.76126617746, 0.03},
		{3, 0.5, 6.76126617746, 0.04},
		{9, 0.5, 6.76126617746, 0.01},
		{1, 0.2, 3.39472542789, 0.03},
		{3, 0.2, 3.39472542789, 0.02},
		{9, 0.2, 3.39472542789, 0.01},
	} {
		diameter := c.narrow * layer
		t.Run(fmt.Sprintf("%d cells, diameter %g of the layer", c.cells, c.narrow), func(t *testing.T) {
			p := cuboid(block.Point{length, wide, 2*plate + layer}, [3]int{1, 1, 1}, plain(2700, 900, 200))
			p.Receiver.Media = append(p.Receiver.Media, plain(100, 1000, k))
			p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
				Name: "layer", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
				Box: block.Box{Min: block.Point{0, 0, plate}, Max: block.Point{length, wide, plate + layer}},
			})
			size := layer / float64(c.cells)
			p.Grid = GridPlan{}
			for i := 0.0; i <= 4; i++ {
				p.Grid.Lines[0] = append(p.Grid.Lines[0], length*i/4)
			}
			across := 2*int(wide/size/2) + 1
			for i := range across + 1 {
				p.Grid.Lines[1] = append(p.Grid.Lines[1], wide*float64(i)/float64(across))
			}
			p.Grid.Lines[2] = []float64{0, plate / 2}
			for i := range c.cells + 1 {
				p.Grid.Lines[2] = append(p.Grid.Lines[2], plate+layer*float64(i)/float64(c.cells))
			}
			p.Grid.Lines[2] = append(p.Grid.Lines[2], 1.5*plate+layer, 2*plate+layer)
			p.hold(block.Bottom, 320+zero)
			p.hold(block.Top, 320+zero)
			tube := p.tube("1", block.Depth, block.Point{0, wide / 2, plate + layer/2})
			tube.Outer, tube.Inner, tube.Contact.None, tube.FilmNone, tube.Fluid = diameter, diameter-0.002, true, true, 20+zero
			p.Steady = true
			r := solve(t, p)
			want := c.shape * length * k * 300
			got := r.Ledger.ToPasses
			t.Logf("%.4g W, by the shape factor %.4g W: %+.1f %%", got, want, 100*(got/want-1))
			if math.Abs(got/want-1) > c.off {
				t.Errorf("the tube takes %.4g W, wanted %.4g W within %.0f %%", got, want, 100*c.off)
			}
		})
	}
}
