package sample

import (
	"fmt"
	"math"
)

// Design is a list of points that is not laid out: it knows how many there are, and each of them.
type Design interface {
	Count() int64
	Columns() int
	// At writes point i, 0 ≤ i < Count, into x, which has a place for each column.
	At(i int64, x []float64)
}

// Points fill the unit cube: a *Sobol or a *Latin.
type Points interface {
	Columns() int
	At(i int64, u []float64)
}

// Grid is every combination of the levels of its axes. The last axis changes fastest.
type Grid struct {
	axes  []Levels
	count int64
}

// NewGrid returns the grid of some axes. Only a count beyond 2⁶³ is refused; whether a billion variants are wanted is
// for the caller to ask.
func NewGrid(axes ...Levels) (*Grid, error) {
	if len(axes) == 0 {
		return nil, fmt.Errorf("a grid needs at least one axis")
	}
	g := &Grid{axes: axes, count: 1}
	for i, a := range axes {
		if err := a.Check(); err != nil {
			return nil, fmt.Errorf("axis %d: %w", i+1, err)
		}
		if a.Len() > math.MaxInt64/g.count {
			total := 1.0
			for _, b := range axes {
				total *= float64(b.Len())
			}
			return nil, fmt.Errorf("the grid has about %.2g variants: drop axes, or draw a sample in place of it", total)
		}
		g.count *= a.Len()
	}
	return g, nil
}

func (g *Grid) Count() int64 { return g.count }

func (g *Grid) Columns() int { return len(g.axes) }

func (g *Grid) At(i int64, x []float64) {
	for a := len(g.axes) - 1; a >= 0; a-- {
		n := g.axes[a].Len()
		x[a] = g.axes[a].Value(i % n)
		i /= n
	}
}

// Drawn is a sample from distributions, one for each column, independent of one another.
type Drawn struct {
	from  Points
	into  []Distribution
	count int64
}

// NewDrawn returns the first n points of from, mapped to the distributions.
func NewDrawn(n int64, from Points, into ...Distribution) (*Drawn, error) {
	if err := fits(n, from, 1, into); err != nil {
		return nil, err
	}
	return &Drawn{from, into, n}, nil
}

func (d *Drawn) Count() int64 { return d.count }

func (d *Drawn) Columns() int { return len(d.into) }

func (d *Drawn) At(i int64, x []float64) {
	d.from.At(i, x)
	for c, q := range d.into {
		x[c] = q.Quantile(x[c])
	}
}

// Exchange is the design from which first-order and total sensitivity follow: two samples A and B of n rows each, and
// for each column the sample A with that column taken from B. The variants of a row stand together, A, B, then A with
// columns 1, 2, ... from B, so that a study that is cut short has whole rows.
//
// Source: A. Saltelli et al., "Variance based sensitivity analysis of model output. Design and estimator for the total
// sensitivity index", Comput. Phys. Commun. 181 (2010) 259-270, section 2.
type Exchange struct {
	from Points
	into []Distribution
	rows int64
}

// NewExchange returns the design of rows·(columns + 2) variants. The points have twice as many columns as there are
// distributions; the first half is A.
func NewExchange(rows int64, from Points, into ...Distribution) (*Exchange, error) {
	if err := fits(rows, from, 2, into); err != nil {
		return nil, err
	}
	if rows > math.MaxInt64/int64(len(into)+2) {
		return nil, fmt.Errorf("%d rows of %d variants each are too many", rows, len(into)+2)
	}
	return &Exchange{from, into, rows}, nil
}

func (e *Exchange) Count() int64 { return e.rows * int64(len(e.into)+2) }

func (e *Exchange) Columns() int { return len(e.into) }

func (e *Exchange) At(i int64, x []float64) {
	k := len(e.into)
	row, part := i/int64(k+2), int(i%int64(k+2))
	both := make([]float64, 2*k)
	e.from.At(row, both)
	for c, q := range e.into {
		u := both[c]
		if part == 1 || part == c+2 {
			u = both[k+c]
		}
		x[c] = q.Quantile(u)
	}
}

// fits checks that points, distributions and a count go together.
func fits(n int64, from Points, times int, into []Distribution) error {
	if n < 1 || len(into) == 0 {
		return fmt.Errorf("a sample needs at least one point and one distribution, not %d and %d", n, len(into))
	}
	if from.Columns() != times*len(into) {
		return fmt.Errorf("the points have %d columns, %d distributions need %d", from.Columns(), len(into), times*len(into))
	}
	switch p := from.(type) {
	case *Sobol:
		if n > 1<<digits {
			return fmt.Errorf("a Sobol sequence has 2³² points, not %d", n)
		}
		if p.seed == 0 {
			for i, d := range into {
				if q := d.Quantile(0); math.IsInf(q, 0) {
					return fmt.Errorf("distribution %d is open below, and a Sobol sequence that is not scrambled begins at the corner: give a seed", i+1)
				}
			}
		}
	case *Latin:
		if n > int64(len(p.rank[0])) {
			return fmt.Errorf("the Latin hypercube has %d points, not %d", len(p.rank[0]), n)
		}
	}
	for i, d := range into {
		if err := d.Check(); err != nil {
			return fmt.Errorf("distribution %d: %w", i+1, err)
		}
	}
	return nil
}
