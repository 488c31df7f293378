package season

import (
	"fmt"
	"math"
	"strings"
)

// Reach is the states through which days went.
type Reach struct {
	Mean     [2]float64 // K, of the block's mean
	Melted   [2]float64
	Open     bool // the cover was open for a while; Shut: it was shut
	Shut     bool
	Circuits []bool // which carried water
	known    bool
}

// widen takes in the state at the end of a step.
func (r *Reach) widen(c *course, T float64) {
	r.take(T, c.w.melted(), c.at.shut)
	if r.Circuits == nil {
		r.Circuits = make([]bool, len(c.m.circuits))
	}
	for i := range c.w.taps {
		r.Circuits[i] = r.Circuits[i] || c.w.taps[i].open
	}
}

func (r *Reach) take(T, melted float64, shut bool) {
	if !r.known {
		r.Mean, r.Melted, r.known = [2]float64{T, T}, [2]float64{melted, melted}, true
	}
	r.Mean[0], r.Mean[1] = math.Min(r.Mean[0], T), math.Max(r.Mean[1], T)
	r.Melted[0], r.Melted[1] = math.Min(r.Melted[0], melted), math.Max(r.Melted[1], melted)
	r.Open, r.Shut = r.Open || !shut, r.Shut || shut
}

// reachOf is the reach of days of the full model.
func reachOf(days []*observed) Reach {
	var r Reach
	each(days, func(o *observed, i int) {
		r.take(o.column("block mean")[i], o.column("melted")[i], o.rows[i].Shut)
		if r.Circuits == nil {
			r.Circuits = make([]bool, len(o.rows[i].Flowing))
		}
		for k, f := range o.rows[i].Flowing {
			r.Circuits[k] = r.Circuits[k] || f
		}
	})
	return r
}

// left says where another reach leaves this one by more than some kelvins; "" where it does not.
func (r *Reach) left(other *Reach, window bool, margin float64) string {
	var says []string
	if other.Mean[1] > r.Mean[1]+margin {
		says = append(says, fmt.Sprintf("the block's mean comes to %.0f degC; it was built up to %.0f degC", other.Mean[1]-273.15, r.Mean[1]-273.15))
	}
	if other.Mean[0] < r.Mean[0]-margin {
		says = append(says, fmt.Sprintf("the block's mean falls to %.0f degC; it was built down to %.0f degC", other.Mean[0]-273.15, r.Mean[0]-273.15))
	}
	if other.Melted[1] > 0 && r.Melted[1] == 0 {
		says = append(says, "the block's filler melts; it did not on the days of building")
	}
	if window && other.Open && !r.Open {
		says = append(says, "the cover is open; it was shut on all days of building")
	}
	if window && other.Shut && !r.Shut {
		says = append(says, "the cover is shut; it was open on all days of building")
	}
	return strings.Join(says, "; ")
}
