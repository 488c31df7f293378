package duty

import (
	"slices"
	"sort"
)

// Over returns the duty with everything that repeats written out up to a time in s: a march needs to know where it has to
// stop.
func (d *Duty) Over(until float64) Duty {
	out := *d
	if d.Light != nil {
		light := *d.Light
		out.Light = &light
	}
	if d.Load != nil {
		load := *d.Load
		out.Load = &load
	}
	out.Heaters, out.Water, out.Pumps = slices.Clone(d.Heaters), slices.Clone(d.Water), slices.Clone(d.Pumps)
	for _, s := range out.signals() {
		*s = s.Over(until)
	}
	out.Events = slices.Clone(d.Events)
	for i := range d.Events {
		e := d.Events[i]
		every := e.Every
		e.Every = 0
		out.Events[i] = e
		for k := 1.0; every > 0 && d.Events[i].At+k*every <= until; k++ {
			e.At = d.Events[i].At + k*every
			out.Events = append(out.Events, e)
		}
	}
	sort.SliceStable(out.Events, func(i, j int) bool { return out.Events[i].At < out.Events[j].At })
	return out
}
