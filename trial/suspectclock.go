package trial

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// clocks doubts loggers whose clocks seem to differ: where one writes what is switched (flow, lamp, light, heater) and the
// other what answers (the block, the water), each switching gives a range for the offset of the clocks: from the moment of
// the switch, which lies between two rows, the moment at which the other's course bends or jumps (see findKink), and what
// may physically lie between the two. Nothing answers before its cause, whatever is between; heat needs its time to a
// sensor in the block, but then the bend is smeared by as much at least (an answer by conduction has no dead time beyond
// its time constant); water needs its way through tubes and hoses. Where the ranges agree and zero lies outside, it is told; clocks says whether any was.
func (s *suspicion) clocks() (apart bool) {
	all := s.switchings()
	var sources []int
	for i := range s.r.Columns {
		if k := s.r.Columns[i].source; !slices.Contains(sources, k) {
			sources = append(sources, k)
		}
	}
	for x := range sources {
		for y := x + 1; y < len(sources); y++ {
			if f, ok := s.clockPair(sources[x], sources[y], all); ok {
				s.found = append(s.found, f)
				apart = true
			}
		}
	}
	return apart
}

// switching is a moment at which a cause is switched.
type switching struct {
	column   int
	at, half float64 // s: it lies within half of at
	on       bool
	level    float64 // SI, of the cause while on
}

const (
	longestLook   = 900.0 // s, to either side of a switching
	mostEdges     = 12    // of one cause
	lasting       = 120.0 // s, that a state must last on both sides
	clockSlack    = 15.0  // s, that valves and lamps need
	conduction    = 30.0  // s, beyond the smear, until a sensor in the block answers
	hoses         = 2.0   // kg of water that may stand between a block and a sensor
	leastDistance = 30.0  // s, below which nothing is told
)

