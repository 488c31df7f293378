package match

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// words puts a comparison into a sentence.
func (v *Comparison) words() string {
	unit := siUnit(v.Unit)
	half := 2 * v.Validation // to whose digits all of it is printed
	e, u := toDigits(math.Abs(v.Error), half, unit), toDigits(half, half, unit)
	side := "above"
	if v.Error < 0 {
		side = "below"
	}
	if v.Within {
		return fmt.Sprintf("%s, %s, %s: predicted %s %s what was measured on average; that is no more than the ± %s that "+
			"can be known here, so no error of the model shows", v.Trial, v.Phase, v.Column, e, side, u)
	}
	return fmt.Sprintf("%s, %s, %s: predicted %s %s what was measured on average, beyond the ± %s that can be known here: "+
		"the model itself is off by %s to %s", v.Trial, v.Phase, v.Column, e, side, u,
		toDigits(math.Abs(v.Error)-half, half, unit), toDigits(math.Abs(v.Error)+half, half, unit))
}

// verdict sums the comparisons up for somebody who will not read them, in one sentence: whether the model may be used,
// with what margin, on how many averages that rests, and which of them disagreed and by how much.
func (out *Result) verdict() {
	if len(out.Trust) == 0 {
		out.Verdict = "No trial was set aside, so nothing is known of how well this model predicts: set one aside before relying on it."
		return
	}
	trials := map[string]bool{}
	rows, covered := 0, 0.0
	margin := map[string]float64{}
	var units []string
	var off []*Comparison
	for i := range out.Trust {
		v := &out.Trust[i]
		trials[v.Trial] = true
		if !v.Within {
			off = append(off, v)
		}
		rows += v.Rows
		covered += v.Covered * float64(v.Rows)
		unit := siUnit(v.Unit)
		if _, ok := margin[unit]; !ok {
			units = append(units, unit)
		}
		margin[unit] = max(margin[unit], math.Abs(v.Error)+2*v.Validation)
	}
	var margins []string
	for _, u := range units {
		margins = append(margins, fmt.Sprintf("± %s in %s", toDigits(margin[u], margin[u], u), unitName(u)))
	}
	all, in := len(out.Trust), covered/float64(rows)
	within := all - len(off)
	var b strings.Builder
	if share := float64(within) / float64(all); share >= 0.8 && in >= 0.8 && !out.Unfit {
		b.WriteString("The model may be used within the envelope below, its averages over a phase taken as right to ")
	} else {
		b.WriteString("The model is not yet to be relied on more closely, in averages over a phase, than to ")
	}
	fmt.Fprintf(&b, "%s: on %s that it had not seen, ", andList(margins), count(len(trials), "trial"))
	switch {
	case len(off) > 0:
		fmt.Fprintf(&b, "%d of %d such averages agree with the measurement as closely as can be known, but %s", within, all, disagreed(off))
	case all == 1:
		b.WriteString("the one such average agrees with the measurement as closely as can be known")
	default:
		fmt.Fprintf(&b, "all %d such averages agree with the measurement as closely as can be known", all)
	}
	if in < 0.9 {
		fmt.Fprintf(&b, ", and %.0f %% of all readings, not the 95 %% that were promised, lie within the predicted band", 100*in)
	}
	b.WriteString(".")
	out.Verdict = b.String()
}

// disagreed names the comparisons that disagree: the three that lie furthest beyond what can be known, and how many more.
func disagreed(off []*Comparison) string {
	off = slices.Clone(off)
	slices.SortStableFunc(off, func(a, b *Comparison) int {
		return cmp.Compare(math.Abs(b.Error)/b.Validation, math.Abs(a.Error)/a.Validation)
	})
	var names []string
	for i, v := range off {
		if i == 3 {
			names = append(names, fmt.Sprintf("%d more", len(off)-3))
			break
		}
		unit := siUnit(v.Unit)
		side := "above"
		if v.Error < 0 {
			side = "below"
		}
		names = append(names, fmt.Sprintf("%s (%s, %s: %s %s it, where ± %s can be known)", v.Column, v.Trial, v.Phase,
			toDigits(math.Abs(v.Error), 2*v.Validation, unit), side, toDigits(2*v.Validation, 2*v.Validation, unit)))
	}
	if len(names) == 1 {
		return names[0] + " does not"
	}
	return andList(names) + " do not"
}

func unitName(u string) string {
	switch u {
	case "K":
		return "temperature"
	case "1":
		return "shares"
	}
	return u
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// place names the values of parameters that lie apart from the estimate, in their units.
func (out *Result) place(values []float64) string {
	var all []string
	for j, v := range values {
		all = append(all, out.Parameters[j].Name+" "+out.shown(j, v))
	}
	return strings.Join(all, ", ")
}

// shown is a value of parameter j in its unit.
func (out *Result) shown(j int, v float64) string {
	p := &out.Parameters[j]
	size := p.Size
	if size == 0 {
		size = 1
	}
	return strings.TrimSpace(fmt.Sprintf("%.3g %s", (v-p.Zero)/size, p.Unit))
}

// remark gathers what a reader must know before the numbers.
func (out *Result) remark(m *model) {
	for j := range out.Estimates {
		e := &out.Estimates[j]
		if e.AtBound != 0 {
			side := map[int]string{-1: "lower", 1: "upper"}[e.AtBound]
			out.Notes = append(out.Notes, fmt.Sprintf("%s ended at its %s bound: the bound, not the data, holds it there", e.Name, side))
		}
	}
	for a := range out.Correlation {
		for b := range a {
			if r := out.Correlation[a][b]; math.Abs(r) > 0.95 {
				out.Notes = append(out.Notes, fmt.Sprintf("%s and %s hang together (correlation %.2f): each alone is far less "+
					"certain than a combination of both", out.Estimates[b].Name, out.Estimates[a].Name, r))
			}
		}
	}
	for _, o := range out.Offsets {
		if math.Abs(o.Value) > 2.5 {
			out.Notes = append(out.Notes, fmt.Sprintf("the error %q came out at %.1f times its stated standard uncertainty: "+
				"look at the sensor, or at the model beside it", o.Group, math.Abs(o.Value)))
		}
	}
	for _, n := range out.Noise {
		if slow := math.Hypot(n.Slow, n.Common); slow > 3*n.Stated {
			out.Notes = append(out.Notes, fmt.Sprintf("%s departs slowly from the model by %s (standard), %.1f times its noise: "+
				"the model misses something there; the intervals allow for it", n.Column, toDigits(slow, slow, siUnit(n.Unit)), slow/n.Stated))
		}
	}
	for _, c := range out.Other {
		if rise := c.Cost - out.Cost; rise < 2 {
			out.Notes = append(out.Notes, fmt.Sprintf("another place fits as well (%s): the answer is not unique", out.place(c.Values)))
		}
	}
	for i := range m.trials {
		out.Notes = append(out.Notes, m.trials[i].left()...)
	}
	for i := range m.problem.Trials {
		t := &m.problem.Trials[i]
		if t.Drying && len(t.Leave) == 0 {
			out.Notes = append(out.Notes, fmt.Sprintf("trial %s is the first heat-up of new insulation: water that it drives out takes "+
				"heat that the model does not know of. Leave that stretch out (leave out: …), or set the trial aside", t.Name))
		}
	}
	if !out.Converged {
		out.Notes = append(out.Notes, "the search did not end by itself: "+out.Why)
	}
	if m.opt.Numeric == NotAsked && len(m.problem.Aside) > 0 {
		out.Notes = append(out.Notes, "the numerical uncertainty was not computed, so the validation uncertainty lacks it; --accuracy adds it")
	}
}
