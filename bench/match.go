package bench

import (
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"sort"
	"strings"

	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
)

// Match is a match file with everything that it refers to, checked.
type Match struct {
	Name       string
	Parameters []MatchParameter
	Trials     []MatchTrial
	Rows       int // 0: not said
	Starts     int // -1: not said
	Seed       int
	Finer      bool // also compute the fitted trials on a finer grid at the end
	Inputs     []Input
	Warnings   []string
}

// MatchParameter is an unknown, in SI.
type MatchParameter struct {
	Name                string
	Paths               []string
	Factor              bool
	Dimension           unit.Dimension
	Unit                string // as typed in the bounds
	Start, Lower, Upper float64
	Prior               float64 // NaN: none
	PriorHalf           float64 // half-width at 95 %
	Trials              []string
}

// MatchTrial is one trial of a match.
type MatchTrial struct {
	Name    string
	Run     string // path of the run file in the fs.FS
	Aside   bool
	Drying  bool
	DryOut  bool    // leave the stretch of drying out, as the trial shows it
	Trial   string  // path of the file of kind trial that was measured; "": a table
	Begins  float64 // s, the measurement's time at which the run begins
	Leave   []trial.Phase
	Phases  []trial.Phase
	Columns []MatchColumn
}

// MatchColumn is what was measured beside one column of the run, in SI; times count on the run's clock.
type MatchColumn struct {
	Column   string
	Quantity history.Quantity
	Time     []float64
	Value    []float64 // NaN where there is none
	Noise    float64
	Parts    []trial.Part
	Standing int // readings of an outlet that are left out of Value, since no water flowed over the whole of each
}

// LoadMatch reads a match file, the runs that it names and what was measured. Problems hold mistakes only.
func LoadMatch(fsys fs.FS, name string) (*Match, Problems) {
	r := newReader(fsys, Options{})
	m := r.loadMatch(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return m, nil
}

func (r *reader) loadMatch(name string) *Match {
	f := r.openAs(name, "match")
	if f == nil {
		return nil
	}
	v := r.readFile(f, matchForm.laid(), "")
	m := &Match{Name: titled(v, name), Starts: -1}
	m.Rows, m.Seed = int(v.get("rows").number(0)), int(v.get("seed").number(0))
	m.Finer = v.get("finer grid").yes(true)
	if s := v.get("starts"); s != nil {
		m.Starts = int(s.num)
	}
	type stretch struct {
		file   string
		begins float64
		whole  bool
	}
	var measured []stretch // of each trial
	var runs []*matchRun
	var names []string // of trials, also of those that cannot be read
	for _, t := range v.get("trials").items() {
		one, run := r.matchTrial(t, path.Dir(name))
		if file := t.get("run"); file != nil {
			names = append(names, titled(t, file.text))
		}
		if run != nil {
			runs = append(runs, run)
		}
		if one != nil {
			if slices.ContainsFunc(m.Trials, func(o MatchTrial) bool { return o.Name == one.Name }) {
				r.wrong(t.get("run"), "another trial has the name "+one.Name, "each name once", `give it another by "name: …"`)
			}
			whole := t.get("leave out") == nil
			for i, o := range m.Trials {
				if from := measured[i]; whole && from.whole && o.Aside != one.Aside && from.file == t.get("measured").text && from.begins == t.get("begins").number(0) {
					r.wrong(t.get("measured"), "the same measurement is fitted and set aside, as "+o.Name+" and "+one.Name, "fitted, or set aside", "set another trial aside: what was fitted cannot try the model")
				}
			}
			measured = append(measured, stretch{t.get("measured").text, t.get("begins").number(0), whole})
			m.Trials = append(m.Trials, *one)
		}
	}
	if len(m.Trials) == len(v.get("trials").items()) && len(m.Trials) > 0 && !slices.ContainsFunc(m.Trials, func(t MatchTrial) bool { return !t.Aside }) {
		r.problemAt(v.child(v.get("trials").node, "trials"), "every trial is set aside, so there is nothing to fit", "at least one that is fitted", `take "set aside: yes" out of one`)
	}
	for _, p := range v.get("parameters").items() {
		r.matchParameter(m, p, runs, names)
	}
	m.Inputs = r.inputs
	for _, q := range r.sorted() {
		if q.Warning {
			m.Warnings = append(m.Warnings, q.Place()+": "+q.Message)
		}
	}
	return m
}

// matchRun is what a parameter needs to know of a trial's run.
type matchRun struct {
	name    string // of the trial
	numbers map[string]Uncertain
	spreads []Uncertain
	scalars map[string]scalar // every text, where these may be varied too
}

// find looks a path up; below tells whether quantities stand below it.
func (m *matchRun) find(path string) (u Uncertain, found, below bool) {
	if u, found = m.numbers[path]; found {
		return u, true, true
	}
	for _, s := range m.spreads {
		if s.Path == path {
			return s, true, false
		}
	}
	for p := range m.numbers {
		if rest, ok := strings.CutPrefix(p, path); ok && (rest[0] == '.' || rest[0] == '[') {
			return Uncertain{Dimension: unit.Dimensionless}, false, true
		}
	}
	return u, false, false
}

func (m *matchRun) paths() []string {
	var out []string
	for p := range m.numbers {
		out = append(out, p)
	}
	for _, s := range m.spreads {
		out = append(out, s.Path)
	}
	for p := range m.scalars {
		if _, is := m.numbers[p]; !is {
			out = append(out, p)
		}
	}
	sort.Strings(out)
	return out
}

// noNumber reports a path at which a run has no number, with the nearest one that it has.
func (r *reader) noNumber(v *value, whose string, run *matchRun, below bool) {
	fix := "write the path of a number as the files have it; entries of lists count from 1, such as receiver.passes[2].contact"
	if near := nearest(v.text, run.paths()); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	} else if below {
		fix = `to multiply all that stands below it, add "factor: yes"`
	} else if near := run.nearestPath(v.text); near != "" {
		fix = near
	}
	r.wrong(v, whose+" has no number there", "a number that its files state", fix)
}

