package shelf

import (
	"slices"
	"strings"

	"emberbank/bench"
)

// Due tells that a result is not as it should be, and that its command mends that: it is missing, older than what it was computed
// from, or was stopped before its end.
func (k *Kept) Due() bool {
	return k.Missing() || k.Folder != "" && (k.Stopped || len(k.Changed) > 0)
}

// Renewable tells whether the command that computes a result can be told from what is known of it.
func (k *Kept) Renewable() bool { return len(k.Args) > 1 }

// place is the folder of a result, or the one that it would have.
func (k *Kept) place() string {
	if k.Folder == "" {
		return bench.Results(k.File)
	}
	return k.Folder
}

// InTurn sets results behind those that they were computed from; else they stay in their order.
func InTurn(kept []Kept) (turn []Kept) {
	waiting := slices.Clone(kept)
	behind := func(k *Kept) bool {
		return slices.ContainsFunc(waiting, func(o Kept) bool {
			return o.place() != k.place() && slices.ContainsFunc(k.Inputs, func(in Entry) bool { return strings.HasPrefix(in.Name, o.place()+"/") })
		})
	}
	for len(waiting) > 0 {
		next := max(slices.IndexFunc(waiting, func(k Kept) bool { return !behind(&k) }), 0) // of a ring the first
		turn = append(turn, waiting[next])
		waiting = slices.Delete(waiting, next, next+1)
	}
	return turn
}

// Renew has results renewed until none is due, each once and in turn. After each it looks again: what hangs on a new result is older
// than that. look tells which results there are, do renews one; where do fails, that is the end.
func Renew(look func() ([]Kept, error), do func(k *Kept) error) error {
	tried := map[string]bool{}
	for {
		all, err := look()
		if err != nil {
			return err
		}
		due := InTurn(slices.DeleteFunc(all, func(k Kept) bool { return !k.Due() || !k.Renewable() || tried[k.Kind+" "+k.Name()] }))
		if len(due) == 0 {
			return nil
		}
		tried[due[0].Kind+" "+due[0].Name()] = true
		if err := do(&due[0]); err != nil {
			return err
		}
	}
}
