package study

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

// threeCircuits is an adiabatic block of 18 kg with three circuits, of which somebody wants 600 W at 80 °C or more.
func threeCircuits() heat.Problem {
	m := material.Medium{Name: "plain", Density: 2700, HeatCapacity: material.Constant(900), HeatCapacityMelted: material.Constant(900)}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(200), material.Constant(200)
	}
	blk := block.Box{Max: block.Point{0.12, 0.24, 0.24}}
	p := heat.Problem{
		Receiver: receiver.Receiver{Block: blk, Media: []material.Medium{m}, Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}}},
		Duty: duty.Duty{
			Ambient: duty.Fixed(293.15),
			Load:    &duty.Load{Wanted: duty.Fixed(600), Circuits: []int{0, 1, 2}, Min: 0.5 / 3600, Max: 120.0 / 3600, Serves: 353.15, Band: 0.1, Rest: 120},
		},
		Grid: heat.GridPlan{Counts: [3]int{3, 6, 6}}, Initial: 293.15, Until: 3600, Output: []float64{0, 3600},
	}
	for s := block.Front; s <= block.Top; s++ {
		p.Receiver.Surfaces = append(p.Receiver.Surfaces, receiver.Surface{Name: s.String()})
	}
	for i := range 3 {
		from := block.Point{0.06, 0, 0.04 + 0.08*float64(i)}
		to := from
		to[block.Width] = 0.24
		p.Receiver.Passes = append(p.Receiver.Passes, receiver.Pass{
			Axis: block.Width, At: from, To: 0.24, Outer: 0.012, Inner: 0.01, WallMedium: -1, Spreading: true,
			Contact: receiver.Contact{Value: material.Constant(600)}, Fluid: math.NaN(),
		})
		p.Receiver.Circuits = append(p.Receiver.Circuits, receiver.Circuit{Name: string(rune('A' + i)), Runs: []receiver.Run{{Kind: receiver.RunPass, Pass: i, From: from, To: to}}})
		p.Duty.Water = append(p.Duty.Water, duty.Water{Flow: duty.Fixed(0), Inlet: duty.Fixed(288.15), Pressure: duty.Fixed(50e5)})
		p.Duty.Switches.Water = append(p.Duty.Switches.Water, duty.Drained)
		p.Duty.Switches.FlowShare = append(p.Duty.Switches.FlowShare, 1)
	}
	return p
}

// A hotter block gives more, more circuits give more, and the least flow gives less than the most; what is held takes no more
// heat than the block has above the inlet, and more circuits hold it longer.
func TestMoreCircuitsGiveMoreAndHoldLonger(t *testing.T) {
	p := threeCircuits()
	c, err := OfCircuits(context.Background(), p, 353.15, 523.15)
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range c.Even {
		for n := range a.Most {
			if !(a.Least[n] > 0 && a.Least[n] < a.Most[n]) {
				t.Errorf("%g K, %d open: from %g to %g W", a.Block, n+1, a.Least[n], a.Most[n])
			}
			if n > 0 && !(a.Most[n] > a.Most[n-1]) {
				t.Errorf("%g K: %d circuits give %g W, one fewer %g W", a.Block, n+1, a.Most[n], a.Most[n-1])
			}
			if i > 0 && !(a.Most[n] < c.Even[i-1].Most[n]) {
				t.Errorf("%g K: %g W, more than the hotter block's %g W", a.Block, a.Most[n], c.Even[i-1].Most[n])
			}
		}
	}
	content := 2700 * 900 * 0.12 * 0.24 * 0.24 * (523.15 - 288.15)
	for n, s := range c.Held {
		if s*c.Asked > content || n > 0 && s < c.Held[n-1] {
			t.Errorf("%d circuits hold %g W for %g s: %g J of %g J", n+1, c.Asked, s, s*c.Asked, content)
		}
	}
	if last := c.Held[2]; !(last > 1200) {
		t.Errorf("three circuits hold %g W for %g s", c.Asked, last)
	}
}

// What an even block is said to give is what a run that begins with it gives: the least at the least flow, to a few per cent.
func TestAbilityIsWhatARunGives(t *testing.T) {
	p := threeCircuits()
	found, err := heat.Abilities(p, []float64{473.15})
	if err != nil {
		t.Fatal(err)
	}
	p.Initial = 473.15
	p.Output, p.Until = []float64{0, 1}, 1
	p.Duty.Load.Wanted = duty.Fixed(1e5) // all that there is
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	got := r.History.Column("load delivered").Values[0]
	if want := found[0].Most[2]; math.Abs(got/want-1) > 0.02 {
		t.Errorf("a run gives %g W at its start, an even block is said to give %g W", got, want)
	}
}
