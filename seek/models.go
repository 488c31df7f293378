package seek

import (
	"math"
	"slices"
)

// models are the processes at one state of knowledge.
type models struct {
	problem     Problem
	aims        []*process
	constraints []*process
	fails       *process // 0 where a variant gave values, 1 where it failed; nil: none has
	best        float64  // of the first aim, among variants that meet the constraints, as the process sees them
	anyMet      bool
	front       [][2]float64
	reference   [2]float64
	v           []float64 // scratch
}

// models lays the processes through all that was told, and takes pending points to give what is expected; nil: fewer than
// three variants gave values.
func (s *Surrogate) models() *models {
	var at, all [][]float64
	var good []Told
	var failed []float64
	some := false
	for _, t := range s.History() {
		x := s.problem.place(t.At)
		all = append(all, x)
		if t.Failed {
			failed = append(failed, 1)
			some = true
			continue
		}
		failed = append(failed, 0)
		at = append(at, x)
		good = append(good, t)
	}
	if len(good) < 3 {
		return nil
	}
	m := &models{problem: s.problem}
	lay := func(get func(Told) float64) *process {
		y := make([]float64, len(good))
		for i, t := range good {
			y[i] = get(t)
		}
		return fitProcess(s.problem.Axes, at, y)
	}
	for k := range s.problem.Aims {
		m.aims = append(m.aims, lay(func(t Told) float64 { return t.Aims[k] }))
	}
	for k := range s.problem.Constraints {
		m.constraints = append(m.constraints, lay(func(t Told) float64 { return t.Constraints[k] }))
	}
	if some {
		m.fails = fitProcess(s.problem.Axes, all, failed)
	}
	m.v = make([]float64, len(all)+len(s.pending)+64)
	m.standing(good)
	for _, x := range s.waiting() {
		m.believe(x)
	}
	return m
}

// standing finds the best so far, by what the processes expect at variants that were told, so that noise in one value does
// not pass for luck.
func (m *models) standing(good []Told) {
	m.best = math.Inf(1)
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	var met []Told
	for _, t := range good {
		if !meets(t.Values) {
			continue
		}
		m.anyMet = true
		x := m.problem.place(t.At)
		seen := make([]float64, len(m.aims))
		for k, p := range m.aims {
			seen[k], _ = p.expect(x, m.v)
		}
		m.best = min(m.best, seen[0])
		met = append(met, Told{At: t.At, Values: Values{Aims: seen}})
	}
	if len(m.aims) < 2 || !m.anyMet {
		return
	}
	for _, t := range unbeaten(met) {
		m.front = append(m.front, [2]float64{t.Aims[0], t.Aims[1]})
		for k := range 2 {
			low[k], high[k] = min(low[k], t.Aims[k]), max(high[k], t.Aims[k])
		}
	}
	// The reference is the worst of both aims among all that was told: one that lies near the front's ends would make the
	// search creep outwards from them.
	for k := range 2 {
		m.reference[k] = max(high[k], slices.Max(m.aims[k].y)) + 1e-3*(high[k]-low[k])
	}
}

// believe adds a point with the values that are expected there.
func (m *models) believe(x []float64) {
	f := m.problem.place(x)
	if len(m.v) < len(m.aims[0].at)+64 {
		m.v = make([]float64, 2*len(m.v)+64)
	}
	grow := func(p *process) {
		mean, _ := p.expect(f, m.v)
		y := append(slices.Clip(p.y), mean)
		at := append(slices.Clip(p.at), f)
		if q, ok := newProcess(p.axes, at, y, p.length, p.nu); ok {
			*p = *q
		}
	}
	ok := true
	for _, p := range m.constraints {
		mean, _ := p.expect(f, m.v)
		ok = ok && mean <= 0
		grow(p)
	}
	expected := make([]float64, 0, 2)
	for _, p := range m.aims {
		mean, _ := p.expect(f, m.v)
		expected = append(expected, mean)
		grow(p)
	}
	if m.fails != nil {
		grow(m.fails)
	}
	if !ok || !m.anyMet {
		return
	}
	m.best = min(m.best, expected[0])
	if len(m.aims) == 2 {
		var all []Told
		for _, p := range append(slices.Clip(m.front), [2]float64{expected[0], expected[1]}) {
			all = append(all, Told{Values: Values{Aims: []float64{p[0], p[1]}}})
		}
		m.front = m.front[:0:0]
		for _, t := range unbeaten(all) {
			m.front = append(m.front, [2]float64{t.Aims[0], t.Aims[1]})
		}
	}
}

// worth is the logarithm of what the search makes largest, at a place, and the improvement alone.
func (m *models) worth(f []float64) (total, improvement float64) {
	for _, p := range m.constraints {
		mean, sd := p.expect(f, m.v)
		total += logBelow(-mean / sd)
	}
	if m.fails != nil {
		mean, sd := m.fails.expect(f, m.v)
		total += logBelow((0.5 - mean) / sd)
	}
	if !m.anyMet {
		return total, 0
	}
	if len(m.aims) == 1 {
		mean, sd := m.aims[0].expect(f, m.v)
		g := logImprovement((m.best-mean)/sd) + math.Log(sd)
		return total + g, math.Exp(g)
	}
	var mean, sd [2]float64
	for k, p := range m.aims {
		mean[k], sd[k] = p.expect(f, m.v)
	}
	g := areaGain(m.front, m.reference, mean, sd)
	return total + math.Log(max(g, 1e-300)), g
}
