package dossier

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/duty"
	"emberbank/paper"
)

// sheet is what trial-sheet.json holds.
type sheet struct {
	Schema   string         `json:"schema"`
	Of       string         `json:"of"`
	Every    *float64       `json:"logs_every_s,omitempty"`
	Sensors  []sheetSensor  `json:"sensors"`
	Banded   bool           `json:"banded,omitempty"`
	AlsoRead string         `json:"also_read,omitempty"`
	Unknown  string         `json:"not_foretold,omitempty"` // sensors of which nothing says what they will read
	Circuits []sheetCircuit `json:"circuits"`
	Moments  []sheetMoment  `json:"moments"`
	Touch    *float64       `json:"touch_limit_degC,omitempty"`
	Until    *float64       `json:"until_s,omitempty"`
}

type sheetSensor struct {
	Number  int      `json:"number"`
	Sensor  string   `json:"sensor"`
	Column  string   `json:"column,omitempty"`
	Depth   float64  `json:"depth_m"`
	Width   float64  `json:"width_m"`
	Height  float64  `json:"height_m"`
	From    string   `json:"from,omitempty"`
	Lowest  *float64 `json:"lowest_degC,omitempty"`
	Highest *float64 `json:"highest_degC,omitempty"`
	Half    *float64 `json:"widest_half_width_K,omitempty"`
	Call    *float64 `json:"call_above_degC,omitempty"` // the highest that is expected with its band
	Stop    *float64 `json:"stop_at_degC,omitempty"`    // the lowest limit that is stated
	Because string   `json:"stop_because,omitempty"`
}

type sheetCircuit struct {
	Circuit string   `json:"circuit"`
	Flow    *float64 `json:"flow_kg_per_s,omitempty"`
	Least   *float64 `json:"least_flow_kg_per_s,omitempty"` // where a control sets it
	Most    *float64 `json:"most_flow_kg_per_s,omitempty"`
	Inlet   *float64 `json:"inlet_degC,omitempty"`
	Line    *float64 `json:"line_pressure_Pa,omitempty"`
	Begins  string   `json:"begins"`
	Outlet  *float64 `json:"hottest_outlet_degC,omitempty"`
}

type sheetMoment struct {
	Letter string  `json:"letter"`
	At     float64 `json:"at_s"`
	Name   string  `json:"name"`
	Does   string  `json:"does,omitempty"`
}

// document works out trial-sheet.json.
func (r *rig) document(all []sensor) *sheet {
	p := &r.run.Problem
	s := &sheet{Schema: "emberbank/trial-sheet/1", Of: r.file, Sensors: []sheetSensor{}, Circuits: []sheetCircuit{}, Moments: []sheetMoment{}, Until: maybe(p.Until), AlsoRead: strings.Join(r.others(), ", ")}
	if r.plan != nil {
		if n, ok := r.plan.Number("/interval_s"); ok {
			s.Every = maybe(n.Value)
		}
	}
	if p.TouchLimit > 0 {
		s.Touch = maybe(p.TouchLimit - iceZero)
	}
	var unknown []string
	for i, one := range all {
		q := sheetSensor{Number: i + 1, Sensor: one.name, Column: one.column, Depth: one.at[0], Width: one.at[1], Height: one.at[2], Because: one.because}
		q.Stop = maybe(one.limit - iceZero)
		if c, ok := r.foretold(one.name); ok {
			q.From, q.Lowest, q.Highest = c.from, maybe(least(c.value)-iceZero), maybe(most(c.value)-iceZero)
			if c.half != nil {
				q.Half, q.Call, s.Banded = maybe(most(c.half)), maybe(c.top()-iceZero), true
			}
		} else {
			unknown = append(unknown, one.name)
		}
		s.Sensors = append(s.Sensors, q)
	}
	s.Unknown = strings.Join(unknown, ", ")
	for i := range p.Receiver.Circuits {
		s.Circuits = append(s.Circuits, r.circuit(i))
	}
	s.Moments = r.moments()
	return s
}

// least and most are the ends of what there is; NaN where nothing is.
func least(all []float64) float64 {
	out := math.NaN()
	for _, v := range all {
		if !math.IsNaN(v) && !(v >= out) {
			out = v
		}
	}
	return out
}

func most(all []float64) float64 {
	out := math.NaN()
	for _, v := range all {
		if !math.IsNaN(v) && !(v <= out) {
			out = v
		}
	}
	return out
}

// states of water in words.
var waterStates = map[duty.WaterState]string{duty.Drained: "drained", duty.Flowing: "flowing", duty.Closed: "shut", duty.Open: "standing open"}

