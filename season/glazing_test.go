package season

import (
	"math"
	"testing"

	"emberbank/heat"
)

// Where what crosses the gap and what the pane takes of the light leaves to the outside, the pane stands, and loses what the full
// model says of a receiver that stands.
func TestPaneThatStandsLosesWhatTheFullModelSays(t *testing.T) {
	p := smallProblem(t, makesSteam)
	still, err := heat.NewStill(p)
	if err != nil {
		t.Fatal(err)
	}
	defer still.Close()
	g := (&laid{}).glaze(still, rangeOf(&p.Duty, p.Until, 3600))
	if g == nil {
		t.Fatal("there is no pane")
	}
	perWatt, inPane := still.PerWatt()
	w := heat.WeatherAt(&p.Duty, 12*3600)
	films := make([]float64, len(gapAt)*len(gapAt))
	g.tilted(films, w.Tilt)
	for _, q := range []struct {
		block, light float64
		shut         bool
	}{{330, 0, false}, {420, 0, true}, {520, 0, false}, {520, 600, false}, {560, 0, true}} {
		still.Set(func(int) float64 { return q.block })
		lo, hi := w.Air-20, q.block+100
		for hi-lo > 1e-6 {
			pane := 0.5 * (lo + hi)
			face := q.block
			for range 50 {
				x, _, _ := g.across(films, face, pane)
				face = q.block + (perWatt*q.light-x)/still.HalfCells()
			}
			if in, _, _ := g.across(films, face, pane); in+inPane*q.light > still.Outward(w, q.shut, pane) {
				lo = pane
			} else {
				hi = pane
			}
		}
		got, want := still.Outward(w, q.shut, lo), still.Lost(w, q.shut, q.light)[0]
		if math.Abs(got-want) > 0.01*want { // films lie straight between temperatures 20 K apart, and convection sets in at once
			t.Errorf("block at %g K, light %g, cover shut %t: %.4g W, by the full model %.4g W", q.block, q.light, q.shut, got, want)
		}
	}
}

// The slopes by which Newton's method goes are those of the flow across the gap.
func TestWhatCrossesTheGapRisesWithTheFaceAndFallsWithThePane(t *testing.T) {
	g := &glazing{Glazing: heat.Glazing{Area: 0.03, Radiates: 1.4e-9}, tilts: axis{0}, right: 1}
	for range len(gapAt) * len(gapAt) {
		g.films = append(g.films, 3)
	}
	q, overFace, overPane := g.across(g.films, 550, 450)
	if want := 0.03*3*100 + 1.4e-9*(math.Pow(550, 4)-math.Pow(450, 4)); math.Abs(q-want) > 1e-9*want {
		t.Errorf("%g W, by hand %g W", q, want)
	}
	up, _, _ := g.across(g.films, 550.01, 450)
	down, _, _ := g.across(g.films, 550, 450.01)
	if math.Abs((up-q)/0.01-overFace) > 1e-3*overFace || math.Abs((down-q)/0.01-overPane) > -1e-3*overPane {
		t.Errorf("slopes %g and %g W/K, by differences %g and %g W/K", overFace, overPane, (up-q)/0.01, (down-q)/0.01)
	}
}
