package trial

import (
	"fmt"
	"math"
	"strings"
)

// settle is how long after a source went out the hottest place of a block may still rise, in s.
const settle = 300

// sourceless looks for a block that heats up while no source is on, and for one that is hotter than its source.
func (s *suspicion) sourceless() {
	hot := s.hottest()
	for _, i := range s.r.Find(SourceAt) {
		c := &s.r.Columns[i]
		block, source := highest(hot), highest(s.v(i))
		if block > source+3+3*c.Systematic(source) {
			s.tell(i, fmt.Sprintf("the block reaches %s, hotter than its source, which reaches %s", celsius(block), celsius(source)), "are the two exchanged, or read on different scales?")
		}
	}
	var sources []int
	for _, role := range []Role{LampPower, LightPower, HeaterPower, Irradiance} {
		sources = append(sources, s.r.Find(role)...)
	}
	if len(sources) == 0 || len(s.body) == 0 {
		return
	}
	on := make([]bool, len(s.r.History.Time))
	for _, i := range sources {
		most := highest(s.v(i))
		for k, x := range s.v(i) {
			if x > 0.02*most && most > 0 || x != x {
				on[k] = true
			}
		}
	}
	for k := range on { // hot water heats too
		for _, role := range []Role{Inlet, Ambient} {
			for _, i := range s.r.Find(role) {
				if s.v(i)[k] > hot[k] {
					on[k] = true
				}
			}
		}
	}
	t := s.r.History.Time
	for k := 0; k < len(on); {
		if on[k] {
			k++
			continue
		}
		m := k
		for m < len(on) && !on[m] {
			m++
		}
		a := k
		for a < m && t[a] < t[k]+settle && k > 0 {
			a++
		}
		if low, rise, at := climb(hot[a:m]); rise > 15 && t[m-1]-t[a] > 120 {
			names := make([]string, 0, len(sources))
			for _, i := range sources {
				names = append(names, s.r.Columns[i].Name)
			}
			s.tell(sources[0], fmt.Sprintf("the block heats up by %.3g K from %s on, %s after the start, while %s shows nothing: its source is another, or a clock is wrong",
				rise, celsius(low), words(t[a+at]), strings.Join(names, " and ")), "is the source's column right, and the clock of its logger?")
			return
		}
		k = m
	}
}

// climb returns the greatest rise in a course: where it begins, how much it is, and at which row.
func climb(v []float64) (low, rise float64, at int) {
	low = math.NaN()
	least, where := math.Inf(1), 0
	for k, x := range v {
		if x != x {
			continue
		}
		if x < least {
			least, where = x, k
		}
		if x-least > rise {
			low, rise, at = least, x-least, where
		}
	}
	return low, rise, at
}

func highest(v []float64) float64 {
	most := math.Inf(-1)
	for _, x := range v {
		if x == x {
			most = math.Max(most, x)
		}
	}
	return most
}

// cpWater is the specific heat capacity of cold water in J/(kg K), near enough to see a wrong unit.
const cpWater = 4180

// power is what the sources put in at a row in W: electric power counts whole, so that it is a bound.
func (s *suspicion) power(k int) float64 {
	sum := 0.0
	for _, role := range []Role{LampPower, LightPower, HeaterPower} {
		for _, i := range s.r.Find(role) {
			if x := s.v(i)[k]; x > 0 {
				sum += x
			}
		}
	}
	return sum
}

// given returns the heat that could go to the water: what the block gave up while water flowed, or, where its heat
// content is not known, the most that it can have given up by what the sources put in while it climbed.
func (s *suspicion) given(t []float64, first, last int, put float64) (float64, string) {
	mean := func(k int) float64 {
		sum, n := 0.0, 0
		for _, i := range s.body {
			for d := -2; d <= 2; d++ {
				if m := k + d; m >= 0 && m < len(t) && !s.told[i] {
					if x := s.v(i)[m]; x == x {
						sum += x
						n++
					}
				}
			}
		}
		return sum / float64(n)
	}
	if s.known.Stored != nil {
		a, b := mean(first), mean(last)
		if a == a && b == b && a-b > 15 {
			during := 0.0
			for k := first + 1; k <= last; k++ {
				during += s.power(k) * math.Min(t[k]-t[k-1], 3*s.r.Interval)
			}
			return s.known.Stored(a) - s.known.Stored(b) + during, "the block gives up meanwhile"
		}
		return math.NaN(), ""
	}
	if put > 0 && s.heats() {
		// The heat capacity is at most what was put in while the block climbed, over the climb.
		_, rise, at := climb(s.hottest())
		top, cold := at, mean(max(at, 2))
		for k := at; k < first; k++ {
			if mean(k) > mean(top) {
				top = k
			}
		}
		climbed, drop := mean(top)-cold, mean(first)-mean(last)
		if rise > 20 && climbed > 15 && drop > 15 && top > at {
			in := 0.0
			for k := at + 1; k <= top; k++ {
				in += s.power(k) * math.Min(t[k]-t[k-1], 3*s.r.Interval)
			}
			during := 0.0
			for k := first + 1; k <= last; k++ {
				during += s.power(k) * math.Min(t[k]-t[k-1], 3*s.r.Interval)
			}
			return in/climbed*drop + during, "the block can have stored of what the sources put in"
		}
	}
	return math.NaN(), ""
}

// heats tells whether what the record calls sources is what heats the block: more than noise, and on for most of the
// time in which the block climbs to its greatest temperature.
func (s *suspicion) heats() bool {
	hot := s.hottest()
	_, rise, at := climb(hot)
	if rise < 10 {
		return false
	}
	top := at
	for k := at; k < len(hot); k++ {
		if hot[k] > hot[top] {
			top = k
		}
	}
	for _, role := range []Role{LampPower, LightPower, HeaterPower} {
		for _, i := range s.r.Find(role) {
			most := highest(s.v(i))
			if most < 20*noise(s.v(i), s.r.Columns[i].Quantity, 0) {
				continue
			}
			on := 0
			for k := at; k <= top; k++ {
				if s.v(i)[k] > 0.1*most {
					on++
				}
			}
			if 2*on > top-at {
				return true
			}
		}
	}
	return false
}
