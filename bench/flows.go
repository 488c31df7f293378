package bench

import (
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/trial"
	"emberbank/unit"
	"emberbank/water"
)

// checkFlows looks at every circuit over the whole duty: a flowing one needs water, a flow above zero, and an
// inlet that is liquid.
func (d *dutyPlan) checkFlows() {
	pumped := map[int]int{}
	for k, p := range d.out.Pumps {
		for _, i := range p.Circuits {
			pumped[i] = k + 1
		}
	}
	held := map[int]bool{}
	for _, c := range d.out.Throttle {
		held[c.Circuit] = true
	}
	for i, v := range d.water {
		if v == nil {
			continue
		}
		name := d.rec.Circuits[i].Name
		served := d.out.Load != nil && slices.Contains(d.out.Load.Circuits, i)
		wet, spans := d.wetTimes(i)
		if !wet && !served {
			continue
		}
		if !v.has("inlet") {
			d.r.wrong(v, fmt.Sprintf("circuit %s carries water, but its inlet has no temperature", name), "inlet", `add "inlet: 15 degC"`)
		}
		d.checkInlet(i, v)
		if !slices.Contains(d.water[:i], v) { // water that circuits share is told once
			d.checkPressure(i, v.get("pressure"))
		}
		flow, at := &d.out.Water[i].Flow, v.get("flow")
		switch k := pumped[i]; {
		case served:
			if !slices.ContainsFunc(d.out.Load.Circuits, func(o int) bool { return o < i }) { // the limits are told once
				b, most := d.v.get("load", "between"), duty.Fixed(d.out.Load.Max)
				d.checkVelocity(i, &most, b.list[1], [][2]float64{{0, math.Inf(1)}})
			}
			continue
		case held[i]:
			if b := v.get("hold outlet", "between"); b != nil {
				most := duty.Fixed(b.list[1].num)
				d.checkVelocity(i, &most, b.list[1], spans)
			}
			continue
		case k > 0:
			flow, at = &d.out.Pumps[k-1].Flow, d.v.get("pumps").items()[k-1].get("flow")
		case at == nil && len(spans) == 0: // its water only stands
			continue
		case at == nil:
			d.r.wrong(v, fmt.Sprintf("circuit %s flows, but nothing sets its flow", name), "flow, hold outlet, or a pump", `add "flow: 0.09 kg/s"`)
			continue
		}
		if k := pumped[i]; k == 0 {
			d.checkVelocity(i, flow, at, spans)
		}
		for _, s := range spans {
			if x := least(flow, s[0], s[1]); x <= 0 {
				d.r.wrong(at, fmt.Sprintf("the flow of circuit %s is zero while it flows", name),
					"above 0 kg/s while the circuit flows",
					fmt.Sprintf("give a flow above zero, or switch the circuit: \"water %s: closed\" (full, valves shut) or \"drained\" (empty)", name))
				break
			}
		}
	}
}

// Velocities of liquid water in a tube, m/s, outside of which a flow is doubted: tap water and pumps of this trade
// stay between (common practice). They catch kg/s typed for kg/h and the reverse, a factor of 3600.
const slowest, fastest = 0.002, 10

// checkVelocity doubts a flow that at its greatest is far from what a tube carries.
func (d *dutyPlan) checkVelocity(i int, flow *duty.Signal, at *value, spans [][2]float64) {
	bore := math.Inf(1)
	for _, run := range d.rec.Circuits[i].Runs {
		if x := d.rec.Passes[run.Pass].Inner; x > 0 {
			bore = min(bore, x)
		}
	}
	most := 0.0
	for _, s := range spans {
		most = max(most, greatest(flow, s[0], s[1]))
	}
	if math.IsInf(bore, 1) || !(most > 0) {
		return
	}
	v := most / 1000 / (math.Pi / 4 * bore * bore)
	if v < slowest || v > fastest {
		d.r.doubt(at, fmt.Sprintf("%s is %q: water at up to %.2g m/s in a bore of %s", at.path, at.typed(), v, mm(bore)),
			fmt.Sprintf("look at the unit (kg/s, kg/h) and at the bore: from %g to %g m/s is common practice", slowest, float64(fastest)))
	}
}

// checkPressure doubts water below the air's pressure: it does not leave by itself, and who types it has a gauge in mind,
// which counts from the air.
func (d *dutyPlan) checkPressure(i int, at *value) {
	x := least(&d.out.Water[i].Pressure, 0, math.Inf(1))
	if at == nil || !(x < trial.LeastAir) {
		return
	}
	d.r.doubt(at, fmt.Sprintf("%s is %q: below the air's pressure, so that the water would have to be sucked out; pressures here are absolute", at.path, at.typed()),
		fmt.Sprintf("did you mean %s above the air's? Then give %s", unit.Format(x, unit.Pressure, "bar"), unit.Format(x+trial.SeaLevelAir, unit.Pressure, "bar")))
}

// wetTimes tells whether a circuit ever holds water, and when it may be flowing.
func (d *dutyPlan) wetTimes(i int) (wet bool, spans [][2]float64) {
	state, since := d.out.Switches.Water[i], 0.0
	wet = state != duty.Drained
	note := func(until float64) {
		if state == duty.Flowing && until > since {
			spans = append(spans, [2]float64{since, until})
		}
	}
	for _, e := range d.out.Events {
		for _, a := range e.Do {
			if a.What == duty.SetWater && a.Index == i {
				note(e.At)
				state, since = duty.WaterState(a.Value), e.At
				wet = wet || state != duty.Drained
			}
		}
	}
	note(math.Inf(1))
	for _, r := range d.out.Rules {
		for _, a := range append(append([]duty.Action(nil), r.Do...), r.Else...) {
			if a.What != duty.SetWater || a.Index != i || duty.WaterState(a.Value) == duty.Drained {
				continue
			}
			wet = true
			if duty.WaterState(a.Value) == duty.Flowing {
				spans = append(spans, [2]float64{r.After, math.Inf(1)})
			}
		}
	}
	return wet, spans
}

// checkInlet looks whether the inlet is liquid at the circuit's pressure: not ice, not steam; and whether the temperature
// that the outlet holds tells water from steam there.
func (d *dutyPlan) checkInlet(i int, v *value) {
	w := &d.out.Water[i]
	at := v.get("inlet")
	if at == nil {
		return
	}
	for _, t := range append(append([]float64{0}, w.Inlet.T...), w.Pressure.T...) {
		p := w.Pressure.At(t)
		boils, err := water.SaturationTemperature(p)
		if err != nil {
			continue // the pressure's own range was checked when it was read
		}
		if T := w.Inlet.At(t); T >= boils {
			d.r.wrong(at, fmt.Sprintf("at %s the water would be steam at the inlet", unit.Format(p, unit.Pressure, "bar")),
				fmt.Sprintf("below %.1f degC, where it boils at that pressure", boils-273.15), "lower the inlet temperature or raise the pressure: a circuit takes in liquid only, steam that would condense along it is left out")
			return
		}
		if h := v.get("hold outlet", "at"); h != nil && math.Abs(h.num-boils) < 1 {
			d.r.doubt(h, fmt.Sprintf("%s is %q: at %s water boils at %.1f degC, so that the outlet is as hot from the first bubble to the last drop",
				h.path, h.typed(), unit.Format(p, unit.Pressure, "bar"), boils-273.15), "hold quality instead, or another temperature")
			return
		}
	}
}
