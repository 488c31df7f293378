package heat

import (
	"math"
	"testing"

	"emberbank/block"
)

// The window's normal looks down by the tilt: front and back look opposite ways at any tilt, and so do top and
// bottom; at 90° the front looks straight down and the top sideways.
func TestSidesLookWhereTheTiltTurnsThem(t *testing.T) {
	for _, tilt := range []float64{-math.Pi / 2, -0.4, 0, 0.3, math.Pi / 2} {
		w := Weather{Tilt: tilt}
		if f, b := w.elevation(int(block.Front)), w.elevation(int(block.Back)); f != -tilt || b != tilt {
			t.Errorf("tilt %g: front looks %g and back %g above the horizontal", tilt, f, b)
		}
		top, bottom := w.elevation(int(block.Top)), w.elevation(int(block.Bottom))
		closeTo(t, "top", top, math.Pi/2-math.Abs(tilt), 1e-15)
		closeTo(t, "bottom", bottom, -top, 0)
		if w.elevation(int(block.Left)) != 0 || w.elevation(int(block.Right)) != 0 {
			t.Errorf("tilt %g: the sides do not look sideways", tilt)
		}
	}
}
