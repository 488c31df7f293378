package duty

import (
	"reflect"
	"testing"
)

// TestADutyKeepsWhatItSaysOfTheCircuitsThatStay: the middle one of three goes, and the last moves up.
func TestADutyKeepsWhatItSaysOfTheCircuitsThatStay(t *testing.T) {
	set := func(circuit int) Action { return Action{What: SetWater, Index: circuit, Value: float64(Closed)} }
	stop := Action{What: StopRun, Value: 1}
	d := Duty{
		Water:    []Water{{Flow: Fixed(1)}, {Flow: Fixed(2)}, {Flow: Fixed(3)}},
		Pumps:    []Pump{{Flow: Fixed(6), Circuits: []int{1, 2}}, {Flow: Fixed(7), Circuits: []int{1}}},
		Switches: Switches{Water: []WaterState{Flowing, Closed, Drained}, FlowShare: []float64{1, 0.5, 0.25}},
		Events:   []Event{{Do: []Action{set(0), set(1), set(2)}}, {Do: []Action{set(1)}}},
		Rules: []Rule{
			{Watch: Watch{What: WatchOutlet, Index: 1}, Do: []Action{stop}},
			{Watch: Watch{What: WatchOutlet, Index: 2}, Do: []Action{stop, set(1)}, Else: []Action{set(2)}},
			{Watch: Watch{What: WatchBlockMean}, Do: []Action{set(1)}},
		},
		Throttle: []Control{{Circuit: 1, Value: 5}, {Circuit: 2, Value: 6}},
	}
	before := d.Events[0].Do[2]
	d.KeepCircuits([]int{0, -1, 1})
	want := Duty{
		Water:    []Water{{Flow: Fixed(1)}, {Flow: Fixed(3)}},
		Pumps:    []Pump{{Flow: Fixed(6), Circuits: []int{1}}},
		Switches: Switches{Water: []WaterState{Flowing, Drained}, FlowShare: []float64{1, 0.25}},
		Events:   []Event{{Do: []Action{set(0), set(1)}}},
		Rules:    []Rule{{Watch: Watch{What: WatchOutlet, Index: 1}, Do: []Action{stop}, Else: []Action{set(1)}}},
		Throttle: []Control{{Circuit: 1, Value: 6}},
	}
	if !reflect.DeepEqual(d, want) {
		t.Errorf("it became %+v,\nnot %+v", d, want)
	}
	if before.Index != 2 {
		t.Error("an action of the duty before was changed")
	}
}
