package web

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"slices"
	"strings"

	"emberbank/bench"
	"emberbank/history"
	"emberbank/trial"

	"github.com/danielgtaylor/huma/v2"
)

type besideQuery struct {
	FileQuery
	PartQuery
	Other  string  `query:"other" required:"true" maxLength:"300" doc:"a run or a trial of the bench"`
	Begins float64 `query:"begins" doc:"s; where in the trial the run begins"`
}

type besideBody struct {
	Measured bool           `json:"measured" doc:"the other is a trial"`
	Title    string         `json:"title" doc:"of the other"`
	State    string         `json:"state" doc:"of the other run; done of a trial"`
	Time     []float64      `json:"time_s" doc:"of the other, over the run's time"`
	Columns  []historyNamed `json:"columns" doc:"of the other, named as the run names them"`
	Apart    apartBody      `json:"apart" doc:"the run less the other"`
	Only     []string       `json:"only" doc:"channels of a trial that the run has no column for"`
	Events   []markBody     `json:"events" doc:"of the other run"`
	Phases   []phaseBody    `json:"phases" doc:"of the trial"`
}

// apartBody is the difference of two histories over the times at which both have a row.
type apartBody struct {
	Drawn   bool          `json:"drawn" doc:"the two have few times in common: between rows, straight lines are compared"`
	Time    []float64     `json:"time_s"`
	Columns []apartColumn `json:"columns"`
}

type apartColumn struct {
	historyNamed
	Most   any `json:"most" doc:"where the two differ most, over the whole time"`
	MostAt any `json:"most_at_s"`
	Mean   any `json:"mean"`
	Half   any `json:"half" doc:"how well the difference is known at 95 %, at the most; null: not known"`
	Within any `json:"within" doc:"share of the times at which it is within that"`
}

type phaseBody struct {
	Name string  `json:"name"`
	Kind string  `json:"kind"`
	From float64 `json:"from_s"`
	To   float64 `json:"to_s"`
}

// beside is what is laid over a run.
type beside struct {
	besideBody
	h     history.History
	known map[string]*trial.Column // of a trial
}

