package cli

import (
	"fmt"

	"emberbank/bench"
	"emberbank/logbook"
	"emberbank/trial"
)

// leaveDrying looks in every measured trial of a match for a first heat-up in which insulation dries, leaves that
// stretch out where the match's file asks for it, and returns what is to be told. It stands in one column of the
// results' notes, each without its full stop. The dangers that the trials show are gathered on the way.
func leaveDrying(at place, m *bench.Match) (notes []string, dangers worst) {
	for i := range m.Trials {
		t := &m.Trials[i]
		if t.Trial == "" {
			dangers.add(t.Name, tableCautions(t))
			continue
		}
		loaded, problems := bench.LoadTrial(at.fs(), t.Trial, bench.Options{})
		if problems.Failed() {
			continue // the match has read it already
		}
		r, _ := logbook.Reduce(loaded)
		if r != nil {
			for k := range r.Phases {
				dangers.add(t.Name, r.Phases[k].Cautions)
			}
		}
		switch {
		case r == nil || r.Drying == nil:
			if t.DryOut {
				why := "its heat cannot be balanced"
				if r != nil {
					why = r.NoDrying
				}
				notes = append(notes, fmt.Sprintf("trial %s: whether insulation dries cannot be told (%s), and nothing is left out for it", t.Name, why))
			}
		case !r.Drying.Found:
			if t.DryOut {
				notes = append(notes, fmt.Sprintf("trial %s: no drying shows, and nothing is left out for it", t.Name))
			}
		case t.DryOut:
			d := r.Drying
			t.Leave = append(t.Leave, trial.Phase{Name: "drying", From: d.From - t.Begins, To: d.Until - t.Begins})
			notes = append(notes, fmt.Sprintf("trial %s: %s The rows from %.0f s to %.0f s of the run are left out. Behind them the run is still "+
				"too hot, by some %.0f K at first; where a second heat-up follows, begin the run there (begins: …)", t.Name, d.Sentence, d.From-t.Begins, d.Until-t.Begins, d.Deficit))
		default:
			notes = append(notes, fmt.Sprintf("trial %s: %s \"drying: leave out\" does so", t.Name, r.Drying.Sentence))
		}
	}
	return notes, dangers
}
