package heat

import (
	"fmt"
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

// warnUnreached tells which fields and profiles were asked for after the moment at which the run ended before its time.
func (r *recorder) warnUnreached() {
	m := r.m
	if r.stopped == "" || r.stopped == interrupted {
		return
	}
	tell := func(what string, times []float64) {
		i := slices.IndexFunc(times, func(t float64) bool { return t > m.t*(1+1e-12) })
		if i < 0 {
			return
		}
		later := ""
		switch n := len(times) - i - 1; n {
		case 0:
		case 1:
			later = " and at one later time"
		default:
			later = fmt.Sprintf(" and at %d later times", n)
		}
		m.warn(fmt.Sprintf("%s at %s%s were not reached: the run ended after %s", what, clock(times[i]), later, clock(m.t)))
	}
	if m.p.ProfileTimes == nil && len(m.streams) > 0 {
		tell("the fields and profiles asked for", m.p.FieldTimes)
		return
	}
	tell("the fields asked for", m.p.FieldTimes)
	tell("the profiles asked for", m.p.ProfileTimes)
}

// interrupted is why a cancelled run stopped.
const interrupted = "interrupted"

// keepNow keeps what is wanted of the present moment.
func (r *recorder) keepNow(k keep) {
	if k.profile { // before anything is tried on the water
		r.profile()
	}
	if k.row {
		r.row()
	}
	if k.row && r.m.p.Seen != nil {
		r.tally.whole()
		r.m.p.Seen(Sight{r.m})
	}
	if k.row && r.chains.worth(k.profile) {
		r.watchBranches()
		r.chains.gains()
	}
}
