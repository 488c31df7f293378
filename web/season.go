package web

import (
	"context"
	"encoding/json"
	"path"
	"time"

	"emberbank/account"
	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
)

type seasonBody struct {
	seasonOf
	Problems []bench.Problem       `json:"problems" doc:"of its files; where they hold none, or nobody has looked, there are none"`
	Folder   string                `json:"folder,omitempty" doc:"of the results; none: it was not computed"`
	At       *time.Time            `json:"at,omitempty"`
	Changed  []string              `json:"changed" doc:"files that are no longer as they were then"`
	Doc      json.RawMessage       `json:"doc,omitempty" doc:"season.json"`
	Columns  []account.TableColumn `json:"columns" doc:"of days.csv; none where the fast model has refused to answer"`
	Days     [][]json.RawMessage   `json:"days" doc:"its rows: numbers, null where there is none"`
}

func (d *Desk) getSeason(_ context.Context, q *FileQuery) (*body[seasonBody], error) {
	if kind, ok := d.kind(q.Name); !ok || kind != "season" {
		return nil, refused(errNoFile)
	}
	out := seasonBody{Problems: []bench.Problem{}, Changed: []string{}, Columns: []account.TableColumn{}, Days: [][]json.RawMessage{}}
	out.Name = q.Name
	var ok bool
	if out.Title, out.Run, ok = bench.SeasonNames(d.root.FS(), q.Name); !ok {
		_, problems := bench.LoadSeason(d.root.FS(), q.Name)
		out.Title, out.Problems = path.Base(q.Name), append(out.Problems, problems...)
	}
	folder := bench.Results(q.Name)
	r, ok := d.resultsIn(folder)
	if !ok {
		return &body[seasonBody]{out}, nil
	}
	raw, _, err := d.readResult(path.Join(folder, "season.json"))
	if err != nil || !json.Valid(raw) {
		return &body[seasonBody]{out}, nil
	}
	out.Folder, out.At, out.Changed, out.Doc = folder, &r.At, r.Changed, raw
	f, _, err := d.openResult(path.Join(folder, "days.csv"))
	if err != nil {
		return &body[seasonBody]{out}, nil // it was refused
	}
	defer f.Close()
	columns, rows, err := account.ReadTable(f)
	if err != nil {
		return nil, huma.Error422UnprocessableEntity("the days of " + folder + " cannot be read: " + err.Error())
	}
	out.Columns = append(out.Columns, columns...)
	for _, row := range rows {
		one := make([]json.RawMessage, len(row))
		for i, v := range row {
			one[i] = number(v)
		}
		out.Days = append(out.Days, one)
	}
	return &body[seasonBody]{out}, nil
}
