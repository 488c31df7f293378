package bench

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
)

// matchTrial reads one trial of a match: its run and what was measured. Where one of the two cannot be read, it looks
// through the other all the same, so that the mistakes of both come at once; the trial is then nil.
func (r *reader) matchTrial(v *value, dir string) (*MatchTrial, *matchRun) {
	t := &MatchTrial{Name: v.get("name").word(""), Aside: v.get("set aside").yes(false), Drying: v.get("drying").is("yes"), DryOut: v.get("drying").is("leave out")}
	run, own := r.matchRunOf(t, v.get("run"), dir)
	m := r.measurement(v.get("measured"), dir)
	span := func(key string) (out []trial.Phase) {
		for _, s := range v.get(key).items() {
			p := trial.Phase{Name: s.get("name").word(""), From: s.get("from").number(0), To: s.get("to").number(0)}
			if p.To <= p.From {
				r.wrong(s.get("to"), "not after its beginning", "from before to", "mend one of the two")
			}
			out = append(out, p)
		}
		return out
	}
	t.Leave, t.Phases = span("leave out"), span("phases")
	begins := v.get("begins").number(0)
	t.Begins = begins
	if m == nil {
		return nil, own
	}
	mv := v.get("measured")
	if !m.table {
		t.Trial = path.Join(dir, mv.text)
	} else if t.DryOut {
		r.wrong(v.get("drying"), "a table does not tell what was put in and what the block stores", "a file of kind trial", `describe the table as a trial, or name the stretch under "leave out:"`)
	}
	if len(t.Phases) == 0 {
		for _, p := range m.phases {
			t.Phases = append(t.Phases, trial.Phase{Name: p.Name, Kind: p.Kind, From: p.From - begins, To: p.To - begins})
		}
	}
	for i := range m.time {
		m.time[i] -= begins
	}
	for i := range m.columns {
		for k := range m.columns[i].Time {
			m.columns[i].Time[k] -= begins
		}
	}
	if cols := v.get("columns").items(); len(cols) > 0 {
		for _, c := range cols {
			r.matchColumn(t, c, m)
		}
	} else if run != nil {
		names := []string{"block mean"}
		for i := range run.Problem.Probes {
			names = append(names, run.Problem.Probes[i].Name)
		}
		for _, c := range run.Problem.Receiver.Circuits {
			names = append(names, "circuit "+c.Name+" outlet")
		}
		for _, c := range m.columns {
			if slices.Contains(names, c.Column) && c.Noise > 0 {
				t.Columns = append(t.Columns, c)
			}
		}
		if len(t.Columns) == 0 {
			r.wrong(mv, "nothing in it has the name of a column of the run with its noise stated", quoted(names), `say what to compare under "columns:"`)
		}
	}
	for i := range t.Columns {
		if t.Columns[i].Time == nil {
			t.Columns[i].Time = m.time
		}
	}
	if run == nil {
		return nil, nil
	}
	return t, own
}

// matchRunOf reads the run of a trial, and names the trial after its file where it has no other name.
func (r *reader) matchRunOf(t *MatchTrial, v *value, dir string) (*Run, *matchRun) {
	if v == nil {
		return nil, nil
	}
	t.Run = path.Join(dir, v.text)
	if t.Name == "" {
		t.Name = strings.TrimSuffix(path.Base(v.text), path.Ext(v.text))
	}
	if _, there := r.bytesOf(t.Run, mostYAML, v); !there {
		return nil, nil
	}
	sub := newReader(r.fsys, Options{})
	sub.numbers = map[string]Uncertain{}
	run := sub.loadRun(t.Run)
	r.takeOver(sub)
	if run == nil {
		return nil, nil
	}
	if run.Problem.Steady {
		r.wrong(v, "a steady state has no course to compare with a trial", "a run over time", `give it "until: 2 h"`)
		return nil, nil
	}
	return run, &matchRun{name: t.Name, numbers: sub.numbers, spreads: run.Spreads}
}

// takeOver gathers what a reader of its own found.
func (r *reader) takeOver(o *reader) {
	for _, p := range o.problems {
		if !slices.ContainsFunc(r.problems, func(q Problem) bool { return q == p }) {
			r.report(p)
		}
	}
	for _, in := range o.inputs {
		if !slices.ContainsFunc(r.inputs, func(q Input) bool { return q.Name == in.Name }) {
			r.inputs = append(r.inputs, in)
		}
	}
}

// matchData is a trial's record or a table, in the same shape.
type matchData struct {
	time    []float64
	columns []MatchColumn
	phases  []trial.Phase
	table   bool
}

// measurement reads a file of kind trial or a CSV table; nil where there is none.
func (r *reader) measurement(v *value, dir string) *matchData {
	if v == nil {
		return nil
	}
	name := path.Join(dir, v.text)
	if e := strings.ToLower(path.Ext(name)); e != ".yaml" && e != ".yml" {
		return r.measuredTable(v, name)
	}
	if _, there := r.bytesOf(name, mostYAML, v); !there {
		return nil
	}
	sub := newReader(r.fsys, Options{})
	t := sub.loadTrial(name)
	r.takeOver(sub)
	if t == nil {
		return nil
	}
	m := &matchData{time: slices.Clone(t.Record.History.Time), phases: t.Record.Phases}
	end := t.Record.Length() * (1 + 1e-9)
	for i, c := range t.Record.Columns {
		one := MatchColumn{Column: c.Name, Quantity: c.Quantity, Noise: c.Noise, Parts: c.Parts}
		own, v := t.Record.Own(i) // what is drawn between a logger's rows knows nothing more
		for k, at := range own {
			if at >= 0 && at <= end {
				one.Time, one.Value = append(one.Time, at), append(one.Value, v[k])
			}
		}
		if c.Role == trial.Outlet {
			one.Standing = standing(t.Record, c.Of, one.Time, one.Value)
		}
		m.columns = append(m.columns, one)
	}
	return m
}

