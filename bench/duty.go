package bench

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"emberbank/duty"
	"emberbank/receiver"
	"emberbank/unit"
)

// dutyPlan is a duty while it is being built. Without a receiver (a duty file checked by itself) names of
// circuits and heaters are taken as they come.
type dutyPlan struct {
	r          *reader
	v          *value
	rec        *receiver.Receiver // nil: unknown
	probes     map[string]bool    // nil: unknown
	out        duty.Duty
	recPartial bool     // the receiver has mistakes of its own
	water      []*value // the entry that feeds each circuit, nil where none
}

// buildDuty turns a read duty into plain values; v nil is the idle duty.
func (r *reader) buildDuty(v *value, p *plan, probes map[string]bool) *dutyPlan {
	d := &dutyPlan{r: r, v: v, probes: probes}
	var rec *receiver.Receiver
	if p != nil {
		rec, d.recPartial = &p.out, p.v.partial
	}
	d.rec = rec
	r.cal = r.calendar(v)
	d.out.Ambient = r.signal(v.get("ambient"))
	if d.out.Ambient.Empty() {
		d.out.Ambient = duty.Fixed(293.15)
	}
	d.out.Sky, d.out.Ground = r.signal(v.get("sky")), r.signal(v.get("ground"))
	d.out.Wind = r.signal(v.get("wind"))
	d.out.Tilt = r.signal(v.get("tilt"))
	if d.out.Tilt.Empty() {
		d.out.Tilt = duty.Fixed(0)
	}
	d.out.Light = r.light(v.get("light"), rec)
	d.out.Switches.Light = d.out.Light != nil && v.get("light", "on").yes(true)
	d.out.Switches.CoverShut = v.get("cover").is("shut")
	if rec != nil && rec.Window == nil {
		d.noWindow()
	}
	d.heaters()
	d.waters()
	d.pumps()
	d.load()
	d.events()
	d.rules()
	if rec != nil && !v.partialOrNil() {
		d.switchesLoad()
		d.checkFlows()
	}
	return d
}

// noWindow: without a window there is nothing that takes up light, and nothing to shut.
func (d *dutyPlan) noWindow() {
	if l := d.v.get("light"); l != nil && !d.recPartial {
		d.r.problemAt(l, "the duty has light, but the receiver has no window to take it up", "a receiver with a window",
			`add "window: {}" to the receiver: the whole face, open, with the film and emissivity that are stated there`)
	}
	if c := d.v.get("cover"); c.is("shut") {
		d.r.wrong(c, "the receiver has no window to shut", "a receiver with a window", "take it out, or describe the window")
	}
}

func (d *dutyPlan) heaters() {
	v := d.v.get("heaters")
	if d.rec == nil {
		if v != nil {
			for _, name := range v.keys {
				d.r.signal(v.get(name, "power"))
			}
		}
		return
	}
	n := len(d.rec.Heaters)
	d.out.Heaters = make([]duty.Signal, n)
	d.out.Switches.Heaters = make([]bool, n)
	for i := range d.out.Heaters {
		d.out.Heaters[i] = duty.Fixed(0)
	}
	if v == nil {
		return
	}
	for _, name := range v.keys {
		i := d.heaterNumber(name, v.at[name])
		if i < 0 {
			continue
		}
		d.out.Heaters[i] = d.r.signal(v.get(name, "power"))
		d.out.Switches.Heaters[i] = v.get(name, "on").yes(true)
	}
}

func (d *dutyPlan) heaterNumber(name string, at *value) int {
	names := make([]string, len(d.rec.Heaters))
	for i, h := range d.rec.Heaters {
		names[i] = h.Name
	}
	return d.number("heater", name, names, at)
}

func (d *dutyPlan) circuitNumber(name string, at *value) int {
	names := make([]string, len(d.rec.Circuits))
	for i, c := range d.rec.Circuits {
		names[i] = c.Name
	}
	return d.number("circuit", name, names, at)
}

