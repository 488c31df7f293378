package heat

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// Asked for the field of a steady state, what stands loses by every path what the steady state does.
func TestWhatStandsLosesWhatTheSteadyStateLoses(t *testing.T) {
	for _, shut := range []bool{false, true} {
		p := glazed()
		p.Steady, p.Until, p.Output = true, 0, []float64{0}
		p.Duty.Switches.CoverShut = shut
		r := solve(t, p)
		s, err := NewStill(p)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		field := r.Fields[len(r.Fields)-1].Temperature
		s.Set(func(c int) float64 { return field[c] })
		light := 0.0
		if p.Duty.Light != nil && !shut {
			light = p.Duty.Light.Power.At(0)
		}
		lost := s.Lost(WeatherAt(&p.Duty, 0), shut, light)
		if len(lost) != len(r.Ledger.ByPath) || len(lost) != len(s.Paths()) {
			t.Fatalf("%d paths, the steady state has %d", len(lost), len(r.Ledger.ByPath))
		}
		for i, q := range r.Ledger.ByPath {
			if s.Paths()[i] != q.Name || math.Abs(lost[i]-q.Amount) > 1e-3*math.Abs(r.Ledger.Lost)+1e-3 {
				t.Errorf("cover shut %t: %s loses %g W, in the steady state %s loses %g W", shut, s.Paths()[i], lost[i], q.Name, q.Amount)
			}
		}
	}
}

// Steady water past the cells of a steady state takes what the steady state's water takes, liquid or boiling; asked for by a
// control, the flow is the one that gives it.
func TestSteadyWaterTakesWhatTheSteadyStateTakes(t *testing.T) {
	for _, c := range []struct{ T, pressure, flow float64 }{{90, 5e5, 0.3}, {180, 2e5, 0.002}} {
		p := served(c.T, c.pressure, c.flow)
		p.hold(block.Back, c.T+zero)
		p.Steady, p.Until, p.Output = true, 0, []float64{0}
		r := solve(t, p)
		s, err := NewStill(p)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		field := r.Fields[len(r.Fields)-1].Temperature
		s.Set(func(c int) float64 { return field[c] })
		inlet := p.Duty.Water[0].Inlet.At(0)
		got, err := s.Water(0, c.flow, nil, inlet, c.pressure, 0)
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "heat", got.Heat, r.Ledger.Carried, 2e-3*r.Ledger.Carried)
		closeTo(t, "outlet", got.Outlet, last(values(t, r, "circuit "+p.Receiver.Circuits[0].Name+" outlet")), 0.2)
		again, err := s.Water(0, 0, &duty.Control{Holds: duty.HoldHeat, Value: 0.8 * got.Heat, Min: 0.01 * c.flow, Max: c.flow}, inlet, c.pressure, 0)
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "heat that a control asks for", again.Heat, 0.8*got.Heat, 5e-3*got.Heat)
		if again.Misses != "" || !(again.Flow < c.flow) {
			t.Errorf("the control chose %g kg/s and misses: %q", again.Flow, again.Misses)
		}
		fill, err := s.Filling(0, inlet, c.pressure, inlet)
		if err != nil || fill != 0 {
			t.Errorf("water that is not warmed takes %g J, %v", fill, err)
		}
	}
}

// Gathered by groups, a row holds what the body holds, tubes take what the passes take, and what one group conducts to another
// leaves it.
func TestGroupsOfARowAddUpToIt(t *testing.T) {
	p := served(180, 5e5, 0.05)
	p.every(20, 200)
	var rows []Grouped
	var group []int16
	p.Seen = func(s Sight) {
		g, part := s.Body()
		if group == nil {
			group = make([]int16, g.Cells())
			for c := range group {
				i, _, _ := g.Place(c)
				group[c] = int16(i % 3)
				if part[c] < 0 {
					group[c] = -1
				}
			}
		}
		rows = append(rows, s.Groups(group, 3))
	}
	r := solve(t, p)
	still, err := NewStill(p)
	if err != nil {
		t.Fatal(err)
	}
	defer still.Close()
	whole := 0.0
	for _, row := range still.Masses(group, 3) {
		for _, m := range row {
			whole += m
		}
	}
	if !(whole > 0) {
		t.Error("the groups weigh nothing")
	}
	stored, passes := values(t, r, "stored"), values(t, r, "heat to passes")
	for i := range rows {
		heat, taken := 0.0, 0.0
		for g := range 3 {
			heat += rows[i].Heat[g]
			taken += rows[i].Taken[0][g]
			for h := range 3 {
				if rows[i].Between[g][h] != -rows[i].Between[h][g] {
					t.Errorf("row %d: %g W from %d to %d, %g W back", i, rows[i].Between[g][h], g, h, rows[i].Between[h][g])
				}
			}
		}
		if i == 0 {
			continue // water has only begun to flow
		}
		closeTo(t, "heat of the groups since the start", heat-rows[0].Heat[0]-rows[0].Heat[1]-rows[0].Heat[2], stored[i]-stored[0], 0.05*math.Abs(stored[i]-stored[0])+50)
		closeTo(t, "heat that tubes take", taken, passes[i], 1e-6*math.Abs(passes[i])+1e-6)
	}
}
