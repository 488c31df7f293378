package yield

import (
	"math"

	"emberbank/heat"
	"emberbank/history"
)

// Course is when a run was fullest, and from when on its load went short, by the rows of its history.
type Course struct {
	Full  float64 // s, when the most was stored; NaN: there are no rows
	Short float64 // s; NaN: it never went short to the end of what was wanted
}

// leastShort is the share of all that is wanted which is missed at the least where a load is told to have gone short.
const leastShort = 0.01

// CourseOf finds it. The load went short where less than heat.HeldShare of what is wanted was given from then on until nothing was
// wanted any more, or until the end, and by then a hundredth of all that was wanted had been missed: the first such time after the
// run was fullest, else the first at all. That water takes some minutes to come after an opening does not count: it comes.
func CourseOf(h *history.History) Course {
	c := Course{Full: math.NaN(), Short: math.NaN()}
	stored, wanted, given := h.Column("stored"), h.Column("load wanted"), h.Column("load delivered")
	if stored != nil {
		most := math.Inf(-1)
		for i, e := range stored.Values {
			if e > most {
				most, c.Full = e, h.Time[i]
			}
		}
	}
	if wanted == nil || given == nil {
		return c
	}
	whole := 0.0
	for i, w := range wanted.Values[:max(0, len(h.Time)-1)] {
		whole += w * (h.Time[i+1] - h.Time[i])
	}
	since, missed := math.NaN(), 0.0 // when the shortage began that lasts until now, and what it has cost
	note := func() {
		if missed >= leastShort*whole && !math.IsNaN(since) && (math.IsNaN(c.Short) || c.Short < c.Full && since >= c.Full) {
			c.Short = since
		}
		since, missed = math.NaN(), 0
	}
	for i, w := range wanted.Values {
		switch {
		case !(w > 0):
			note()
			continue
		case given.Values[i] >= heat.HeldShare*w:
			since, missed = math.NaN(), 0
			continue
		case math.IsNaN(since):
			since = h.Time[i]
		}
		if i+1 < len(h.Time) {
			missed += (w - given.Values[i]) * (h.Time[i+1] - h.Time[i])
		}
	}
	note()
	return c
}
