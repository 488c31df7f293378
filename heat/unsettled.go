package heat

import (
	"fmt"
	"math"
)

// Unsettled counts how often something that is settled round by round had not come to rest when its rounds were over, and how
// much the last round then still moved it at the most.
type Unsettled struct {
	Asked int
	Times int
	Most  float64 // K, or a share, by what was settled
}

// end counts one end: by how much the last round moved the answer, and within what it counts as settled.
func (u *Unsettled) end(moved, within float64) {
	u.Asked++
	if moved < within { // a number that is none has not settled
		return
	}
	u.Times++
	if !(u.Most >= moved) {
		u.Most = moved
	}
}

// says tells it in a sentence that begins with what was asked for; "" where all settled.
func (u *Unsettled) says(what string, amount func(float64) string) string {
	if u.Times == 0 {
		return ""
	}
	return fmt.Sprintf("%s had not settled %d of %d times: the last round still moved it by up to %s", what, u.Times, u.Asked, amount(u.Most))
}

// kelvins and percents are amounts for says.
func kelvins(x float64) string  { return fmt.Sprintf("%.2g K", x) }
func percents(x float64) string { return fmt.Sprintf("%.2g %%", 100*x) }

// shareMoved is by which share of itself an answer differs from the one of the round before; below the floor, of that.
func shareMoved(before, now, floor float64) float64 {
	return math.Abs(now-before) / math.Max(math.Abs(now), floor)
}