// switchings finds those of all causes: changes between off and on within two rows, with both states lasting.
func (s *suspicion) switchings() (all []switching) {
	for _, role := range []Role{Flow, LampPower, LightPower, HeaterPower, Irradiance} {
		for _, i := range s.r.Find(role) {
			if !s.told[i] {
				all = append(all, switchingsOf(s.r, i)...)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b switching) int { return cmp.Compare(a.at, b.at) })
	return all
}

func switchingsOf(r *Record, i int) (out []switching) {
	t, v := r.Own(i)
	high := make([]float64, 0, len(v))
	for _, x := range v {
		if x == x {
			high = append(high, x)
		}
	}
	if len(high) < 20 {
		return nil
	}
	slices.Sort(high)
	level := high[int(0.95*float64(len(high)-1))]
	if !(level > 0) {
		return nil
	}
	last := -1 // row that is not missing
	since := math.Inf(-1)
	for k, x := range v {
		if x != x {
			continue
		}
		if last >= 0 && (x > level/2) != (v[last] > level/2) {
			before, after := v[max(0, last-1)], v[min(len(v)-1, k+1)]
			sharp := !(math.Abs(after-before) < 0.6*level)
			if n := len(out); n > 0 && t[k]-out[n-1].at < lasting {
				out = out[:n-1] // it did not last
			} else if sharp && t[last]-since >= lasting && t[len(t)-1]-t[k] >= lasting {
				out = append(out, switching{i, (t[k] + t[last]) / 2, (t[k] - t[last]) / 2, x > level/2, level})
			}
			since = t[k]
		}
		if last < 0 {
			since = t[k]
		}
		last = k
	}
	if len(out) > mostEdges {
		out = out[:mostEdges]
	}
	return out
}

// answered is what one answer to one switching says of the offset between the clocks of two loggers.
type answered struct {
	low, high float64 // s, the range of the second's time less the first's
	lag       float64 // s, the same as it was found
	text      string
}

func (s *suspicion) clockPair(a, b int, all []switching) (Finding, bool) {
	var found []answered
	type pairing struct{ second, column int }
	seen := map[pairing]bool{}
	for k := range all {
		e := &all[k]
		from := s.r.Columns[e.column].source
		if from != a && from != b {
			continue
		}
		for i := range s.r.Columns {
			c := &s.r.Columns[i]
			if c.source == from || c.source != a && c.source != b || s.told[i] {
				continue
			}
			x, ok := s.answer(e, i, all)
			at := pairing{int(e.at), i}
			if !ok || seen[at] { // circuits that are switched together are one switching
				continue
			}
			seen[at] = true
			if from == b {
				x.low, x.high, x.lag = -x.high, -x.low, -x.lag
			}
			found = append(found, x)
		}
	}
	offset, low, high, ok := agreed(found)
	if !ok {
		return Finding{}, false
	}
	ca, cb := s.first(a), s.first(b)
	slow, other := cb, ca
	if offset > 0 {
		slow, other = ca, cb
	}
	d := roundedTo(math.Abs(offset), 10)
	least, most := roundedTo(math.Min(math.Abs(low), math.Abs(high)), 10), roundedTo(math.Max(math.Abs(low), math.Abs(high)), 10)
	evidence := ""
	for _, x := range found {
		if x.low <= offset && offset <= x.high {
			evidence = x.text
			break
		}
	}
	return Finding{
		Source: slow.source, Channel: -1, Key: "clock", Doubt: true,
		Message: fmt.Sprintf("the clock of %s seems to run %g s behind that of %s (%g to %g s): %s; %s", slow.File, d, other.File, least, most, evidence,
			counted(len(found), "such pair")+" looked at"),
		Fix: fmt.Sprintf("add \"offset: %g s\" to its clock, or to what stands there, or find it by \"align\"; if both clocks are right, leave it", d),
	}, true
}

// first returns a column of a source.
func (s *suspicion) first(source int) *Column {
	return &s.r.Columns[slices.IndexFunc(s.r.Columns, func(c Column) bool { return c.source == source })]
}

func roundedTo(x, unit float64) float64 { return math.Round(x/unit) * unit }

// agreed returns the offset that most answers allow, with its range, if three in four allow one, at most one in four allows
// none, and there are two at least.
func agreed(all []answered) (lag, low, high float64, ok bool) {
	at := func(o float64) (n int) {
		for _, x := range all {
			if x.low <= o && o <= x.high {
				n++
			}
		}
		return n
	}
	best, most := 0.0, at(0)
	if len(all) < 2 || 4*most > len(all) {
		return 0, 0, 0, false
	}
	for _, x := range all {
		for _, o := range []float64{x.low, x.high, x.lag} {
			if n := at(o); n > most || n == most && math.Abs(o) < math.Abs(best) {
				best, most = o, n
			}
		}
	}
	if 4*most < 3*len(all) || most < 2 {
		return 0, 0, 0, false
	}
	low, high = math.Inf(-1), math.Inf(1)
	var lags []float64
	for _, x := range all {
		if x.low <= best && best <= x.high {
			lags = append(lags, x.lag)
			low, high = math.Max(low, x.low), math.Min(high, x.high)
		}
	}
	lag = median(lags)
	return lag, low, high, math.Abs(lag) >= leastDistance && lag*best > 0
}

// answer finds how column i of another logger answers a switching.
func (s *suspicion) answer(e *switching, i int, all []switching) (answered, bool) {
	c, cause := &s.r.Columns[i], &s.r.Columns[e.column]
	water := cause.Role == Flow && (c.Role == Inlet || c.Role == Outlet) && c.Of == cause.Of && e.on
	if !water && c.Role != Body {
		return answered{}, false
	}
	from, to := e.at-longestLook, e.at+longestLook
	for _, o := range all { // up to nine tenths of the way to the switchings before and after
		switch {
		case o.at < e.at-90:
			from = math.Max(from, e.at-0.9*(e.at-o.at))
		case o.at > e.at+90:
			to = math.Min(to, e.at+0.9*(o.at-e.at))
		}
	}
	t, v := s.r.Own(i)
	t, v = between(t, v, from, to)
	if len(t) < 14 || e.at-t[0] < 5*c.Step || t[len(t)-1]-e.at < 5*c.Step {
		return answered{}, false
	}
	k, ok := findKink(t, v, e.at-0.7*(e.at-t[0]), e.at+0.7*(t[len(t)-1]-e.at), water)
	if !ok || !water && (k.change > 0) != (e.on != (cause.Role == Flow)) {
		return answered{}, false // heat in makes it warmer, water colder
	}
	slack := clockSlack + e.half + c.Step + 3*k.u
	late := conduction + k.smear
	if water {
		late = conduction + hoses/e.level
	}
	lag := k.at - e.at
	verb := "ends"
	if e.on {
		verb = "begins"
	}
	when := words(math.Abs(lag)) + " later"
	if lag < 0 {
		when = words(math.Abs(lag)) + " before"
	}
	return answered{lag - late - slack, lag + slack, lag, fmt.Sprintf("%s %s %s after the start, and %s answers %s", cause.Name, verb, words(e.at), c.Name, when)}, true
}

// between cuts a course to a stretch, without missing rows, and thins it to some two hundred means.
func between(t, v []float64, from, to float64) (x, y []float64) {
	a, _ := slices.BinarySearch(t, from)
	b, _ := slices.BinarySearch(t, to)
	for k := a; k < b; k++ {
		if v[k] == v[k] {
			x, y = append(x, t[k]), append(y, v[k])
		}
	}
	m := len(x) / 200
	if m < 2 {
		return x, y
	}
	n := len(x) / m
	for k := range n {
		sx, sy := 0.0, 0.0
		for i := k * m; i < (k+1)*m; i++ {
			sx, sy = sx+x[i], sy+y[i]
		}
		x[k], y[k] = sx/float64(m), sy/float64(m)
	}
	return x[:n], y[:n]
}
