package account

import (
	"fmt"
	"math"
	"slices"

	"emberbank/figure"
	"emberbank/history"
)

// mostPairs is how many columns the picture of two results has.
const mostPairs = 6

// picture draws the columns that tell most: the block and the heat to the water, and then those that differ most for what
// they span; of a trial and its run, those that were measured.
func (r *Beside) picture() []byte {
	if r.Measured {
		return figure.Fit(r.Title, r.fits())
	}
	order := make([]int, 0, len(r.Columns))
	for i := range r.Columns {
		if r.Columns[i].Span > 0 {
			order = append(order, i)
		}
	}
	weight := func(i int) float64 {
		g := &r.Columns[i]
		if g.Name == "block mean" || g.Name == "heat to passes" {
			return math.Inf(1)
		}
		return math.Abs(g.Most) / g.Span
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch wa, wb := weight(a), weight(b); {
		case wa > wb:
			return -1
		case wa < wb:
			return 1
		}
		return a - b
	})
	var pairs []figure.Pair
	for _, i := range order[:min(len(order), mostPairs)] {
		g := &r.Columns[i]
		a, b := r.HistoryA.Column(g.Name), r.HistoryB.Column(g.Name)
		p := figure.Pair{
			Name: g.Name, Unit: drawnUnit(g.Quantity), TimeA: r.HistoryA.Time, TimeB: r.HistoryB.Time,
			A: reading(a, false, drawnTimes(g.Quantity)).Values, B: reading(b, false, drawnTimes(g.Quantity)).Values, Time: r.Common.Times,
		}
		for _, t := range r.Common.Times {
			p.D = append(p.D, drawnTimes(g.Quantity)*g.Quantity.ShownApart(r.HistoryB.At(b, t)-r.HistoryA.At(a, t)))
		}
		pairs = append(pairs, p)
	}
	says := []string{fmt.Sprintf("%d of %d columns.", len(pairs), len(r.Columns))}
	if r.Common.Drawn {
		says = append(says, "The two have few times in common: between rows, straight lines are compared.")
	}
	return figure.Beside(r.Title, says, r.A, r.B, pairs)
}

// fits are the columns of a trial beside those of its run.
func (r *Beside) fits() []figure.Fitted {
	const marks = 250
	var all []figure.Fitted
	for i := range r.Columns {
		g := &r.Columns[i]
		a, b := r.HistoryA.Column(g.Name), r.HistoryB.Column(g.Name)
		f := figure.Fitted{Name: g.Name, Unit: drawnUnit(g.Quantity)}
		half := 0.0
		if !math.IsNaN(g.Half) {
			half = drawnTimes(g.Quantity) * g.Quantity.ShownApart(g.Half)
		}
		step := max(1, len(r.Common.Times)/marks)
		for k := 0; k < len(r.Common.Times); k += step {
			t := r.Common.Times[k]
			f.Time = append(f.Time, t)
			f.Measured = append(f.Measured, drawnTimes(g.Quantity)*shown(g.Quantity, r.HistoryA.At(a, t)))
			f.Computed = append(f.Computed, drawnTimes(g.Quantity)*shown(g.Quantity, r.HistoryB.At(b, t)))
			f.Band = append(f.Band, half)
		}
		all = append(all, f)
	}
	return all[:min(len(all), mostPairs)]
}

// drawnUnit is a quantity's unit as pictures write it.
func drawnUnit(q history.Quantity) string {
	switch q {
	case history.MassFlow:
		return "kg/h"
	case history.Irradiance:
		return "W/m²"
	case history.Angle:
		return "°"
	}
	return unitText(q)
}

// drawnTimes is how many of that unit stand for one of the files'.
func drawnTimes(q history.Quantity) float64 {
	if q == history.MassFlow {
		return 3600
	}
	return 1
}
