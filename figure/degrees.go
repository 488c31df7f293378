package figure

import "strconv"

// degrees is how an axis of temperature lies on the paper: its marks stand a step apart, each kelvin takes so many px, less than none
// where temperature rises upwards, and between two places there is room for marks.
type degrees struct {
	step      float64 // K
	perKelvin float64 // px
	upright   bool
	from, to  float64 // px, rising
}

// inDegrees draws the marks of an axis in °C and their numbers, in a group that says how the axis lies: a page that shows kelvins
// moves them to its own round numbers.
func (c *canvas) inDegrees(a degrees, draw func()) {
	along := "x"
	if a.upright {
		along = "y"
	}
	exact := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	c.open("g", "class", "degrees", "data-along", along, "data-step", exact(a.step), "data-kelvin", exact(a.perKelvin), "data-from", px(a.from), "data-to", px(a.to))
	draw()
	c.close("g")
}
