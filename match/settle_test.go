package match

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// simpler is two made-up trials for a model that lacks the wool's conductivity as a parameter, so that it cannot fit:
// parameters and noise then have much to settle between them. Each parameter begins at a bound.
func simpler(t *testing.T, corner int) *model {
	t.Helper()
	p := spoilt(t, coverageErrors)
	p.Aside = nil
	p.Parameters = []Parameter{p.Parameters[0], p.Parameters[2]}
	for j := range p.Parameters {
		q := &p.Parameters[j]
		q.Start = q.Lower
		if corner>>j&1 == 1 {
			q.Start = q.Upper
		}
	}
	m, err := newModel(context.Background(), p, Options{Run: standIn, Workers: 2, Starts: -1})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestAlternationOnlyGoesDown begins at bounds and with sizes of the noise far off, and asks that R never ends above where
// it began, that the end is one of both halves (no size of the noise and no parameter alone lowers R), and that all
// ways lead to the same one.
func TestAlternationOnlyGoesDown(t *testing.T) {
	ctx := context.Background()
	least, most := math.Inf(1), math.Inf(-1)
	for _, corner := range []int{0, 3} {
		for _, shift := range []float64{0, 1.5, -1.5} {
			name := fmt.Sprintf("corner %d, noise times e^%g", corner, shift)
			m := simpler(t, corner)
			x := make([]float64, 2+len(m.offsets))
			for j := range m.problem.Parameters {
				x[j] = m.problem.Parameters[j].Start
			}
			from, _, err := m.search(ctx, x)
			if err != nil {
				t.Fatal(err)
			}
			for i := range from {
				for k := range from[i].noise {
					from[i].noise[k] += shift
				}
				m.restore(from[i])
				from[i] = m.stand(from[i].Solution)
				end, err := m.settle(ctx, from[i].Solution, rough)
				if err != nil {
					t.Fatal(err)
				}
				if end.r > from[i].r {
					t.Errorf("%s: R rose from %.6g to %.6g", name, from[i].r, end.r)
				}
			}
			best, err := m.best(ctx, from, rough)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range from {
				if best.r > f.r {
					t.Errorf("%s: the best has R %.6g, one start %.6g", name, best.r, f.r)
				}
			}
			m.loosen(false)
			end, err := m.refine(ctx, best)
			if err != nil {
				t.Fatal(err)
			}
			least, most = min(least, end.r), max(most, end.r)
			l := m.likelihoodAt(end.Solution)
			z := l.settings()
			for k := range z {
				for _, by := range []float64{0.2, -0.2} {
					z[k] += by
					l.set(z)
					if r := l.here(); r < end.r-0.1 {
						t.Errorf("%s: knob %d moved by %g lowers R by %.3g", name, k, by, end.r-r)
					}
					z[k] -= by
				}
			}
			l.set(z)
			for j, sd := range m.deviations(end.Solution) {
				for _, by := range []float64{0.5, -0.5} {
					x := append([]float64(nil), end.X...)
					x[j] += by * sd
					if f, err := m.cost(ctx, x); err != nil || f < end.Cost-0.05 {
						t.Errorf("%s: parameter %d moved by %g standard deviations lowers F by %.3g (%v)", name, j, by, end.Cost-f, err)
					}
				}
			}
		}
	}
	if most-least > 0.3 {
		t.Errorf("the ways end at R from %.6g to %.6g", least, most)
	}
}

// TestAPairOfStepsThatRaisesTheObjectiveDoesNotCount gives derivatives of which the linear picture promises what no
// parameter can give: the alternation must stay where it was or end lower.
func TestAPairOfStepsThatRaisesTheObjectiveDoesNotCount(t *testing.T) {
	ctx := context.Background()
	m := simpler(t, 0)
	x := make([]float64, 2+len(m.offsets))
	x[0], x[1] = 400, 0.9
	sol, err := Fit(ctx, m.fitting(x, fine))
	if err != nil {
		t.Fatal(err)
	}
	for i := range sol.Columns[0] { // a course that the run does not have, and that would take up most of what is left
		sol.Columns[0][i] = 0.01*sol.Differences[i] + 1e-4*sol.Columns[0][i]
	}
	before := m.stand(sol)
	after, err := m.settle(ctx, sol, fine)
	if err != nil {
		t.Fatal(err)
	}
	if after.r > before.r {
		t.Errorf("R rose from %.6g to %.6g", before.r, after.r)
	}
	now := m.stand(after.Solution)
	if math.Abs(now.r-after.r) > 1e-6*math.Abs(now.r) {
		t.Errorf("the noise that is left belongs to R %.8g, not %.8g", now.r, after.r)
	}
}
