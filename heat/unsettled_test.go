package heat

import (
	"math"
	"strings"
	"testing"
)

func TestWhatHasNotSettledIsSaidWithHowFarItStillMoved(t *testing.T) {
	var u Unsettled
	for _, moved := range []float64{1e-5, 0.3, 0.02} {
		u.end(moved, 1e-4)
	}
	if u != (Unsettled{Asked: 3, Times: 2, Most: 0.3}) {
		t.Errorf("counted are %+v", u)
	}
	if got := u.says("the pane", kelvins); got != "the pane had not settled 2 of 3 times: the last round still moved it by up to 0.3 K" {
		t.Error(got)
	}
	u = Unsettled{}
	if u.end(0, 1e-4); u.says("the pane", kelvins) != "" {
		t.Error("it complains of what has settled")
	}
	if u.end(math.NaN(), 1e-4); u.says("the pane", kelvins) == "" {
		t.Error("a number that is none has settled")
	}
}

// What stands says of faces and pane where they had not settled, and nothing where they had.
func TestWhatStandsSaysWhatHadNotSettled(t *testing.T) {
	p := glazed()
	s, err := NewStill(p)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	s.Set(func(int) float64 { return 600 })
	w := WeatherAt(&p.Duty, 0)
	for _, light := range []float64{0, 0.5, 1} {
		s.Lost(w, false, light)
		s.Lost(w, true, 0)
	}
	if said := s.Unsettled(); len(said) > 0 {
		t.Errorf("given its rounds, it says %q", said)
	}
	s.faces.end(0.2, stillWithin)
	if said := s.Unsettled(); len(said) != 1 || !strings.Contains(said[0], "faces and pane had not settled 1 of 7 times") {
		t.Errorf("it says %q", said)
	}
}

// The pane comes to rest for every attitude, wind, cover and light.
func TestPaneOfALosingWindowComesToRest(t *testing.T) {
	rec := glazed().Receiver
	for _, tilt := range []float64{-math.Pi / 2, -0.6, 0, 0.6, math.Pi / 2} {
		for _, wind := range []float64{0, 0.3, 8} {
			for _, face := range []float64{250, 290, 400, 700, 1200} {
				for _, light := range []float64{0, 200} {
					for _, shut := range []bool{false, true} {
						l := LossOfWindow(&rec, Weather{Air: 290, Sky: 270, Ground: 285, Wind: wind, Tilt: tilt}, face, light, shut)
						if !(l.Moved < SettledPane) {
							t.Errorf("tilt %g, wind %g m/s, face %g K, %g W, shut %t: the pane still moves by %g K", tilt, wind, face, light, shut, l.Moved)
						}
					}
				}
			}
		}
	}
}
