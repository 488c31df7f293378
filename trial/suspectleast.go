package trial

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// belowLeast looks for a flow meter all of whose readings lie below the least that it can read, so that all of them were
// set to zero, and that yet shows a flow: one that is switched, or that is steady where the balance lacks it. A meter at rest
// scatters about nothing.
// Where another unit of flow would close the balance it is named, and the mapping refused; else it is doubted.
func (s *suspicion) belowLeast() {
	for _, i := range s.r.Find(Flow) {
		c := &s.r.Columns[i]
		if c.below == nil || s.told[i] {
			continue
		}
		unit := s.perUnit(i)
		on, top, switched := flows(c.below)
		if on == nil || !(unit > 0) {
			continue
		}
		message := fmt.Sprintf("all readings of %s, up to %.3g %s, lie below the least that its meter can read, %.3g %s, yet they show a flow: they may be read in the wrong unit",
			c.Name, top/unit, c.Unit, c.Least/unit, c.Unit)
		if named := s.closingBelow(i, on, top); len(named) > 0 {
			s.tell(i, message, fmt.Sprintf("is the unit of %s %s? Then the balance would close nearly; give it by \"unit: …\"", c.Name, strings.Join(named, " or ")))
			continue
		}
		if !switched {
			continue // a meter whose zero is a little off
		}
		s.tell(i, message, `check "unit" and "least" of this channel`)
		s.found[len(s.found)-1].Doubt = true
	}
}

// perUnit returns what one of the file's unit of a flow is in kg/s, a litre counting as a kilogram.
func (s *suspicion) perUnit(i int) float64 {
	c := &s.r.Columns[i]
	if volumeUnit(c.Unit) {
		return c.factor * 1000
	}
	return c.factor
}

// flows tells in which rows a flow is on, nil where the readings show none, its usual height, and whether it is switched.
func flows(v []float64) (on []bool, top float64, switched bool) {
	var all []float64
	for _, x := range v {
		if x == x {
			all = append(all, x)
		}
	}
	if len(all) < 20 {
		return nil, 0, false
	}
	slices.Sort(all)
	at := func(p float64) float64 { return all[int(p*float64(len(all)-1))] }
	top = at(0.98)
	on = make([]bool, len(v))
	var off []float64
	n := 0
	for k, x := range v {
		if on[k] = x > 0.3*top; on[k] {
			n++
		} else if x == x {
			off = append(off, math.Abs(x))
		}
	}
	steady := at(0.05) > 0.7*top
	switched = n >= 10 && len(off) >= 10 && median(off) < 0.1*top
	if !(top > 0) || !steady && !switched {
		return nil, 0, false
	}
	return on, top, switched
}

// closingBelow returns the units of a flow of which all readings were set to zero that would close the balance, nearest
// first.
func (s *suspicion) closingBelow(i int, on []bool, top float64) []string {
	of := s.r.Columns[i].Of
	in, out := s.of(Inlet, of), s.of(Outlet, of)
	others, _ := s.loops()
	if in < 0 || out < 0 {
		return nil
	}
	t := s.r.History.Time
	mine, total, put := 0.0, 0.0, 0.0
	first, last := -1, -1
	for k := 1; k < len(t); k++ {
		dt := math.Min(t[k]-t[k-1], 3*s.r.Interval)
		put += dt * s.power(k)
		flows := on[k]
		if q := s.r.Columns[i].below[k] * cpWater * (s.v(out)[k] - s.v(in)[k]); on[k] && q == q {
			mine += dt * q
		}
		for _, c := range others {
			if q := s.v(c.flow)[k] * cpWater * (s.v(c.out)[k] - s.v(c.in)[k]); c.rows[k] && q == q {
				total += dt * q
				flows = true
			}
		}
		if flows {
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	if first < 0 || mine <= 0 {
		return nil
	}
	given, _ := s.given(t, first, last, put)
	least, most := s.closed()
	type way struct {
		unit string
		off  float64
	}
	var ways []way
	for _, u := range flowUnits {
		f := u.kgs / s.perUnit(i)
		if x := (total + mine*f) / given; x > least && x < most && top*f > s.r.Columns[i].Least && total < most*given {
			ways = append(ways, way{u.unit, math.Abs(math.Log(x))})
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.off, b.off) })
	var named []string
	for _, w := range ways {
		if w.off > ways[0].off+0.2 {
			break
		}
		named = append(named, w.unit)
	}
	return named
}
