package bench

import (
	"io/fs"
	"path"
	"strings"

	"emberbank/history"
	"emberbank/receiver"
	"emberbank/trial"
	"emberbank/unit"
)

// Following is a trial's description for the time while the trial runs: its loggers' files are not read.
type Following struct {
	Name        string
	Setup       trial.Setup
	Files       [][]string         // of each logger, paths in the fs.FS; they need not be there yet
	Receiver    *receiver.Receiver // nil where none is named
	Uptakes     []Uptake
	Run         string  // file of kind run, "" none
	Match       string  // folder or match.json, a path in the fs.FS; "" none
	Begins      float64 // s
	AsStated    bool    // the run's duty is left as it is
	Within      float64 // K, half-width at 95 %; NaN where nothing is said
	Targets     []Target
	Limits      []Limit // those of the description
	FalseAlarms float64
	Over        float64 // s
	Memory      float64 // s; 0: found
	LostAfter   float64 // s; 0: found
	Warnings    []string
}

// Target is a reading that is waited for.
type Target struct {
	Of      string
	Reaches float64 // SI
}

// Limit is a reading that must not be passed.
type Limit struct {
	Of    string  // a channel, or "" for all temperatures in or on the receiver
	At    float64 // SI
	Below bool    // readings below it are too low, else those above too high
	Near  float64 // SI; 0: the follower's own
	Why   string
}

// LoadFollowing reads a trial's description without its loggers' files. After a mistake it is nil.
func LoadFollowing(fsys fs.FS, name string, opt Options) (*Following, Problems) {
	r := newReader(fsys, opt)
	p, _ := r.describeTrial(name)
	if p == nil {
		return nil, r.sorted()
	}
	out := p.follow()
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	for _, q := range r.sorted() {
		if q.Warning {
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out, nil
}

// follow reads what is watched while the trial runs.
func (p *trialPlan) follow() *Following {
	v := p.v.get("follow")
	out := &Following{
		Name: p.setup.Name, Setup: p.setup, Begins: v.get("begins").number(0), AsStated: v.get("inputs").is("as stated"), Within: v.get("within").must(),
		FalseAlarms: v.get("false alarms").number(0.01), Over: v.get("over").number(8 * 3600),
		Memory: v.get("memory").number(0), LostAfter: v.get("lost after").number(0),
	}
	if p.rec != nil {
		out.Receiver = &p.rec.out
	}
	dir := path.Dir(p.v.file)
	for i := range p.setup.Sources {
		var files []string
		for _, f := range p.loggers[i].get("file").items() {
			files = append(files, path.Join(dir, strings.ReplaceAll(f.text, "\\", "/")))
		}
		out.Files = append(out.Files, files)
	}
	for _, u := range p.v.get("uptake").items() {
		factor := u.get("share").number(1)
		if u.has("area") {
			factor *= u.get("area").number(0)
		}
		out.Uptakes = append(out.Uptakes, Uptake{u.get("of").word(""), factor, u.get("within").number(0) / half95})
	}
	if m := v.get("match"); m != nil {
		out.Match = path.Join(dir, strings.ReplaceAll(m.text, "\\", "/"))
		if !v.has("run") {
			p.r.wrong(m, "its parameters belong to a run, and none is named", "match with run", "name the run that computes this trial")
		}
	}
	if rv := v.get("run"); rv != nil {
		out.Run = path.Join(dir, strings.ReplaceAll(rv.text, "\\", "/"))
		sub := newReader(p.r.fsys, Options{})
		run := sub.loadRun(out.Run)
		p.r.takeOver(sub)
		if run != nil && run.Problem.Steady {
			p.r.wrong(rv, "a steady state has no course to hold a trial against", "a run over time", `give it "until: 2 h"`)
		}
	}
	for _, t := range v.get("targets").items() {
		if c := p.named(t.get("of")); c != nil {
			if x, ok := p.reading(t.get("reaches"), c); ok {
				out.Targets = append(out.Targets, Target{c.Name, x})
			}
		}
	}
	for _, l := range v.get("limits").items() {
		p.limit(out, l)
	}
	return out
}

// named finds the channel of a place.
func (p *trialPlan) named(v *value) *trial.Channel {
	if v == nil {
		return nil
	}
	var names []string
	for i := range p.setup.Sources {
		for k := range p.setup.Sources[i].Channels {
			c := &p.setup.Sources[i].Channels[k]
			if c.Name == v.text {
				return c
			}
			names = append(names, c.Name)
		}
	}
	p.r.wrong(v, "no channel has this place", quoted(names), wordFix(v.text, names))
	return nil
}

// reading checks that a reading fits a channel; in SI.
func (p *trialPlan) reading(v *value, c *trial.Channel) (float64, bool) {
	if v == nil {
		return 0, false
	}
	fits := map[unit.Dimension]history.Quantity{
		unit.Temperature: history.Temperature, unit.MassFlow: history.MassFlow, unit.VolumeFlow: history.MassFlow, unit.Power: history.HeatFlow,
		unit.HeatFlux: history.Irradiance, unit.Pressure: history.Pressure, unit.Speed: history.Speed,
	}
	if q, ok := fits[v.typ.dim]; !ok || q != c.Quantity {
		p.r.wrong(v, c.Name+" measures something else", "a reading of "+quantityName(c.Quantity), "give it in a unit of "+quantityName(c.Quantity))
		return 0, false
	}
	if v.typ.dim == unit.VolumeFlow {
		return v.num * 1000, true // kg/m³
	}
	return v.num, true
}

func (p *trialPlan) limit(out *Following, v *value) {
	above, below := v.get("above"), v.get("below")
	if (above == nil) == (below == nil) {
		p.r.problemAt(v, v.path+" needs exactly one of above and below", "above or below", `write for example "above: 450 degC"`)
		return
	}
	x := above
	if x == nil {
		x = below
	}
	l := Limit{Below: below != nil, Why: v.get("why").word("")}
	c := &trial.Channel{Name: "a temperature", Quantity: history.Temperature}
	if !v.get("of").is("temperatures") {
		if c = p.named(v.get("of")); c == nil {
			return
		}
		l.Of = c.Name
	}
	at, ok := p.reading(x, c)
	if !ok {
		return
	}
	l.At = at
	if n := v.get("near"); n != nil {
		constant, relative := p.error(n, c)
		zeroAt := 0.0
		if c.Quantity == history.Temperature {
			zeroAt = 273.15
		}
		l.Near = constant + relative*max(at-zeroAt, zeroAt-at)
	}
	out.Limits = append(out.Limits, l)
}