// matchParameter reads one parameter.
func (r *reader) matchParameter(m *Match, v *value, runs []*matchRun, names []string) {
	p := MatchParameter{Name: v.get("name").word(""), Factor: v.get("factor").yes(false), Prior: math.NaN()}
	for _, t := range v.get("trials").items() {
		if len(names) > 0 && !slices.Contains(names, t.text) {
			r.wrong(t, "no trial has this name", quoted(names), wordFix(t.text, names))
		}
		p.Trials = append(p.Trials, t.text)
	}
	for _, o := range m.Parameters {
		if o.Name == p.Name {
			r.wrong(v.get("name"), "another parameter has this name", "each name once", "choose another name")
		}
	}
	p.Dimension = unit.Dimensionless
	start := math.NaN()
	least, most := math.Inf(-1), math.Inf(1) // allowed at all its paths
	known := true
	for i, pv := range v.get("path").items() {
		p.Paths = append(p.Paths, pv.text)
		for _, run := range runs {
			if len(p.Trials) > 0 && !slices.Contains(p.Trials, run.name) {
				continue
			}
			u, found, below := run.find(pv.text)
			if !found && !(p.Factor && below) {
				r.noNumber(pv, "the run of trial "+run.name, run, below)
				known = false
				break
			}
			if p.Factor {
				if found && !below {
					r.wrong(pv, "a spread is a factor by itself", "the path without factor", `take "factor: yes" out`)
					known = false
					break
				}
				continue
			}
			low, high := u.Limits()
			least, most = max(least, low), min(most, high)
			if math.IsNaN(start) {
				start = u.Value
				p.Dimension = u.Dimension
			} else if i > 0 && u.Dimension != p.Dimension {
				r.wrong(pv, "another kind of quantity than the path before it", "one kind", "make two parameters of it")
			}
		}
	}
	if p.Factor {
		start = 1
	}
	if !known || len(runs) == 0 || math.IsNaN(start) { // the last: its trials are none of ours
		return
	}
	read := func(t *value, def float64) (float64, float64) {
		if t == nil {
			return def, 0
		}
		q, err := unit.Parse(t.text, p.Dimension)
		if err != nil {
			what, fix := unitTrouble(err, quantity(p.Dimension, "", ""))
			r.wrong(t, what, "", fix)
			return math.NaN(), 0
		}
		if p.Unit == "" {
			p.Unit = q.Unit
		}
		return q.Value, q.Half
	}
	if b := v.get("between").items(); len(b) == 2 {
		p.Lower, _ = read(b[0], 0)
		p.Upper, _ = read(b[1], 0)
		if p.Lower >= p.Upper {
			r.wrong(b[1], "not above the lower bound", "two bounds that rise", "swap or mend them")
		} else if p.Lower < least && p.Upper > least || p.Upper > most && p.Lower < most {
			p.Lower, p.Upper = max(p.Lower, least), min(p.Upper, most)
			r.doubt(v.get("between"), fmt.Sprintf("the bounds of %s reach beyond what its files allow; it is looked for between %s and %s", p.Name, unit.Format(p.Lower, p.Dimension, p.Unit), unit.Format(p.Upper, p.Dimension, p.Unit)), "give bounds that are allowed")
		}
	}
	p.Start, _ = read(v.get("start"), start)
	if math.IsNaN(p.Start) {
		p.Start = (p.Lower + p.Upper) / 2
	} else if p.Start < p.Lower || p.Start > p.Upper {
		if s := v.get("start"); s != nil {
			r.wrong(s, "outside the bounds", "between them", "mend it, or the bounds")
		}
		p.Start = min(max(p.Start, p.Lower), p.Upper)
	}
	if pv := v.get("prior"); pv != nil {
		p.Prior, p.PriorHalf = read(pv, math.NaN())
		if !(p.PriorHalf > 0) && !math.IsNaN(p.Prior) {
			r.wrong(pv, "without its half-width a prior says nothing", "", `write it as "400 ± 200 W/(m2 K)"`)
		}
	}
	m.Parameters = append(m.Parameters, p)
}

// keepNumber keeps the quantities that a run's files state.
func (r *reader) keepNumber(key string, s *shape, v *value) {
	if r.numbers != nil {
		r.numbers[key] = Uncertain{Path: key, Dimension: s.dim, Value: v.num, shape: s}
	}
}
