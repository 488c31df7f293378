package web

import (
	"context"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"

	"github.com/danielgtaylor/huma/v2"
)

type runBody struct {
	Moved
	Title    string          `json:"title"`
	Cells    int             `json:"cells"`
	Drawn    bool            `json:"drawn" doc:"the answer at hand has come to its end, so that its pictures can be asked for; sections show before that what there is"`
	Sentence string          `json:"sentence" doc:"what happens, in words"`
	Cautions []cautionBody   `json:"cautions"`
	Warnings []string        `json:"warnings"`
	Columns  []columnBody    `json:"columns" doc:"of the history"`
	Events   []markBody      `json:"events"`
	Size     [3]float64      `json:"size_m" doc:"of the whole receiver, along depth, width and height"`
	Origin   [3]float64      `json:"origin_m" doc:"its corner; the block begins at zero"`
	Block    [3]float64      `json:"block_m"`
	Passes   []passBody      `json:"passes"`
	Problems []bench.Problem `json:"problems"`
	Sensors  []sensorBody    `json:"sensors" doc:"places at which the run reads, with their numbers on the drawing; their columns bear their names"`
	Failure  string          `json:"failure,omitempty"`
}

type columnBody struct {
	Name string `json:"name"`
	Unit string `json:"unit"`
}

type passBody struct {
	Name  string     `json:"name"`
	Along string     `json:"along" enum:"depth,width,height"`
	At    [3]float64 `json:"at_m"`
}

func (d *Desk) getRun(_ context.Context, q *FileQuery) (*body[runBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	out := runBody{
		Moved: r.moved(), Failure: r.failure, Problems: append([]bench.Problem{}, r.problems...), Cautions: []cautionBody{}, Warnings: []string{},
		Columns: []columnBody{}, Events: []markBody{}, Passes: []passBody{}, Sensors: []sensorBody{},
	}
	if r.loaded != nil {
		out.shape(r.loaded)
	}
	if r.hand != nil {
		out.answered(r.hand)
	}
	return &body[runBody]{out}, nil
}

// shape says what the receiver's drawing needs.
func (b *runBody) shape(loaded *bench.Run) {
	b.Title = loaded.Title
	rec := &loaded.Problem.Receiver
	low, high := rec.Block.Min, rec.Block.Max
	for _, part := range rec.Parts {
		for a := range 3 {
			low[a], high[a] = min(low[a], part.Box.Min[a]), max(high[a], part.Box.Max[a])
		}
	}
	for a := range 3 {
		b.Origin[a], b.Size[a], b.Block[a] = low[a], high[a]-low[a], rec.Block.Max[a]-rec.Block.Min[a]
	}
	for _, s := range sensorsOf(loaded) {
		b.Sensors = append(b.Sensors, sensorBody{s.Number, s.Name, s.At})
	}
	for _, p := range rec.Passes {
		b.Passes = append(b.Passes, passBody{Name: p.Name, Along: p.Axis.String(), At: p.At})
	}
}

// answered says what is at hand of an answer.
func (b *runBody) answered(a *answer) {
	b.Cells = a.cells
	for _, c := range a.h.Columns {
		b.Columns = append(b.Columns, columnBody{c.Name, c.Quantity.Unit()})
	}
	b.Events = append(b.Events, a.marks()...)
	r := a.result
	if r == nil {
		r = &heat.Result{History: a.h}
	}
	b.Sentence = account.Sentence(r)
	for _, c := range account.Dangers(r.Cautions) {
		b.Cautions = append(b.Cautions, cautionOf(&c, &a.loaded.Problem.Receiver))
	}
	b.Drawn = a.result != nil
	b.Warnings = append(b.Warnings, r.Warnings...)
}

// answerOf is the last answer that has come to its end; nothing changes it any more.
func (d *Desk) answerOf(name string) (*answer, error) {
	r, err := d.runs.of(name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.hand == nil || r.hand.result == nil {
		return nil, huma.Error404NotFound("this is drawn when the first answer is there")
	}
	return r.hand, nil
}
