package duty

import (
	"math"
	"sort"
)

// Signal is a value over time: knots joined by straight lines, or held from knot to knot. Before the first and
// after the last knot it keeps the end value, until it repeats. An empty signal is absent.
type Signal struct {
	T, V  []float64 // s, rising (two equal times make a jump); SI
	Step  bool      // held until the next knot
	Every float64   // s, after which it begins anew from time 0 on, no earlier than its last knot; 0: it does not repeat
}

// Fixed returns a signal with one value for all time.
func Fixed(v float64) Signal { return Signal{T: []float64{0}, V: []float64{v}} }

// Empty tells whether the signal is absent.
func (s *Signal) Empty() bool { return len(s.V) == 0 }

// At returns the value at time t; at a jump, the value just after it.
func (s *Signal) At(t float64) float64 {
	t, _ = s.within(t)
	n := len(s.T)
	i := sort.Search(n, func(i int) bool { return s.T[i] > t }) // first knot after t
	switch {
	case i == 0:
		return s.V[0]
	case i == n || s.Step:
		return s.V[i-1]
	}
	return s.between(i, t)
}

// Before returns the value just before time t, which differs from At at a jump only.
func (s *Signal) Before(t float64) float64 {
	if p, round := s.within(t); p == 0 && round > 0 {
		t = s.Every
	} else {
		t = p
	}
	n := len(s.T)
	i := sort.SearchFloat64s(s.T, t) // first knot at or after t
	switch {
	case i == 0:
		return s.V[0]
	case i == n || s.Step:
		return s.V[i-1]
	}
	return s.between(i, t)
}

func (s *Signal) between(i int, t float64) float64 {
	f := (t - s.T[i-1]) / (s.T[i] - s.T[i-1])
	return s.V[i-1] + f*(s.V[i]-s.V[i-1])
}

// within returns a time in s as counted from the start of its round, and how many rounds went before.
func (s *Signal) within(t float64) (phase, round float64) {
	if !(s.Every > 0) || math.IsInf(t, 0) {
		return t, 0
	}
	round = math.Floor(t / s.Every)
	phase = t - round*s.Every
	if s.Every-phase <= sameStop*math.Max(1, math.Abs(t)) { // rounding set it just before its round
		return 0, round + 1
	}
	return math.Max(phase, 0), round
}

// Over returns a signal with the same values up to a time in s, all knots written out: it does not repeat. One that does not
// repeat is returned as it is.
func (s *Signal) Over(until float64) Signal {
	if !(s.Every > 0) || s.Empty() {
		return *s
	}
	out := Signal{Step: s.Step}
	add := func(t, v float64) {
		if n := len(out.T); n == 0 || out.T[n-1] != t || out.V[n-1] != v {
			out.T, out.V = append(out.T, t), append(out.V, v)
		}
	}
	last := len(s.T) - 1
	for k := 0.0; k == 0 || k*s.Every <= until; k++ {
		from := k * s.Every
		if s.T[0] > 0 {
			add(from, s.V[0])
		}
		for i, t := range s.T {
			if t < s.Every {
				add(from+t, s.V[i])
			} else if !s.Step {
				add((k+1)*s.Every, s.V[i])
			}
		}
		if s.T[last] < s.Every && !s.Step {
			add((k+1)*s.Every, s.V[last])
		}
	}
	return out
}
