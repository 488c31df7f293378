package follow

import (
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/trial"
)

// isInput tells whether a channel measures what drives the receiver.
func isInput(r trial.Role) bool {
	switch r {
	case trial.Ambient, trial.Wind, trial.Inlet, trial.Flow, trial.Irradiance, trial.LampPower, trial.LightPower, trial.HeaterPower:
		return true
	}
	return false
}

// input is the course of one measured input, kept as straight lines within its noise.
type input struct {
	role   trial.Role
	of     string
	name   string
	source int     // index of the logger
	hold   bool    // a reading lasts until the next: courses are steps
	within float64 // SI, how far a line may miss a reading, so that not too many knots are needed; 0: as its noise says
	t, v   []float64
	// The last knot's lines to later readings all have slopes between lo and hi.
	lo, hi float64
	lastT  float64
	open   bool
	top    float64 // largest size seen
}

// mostKnots is how many knots an input keeps; when there are more, lines may miss by twice as much.
const mostKnots = 1500

// drive takes a reading of an input.
func (f *Follower) drive(k *channel, at, v float64) {
	if f.model == nil || !isInput(k.Role) {
		return
	}
	i := slices.IndexFunc(f.inputs, func(x *input) bool { return x.name == k.Name && x.source == k.source })
	if i < 0 {
		i = len(f.inputs)
		f.inputs = append(f.inputs, &input{role: k.Role, of: k.Of, name: k.Name, source: k.source, hold: k.hold})
	}
	x := f.inputs[i]
	x.top = max(x.top, math.Abs(v))
	x.add(at, v, max(x.within, x.miss(k)))
}

// mostMissed is how far a line may miss readings at the most because of what they seem to scatter or to be rounded by: a
// share of the largest, or kelvins. What has few levels, as a lamp that is on or off, seems to be rounded to the step
// between them, and so to have a noise of that size.
const (
	mostMissed  = 0.02
	mostKelvins = 1.0 // K
)

// miss is how far a line may miss a reading, by the noise of its channel. A value that is held has steps in place of noise.
func (x *input) miss(k *channel) float64 {
	noise := 0.0
	if k.NoiseGiven {
		noise = 2 * k.Noise
	}
	seems := max(2*k.Noise, k.Resolution)
	switch {
	case x.role == trial.Ambient || x.role == trial.Inlet: // of a temperature in K its size says nothing
		if !x.hold {
			noise = max(noise, min(seems, mostKelvins))
		}
		return noise
	case x.role == trial.Wind:
		noise = max(noise, 2*k.Noise) // gusts are large, and few of them matter
	case !x.hold:
		noise = max(noise, min(seems, mostMissed*x.top))
	}
	return max(noise, 0.002*x.top)
}

// add keeps a reading if the line so far misses it by more than within: each reading narrows the slopes that the line
// from the last knot may have, and when none is left a new knot stands at the reading before.
func (x *input) add(at, v, within float64) {
	if len(x.t) == 0 {
		x.t, x.v = append(x.t, at), append(x.v, v)
		return
	}
	n := len(x.t) - 1
	if at <= x.t[n] {
		return
	}
	if x.hold {
		if math.Abs(v-x.v[n]) > within {
			x.t, x.v = append(x.t, at, at), append(x.v, x.v[n], v)
			if len(x.t) > mostKnots {
				x.coarsen(within)
			}
		}
		return
	}
	if x.open {
		lo, hi := (v-within-x.v[n])/(at-x.t[n]), (v+within-x.v[n])/(at-x.t[n])
		if lo = max(lo, x.lo); lo <= min(hi, x.hi) {
			x.lo, x.hi, x.lastT = lo, min(hi, x.hi), at
			return
		}
		end := x.v[n] + (x.lo+x.hi)/2*(x.lastT-x.t[n])
		x.t, x.v = append(x.t, x.lastT), append(x.v, end)
		n++
	}
	x.open = true
	x.lo, x.hi = (v-within-x.v[n])/(at-x.t[n]), (v+within-x.v[n])/(at-x.t[n])
	x.lastT = at
	if len(x.t) > mostKnots {
		x.coarsen(within)
	}
}

// coarsen lets lines miss by twice as much as they did.
func (x *input) coarsen(within float64) {
	t, v := x.t, x.v
	x.within = max(2*within, 1e-3*x.top)
	x.t, x.v, x.open = nil, nil, false
	for i := range t {
		if x.hold && i+1 < len(t) && t[i+1] == t[i] { // a jump: the level after it counts
			continue
		}
		x.add(t[i], v[i], x.within)
	}
}

// signal is the course from a moment on, in s from there. After the last reading it stays.
func (x *input) signal(begins float64) duty.Signal {
	var s duty.Signal
	put := func(t, v float64) {
		s.T, s.V = append(s.T, t-begins), append(s.V, v)
	}
	for i := range x.t {
		put(x.t[i], x.v[i])
	}
	if x.open {
		n := len(x.t) - 1
		put(x.lastT, x.v[n]+(x.lo+x.hi)/2*(x.lastT-x.t[n]))
	}
	// A run begins at 0: what was before is cut.
	cut := 0
	for cut+1 < len(s.T) && s.T[cut+1] <= 0 {
		cut++
	}
	s.T, s.V = s.T[cut:], s.V[cut:]
	return s
}

// switched sees whether a source or a flow was switched, after which the courses of before say nothing.
func (f *Follower) switched(k *channel, at, v float64) {
	switch k.Role {
	case trial.LampPower, trial.LightPower, trial.HeaterPower, trial.Flow:
	default:
		return
	}
	k.largest = max(k.largest, math.Abs(v))
	if len(k.recent) == 3 {
		k.recent = slices.Delete(k.recent, 0, 1)
	}
	k.recent = append(k.recent, v)
	k.count++
	if k.count <= 3 {
		k.mean += (v - k.mean) / float64(k.count)
		return
	}
	now := (k.recent[0] + k.recent[1] + k.recent[2]) / 3
	if math.Abs(now-k.mean) > 0.15*k.largest {
		k.mean, k.count = now, 3
		f.changed = max(f.changed, at)
		return
	}
	k.mean += (v - k.mean) / float64(min(k.count, 200))
}
