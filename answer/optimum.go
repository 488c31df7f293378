package answer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Room is how far one variable may move from an optimum, the others held, before the aim is worse by more than its
// tolerance or a constraint is broken.
type Room struct {
	Low, High         float64 // in the variable's unit
	LowEnd, HighEnd   Bound   // what ends the room there
	LowWhat, HighWhat int     // for ByConstraint: which one
}

// Bound is what ends a Room.
type Bound int

const (
	ByAim        Bound = iota // the aim has become worse by the tolerance
	ByConstraint              // a constraint would be broken
	ByRange                   // the variable's range ends
)

func (b Bound) String() string {
	return [...]string{"the aim becomes worse", "a constraint", "the end of the range"}[b]
}

// Landscape is an aim, the smaller the better, and constraints, met where at most 0, over variables with ranges. Of
// answers with both or an error; it may be a surrogate, or runs themselves: Flatness asks it some 60 times a variable.
type Landscape struct {
	Of        func(x []float64) (aim float64, constraints []float64, err error)
	Low, High []float64
}

// Flatness returns the room of each variable around an optimum at x: within it, on a scan from x outwards in 20 steps and
// by halving the step in which it ends, the aim stays within the tolerance of its value at x, in the aim's unit.
// A response that gets worse and better again within a step is not seen. What the others would allow if they moved along
// is not said.
func (l Landscape) Flatness(x []float64, tolerance float64) ([]Room, error) {
	if len(l.Low) != len(x) || len(l.High) != len(x) || !(tolerance > 0) {
		return nil, fmt.Errorf("flatness: every variable needs a range, and the tolerance is above 0, not %g", tolerance)
	}
	best, _, err := l.Of(append([]float64(nil), x...))
	if err != nil {
		return nil, fmt.Errorf("flatness: at the optimum: %w", err)
	}
	rooms := make([]Room, len(x))
	for i := range x {
		r := &rooms[i]
		if r.Low, r.LowEnd, r.LowWhat, err = l.walk(x, i, l.Low[i], best+tolerance); err != nil {
			return rooms, err
		}
		if r.High, r.HighEnd, r.HighWhat, err = l.walk(x, i, l.High[i], best+tolerance); err != nil {
			return rooms, err
		}
	}
	return rooms, nil
}

// walk goes from x along variable i to an end, and returns how far it stays within the limit and what ends it.
func (l Landscape) walk(x []float64, i int, end, limit float64) (at float64, by Bound, what int, err error) {
	const steps, halvings = 20, 12
	try := func(v float64) (bool, error) {
		y := append([]float64(nil), x...)
		y[i] = v
		aim, constraints, err := l.Of(y)
		if err != nil {
			return false, fmt.Errorf("flatness: variable %d at %g: %w", i+1, v, err)
		}
		for k, c := range constraints {
			if !(c <= 1e-9) {
				by, what = ByConstraint, k
				return false, nil
			}
		}
		if !(aim <= limit) {
			by = ByAim
			return false, nil
		}
		return true, nil
	}
	good := x[i]
	for s := 1; s <= steps; s++ {
		next := x[i] + (end-x[i])*float64(s)/steps
		if s == steps {
			next = end
		}
		ok, err := try(next)
		if err != nil {
			return good, by, what, err
		}
		if ok {
			good = next
			continue
		}
		bad := next
		for range halvings {
			mid := (good + bad) / 2
			if ok, err = try(mid); err != nil {
				return good, by, what, err
			}
			if ok {
				good = mid
			} else {
				bad = mid
			}
		}
		return good, by, what, nil
	}
	return end, ByRange, 0, nil
}

// Price is what an active constraint costs: by how much the aim would fall for each unit by which the constraint's limit
// is let out, in the aim's unit over the constraint's.
type Price struct {
	Constraint int
	PerUnit    float64
}

