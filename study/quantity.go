package study

import (
	"errors"
	"fmt"
	"math"

	"emberbank/heat"
	"emberbank/history"
)

// Quantity is one number read off a result, in SI. Between the rows of a history, values lie on straight lines; all that
// is told of times and integrals is exact for those.
type Quantity struct {
	Name  string  // as the user wrote it
	Of    string  // name of a history column; or of a ledger entry, for InLedger
	Take  Take    // which number of it
	At    float64 // s, for AtTime; where a Total begins
	To    float64 // s, where a Total ends
	Watch string  // for When and AtCrossing: the column that comes to Level
	Level float64 // SI; for Beyond of Of itself
	Falls bool    // Beyond: the time below; When and AtCrossing: it comes to the level from above
}

// Take tells which number of a column a quantity is.
type Take int

// The numbers that can be taken.
const (
	Final      Take = iota // the last row
	Mean                   // over time
	AtTime                 // at Quantity.At
	InLedger               // an entry of the ledger, in J
	Largest                // of all rows that have a value; NaN where none has
	Least                  // likewise
	Beyond                 // s, how long the column lies above Level, or below; stretches without a value do not count
	When                   // s, when Watch first comes to Level; NaN where it never does
	AtCrossing             // the column at that time; NaN likewise
	Total                  // the integral from At to To; NaN where a row between has no value
)

// ErrAbsent is what the error of Value is where a column or an entry of the ledger is not there.
var ErrAbsent = errors.New("not there")

// absent names what is not there and what is.
type absent struct{ text string }

func (e absent) Error() string { return e.text }

func (e absent) Is(target error) bool { return target == ErrAbsent }

// Until returns the time in s that a run has to reach before the quantity can be read; 0: any.
func (q Quantity) Until() float64 {
	switch q.Take {
	case AtTime:
		return q.At
	case Total:
		return q.To
	}
	return 0
}

// Value reads the quantity off a result, in SI. A column or entry that is not there is an error, an ErrAbsent, that names
// those that are; a time outside the history is an error.
func (q Quantity) Value(r *heat.Result) (float64, error) {
	if q.Take == InLedger {
		return ledgerEntry(&r.Ledger, q.Of)
	}
	v, err := columnOf(&r.History, q.Of)
	if err != nil {
		return 0, err
	}
	t := r.History.Time
	switch q.Take {
	case Mean:
		return meanOver(t, v), nil
	case Largest:
		return extreme(v, math.Max), nil
	case Least:
		return extreme(v, math.Min), nil
	case Beyond:
		return beyond(t, v, q.Level, q.Falls), nil
	case AtTime, Total:
		return q.within(t, v)
	case When, AtCrossing:
		w, err := columnOf(&r.History, q.Watch)
		if err != nil {
			return 0, err
		}
		i, f := crossing(w, q.Level, q.Falls)
		switch {
		case i < 0:
			return math.NaN(), nil
		case q.Take == When:
			return between(t, i, f), nil
		}
		return between(v, i, f), nil
	}
	return v[len(t)-1], nil
}

// within is a value at a time, or an integral between two.
func (q Quantity) within(t, v []float64) (float64, error) {
	first, last := t[0], t[len(t)-1]
	end := q.Until()
	if q.At < first || end > last {
		at := q.At
		if at >= first {
			at = end
		}
		return 0, fmt.Errorf("%q is asked for at %g s, the history runs from %g s to %g s", q.Of, at, first, last)
	}
	if q.Take == Total {
		return integral(t, v, q.At, q.To), nil
	}
	return history.Straight(t, v, q.At), nil
}

// Unit returns the kind of number that the quantity is, which fixes the unit in which it is shown.
func (q Quantity) Unit(h *history.History) history.Quantity {
	switch q.Take {
	case InLedger:
		return history.Heat
	case Beyond, When:
		return history.Time
	}
	c := h.Column(q.Of)
	switch {
	case c == nil:
		return history.Fraction
	case q.Take == Total:
		return totalOf(c.Quantity)
	}
	return c.Quantity
}

// totalOf returns what the integral of a quantity over time is; a fraction where it is none that has a name.
func totalOf(q history.Quantity) history.Quantity {
	switch q {
	case history.HeatFlow:
		return history.Heat
	case history.MassFlow:
		return history.Mass
	}
	return history.Fraction
}

// columnOf returns a column's values, one for each row.
func columnOf(h *history.History, name string) ([]float64, error) {
	c := h.Column(name)
	if c == nil {
		return nil, absent{fmt.Sprintf("%q is not a column of the history; there are %s", name, columnNames(h))}
	}
	if len(h.Time) == 0 || len(c.Values) != len(h.Time) {
		return nil, fmt.Errorf("the history holds no rows for %q", name)
	}
	return c.Values, nil
}

// extreme returns the largest or the least of the values that are numbers.
func extreme(v []float64, of func(a, b float64) float64) float64 {
	out := math.NaN()
	for _, x := range v {
		switch {
		case math.IsNaN(x):
		case math.IsNaN(out):
			out = x
		default:
			out = of(out, x)
		}
	}
	return out
}

// beyond returns for how long values lie above a level, or below it.
func beyond(t, v []float64, level float64, below bool) float64 {
	sum := 0.0
	for i := 1; i < len(t); i++ {
		a, b := v[i-1]-level, v[i]-level
		if below {
			a, b = -a, -b
		}
		dt := t[i] - t[i-1]
		switch {
		case a >= 0 && b >= 0 && a+b > 0:
			sum += dt
		case a > 0 && b < 0 || a < 0 && b > 0:
			sum += dt * math.Max(a, b) / math.Abs(a-b)
		}
	}
	return sum
}

// crossing finds where values first come to a level from above, or from below: between rows i and i+1, at the share f of
// the way; -1 where they never do. Values that begin at the level and go on beyond it have come to it at their first row.
func crossing(v []float64, level float64, falls bool) (i int, f float64) {
	for i := 1; i < len(v); i++ {
		a, b := v[i-1]-level, v[i]-level
		if !falls {
			a, b = -a, -b
		}
		if a > 0 && b <= 0 {
			return i - 1, a / (a - b)
		}
		if i == 1 && a == 0 && b < 0 {
			return 0, 0
		}
	}
	return -1, 0
}

// between returns the value at the share f of the way from row i to the next.
func between(v []float64, i int, f float64) float64 { return v[i] + f*(v[i+1]-v[i]) }

// integral returns the integral over t from a to b, which lie within t.
func integral(t, v []float64, a, b float64) float64 {
	sum := 0.0
	for i := 1; i < len(t); i++ {
		lo, hi := math.Max(a, t[i-1]), math.Min(b, t[i])
		if !(hi > lo) {
			continue
		}
		w := t[i] - t[i-1]
		sum += (hi - lo) * (between(v, i-1, (lo-t[i-1])/w) + between(v, i-1, (hi-t[i-1])/w)) / 2
	}
	return sum
}

// meanOver returns the time mean of values v joined by straight lines over t; of a single row, its value.
func meanOver(t, v []float64) float64 {
	n := len(t)
	if n == 1 || t[n-1] == t[0] {
		return v[n-1]
	}
	sum := 0.0
	for i := 1; i < n; i++ {
		sum += 0.5 * (v[i] + v[i-1]) * (t[i] - t[i-1])
	}
	return sum / (t[n-1] - t[0])
}
