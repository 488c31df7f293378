package block

import (
	"math"
	"testing"
)

func TestTubesOnTheSameCellsWarnAndKeepTheirConductance(t *testing.T) {
	g, _ := Uniform(Box{Point{0, 0, 0}, Point{0.1, 0.1, 0.1}}, [3]int{1, 10, 10})
	c := NewCutter(g, nil)
	cut := func(w, d float64) *Bore {
		b, err := c.Cut(Line{Axis: Depth, At: Point{0, w, 0.055}, To: 0.1, Diameter: d}, [3]float64{1, 1, 1})
		if err != nil {
			t.Fatal(err)
		}
		return &b
	}
	sum := func(b *Bore) (s float64) {
		for _, k := range b.Slices[0].Links {
			s += k.Shape
		}
		return s
	}
	far := []*Bore{cut(0.025, 0.012), cut(0.075, 0.012)}
	if w := c.Settle(far); len(w) != 0 {
		t.Errorf("tubes far apart: %q", w)
	}
	near := []*Bore{cut(0.045, 0.012), cut(0.058, 0.012)}
	before := []float64{sum(near[0]), sum(near[1])}
	if w := c.Settle(near); len(w) == 0 {
		t.Error("tubes on the same cells: no warning")
	}
	for n, b := range near {
		if math.Abs(sum(b)/before[n]-1) > 1e-12 {
			t.Errorf("tube %d: conductance changed by %g", n, sum(b)/before[n]-1)
		}
		for _, k := range b.Slices[0].Links {
			for _, o := range near {
				for _, gone := range o.Removed {
					if k.Cell == gone {
						t.Errorf("tube %d is linked to a removed cell", n)
					}
				}
			}
		}
	}
}

func TestBoresOutsideTheBodyAreRefused(t *testing.T) {
	g, _ := Uniform(Box{Point{0, 0, 0}, Point{0.1, 0.1, 0.1}}, [3]int{5, 5, 5})
	even := [3]float64{1, 1, 1}
	for name, l := range map[string]Line{
		"beside":   {Axis: Depth, At: Point{0, 0.2, 0.05}, To: 0.1, Diameter: 0.01},
		"cuts out": {Axis: Depth, At: Point{0, 0.003, 0.05}, To: 0.1, Diameter: 0.01},
		"no reach": {Axis: Depth, At: Point{0, 0.05, 0.05}, From: 0.2, To: 0.3, Diameter: 0.01},
		"negative": {Axis: Depth, At: Point{0, 0.05, 0.05}, To: 0.1, Diameter: -0.01},
		"NaN":      {Axis: Depth, At: Point{0, math.NaN(), 0.05}, To: 0.1, Diameter: 0.01},
	} {
		if _, err := CutBore(g, nil, l, even); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := CutBore(g, nil, Line{Axis: Depth, At: Point{0, 0.05, 0.05}, To: 0.1, Diameter: 0.01}, [3]float64{1, 0, 1}); err == nil {
		t.Error("no conductivity across: no error")
	}
}

func TestBareLineHoldsOneCellASliceByItsLength(t *testing.T) {
	g, _ := Uniform(Box{Point{0, 0, 0}, Point{0.1, 0.1, 0.1}}, [3]int{4, 5, 5})
	b, err := CutBore(g, nil, Line{Axis: Depth, At: Point{0, 0.041, 0.05}, From: 0.025, To: 0.1}, [3]float64{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Slices) != 3 || len(b.Removed) != 0 {
		t.Fatalf("%+v", b)
	}
	for i, s := range b.Slices {
		if len(s.Links) != 1 || s.Links[0].Cell != g.Index(i+1, 2, 2) || math.Abs(s.Links[0].Shape-0.025) > 1e-15 {
			t.Errorf("slice %d: %+v", i, s)
		}
	}
}

func BenchmarkCut(b *testing.B) {
	g, _ := Uniform(Box{Point{0, 0, 0}, Point{0.3, 0.3, 0.3}}, [3]int{20, 20, 20})
	for b.Loop() {
		if _, err := CutBore(g, nil, Line{Axis: Depth, At: Point{0, 0.15, 0.15}, To: 0.3, Diameter: 0.012}, [3]float64{1, 1, 1}); err != nil {
			b.Fatal(err)
		}
	}
}
