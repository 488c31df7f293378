package bench

import (
	"fmt"
	"io/fs"
	"maps"
	"math"
	"path"
	"slices"
	"strings"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/unit"
)

// Plan is a plan file with the runs that it names, checked.
type Plan struct {
	Name       string
	Runs       []PlanRun
	Parameters []MatchParameter
	Sensors    []PlanSensor
	Loggers    map[string]PlanSize // standard uncertainty that a logger's sensors share
	Every      float64             // s; 0: not said
	MayCost    float64             // 1
	Lasts      float64             // s; 0: not said
	ModelError []PlanSize          // standard deviation by kind of quantity; none: not said
	Over       float64             // s; 0: not said
	Alike      float64             // 1
	Target     *PlanTarget
	Propose    bool
	Lattice    [3]int // all zero: not said
	More       []PlanSensor
	Longer     []PlanLonger
	Flows      []PlanFlow
	Cover      []PlanCover
	Inputs     []Input
	Warnings   []string
}

// PlanRun is one run that is planned.
type PlanRun struct {
	Name string // the file's, without its ending
	File string // path in the fs.FS
}

// PlanSize is an uncertainty with its kind of quantity.
type PlanSize struct {
	Dimension unit.Dimension
	Value     float64 // SI
}

// PlanSensor is one column that will be measured. Sizes are standard deviations in SI, 0 where nothing is said.
type PlanSensor struct {
	Column                 string
	Probe                  *heat.Probe    // at a place of its own; nil: a column that the runs have
	Dimension              unit.Dimension // of the errors
	Noise, Offset, Lasting float64
	Logger                 string
}

// PlanTarget is the end of the charge.
type PlanTarget struct {
	Column  string
	Reaches float64 // K
}

// PlanLonger makes the stretch after an event longer.
type PlanLonger struct {
	After string // name of the event; "": the start
	By    float64
}

// PlanFlow is another flow of a circuit.
type PlanFlow struct {
	Circuit string
	Flow    float64 // kg/s
}

// PlanCover is another state of the cover.
type PlanCover struct {
	Shut     bool
	From, To float64 // s; To +Inf: the end
}

