package web

import (
	"slices"
	"strings"

	"emberbank/duty"
	"emberbank/heat"
)

// markBody is an event on the time axis.
type markBody struct {
	At   float64  `json:"at_s"`
	What string   `json:"what" doc:"the name that the duty gives it"`
	Does []string `json:"does" doc:"what it switched, such as cover on or water off"`
}

// marks are the events of an answer, with what the duty says that each of them does.
func (a *answer) marks() []markBody {
	out := []markBody{}
	for _, e := range a.events {
		m := markBody{At: e.At, What: e.What, Does: []string{}}
		if a.loaded != nil {
			p := &a.loaded.Problem
			circuits, heaters := make([]string, len(p.Receiver.Circuits)), make([]string, len(p.Receiver.Heaters))
			for i := range circuits {
				circuits[i] = p.Receiver.Circuits[i].Name
			}
			for i := range heaters {
				heaters[i] = p.Receiver.Heaters[i].Name
			}
			m.Does = append(m.Does, does(actionsOf(&p.Duty, e), circuits, heaters)...)
		}
		out = append(out, m)
	}
	return out
}

// actionsOf finds what an event or a rule of the duty switches; rules add to their name when their value has come back.
func actionsOf(d *duty.Duty, m heat.Mark) []duty.Action {
	if i := slices.IndexFunc(d.Events, func(e duty.Event) bool { return e.Name == m.What && e.At <= m.At }); i >= 0 {
		return d.Events[i].Do
	}
	for _, r := range d.Rules {
		switch m.What {
		case r.Name:
			return r.Do
		case r.Name + ": back":
			return r.Else
		}
	}
	return nil
}

// does says switches in words: alike switches of all circuits or heaters in one.
func does(actions []duty.Action, circuits, heaters []string) (words []string) {
	for i, a := range actions {
		of, all := "", 0
		switch a.What {
		case duty.SetWater, duty.SetFlowShare:
			of, all = nameAt(circuits, a.Index), len(circuits)
		case duty.SetHeater:
			of, all = nameAt(heaters, a.Index), len(heaters)
		default:
		}
		alike := func(b duty.Action) bool { return b.What == a.What && b.Value == a.Value }
		if n := len(slices.DeleteFunc(slices.Clone(actions), func(b duty.Action) bool { return !alike(b) })); n == all || all <= 1 {
			if slices.ContainsFunc(actions[:i], alike) {
				continue
			}
			of = ""
		}
		words = append(words, strings.Join(strings.Fields(switched(a, of)), " "))
	}
	return words
}

func nameAt(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return ""
	}
	return names[i]
}

func switched(a duty.Action, of string) string {
	onOff := "off"
	if a.Value != 0 {
		onOff = "on"
	}
	switch a.What {
	case duty.SetLight:
		return "light " + onOff
	case duty.SetCover:
		return "cover " + onOff
	case duty.SetHeater:
		return "heater " + of + " " + onOff
	case duty.SetFlowShare:
		return "flow " + of + " changed"
	case duty.StopRun:
		return "stops"
	case duty.SetWater:
	}
	switch duty.WaterState(a.Value) {
	case duty.Flowing:
		return "water " + of + " on"
	case duty.Closed:
		return "water " + of + " shut in"
	case duty.Open:
		return "water " + of + " standing open"
	case duty.Drained:
	}
	return "water " + of + " drained"
}
