package season

import (
	"emberbank/duty"
	"emberbank/heat"
)

// moment is what the coming step is computed with.
type moment struct {
	weather heat.Weather
	shut    bool
	light   float64   // signal
	heaters []float64 // W
	flows   []float64 // kg/s by circuit; 0: empty; below 0: as its control chooses
	inlet   []float64 // K
	press   []float64 // Pa
}

// of reads a duty at a time.
func (a *moment) of(d *duty.Duty, sw *duty.Switches, t float64) {
	a.weather = heat.WeatherAt(d, t)
	a.shut = sw.CoverShut
	a.light = 0
	if d.Light != nil && sw.Light && !sw.CoverShut {
		a.light = d.Light.Power.At(t)
	}
	for i := range a.heaters {
		a.heaters[i] = 0
		if sw.Heaters[i] {
			a.heaters[i] = d.Heaters[i].At(t)
		}
	}
	for i := range a.flows {
		a.flows[i] = 0
		if sw.Water[i] != duty.Flowing {
			continue
		}
		q := &d.Water[i]
		a.flows[i] = -1
		if !q.Flow.Empty() {
			a.flows[i] = q.Flow.At(t) * sw.FlowShare[i]
		}
		for _, k := range d.Throttle {
			if k.Circuit == i {
				a.flows[i] = -1
			}
		}
		a.inlet[i], a.press[i] = 288.15, 1e5
		if !q.Inlet.Empty() {
			a.inlet[i] = q.Inlet.At(t)
		}
		if !q.Pressure.Empty() {
			a.press[i] = q.Pressure.At(t)
		}
	}
}
