package study

import (
	"context"
	"errors"
	"fmt"
	"math"

	"emberbank/heat"
)

// Refinement is the factor on the number of cells along each direction from grid to grid; the source of the
// procedure (see Converge) asks for at least 1.3, which rounding to whole cells must not undercut.
const Refinement = 1.45

// leastRatio is the ratio of cell sizes below which the observed order is not to be trusted; Celik et al. (2008),
// step 2 of the procedure.
const leastRatio = 1.3

// Options of a study.
type Options struct {
	Run      Runner                // computes one problem
	Base     *heat.Result          // the base run, where it is already computed; nil: it is run
	Workers  int                   // runs at a time, for Carry; 0: one
	Progress func(done, total int) // called after each run, from one goroutine at a time; may be nil
}

func (o *Options) progress(done, total int) {
	if o.Progress != nil {
		o.Progress(done, total)
	}
}

// Level is one of the three grids.
type Level struct {
	Cells     int     // of solid
	Lines     [3]int  // cells along depth, width and height
	Ratio     float64 // cell size of the next coarser grid over this one's; 0 for the coarsest
	Tolerance float64 // K, of the time steps
	Steps     int
	Residual  float64 // of the ledger
}

// Convergence is the answer of Refine.
type Convergence struct {
	Levels     []Level // coarsest (the run as asked for) first
	Quantities []QuantityEstimate
	Notes      []string // where the procedure's assumptions are not met, in plain words
}

// QuantityEstimate is the estimate for one quantity, in SI.
type QuantityEstimate struct {
	Quantity Quantity
	Estimate
}

// Refine repeats a run on two finer grids and estimates, for each quantity, the observed order, the value on an
// endlessly fine grid, and the grid convergence index (see Converge).
//
// A grid laid by the program gets 1.45 times the cells along each direction each time. Given counts are
// multiplied by the same factor and rounded (a direction of one cell keeps it); of given edges every interval is
// cut into two, then three. The ratios that enter are the true ones, from the cell counts. The time step's
// tolerance is divided by the cube of the refinement each time, so that the error of the time steps falls at
// least as fast as the second order in space even where the local error is of third order in the step.
//
// A run that fails or is cancelled ends the study with an error.
func Refine(ctx context.Context, base heat.Problem, quantities []Quantity, opt Options) (Convergence, error) {
	var c Convergence
	base.FieldTimes = nil
	if base.Tolerance == 0 {
		base.Tolerance = heat.DefaultTolerance
	}
	results := [3]*heat.Result{opt.Base}
	opt.progress(0, 3)
	for level := range results {
		p := Refined(base, level)
		if results[level] == nil {
			r, err := opt.Run(ctx, p)
			if err != nil {
				return c, fmt.Errorf("refining: run on grid %d of 3: %w", level+1, err)
			}
			if r == nil {
				return c, fmt.Errorf("refining: run on grid %d of 3: %w", level+1, errors.New("it gave no result"))
			}
			results[level] = r
		}
		c.Levels = append(c.Levels, levelOf(results[level], p.Tolerance))
		opt.progress(level+1, 3)
	}
	c.setRatios()
	if c.Levels[1].Ratio <= 1 || c.Levels[2].Ratio <= 1 {
		return c, fmt.Errorf("refining: the grids have %d, %d and %d cells and do not get finer: "+
			"give more cells or let the program lay the grid", c.Levels[0].Cells, c.Levels[1].Cells, c.Levels[2].Cells)
	}
	for _, q := range quantities {
		var v [3]float64
		for i, r := range results {
			var err error
			if v[i], err = q.Value(r); err != nil {
				return c, fmt.Errorf("refining: reading %q: %w", q.Name, err)
			}
		}
		e := QuantityEstimate{q, Converge(v, c.Levels[1].Ratio, c.Levels[2].Ratio)}
		c.Quantities = append(c.Quantities, e)
		c.Notes = append(c.Notes, remarks(&e)...)
	}
	for i, r := range results {
		if r.Stopped != "" {
			c.Notes = append(c.Notes, fmt.Sprintf("the run on grid %d ended before its time (%s): final values are "+
				"those at %.6g s", i+1, r.Stopped, r.Ended))
		}
	}
	return c, nil
}

// remarks says where an estimate is weak.
func remarks(e *QuantityEstimate) []string {
	name := e.Quantity.Name
	switch {
	case e.Verdict == Oscillating || e.Verdict == Diverging:
		return []string{fmt.Sprintf("%s: convergence is not monotone (%s); the spread over the three grids stands "+
			"in place of an index", name, e.Verdict)}
	case e.Verdict == NoValue:
		return []string{name + ": a run gave no number"}
	case e.Verdict == Monotone && (e.Order < 0.5 || e.Order > 3):
		// The scheme is of second order where the solution is smooth and of first at sharp fronts.
		return []string{fmt.Sprintf("%s: the observed order %.2g is far from the scheme's 1 to 2, so that the grids "+
			"are not yet in the range where the index holds; take the larger of index and spread", name, e.Order)}
	}
	return nil
}

