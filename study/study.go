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
	return 0, absent{fmt.Sprintf("%q is not an entry of the ledger; there are %s", name, listed(names))}
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

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
