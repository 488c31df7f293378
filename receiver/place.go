package receiver

import (
	"math"

	"emberbank/block"
)

// MediumAt returns the index of the medium at a place, in m: that of the smallest part that contains it; where no place is given the
// block's; -1 where there is none.
func (r *Receiver) MediumAt(at *block.Point) int {
	best, volume := -1, math.Inf(1)
	for i := range r.Parts {
		q := &r.Parts[i]
		if at == nil {
			if q.Role == RoleBlock {
				return q.Medium
			}
			continue
		}
		if v := q.Box.Volume(); q.Box.Contains(*at) && v < volume {
			best, volume = q.Medium, v
		}
	}
	return best
}