// LoadPlan reads a plan file and the runs that it names. Problems hold mistakes only.
func LoadPlan(fsys fs.FS, name string) (*Plan, Problems) {
	r := newReader(fsys, Options{})
	p := r.loadPlan(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return p, nil
}

// aheadPlan is a plan while it is being read.
type aheadPlan struct {
	r    *reader
	v    *value
	out  *Plan
	runs []*Run
}

func (r *reader) loadPlan(name string) *Plan {
	f := r.openAs(name, "plan")
	if f == nil {
		return nil
	}
	v := r.readFile(f, planForm.laid(), "")
	out := &Plan{
		Name:  titled(v, name),
		Every: v.get("every").number(0), MayCost: v.get("may cost").number(0.05), Lasts: v.get("lasts").number(0),
		Over: v.get("model error", "over").number(0), Alike: v.get("model error", "alike").number(0.5), Loggers: map[string]PlanSize{},
	}
	p := &aheadPlan{r: r, v: v, out: out}
	known := p.readRuns(path.Dir(name))
	m := &Match{}
	var names []string
	for _, run := range out.Runs {
		names = append(names, run.Name)
	}
	for _, q := range v.get("parameters").items() {
		r.matchParameter(m, q, known, names)
	}
	out.Parameters = m.Parameters
	p.sizes()
	for _, s := range v.get("sensors").items() {
		p.sensor(&out.Sensors, s)
	}
	p.target()
	p.candidates()
	out.Inputs = r.inputs
	for _, q := range r.sorted() {
		if q.Warning {
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out
}

// readRuns loads the runs; what parameters need to know of each comes back.
func (p *aheadPlan) readRuns(dir string) (known []*matchRun) {
	for _, rv := range p.v.get("run").items() {
		one := PlanRun{Name: strings.TrimSuffix(path.Base(rv.text), path.Ext(rv.text)), File: path.Join(dir, rv.text)}
		if slices.ContainsFunc(p.out.Runs, func(o PlanRun) bool { return o.Name == one.Name }) {
			p.r.wrong(rv, "another run has this name", "each file once", "take one out, or rename the file")
			continue
		}
		sub := newReader(p.r.fsys, Options{})
		sub.numbers = map[string]Uncertain{}
		run := sub.loadRun(one.File)
		p.r.takeOver(sub)
		if run == nil {
			continue
		}
		if run.Problem.Steady {
			p.r.wrong(rv, "a steady state has no course from which to learn", "a run over time", `give it "until: 2 h"`)
			continue
		}
		p.out.Runs, p.runs = append(p.out.Runs, one), append(p.runs, run)
		known = append(known, &matchRun{name: one.Name, numbers: sub.numbers, spreads: run.Spreads})
	}
	return known
}

// sizes reads loggers and the model's error.
func (p *aheadPlan) sizes() {
	if l := p.v.get("loggers"); l != nil {
		for _, name := range l.keys {
			p.out.Loggers[name] = PlanSize{l.at[name].typ.dim, l.at[name].num / half95}
		}
	}
	for _, s := range p.v.get("model error", "size").items() {
		if slices.ContainsFunc(p.out.ModelError, func(o PlanSize) bool { return o.Dimension == s.typ.dim }) {
			p.r.wrong(s, "another size is given for this kind of quantity", "one for each kind", "take one out")
		}
		p.out.ModelError = append(p.out.ModelError, PlanSize{s.typ.dim, s.num})
	}
}

// sensor reads a planned or a further sensor.
func (p *aheadPlan) sensor(list *[]PlanSensor, v *value) {
	s := PlanSensor{Logger: v.get("logger").word(""), Dimension: -1}
	if c := v.get("column"); c != nil {
		s.Column, _ = unit.ParseHeading(c.text)
		p.column(c, &s)
	} else {
		at := point(v)
		s.Dimension = unit.TemperatureDifference
		s.Probe = &heat.Probe{Kind: heat.Sensor, At: at, Lag: v.get("lag").number(0), Immersion: 1}
		s.Column = v.get("name").word(fmt.Sprintf("at %s, %s, %s", mm(at[0]), mm(at[1]), mm(at[2])))
		s.Probe.Name = s.Column
		for _, run := range p.runs {
			q := &runPlan{r: p.r, v: &value{}, rec: &plan{out: run.Problem.Receiver, ext: bodyOf(run), v: &value{}}}
			q.inBody(v, at)
			q.inBore(v, at)
			if _, taken := columnsOf(run)[s.Column]; taken {
				p.r.wrong(v.get("name"), "the run has a column of this name", "a name of its own", `choose another, or plan the run's own by "column: …"`)
			}
		}
	}
	for key, to := range map[string]*float64{"noise": &s.Noise, "offset": &s.Offset, "lasting": &s.Lasting} {
		q := v.get(key)
		if q == nil {
			continue
		}
		if q.typ.dim != s.Dimension && s.Dimension >= 0 {
			p.r.wrong(q, "another kind of quantity than what the column is", s.Dimension.String(), fmt.Sprintf("give it as %q", s.Dimension.Example()))
		}
		*to = q.num
	}
	s.Offset /= half95
	if l := v.get("logger"); l != nil {
		have, ok := p.out.Loggers[l.text]
		switch {
		case !ok:
			names := slices.Sorted(maps.Keys(p.out.Loggers))
			p.r.wrong(l, "no logger has this name", quoted(names), wordFix(l.text, names)+`, or add it under "loggers:" with its own error`)
		case have.Dimension != s.Dimension && s.Dimension >= 0:
			p.r.wrong(l, "its error is of another kind of quantity", s.Dimension.String(), "give this sensor a logger of its own")
		}
	}
	if list != &p.out.Sensors && s.Noise == 0 && s.Dimension >= 0 && !v.partial &&
		!slices.ContainsFunc(p.out.Sensors, func(o PlanSensor) bool { return o.Dimension == s.Dimension }) {
		p.r.problemAt(v, v.path+" lacks its noise, and no sensor of its kind is planned that would tell it", s.Dimension.String(), fmt.Sprintf("add \"noise: %s\"", s.Dimension.Example()))
	}
	if slices.ContainsFunc(*list, func(o PlanSensor) bool { return o.Column == s.Column }) ||
		list != &p.out.Sensors && slices.ContainsFunc(p.out.Sensors, func(o PlanSensor) bool { return o.Column == s.Column }) {
		p.r.wrong(v, "it is planned twice", "each column once", "take one out")
		return
	}
	*list = append(*list, s)
}

// errorOf is the kind of quantity in which an error of a column is given.
var errorOf = map[history.Quantity]unit.Dimension{
	history.Temperature: unit.TemperatureDifference, history.HeatFlow: unit.Power, history.MassFlow: unit.MassFlow,
	history.Pressure: unit.Pressure, history.Heat: unit.Energy, history.Length: unit.Length, history.Fraction: unit.Dimensionless,
	history.Time: unit.Time, history.Mass: unit.Mass, history.Money: unit.Dimensionless, history.Count: unit.Dimensionless,
}

// column finds a column among those of the runs.
func (p *aheadPlan) column(v *value, s *PlanSensor) {
	for i, run := range p.runs {
		have := columnsOf(run)
		q, ok := have[s.Column]
		if !ok {
			names := slices.Sorted(maps.Keys(have))
			fix := "write one of these, or plan a sensor at a place: {name: …, depth: …, width: …, height: …}"
			if near := nearest(s.Column, names); near != "" {
				fix = fmt.Sprintf("did you mean %q?", near)
			}
			p.r.wrong(v, "the run "+p.out.Runs[i].Name+" has no such column", quoted(names), fix)
			return
		}
		s.Dimension = errorOf[q]
	}
}

// columnsOf are those of a run's history, as heat lays them.
func columnsOf(run *Run) map[string]history.Quantity {
	out := map[string]history.Quantity{
		"block mean": history.Temperature, "stored": history.Heat, "melted": history.Fraction, "absorbed": history.HeatFlow,
		"heat to passes": history.HeatFlow, "lost window": history.HeatFlow,
	}
	rec := &run.Problem.Receiver
	for i := range rec.Passes {
		out["pass "+rec.Passes[i].Name+" heat"] = history.HeatFlow
	}
	for i := range rec.Circuits {
		for what, q := range map[string]history.Quantity{
			"outlet": history.Temperature, "quality": history.Fraction, "steam": history.MassFlow, "flow": history.MassFlow,
			"wall max": history.Temperature, "pressure drop": history.Pressure,
		} {
			out["circuit "+rec.Circuits[i].Name+" "+what] = q
		}
	}
	for i := range rec.Surfaces {
		out["lost "+rec.Surfaces[i].Name] = history.HeatFlow
	}
	for i := range run.Problem.Probes {
		q := history.Temperature
		if run.Problem.Probes[i].Kind == heat.Front {
			q = history.Length
		}
		out[run.Problem.Probes[i].Name] = q
	}
	return out
}

func (p *aheadPlan) target() {
	v := p.v.get("target")
	if v == nil || !v.has("reaches") {
		return
	}
	name, _ := unit.ParseHeading(v.get("column").word("block mean"))
	s := PlanSensor{Column: name, Dimension: -1}
	if c := v.get("column"); c != nil {
		own := slices.ContainsFunc(p.out.Sensors, func(o PlanSensor) bool { return o.Probe != nil && o.Column == name })
		if !own {
			p.column(c, &s)
		}
		if !own && s.Dimension >= 0 && s.Dimension != unit.TemperatureDifference {
			p.r.wrong(c, "not a temperature", "a temperature", `take "block mean", or a sensor`)
		}
	}
	p.out.Target = &PlanTarget{name, v.get("reaches").num}
}

func (p *aheadPlan) candidates() {
	v, out := p.v.get("candidates"), p.out
	out.Propose = v.get("propose").yes(true)
	for i, n := range v.get("lattice").items() {
		out.Lattice[i] = int(n.num)
	}
	for _, s := range v.get("sensors").items() {
		p.sensor(&out.More, s)
	}
	for _, l := range v.get("longer").items() {
		one := PlanLonger{l.get("after").word(""), l.get("by").number(0)}
		if a := l.get("after"); a != nil {
			var names []string
			for _, run := range p.runs {
				for _, e := range run.Problem.Duty.Events {
					names = append(names, e.Name)
				}
			}
			if !slices.Contains(names, one.After) {
				p.r.wrong(a, "no event has this name", quoted(names), wordFix(one.After, names))
			}
		}
		out.Longer = append(out.Longer, one)
	}
	for _, f := range v.get("flows").items() {
		one := PlanFlow{f.get("circuit").word(""), f.get("flow").number(0)}
		for _, run := range p.runs {
			var names []string
			for _, c := range run.Problem.Receiver.Circuits {
				names = append(names, c.Name)
			}
			i := slices.Index(names, one.Circuit)
			if i < 0 {
				p.r.wrong(f.get("circuit"), "the receiver has no circuit of this name", quoted(names), wordFix(one.Circuit, names))
				break
			}
			for _, pump := range run.Problem.Duty.Pumps {
				if slices.Contains(pump.Circuits, i) {
					p.r.wrong(f.get("circuit"), "a pump sets its flow", "a circuit with a flow of its own", "plan a run with another pump")
				}
			}
			for _, c := range run.Problem.Duty.Throttle {
				if c.Circuit == i {
					p.r.wrong(f.get("circuit"), "its flow is set to hold what leaves", "a circuit with a stated flow", "plan a run that holds another value")
				}
			}
		}
		out.Flows = append(out.Flows, one)
	}
	for _, c := range v.get("cover").items() {
		one := PlanCover{c.get("state").is("shut"), c.get("from").number(0), c.get("to").number(math.Inf(1))}
		if one.To <= one.From {
			p.r.wrong(c.get("to"), "not after its beginning", "from before to", "mend one of the two")
		}
		for i, run := range p.runs {
			if run.Problem.Receiver.Window == nil {
				p.r.wrong(c, "the receiver of run "+out.Runs[i].Name+" has no window to shut", "a receiver with a window", "take it out")
			}
		}
		out.Cover = append(out.Cover, one)
	}
}

// bodyOf is the box around the parts of a run's receiver.
func bodyOf(run *Run) block.Box {
	b := run.Problem.Receiver.Block
	for i := range run.Problem.Receiver.Parts {
		q := run.Problem.Receiver.Parts[i].Box
		for a := range q.Min {
			b.Min[a], b.Max[a] = min(b.Min[a], q.Min[a]), max(b.Max[a], q.Max[a])
		}
	}
	return b
}
