package hazard

import (
	"math"
	"testing"
)

// TestTouchesOfMetalAreFirstDegreeBurns holds the thresholds of long contact against the damage integral of the skin:
//
//	Ω = A t exp(−B/T),   A = 3.1·10⁹⁸ 1/s, B = 75000 K; 0.53 first degree, 1 second degree
//
// Source: Henriques & Moritz, Am. J. Pathol. 23 (1947) 695-720; constants from memory. With the skin as hot as the metal, which in long contact it is.
func TestTouchesOfMetalAreFirstDegreeBurns(t *testing.T) {
	checked := 0
	for _, u := range Touches() {
		if u.Surface != Metal || u.Contact < 60 {
			continue
		}
		checked++
		omega := math.Exp(math.Log(3.1)+98*math.Ln10-75000/u.Low) * u.Contact
		if omega < 0.53 || omega > 1 {
			t.Errorf("%g s at %.0f °C does a damage of %.2f, which is no first-degree burn", u.Contact, u.Low-iceZero, omega)
		}
	}
	if checked != 3 {
		t.Errorf("%d thresholds of metal were checked", checked)
	}
}

func TestTouchesFallWithTimeAndMetalBurnsFirst(t *testing.T) {
	last := map[string]Touch{}
	metal := map[float64]Touch{}
	for _, u := range Touches() {
		if l, ok := last[u.Surface]; ok && !(u.Contact > l.Contact && u.Low < l.Low) {
			t.Errorf("%s: %g s has %g K after %g s with %g K", u.Surface, u.Contact, u.Low, l.Contact, l.Low)
		}
		last[u.Surface] = u
		if u.Surface == Metal {
			metal[u.Contact] = u
		} else if m := metal[u.Contact]; m.Low > u.Low {
			t.Errorf("%s burns before metal at %g s", u.Surface, u.Contact)
		}
		if u.Low > u.High {
			t.Errorf("%s: %g K to %g K", u.Surface, u.Low, u.High)
		}
	}
}

func TestBearsIsTheLongestTimeBelowTheThreshold(t *testing.T) {
	for _, r := range []struct {
		surface string
		c, want float64
	}{
		{Metal, 40, 8 * 3600}, {Metal, 45, 600}, {Metal, 50, 60}, {Metal, 53, 10}, {Metal, 60, 1}, {Metal, 66, 0}, {Ceramic, 66, 1}, {"felt", 66, 0},
	} {
		if got := Bears(r.surface, r.c+iceZero); got != r.want {
			t.Errorf("%s at %g °C is borne for %g s, not %g", r.surface, r.c, got, r.want)
		}
	}
}
