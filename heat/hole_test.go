package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
)

// Tubes in a square array across the flow of heat, each with the mean temperature of its place, conduct like cylinders of
// the conductivity h r, h the conductance from the bore's wall to the fluid; an empty tube is a hole, h = 0. Then
//
//	k'/k = 1 + 2 φ/(1/β − φ − 0.30584 β φ⁴),   β = (h r − k)/(h r + k)
//
// with φ the share of the tubes in the section. Source: Lord Rayleigh, Phil. Mag. 34 (1892) 481, to the order of φ⁴ (the
// coefficient from memory). The plane between two rows has one temperature, so that one tube between two faces held at
// theirs is an array.
func TestArrayOfTubesConductsAsByRayleigh(t *testing.T) {
	const side, length, k, r = 0.04, 0.1, 100.0, 0.006
	for _, cells := range []int{13, 21, 33} {
		for _, h := range []float64{0, 500, 5000} {
			t.Run(fmt.Sprintf("%d cells, %g W per m2 and K", cells, h), func(t *testing.T) {
				p := cuboid(block.Point{side, length, side}, [3]int{cells, 1, cells}, plain(2000, 1000, k))
				q := p.tube("1", block.Width, block.Point{side / 2, 0, side / 2})
				q.Contact.Value, q.FilmNone = material.Constant(math.Max(h, 1)), true
				q.Fluid = 400
				if h == 0 {
					q.Contact.Value = material.Constant(1e-6)
				}
				p.hold(block.Front, 410)
				p.hold(block.Back, 390)
				p.Steady = true
				res := solve(t, p)
				phi := math.Pi * r * r / (side * side)
				beta := (h*r - k) / (h*r + k)
				want := k * length * 20 * (1 + 2*phi/(1/beta-phi-0.30584*beta*math.Pow(phi, 4)))
				got := math.Abs(last(values(t, res, "lost back")))
				t.Logf("%.4f of the solid's, by Rayleigh %.4f", got/(k*length*20), want/(k*length*20))
				if math.Abs(got/want-1) > 0.014 {
					t.Errorf("%.5g W pass, by Rayleigh %.5g W", got, want)
				}
			})
		}
	}
}

// The steady state of a block whose circuit does not flow is found at once, since all is linear there, and is that around a
// tube that no heat enters; water that stands takes none at last. In one row of cells the way around the bore is the
// only one from face to face.
func TestSteadyHeatPassesTubesThatDoNotFlow(t *testing.T) {
	for _, c := range []struct {
		deep, high    int
		depth, height float64
	}{{4, 4, 0.04, 0.04}, {5, 3, 0.05, 0.12}, {5, 1, 0.05, 0.04}} {
		lay := func() Problem {
			p := cuboid(block.Point{c.depth, 0.1, c.height}, [3]int{c.deep, 1, c.high}, plain(2000, 1000, 100))
			q := p.tube("1", block.Width, block.Point{c.depth / 2, 0, c.height / 2})
			q.Contact.Value, q.FilmNone, q.Fluid = material.Constant(1e-6), true, 340
			p.hold(block.Front, 350)
			p.hold(block.Back, 330)
			p.Steady = true
			return p
		}
		want := last(values(t, solve(t, lay()), "lost back"))
		for _, state := range []duty.WaterState{duty.Drained, duty.Closed, duty.Open} {
			t.Run(fmt.Sprintf("%d × %d cells, %v", c.deep, c.high, state), func(t *testing.T) {
				p := lay()
				p.Receiver.Passes[0].Fluid = math.NaN()
				p.circuit(0.01, 400, 5e5, through(&p, 0, false))
				p.Duty.Switches.Water[0] = state
				r := solve(t, p)
				closes(t, r)
				closeTo(t, "heat from face to face, W", last(values(t, r, "lost back")), want, 1e-6*math.Abs(want))
				if r.Steps > 5 {
					t.Errorf("%d iterations", r.Steps)
				}
				// With a contact, what stands in the tube evens out the temperatures around it and still takes nothing.
				p.Receiver.Passes[0].Contact.Value = material.Constant(1000)
				r = solve(t, p)
				closes(t, r)
				if math.Abs(r.Ledger.ToPasses) > 1e-9*math.Abs(want) {
					t.Errorf("%g W to water that stands", r.Ledger.ToPasses)
				}
			})
		}
	}
}
