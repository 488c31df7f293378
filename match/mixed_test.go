package match

import (
	"math"
	"slices"
	"testing"

	"emberbank/history"
)

// TestAMeanThatMixesDrainedWithFlowingIsLeftOut: a value stands for the time since the reading before it, and the run
// must flow over all of it.
func TestAMeanThatMixesDrainedWithFlowingIsLeftOut(t *testing.T) {
	nan := math.NaN()
	time, v := []float64{0, 60, 120, 180, 240}, []float64{nan, nan, 30, 29, 28}
	for _, c := range []struct {
		from, to float64
		want     bool
	}{{0, 60, false}, {60, 120, false}, {100, 120, false}, {120, 180, true}, {130, 200, true}, {180, 300, true}} {
		if got := whole(time, v, c.from, c.to); got != c.want {
			t.Errorf("from %g to %g s the run is taken to flow throughout: %v, want %v", c.from, c.to, got, c.want)
		}
	}
}

// TestValuesStandForTheTimeSinceTheReadingBefore holds the stretches of a logger with a row each 10 s averaged over 60 s.
func TestValuesStandForTheTimeSinceTheReadingBefore(t *testing.T) {
	c := Channel{Column: "circuit main outlet", Quantity: history.Temperature, Noise: 0.1, Standing: 3}
	for x := 0.0; x <= 240; x += 10 {
		c.Time, c.Value = append(c.Time, x), append(c.Value, 300)
	}
	s, err := sample(&Trial{Name: "day", Channels: []Channel{c}}, 4)
	if err != nil {
		t.Fatal(err)
	}
	got := s.channels[0]
	if want := []float64{0, 0, 60, 120, 180}; !slices.Equal(got.from, want) {
		t.Errorf("the means begin at %v, want %v", got.from, want)
	}
	if want := []float64{0, 60, 120, 180, 240}; !slices.Equal(got.to, want) {
		t.Errorf("the means end at %v, want %v", got.to, want)
	}
	s.prune([]float64{math.NaN(), math.NaN(), 300, 300, 300})
	if len(s.channels[0].value) != 3 || s.gone[0] != 2 {
		t.Errorf("%d rows are left and %v gone, want 3 and 2", len(s.channels[0].value), s.gone)
	}
	if l := s.left(); len(l) != 1 || l[0] != "of day are not compared: 3 readings of circuit main outlet, over which no water flowed throughout "+
		"in the trial; and 2 means of circuit main outlet, over which the run has no value throughout, as of a drained circuit" {
		t.Errorf("said as %q", l)
	}
}

// TestReadingsOfSeveralOutletsAreSaidInOneNote: a trial of two circuits says once what is not compared of them.
func TestReadingsOfSeveralOutletsAreSaidInOneNote(t *testing.T) {
	s := &sampled{Trial: &Trial{Name: "day", Channels: []Channel{
		{Column: "circuit left outlet", Standing: 3}, {Column: "core"}, {Column: "circuit right outlet", Standing: 1},
	}}}
	if l := s.left(); len(l) != 1 || l[0] != "of day are not compared: 3 readings of circuit left outlet and one reading of circuit right outlet, over which "+
		"no water flowed throughout in the trial" {
		t.Errorf("said as %q", l)
	}
}
