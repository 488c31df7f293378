package web

import (
	"bytes"
	"context"
	"path"
	"slices"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/history"
	"emberbank/shelf"
)

// bandsBody are half-widths at 95 % of a run's columns over time.
type bandsBody struct {
	Says    string         `json:"says" doc:"where they come from"`
	Time    []float64      `json:"time_s"`
	Columns []historyNamed `json:"columns" doc:"in the units of the run's columns; of temperatures, differences in K"`
}

// getBands returns what "emberbank run --uncertainty" has left for a run, where it was computed from the very files that the
// answer at hand was: else there are no rows.
func (d *Desk) getBands(_ context.Context, q *FileQuery) (*body[bandsBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	h, _, _ := r.rows(false)
	r.mu.Lock()
	loaded := r.loaded
	r.mu.Unlock()
	out := bandsBody{Time: []float64{}, Columns: []historyNamed{}}
	folder := bench.Results(q.Name)
	if loaded == nil || !d.madeOf(folder, loaded.Inputs) {
		return &body[bandsBody]{out}, nil
	}
	raw, _, err := d.readResult(path.Join(folder, "history-half-width.csv"))
	if err != nil {
		return &body[bandsBody]{out}, nil // the run was computed without
	}
	half, err := account.ReadHistory(bytes.NewReader(raw))
	if err != nil {
		return &body[bandsBody]{out}, nil
	}
	half.Columns = slices.DeleteFunc(half.Columns, func(c history.Column) bool { return h.Column(c.Name) == nil })
	rows := make([]int, len(half.Time))
	for i := range rows {
		rows[i] = i
	}
	out.Time, out.Columns = shownRows(half, rows, true)
	for i, c := range out.Columns {
		out.Columns[i].Unit = h.Column(c.Name).Quantity.Unit()
	}
	out.Says = "Grey about a line: what the inputs' uncertainty leaves open at 95 %, from " + folder + "."
	return &body[bandsBody]{out}, nil
}

// madeOf tells whether results were computed from files as they are, and from nothing else.
func (d *Desk) madeOf(folder string, inputs []bench.Input) bool {
	m, _ := d.manifest(folder)
	if m == nil || m.Stopped || len(m.Inputs) != len(inputs) {
		return false
	}
	for _, in := range inputs {
		if !slices.Contains(m.Inputs, shelf.Entry(in)) {
			return false
		}
	}
	return true
}
