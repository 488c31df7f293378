package web

import (
	"context"
	"encoding/json"
	"path"
	"slices"
	"sync"
	"time"

	"emberbank/bench"
	"emberbank/heat"
	"emberbank/study"

	"github.com/danielgtaylor/huma/v2"
)

type circuitsBody struct {
	Of      string      `json:"of" enum:"heat,steam,nothing"`
	Unit    string      `json:"unit" doc:"of the flows: W, or kg/s"`
	Answer  int         `json:"answer" doc:"of whose hottest block the range begins"`
	Serves  float64     `json:"serves_degC" doc:"below it the block cannot serve"`
	Hottest float64     `json:"hottest_degC" doc:"mean of the block"`
	Wanted  float64     `json:"wanted" doc:"the most that the load wants"`
	Even    []abilityOf `json:"even" doc:"a block that is as hot everywhere, the hottest first; one that has given for a while gives less"`
	Held    *heldFor    `json:"held,omitempty" doc:"where it was computed"`
}

type abilityOf struct {
	Block float64   `json:"block_degC"`
	Least []float64 `json:"least" doc:"with 1, 2, … open circuits, each at its least flow"`
	Most  []float64 `json:"most" doc:"each at the flow that gives most and still serves"`
}

// heldFor is for how long what is wanted can be held, with everything as hot as the block at its hottest, the light off and the
// cover shut.
type heldFor struct {
	Full    float64    `json:"full_degC"`
	Asked   float64    `json:"asked"`
	Seconds []*float64 `json:"held_s" doc:"by 1, 2, … open circuits"`
	Folder  string     `json:"folder" doc:"of the results that say so"`
	At      time.Time  `json:"at"`
	Changed []string   `json:"changed" doc:"files that are no longer as they were then"`
}

// able keeps what open circuits can give, of the run that was asked for last.
type able struct {
	mu   sync.Mutex // while it is computed
	of   *answer
	even []heat.Ability
}

func (k *able) ask(a *answer, serves, hottest float64) ([]heat.Ability, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == a {
		return k.even, nil
	}
	even, err := study.EvenCircuits(a.loaded.Problem, serves, hottest)
	if err == nil {
		k.of, k.even = a, even
	}
	return even, err
}

func (d *Desk) getCircuits(_ context.Context, q *FileQuery) (*body[circuitsBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	out := circuitsBody{Of: "nothing", Even: []abilityOf{}}
	r.mu.Lock()
	a, number := r.hand, r.number
	if a == nil || a.result == nil || a.result.Account == nil || a.result.Served == nil {
		r.mu.Unlock()
		return &body[circuitsBody]{out}, nil
	}
	r.mu.Unlock() // an answer that has come to its end does not change
	l := a.loaded.Problem.Duty.Load
	hottest := slices.Max(a.result.History.Column("block mean").Values)
	even, err := d.able.ask(a, a.result.Account.Serves, hottest)
	if err != nil {
		return nil, huma.Error422UnprocessableEntity(err.Error())
	}
	out.Of, out.Unit, out.Answer, out.Wanted = ofLoad(l.Steam), "W", number, slices.Max(l.Wanted.V)
	if l.Steam {
		out.Unit = "kg/s"
	}
	out.Serves, out.Hottest = a.result.Account.Serves-zeroCelsius, hottest-zeroCelsius
	for _, e := range even {
		out.Even = append(out.Even, abilityOf{e.Block - zeroCelsius, e.Least, e.Most})
	}
	out.Held = d.held(q.Name, l.Steam)
	return &body[circuitsBody]{out}, nil
}

// held reads from a run's results for how long its load can be held; nil: they do not say.
func (d *Desk) held(name string, steam bool) *heldFor {
	folder := bench.Results(name)
	r, ok := d.resultsIn(folder)
	if !ok {
		return nil
	}
	raw, _, err := d.readResult(path.Join(folder, "summary.json"))
	if err != nil {
		return nil
	}
	var doc struct {
		Circuits *struct {
			Of    string     `json:"of"`
			Full  float64    `json:"full_degC"`
			Heat  float64    `json:"asked_W"`
			Steam float64    `json:"asked_kg_per_s"`
			Held  []*float64 `json:"held_s"`
		} `json:"circuits_open"`
	}
	if json.Unmarshal(raw, &doc) != nil || doc.Circuits == nil || doc.Circuits.Of != ofLoad(steam) {
		return nil
	}
	c := doc.Circuits
	return &heldFor{c.Full, c.Heat + c.Steam, append([]*float64{}, c.Held...), folder, r.At, r.Changed}
}
