package bench

import (
	"fmt"
	"math"
	"path"
	"strings"

	"emberbank/block"
	"emberbank/film"
	"emberbank/heat"
	"emberbank/unit"
)

// runPlan is a run while it is being built.
type runPlan struct {
	r      *reader
	v      *value
	rec    *plan
	duty   *dutyPlan
	out    heat.Problem
	probes map[string]bool
	until  float64
}

// loadRun reads and builds a run file.
func (r *reader) loadRun(name string) *Run {
	f := r.open(name)
	if f == nil {
		return nil
	}
	if f.kind != "run" {
		fix := "name a file of kind run"
		switch f.kind {
		case "bench":
			fix = "name one of the bench's runs, or the bench's folder"
		case "study":
			fix = "name a file of kind run, or open one of the study's variants with --variant N, as its table counts them"
		}
		r.report(Problem{
			File: f.name, Line: f.root.Line, Column: f.root.Column, Field: "kind", Typed: f.kind,
			Message: fmt.Sprintf("the file is of kind %q, not a run", f.kind), Allowed: "run", Fix: fix,
		})
		return nil
	}
	r.loadBenchMaterials()
	v := r.readFile(f, runForm.laid(), "")
	p := &runPlan{r: r, v: v, probes: map[string]bool{}}
	if rec := r.part(v.get("receiver"), receiverForm.laid(), "receiver."); rec != nil {
		p.rec = r.buildReceiver(rec)
	}
	p.readings()
	if u := v.get("until"); u != nil {
		r.until, r.steady = u.number(0), u.is("steady")
	}
	var dutyValue *value
	if d := v.get("duty"); d != nil {
		dutyValue = r.part(d, dutyForm.laid(), "duty.")
	}
	if p.rec == nil { // its mistakes are told; look through the rest without it
		if dutyValue != nil {
			r.buildDuty(dutyValue, nil, nil)
		}
		p.times()
		return nil
	}
	if v.has("duty") && dutyValue == nil {
		return nil
	}
	p.duty = r.buildDuty(dutyValue, p.rec, p.probes)
	p.times()
	p.grid()
	p.out.Receiver, p.out.Duty = p.rec.out, p.duty.out.Over(p.until)
	p.keepFirst(f)
	p.films()
	p.rest()
	p.checkUses()
	r.lostPaths(f)
	if r.problems.Failed() {
		return nil
	}
	return p.finish(f)
}

// part reads what a run names: a file, or content in place.
func (r *reader) part(v *value, fm *form, root string) *value {
	if v == nil {
		return nil
	}
	if v.typ.kind == isMapping {
		return v
	}
	f := r.openFrom(path.Join(path.Dir(v.file), v.text), v)
	if f == nil {
		return nil
	}
	if f.kind != fm.name {
		r.wrong(v, fmt.Sprintf("that file is of kind %q", f.kind), "a file of kind "+fm.name, "name the right file")
		return nil
	}
	return r.readFile(f, fm, root)
}

// mostRows bounds the history.
const mostRows = 2_000_000

// times reads the run's length and its output.
func (p *runPlan) times() {
	u := p.v.get("until")
	p.out.Steady = u.is("steady")
	p.until = math.NaN()
	if u.isQuantity() {
		p.until = u.num
		p.out.Until = u.num
	}
	o := p.v.get("output")
	switch {
	case p.out.Steady:
		p.out.Output = []float64{0}
		if o != nil {
			p.r.doubt(o, "output times mean nothing for a steady state", "take output out")
		}
	case o.has("every"):
		every := o.get("every").num
		rows := p.until / every
		if rows > mostRows {
			p.r.wrong(o.get("every"), fmt.Sprintf("%.3g rows", rows), fmt.Sprintf("up to %d rows", mostRows), "give a longer distance")
			return
		}
		for k := 0; float64(k)*every < p.until*(1-1e-12); k++ {
			p.out.Output = append(p.out.Output, float64(k)*every)
		}
		p.out.Output = append(p.out.Output, p.until)
	case o.has("at"):
		p.out.Output = []float64{0}
		for i, t := range o.get("at").items() {
			if i == 0 && t.num == 0 {
				continue
			}
			if last := p.out.Output[len(p.out.Output)-1]; t.num <= last {
				p.r.wrong(t, "not after the time before it", "times that rise", "sort the times, each once")
				continue
			}
			p.inTime(t)
			p.out.Output = append(p.out.Output, t.num)
		}
	default:
		if p.until > 0 {
			for k := range 201 {
				p.out.Output = append(p.out.Output, p.until*float64(k)/200)
			}
		}
	}
	for i, t := range p.v.get("fields").items() {
		p.inTime(t)
		if n := len(p.out.FieldTimes); i > 0 && n > 0 && t.num <= p.out.FieldTimes[n-1] {
			p.r.wrong(t, "not after the time before it", "times that rise", "sort the times, each once")
			continue
		}
		p.out.FieldTimes = append(p.out.FieldTimes, t.num)
	}
	p.profiles()
}

