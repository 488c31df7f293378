package match

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"emberbank/duty"
)

// Moved is a moment of a run's duty that the readings put at another time.
type Moved struct {
	Trial     string
	At        float64 // s, in the run's duty
	What      string  // as the duty names it
	Later     float64 // s, by which it fits better later; below zero earlier
	SD        float64 // s
	Columns   []string
	Sentence  string
	direction []float64 // weighed, what a second later does beside the parameters
}

// What a moved moment must show to be told, our own choice: it lies so many standard deviations off, and further than so many
// seconds and than half the distance of the rows. A thermometer's lag and a model's own haste come to less.
const (
	movedDeviations = 4
	movedLeast      = 20  // s
	movedMost       = 3   // are told: the strongest
	movedTried      = 12  // moments of a trial; of more, none is tried, since so many are a table and no switch
	movedBy         = 60. // s, tried at most
)

// moved asks each switch of the fitted trials' duties whether the readings put it elsewhere: the run is computed once more
// with the moment moved, d is the change of the differences per second, and the linear picture, in which the parameters
// follow, gives
//
//	Δt = −(d̃ᵀ r̃)/(d̃ᵀ d̃),   u(Δt) = 1/|d̃|
//
// r̃ and d̃ being the weighed differences and d without what the weighed columns of J span. The strongest counts first and then
// joins J, so that one wrong moment does not draw others in.
func (m *model) moved(ctx context.Context, sol Solution) ([]Moved, error) {
	candidates, err := m.moments(ctx, sol)
	if err != nil || len(candidates) == 0 {
		return nil, err
	}
	l := m.likelihoodAt(sol)
	r, cols, _ := l.weighed()
	var basis [][]float64
	join := func(c []float64) {
		before := math.Sqrt(dot(c, c))
		strip(c, basis)
		if size := math.Sqrt(dot(c, c)); size > 1e-8*before {
			for i := range c {
				c[i] /= size
			}
			basis = append(basis, c)
		}
	}
	for _, c := range cols {
		join(c)
	}
	var out []Moved
	for len(out) < movedMost {
		strip(r, basis)
		best, most := -1, movedDeviations*movedDeviations*allowance*allowance
		for i := range candidates {
			c := &candidates[i]
			strip(c.direction, basis)
			size := dot(c.direction, c.direction)
			if size < 1e-12 {
				continue
			}
			c.Later, c.SD = -dot(c.direction, r)/size, allowance/math.Sqrt(size)
			if z := c.Later * c.Later * size; z > most && math.Abs(c.Later) > max(movedLeast, m.rowsApart(c.Trial)/2) {
				best, most = i, z
			}
		}
		if best < 0 {
			break
		}
		out = append(out, candidates[best])
		join(slices.Clone(candidates[best].direction))
		candidates = slices.Delete(candidates, best, best+1)
	}
	for i := range out {
		out[i].Columns = m.jumping(sol, out[i].Trial, out[i].At)
		out[i].Sentence = out[i].words()
		out[i].direction = nil
	}
	return out, nil
}

// moments computes what a second does at each moment of each trial, weighed.
func (m *model) moments(ctx context.Context, sol Solution) ([]Moved, error) {
	var out []Moved
	var where []int // trial of each
	var by []float64
	var list []duty.Moment
	for i := range m.trials {
		t := &m.trials[i]
		p, err := t.problem(m.problem.Parameters, sol.X)
		if err != nil {
			return nil, err
		}
		moments := p.Duty.Moments(p.Until)
		if len(moments) > movedTried {
			continue
		}
		for _, one := range moments {
			step := min(movedBy, 0.4*one.Most)
			if step < 0.2*movedBy {
				step = -min(movedBy, -0.4*one.Least)
			}
			if math.Abs(step) >= 0.2*movedBy {
				out = append(out, Moved{Trial: t.Name, At: one.At, What: one.What})
				where, by, list = append(where, i), append(by, step), append(list, one)
			}
		}
	}
	errs := make([]error, len(out))
	each(max(m.opt.Workers, 1), len(out), func(k int) {
		t := m.trials[where[k]]
		here, err := m.predict(ctx, &t, sol.X)
		if err != nil {
			errs[k] = err
			return
		}
		t.moved, t.movedBy = &list[k], by[k]
		there, err := m.predict(ctx, &t, sol.X)
		if err != nil {
			errs[k] = err
			return
		}
		d, at := make([]float64, len(m.y)+len(m.priors())), 0
		for i := range where[k] {
			at += m.trials[i].size()
		}
		for j := range there {
			if change := (there[j] - here[j]) / by[k]; !math.IsNaN(change) {
				d[at+j] = change
			}
		}
		weighAll(m.groups, [][]float64{d})
		out[k].direction = d
	})
	return out, First(errs)
}

// size is the number of a trial's entries.
func (s *sampled) size() (n int) {
	for i := range s.channels {
		n += len(s.channels[i].value)
	}
	return n
}

// rowsApart is the typical distance of a trial's rows in s.
func (m *model) rowsApart(trial string) float64 {
	for i := range m.trials {
		if t := &m.trials[i]; t.Name == trial && len(t.times) > 1 {
			var all []float64
			for _, c := range t.channels {
				for k := 1; k < len(c.time); k++ {
					all = append(all, c.time[k]-c.time[k-1])
				}
			}
			sort.Float64s(all)
			return all[len(all)/2]
		}
	}
	return 0
}

// words puts it into a sentence without its full stop.
func (v *Moved) words() string {
	what := "the event"
	if v.What != "" {
		what = fmt.Sprintf("%q", v.What)
	}
	side := "later"
	if v.Later < 0 {
		side = "earlier"
	}
	shown := ""
	if len(v.Columns) > 0 {
		shown = " (most of all " + andList(v.Columns) + ")"
	}
	return fmt.Sprintf("trial %s: the readings put %s, at %s in the run's duty, %.0f s ± %.0f s %s%s; the parameters have bent to it. "+
		"Look up when it was, mend the run file (or the trial's clock) and match again", v.Trial, what, clock(v.At), math.Abs(v.Later), 1.96*v.SD, side, shown)
}

// clock writes a time of a run as minutes and seconds.
func clock(t float64) string {
	s := int(math.Round(t))
	if s%60 == 0 {
		return fmt.Sprintf("%d min", s/60)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}
