package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
	"emberbank/seek"
)

// edgeRounds is how often the edges of the room around the best are run and the surface laid anew. A search leaves few variants
// there, so that the first surface may lead the edge astray.
const edgeRounds = 2

// edges lays a surface that knows the edges of the room of each axis: variants there are run, beside those of the search. nil: too
// few variants have values to lay one, or the aim has no span. better tells that one of them is better than the best.
func (w *working) edges(ctx context.Context, f *finding, best []float64, tolerance float64) (s *surface, better bool, err error) {
	var more []seek.Told
	w.progress.Total -= f.edges()
	if s = w.lay(f, best, nil); s == nil || !(tolerance > 0) {
		return nil, false, nil
	}
	for range edgeRounds {
		rooms, err := s.landscape(best).Flatness(best, tolerance)
		if err != nil {
			return s, better, nil // flatness will tell
		}
		var points [][]float64
		for i, r := range rooms {
			ends := []float64{r.Low, r.High}
			if a := f.problem.Axes[i]; a.Kind == seek.Choice { // every other entry
				for entry := range a.Choices {
					ends = append(ends, float64(entry))
				}
			}
			for _, end := range ends {
				u := slices.Clone(best)
				if u[i] = end; f.problem.Axes[i].Kind == seek.Whole {
					u[i] = math.Round(end)
				}
				known := func(p []float64) bool { return slices.Equal(p, u) }
				if !slices.ContainsFunc(points, known) && !slices.ContainsFunc(f.points, known) && !slices.ContainsFunc(more, func(t seek.Told) bool { return known(t.At) }) {
					points = append(points, u)
				}
			}
		}
		variants := make([]point, len(points))
		for k, u := range points {
			variants[k] = point{x: f.values(u)}
		}
		w.progress.Total += int64(len(points))
		outcomes, err := w.moreOf(ctx, variants)
		if err != nil {
			return nil, false, err
		}
		for k := range outcomes {
			told := f.told(&outcomes[k])
			more = append(more, seek.Told{At: points[k], Values: told})
			better = better || !told.Failed && w.meets(&outcomes[k]) && told.Aims[0] < f.turned(0, value(&f.outcomes[f.number(best)], f.asked.Search.Aims[0].Response))
		}
		s = w.lay(f, best, more)
	}
	return s, better, nil
}

// edges is how many variants are run at the edges at the most.
func (s *sought) edges() (n int64) {
	for _, a := range s.problem.Axes {
		if a.Kind == seek.Choice {
			n += int64(a.Choices - 1)
		} else {
			n += 2 * edgeRounds
		}
	}
	return n
}

// flatness says how far each axis may move from the best.
func (w *working) flatness(v *account.Varied, f *finding, s *surface, best []float64, o *account.VariedOptimum) []string {
	rooms, err := s.landscape(best).Flatness(best, o.Tolerance)
	if err != nil {
		return []string{"How flat it is cannot be told: " + err.Error() + "."}
	}
	var said []string
	for i := range rooms {
		a, r := &w.Asked.Axes[i], &rooms[i]
		if a.Kind == bench.AxisWords {
			said = append(said, a.Name+" "+w.alike(s, best, i, o.Tolerance))
			continue
		}
		if f.problem.Axes[i].Kind == seek.Whole {
			r.Low, r.High = math.Ceil(r.Low-1e-9), math.Floor(r.High+1e-9)
		}
		r.Low, r.High = f.value(i, r.Low), f.value(i, r.High)
		r.LowWhat, r.HighWhat = f.constraintOf(r.LowEnd, r.LowWhat), f.constraintOf(r.HighEnd, r.HighWhat)
		said = append(said, fmt.Sprintf("%s from %s (%s) to %s (%s)", a.Name, v.Axes[i].Show(r.Low), w.ending(v, r.LowEnd, r.LowWhat), v.Axes[i].Show(r.High), w.ending(v, r.HighEnd, r.HighWhat)))
	}
	o.Rooms = rooms
	if len(said) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Within %s of it lie, each moved alone: %s. This is read off a surface through %d runs, some of them at these ends.", v.Responses[o.Response].Amount(o.Tolerance, true), strings.Join(said, "; "), s.through)}
}

// alike names the entries of a list that are as good as the best, the other axes held.
func (w *working) alike(s *surface, best []float64, axis int, tolerance float64) string {
	at := s.landscape(best)
	aim, _, _ := at.Of(best)
	words := w.Asked.Axes[axis].Words
	var good []string
	for entry, word := range words {
		u := slices.Clone(best)
		u[axis] = float64(entry)
		y, constraints, _ := at.Of(u)
		if float64(entry) == best[axis] || y <= aim+tolerance && !slices.ContainsFunc(constraints, func(c float64) bool { return c > 1e-9 }) {
			good = append(good, word)
		}
	}
	if len(good) == 1 {
		return "as " + good[0] + " only"
	}
	return "as " + strings.Join(good[:len(good)-1], ", ") + " or " + good[len(good)-1]
}

// constraintOf is the study's constraint behind one of the search's.
func (f *finding) constraintOf(by answer.Bound, what int) int {
	if by == answer.ByConstraint {
		return f.limits[what].constraint
	}
	return what
}

func (w *working) ending(v *account.Varied, by answer.Bound, what int) string {
	if by == answer.ByConstraint {
		return v.Responses[w.Asked.Constraints[what].Response].Name + " then misses its limit"
	}
	return by.String()
}
