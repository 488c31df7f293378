package logbook

import (
	"slices"

	"emberbank/balance"
	"emberbank/bench"
	"emberbank/history"
)

// Input is what a trial's record is to the balance, with what its description knows beside it.
func Input(t *bench.Trial) (balance.Input, []string) {
	known := balance.Known{Receiver: t.Receiver, Factors: map[string]balance.Uptake{}}
	for _, u := range t.Uptakes {
		known.Factors[u.Of] = balance.Uptake{Factor: u.Factor, U: u.U}
	}
	in, notes := balance.FromRecord(t.Record, known)
	switch {
	case t.Receiver != nil:
		in.Capacity = balance.CapacityOf(t.Receiver)
	case t.Lump != nil:
		in.Capacity = balance.LumpOf(t.Lump.Mass, t.Lump.HeatCapacity, 0, t.Lump.U)
	}
	in.Seed = 1
	if note := statedAmbient(&in, t.Ambient); note != "" {
		notes = append(notes, note)
	}
	return in, notes
}

// statedAmbient puts in the ambient that the description states. The record itself is left as it is.
func statedAmbient(in *balance.Input, a bench.Ambient) string {
	if a.Value == 0 {
		return ""
	}
	c := history.Column{Name: "ambient, as stated", Quantity: history.Temperature, Values: make([]float64, len(in.History.Time))}
	for i := range c.Values {
		c.Values[i] = a.Value
	}
	h := *in.History
	h.Columns = append(slices.Clone(h.Columns), c)
	in.History = &h
	ch := balance.Channel{Column: c.Name, Role: balance.Ambient}
	note := "Ambient is not recorded; the one stated is taken"
	if a.U > 0 {
		ch.Errors = []balance.Error{{What: "as stated", Constant: a.U, Zero: 273.15}}
	} else {
		note += ` as exact, since it has no half-width: write it as "20 ± 2 degC"`
	}
	in.Channels = append(in.Channels, ch)
	return note + "."
}

// Reduce balances a trial: its phases, the heat of each and how well it is known. The notes say what was left out.
// Where nothing can be balanced the report is nil and a note says why.
func Reduce(t *bench.Trial) (*balance.Report, []string) {
	in, notes := Input(t)
	r, err := balance.Reduce(in)
	if err != nil {
		return nil, append(notes, "No heat balance: "+err.Error()+".")
	}
	return r, notes
}
