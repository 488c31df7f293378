package web

import (
	"sync"

	"emberbank/account"
	"emberbank/figure"
)

// colours keeps the range that the first answer of the bench which came to its end has found, so that colours keep their
// meaning from then on.
type colours struct {
	mu    sync.Mutex
	found bool
	of    figure.Range
}

// colours is what the rule of temperature spans in the pictures of an answer: what the bench's file says, else what was found
// first, widened where an answer reaches beyond it. The lock of the answer's run is held, where it still grows.
func (d *Desk) colours(a *answer) figure.Range {
	low, top := a.rule()
	if said := a.loaded.Temperatures; said[1] > said[0] {
		return account.Colours(said, &a.loaded.Problem, low, top)
	}
	d.kept.mu.Lock()
	defer d.kept.mu.Unlock()
	if !d.kept.found && a.result != nil {
		g := account.Colours([2]float64{}, &a.loaded.Problem, low, top)
		g.Low, g.Top, _, _ = g.Rule() // rounded outwards: a finer answer will reach no farther
		d.kept.found, d.kept.of = true, g
	}
	if !d.kept.found {
		return figure.Range{Low: low, Top: top}
	}
	return figure.Range{Low: min(low, d.kept.of.Low), Top: max(top, d.kept.of.Top)}
}
