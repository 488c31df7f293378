package survey

import (
	"fmt"
	"math"

	"emberbank/account"
	"emberbank/answer"
)

// keeping says of each limit near which the best stands how surely it is kept as the carried inputs leave it, and where to stay
// to keep it with the confidence of other statements. Effects are, of each carried input, what one standard uncertainty does to each
// response of the best.
//
//	u² = Σ cₖ²,   P = Φ(d/u),   y = limit ± z u,
//
// d how far the best stands inside the limit; the response is taken as normal about its value.
func (w *working) keeping(v *account.Varied, f *finding, o *account.VariedOptimum, effects [][]float64) (said []string) {
	for _, l := range f.limits {
		c := w.Asked.Constraints[l.constraint]
		sum, unknown := 0.0, 0
		for _, e := range effects {
			if d := e[c.Response]; math.IsNaN(d) {
				unknown++
			} else {
				sum += d * d
			}
		}
		limit, side, outwards := c.Above, "at or above", 1.0
		if l.below {
			limit, side, outwards = c.Below, "at or below", -1
		}
		u := math.Sqrt(sum)
		inside := outwards * (v.Variants[o.Best].Values[c.Response] - limit)
		if !(u > 0) {
			continue
		}
		share, room := answer.Keeping(inside, u, confidence)
		if inside >= room {
			continue
		}
		r := &v.Responses[c.Response]
		width := rough(func(y float64) string { return r.Amount(y, true) })
		text := fmt.Sprintf("With the uncertainty of %s (%s, standard) the best keeps the limit of %s (%s) with about %.0f\u00a0%%; to keep it with %g\u00a0%%, stay inside by %s: %s %s. Grid and time step are not in it.",
			countOf(len(effects)-unknown, "input"), width(u), r.Name, r.Amount(limit, false), 100*share, 100*confidence, width(room), side, r.Amount(limit+outwards*room, false))
		if unknown > 0 {
			text += fmt.Sprintf(" What %s does to it has no value and is left out.", countOf(unknown, "more input"))
		}
		said = append(said, text)
	}
	return said
}
