package cli

import (
	"emberbank/balance"
	"emberbank/bench"
)

// mapped maps the heat flow of a trial's drains over the block's temperature; nil where there is none to map.
func mapped(t *bench.Trial) []balance.Map {
	in, _ := balance.FromRecord(t.Record, balance.Known{Receiver: t.Receiver})
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
	in, notes := balance.FromRecord(t.Record, balance.Known{Receiver: t.Receiver})
	switch {
	case t.Receiver != nil:
		in.Capacity = balance.CapacityOf(t.Receiver)
	case t.Lump != nil:
		in.Capacity = balance.LumpOf(t.Lump.Mass, t.Lump.HeatCapacity, 0, 0)
	}
	in.Seed = 1
	r, err := balance.Reduce(in)
	if err != nil {
		return nil, append(notes, "No heat balance: "+err.Error()+".")
	}
	return r, notes
}
