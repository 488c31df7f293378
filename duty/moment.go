package duty

import (
	"fmt"
	"slices"
	"sort"
)

// Moment is a time at which a duty switches: an event, or a jump of light, heater, flow or inlet.
type Moment struct {
	At       float64 // s
	What     string  // the event's name, or what jumps; "" for an event without a name
	Least    float64 // s, by which it may be moved at most without crossing what stands before it, below zero
	Most     float64 // s, the same behind it
	event    int     // -1: a jump
	signal   int     // in switched
	from, to int     // knots of the signal that the jump is
}

// switched are the signals whose jumps are moments, with what they are called.
func (d *Duty) switched() (signals []*Signal, names []string) {
	add := func(s *Signal, name string) { signals, names = append(signals, s), append(names, name) }
	if d.Light != nil {
		add(&d.Light.Power, "the light")
	}
	for i := range d.Heaters {
		add(&d.Heaters[i], fmt.Sprintf("heater %d", i+1))
	}
	for i := range d.Water {
		add(&d.Water[i].Flow, fmt.Sprintf("the flow of circuit %d", i+1))
		add(&d.Water[i].Inlet, fmt.Sprintf("the inlet of circuit %d", i+1))
	}
	for i := range d.Pumps {
		add(&d.Pumps[i].Flow, fmt.Sprintf("the flow of pump %d", i+1))
	}
	return signals, names
}

// Moments lists the times between 0 and until (s) at which the duty switches by the clock, rising. Rules are none: they
// switch by what they watch.
func (d *Duty) Moments(until float64) []Moment {
	var all []Moment
	for i := range d.Events {
		if e := &d.Events[i]; e.At > 0 && e.At < until && len(e.Do) > 0 {
			m := Moment{At: e.At, What: e.Name, event: i, Least: -e.At, Most: until - e.At}
			if i > 0 {
				m.Least = d.Events[i-1].At - e.At
			}
			if i+1 < len(d.Events) {
				m.Most = min(m.Most, d.Events[i+1].At-e.At)
			}
			all = append(all, m)
		}
	}
	signals, names := d.switched()
	for k, s := range signals {
		for i := 1; i < len(s.T); i++ {
			m := Moment{At: s.T[i], What: names[k], event: -1, signal: k, from: i, to: i, Least: s.T[i-1] - s.T[i]}
			switch {
			case m.At <= 0 || m.At >= until || s.V[i] == s.V[i-1] || !s.Step && s.T[i] != s.T[i-1]:
				continue
			case !s.Step:
				m.from, m.Least = i-1, -s.T[i]
				if i > 1 {
					m.Least = s.T[i-2] - s.T[i]
				}
			}
			if m.Most = until - m.At; i+1 < len(s.T) {
				m.Most = min(m.Most, s.T[i+1]-m.At)
			}
			all = append(all, m)
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].At < all[b].At })
	return all
}

// Move sets a moment of this very duty later by so many seconds (below zero: earlier). What is changed is copied first.
func (d *Duty) Move(m Moment, by float64) {
	if m.event >= 0 {
		d.Events = slices.Clone(d.Events)
		d.Events[m.event].At += by
		return
	}
	if d.Light != nil {
		light := *d.Light
		d.Light = &light
	}
	d.Heaters, d.Water, d.Pumps = slices.Clone(d.Heaters), slices.Clone(d.Water), slices.Clone(d.Pumps)
	signals, _ := d.switched()
	s := signals[m.signal]
	s.T = slices.Clone(s.T)
	for i := m.from; i <= m.to; i++ {
		s.T[i] += by
	}
}
