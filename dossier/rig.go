package dossier

import (
	"bytes"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/trial"
)

// rig is a trial that is to be done: the run that foretells it, the plan that it follows, and the description of its channels, as far
// as the bench has them.
type rig struct {
	g       *Gathered
	name    string
	file    string
	run     *bench.Run
	result  *Result // of the run; nil: none yet
	plan    *Result
	planned *bench.Plan
	setup   *bench.Following // nil: no description of a trial names this run
	trial   string           // the description's file
	rows    *history.History // of the run's results; nil: none
	half    *history.History // half-widths at 95 % of them; nil: none
}

// rigOf finds the trial that a sheet is about: of is a plan, a run or a trial of the bench; "" is the first plan, and without one the
// first run. nil: there is none that can be read.
func (g *Gathered) rigOf(of string) *rig {
	r := &rig{g: g}
	if of == "" {
		if plans := g.Of("plan"); len(plans) > 0 {
			of = plans[0].File
		} else {
			of, _ = g.First()
		}
	}
	if of == "" {
		return nil
	}
	switch kind, _ := bench.Kind(g.Root, of); kind {
	case "plan":
		p, problems := bench.LoadPlan(g.Root, of)
		if problems.Failed() || len(p.Runs) == 0 {
			return nil
		}
		r.planned, r.plan, r.file, r.name = p, g.Find(of), p.Runs[0].File, p.Name
	case "trial":
		r.trial, r.file = of, g.runOf(of)
	case "run":
		r.file = of
	default:
		return nil
	}
	if r.run = g.Run(r.file); r.run == nil {
		return nil
	}
	if r.name == "" {
		r.name = r.run.Title
	}
	if r.trial == "" {
		r.trial = g.trialOf(r.file)
	}
	if r.trial != "" {
		if s, problems := bench.LoadFollowing(g.Root, r.trial, bench.Options{}); !problems.Failed() {
			r.setup = s
		}
	}
	if r.result = g.Find(r.file); r.result != nil {
		r.rows = g.overTime(r.result.Origin("history.csv"))
		r.half = g.overTime(r.result.Origin("history-half-width.csv"))
	}
	return r
}

// overTime reads a table over time; nil where there is none.
func (g *Gathered) overTime(name string) *history.History {
	raw, err := fs.ReadFile(g.Root, name)
	if err != nil {
		return nil
	}
	h, err := account.ReadHistory(bytes.NewReader(raw))
	if err != nil {
		return nil
	}
	return h
}

// pairs are the runs that foretell trials: as descriptions say for the time while they run, and as matches say.
func (g *Gathered) pairs() (all [][2]string) {
	for _, k := range g.files("trial") {
		if s, problems := bench.LoadFollowing(g.Root, k, bench.Options{}); !problems.Failed() && s.Run != "" {
			all = append(all, [2]string{s.Run, k})
		}
	}
	for _, k := range g.files("match") {
		if m, problems := bench.LoadMatch(g.Root, k); !problems.Failed() {
			for _, t := range m.Trials {
				if t.Trial != "" {
					all = append(all, [2]string{t.Run, t.Trial})
				}
			}
		}
	}
	return all
}

// files are the bench's files of a kind, with results or without.
func (g *Gathered) files(kind string) (all []string) {
	for _, r := range g.Of(kind) {
		all = append(all, r.File)
	}
	for _, k := range g.Missing {
		if k.Kind == kind {
			all = append(all, k.File)
		}
	}
	slices.Sort(all)
	return all
}

// trialOf is the trial that a run foretells, runOf the run that foretells a trial; "": none is named.
func (g *Gathered) trialOf(run string) string {
	for _, p := range g.pairs() {
		if p[0] == run {
			return p[1]
		}
	}
	return ""
}

func (g *Gathered) runOf(trial string) string {
	for _, p := range g.pairs() {
		if p[1] == trial {
			return p[0]
		}
	}
	return ""
}

// sensor is a thermometer with a place.
type sensor struct {
	name    string
	column  string // of the logger's file; "": not said
	at      block.Point
	limit   float64 // K, at which to stop; NaN: none is known
	because string
}

// sensors lists the thermometers that have a place: of the run, of the plan, and of the trial's description.
func (r *rig) sensors() (all []sensor) {
	add := func(name string, at block.Point) *sensor {
		k := slices.IndexFunc(all, func(s sensor) bool { return s.name == name })
		if k < 0 {
			k = len(all)
			all = append(all, sensor{name: name, at: at, limit: math.NaN()})
		}
		return &all[k]
	}
	if r.setup != nil {
		for i := range r.setup.Setup.Sources {
			for _, c := range r.setup.Setup.Sources[i].Channels {
				if c.Role == trial.Body && c.Position != nil {
					add(c.Name, block.Point(*c.Position)).column = c.Column.Heading
				}
			}
		}
	}
	for i := range r.run.Problem.Probes {
		if p := &r.run.Problem.Probes[i]; p.Kind == heat.Sensor {
			add(p.Name, p.At)
		}
	}
	if r.planned != nil {
		for i := range r.planned.Sensors {
			if s := &r.planned.Sensors[i]; s.Probe != nil {
				add(s.Column, s.Probe.At)
			}
		}
	}
	for i := range all {
		r.stops(&all[i])
	}
	return all
}

// stops finds the lowest reading at which a sensor calls for a stop: what the description says, and the limits of the medium in which
// it sits.
func (r *rig) stops(s *sensor) {
	lower := func(T float64, because string) {
		if T > 0 && !(T >= s.limit) {
			s.limit, s.because = T, because
		}
	}
	rec := &r.run.Problem.Receiver
	if m := rec.MediumAt(&s.at); m >= 0 {
		lower(rec.Media[m].ServiceLimit, "service limit of "+rec.Media[m].Name)
		lower(rec.Media[m].OxidationOnset, rec.Media[m].Name+" burns away in air from there")
	}
	if r.setup == nil {
		return
	}
	for _, l := range r.setup.Limits {
		if (l.Of == s.name || l.Of == "") && !l.Below {
			why := l.Why
			if why == "" {
				why = "as the trial says"
			}
			lower(l.At, why)
		}
	}
}

// others are the channels without a place in the receiver, by their names; those of circuits are read in any trial with water.
func (r *rig) others() (all []string) {
	if r.setup == nil {
		return nil
	}
	for i := range r.setup.Setup.Sources {
		for _, c := range r.setup.Setup.Sources[i].Channels {
			if c.Position == nil && !strings.HasPrefix(c.Name, "circuit ") {
				all = append(all, c.Name)
			}
		}
	}
	return all
}

// runName is how a plan's tables call the run.
func (r *rig) runName() string { return strings.TrimSuffix(path.Base(r.file), path.Ext(r.file)) }