// number returns the place of a name among those that the receiver has, or -1 and complains.
func (d *dutyPlan) number(what, name string, names []string, at *value) int {
	i := slices.Index(names, name)
	if i < 0 {
		d.unknown(what, name, names, at)
	}
	return i
}

func (d *dutyPlan) unknown(what, name string, names []string, at *value) {
	if d.recPartial {
		return // the name may belong to something that was complained of
	}
	allowed, fix := "the receiver has no "+what, "take it out, or describe the "+what+" in the receiver"
	if len(names) > 0 {
		allowed, fix = quoted(names), "write the name as it stands in the receiver"
		if near := nearest(name, names); near != "" {
			fix = fmt.Sprintf("did you mean %q?", near)
		}
	}
	d.r.problemAt(at, fmt.Sprintf("%s: the receiver has no %s called %q", at.path, what, name), allowed, fix)
}

func (d *dutyPlan) waters() {
	v := d.v.get("water")
	if d.rec == nil {
		if v != nil {
			for _, name := range v.keys {
				d.oneWater(v.at[name])
			}
		}
		return
	}
	n := len(d.rec.Circuits)
	d.out.Water = make([]duty.Water, n)
	d.out.Switches.Water = make([]duty.WaterState, n)
	d.out.Switches.FlowShare = make([]float64, n)
	d.water = make([]*value, n)
	var strange []string // names that no circuit has
	for i := range d.out.Switches.FlowShare {
		d.out.Switches.FlowShare[i] = 1
		d.out.Water[i] = duty.Water{Flow: duty.Fixed(0), Inlet: d.out.Ambient, Pressure: duty.Fixed(1e6)}
	}
	if v != nil {
		for _, name := range v.keys {
			if name == "all" {
				continue
			}
			if i := d.circuitNumber(name, v.at[name]); i >= 0 {
				d.water[i] = v.at[name]
			} else {
				strange = append(strange, name)
			}
		}
		if all := v.at["all"]; all != nil {
			for i := range d.water {
				if d.water[i] == nil {
					d.water[i] = all
				}
			}
		}
	}
	for i, w := range d.water {
		if w == nil {
			mistyped := nearest(d.rec.Circuits[i].Name, strange) != ""
			if d.v != nil && !d.v.partial && !mistyped { // the idle duty leaves circuits drained
				d.r.problemAt(d.v, fmt.Sprintf("the duty says nothing of the water of circuit %q", d.rec.Circuits[i].Name),
					"every circuit under water:", fmt.Sprintf(`add "water: {%s: {state: drained}}", or its flow and inlet`, d.rec.Circuits[i].Name))
			}
			continue
		}
		water, state, hold := d.oneWater(w)
		d.out.Water[i] = water
		d.out.Switches.Water[i] = state
		if hold != nil {
			hold.Circuit = i
			d.out.Throttle = append(d.out.Throttle, *hold)
		}
	}
}

// oneWater reads one circuit's water.
func (d *dutyPlan) oneWater(v *value) (duty.Water, duty.WaterState, *duty.Control) {
	w := duty.Water{Flow: d.r.signal(v.get("flow")), Inlet: d.r.signal(v.get("inlet")), Pressure: d.r.signal(v.get("pressure"))}
	if w.Flow.Empty() {
		w.Flow = duty.Fixed(0)
	}
	if w.Inlet.Empty() {
		w.Inlet = d.out.Ambient
	}
	if w.Pressure.Empty() {
		w.Pressure = duty.Fixed(1e6)
	}
	state := waterStates[v.get("state").word("flowing")]
	h := v.get("hold outlet")
	if h == nil {
		return w, state, nil
	}
	c := d.hold(h)
	if x := least(&w.Inlet, 0, math.Inf(1)); v.has("inlet") && c.Holds == duty.HoldTemperature && c.Value <= x {
		d.r.wrong(h.get("at"), "the water never enters colder than "+unit.Format(x, unit.Temperature, "degC")+", so no flow can hold this",
			"above the inlet's temperature", "exchange inlet and outlet, or raise what is held")
	}
	if f := v.get("flow"); f != nil {
		d.r.wrong(f, "hold outlet sets the flow", "flow or hold outlet", "take one of the two out")
	}
	return w, state, c
}

