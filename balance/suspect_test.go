package balance

import (
	"strings"
	"testing"
)

// TestABlockColderThanTheAirTakesHeatUpUnsuspected: cold water may leave a block below the air's temperature. That it warms
// again is no energy that is missing, and its few kilojoules bear no closure.
func TestABlockColderThanTheAirTakesHeatUpUnsuspected(t *testing.T) {
	record := func(air float64) PhaseReport {
		m := make1(circumstances{seed: 3, every: 30, noise: 0.05})
		h := m.in.History
		for k, s := range h.Time {
			if s > 12600 {
				h.Column("core").Values[k] = 288 + 2*(s-12600)/14400
				h.Column("ambient").Values[k] = air
			}
		}
		m.in.Phases = []Given{{HeatUp, 0, 7200}, {Hold, 7200, 9000}, {Drain, 9000, 12600}, {Cool, 12700, 27000}}
		r, err := Reduce(m.in)
		if err != nil {
			t.Fatal(err)
		}
		return r.Phases[3]
	}
	p := record(291)
	if !(p.Lost.Value < 0) {
		t.Fatalf("the made-up block does not take heat up: %g J", p.Lost.Value)
	}
	for _, s := range p.Suspicions {
		if strings.Contains(s, "below zero") {
			t.Errorf("beside warmer air: %s", s)
		}
	}
	if p.Cooling == nil || !strings.Contains(p.Cooling.Sentence, "warms towards") {
		t.Errorf("the block warms: %+v", p.Cooling)
	}
	if p.Closure != nil && p.Closure.Half() >= 1 {
		t.Errorf("a closure of %g ± %g is told", p.Closure.Value, p.Closure.Half())
	}
	p = record(280)
	if !strings.Contains(strings.Join(p.Suspicions, " "), "below zero") {
		t.Errorf("a block that warms beside colder air without a source is not suspected: %q", p.Suspicions)
	}
}
