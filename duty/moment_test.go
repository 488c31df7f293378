package duty

import (
	"slices"
	"testing"
)

func aDuty() Duty {
	return Duty{
		Light:   &Light{Power: Signal{T: []float64{0, 600, 600, 900, 1000}, V: []float64{1, 1, 2, 2, 0}}},
		Heaters: []Signal{{T: []float64{0, 300, 400}, V: []float64{5, 5, 7}, Step: true}},
		Events: []Event{
			{At: 0, Name: "begin", Do: []Action{{What: SetLight, Value: 1}}},
			{At: 500, Name: "hold", Do: []Action{{What: SetLight}}},
			{At: 700, Name: "said only"},
			{At: 2000, Name: "behind the end", Do: []Action{{What: SetLight}}},
		},
	}
}

// TestMomentsAreEventsAndJumps: a bend, a knot that changes nothing, the start and what lies behind the end are none.
func TestMomentsAreEventsAndJumps(t *testing.T) {
	d := aDuty()
	var at []float64
	var what []string
	for _, m := range d.Moments(1500) {
		at, what = append(at, m.At), append(what, m.What)
	}
	if !slices.Equal(at, []float64{400, 500, 600}) || !slices.Equal(what, []string{"heater 1", "hold", "the light"}) {
		t.Errorf("the moments are %v at %v", what, at)
	}
}

// TestAMovedMomentMovesNothingElse moves each by 20 s within its bounds and looks at the values around it; the duty it was
// taken from stays.
func TestAMovedMomentMovesNothingElse(t *testing.T) {
	was := aDuty()
	for _, m := range was.Moments(1500) {
		if m.Least > -90 || m.Most < 90 {
			t.Errorf("%s may be moved by %g to %g s only", m.What, m.Least, m.Most)
		}
		d := was
		d.Move(m, 20)
		if again := aDuty(); !slices.Equal(again.Light.Power.T, was.Light.Power.T) || !slices.Equal(again.Heaters[0].T, was.Heaters[0].T) || again.Events[1].At != was.Events[1].At {
			t.Fatalf("moving %s changes the duty that it was taken from", m.What)
		}
		light, heater, event := 600.0, 400.0, 500.0
		switch m.What {
		case "the light":
			light += 20
		case "heater 1":
			heater += 20
		default:
			event += 20
		}
		if d.Light.Power.Before(light) != 1 || d.Light.Power.At(light) != 2 || d.Heaters[0].Before(heater) != 5 || d.Heaters[0].At(heater) != 7 || d.Events[1].At != event {
			t.Errorf("moving %s by 20 s gives %v, %v and an event at %g s", m.What, d.Light.Power, d.Heaters[0], d.Events[1].At)
		}
	}
}
