package cli

import (
	"slices"
	"strings"

	"emberbank/balance"
	"emberbank/bench"
	"emberbank/history"
)

// worst keeps each kind of danger that several trials show once, where it is worst.
type worst []dangerIn

type dangerIn struct {
	trial string
	balance.Caution
}

func (w *worst) add(trial string, all []balance.Caution) {
	for _, c := range all {
		i := slices.IndexFunc(*w, func(d dangerIn) bool { return d.Kind == c.Kind })
		switch {
		case i < 0:
			*w = append(*w, dangerIn{trial, c})
		case c.Value > (*w)[i].Value:
			(*w)[i] = dangerIn{trial, c}
		}
	}
}

// sentences are the dangers with the trial that shows each.
func (w worst) sentences() (out []string) {
	for _, d := range w {
		out = append(out, "trial "+d.trial+": "+d.Text)
	}
	return out
}

// tableCautions are those of a measured table, of which only its temperatures tell.
func tableCautions(t *bench.MatchTrial) (all []balance.Caution) {
	for _, c := range t.Columns {
		if c.Quantity != history.Temperature || strings.HasPrefix(c.Column, "circuit ") || len(c.Time) == 0 {
			continue
		}
		in := balance.Input{
			History:  &history.History{Time: c.Time, Columns: []history.Column{{Name: c.Column, Quantity: c.Quantity, Values: c.Value}}},
			Channels: []balance.Channel{{Column: c.Column, Role: balance.Block}},
		}
		all = append(all, in.Cautions(c.Time[0], c.Time[len(c.Time)-1])...)
	}
	return all
}
