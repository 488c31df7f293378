package hazard

import (
	"fmt"
	"math"
)

// TubeSource is where the formula of Tube comes from.
const TubeSource = "ASME B31.1, para. 104.1.2: P = 2 S E (t − A)/(D − 2 y (t − A)), y = 0.4 up to 482 °C (900 °F)"

// steadyY is the temperature in K up to which y is 0.4 for ferritic and austenitic steels: 900 °F.
// Source: ASME B31.1, Table 104.1.2(A), as public pages on the formula give it.
const steadyY = 482 + iceZero

// Tube is a straight tube under pressure from inside.
type Tube struct {
	Outer       float64 // m, outer diameter
	Wall        float64 // m, as ordered
	Stress      float64 // Pa, allowable at Temperature: the reader's duty to take from the current code
	Joint       float64 // 1, efficiency of its weld seam or quality factor of its casting; 1 for seamless tubes
	Undersize   float64 // share of the wall that the mill may leave out: 0.125 by ASTM A530 for pipe
	Allowance   float64 // m, off the wall: threads, corrosion, erosion
	Temperature float64 // K, of the wall at its hottest
}

// Capacity returns the pressure in Pa above that outside that the tube bears by the thin-wall formula:
//
//	P = 2 S E (t − A)/(D − 2 y (t − A)),   t = wall (1 − undersize)
//
// S is the allowable stress, E the joint's efficiency, D the outer diameter, A the allowance, y 0.4. For a thick tube, D/t below 6,
// y is d/(d + D) with the inner diameter d = D − 2 t (from memory). Up to 482 °C of ferritic, austenitic and non-ferrous tubes;
// above, y rises with temperature and creep counts: that is refused. Bends are thinner than straight tube, and bear less.
// Source: ASME B31.1, para. 104.1.2 and Table 104.1.2(A).
func (t Tube) Capacity() (float64, error) {
	wall, y, err := t.left()
	if err != nil {
		return 0, err
	}
	return 2 * t.Stress * t.Joint * wall / (t.Outer - 2*y*wall), nil
}

// LeastWall returns the wall in m, as ordered, that a pressure in Pa above that outside asks for; Wall itself does not count:
//
//	t = P D/(2 (S E + P y)) + A,   wall = t/(1 − undersize),   y = 0.4
//
// with symbols, range and source as for Capacity, of which it is the inverse. A pressure that asks for a thick tube, D/t below 6, is
// refused: y is less than 0.4 there, and this wall would be too thin.
func (t Tube) LeastWall(p float64) (float64, error) {
	if err := t.sound(); err != nil {
		return 0, err
	}
	if !(p >= 0) || math.IsInf(p, 0) {
		return 0, t.fail("the pressure that asks for a wall is %g Pa, allowed: zero or above", p)
	}
	const y = 0.4
	wall := p*t.Outer/(2*(t.Stress*t.Joint+p*y)) + t.Allowance
	if t.Outer < 6*wall {
		return 0, t.fail("%.4g Pa ask for a wall of %.4g mm or more: allowed: up to a sixth of the diameter", p, 1000*wall)
	}
	return wall / (1 - t.Undersize), nil
}

// left returns what is left of the wall and y.
func (t Tube) left() (wall, y float64, err error) {
	if err := t.sound(); err != nil {
		return 0, 0, err
	}
	if !(t.Wall > 0 && 2*t.Wall < t.Outer) {
		return 0, 0, t.fail("its wall is %.4g mm, allowed: above zero and below its radius", 1000*t.Wall)
	}
	whole := t.Wall * (1 - t.Undersize)
	wall = whole - t.Allowance
	if !(wall > 0) {
		return 0, 0, t.fail("nothing of its wall is left after undersize and allowance")
	}
	y = 0.4
	if t.Outer < 6*whole {
		d := t.Outer - 2*whole
		y = d / (d + t.Outer)
	}
	return wall, y, nil
}

// sound refuses what the formula does not cover.
func (t Tube) sound() error {
	switch {
	case !(t.Outer > 0):
		return t.fail("allowed: above zero")
	case !(t.Stress > 0) || math.IsInf(t.Stress, 0):
		return t.fail("allowable stress is %g Pa, allowed: above zero", t.Stress)
	case !(t.Joint > 0 && t.Joint <= 1):
		return t.fail("joint efficiency is %g, allowed: above 0, up to 1", t.Joint)
	case !(t.Undersize >= 0 && t.Undersize < 1 && t.Allowance >= 0):
		return t.fail("undersize is %g and allowance %g m, allowed: 0 to below 1, and zero or above", t.Undersize, t.Allowance)
	case !(t.Temperature > 0 && t.Temperature <= steadyY):
		return t.fail("its wall is at %.0f degC: above 482 degC y rises and creep counts, which is left to the code itself", t.Temperature-iceZero)
	}
	return nil
}

func (t Tube) fail(what string, args ...any) error {
	return fmt.Errorf("capacity of a tube of %.4g mm: "+what, append([]any{1000 * t.Outer}, args...)...)
}
