package heat

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

// sheeted is a block of 100 W/(m K) with a sheet of aluminium, 1 mm in three cells, behind it and beside it, so that
// the sheets meet in an edge, then insulation.
func sheeted() Problem {
	p := cuboid(block.Point{0.1, 0.1, 0.05}, [3]int{}, plain(2000, 1000, 100))
	p.Receiver.Media = append(p.Receiver.Media, plain(2700, 900, 230), plain(200, 1000, 0.05))
	add := func(medium int, lo, hi block.Point) {
		p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
			Name: "layer", Role: receiver.RoleInsulation, Medium: medium, Initial: math.NaN(), Box: block.Box{Min: lo, Max: hi},
		})
	}
	add(1, block.Point{0.1, 0, 0}, block.Point{0.101, 0.101, 0.05})
	add(1, block.Point{0, 0.1, 0}, block.Point{0.1, 0.101, 0.05})
	add(2, block.Point{0.101, 0, 0}, block.Point{0.131, 0.131, 0.05})
	add(2, block.Point{0, 0.101, 0}, block.Point{0.101, 0.131, 0.05})
	across := []float64{0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.1 + 1e-3/3, 0.1 + 2e-3/3, 0.101, 0.111, 0.121, 0.131}
	p.Grid.Lines = [3][]float64{across, across, {0, 0.025, 0.05}}
	p.Initial = 300
	p.hold(block.Front, 600)
	p.cool(block.Back, 10, 300, 0.8)
	p.cool(block.Right, 10, 300, 0.8)
	p.Until, p.Output, p.FieldTimes = 1800, []float64{0, 1800}, []float64{600, 1800}
	return p
}

func marchSheets(t *testing.T, p Problem, implicit bool) *Result {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	if !implicit {
		m.judged = inf
	}
	r, err := m.run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if implicit != (m.s.thin != nil) {
		t.Fatalf("implicit links: %v, wanted %v", m.s.thin != nil, implicit)
	}
	return r
}

// Thin sheets of metal ask for a quarter of a thousandth of the stages' length; implicit links lift that and change
// neither fields nor books.
func TestThinSheetsAreImplicitAndChangeNothing(t *testing.T) {
	p := sheeted()
	p.Tolerance = 0.01
	implicit, explicit := marchSheets(t, p, true), marchSheets(t, p, false)
	closes(t, implicit)
	for i := range implicit.Fields {
		a, b := implicit.Fields[i].Temperature, explicit.Fields[i].Temperature
		for c := range a {
			if !(math.Abs(a[c]-b[c]) <= 0.1) && !math.IsNaN(a[c]) { // K: both carry some steps' tolerance
				t.Fatalf("field %d, cell %d: %.6g K with implicit links, %.6g K without", i, c, a[c], b[c])
			}
		}
	}
	if 3*implicit.Stages > explicit.Stages {
		t.Errorf("%d stages with implicit links, %d without: less than a third was saved", implicit.Stages, explicit.Stages)
	}
}

// With implicit links the error, against explicit links alone, falls in proportion to the step or faster.
func TestImplicitLinksConvergeWithTheStep(t *testing.T) {
	final := func(tolerance float64, implicit bool) ([]float64, int) {
		p := sheeted()
		p.Tolerance = tolerance
		r := marchSheets(t, p, implicit)
		return r.Fields[0].Temperature, r.Steps
	}
	exact, _ := final(1e-3, false)
	off := func(T []float64) float64 {
		worst := 0.0
		for c := range T {
			if !math.IsNaN(T[c]) {
				worst = math.Max(worst, math.Abs(T[c]-exact[c]))
			}
		}
		return worst
	}
	coarse, few := final(0.3, true)
	fine, many := final(0.3/64, true)
	ratio := float64(many) / float64(few)
	if slope := slopeOf(off(coarse), off(fine), ratio); slope < 0.9 {
		t.Errorf("order %.2f from %d to %d steps (errors %.3g and %.3g K), wanted at least 1", slope, few, many, off(coarse), off(fine))
	}
	if off(coarse) > 0.3 {
		t.Errorf("off by %.3g K at a tolerance of 0.3 K a step", off(coarse))
	}
}
