package survey

import (
	"fmt"
	"math"
	"slices"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/seek"
)

// surface is what stands between the variants near the best.
type surface struct {
	*seek.Surface
	through   int
	low, high []float64 // of each axis, as the search sees it
	scale     []float64 // of each constraint: what it spans
}

// lay lays a surface through the variants near the best; nil: too few have values.
func (w *working) lay(f *finding, best []float64, more []seek.Told) *surface {
	s, err := seek.NewSurrogate(f.problem)
	if err != nil {
		return nil
	}
	near := append(f.problem.Nearest(f.seeker.History(), best, surfacePoints), more...)
	out := &surface{through: len(near), scale: make([]float64, len(f.limits))}
	low := slices.Repeat([]float64{math.Inf(1)}, len(f.limits))
	high := slices.Repeat([]float64{math.Inf(-1)}, len(f.limits))
	for _, t := range near {
		if s.Tell(t.At, t.Values) != nil {
			return nil
		}
		for k, c := range t.Constraints {
			low[k], high[k] = math.Min(low[k], c), math.Max(high[k], c)
		}
	}
	if out.Surface = s.Surface(); out.Surface == nil {
		return nil
	}
	for k := range out.scale {
		if out.scale[k] = high[k] - low[k]; !(out.scale[k] > 0) {
			out.scale[k] = 1
		}
	}
	for i, a := range f.problem.Axes {
		if a.Kind == seek.Choice { // held: there is no between
			out.low, out.high = append(out.low, best[i]), append(out.high, best[i])
			continue
		}
		out.low, out.high = append(out.low, a.Low), append(out.high, a.High)
	}
	return out
}

// landscape is the surface as answer takes it: constraints in units of what they span, and one that holds the best counts as
// kept there.
func (s *surface) landscape(best []float64) answer.Landscape {
	_, at := s.At(best)
	return answer.Landscape{Low: s.low, High: s.high, Of: func(u []float64) (float64, []float64, error) {
		aims, constraints := s.At(u)
		for k := range constraints {
			constraints[k] = (constraints[k] - math.Max(at[k], 0)) / s.scale[k]
		}
		return aims[0], constraints, nil
	}}
}

// prices says which constraints hold the best, and what they cost.
func (w *working) prices(v *account.Varied, f *finding, s *surface, best []float64, o *account.VariedOptimum) (said []string) {
	step := make([]float64, len(best))
	for i := range step {
		if step[i] = stepShare * (s.high[i] - s.low[i]); f.problem.Axes[i].Kind == seek.Whole {
			step[i] = math.Max(step[i], 1)
		}
		if !(step[i] > 0) {
			step[i] = 1 // held
		}
	}
	prices, left, err := s.landscape(best).Prices(best, step, slack)
	if err != nil {
		return nil
	}
	o.Left = left
	r := &v.Responses[o.Response]
	for _, p := range prices {
		l := f.limits[p.Constraint]
		per := p.PerUnit / s.scale[p.Constraint]
		o.Prices = append(o.Prices, answer.Price{Constraint: l.constraint, PerUnit: per})
		c := w.Asked.Constraints[l.constraint]
		q := &v.Responses[c.Response]
		limit := c.Above
		if l.below {
			limit = c.Below
		}
		if per <= 0 {
			said = append(said, fmt.Sprintf("It stands at the limit of %s (%s), which costs nothing to speak of.", q.Name, q.Amount(limit, false)))
			continue
		}
		tenth := 0.1 * s.scale[p.Constraint]
		said = append(said, fmt.Sprintf("The limit of %s (%s) holds it: let out by %s, it would bring about %s.", q.Name, q.Amount(limit, false), rough(func(y float64) string { return q.Amount(y, true) })(tenth), rough(func(y float64) string { return r.Amount(y, true) })(per*tenth)))
	}
	for i, a := range w.Asked.Axes {
		if f.problem.Axes[i].Kind == seek.Choice {
			continue
		}
		edge := 1e-6 * (s.high[i] - s.low[i])
		switch {
		case best[i]-s.low[i] <= edge:
			said = append(said, fmt.Sprintf("%s stands at the lower end of its range; below it may be better still.", a.Name))
		case s.high[i]-best[i] <= edge:
			said = append(said, fmt.Sprintf("%s stands at the upper end of its range; above it may be better still.", a.Name))
		}
	}
	return said
}

// valley looks for a second good place that is cut off from the best: on the straight way to it the surface rises above both, or a
// constraint is missed. After R. K. Ursem, "Multinational evolutionary algorithms", IEEE CEC (1999) 1633-1640 (the test of a
// hill between two places).
func (w *working) valley(v *account.Varied, f *finding, s *surface, o *account.VariedOptimum) []string {
	best, least := f.points[o.Best], f.turned(0, v.Variants[o.Best].Values[o.Response])
	near := math.Max(3*o.Tolerance, 0.1*spanOf(v, o.Response))
	second, secondLeast := -1, math.Inf(1)
	for i, at := range f.points {
		if i == o.Best || !v.Variants[i].Meets || f.listed(best, at) { // between two entries of a list there is no way
			continue
		}
		if y := f.turned(0, v.Variants[i].Values[o.Response]); y-least <= near && y < secondLeast && s.hill(best, at, o.Tolerance) {
			second, secondLeast = i, y
		}
	}
	if second < 0 {
		return nil
	}
	r := &v.Responses[o.Response]
	return []string{fmt.Sprintf("A second good place lies apart from it: variant %d, %s, with %s. What is between them is worse, so that small steps do not lead from one to the other.", second+1, w.placed(v, second), r.Amount(v.Variants[second].Values[o.Response], false))}
}

// hill tells whether the surface on the straight way from one place to another rises above both by more than a tolerance, or misses
// a constraint.
func (s *surface) hill(from, to []float64, tolerance float64) bool {
	const between = 9
	here, _ := s.At(from)
	there, _ := s.At(to)
	for k := 1; k <= between; k++ {
		u := slices.Clone(from)
		for a := range u {
			u[a] += (to[a] - from[a]) * float64(k) / (between + 1)
		}
		aims, constraints := s.At(u)
		hill := aims[0] > math.Max(here[0], there[0])+tolerance
		for j, c := range constraints {
			hill = hill || c > slack*s.scale[j]
		}
		if hill {
			return true
		}
	}
	return false
}

// listed tells whether two points differ in an axis that is a list.
func (f *finding) listed(a, b []float64) bool {
	for i, x := range f.problem.Axes {
		if x.Kind == seek.Choice && a[i] != b[i] {
			return true
		}
	}
	return false
}