// standing takes out of an outlet's readings those over which the circuit's meter does not read a flow throughout: a
// reading stands for the time since the one before, and what stands in a pipe is no outlet of the run. It says how many.
func standing(r *trial.Record, of string, t, v []float64) (gone int) {
	at := slices.IndexFunc(r.Columns, func(c trial.Column) bool { return c.Role == trial.Flow && c.Of == of })
	if at < 0 {
		return 0
	}
	ft, f := r.Own(at)
	for k := len(t) - 1; k >= 0; k-- {
		i, found := slices.BinarySearch(ft, t[max(0, k-1)])
		if !found {
			i--
		}
		for i = max(0, i); i < len(ft); i++ {
			if f[i] <= 0 {
				if !math.IsNaN(v[k]) {
					gone++
				}
				v[k] = math.NaN()
				break
			}
			if ft[i] >= t[k] {
				break
			}
		}
	}
	return gone
}

// headedBy tells which quantity a unit in a heading stands for.
var headedBy = []struct {
	q history.Quantity
	d unit.Dimension
}{
	{history.Temperature, unit.Temperature},
	{history.HeatFlow, unit.Power},
	{history.Heat, unit.Energy},
	{history.MassFlow, unit.MassFlow},
	{history.Pressure, unit.Pressure},
	{history.Length, unit.Length},
	{history.Fraction, unit.Dimensionless},
}

// measuredTable reads a table whose empty cells mean that there is no value.
func (r *reader) measuredTable(v *value, name string) *matchData {
	t := r.table(name, v)
	if t == nil {
		return nil
	}
	m := &matchData{table: true}
	for i, h := range t.headings {
		plain, u := unit.ParseHeading(h)
		if plain == "time" {
			conv, err := unit.Between(unit.Time, u)
			if err == nil {
				m.time = cells(t, i, conv)
			}
			continue
		}
		for _, k := range headedBy {
			if conv, err := unit.Between(k.d, u); err == nil {
				m.columns = append(m.columns, MatchColumn{Column: plain, Quantity: k.q, Value: cells(t, i, conv)})
				break
			}
		}
	}
	if m.time == nil {
		r.wrong(v, "it has no column of times", `a column "time [s]"`, "write the heading and its unit into the first line")
		return nil
	}
	for i, x := range m.time {
		if math.IsNaN(x) || i > 0 && x < m.time[i-1] {
			r.report(Problem{
				File: t.name, Line: t.lines[i], Column: 1, Field: "time", Message: "the time is missing or goes back",
				Allowed: "times that rise", Fix: "mend the row, or read the file as a trial, which mends and lists such rows",
			})
			return nil
		}
	}
	return m
}

// cells reads a column; what is no number is no value.
func cells(t *table, i int, conv unit.Conversion) []float64 {
	out := make([]float64, len(t.rows))
	for k, row := range t.rows {
		out[k] = math.NaN()
		if x, err := strconv.ParseFloat(row[i], 64); err == nil && !math.IsInf(x, 0) {
			out[k] = conv.ToSI(x)
		}
	}
	return out
}

// matchColumn reads one entry under columns.
func (r *reader) matchColumn(t *MatchTrial, v *value, m *matchData) {
	name, _ := unit.ParseHeading(v.get("column").word(""))
	of, _ := unit.ParseHeading(v.get("measured").word(name))
	i := slices.IndexFunc(m.columns, func(c MatchColumn) bool { return c.Column == of })
	if i < 0 {
		var names []string
		for _, c := range m.columns {
			names = append(names, c.Column)
		}
		at := v.get("measured")
		if at == nil {
			at = v.get("column")
		}
		r.wrong(at, "the measurement has no such column", quoted(names), wordFix(of, names))
		return
	}
	c := m.columns[i]
	c.Column = name
	size := func(key string) float64 {
		q := v.get(key)
		if q == nil {
			return 0
		}
		want := map[history.Quantity]unit.Dimension{
			history.Temperature: unit.TemperatureDifference, history.HeatFlow: unit.Power, history.MassFlow: unit.MassFlow,
			history.Pressure: unit.Pressure, history.Heat: unit.Energy, history.Length: unit.Length,
		}
		if d, ok := want[c.Quantity]; ok && q.typ.dim != d {
			r.wrong(q, "another kind of quantity than what the column measures", d.String(), fmt.Sprintf("give it as %q", d.Example()))
		}
		return q.num
	}
	if n := size("noise"); n > 0 {
		c.Noise = n
	}
	if !(c.Noise > 0) {
		r.problemAt(v, v.path+" lacks its noise, which a table does not tell", "a standard deviation", `add "noise: 0.1 K"`)
		return
	}
	if o := size("offset"); o > 0 {
		c.Parts = []trial.Part{{Group: v.get("sensor").word(of), What: "given", Constant: o / 1.96, DoF: math.Inf(1)}}
	} else if s := v.get("sensor"); s != nil {
		c.Parts = slices.Clone(c.Parts)
		for k := range c.Parts {
			c.Parts[k].Group = strings.Replace(c.Parts[k].Group, "own "+of, "own "+s.text, 1)
		}
	}
	if slices.ContainsFunc(t.Columns, func(o MatchColumn) bool { return o.Column == name }) {
		r.wrong(v.get("column"), "it is compared twice", "each column once", "take one out")
		return
	}
	t.Columns = append(t.Columns, c)
}
