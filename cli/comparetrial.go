package cli

import (
	"fmt"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/history"
	"emberbank/unit"
)

// besideTrial sets a trial beside the run that is to show the same: channel by channel over time, and the heat flows to the
// water as maps. begins is where in the trial the run begins, s.
func besideTrial(t *bench.Trial, s *side, begins float64) (*account.Beside, error) {
	measured, columns, only := t.Record.Like(s.history, begins)
	if len(columns) == 0 {
		return nil, &failure{
			code: ExitInput, message: fmt.Sprintf("no channel of the trial %s has the name of a column of the run %s", t.Name, s.name),
			hint: "name the run's sensors and circuits as the trial names its channels and circuits",
		}
	}
	r := &account.Beside{
		Title: t.Name + ": measured, and computed by the run " + s.name, A: t.Name, B: s.name, Measured: true, Alike: -1,
		HistoryA: measured, HistoryB: s.history, OnlyA: only,
	}
	gaps, common := history.Gaps(measured, s.history)
	r.Common = common
	if len(common.Times) == 0 {
		return nil, &failure{code: ExitInput, message: "the trial and the run have no time in common", hint: "say where in the trial the run begins: --begins 10 min"}
	}
	bands, err := readBands(s.dir)
	if err != nil {
		return nil, err
	}
	for _, g := range gaps {
		one := account.BesideColumn{Gap: g, Of: g.Name}
		one.Half, one.Within = columns[g.Name].Within(measured, s.history, bands, g.Name, common.Times)
		r.Columns = append(r.Columns, one)
	}
	words := "Known at 95 %: the sensors and their noise, as the trial describes them"
	if bands != nil {
		words += ", and the bands of the run's inputs (--uncertainty)"
	} else {
		words += "; the run states no bands (--uncertainty), so what its inputs leave open is not in it"
	}
	r.Notes = append(r.Notes, words+". A trial that the run was matched to says little about the run: ask one that was set aside.")
	over, err := readComputed(s.dir)
	if err != nil {
		return nil, err
	}
	maps, note := mapped(t, over)
	r.Maps = maps
	if note != "" {
		r.Notes = append(r.Notes, note)
	}
	return r, nil
}

// beginning reads --begins, in s.
func beginning(text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	q, err := unit.Parse(text, unit.Time)
	if err != nil {
		return 0, &failure{code: ExitUsage, message: "--begins is " + text, err: err, hint: `give a time, such as "10 min"`}
	}
	return q.Value, nil
}