// hold reads what an outlet holds and between which flows.
func (d *dutyPlan) hold(h *value) *duty.Control {
	c := &duty.Control{Value: math.NaN(), Min: math.NaN(), Max: math.NaN()}
	var held *value
	for i, key := range heldKeys {
		x := h.get(key)
		switch {
		case x == nil:
		case held != nil:
			d.r.wrong(x, "the outlet can hold one thing only", "one of "+joined(heldKeys), "take one of the two out")
		default:
			held = x
			c.Holds, c.Value = duty.Held(i), x.num
		}
	}
	if held == nil && !h.partial {
		d.r.wrong(h, "nothing says what the outlet is to hold", "one of "+joined(heldKeys), `add "at: 90 degC", "quality: 0.8", "superheat: 20 K", "steam: 2 kg/h" or "heat: 2 kW"`)
	}
	b := h.get("between")
	if b == nil {
		return c
	}
	c.Min, c.Max = b.list[0].num, b.list[1].num
	d.limits(b)
	if c.Holds == duty.HoldSteam && c.Value > c.Max {
		d.r.wrong(held, fmt.Sprintf("a flow of %s at the most makes no more steam than that", b.list[1].text), "at most the greatest flow", "raise the greatest flow, or hold less steam")
	}
	return c
}

var waterStates = map[string]duty.WaterState{"flowing": duty.Flowing, "drained": duty.Drained, "closed": duty.Closed, "open": duty.Open}

func (d *dutyPlan) pumps() {
	fed := map[int]bool{}
	for _, v := range d.v.get("pumps").items() {
		p := duty.Pump{Flow: d.r.signal(v.get("flow"))}
		if d.rec != nil {
			for _, name := range v.get("circuits").items() {
				i := d.circuitNumber(name.text, name)
				if i < 0 {
					continue
				}
				if fed[i] {
					d.r.wrong(name, "a pump feeds this circuit already", "each circuit at one pump", "take it out here or there")
					continue
				}
				fed[i] = true
				if w := d.water[i]; w != nil && (w.has("flow") || w.has("hold outlet")) {
					d.r.wrong(name, "this circuit's water has a flow of its own", "a flow or a pump", "take flow and hold outlet out of its water, or the circuit out of the pump")
				}
				p.Circuits = append(p.Circuits, i)
			}
		}
		d.out.Pumps = append(d.out.Pumps, p)
	}
}

func (d *dutyPlan) events() {
	for _, v := range d.v.get("events").items() {
		e := duty.Event{At: v.get("at").must(), Every: v.get("every").number(0), Name: v.get("name").word(""), Do: d.actions(v.get("do"))}
		if e.Name == "" && v.has("do") {
			e.Name = strings.Trim(cut(flow(v.get("do").node, 0), 200), "{}")
		}
		d.out.Events = append(d.out.Events, e)
	}
	sort.SliceStable(d.out.Events, func(i, j int) bool { return d.out.Events[i].At < d.out.Events[j].At })
}

// actions reads what an event or a rule switches.
func (d *dutyPlan) actions(v *value) []duty.Action {
	if v == nil {
		return nil
	}
	var out []duty.Action
	for _, key := range v.keys {
		out = append(out, d.action(key, v.at[key])...)
	}
	return out
}

var actionWords = []string{"light", "cover", "water", "heater", "flow", "stop"}