func (d *Desk) getBeside(_ context.Context, q *besideQuery) (*body[besideBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	own, _, _ := r.rows(false)
	own = q.PartQuery.of(own)
	other, err := d.beside(q, &own)
	if err != nil {
		return nil, err
	}
	out := other.besideBody
	laid := q.PartQuery.of(other.h)
	out.Time, out.Columns = shownRows(&laid, q.PartQuery.thin(&laid), false)
	out.Apart = q.PartQuery.apart(&laid, &own, other.known)
	return &body[besideBody]{out}, nil
}

// beside finds the other run or trial.
func (d *Desk) beside(q *besideQuery, own *history.History) (*beside, error) {
	b := &beside{besideBody: besideBody{State: done, Only: []string{}, Events: []markBody{}, Phases: []phaseBody{}}}
	if kind, _ := d.kind(q.Other); kind == "trial" {
		t, err := d.trialOf(q.Other)
		if err != nil {
			return nil, err
		}
		h, known, only := t.Record.Like(own, q.Begins)
		b.h, b.known, b.Measured, b.Title, b.Only = *h, known, true, t.Name, append(b.Only, only...)
		for _, p := range t.Record.Phases {
			b.Phases = append(b.Phases, phaseBody{p.Name, p.Kind, p.From - q.Begins, p.To - q.Begins})
		}
		return b, nil
	}
	o, err := d.runs.of(q.Other)
	if err != nil {
		return nil, refused(err)
	}
	b.h, _, _ = o.rows(false)
	o.mu.Lock()
	defer o.mu.Unlock()
	b.State = o.state
	if o.loaded != nil {
		b.Title = o.loaded.Title
	}
	if o.hand != nil {
		b.Events = append(b.Events, o.hand.marks()...)
	}
	return b, nil
}

// apart is the run less what is laid over it. Differences of a trial say how well they are known.
func (p *PartQuery) apart(laid, own *history.History, known map[string]*trial.Column) apartBody {
	gaps, common := history.Gaps(laid, own)
	h := history.History{Time: common.Times}
	for _, g := range gaps {
		a, b := laid.Column(g.Name), own.Column(g.Name)
		c := history.Column{Name: g.Name, Quantity: g.Quantity, Values: make([]float64, len(common.Times))}
		for i, t := range common.Times {
			c.Values[i] = own.At(b, t) - laid.At(a, t)
		}
		h.Columns = append(h.Columns, c)
	}
	out := apartBody{Drawn: common.Drawn, Columns: []apartColumn{}}
	var columns []historyNamed
	out.Time, columns = shownRows(&h, p.thin(&h), true)
	for i, g := range gaps {
		one := apartColumn{
			historyNamed: columns[i], Most: number(g.Quantity.ShownApart(g.Most)), MostAt: number(g.At), Mean: number(g.Quantity.ShownApart(g.Mean)),
			Half: number(math.NaN()), Within: number(math.NaN()),
		}
		if c := known[g.Name]; c != nil {
			half, within := c.Within(laid, own, nil, g.Name, common.Times)
			one.Half, one.Within = number(g.Quantity.ShownApart(half)), number(within)
		}
		out.Columns = append(out.Columns, one)
	}
	return out
}

type trialHistoryQuery struct {
	FileQuery
	PartQuery
}

type trialHistoryBody struct {
	Title   string         `json:"title"`
	Time    []float64      `json:"time_s"`
	Columns []channelBody  `json:"columns"`
	Phases  []phaseBody    `json:"phases"`
	Gaps    []trial.Span   `json:"gaps" doc:"stretches without rows, s"`
	Notes   []string       `json:"notes"`
	Repairs []trial.Repair `json:"repairs"`
}

type channelBody struct {
	historyNamed
	Role string `json:"role"`
	Of   string `json:"of"`
}

func (d *Desk) getTrialHistory(_ context.Context, q *trialHistoryQuery) (*body[trialHistoryBody], error) {
	t, err := d.trialOf(q.Name)
	if err != nil {
		return nil, err
	}
	rec := t.Record
	out := trialHistoryBody{
		Title: t.Name, Columns: []channelBody{}, Phases: []phaseBody{},
		Gaps: append([]trial.Span{}, rec.Gaps...), Notes: append([]string{}, rec.Notes...), Repairs: append([]trial.Repair{}, rec.Repairs...),
	}
	for _, p := range rec.Phases {
		out.Phases = append(out.Phases, phaseBody(p))
	}
	h := q.PartQuery.of(rec.History)
	var columns []historyNamed
	out.Time, columns = shownRows(&h, q.PartQuery.thin(&h), false)
	for _, c := range columns {
		k := &rec.Columns[rec.Index(c.Name)]
		out.Columns = append(out.Columns, channelBody{c, k.Role.String(), k.Of})
	}
	return &body[trialHistoryBody]{out}, nil
}

type kindsBody struct {
	Files []kindBody `json:"files"`
}

type kindBody struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

func (d *Desk) getKinds(context.Context, *struct{}) (*body[kindsBody], error) {
	return &body[kindsBody]{kindsBody{d.kinds()}}, nil
}

// kinds are the files that say what kind they are, those that bench.yaml lists first.
func (d *Desk) kinds() []kindBody {
	out := []kindBody{}
	var listed []string
	if b, _ := bench.LoadBench(d.root.FS()); b != nil {
		listed = slices.Concat(b.Runs, b.Files)
	}
	for _, name := range slices.Concat(listed, d.descriptions()) {
		if slices.ContainsFunc(out, func(k kindBody) bool { return k.Name == name }) {
			continue
		}
		if kind, ok := d.kind(name); ok {
			out = append(out, kindBody{name, kind})
		}
	}
	return out
}

// mostDescriptions bounds how many files are looked into for their kind.
const mostDescriptions = 2000

// descriptions are the files of the bench that may say what kind they are, whether bench.yaml lists them or not.
func (d *Desk) descriptions() []string {
	var out []string
	_ = fs.WalkDir(d.root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil || name == ".": // what cannot be read is not shown
		case e.IsDir():
			if strings.HasPrefix(e.Name(), ".") || e.Name() == "results" || strings.Count(name, "/") > 3 {
				return fs.SkipDir
			}
		case describes(name):
			out = append(out, name)
		}
		if len(out) >= mostDescriptions {
			return fs.SkipAll
		}
		return nil
	})
	return out
}

// kind is what a file of the bench says it is; false: it is none that says so.
func (d *Desk) kind(name string) (string, bool) {
	if !mayOpen(name) || !describes(name) {
		return "", false
	}
	kind, problems := bench.Kind(d.root.FS(), name)
	return kind, !problems.Failed() && kind != ""
}

// trialOf returns a trial with what its loggers measured. It is kept while its files stay as they are.
func (d *Desk) trialOf(name string) (*bench.Trial, error) {
	if !mayOpen(name) {
		return nil, refused(errName)
	}
	t, problems := d.trials.of(d, name)
	if problems.Failed() {
		said := make([]error, len(problems))
		for i, p := range problems {
			said[i] = errors.New(p.String())
		}
		return nil, huma.Error422UnprocessableEntity("the trial "+name+" holds mistakes", said...)
	}
	return t, nil
}
