package survey

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/seek"
)

// generation is how many points a search by trials is asked for at a time: what it asks does not hang on it.
const generation = 64

// search looks for the best variant, or for the front between two aims. What is asked for follows from what was told
// alone, and that stands in the store: a search that was killed asks for the same variants again and finds them there.
func (w *working) search(ctx context.Context) (*account.Varied, error) {
	q := w.sought()
	asked := w.Asked.Search
	var s seek.Seeker
	var err error
	atOnce := max(asked.AtOnce, 1)
	if asked.Surrogate {
		s, err = seek.NewSurrogate(q.problem)
	} else {
		s, err = seek.NewDirect(q.problem)
		atOnce = generation
	}
	if err != nil {
		return nil, fmt.Errorf("beginning the search: %w", err)
	}
	inputs, notes := w.carried()
	ends := 2 // the best and the present design
	if len(asked.Aims) > 1 {
		ends, inputs, notes = frontTwins, nil, nil
	}
	p := plan{variants: int64(asked.Runs) + 1, carried: int64(2 * len(inputs)), twins: int64(ends)}
	if len(asked.Aims) == 1 {
		p.edges = q.edges()
	}
	present, err := w.begin(ctx, p, point{})
	if err != nil {
		return nil, err
	}
	f := &finding{sought: q, seeker: s, present: present[0]}
	for len(f.points) < asked.Runs {
		next, err := s.Ask(min(atOnce, asked.Runs-len(f.points)))
		if err != nil {
			return nil, fmt.Errorf("asking what to run next: %w", err)
		}
		if len(next.Points) == 0 { // all there is was run
			w.progress.Total -= int64(asked.Runs - len(f.points))
			break
		}
		if err := w.tellAll(ctx, f, next.Points); err != nil {
			return nil, err
		}
	}
	v := w.varied(f.outcomes, func(n int64) point { return point{x: q.values(f.points[n])} })
	one := w.variant(&f.present, nil)
	v.Present = &one
	if len(asked.Aims) > 1 {
		err = w.front(ctx, v, f)
	} else {
		err = w.optimum(ctx, v, f, inputs)
	}
	v.Notes = append(v.Notes, notes...)
	return v, err
}

// finding is a search under way.
type finding struct {
	sought
	seeker   seek.Seeker
	points   [][]float64 // as the search sees them, in the order of asking
	outcomes []farm.Outcome
	present  farm.Outcome
}

// tellAll runs some points and tells the search what they gave.
func (w *working) tellAll(ctx context.Context, f *finding, points [][]float64) error {
	variants := make([]point, len(points))
	for i, u := range points {
		variants[i] = point{x: f.values(u)}
	}
	w.first = int64(len(f.points))
	outcomes, err := w.runAll(ctx, variants)
	if err != nil {
		return err
	}
	for i := range outcomes {
		if err := f.seeker.Tell(points[i], f.told(&outcomes[i])); err != nil {
			return fmt.Errorf("telling the search: %w", err)
		}
	}
	f.points, f.outcomes = append(f.points, points...), append(f.outcomes, outcomes...)
	w.best = w.soFar(f)
	return nil
}

// soFar is the best so far, in words.
func (w *working) soFar(f *finding) string {
	b := f.seeker.Best()
	switch {
	case len(b.Front) == 0:
		return ""
	case !b.Met:
		return "none meets the constraints yet"
	case len(b.Front[0].Aims) > 1:
		return fmt.Sprintf("%d on the front", len(b.Front))
	}
	aim := w.Asked.Search.Aims[0]
	r := w.Asked.Responses[aim.Response]
	one := account.VariedResponse{Quantity: r.Quantity, Unit: r.Unit}
	return r.Name + " " + one.Amount(f.turned(0, b.Front[0].Aims[0]), false)
}

// sought is a study's search as seek takes it.
type sought struct {
	asked   *bench.Study
	problem seek.Problem
	limits  []limit // of the problem's constraints
}

// limit is one side of a study's constraint.
type limit struct {
	constraint int
	below      bool
}

func (w *working) sought() sought {
	s := sought{asked: w.Asked}
	s.problem.Seed, s.problem.Aims = w.Asked.Search.Seed, len(w.Asked.Search.Aims)
	for i := range w.Asked.Axes {
		s.problem.Axes = append(s.problem.Axes, axisOf(&w.Asked.Axes[i]))
	}
	for k, c := range w.Asked.Constraints {
		if !math.IsInf(c.Above, 0) {
			s.limits = append(s.limits, limit{k, false})
		}
		if !math.IsInf(c.Below, 0) {
			s.limits = append(s.limits, limit{k, true})
		}
	}
	s.problem.Constraints = len(s.limits)
	return s
}

// axisOf is an axis as seek takes it. Given values are known by their places in the list, which has an order.
func axisOf(a *bench.StudyAxis) seek.Axis {
	switch {
	case a.Kind == bench.AxisWords:
		return seek.Axis{Kind: seek.Choice, Choices: len(a.Words)}
	case a.Levels != nil:
		return seek.Axis{Kind: seek.Whole, Low: 0, High: float64(a.Levels.Len() - 1)}
	case a.Kind == bench.AxisNumber:
		return seek.Axis{Low: a.Low, High: a.High, Log: a.Ratio}
	}
	return seek.Axis{Kind: seek.Whole, Low: a.Low, High: a.High, Log: a.Ratio}
}

// values are the values of the axes at a point of the search.
func (s *sought) values(u []float64) []float64 {
	x := slices.Clone(u)
	for i := range x {
		x[i] = s.value(i, u[i])
	}
	return x
}

func (s *sought) value(axis int, u float64) float64 {
	if a := &s.asked.Axes[axis]; a.Kind != bench.AxisWords && a.Levels != nil {
		return a.Levels.Value(int64(math.Round(u)))
	}
	return u
}

// turned is an aim as seek sees it, the smaller the better, from a response, or back.
func (s *sought) turned(aim int, y float64) float64 {
	if s.asked.Search.Aims[aim].Most {
		return -y
	}
	return y
}

// told is what a search is told of a variant.
func (s *sought) told(o *farm.Outcome) seek.Values {
	v := seek.Values{Failed: o.Failure != ""}
	for k, a := range s.asked.Search.Aims {
		v.Aims = append(v.Aims, s.turned(k, value(o, a.Response)))
	}
	for _, l := range s.limits {
		c := s.asked.Constraints[l.constraint]
		y := value(o, c.Response)
		if l.below {
			v.Constraints = append(v.Constraints, y-c.Below)
		} else {
			v.Constraints = append(v.Constraints, c.Above-y)
		}
	}
	for _, y := range slices.Concat(v.Aims, v.Constraints) {
		v.Failed = v.Failed || math.IsNaN(y)
	}
	if v.Failed {
		return seek.Values{Failed: true}
	}
	return v
}

// number is which variant stands at a point of the search.
func (f *finding) number(u []float64) int {
	return slices.IndexFunc(f.points, func(p []float64) bool { return slices.Equal(p, u) })
}
