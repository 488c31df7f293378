package cli

import (
	"emberbank/balance"
	"emberbank/bench"
)

// balanceInput is what a trial's record is to the balance, with what its description knows beside it.
func balanceInput(t *bench.Trial) (balance.Input, []string) {
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
	return in, notes
}

// mapped maps the heat flow of a trial's drains over the block's temperature; nil where there is none to map.
func mapped(t *bench.Trial) []balance.Map {
	in, _ := balanceInput(t)
	yields, err := balance.Yields(&in, balance.WettedArea(t.Receiver))
	if err != nil {
		return nil
	}
	maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1})
	if err != nil {
		return nil
	}
	return maps
}

// reduced balances a trial: its phases, the heat of each and how well it is known. The notes say what was left out.
// Where nothing can be balanced the report is nil and a note says why.
func reduced(t *bench.Trial) (*balance.Report, []string) {
	in, notes := balanceInput(t)
	r, err := balance.Reduce(in)
	if err != nil {
		return nil, append(notes, "No heat balance: "+err.Error()+".")
	}
	return r, notes
}
