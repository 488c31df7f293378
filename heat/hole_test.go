package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
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