// mostProfiles bounds the profiles of a run.
const mostProfiles = 10_000

// profiles reads the times of profiles; without any they are those of fields.
func (p *runPlan) profiles() {
	v := p.v.get("profiles")
	if p.out.Steady {
		if v != nil {
			p.r.doubt(v, "times of profiles mean nothing for a steady state, which always keeps its own", "take profiles out")
		}
		return
	}
	if e := v.get("every"); e != nil {
		if n := p.until / e.num; n > mostProfiles {
			p.r.wrong(e, fmt.Sprintf("%.3g profiles", n), fmt.Sprintf("up to %d profiles", mostProfiles), "give a longer distance")
			return
		}
		for k := 0; float64(k)*e.num < p.until*(1-1e-12); k++ {
			p.out.ProfileTimes = append(p.out.ProfileTimes, float64(k)*e.num)
		}
		p.out.ProfileTimes = append(p.out.ProfileTimes, p.until)
		return
	}
	if v != nil { // an empty list asks for none
		p.out.ProfileTimes = []float64{}
	}
	for _, t := range v.items() {
		p.inTime(t)
		if n := len(p.out.ProfileTimes); n > 0 && t.num <= p.out.ProfileTimes[n-1] {
			p.r.wrong(t, "not after the time before it", "times that rise", "sort the times, each once")
			continue
		}
		p.out.ProfileTimes = append(p.out.ProfileTimes, t.num)
	}
}

func (p *runPlan) inTime(t *value) {
	if !p.out.Steady && t.num > p.until*(1+1e-12) {
		p.r.wrong(t, "after the end of the run", "up to "+p.v.get("until").word(""), "shorten it, or let the run last longer")
	}
}

// mostCells bounds a given grid: about 8 GiB of state.
const mostCells = 40e6

func (p *runPlan) grid() {
	g := p.v.get("grid")
	out := &p.out.Grid
	out.Size = g.get("size").number(0)
	out.PerLayer = int(g.get("cells per layer").number(0))
	out.Refine = g.get("refine").number(0)
	if c := g.get("cells"); c != nil {
		n := 1.0
		for a, w := range axisWords {
			out.Counts[a] = int(c.get(w).number(0))
			n *= float64(out.Counts[a])
		}
		if f := out.Refine; f > 0 {
			n *= f * f * f
		}
		if n > mostCells {
			p.r.wrong(c, fmt.Sprintf("%.3g cells", n), fmt.Sprintf("up to %.3g cells", float64(mostCells)), "take fewer")
		}
	}
	if e := g.get("edges"); e != nil {
		reach := p.reach()
		for a, w := range axisWords {
			list := e.get(w)
			for i, x := range list.items() {
				if i > 0 && x.num-list.list[i-1].num < 1e-6 {
					p.r.wrong(x, "not above the edge before it", "edges that rise", "sort the edges, each once")
				}
				out.Lines[a] = append(out.Lines[a], x.num)
			}
			if n := len(out.Lines[a]); n > 1 && !list.partial && !p.rec.v.partial {
				if lo := reach.Min[a]; math.Abs(out.Lines[a][0]-lo) > 1e-6 {
					p.r.wrong(list.list[0], "the edges must begin where the body begins", mm(lo), "give this as the first edge")
				}
				if hi := reach.Max[a]; math.Abs(out.Lines[a][n-1]-hi) > 1e-6 {
					p.r.wrong(list.list[n-1], "the edges must end where the body ends", mm(hi), "give this as the last edge")
				}
			}
		}
	}
	if s := g.get("size"); s != nil {
		n := 1.0
		for a := range 3 {
			n *= math.Max(1, p.rec.out.Block.Max[a]/s.num*math.Max(1, out.Refine))
		}
		if n > mostCells {
			p.r.wrong(s, fmt.Sprintf("%.3g cells in the block", n), fmt.Sprintf("up to %.3g cells", float64(mostCells)), "take larger cells")
		}
	}
}

