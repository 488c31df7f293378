package cli

import (
	"fmt"
	"math"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
)

// besideTrial sets a trial beside the run that is to show the same: channel by channel over time, and the heat flows to the
// water as maps. begins is where in the trial the run begins, s.
func besideTrial(t *bench.Trial, s *side, begins float64) (*dossier.Beside, error) {
	measured, columns, only := measuredLike(t.Record, s.history, begins)
	if len(columns) == 0 {
		return nil, &failure{
			code: ExitInput, message: fmt.Sprintf("no channel of the trial %s has the name of a column of the run %s", t.Name, s.name),
			hint: "name the run's sensors and circuits as the trial names its channels and circuits",
		}
	}
	r := &dossier.Beside{
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
		one := dossier.BesideColumn{Gap: g, Of: g.Name}
		one.Half, one.Within = knownWithin(columns[g.Name], measured, s.history, bands, g.Name, common.Times)
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

// measuredLike is a trial's record under the names of the run's columns, over the run's time; only lists what the run has
// no column for.
func measuredLike(rec *trial.Record, run *history.History, begins float64) (h *history.History, columns map[string]*trial.Column, only []string) {
	h, columns = &history.History{}, map[string]*trial.Column{}
	for _, t := range rec.History.Time {
		h.Time = append(h.Time, t-begins)
	}
	for i := range rec.Columns {
		c := &rec.Columns[i]
		name := c.Name
		if run.Column(name) == nil {
			switch c.Role {
			case trial.Outlet:
				name = "circuit " + c.Of + " outlet"
			case trial.Flow:
				name = "circuit " + c.Of + " flow"
			default:
			}
		}
		if like := run.Column(name); like == nil || like.Quantity != c.Quantity || columns[name] != nil {
			only = append(only, c.Name)
			continue
		}
		columns[name] = c
		h.Columns = append(h.Columns, history.Column{Name: name, Quantity: c.Quantity, Values: rec.History.Columns[i].Values})
	}
	return h, columns, only
}

// knownWithin is how well a difference is known at 95 %, at the most over time, and the share of times at which it is within
// that. bands are those of the run's inputs; nil: there are none.
func knownWithin(c *trial.Column, measured, run, bands *history.History, name string, times []float64) (half, within float64) {
	a, b := measured.Column(name), run.Column(name)
	var band *history.Column
	if bands != nil {
		band = bands.Column(name)
	}
	n, inside := 0, 0
	for _, t := range times {
		v := measured.At(a, t)
		d := run.At(b, t) - v
		if math.IsNaN(d) {
			continue
		}
		u := 1.96 * math.Hypot(c.Systematic(v), c.Noise)
		if band != nil {
			if w := bands.At(band, t); !math.IsNaN(w) {
				u = math.Hypot(u, w)
			}
		}
		half = math.Max(half, u)
		n++
		if math.Abs(d) <= u {
			inside++
		}
	}
	if n == 0 || half == 0 {
		return math.NaN(), math.NaN()
	}
	return half, float64(inside) / float64(n)
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
