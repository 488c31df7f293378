package heat

import (
	"math"
	"testing"

	"emberbank/duty"
)

// An answer in haste is like the whole one, by fewer steps, with books that close as well; nothing is said of what a tenth more
// contact would bring.
func TestAnAnswerInHasteIsLikeTheWholeOneByFewerSteps(t *testing.T) {
	const asked = 6.0 / 3600 // kg/s of steam
	whole := draining(duty.Control{Holds: duty.HoldSteam, Value: asked, Min: 1.0 / 3600, Max: 200.0 / 3600})
	hasty := whole
	hasty.Hasty, hasty.Tolerance = true, 3
	w, h := solve(t, whole), solve(t, hasty)
	closes(t, h)
	if 2*h.Steps > w.Steps {
		t.Errorf("in haste it takes %d steps, else %d", h.Steps, w.Steps)
	}
	for name, most := range map[string]float64{"block mean": 3, "circuit A steam": 0.02 * asked} {
		a, b := values(t, w, name), values(t, h, name)
		off := 0.0
		for i := len(a) / 4; i < len(a); i++ { // past the first water
			off = math.Max(off, math.Abs(a[i]-b[i]))
		}
		if !(off <= most) {
			t.Errorf("%s is off by %.3g, want %.3g at the most", name, off, most)
		}
	}
	for _, c := range h.Chains {
		for _, l := range c.Links {
			if !math.IsNaN(l.Gain) {
				t.Fatalf("pass %s at %g s has a gain of its %s", c.Pass, c.Time, l.Name)
			}
		}
	}
}
