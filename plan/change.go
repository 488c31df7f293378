package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// Change is one thing of the duty done otherwise. One of its kinds is set.
type Change struct {
	Longer *Longer
	Flow   *Flow
	Cover  *Cover
}

// Longer puts off all that comes after a stretch.
type Longer struct {
	After string  // name of the event with which the stretch begins; "": it begins at From
	From  float64 // s; 0 with a name: when the event comes
	By    float64 // s
}

// Flow gives a circuit another flow.
type Flow struct {
	Circuit string
	Value   float64 // kg/s; 0: Factor counts
	Factor  float64 // on what the duty says
}

// Cover holds the cover in one state from From to To, in s; To +Inf is the end.
type Cover struct {
	Shut     bool
	From, To float64
}

// Kind names what is changed.
func (c *Change) Kind() string {
	switch {
	case c.Longer != nil:
		return "longer"
	case c.Flow != nil:
		return "flow"
	}
	return "cover"
}

// Name says what is done otherwise.
func (c *Change) Name() string {
	switch {
	case c.Longer != nil && c.Longer.After == "" && c.Longer.From == 0:
		return "first stretch " + span(c.Longer.By) + " longer"
	case c.Longer != nil && c.Longer.After == "":
		return "what begins at " + span(c.Longer.From) + " " + span(c.Longer.By) + " longer"
	case c.Longer != nil:
		return c.Longer.After + " " + span(c.Longer.By) + " longer"
	case c.Flow != nil && c.Flow.Value > 0:
		return fmt.Sprintf("circuit %s at %.3g kg/s", c.Flow.Circuit, c.Flow.Value)
	case c.Flow != nil:
		return fmt.Sprintf("circuit %s at %.3g times its flow", c.Flow.Circuit, c.Flow.Factor)
	}
	state := "open"
	if c.Cover.Shut {
		state = "shut"
	}
	if math.IsInf(c.Cover.To, 1) {
		return fmt.Sprintf("cover %s from %s", state, span(c.Cover.From))
	}
	return fmt.Sprintf("cover %s from %s to %s", state, span(c.Cover.From), span(c.Cover.To))
}

// apply does it to a problem, whose duty is copied where it changes.
func (c *Change) apply(p *heat.Problem) error {
	switch {
	case c.Longer != nil:
		return c.Longer.apply(p)
	case c.Flow != nil:
		return c.Flow.apply(p)
	case c.Cover != nil:
		c.Cover.apply(p)
	}
	return nil
}

func (l *Longer) apply(p *heat.Problem) error {
	from := l.From
	if l.After != "" && from == 0 {
		i := slices.IndexFunc(p.Duty.Events, func(e duty.Event) bool { return e.Name == l.After })
		if i < 0 {
			return fmt.Errorf("no event is called %q", l.After)
		}
		from = p.Duty.Events[i].At
	}
	p.Duty.Events, p.Duty.Rules = slices.Clone(p.Duty.Events), slices.Clone(p.Duty.Rules)
	for i := range p.Duty.Events {
		if e := &p.Duty.Events[i]; e.At > from {
			e.At += l.By
		}
	}
	for i := range p.Duty.Rules {
		if r := &p.Duty.Rules[i]; r.After > from {
			r.After += l.By
		}
	}
	p.Until += l.By
	return nil
}

func (f *Flow) apply(p *heat.Problem) error {
	i := slices.IndexFunc(p.Receiver.Circuits, func(c receiver.Circuit) bool { return c.Name == f.Circuit })
	if i < 0 {
		return fmt.Errorf("no circuit is called %q", f.Circuit)
	}
	scaled := func(s duty.Signal) duty.Signal {
		if f.Value > 0 {
			return duty.Fixed(f.Value)
		}
		v := slices.Clone(s.V)
		for k := range v {
			v[k] *= f.Factor
		}
		return duty.Signal{T: s.T, V: v, Step: s.Step}
	}
	for k := range p.Duty.Pumps {
		if slices.Contains(p.Duty.Pumps[k].Circuits, i) {
			if f.Value > 0 {
				return errors.New("a pump sets its flow")
			}
			p.Duty.Pumps = slices.Clone(p.Duty.Pumps)
			p.Duty.Pumps[k].Flow = scaled(p.Duty.Pumps[k].Flow)
			return nil
		}
	}
	if slices.ContainsFunc(p.Duty.Throttle, func(c duty.Control) bool { return c.Circuit == i }) {
		return errors.New("its flow is set to hold what leaves")
	}
	p.Duty.Water = slices.Clone(p.Duty.Water)
	p.Duty.Water[i].Flow = scaled(p.Duty.Water[i].Flow)
	return nil
}

func (c *Cover) apply(p *heat.Problem) {
	shut := map[bool]float64{true: 1}[c.Shut]
	state := p.Duty.Switches.CoverShut
	var events []duty.Event
	set := func(at, v float64) {
		events = append(events, duty.Event{At: at, Name: "cover", Do: []duty.Action{{What: duty.SetCover, Value: v}}})
	}
	begun, ended := false, false
	begin := func() {
		if !begun {
			begun = true
			set(c.From, shut)
		}
	}
	end := func() {
		if !ended {
			ended = true
			if state != c.Shut {
				set(c.To, map[bool]float64{true: 1}[state])
			}
		}
	}
	for _, e := range p.Duty.Events {
		if e.At > c.From {
			begin()
		}
		if e.At >= c.To {
			end()
		}
		do := slices.Clone(e.Do)
		for _, a := range do {
			if a.What == duty.SetCover {
				state = a.Value != 0
			}
		}
		if e.At >= c.From && e.At < c.To {
			do = slices.DeleteFunc(do, func(a duty.Action) bool { return a.What == duty.SetCover })
		}
		events = append(events, duty.Event{At: e.At, Name: e.Name, Do: do})
	}
	begin()
	if c.To < p.Until {
		end()
	}
	p.Duty.Events = events
}
