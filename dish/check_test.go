package dish

import (
	"math"
	"strings"
	"testing"
)

func TestADishThatCannotBeIsRefused(t *testing.T) {
	like := Piece{Present: true, Reflectance: 0.9}
	with := func(o Outline) func(d *Dish) {
		return func(d *Dish) {
			d.Pieces = []Piece{like}
			d.Pieces[0].Outline = o
		}
	}
	for _, c := range []struct {
		what, says string
		hole       float64
		spoil      func(d *Dish)
	}{
		{"petals to the axis", "into the hole", 0.2, func(*Dish) {}},
		{"petals to the hole", "", 0.2, func(d *Dish) { d.Pieces = Petals(3, 0.1, 0.6, like) }},
		{"a disc in the hole", "into the hole", 0.2, with(Disc([2]float64{0.14, 0}, 0.05))},
		{"a disc beside the hole", "", 0.2, with(Disc([2]float64{0.15, 0}, 0.05))},
		{"a rectangle about the axis", "into the hole", 0.05, with(Rectangle([2]float64{0.01, 0}, 0.1, 0.1, 0.3))},
		{"a rectangle whose side reaches in, its corners not", "into the hole", 0.11, with(Rectangle([2]float64{0.1, 0}, 0.1, 0.3, 0))},
		{"a rectangle whose side touches the hole", "", 0.1, with(Rectangle([2]float64{0.1, 0}, 0.1, 0.3, 0))},
		{"a direction that is no number", "beside the sun", 0, func(d *Dish) { d.Off[1] = math.NaN() }},
		{"a tracking error below 0", "beside the sun", 0, func(d *Dish) { d.Tracking = -1e-3 }},
	} {
		d := perfect(1, 1.2, 0.02)
		d.Hole = c.hole
		c.spoil(&d)
		switch err := d.Check(); {
		case c.says == "" && err != nil:
			t.Errorf("%s: %v", c.what, err)
		case c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)):
			t.Errorf("%s: %v, want %q", c.what, err, c.says)
		}
	}
}
