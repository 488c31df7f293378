package web

import (
	"math"

	"emberbank/heat"
)

// wet is how the water of a circuit stands along its way: what a picture needs, so that it can be kept with every field.
type wet struct {
	circuit   string
	state     string
	stretches []stretchBody
}

// wetAlong takes neighbouring slices of the same state together.
func wetAlong(profiles []heat.Profile) []wet {
	out := make([]wet, 0, len(profiles))
	for i := range profiles {
		p := &profiles[i]
		w := wet{circuit: p.Circuit, state: p.State, stretches: []stretchBody{}}
		for _, at := range p.Places {
			to := at.Distance + 0.5*at.Length
			if n := len(w.stretches); n > 0 && w.stretches[n-1].State == at.State {
				w.stretches[n-1].To = to
				continue
			}
			w.stretches = append(w.stretches, stretchBody{to, at.State})
		}
		out = append(out, w)
	}
	return out
}

// waterAt is the water that was kept with the field of a moment.
func (a *answer) waterAt(t float64) []wet {
	for i := range a.water {
		if math.Abs(a.fields[i].Time-t) < 1e-9 {
			return a.water[i]
		}
	}
	return nil
}
