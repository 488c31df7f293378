// Package study does many runs and says what follows from them: how far a result depends on the grid and the
// time step (Refine), and how far the uncertainty of the inputs reaches into the results (Carry).
//
// It computes no heat itself: every number comes from a Runner, which outside tests is heat.Run. It opens no
// file, and answers in the same order and with the same bytes whatever the number of workers. Runs in a study
// differ from the base run only in what the study varies. Left out: choices between designs and sampling of
// inputs that are far from linear; both Refine and Carry say where their assumption (smooth convergence, small
// changes) is not met instead of hiding it.
package study

import (
	"context"
	"fmt"
	"math"

	"emberbank/heat"
	"emberbank/history"
)

// Runner computes one problem; heat.Run is the one that programs pass.
type Runner func(ctx context.Context, p heat.Problem) (*heat.Result, error)

// Quantity is one number read off a result, in SI.
type Quantity struct {
	Name string  // as the user wrote it
	Of   string  // name of a history column; or of a ledger entry, for InLedger
	Take Take    // which number of it
	At   float64 // s, for AtTime
}

// Take tells which number of a column a quantity is.
type Take int

// The numbers that can be taken.
const (
	Final    Take = iota // the last row
	Mean                 // over time, the rows joined by straight lines
	AtTime               // at Quantity.At, the rows joined by straight lines
	InLedger             // an entry of the ledger, in J
)

// Value reads the quantity off a result, in SI. A column or entry that is not there is an error that names those
// that are.
func (q Quantity) Value(r *heat.Result) (float64, error) {
	if q.Take == InLedger {
		return ledgerEntry(&r.Ledger, q.Of)
	}
	c := r.History.Column(q.Of)
	if c == nil {
		return 0, fmt.Errorf("%q is not a column of the history; there are %s", q.Of, columnNames(&r.History))
	}
	t := r.History.Time
	if len(t) == 0 || len(c.Values) != len(t) {
		return 0, fmt.Errorf("the history holds no rows for %q", q.Of)
	}
	switch q.Take {
	case Mean:
		return meanOver(t, c.Values), nil
	case AtTime:
		n := len(t)
		if q.At < t[0] || q.At > t[n-1] {
			return 0, fmt.Errorf("%q is asked for at %g s, the history runs from %g s to %g s", q.Of, q.At, t[0], t[n-1])
		}
		return valueAt(t, c.Values, q.At), nil
	}
	return c.Values[len(t)-1], nil
}

// Unit returns the kind of number that the quantity is, which fixes the unit in which it is shown.
func (q Quantity) Unit(h *history.History) history.Quantity {
	if q.Take == InLedger {
		return history.Heat
	}
	if c := h.Column(q.Of); c != nil {
		return c.Quantity
	}
	return history.Fraction
}

// LedgerEntries lists the entries that a quantity may take from a ledger, in the ledger's order.
func LedgerEntries(l *heat.Ledger) []heat.Share {
	entries := []heat.Share{
		{Name: "absorbed", Amount: l.Absorbed},
		{Name: "glass", Amount: l.Glass},
		{Name: "electric", Amount: l.Electric},
		{Name: "generated", Amount: l.Generated},
		{Name: "stored", Amount: l.Stored},
		{Name: "latent", Amount: l.Latent},
		{Name: "to passes", Amount: l.ToPasses},
		{Name: "carried", Amount: l.Carried},
		{Name: "lost", Amount: l.Lost},
	}
	for _, group := range []struct {
		prefix string
		shares []heat.Share
	}{{"stored ", l.StoredBy}, {"pass ", l.ByPass}, {"circuit ", l.ByCircuit}, {"lost ", l.ByPath}} {
		for _, s := range group.shares {
			entries = append(entries, heat.Share{Name: group.prefix + s.Name, Amount: s.Amount})
		}
	}
	return entries
}

func ledgerEntry(l *heat.Ledger, name string) (float64, error) {
	entries := LedgerEntries(l)
	for _, e := range entries {
		if e.Name == name {
			return e.Amount, nil
		}
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name
	}
	return 0, fmt.Errorf("%q is not an entry of the ledger; there are %s", name, listed(names))
}

func columnNames(h *history.History) string {
	names := make([]string, len(h.Columns))
	for i, c := range h.Columns {
		names[i] = c.Name
	}
	return listed(names)
}

// listed joins names with commas, each in quotes.
func listed(names []string) string {
	s := ""
	for i, n := range names {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%q", n)
	}
	if s == "" {
		return "none"
	}
	return s
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

// valueAt returns the value at time at, which lies within t.
func valueAt(t, v []float64, at float64) float64 {
	for i := 1; i < len(t); i++ {
		if at <= t[i] {
			if t[i] == t[i-1] {
				return v[i]
			}
			f := (at - t[i-1]) / (t[i] - t[i-1])
			return v[i-1] + f*(v[i]-v[i-1])
		}
	}
	return v[len(v)-1]
}

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