// circuit is the water of a circuit as the duty states it.
func (r *rig) circuit(i int) sheetCircuit {
	d, name := &r.run.Problem.Duty, r.run.Problem.Receiver.Circuits[i].Name
	out := sheetCircuit{Circuit: name}
	if i < len(d.Switches.Water) {
		out.Begins = waterStates[d.Switches.Water[i]]
	}
	if i < len(d.Water) {
		w := &d.Water[i]
		if !w.Flow.Empty() {
			out.Flow = maybe(most(w.Flow.V))
		}
		if !w.Inlet.Empty() {
			out.Inlet = maybe(w.Inlet.At(0) - iceZero)
		}
		if !w.Pressure.Empty() {
			out.Line = maybe(most(w.Pressure.V))
		}
	}
	for _, c := range d.Throttle {
		if c.Circuit == i {
			out.Flow, out.Least, out.Most = nil, maybe(c.Min), maybe(c.Max)
		}
	}
	if r.rows != nil {
		if c := r.rows.Column("circuit " + name + " outlet"); c != nil {
			out.Outlet = maybe(most(c.Values) - iceZero)
		}
	}
	return out
}

// moments are what is switched, and when: as the run's results say, and before there are any, the events of the duty.
func (r *rig) moments() (all []sheetMoment) {
	d := &r.run.Problem.Duty
	all = []sheetMoment{}
	does := map[string]string{}
	for i := range d.Events {
		does[d.Events[i].Name] = r.actions(d.Events[i].Do)
	}
	for i := range d.Rules {
		does[d.Rules[i].Name] = r.actions(d.Rules[i].Do)
	}
	if r.result != nil {
		for i := range r.result.Count("/events") {
			at := "/events/" + decimal(i)
			when, ok := r.result.Number(at + "/at_s")
			what, is := r.result.Sentence(at + "/what")
			if ok && is {
				all = append(all, sheetMoment{At: when.Value, Name: what.Text, Does: does[what.Text]})
			}
		}
	}
	if len(all) == 0 {
		for i := range d.Events {
			all = append(all, sheetMoment{At: d.Events[i].At, Name: d.Events[i].Name, Does: does[d.Events[i].Name]})
		}
	}
	slices.SortStableFunc(all, func(a, b sheetMoment) int { return cmp.Compare(a.At, b.At) })
	all = all[:min(len(all), mostMoments)]
	for i := range all {
		all[i].Letter = string(rune('A' + i))
	}
	return all
}

// actions are what a switching does, in words. What is done to all circuits is said once.
func (r *rig) actions(do []duty.Action) string {
	rec := &r.run.Problem.Receiver
	var said []string
	onOff := map[bool]string{true: "on", false: "off"}
	counts := map[duty.WaterState]int{}
	for _, a := range do {
		if a.What == duty.SetWater {
			counts[duty.WaterState(a.Value)]++
		}
	}
	for _, a := range do {
		s := ""
		switch a.What {
		case duty.SetLight:
			s = "light " + onOff[a.Value != 0]
		case duty.SetCover:
			s = "cover " + map[bool]string{true: "shut", false: "open"}[a.Value != 0]
		case duty.SetWater:
			state := duty.WaterState(a.Value)
			s = "water in " + rec.Circuits[a.Index].Name + " " + waterStates[state]
			if n := counts[state]; n > 1 && n == len(rec.Circuits) {
				s = "water in all circuits " + waterStates[state]
			}
		case duty.SetHeater:
			s = "heater " + rec.Heaters[a.Index].Name + " " + onOff[a.Value != 0]
		case duty.SetFlowShare:
			s = "other flow in " + rec.Circuits[a.Index].Name
		case duty.StopRun:
			s = "end"
		}
		if s != "" && !slices.Contains(said, s) {
			said = append(said, s)
		}
	}
	return strings.Join(said, ", ")
}

// alike are the circuits of trial-sheet.json that are fed alike, in groups.
func alike(t *tree) (groups [][]int) {
	of := func(i int) string {
		at, all := "/circuits/"+decimal(i), ""
		for _, key := range []string{"begins", "flow_kg_per_s", "least_flow_kg_per_s", "most_flow_kg_per_s", "inlet_degC", "line_pressure_Pa"} {
			v, _ := t.at(at + "/" + key)
			all += fmt.Sprint(v) + " "
		}
		return all
	}
	for i := range t.count("/circuits") {
		k := slices.IndexFunc(groups, func(g []int) bool { return of(g[0]) == of(i) })
		if k < 0 {
			groups = append(groups, nil)
			k = len(groups) - 1
		}
		groups[k] = append(groups[k], i)
	}
	return groups
}

