package bench

import (
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/unit"
)

// load reads what is wanted of the water.
func (d *dutyPlan) load() {
	v := d.v.get("load")
	if v == nil {
		return
	}
	l := &duty.Load{
		Band: v.get("band").number(duty.DefaultBand), Rest: v.get("rest").number(duty.DefaultRest),
		Serves: v.get("serves").number(0), Shut: waterStates[v.get("shut").word("drained")],
	}
	heat, steam := v.get("heat"), v.get("steam")
	switch {
	case heat != nil && steam != nil:
		d.r.wrong(steam, "both heat and steam are wanted", "one of the two", "take one of them out")
	case heat == nil && steam == nil && !v.partial:
		d.r.wrong(v, "nothing says what is wanted", "heat or steam", `add "heat: 2 kW" or "steam: 3 kg/h"`)
	case steam != nil:
		l.Steam = true
		if s := v.get("serves"); s != nil {
			d.r.wrong(s, "steam is as hot as it is at the circuit's pressure", "nothing beside steam", "take it out, or set the circuit's pressure")
		}
	}
	l.Wanted = d.r.signal(firstOf(heat, steam))
	if b := v.get("between"); b != nil {
		l.Min, l.Max = b.list[0].num, b.list[1].num
		d.limits(b)
	}
	if d.rec == nil {
		return
	}
	d.loadOpens(l, v.get("opens"))
	if !l.Wanted.Empty() && len(l.Circuits) > 0 && !v.partial {
		d.out.Load = l
	}
}

// limits looks at a least and a greatest flow.
func (d *dutyPlan) limits(b *value) {
	if b.list[0].num >= b.list[1].num {
		d.r.wrong(b, "the limits do not rise", "least flow below greatest", "exchange the two")
	}
	if b.list[0].num <= 0 {
		d.r.wrong(b.list[0], "a flowing circuit needs a flow above 0", "above 0 kg/s", "give a small flow, for example \"0.002 kg/s\"")
	}
}

// loadOpens reads which circuits a load opens, and makes sure that nothing else does.
func (d *dutyPlan) loadOpens(l *duty.Load, v *value) {
	if v == nil {
		for i := range d.rec.Circuits {
			l.Circuits = append(l.Circuits, i)
		}
		if len(l.Circuits) == 0 && !d.recPartial {
			d.r.problemAt(d.v.get("load"), "the duty has a load, but the receiver has no circuit to serve it", "a receiver with circuits", "describe passes and circuits in the receiver")
		}
	}
	for _, name := range v.items() {
		i := d.circuitNumber(name.text, name)
		switch {
		case i < 0:
		case slices.Contains(l.Circuits, i):
			d.r.wrong(name, "the load opens this circuit already", "each circuit once", "take it out")
		default:
			l.Circuits = append(l.Circuits, i)
		}
	}
	for _, i := range l.Circuits {
		d.loadsAlone(l, i)
	}
}

// loadsAlone: a circuit of the load is switched by it, and its flow set by it, alone.
func (d *dutyPlan) loadsAlone(l *duty.Load, i int) {
	name := d.rec.Circuits[i].Name
	if w := d.water[i]; w != nil {
		for _, key := range []string{"flow", "hold outlet"} {
			if x := w.get(key); x != nil {
				d.r.wrong(x, fmt.Sprintf("the load sets the flow of circuit %s", name), "neither flow nor hold outlet in a circuit that the load opens", "take it out, or the circuit out of the load's \"opens\"")
			}
		}
		if s := w.get("state"); s != nil && s.text != d.v.get("load", "shut").word("drained") {
			d.r.wrong(s, fmt.Sprintf("the load opens and shuts circuit %s", name), "no state in a circuit that the load opens", `take it out; "shut" of the load says what stands in circuits that are shut`)
		}
		if inlet := w.get("inlet"); inlet != nil && l.Serves > 0 {
			if x := greatest(&d.out.Water[i].Inlet, 0, math.Inf(1)); l.Serves <= x {
				d.r.wrong(d.v.get("load", "serves"), "the water enters as hot as "+unit.Format(x, unit.Temperature, "degC"), "above the inlet's temperature", "raise it, or lower the inlet's")
			}
		}
	}
	d.out.Switches.Water[i] = l.Shut
	for k, p := range d.out.Pumps {
		if slices.Contains(p.Circuits, i) {
			d.r.wrong(d.v.get("pumps").items()[k], fmt.Sprintf("the load sets the flow of circuit %s", name), "no pump on a circuit that the load opens", "take the circuit out here, or out of the load's \"opens\"")
		}
	}
}

// switchesLoad complains of events and rules that switch the water of circuits that the load opens.
func (d *dutyPlan) switchesLoad() {
	if d.out.Load == nil {
		return
	}
	look := func(do *value, actions []duty.Action) {
		for _, a := range actions {
			if (a.What == duty.SetWater || a.What == duty.SetFlowShare) && slices.Contains(d.out.Load.Circuits, a.Index) {
				d.r.wrong(do, fmt.Sprintf("the load opens, throttles and shuts circuit %s", d.rec.Circuits[a.Index].Name),
					"no water or flow of a circuit that the load opens", `take it out; a load of zero shuts the circuit, or leave it out of the load's "opens"`)
				return
			}
		}
	}
	for _, v := range d.v.get("events").items() {
		look(v.get("do"), d.actions(v.get("do")))
	}
	for _, v := range d.v.get("rules").items() {
		look(v.get("do"), d.actions(v.get("do")))
		look(v.get("else"), d.actions(v.get("else")))
	}
}