// Prices returns the price of each active constraint at an optimum x and what is left of the aim's slope after them, as
// a share of it: near 0 at a true optimum, 1 where no constraint holds the aim back. Derivatives are central differences
// of the given steps, one-sided at the ends of a range. Variables at an end of their range are held by it and left out.
// A constraint is active where it is above −slack.
//
//	minimise |∇f + Σ λₖ ∇gₖ| over λ ≥ 0
//
// in variables measured in their steps. Source: J. Nocedal, S. J. Wright, Numerical Optimization, 2nd ed., Springer (2006),
// section 12.3 (multipliers) and p. 322 (their meaning).
func (l Landscape) Prices(x, step []float64, slack float64) (prices []Price, left float64, err error) {
	if len(step) != len(x) || len(l.Low) != len(x) || len(l.High) != len(x) {
		return nil, 0, fmt.Errorf("prices: every variable needs a step and a range")
	}
	_, g, err := l.Of(append([]float64(nil), x...))
	if err != nil {
		return nil, 0, fmt.Errorf("prices: at the optimum: %w", err)
	}
	var active []int
	for k, v := range g {
		if v > -slack {
			active = append(active, k)
		}
	}
	var aim []float64
	slopes := make([][]float64, len(active))
	for i := range x {
		if !(step[i] > 0) {
			return nil, 0, fmt.Errorf("prices: the step of variable %d is above 0, not %g", i+1, step[i])
		}
		if edge := 1e-9 * (l.High[i] - l.Low[i]); x[i]-l.Low[i] <= edge || l.High[i]-x[i] <= edge {
			continue
		}
		a, b := append([]float64(nil), x...), append([]float64(nil), x...)
		a[i], b[i] = max(x[i]-step[i], l.Low[i]), min(x[i]+step[i], l.High[i])
		fa, ga, err := l.Of(a)
		if err != nil {
			return nil, 0, fmt.Errorf("prices: variable %d at %g: %w", i+1, a[i], err)
		}
		fb, gb, err := l.Of(b)
		if err != nil {
			return nil, 0, fmt.Errorf("prices: variable %d at %g: %w", i+1, b[i], err)
		}
		per := step[i] / (b[i] - a[i])
		aim = append(aim, (fb-fa)*per)
		for k, c := range active {
			slopes[k] = append(slopes[k], (gb[c]-ga[c])*per)
		}
	}
	lambda, rest := notNegative(aim, slopes)
	for k, c := range active {
		prices = append(prices, Price{c, lambda[k]})
	}
	norm := 0.0
	for _, v := range aim {
		norm += v * v
	}
	if norm == 0 {
		return prices, 0, nil
	}
	return prices, math.Sqrt(rest / norm), nil
}

// notNegative minimises |f + Σ λₖ gₖ|² over λ ≥ 0 by trying which λ are above zero: constraints that are active at once
// are few. Beyond 12 only the first 12 are weighed.
func notNegative(f []float64, g [][]float64) (best []float64, rest float64) {
	best = make([]float64, len(g))
	for _, v := range f {
		rest += v * v
	}
	m := min(len(g), 12)
	for set := 1; set < 1<<m; set++ {
		var cols []int
		for k := range m {
			if set>>k&1 == 1 {
				cols = append(cols, k)
			}
		}
		if len(cols) > len(f) {
			continue
		}
		a, b := mat.NewDense(len(f), len(cols), nil), mat.NewVecDense(len(f), nil)
		for i := range f {
			b.SetVec(i, -f[i])
			for j, k := range cols {
				a.Set(i, j, g[k][i])
			}
		}
		var sol mat.VecDense
		if sol.SolveVec(a, b) != nil {
			continue
		}
		lambda, sum, ok := make([]float64, len(g)), 0.0, true
		for j, k := range cols {
			lambda[k] = sol.AtVec(j)
			ok = ok && lambda[k] >= 0
		}
		for i := range f {
			d := f[i]
			for _, k := range cols {
				d += lambda[k] * g[k][i]
			}
			sum += d * d
		}
		if ok && sum < rest*(1-1e-12) {
			best, rest = lambda, sum
		}
	}
	return best, rest
}