// waterBlocks is how the circuits are fed.
func (r *rig) waterBlocks(t *tree) []paper.Block {
	if r.dry() {
		return []paper.Block{paragraph("No water: the circuits stay drained, open at one end.")}
	}
	table := newTable("", "", says("Water, as foretold"), words("circuit"), words("begins"), numbers("flow", "kg/h"), numbers("inlet", "°C"), numbers("line", "bar"), numbers("outlet up to", "°C"), words("as read"))
	groups := alike(t)
	for _, g := range groups[:min(len(groups), mostCircuits)] {
		at := "/circuits/" + decimal(g[0])
		bareOf := func(key string, decimals int) paper.Span {
			if n, ok := t.number(at + "/" + key); ok {
				return n.Bare("", decimals)
			}
			return pale("–")
		}
		called, outlet := paper.Text{}, paper.Text(nil)
		hottest := math.Inf(-1)
		for k, i := range g {
			if k > 0 {
				called = append(called, says(", ")...)
			}
			called = append(called, t.span("/circuits/"+decimal(i)+"/circuit"))
			if n, ok := t.number("/circuits/" + decimal(i) + "/hottest_outlet_degC"); ok && n.Value > hottest {
				hottest, outlet = n.Value, paper.Text{n.Bare("", 0)}
			}
		}
		flow := says(bareOf("flow_kg_per_s", 1))
		if _, held := t.number(at + "/most_flow_kg_per_s"); held {
			flow = says(bareOf("least_flow_kg_per_s", 1), " to ", bareOf("most_flow_kg_per_s", 1), ", held")
		}
		table.row(called, t.span(at+"/begins"), flow, bareOf("inlet_degC", 0), bareOf("line_pressure_Pa", -1), outlet, blank(12))
	}
	if len(groups) > mostCircuits {
		table.Notes = append(table.Notes, says("Further circuits are left out here; ", code(SheetName), " has them all."))
	}
	return table.block()
}

// span is a text of a document with its place; nothing where there is none.
func (t *tree) span(pointer string) paper.Span {
	if s, ok := t.sentence(pointer); ok {
		return s.Span()
	}
	return paper.Span{}
}

// dry tells whether the receiver has circuits and none of them has water in this run.
func (r *rig) dry() bool {
	d := &r.run.Problem.Duty
	drained := func(all []duty.Action) bool {
		return !slices.ContainsFunc(all, func(a duty.Action) bool { return a.What == duty.SetWater && duty.WaterState(a.Value) != duty.Drained })
	}
	for _, s := range d.Switches.Water {
		if s != duty.Drained {
			return false
		}
	}
	for i := range d.Events {
		if !drained(d.Events[i].Do) {
			return false
		}
	}
	for i := range d.Rules {
		if !drained(d.Rules[i].Do) || !drained(d.Rules[i].Else) {
			return false
		}
	}
	return d.Load == nil && len(d.Water) > 0
}

// blankBlocks is what is done when, with room to write down what is read then.
func (r *rig) blankBlocks(t *tree) []paper.Block {
	columns := []paper.Column{{Name: "when", Share: 0.12}, {Name: "what is done", Share: 0.3}, {Name: "clock", Share: 0.07}}
	for i := range min(t.count("/sensors"), mostBlank) {
		columns = append(columns, paper.Column{Name: decimal(i + 1), Unit: "°C"})
	}
	columns = append(columns, words("flow"), paper.Column{Name: "seen, heard", Share: 0.17})
	table := newTable("", "", says("What is done when, and what is read then, and whenever something is otherwise"), columns...)
	line := func(when, done any) {
		cells := make([]any, len(columns))
		for k := range cells {
			cells[k] = ""
		}
		cells[0], cells[1] = when, done
		table.row(cells...)
	}
	if !crowded(t) {
		line("before", "")
	}
	for i := range t.count("/moments") {
		at := "/moments/" + decimal(i)
		when, _ := t.number(at + "/at_s")
		done := says(t.span(at + "/name"))
		if does := t.span(at + "/does"); does.Text != "" && does.Text != done[0].Text && !crowded(t) {
			done = append(done, says(": ", does)...)
		}
		line(says(paper.Span{Text: t.span(at + "/letter").Text, Style: paper.Strong}, " ", when), done)
	}
	until, _ := t.number("/until_s")
	line(until, "end at the latest")
	room := sheetRows - min(t.count("/sensors"), mostSensors) - 2
	if groups := alike(t); len(groups) > 0 && !r.dry() {
		room -= min(len(groups), mostCircuits) + 3
	}
	if r.result != nil && r.result.Stale() { // the title block says so
		room -= 2
	}
	for len(table.Rows) < min(mostRows, room) {
		line("", "")
	}
	return table.block()
}
