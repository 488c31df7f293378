package duty

import "sort"

// Signal is a value over time: knots joined by straight lines, or held from knot to knot. Before the first and
// after the last knot it keeps the end value. An empty signal is absent.
type Signal struct {
	T, V []float64 // s, rising (two equal times make a jump); SI
	Step bool      // held until the next knot
}

// Fixed returns a signal with one value for all time.
func Fixed(v float64) Signal { return Signal{T: []float64{0}, V: []float64{v}} }

// Empty tells whether the signal is absent.
func (s *Signal) Empty() bool { return len(s.V) == 0 }

// At returns the value at time t; at a jump, the value just after it.
func (s *Signal) At(t float64) float64 {
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
