package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"io/fs"
	"math"
	"slices"
	"sync"

	"emberbank/account"
	"emberbank/balance"
	"emberbank/bench"
	"emberbank/logbook"

	"github.com/danielgtaylor/huma/v2"
)

// told is what is told of a trial beside its record, once for as long as its files stay as they are.
type told struct {
	of    *bench.Trial
	heat  *balance.Report // nil where nothing can be balanced
	flows []logbook.Flow
	notes []string
}

// tolds keeps what was told last of trials, and what was seen in loggers' files.
type tolds struct {
	mu    sync.Mutex // held while one is made: two at once would only wait for each other
	all   []*told
	looks []*lookedAt
}

func (d *Desk) trialsAPI(a huma.API) {
	huma.Get(a, "/api/trial", d.getTrial, named("trial", "What a trial measured: its record, what was mended, its phases and the heat of each"))
	huma.Get(a, "/api/trial/mapping", d.getMapping, named("trial-mapping", "What the loggers' files hold, what each column is guessed to be, and how the description reads it"))
	d.loggersAPI(a)
	d.followAPI(a)
}

// of returns what is told of a trial.
func (ts *tolds) of(t *bench.Trial) *told {
	ts.mu.Lock()
	defer ts.mu.Unlock()
	for _, one := range ts.all {
		if one.of == t {
			return one
		}
	}
	one := &told{of: t, flows: logbook.ToWater(t)}
	one.heat, one.notes = logbook.Reduce(t)
	ts.all = append([]*told{one}, ts.all...)
	if len(ts.all) > mostTrials {
		ts.all = ts.all[:mostTrials]
	}
	return one
}

// mayRead says why a description may not be read.
func (d *Desk) mayRead(name string) error {
	if !mayOpen(name) || !describes(name) {
		return errName
	}
	if _, err := fs.Stat(d.root.FS(), name); err != nil {
		return errNoFile
	}
	return nil
}

type trialBody struct {
	Name     string              `json:"trial"`
	Record   *logbook.RecordJSON `json:"record" doc:"null where the files hold mistakes"`
	Heat     json.RawMessage     `json:"heat" doc:"as balance.json has it; null where nothing can be balanced"`
	Budgets  [][]budgetBody      `json:"budgets" doc:"of each phase: where the uncertainty of each of its heats comes from"`
	Flows    []flowBody          `json:"flows" doc:"heat flow to the water of each drain, with its half-width at 95 %"`
	ByHand   bool                `json:"phases_by_hand"`
	Notes    []string            `json:"notes"`
	Problems []bench.Problem     `json:"problems"`
}

type budgetBody struct {
	Result string      `json:"result"`
	Rows   []shareBody `json:"rows"`
}

type shareBody struct {
	Name  string  `json:"name"`
	Share float64 `json:"share" doc:"of the variance; all add up to one"`
}

func (d *Desk) getTrial(_ context.Context, q *FileQuery) (*body[trialBody], error) {
	if err := d.mayRead(q.Name); err != nil {
		return nil, refused(err)
	}
	loaded, problems := d.trials.of(d, q.Name)
	out := trialBody{
		Name: q.Name, Budgets: [][]budgetBody{}, Flows: []flowBody{}, Notes: []string{}, Problems: append([]bench.Problem{}, problems...),
		Heat: json.RawMessage("null"),
	}
	if loaded == nil {
		return &body[trialBody]{out}, nil
	}
	r, t := logbook.Document(loaded), d.tolds.of(loaded)
	out.Record, out.ByHand, out.Notes = &r, len(r.Phases) > 0, append(out.Notes, t.notes...)
	for i := range t.flows {
		out.Flows = append(out.Flows, flowOf(&t.flows[i]))
	}
	if t.heat == nil {
		return &body[trialBody]{out}, nil
	}
	var b bytes.Buffer
	if err := account.WriteBalanceJSON(&b, t.heat); err != nil {
		return nil, refused(err)
	}
	out.Heat = b.Bytes()
	for i := range t.heat.Phases {
		out.Budgets = append(out.Budgets, budgetsOf(&t.heat.Phases[i]))
	}
	return &body[trialBody]{out}, nil
}

// leastShare is the share of a variance below which a row of a budget is not shown.
const leastShare = 0.005

// budgetsOf are a phase's budgets, the largest shares first.
func budgetsOf(p *balance.PhaseReport) []budgetBody {
	out := []budgetBody{}
	for _, r := range []*balance.Result{p.Water, p.In, p.Stored, p.Lost, p.Closure} {
		if r == nil {
			continue
		}
		b := budgetBody{Result: r.Name, Rows: []shareBody{}}
		for _, row := range r.Rows {
			name := row.Input
			if row.Component != "" && row.Component != row.Input {
				name += ": " + row.Component
			}
			if math.Abs(row.Share) >= leastShare {
				b.Rows = append(b.Rows, shareBody{name, row.Share})
			}
		}
		slices.SortStableFunc(b.Rows, func(a, c shareBody) int { return cmp.Compare(math.Abs(c.Share), math.Abs(a.Share)) })
		out = append(out, b)
	}
	return out
}

type flowBody struct {
	Time []float64         `json:"time_s"`
	Heat []json.RawMessage `json:"heat_W"`
	Half []json.RawMessage `json:"half_width_W"`
}

// flowPoints is about how many rows of a drain's heat flow are told.
const flowPoints = 400

func flowOf(f *logbook.Flow) flowBody {
	out := flowBody{Time: []float64{}, Heat: []json.RawMessage{}, Half: []json.RawMessage{}}
	for _, row := range thinned(f.Time, [][]float64{f.Heat}, 0, 0, flowPoints) {
		out.Time, out.Heat, out.Half = append(out.Time, f.Time[row]), append(out.Heat, number(f.Heat[row])), append(out.Half, number(f.Half[row]))
	}
	return out
}
