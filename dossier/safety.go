package dossier

import (
	"bytes"
	"io/fs"
	"math"
	"path"
	"slices"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/history"
	"emberbank/material"
)

// SafetyName is the document of numbers behind the safety officer's page: each of them says there which results it was worked out
// from, and the page reads it there.
const SafetyName = "safety.json"

// SafetySchema is the first entry of safety.json.
const SafetySchema = "emberbank/safety/1"

// safety is what safety.json holds. What is not known is left out.
type safety struct {
	Schema   string        `json:"schema"`
	Receiver string        `json:"receiver"`
	Runs     []safeRun     `json:"runs"`
	Others   []string      `json:"runs_of_other_receivers"`
	Circuits []safeCircuit `json:"circuits"`
	Touch    safeTouch     `json:"touch"`
	Light    *safeLight    `json:"light,omitempty"`
	Media    []safeMedium  `json:"media"`
	Sources  []safeSource  `json:"sources"`
}

// counted is a run that counts for the safety page: its results, and its files as they are now.
type counted struct {
	*Result
	run      *bench.Run
	rows     *history.History
	cautions []warned
}

// origin names the column of a run's history.
func (c *counted) origin(column string) string { return c.Origin("history.csv") + " [" + column + "]" }

// peak is the largest value of a column and when it came; false: it has none.
func (c *counted) peak(column string) (value, at float64, ok bool) {
	col := c.rows.Column(column)
	if col == nil {
		return 0, 0, false
	}
	for i, v := range col.Values {
		if i < len(c.rows.Time) && maybe(v) != nil && maybe(c.rows.Time[i]) != nil && (!ok || v > value) {
			value, at, ok = v, c.rows.Time[i], true
		}
	}
	return value, at, ok
}

// counts finds the runs of the bench's receiver that have results, and the names of those of other receivers.
func (g *Gathered) counts(first *bench.Run) (all []counted, others []string) {
	for _, r := range g.Of("run") {
		run := g.Run(r.File)
		if run == nil {
			continue
		}
		if !sameBuild(run, first) {
			others = append(others, r.Name())
			continue
		}
		raw, err := fs.ReadFile(g.Root, path.Join(r.Folder, "history.csv"))
		if err != nil {
			continue
		}
		rows, err := account.ReadHistory(bytes.NewReader(raw))
		if err != nil {
			continue
		}
		all = append(all, counted{r, run, rows, r.cautions()})
	}
	return all, others
}

// sameBuild tells whether two runs are of one block with the same tubes.
func sameBuild(a, b *bench.Run) bool {
	x, y := &a.Problem.Receiver, &b.Problem.Receiver
	if x.Block != y.Block || len(x.Passes) != len(y.Passes) || len(x.Circuits) != len(y.Circuits) || (x.Window == nil) != (y.Window == nil) {
		return false
	}
	for i := range x.Passes {
		p, q := &x.Passes[i], &y.Passes[i]
		if p.At != q.At || p.Outer != q.Outer || p.Inner != q.Inner {
			return false
		}
	}
	return slices.EqualFunc(x.Media, y.Media, func(m, n material.Medium) bool { return m.Name == n.Name })
}

// safety works out safety.json and keeps it among the facts; nil: no run of the bench can be read.
func (g *Gathered) safety() (*tree, *bench.Run, []counted) {
	_, first := g.First()
	if first == nil {
		return nil, nil, nil
	}
	runs, others := g.counts(first)
	s := &safety{
		Schema: SafetySchema, Receiver: first.Problem.Receiver.Name, Runs: []safeRun{}, Others: append([]string{}, others...), Circuits: []safeCircuit{},
		Media: []safeMedium{}, Sources: sourcesOfSafety(),
	}
	for i := range runs {
		s.Runs = append(s.Runs, runs[i].stores())
	}
	for i := range first.Problem.Receiver.Circuits {
		s.Circuits = append(s.Circuits, circuitOf(first, i, runs))
	}
	s.Touch = touchOf(first, runs)
	s.Light = g.lightOf(first, runs)
	s.Media = mediaOf(first, runs)
	return g.fact(SafetyName, s), first, runs
}

// maybe is a number that may not be known: one that is none is left out.
func maybe(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

const (
	iceZero    = 273.15   // K
	atmosphere = 101325.0 // Pa
	boiling    = 373.15   // K, of water in the open, to a hundredth of a degree
)

// safeSource is where a kind of number comes from.
type safeSource struct {
	Of     string `json:"of"`
	Source string `json:"source"`
}

func sourcesOfSafety() []safeSource {
	return []safeSource{
		{"steam", "IAPWS-IF97, balance of energy"},
		{"what tubes bear", hazard.TubeSource},
		{"water shut in", hazard.TrappedSource},
		{"touch", hazard.TouchSource},
		{"light on eye and skin", hazard.LightSource},
		{"graphite in air", hazard.BurnsSource},
	}
}