// Refined returns the problem on grid 0 (as given), 1 or 2, and with the tolerance that goes with it (see Refine).
func Refined(p heat.Problem, level int) heat.Problem {
	if level == 0 {
		return p
	}
	g := p.Grid
	for range level {
		p.Tolerance /= Refinement * Refinement * Refinement
	}
	switch {
	case len(g.Lines[0]) > 0 || len(g.Lines[1]) > 0 || len(g.Lines[2]) > 0:
		for a, l := range g.Lines {
			g.Lines[a] = cutEach(l, level+1)
		}
	case g.Counts != [3]int{}:
		for range level {
			for a, n := range g.Counts {
				g.Counts[a] = moreCells(n)
			}
		}
	default:
		if g.Refine == 0 {
			g.Refine = 1
		}
		for range level {
			g.Refine *= Refinement
		}
	}
	p.Grid = g
	return p
}

// Finer is how many times finer the cells of a problem become from grid 0 to the level, along that direction of those which
// get finer at all along which they do so least; 1 where none does.
func Finer(p heat.Problem, level int) float64 {
	g, fine := p.Grid, Refined(p, level).Grid
	switch {
	case level <= 0:
		return 1
	case len(g.Lines[0]) > 0 || len(g.Lines[1]) > 0 || len(g.Lines[2]) > 0:
		return float64(level + 1)
	case g.Counts == [3]int{}:
		return math.Pow(Refinement, float64(level))
	}
	least := math.Inf(1)
	for a, n := range g.Counts {
		if fine.Counts[a] > n {
			least = math.Min(least, float64(fine.Counts[a])/float64(n))
		}
	}
	if math.IsInf(least, 1) {
		return 1
	}
	return least
}

// moreCells returns the count on the next finer grid: the refinement rounded, but no less than the least ratio.
func moreCells(n int) int {
	if n <= 1 {
		return n
	}
	return max(int(math.Round(Refinement*float64(n))), int(math.Ceil(leastRatio*float64(n)-1e-9)))
}

// cutEach cuts every interval between lines into n equal ones.
func cutEach(lines []float64, n int) []float64 {
	if len(lines) == 0 {
		return nil
	}
	out := make([]float64, 0, (len(lines)-1)*n+1)
	for i := 1; i < len(lines); i++ {
		a, b := lines[i-1], lines[i]
		for k := range n {
			out = append(out, a+(b-a)*float64(k)/float64(n))
		}
	}
	return append(out, lines[len(lines)-1])
}

func levelOf(r *heat.Result, tolerance float64) Level {
	l := Level{Cells: r.Cells, Tolerance: tolerance, Steps: r.Steps, Residual: r.Residual}
	if r.Grid != nil {
		for a := range l.Lines {
			l.Lines[a] = max(len(r.Grid.Lines[a])-1, 0)
		}
	}
	return l
}

// directions counts those in which the finer of two grids has more cells; three where that is not known.
func directions(coarse, fine Level) float64 {
	d := 0
	for a := range 3 {
		if fine.Lines[a] > coarse.Lines[a] {
			d++
		}
	}
	if d == 0 {
		d = 3
	}
	return float64(d)
}

// Ratio returns the ratio of the cell sizes of two results of one problem, coarse over fine (see setRatios).
func Ratio(coarse, fine *heat.Result) float64 {
	c, f := levelOf(coarse, 0), levelOf(fine, 0)
	return math.Pow(float64(f.Cells)/float64(c.Cells), 1/directions(c, f))
}

// setRatios computes the ratios of cell sizes, h = (volume/cells)^(1/D), over the D directions that get finer;
// a slab of one cell across has D = 1. Celik et al. (2008), eqs. 1 and 2.
func (c *Convergence) setRatios() {
	d := directions(c.Levels[0], c.Levels[2])
	for i := 1; i < len(c.Levels); i++ {
		c.Levels[i].Ratio = math.Pow(float64(c.Levels[i].Cells)/float64(c.Levels[i-1].Cells), 1/d)
		if r := c.Levels[i].Ratio; r > 1 && r < leastRatio-0.005 {
			c.Notes = append(c.Notes, fmt.Sprintf("grid %d is only %.2f times finer than grid %d; below %.1f the "+
				"observed order is uncertain", i+1, r, i, leastRatio))
		}
	}
}
