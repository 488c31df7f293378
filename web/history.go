package web

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"emberbank/history"

	"github.com/danielgtaylor/huma/v2"
)

// historyApi lays what is asked of curves over time.
func (d *Desk) historyApi(a huma.API) {
	huma.Get(a, "/api/run/history", d.getHistory, named("history", "Columns of a run's history, thinned so that peaks stay"))
	huma.Get(a, "/api/run/beside", d.getBeside, named("beside", "Another run or a trial on the axes of a run, and the difference"))
	huma.Get(a, "/api/run/bands", d.getBands, named("bands", "How far a run's columns are left open by its inputs, over time"))
	huma.Get(a, "/api/trial/history", d.getTrialHistory, named("trial-history", "What a trial's loggers measured, thinned so that peaks stay"))
	huma.Get(a, "/api/kinds", d.getKinds, named("kinds", "The bench's files with their kinds, such as run or trial"))
}

// PartQuery is which columns, which stretch of time and how many rows are wanted.
type PartQuery struct {
	Columns string  `query:"columns" maxLength:"16000" doc:"names, with commas between; none: all"`
	From    float64 `query:"from" doc:"s"`
	To      float64 `query:"to" doc:"s; 0: the end"`
	Points  int     `query:"points" default:"2000" minimum:"10" maximum:"200000" doc:"about so many rows at most"`
}

type historyQuery struct {
	FileQuery
	PartQuery
	Behind bool    `query:"behind" doc:"of the answer that is being computed behind the one at hand, as far as it has got; none: no rows"`
	Around float64 `query:"around" default:"-1" doc:"s; from 0 on: the rows nearest to this time, as many as points says, every one of them"`
}

type historyBody struct {
	Answer  int            `json:"answer"`
	Coarse  bool           `json:"coarse" doc:"the answer is a coarse one"`
	Time    []float64      `json:"time_s"`
	Columns []historyNamed `json:"columns"`
}

type historyNamed struct {
	Name   string            `json:"name"`
	Unit   string            `json:"unit"`
	Values []json.RawMessage `json:"values" doc:"numbers; null where there is none"`
}

func (d *Desk) getHistory(_ context.Context, q *historyQuery) (*body[historyBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	h, number, coarse := r.rows(q.Behind)
	out := historyBody{Answer: number, Coarse: coarse, Time: []float64{}}
	h = q.PartQuery.of(h)
	keep := func() []int { return q.PartQuery.thin(&h) }
	if q.Around >= 0 {
		keep = func() []int { return around(h.Time, q.Around, q.Points) }
	}
	out.Time, out.Columns = shownRows(&h, keep(), false)
	return &body[historyBody]{out}, nil
}

// rows is what is known of a run over time, or of the answer behind it, and which answer that is. What is returned does not
// change any more.
func (r *run) rows(behind bool) (h history.History, number int, coarse bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	a := r.hand
	if behind {
		if a = r.growing; a == r.hand {
			a = nil
		}
	}
	if a == nil {
		return h, r.number, false
	}
	return history.History{Time: a.h.Time, Columns: slices.Clone(a.h.Columns)}, r.number, a.coarse // rows that come are put behind these
}

// of is a history with the wanted columns alone, in its own order.
func (p *PartQuery) of(h history.History) history.History {
	if p.Columns == "" {
		return h
	}
	wanted := strings.Split(p.Columns, ",")
	h.Columns = slices.DeleteFunc(slices.Clone(h.Columns), func(c history.Column) bool { return !slices.Contains(wanted, c.Name) })
	return h
}

// thin returns the rows to show of all columns of a history.
func (p *PartQuery) thin(h *history.History) []int {
	values := make([][]float64, len(h.Columns))
	for i := range h.Columns {
		values[i] = h.Columns[i].Values
	}
	return thinned(h.Time, values, p.From, p.To, p.Points)
}

// around returns so many rows about a time.
func around(t []float64, at float64, n int) []int {
	i := sort.SearchFloat64s(t, at)
	from := max(0, min(i-n/2, len(t)-n))
	var rows []int
	for k := from; k < min(from+n, len(t)); k++ {
		rows = append(rows, k)
	}
	return rows
}

// shownRows is some rows of a history in the units in which files show them; apart: the values are differences.
func shownRows(h *history.History, rows []int, apart bool) (times []float64, columns []historyNamed) {
	times, columns = make([]float64, len(rows)), make([]historyNamed, len(h.Columns))
	for k, row := range rows {
		times[k] = h.Time[row]
	}
	for i := range h.Columns {
		c := &h.Columns[i]
		n := historyNamed{Name: c.Name, Unit: c.Quantity.Unit(), Values: make([]json.RawMessage, len(rows))}
		if apart {
			n.Unit = c.Quantity.Apart()
		}
		for k, row := range rows {
			if apart {
				n.Values[k] = number(c.Quantity.ShownApart(c.Values[row]))
			} else {
				n.Values[k] = number(c.Quantity.Shown(c.Values[row]))
			}
		}
		columns[i] = n
	}
	return times, columns
}

// number writes a number to seven digits, or null.
func number(x float64) json.RawMessage {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return json.RawMessage("null")
	}
	return json.RawMessage(formatted(x))
}

func formatted(x float64) string { return strconv.FormatFloat(x, 'g', 7, 64) }