// reach is the box around everything.
func (p *runPlan) reach() block.Box {
	b := p.rec.ext
	for i := range p.rec.out.Parts {
		q := p.rec.out.Parts[i].Box
		for a := range q.Min {
			b.Min[a], b.Max[a] = min(b.Min[a], q.Min[a]), max(b.Max[a], q.Max[a])
		}
	}
	return b
}

// touchSource is shown with a caution about a hot surface.
const touchSource = "ISO 13732-1 gives, from memory, 65 to 70 °C for 1 s and 51 °C for 1 min on bare metal; 60 °C is common practice"

func (p *runPlan) rest() {
	p.out.Initial = p.v.get("initial").number(p.out.Duty.Ambient.At(0))
	p.out.Tolerance = p.v.get("tolerance").number(0)
	for _, part := range film.Parts() {
		if v := p.v.get("correlations", part); v != nil {
			if err := p.out.Laws.Set(part, v.text); err != nil {
				p.r.wrong(v, err.Error(), "", "choose another")
			}
		}
	}
	p.out.TouchLimit, p.out.TouchSource = 60+273.15, touchSource
	switch t := p.v.get("touch limit"); {
	case t.is("none"):
		p.out.TouchLimit, p.out.TouchSource = 0, ""
	case t != nil:
		p.out.TouchLimit, p.out.TouchSource = t.num, "stated in the run file; "+touchSource
	}
	p.r.accuracy = []string{"block mean", "heat to passes"}
	if len(p.out.Receiver.Passes) == 0 {
		p.r.accuracy = []string{"block mean", "stored"}
	}
	if of := p.v.get("accuracy", "of"); of != nil {
		p.r.accuracy = nil
		for _, n := range of.items() {
			name, _ := unit.ParseHeading(n.text)
			p.r.accuracy = append(p.r.accuracy, name)
		}
	}
}

// hottestAir is above every temperature measured in the open: the record is some 57 °C (from memory).
const hottestAir = 60 + 273.15

// checkUses looks at what concerns receiver, duty and run together.
func (p *runPlan) checkUses() {
	for _, v := range p.duty.v.get("events").items() {
		if at := v.get("at"); at != nil && at.num > p.until {
			p.r.doubt(at, fmt.Sprintf("%s is %q: after the end of the run, so it never comes", at.path, at.typed()),
				"let the run last longer than "+p.v.get("until").word("")+", or take the event out")
		}
	}
	if v := p.duty.v.get("ambient"); v.isQuantity() && v.num > hottestAir {
		p.r.doubt(v, fmt.Sprintf("%s is %q: hotter than any weather", v.path, v.typed()), "is it degF that was typed as degC?")
	}
	if p.out.Steady && len(p.duty.v.get("events").items())+len(p.duty.v.get("rules").items()) > 0 {
		p.r.doubt(p.v.get("until"), "events and rules do not count for a steady state: the duty at its start is taken", "give a time instead of steady to see them act")
	}
}

// finish gathers what the caller needs beside the problem.
func (p *runPlan) finish(f *file) *Run {
	run := &Run{
		Problem: p.out, Uncertain: p.r.inputsKnown(), Spreads: p.rec.spread, Inputs: p.r.inputs,
		Accuracy: p.r.accuracy, Dimensions: p.rec.dimensions(), Starts: p.r.cal.starts,
		Temperatures: p.r.temperatures,
	}
	run.Title = p.v.get("name").word("")
	if run.Title == "" {
		run.Title = p.out.Receiver.Name
		if n := p.duty.v.get("name"); n != nil {
			run.Title += ": " + n.text
		} else if p.rec.v.get("name") == nil {
			run.Title = strings.TrimSuffix(path.Base(f.name), path.Ext(f.name))
		}
	}
	run.Warnings, run.Sources = mediumWarnings(p.out.Receiver.Media)
	run.Sources = append(run.Sources, p.r.readings...)
	for _, q := range p.r.sorted() {
		if q.Warning {
			run.Warnings = append(run.Warnings, q.Place()+": "+q.Message)
		}
	}
	return run
}
