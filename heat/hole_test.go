package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
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

// What leads around a hole does not lead through insulation as if it were the block: an empty bore in the outermost cells
// of a block leaves the loss through the insulation beside them as it is, however few cells there are. The insulation is all
// but the whole resistance, so that the plane wall's loss is the exact one; cells removed whole block some of it.
func TestNoWayAroundAHoleShortensInsulation(t *testing.T) {
	const plate, layer, wide, deep = 0.048, 0.02, 0.096, 0.1
	for _, c := range []struct {
		cells, insulation int
		off               float64
	}{{1, 1, 0.07}, {2, 1, 0.04}, {1, 2, 0.07}, {2, 2, 0.04}, {4, 1, 1e-3}, {4, 2, 1e-3}} {
		t.Run(fmt.Sprintf("%d cells, insulation %d", c.cells, c.insulation), func(t *testing.T) {
			p := cuboid(block.Point{deep, wide, plate + layer}, [3]int{1, 1, 1}, plain(2700, 900, 100))
			p.Receiver.Media = append(p.Receiver.Media, plain(100, 1000, 0.05))
			p.Receiver.Parts[0].Role = receiver.RoleBlock
			p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
				Name: "layer", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
				Box: block.Box{Min: block.Point{0, 0, plate}, Max: block.Point{deep, wide, plate + layer}},
			})
			p.Grid = GridPlan{}
			p.Grid.Lines[0] = []float64{0, deep}
			across := 4*c.cells | 1
			if c.cells == 1 {
				across = 3
			}
			for i := range across + 1 {
				p.Grid.Lines[1] = append(p.Grid.Lines[1], wide*float64(i)/float64(across))
			}
			p.Grid.Lines[2] = []float64{0, plate / 4, plate / 2}
			for i := range c.cells {
				p.Grid.Lines[2] = append(p.Grid.Lines[2], plate/2*(1+float64(i+1)/float64(c.cells)))
			}
			for i := range c.insulation {
				p.Grid.Lines[2] = append(p.Grid.Lines[2], plate+layer*float64(i+1)/float64(c.insulation))
			}
			p.hold(block.Bottom, 700)
			p.hold(block.Top, 300)
			q := p.tube("1", block.Depth, block.Point{0, wide / 2, 0.75 * plate})
			q.Contact.Value, q.FilmNone, q.Fluid = material.Constant(1e-6), true, 500
			p.Steady = true
			want := deep * wide * 400 / (plate/100 + layer/0.05)
			got := last(values(t, solve(t, p), "lost top"))
			t.Logf("%+.2f %%", 100*(got/want-1))
			if math.Abs(got/want-1) > c.off {
				t.Errorf("%.4g W through the insulation, of a plane wall %.4g W", got, want)
			}
		})
	}
}
