package match

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// Envelope is the range of conditions in which trust was shown: what the trials that were set aside went through.
type Envelope struct {
	Trials []string `json:"trials"` // that span it
	Ranges []Range  `json:"ranges"`
	States []string `json:"states"` // of cover and water that occurred, such as "cover open"
	Fixed  []Fixed  `json:"fixed"`  // geometry and fill, which the trials had in common
}

// Range is the span of one quantity over the trials, in SI.
type Range struct {
	Name string  `json:"name"`
	Unit string  `json:"unit"` // SI
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Fixed is a quantity of the receiver that did not change in a trial. Text is what it is where it is no number.
type Fixed struct {
	Name string  `json:"name"`
	Unit string  `json:"unit"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Text string  `json:"text,omitempty"`
}

// Departure is one quantity of a run that leaves the envelope.
type Departure struct {
	Name      string  `json:"name"`
	Unit      string  `json:"unit"`
	By        float64 `json:"by"`        // SI, beyond the nearer end; 0 for states and words
	Share     float64 `json:"of_span"`   // By as a share of the span that was shown; 0 where there is none
	Direction string  `json:"direction"` // "above", "below", "never shown"
	Sentence  string  `json:"sentence"`
}

// EnvelopeOf is the envelope of one run: a trial's, as computed with the matched parameters.
func EnvelopeOf(name string, p *heat.Problem, r *heat.Result) Envelope {
	var e Envelope
	if name != "" {
		e.Trials = []string{name}
	}
	e.columns(p, r)
	e.signals(p, r)
	e.states(p, r)
	e.geometry(&p.Receiver)
	return e
}

// columns takes the ranges that the history holds.
func (e *Envelope) columns(p *heat.Problem, r *heat.Result) {
	opening := 0.0
	if w := p.Receiver.Window; w != nil {
		opening = area(w)
	}
	for _, c := range r.History.Columns {
		name, unit, values := c.Name, siUnit(c.Quantity.Unit()), c.Values
		switch {
		case name == "block mean":
			name = "block temperature"
		case name == "melted":
			name = "melted share of the fill"
		case name == "absorbed" && opening > 0:
			name, unit = "absorbed irradiance", "W/m2"
			values = slices.Clone(values)
			for i := range values {
				values[i] /= opening
			}
		case strings.HasPrefix(name, "circuit ") && strings.HasSuffix(name, " flow"),
			strings.HasPrefix(name, "circuit ") && strings.HasSuffix(name, qualitySuffix):
			values = whereFlowing(r, name, values)
		default:
			continue
		}
		e.span(name, unit, values)
	}
}

// whereFlowing leaves out the rows of a circuit at which nothing flows.
func whereFlowing(r *heat.Result, name string, values []float64) []float64 {
	flow := r.History.Column(name[:strings.LastIndex(name, " ")] + " flow")
	if flow == nil {
		return values
	}
	var out []float64
	for i, v := range values {
		if flow.Values[i] > 0 {
			out = append(out, v)
		}
	}
	return out
}

func area(w *receiver.Window) float64 {
	o := w.Opening
	return (o.Max[block.Width] - o.Min[block.Width]) * (o.Max[block.Height] - o.Min[block.Height])
}

func siUnit(shown string) string {
	if shown == "degC" {
		return "K"
	}
	return shown
}

// signals takes the ranges of what the duty gives.
func (e *Envelope) signals(p *heat.Problem, r *heat.Result) {
	over := func(name, unit string, s *duty.Signal) {
		if s.Empty() {
			return
		}
		var v []float64
		for _, t := range r.History.Time {
			v = append(v, s.At(t))
		}
		e.span(name, unit, v)
	}
	over("ambient temperature", "K", &p.Duty.Ambient)
	over("wind", "m/s", &p.Duty.Wind)
	over("tilt", "rad", &p.Duty.Tilt)
	for i := range p.Duty.Water {
		if i < len(p.Receiver.Circuits) {
			over("inlet temperature of circuit "+p.Receiver.Circuits[i].Name, "K", &p.Duty.Water[i].Inlet)
		}
	}
}

// states lists the states of cover and water at the start and those that events of the run's time set, or a rule may.
func (e *Envelope) states(p *heat.Problem, r *heat.Result) {
	set := map[string]bool{}
	cover := map[bool]string{false: "cover open", true: "cover shut"}
	if p.Receiver.Window != nil {
		set[cover[p.Duty.Switches.CoverShut]] = true
	}
	water := map[duty.WaterState]string{duty.Drained: "tubes drained", duty.Flowing: "water flowing", duty.Closed: "water shut in"}
	for _, w := range p.Duty.Switches.Water {
		set[water[w]] = true
	}
	do := func(actions []duty.Action) {
		for _, a := range actions {
			switch a.What {
			case duty.SetCover:
				set[cover[a.Value != 0]] = true
			case duty.SetWater:
				set[water[duty.WaterState(a.Value)]] = true
			}
		}
	}
	for _, ev := range p.Duty.Events {
		if ev.At <= r.Ended {
			do(ev.Do)
		}
	}
	for _, rule := range p.Duty.Rules {
		for _, mark := range r.Events {
			if rule.Name != "" && strings.Contains(mark.What, rule.Name) {
				do(rule.Do)
				do(rule.Else)
				break
			}
		}
	}
	for s := range set {
		if s != "" {
			e.States = append(e.States, s)
		}
	}
	sort.Strings(e.States)
}

// geometry takes the sizes that a matched model is tied to.
func (e *Envelope) geometry(rec *receiver.Receiver) {
	fix := func(name, unit string, v float64) {
		e.Fixed = append(e.Fixed, Fixed{Name: name, Unit: unit, Low: v, High: v})
	}
	volume := 1.0
	for a := range rec.Block.Min {
		volume *= rec.Block.Max[a] - rec.Block.Min[a]
	}
	fix("block volume", "m3", volume)
	fix("passes", "1", float64(len(rec.Passes)))
	wetted := 0.0
	for i := range rec.Passes {
		s := &rec.Passes[i]
		wetted += math.Pi * s.Inner * (s.To - s.From)
	}
	fix("wetted area of the passes", "m2", wetted)
	if w := rec.Window; w != nil {
		fix("window area", "m2", area(w))
	}
	for i := range rec.Parts {
		if p := &rec.Parts[i]; p.Role == receiver.RoleBlock && p.Medium >= 0 && p.Medium < len(rec.Media) {
			e.Fixed = append(e.Fixed, Fixed{Name: "medium of the block", Text: rec.Media[p.Medium].Name})
			break
		}
	}
}

func (e *Envelope) span(name, unit string, values []float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			low, high = min(low, v), max(high, v)
		}
	}
	if low <= high {
		e.Ranges = append(e.Ranges, Range{name, unit, low, high})
	}
}

// Join widens the envelope by another.
func (e *Envelope) Join(o Envelope) {
	e.Trials = append(e.Trials, o.Trials...)
	for _, r := range o.Ranges {
		i := slices.IndexFunc(e.Ranges, func(q Range) bool { return q.Name == r.Name })
		if i < 0 {
			e.Ranges = append(e.Ranges, r)
			continue
		}
		e.Ranges[i].Low, e.Ranges[i].High = min(e.Ranges[i].Low, r.Low), max(e.Ranges[i].High, r.High)
	}
	for _, s := range o.States {
		if !slices.Contains(e.States, s) {
			e.States = append(e.States, s)
		}
	}
	sort.Strings(e.States)
	for _, f := range o.Fixed {
		i := slices.IndexFunc(e.Fixed, func(q Fixed) bool { return q.Name == f.Name && q.Text == f.Text })
		if i < 0 {
			e.Fixed = append(e.Fixed, f)
			continue
		}
		e.Fixed[i].Low, e.Fixed[i].High = min(e.Fixed[i].Low, f.Low), max(e.Fixed[i].High, f.High)
	}
}

// near is the share of what was shown, the larger of its end and its span, by which a run may lie beyond without being called
// outside: no meter of flow or light tells half a per cent (common practice without a source). nearK is that of
// temperatures in K: a third of the limit of the best class of thermocouples (1.5 K: IEC 60584-1, class 1, type K).
const (
	near  = 0.005
	nearK = 0.5
)

// slack is by how much a run may lie beyond a shown range: smaller differences say nothing of where trust was shown.
func (r *Range) slack() float64 {
	span := r.High - r.Low
	switch r.Unit {
	case "K":
		return max(near*span, nearK)
	case "1", "rad":
		return near * max(span, 1)
	}
	return near * max(span, math.Abs(r.Low), math.Abs(r.High))
}

// liquid sets qualities below zero to zero: there all is liquid, and how cold it is the inlet's temperature tells.
func (r Range) liquid() Range {
	if r.Liquid() {
		r.High = 0
	}
	if strings.HasSuffix(r.Name, qualitySuffix) {
		r.Low = max(r.Low, 0)
	}
	return r
}

const qualitySuffix = " quality"

// Liquid tells whether a range is that of a circuit's quality, and of liquid water throughout.
func (r *Range) Liquid() bool { return strings.HasSuffix(r.Name, qualitySuffix) && r.High <= 0 }

// Leaves compares a run with the envelope and lists what leaves it, in the envelope's order. An empty list: inside.
func (e *Envelope) Leaves(p *heat.Problem, r *heat.Result) []Departure {
	if len(e.Trials) == 0 {
		return []Departure{{Name: "everything", Direction: "never shown", Sentence: "no trial was set aside, so trust was shown nowhere"}}
	}
	run := EnvelopeOf("", p, r)
	var out []Departure
	for _, q := range run.Ranges {
		i := slices.IndexFunc(e.Ranges, func(o Range) bool { return o.Name == q.Name })
		if i < 0 {
			out = append(out, Departure{Name: q.Name, Unit: q.Unit, Direction: "never shown", Sentence: q.Name + " played no part in the trials"})
			continue
		}
		out = append(out, beyond(e.Ranges[i], q)...)
	}
	for _, s := range run.States {
		if !slices.Contains(e.States, s) {
			out = append(out, Departure{Name: s, Direction: "never shown", Sentence: s + " did not occur in the trials"})
		}
	}
	for _, f := range run.Fixed {
		i := slices.IndexFunc(e.Fixed, func(o Fixed) bool { return o.Name == f.Name && o.Text == f.Text })
		switch {
		case i < 0 && f.Text != "":
			out = append(out, Departure{Name: f.Name, Direction: "never shown", Sentence: fmt.Sprintf("%s is %s, which was not in the trials", f.Name, f.Text)})
		case i >= 0:
			out = append(out, beyond(Range{f.Name, f.Unit, e.Fixed[i].Low, e.Fixed[i].High}, Range{f.Name, f.Unit, f.Low, f.High})...)
		}
	}
	return out
}

// beyond says by how much a run's range leaves the shown one, at each end.
func beyond(shown, run Range) []Departure {
	var out []Departure
	shown, run = shown.liquid(), run.liquid()
	span, slack := shown.High-shown.Low, shown.slack()
	add := func(by float64, direction string, at, end float64) {
		if by <= slack {
			return
		}
		d := Departure{Name: run.Name, Unit: run.Unit, By: by, Direction: direction}
		if span > 0 {
			d.Share = by / span
		}
		d.Sentence = fmt.Sprintf("%s reaches %s, %s %s the %s that was shown", run.Name, quantity(at, run.Unit),
			difference(by, run.Unit), direction, quantity(end, run.Unit))
		out = append(out, d)
	}
	add(shown.Low-run.Low, "below", run.Low, shown.Low)
	add(run.High-shown.High, "above", run.High, shown.High)
	return out
}

// quantity prints a value in the unit in which people read it.
func quantity(v float64, unit string) string {
	switch unit {
	case "K":
		return fmt.Sprintf("%.1f °C", v-273.15)
	case "rad":
		return fmt.Sprintf("%.3g°", v*180/math.Pi)
	case "1":
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.4g %s", v, unit)
}

// toDigits prints a difference down to the second digit of half.
func toDigits(v, half float64, unit string) string {
	if !(half > 0) || math.IsInf(half, 0) || half >= 1e6 || half < 1e-4 || unit == "rad" {
		return difference(v, unit)
	}
	last := int(math.Floor(math.Log10(half))) - 1
	if math.Round(half/math.Pow(10, float64(last))) >= 100 {
		last++
	}
	digit := math.Pow(10, float64(last))
	s := strconv.FormatFloat(math.Round(v/digit)*digit, 'f', max(0, -last), 64)
	if unit == "1" {
		return s
	}
	return s + " " + unit
}

// difference is quantity for a difference.
func difference(v float64, unit string) string {
	if unit == "K" {
		return fmt.Sprintf("%.3g K", v)
	}
	return quantity(v, unit)
}