// action reads one switch; without a name it stands for all circuits or heaters.
func (d *dutyPlan) action(key string, v *value) []duty.Action {
	what, name, _ := strings.Cut(key, " ")
	name = strings.TrimSpace(name)
	truth := func(yes, no string) (float64, bool) {
		switch v.text {
		case yes:
			return 1, true
		case no:
			return 0, true
		}
		d.r.wrong(v, "", yes+" or "+no, "write "+quoted([]string{yes, no}))
		return 0, false
	}
	alone := func() bool {
		if name != "" {
			d.r.problemAt(v, fmt.Sprintf("%s is not known: %s takes no name", v.path, what), `"`+what+`"`, "take the name out")
		}
		return name == ""
	}
	each := func(target duty.Target, x float64, number func(string, *value) int, n int) []duty.Action {
		if d.rec == nil {
			return nil
		}
		if name != "" && name != "all" {
			if i := number(name, v); i >= 0 {
				return []duty.Action{{What: target, Index: i, Value: x}}
			}
			return nil
		}
		out := make([]duty.Action, n)
		for i := range out {
			out[i] = duty.Action{What: target, Index: i, Value: x}
		}
		return out
	}
	circuits, heaters := 0, 0
	if d.rec != nil {
		circuits, heaters = len(d.rec.Circuits), len(d.rec.Heaters)
	}
	switch what {
	case "light":
		if x, ok := truth("on", "off"); ok && alone() {
			return []duty.Action{{What: duty.SetLight, Value: x}}
		}
	case "cover":
		if x, ok := truth("shut", "open"); ok && alone() {
			if d.rec != nil && d.rec.Window == nil {
				d.r.wrong(v, "the receiver has no window to shut", "a receiver with a window", "take it out, or describe the window")
			}
			return []duty.Action{{What: duty.SetCover, Value: x}}
		}
	case "stop":
		if v.text == "yes" || v.text == "true" || v.text == "on" {
			if alone() {
				return []duty.Action{{What: duty.StopRun, Value: 1}}
			}
			return nil
		}
		d.r.wrong(v, "", "yes", `write "stop: yes", or take it out`)
	case "water":
		s, ok := waterStates[v.text]
		if !ok {
			d.r.wrong(v, "", "flowing, open, closed or drained", wordFix(v.text, []string{"flowing", "open", "closed", "drained"}))
			return nil
		}
		return each(duty.SetWater, float64(s), d.circuitNumber, circuits)
	case "heater", "heaters":
		if x, ok := truth("on", "off"); ok {
			return each(duty.SetHeater, x, d.heaterNumber, heaters)
		}
	case "flow":
		if !v.isQuantity() {
			d.r.wrong(v, "", "a factor on the flow, such as 50 %", `write it as "50 %"`)
			return nil
		}
		if v.num <= 0 {
			d.r.wrong(v, "a flowing circuit needs a flow above 0", "above 0", `close it instead: "water `+name+`: closed"`)
			return nil
		}
		return each(duty.SetFlowShare, v.num, d.circuitNumber, circuits)
	default:
		fix := "write one of the words that are known"
		if near := nearest(what, actionWords); near != "" {
			fix = fmt.Sprintf("did you mean %q?", strings.TrimSpace(near+" "+name))
		}
		d.r.problemAt(v, v.path+" is nothing that can be switched", "light, cover, water NAME, heater NAME, flow NAME or stop", fix)
	}
	return nil
}

func (d *dutyPlan) rules() {
	for i, v := range d.v.get("rules").items() {
		rule := duty.Rule{
			Name: v.get("name").word(""), After: v.get("after").number(0), Once: v.get("once").yes(false),
			Do: d.actions(v.get("do")), Else: d.actions(v.get("else")),
		}
		w := v.get("when")
		place := w.get("place")
		if rule.Name == "" {
			rule.Name = fmt.Sprintf("rule %d: %s", i+1, place.word(""))
		}
		var limit, back unit.Dimension
		rule.Watch, limit, back = d.watch(place)
		if d.probes == nil && (rule.Watch.What == duty.WatchQuality || rule.Watch.What == duty.WatchSteam || rule.Watch.What == duty.WatchPressure) {
			place = nil // it may be a probe's name: then another kind is right
		}
		above, below := w.get("above"), w.get("below")
		switch {
		case above != nil && below != nil:
			d.r.wrong(below, "both above and below are given", "one of the two", "write two rules")
		case above != nil:
			rule.Above, rule.Threshold = true, d.ofKind(above, limit, place)
		case below != nil:
			rule.Threshold = d.ofKind(below, limit, place)
		case w != nil && !w.partial:
			d.r.wrong(w, "neither above nor below is given", "one of the two", `add "above: 420 degC"`)
		}
		if b := v.get("back by"); b != nil {
			rule.Hysteresis = d.ofKind(b, back, place)
		}
		d.out.Rules = append(d.out.Rules, rule)
	}
}

