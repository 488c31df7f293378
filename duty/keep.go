package duty

import "slices"

// KeepCircuits takes out of a duty what it says of circuits that are no more. To holds, for each circuit that the duty
// knew, its new place, or -1: then its water goes, its place at a pump and in the load, what switches it, and the rules that watch it. A
// pump's whole flow goes through the circuits that it still feeds; a pump without any goes, as do events and rules that have
// nothing left to do. The duty shares nothing with the one before that was changed.
func (d *Duty) KeepCircuits(to []int) {
	var water []Water
	s := d.Switches.Clone()
	s.Water, s.FlowShare = nil, nil
	for i, place := range to {
		if place >= 0 && i < len(d.Water) {
			water = append(water, d.Water[i])
			s.Water, s.FlowShare = append(s.Water, d.Switches.Water[i]), append(s.FlowShare, d.Switches.FlowShare[i])
		}
	}
	d.Water, d.Switches = water, s
	var throttle []Control
	for _, c := range d.Throttle {
		if c.Circuit = to[c.Circuit]; c.Circuit >= 0 {
			throttle = append(throttle, c)
		}
	}
	d.Throttle = throttle
	var pumps []Pump
	for _, p := range d.Pumps {
		if p.Circuits = moved(p.Circuits, to); len(p.Circuits) > 0 {
			pumps = append(pumps, p)
		}
	}
	d.Pumps = pumps
	d.Load = d.Load.keepCircuits(to)
	d.keepSwitches(to)
}

// keepSwitches is the part of events and rules.
func (d *Duty) keepSwitches(to []int) {
	ofCircuit := func(a Action) bool { return a.What == SetWater || a.What == SetFlowShare }
	d.Strip(func(a Action) bool { return ofCircuit(a) && to[a.Index] < 0 })
	renumber := func(do []Action) {
		for i := range do {
			if ofCircuit(do[i]) {
				do[i].Index = to[do[i].Index]
			}
		}
	}
	d.Events = slices.DeleteFunc(d.Events, func(e Event) bool { return len(e.Do) == 0 })
	for i := range d.Events {
		renumber(d.Events[i].Do)
	}
	watches := func(w *Watch) bool {
		return w.What == WatchOutlet || w.What == WatchQuality || w.What == WatchSteam || w.What == WatchPressure
	}
	d.Rules = slices.DeleteFunc(d.Rules, func(r Rule) bool {
		return watches(&r.Watch) && to[r.Watch.Index] < 0 || len(r.Do)+len(r.Else) == 0
	})
	for i := range d.Rules {
		r := &d.Rules[i]
		renumber(r.Do)
		renumber(r.Else)
		if watches(&r.Watch) {
			r.Watch.Index = to[r.Watch.Index]
		}
	}
}

func moved(circuits, to []int) (out []int) {
	for _, c := range circuits {
		if to[c] >= 0 {
			out = append(out, to[c])
		}
	}
	return out
}
