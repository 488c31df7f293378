package match

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"emberbank/history"
)

// jumps are the changes of a column's differences from row to row, free of single rows: the median of three rows less that
// of the three before, NaN where rows are missing in between or at the ends.
func jumps(time, r []float64, apart float64) []float64 {
	out := make([]float64, len(r))
	for k := range out {
		out[k] = math.NaN()
		if k >= 3 && k+2 < len(r) && time[k+2]-time[k-3] < 8*apart {
			out[k] = middle(r[k:k+3]) - middle(r[k-3:k])
		}
	}
	return out
}

// middle is the median.
func middle(v []float64) float64 {
	v = slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	if len(v) == 0 {
		return math.NaN()
	}
	sort.Float64s(v)
	return 0.5 * (v[(len(v)-1)/2] + v[len(v)/2])
}

// usual is how large the changes of a column's differences ordinarily are: their median size over that of a normal
// distribution, but no less than the noise of a row.
func usual(jumps []float64, white float64) float64 {
	size := make([]float64, len(jumps))
	for i, j := range jumps {
		size[i] = math.Abs(j)
	}
	return max(middle(size)/0.6745, white)
}

// column is one column of a fitted trial with what is left of it.
type column struct {
	trial *sampled
	*samples
	r []float64 // computed less measured, with the offsets
}

func (m *model) columns(sol Solution) (out []column) {
	at := 0
	for i := range m.trials {
		for k := range m.trials[i].channels {
			c := &m.trials[i].channels[k]
			out = append(out, column{&m.trials[i], c, sol.Differences[at : at+len(c.value)]})
			at += len(c.value)
		}
	}
	return out
}

// jumping names the columns of a trial whose differences change most about a time, against what they ordinarily do.
func (m *model) jumping(sol Solution, trial string, at float64) (names []string) {
	type one struct {
		name string
		size float64
	}
	var all []one
	apart := m.rowsApart(trial)
	for _, c := range m.columns(sol) {
		if c.trial.Name != trial {
			continue
		}
		j := jumps(c.time, c.r, apart)
		u, most := usual(j, mean(c.white)), 0.0
		for k, t := range c.time {
			if t > at-4*apart && t < at+6*apart && !math.IsNaN(j[k]) {
				most = max(most, math.Abs(j[k])/u)
			}
		}
		if most > 3 {
			all = append(all, one{c.Column, most})
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].size > all[b].size })
	for _, o := range all[:min(3, len(all))] {
		names = append(names, o.name)
	}
	return names
}

// jumpFactor is by how many times the usual change a column's differences must jump to be told where the duty has
// nothing that would explain it; our own choice.
const jumpFactor = 10

// unexplained says where columns of the fitted trials jump against the run though its duty does nothing there, each trial's
// most striking place only.
func (m *model) unexplained(sol Solution) (notes []string) {
	type place struct {
		at, from, to, size float64
		columns            []string
	}
	worst := map[string]*place{}
	for _, c := range m.columns(sol) {
		if c.Quantity != history.Temperature {
			continue
		}
		apart := m.rowsApart(c.trial.Name)
		j := jumps(c.time, c.r, apart)
		u := usual(j, mean(c.white))
		for k, v := range j {
			if math.IsNaN(v) || math.Abs(v) < jumpFactor*u || m.switches(c.trial, sol.X, c.time[k], apart) {
				continue
			}
			w := worst[c.trial.Name]
			switch {
			case w == nil:
				worst[c.trial.Name] = &place{c.time[k], c.time[k-1], c.time[k], math.Abs(v), []string{c.Column}}
			case math.Abs(c.time[k]-w.at) < 6*apart:
				w.from, w.to = min(w.from, c.time[k-1]), max(w.to, c.time[k])
				if !slices.Contains(w.columns, c.Column) {
					w.columns = append(w.columns, c.Column)
				}
				w.size = max(w.size, math.Abs(v))
			case math.Abs(v) > w.size:
				*w = place{c.time[k], c.time[k-1], c.time[k], math.Abs(v), []string{c.Column}}
			}
		}
	}
	for i := range m.trials {
		if w := worst[m.trials[i].Name]; w != nil {
			notes = append(notes, fmt.Sprintf("trial %s: %s against the run by up to %.2g K between %s and %s, where its duty does nothing: something was "+
				"done that the run file does not know of. Write it into the run file, or leave that stretch out (leave out: …)",
				m.trials[i].Name, plural(w.columns, "jumps", "jump"), w.size, clock(w.from), clock(w.to)))
		}
	}
	return notes
}

func plural(names []string, one, many string) string {
	if len(names) == 1 {
		return names[0] + " " + one
	}
	return andList(names) + " " + many
}

// switches tells whether the duty of a trial's run has an event, a jump or a bend near a time.
func (m *model) switches(t *sampled, x []float64, at, apart float64) bool {
	if t.stops == nil {
		p, err := t.problem(m.problem.Parameters, x)
		if err != nil {
			return true
		}
		t.stops = append(p.Duty.Stops(), 0)
	}
	return slices.ContainsFunc(t.stops, func(s float64) bool { return at > s-4*apart && at < s+max(300, 8*apart) })
}
