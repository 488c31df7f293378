package heat

import (
	"math"
	"slices"
)

// keep is a time at which a run keeps something: a row of the history, a profile, or both.
type keep struct {
	t            float64 // s
	row, profile bool
}

// layKeeps merges the times of rows and of profiles.
func layKeeps(p *Problem) []keep {
	times := p.ProfileTimes
	if times == nil {
		times = p.FieldTimes
	}
	var all []keep
	for _, t := range p.Output {
		all = append(all, keep{t: t, row: true})
	}
	for _, t := range times {
		i, found := slices.BinarySearchFunc(all, t, func(k keep, t float64) int {
			switch {
			case math.Abs(k.t-t) <= 1e-12*math.Abs(t):
				return 0
			case k.t < t:
				return -1
			}
			return 1
		})
		if found {
			all[i].profile = true
			continue
		}
		all = slices.Insert(all, i, keep{t: t, profile: true})
	}
	return all
}

// keepNow keeps what is wanted of the present moment.
func (r *recorder) keepNow(k keep) {
	if k.profile { // before anything is tried on the water
		r.profile()
	}
	if k.row {
		r.row()
	}
	if k.row && r.chains.worth(k.profile) {
		r.watchBranches()
		r.chains.gains()
	}
}
