package figure

import (
	"strings"
	"testing"
)

func TestTwoRunsAreDrawnOverOneAnotherWithTheirDifference(t *testing.T) {
	p := Pair{
		Name: "block mean", Unit: degree, TimeA: []float64{0, 3600, 7200}, TimeB: []float64{0, 3600}, A: []float64{20, 80, 100}, B: []float64{20, 85},
		Time: []float64{0, 3600}, D: []float64{0, 5},
	}
	svg := string(Beside("a and b", []string{"1 of 2 columns."}, "a", "b", []Pair{p, p}))
	for _, part := range []string{"block mean", "broad and pale: a", "thin and dark: b", "1 of 2 columns.", "5\u2009K", "120\u2009min"} {
		if !strings.Contains(svg, part) {
			t.Errorf("the picture lacks %q", part)
		}
	}
	// The pale line of a and the dark one of b in each plot, and the difference in each strip.
	if n := strings.Count(svg, `stroke-width="4"`); n != 2 {
		t.Errorf("%d broad lines", n)
	}
	if again := string(Beside("a and b", []string{"1 of 2 columns."}, "a", "b", []Pair{p, p})); again != svg {
		t.Error("the same runs give other bytes")
	}
	if empty := string(Beside("none", nil, "a", "b", nil)); !strings.Contains(empty, "</svg>") {
		t.Error("nothing to compare gives no picture")
	}
}