// ofKind returns a quantity's value where it is of the kind that the watched place has.
func (d *dutyPlan) ofKind(v *value, want unit.Dimension, place *value) float64 {
	if place == nil || v.typ.dim == want {
		return v.num
	}
	if q, err := unit.Parse(v.text, want); err == nil { // "5 K" reads as a temperature and as a difference
		return q.Value
	}
	d.r.wrong(v, fmt.Sprintf("%s is watched, which takes %s", place.text, quantity(want, "", "").noun), quantity(want, "", "").noun,
		giveOne(quantity(want, "", "")))
	return v.num
}

// leaving are the words for what leaves a circuit or stands in it, each before the circuit's name.
var leaving = []struct {
	word        string
	what        duty.Watched
	limit, back unit.Dimension
}{
	{"outlet ", duty.WatchOutlet, unit.Temperature, unit.TemperatureDifference},
	{"quality ", duty.WatchQuality, unit.Dimensionless, unit.Dimensionless},
	{"steam ", duty.WatchSteam, unit.MassFlow, unit.MassFlow},
	{"pressure ", duty.WatchPressure, unit.Pressure, unit.Pressure},
}

// watch reads what a rule looks at, with the kinds of its threshold and of its hysteresis.
func (d *dutyPlan) watch(place *value) (w duty.Watch, limit, back unit.Dimension) {
	limit, back = unit.Temperature, unit.TemperatureDifference
	if place == nil {
		return
	}
	if d.probes[place.text] { // a probe goes before a word of the same name
		return duty.Watch{What: duty.WatchProbe, Probe: place.text}, limit, back
	}
	switch place.text {
	case "block mean":
		return duty.Watch{What: duty.WatchBlockMean}, limit, back
	case "block max":
		return duty.Watch{What: duty.WatchBlockMax}, limit, back
	case "light":
		return duty.Watch{What: duty.WatchLight}, unit.Power, unit.Power
	case "melted":
		return duty.Watch{What: duty.WatchMelted}, unit.Dimensionless, unit.Dimensionless
	}
	for _, l := range leaving {
		if name, is := strings.CutPrefix(place.text, l.word); is {
			w = duty.Watch{What: l.what}
			if d.rec != nil {
				w.Index = d.circuitNumber(name, place)
			}
			return w, l.limit, l.back
		}
	}
	if d.probes != nil {
		words := []string{"block mean", "block max", "light", "melted"}
		for _, c := range d.rec.Circuits {
			words = append(words, "outlet "+c.Name)
		}
		probes := make([]string, 0, len(d.probes))
		for name := range d.probes {
			probes = append(probes, name)
		}
		sort.Strings(probes)
		words = append(probes, words...)
		fix := "add a probe of this name to the run"
		all := words
		for _, c := range d.rec.Circuits {
			all = append(all, "quality "+c.Name, "steam "+c.Name, "pressure "+c.Name)
		}
		if near := nearest(place.text, all); near != "" {
			fix = fmt.Sprintf("did you mean %q?", near)
		}
		d.r.wrong(place, "no probe or sensor of the run has this name", joined(append(words, "quality NAME", "steam NAME", "pressure NAME")), fix)
	}
	return duty.Watch{What: duty.WatchProbe, Probe: place.text}, limit, back
}
