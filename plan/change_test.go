package plan

import (
	"math"
	"reflect"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// dayOfThree is a duty of light, hold with the cover shut, and drain.
func dayOfThree() heat.Problem {
	p := heat.Problem{Until: 7200}
	p.Receiver.Window = &receiver.Window{}
	p.Receiver.Circuits = []receiver.Circuit{{Name: "main"}, {Name: "held"}}
	p.Duty = duty.Duty{
		Light: &duty.Light{Power: duty.Fixed(350)}, Water: []duty.Water{{Flow: duty.Fixed(0.015)}, {Flow: duty.Fixed(0.02)}},
		Throttle: []duty.Control{{Circuit: 1}}, Switches: duty.Switches{Light: true, Water: make([]duty.WaterState, 2)},
		Events: []duty.Event{
			{At: 2700, Name: "hold", Do: []duty.Action{{What: duty.SetLight}, {What: duty.SetCover, Value: 1}}},
			{At: 5400, Name: "drain", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}},
		},
	}
	return p
}

func TestLongerStretchPutsOffWhatComesAfter(t *testing.T) {
	for _, c := range []struct {
		change      Longer
		hold, drain float64
	}{
		{Longer{By: 600}, 3300, 6000},
		{Longer{After: "hold", By: 600}, 2700, 6000},
		{Longer{After: "drain", By: 600}, 2700, 5400},
		{Longer{From: 2700, By: 600}, 2700, 6000},
	} {
		p := dayOfThree()
		before := dayOfThree()
		same := p
		if err := (&Change{Longer: &c.change}).apply(&p); err != nil {
			t.Fatal(err)
		}
		if p.Until != 7800 || p.Duty.Events[0].At != c.hold || p.Duty.Events[1].At != c.drain {
			t.Errorf("%+v: until %g, events %+v", c.change, p.Until, p.Duty.Events)
		}
		if !reflect.DeepEqual(same.Duty.Events, before.Duty.Events) {
			t.Error("the problem that it was made from has changed")
		}
	}
	p := dayOfThree()
	if (&Change{Longer: &Longer{After: "nothing", By: 1}}).apply(&p) == nil {
		t.Error("a stretch that does not exist was made longer")
	}
}

func TestCoverIsHeldAndThenAsItWouldHaveBeen(t *testing.T) {
	at := func(p *heat.Problem, when float64) bool {
		s := p.Duty.Switches.Clone()
		for _, e := range p.Duty.Events {
			if e.At <= when {
				for _, a := range e.Do {
					a.Apply(&s)
				}
			}
		}
		return s.CoverShut
	}
	for _, c := range []struct {
		change Cover
		shut   [4]bool // at 600, 3000, 4800 and 6600 s
	}{
		{Cover{Shut: false, From: 2700, To: 5400}, [4]bool{false, false, false, true}},
		{Cover{Shut: false, From: 4000, To: math.Inf(1)}, [4]bool{false, true, false, false}},
		{Cover{Shut: true, From: 0, To: 1000}, [4]bool{true, true, true, true}},
		{Cover{Shut: true, From: 300, To: 900}, [4]bool{true, true, true, true}},
	} {
		p := dayOfThree()
		_ = (&Change{Cover: &c.change}).apply(&p)
		for i, when := range []float64{600, 3000, 4800, 6600} {
			if got := at(&p, when); got != c.shut[i] {
				t.Errorf("%+v: shut at %g s is %v", c.change, when, got)
			}
		}
		for i := 1; i < len(p.Duty.Events); i++ {
			if p.Duty.Events[i].At < p.Duty.Events[i-1].At {
				t.Errorf("%+v: events out of order", c.change)
			}
		}
	}
	p := dayOfThree()
	_ = (&Change{Cover: &Cover{Shut: true, From: 300, To: 900}}).apply(&p)
	if at(&p, 1200) {
		t.Error("the cover stays shut after its time")
	}
}

func TestProposalsLeaveTheLightTheWindow(t *testing.T) {
	p := dayOfThree()
	var names []string
	for _, c := range proposed(&p) {
		if c.Cover != nil && c.Cover.Shut {
			t.Errorf("the cover would be shut: %s", c.Name())
		}
		names = append(names, c.Name())
	}
	want := []string{
		"first stretch 23 min longer", "hold 23 min longer", "drain 15 min longer", "circuit main at 0.5 times its flow",
		"circuit main at 2 times its flow", "cover open from 45 min to 90 min", "cover open from 90 min",
	}
	if !reflect.DeepEqual(names, want) {
		t.Errorf("proposed: %q", names)
	}
}

func TestPlaceInABoreMovesIntoTheSolid(t *testing.T) {
	p := heat.Problem{}
	p.Receiver.Block.Max = block.Point{0.08, 0.12, 0.12}
	p.Receiver.Passes = []receiver.Pass{{Axis: block.Width, At: block.Point{0.04, 0, 0.06}, From: 0, To: 0.12, Outer: 0.01}}
	at := block.Point{0.04, 0.06, 0.06}
	if !clear(p, &at) || math.Abs(at[0]-0.05) > 1e-12 {
		t.Errorf("moved to %v", at)
	}
}
