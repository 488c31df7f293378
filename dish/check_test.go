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

// By the law of reflection: a mirror at the vertex that points beside the sun throws the spot to that side, by f times the angle.
func TestADishThatPointsBesideTheSunThrowsItsSpotToThatSide(t *testing.T) {
	d := perfect(2, 1, 0.2)
	d.Pieces = []Piece{{Present: true, Reflectance: 1, Outline: Disc([2]float64{}, 0.02)}}
	d.Off = [2]float64{0.004, -0.002}
	r := cast(t, d, Options{Rays: 50000})
	for a, want := range [2]float64{0.008, -0.004} {
		if math.Abs(r.Centre[a]-want) > 2e-5 {
			t.Errorf("the middle of the spot lies at %v, want %g along %d", r.Centre, want, a)
		}
	}
}
