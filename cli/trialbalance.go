package cli

import (
	"errors"
	"fmt"

	"emberbank/account"
	"emberbank/balance"
	"emberbank/bench"
	"emberbank/logbook"
)

// mapped maps the heat flow of a trial's drains over the block's temperature, and that of a run laid over it, where one
// is given; none where there is none to map. A note says why a run could not be laid over.
func mapped(t *bench.Trial, over *computed) (all []account.Mapped, note string) {
	in, _ := logbook.Input(t)
	yields, err := balance.Yields(&in, balance.WettedArea(t.Receiver))
	if err == nil {
		var maps []balance.Map
		if maps, err = balance.FitMap(yields, balance.MapOptions{Seed: 1}); err == nil {
			all = append(all, account.Mapped{Name: t.Name, Of: "trial", Maps: maps, Yields: yields})
		}
	}
	if over == nil {
		if errors.Is(err, balance.ErrNotMapped) {
			note = "No map: " + err.Error() + "."
		}
		return all, note
	}
	if err == nil {
		var run *account.Mapped
		if run, err = over.mapped(&in); err == nil {
			return append(all, *run), ""
		}
	}
	return all, fmt.Sprintf("The run %s could not be laid over: %v.", over.name, err)
}
