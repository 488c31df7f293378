package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/gauge"
	"emberbank/glass"
	"emberbank/optics"
	"emberbank/receiver"
	"emberbank/uncertainty"
	"emberbank/unit"
)

// mapsAgree is by how much the power that a measured map carries may depart from the stated one (common practice: what
// gauges and sums over coarse maps are worth).
const mapsAgree = 0.05

// fluxUnit parts the first cell of a map: the heading of the coordinates, and the SI value of 1 in the flux's unit where a
// second unit in brackets names it, else 0.
func (r *reader) fluxUnit(t *table) (lengths string, scale float64) {
	head := t.headings[0]
	end := strings.Index(head, "]")
	if end < 0 || !strings.Contains(head[end:], "[") {
		return head, 0
	}
	lengths = head[:end+1]
	_, u := unit.ParseHeading(strings.Trim(head[end+1:], " ,;"))
	conv, err := unit.Between(unit.HeatFlux, u)
	if err != nil {
		what, fix := unitTrouble(err, quantity(unit.HeatFlux, "", ""))
		r.report(Problem{
			File: t.name, Line: 1, Column: 1, Typed: head, Message: fmt.Sprintf("the first cell is %q: %s", head, what),
			Allowed: `"height [mm] flux [kW/m2]": the unit of both coordinates, then that of the flux`, Fix: fix,
		})
		return lengths, 0
	}
	return lengths, conv.ToSI(1)
}

// measuredMap gives the power that a map carries on the opening, where none is stated, or holds the stated one against it.
func (r *reader) measuredMap(at, stated *value, l *duty.Light, open [2][2]float64, scale float64) {
	if len(l.Map.Table) == 0 {
		return
	}
	opening := block.Box{Min: block.Point{0, open[0][0], open[1][0]}, Max: block.Point{0, open[0][1], open[1][1]}}
	carried := optics.PowerAtPeak(l.Map, opening, slices.Max(l.Map.Table)*scale)
	if stated == nil {
		l.Power = duty.Fixed(carried)
		return
	}
	most, least := greatest(&l.Power, 0, math.Inf(1)), least(&l.Power, 0, math.Inf(1))
	if l.Peak {
		most, least = optics.PowerAtPeak(l.Map, opening, most), optics.PowerAtPeak(l.Map, opening, least)
	}
	if carried > most*(1+mapsAgree) || carried < least*(1-mapsAgree) {
		r.wrong(at, fmt.Sprintf("the map carries %s on the opening, but %s gives %s at the most", watts(carried), stated.path, watts(most)),
			"a map that adds up to the stated power, to 5 %", "look at the map's unit and at the opening; take the flux's unit out of its first cell where only its shape counts, or take "+stated.path+" out: the map then gives the power")
	}
}

// watts writes a power with its unit.
func watts(x float64) string { return fmt.Sprintf("%.4g W", x) }

// spectrum takes the light's spectrum into what the pane does with it.
func (r *reader) spectrum(v *value, rec *receiver.Receiver) {
	if !v.isQuantity() {
		return
	}
	if rec == nil || rec.Window == nil || rec.Window.Glass == nil || r.matter == nil {
		if rec != nil && r.matter == nil {
			r.doubt(v, v.path+" does not count: no pane's values follow from what it is made of", "take it out, or take the pane's transmittance out")
		}
		return
	}
	passLight(rec.Window.Glass, *r.matter, glass.Black(v.num))
}

// readingForm is what a calorimeter or gauges said, in the window's place.
func readingForm() *form {
	lost := field{key: "lost", typ: quantity(unit.Power, "0 W", "1 MW"), def: "0 W", doc: "what it loses to its surroundings meanwhile"}
	taken := field{key: "takes up", typ: like(above(unit.Dimensionless, "0", "1"), "97 %"), def: "100 %", doc: "share of the light on its opening that it absorbs"}
	rise := field{key: "rise", typ: like(above(unit.TemperatureDifference, "0 K", "1000 K"), "14.2 ± 0.2 K"), required: true, doc: "of the temperature"}
	return &form{name: "a reading", doc: "The power of the light on the window, as an instrument with an opening as large in the window's place told it. Write each number with its half-width at 95 % behind ±: the power's uncertainty follows, is told with what it comes from, and is carried by `run --uncertainty`.", fields: []field{
		{key: "calorimeter", typ: mapping(&form{name: "a calorimeter", doc: "Water flows through it until nothing changes any more: power = (flow · heat capacity · rise + lost)/takes up.", fields: []field{
			{key: "flow", typ: either(like(above(unit.MassFlow, "0 kg/s", "100 kg/s"), "0.05 ± 0.0005 kg/s"), like(above(unit.VolumeFlow, "0 l/min", "1e4 l/min"), "3 ± 0.03 l/min")), required: true, doc: "of the water"},
			rise,
			{key: "heat capacity", typ: like(above(unit.HeatCapacity, "0 J/(kg K)", "20000 J/(kg K)"), "4180 J/(kg K)"), def: "4182 ± 8 J/(kg K): water from 10 to 60 degC", doc: "of the water"},
			{key: "density", typ: like(above(unit.Density, "0 kg/m3", "2000 kg/m3"), "998 kg/m3"), def: "997 ± 4 kg/m3: water from 5 to 35 degC", doc: "of the water at its meter, where the flow is one of volume"},
			lost, taken,
		}}), doc: "through which water flows"},
		{key: "plate", typ: mapping(&form{name: "a plate", doc: "A plate of even temperature heats up: power = (mass · heat capacity · rise/time + lost)/takes up.", fields: []field{
			{key: "mass", typ: like(above(unit.Mass, "0 kg", "1000 kg"), "1.2 kg"), required: true, doc: "of the plate"},
			{key: "heat capacity", typ: like(above(unit.HeatCapacity, "0 J/(kg K)", "20000 J/(kg K)"), "385 ± 5 J/(kg K)"), required: true, doc: "of its material"},
			rise,
			{key: "time", typ: like(above(unit.Time, "0 s", "1 d"), "30 s"), required: true, doc: "within which it rises so much"},
			lost, taken,
		}}), doc: "that heats up"},
		{key: "gauges", typ: mapping(&form{name: "flux gauges", doc: "Readings at places that share the opening out among them: power = calibration · area · sum of readings.", fields: []field{
			{key: "readings", typ: list(like(quantity(unit.HeatFlux, "0 W/m2", "100 MW/m2"), "85 kW/m2"), 1), required: true, doc: "of the flux, one for each place"},
			{key: "area", typ: like(above(unit.Area, "0 m2", "100 m2"), "4 cm2"), required: true, doc: "of the opening for which each stands"},
			{key: "calibration", typ: like(above(unit.Dimensionless, "0", "10"), "1 ± 0.03"), def: "1", doc: "factor on all readings; write ± behind it for what they all read wrong alike"},
		}}), doc: "at several places"},
	}}
}

// quantityOf is a value with what is known of it, half-widths at 95 % being normal.
func quantityOf(v *value, name string, def, half float64) uncertainty.Quantity {
	q := uncertainty.Quantity{Name: name, Value: def}
	if v != nil {
		q.Value, half = v.num, v.half
	}
	if half > 0 {
		q.Components = []uncertainty.Component{{Name: name, U: half / half95}}
	}
	return q
}

// lightReading reduces what an instrument said to the power on the window.
func (r *reader) lightReading(v *value, l *duty.Light) {
	if v.partial {
		return
	}
	b, kind, err := r.reduce(v)
	switch {
	case kind == "":
		r.wrong(v, "no instrument is given", "one of calorimeter, plate and gauges", `add "calorimeter: {flow: 3 l/min, rise: 14 K}"`)
		return
	case err != nil:
		r.problemAt(v, v.path+": "+err.Error(), "", "mend the reading")
		return
	case !(b.Value > 0):
		r.problemAt(v, fmt.Sprintf("%s comes to a power of %s", v.path, watts(b.Value)), "a power above zero", "look at the reading")
		return
	}
	l.Power = duty.Fixed(b.Value)
	r.readings = append(r.readings, told(kind, &b))
}

func (r *reader) reduce(v *value) (b uncertainty.Budget, kind string, err error) {
	lost := func(v *value) uncertainty.Quantity { return quantityOf(v.get("lost"), "lost", 0, 0) }
	taken := func(v *value) uncertainty.Quantity { return quantityOf(v.get("takes up"), "share taken up", 1, 0) }
	for _, key := range []string{"calorimeter", "plate", "gauges"} {
		c := v.get(key)
		if c == nil {
			continue
		}
		if kind != "" {
			r.wrong(c, "two instruments are given", "one of calorimeter, plate and gauges", "take one out")
			continue
		}
		kind = key
		rise := quantityOf(c.get("rise"), "rise", math.NaN(), 0)
		switch key {
		case "calorimeter":
			flow := quantityOf(c.get("flow"), "flow", math.NaN(), 0)
			capacity := quantityOf(c.get("heat capacity"), "heat capacity", 4182, 8)
			if f := c.get("flow"); f != nil && f.typ.dim == unit.VolumeFlow {
				// the density's share is carried as one of the heat capacity, since only their product counts
				d := quantityOf(c.get("density"), "density", 997, 4)
				flow.Value *= d.Value
				for i := range flow.Components {
					flow.Components[i].U *= d.Value
				}
				for _, k := range d.Components {
					capacity.Components = append(capacity.Components, uncertainty.Component{Name: "density", U: k.U / d.Value * capacity.Value})
				}
			}
			b, err = gauge.Water(flow, rise, capacity, lost(c), taken(c))
		case "plate":
			b, err = gauge.Plate(quantityOf(c.get("mass"), "mass", math.NaN(), 0), quantityOf(c.get("heat capacity"), "heat capacity", math.NaN(), 0),
				rise, quantityOf(c.get("time"), "time", math.NaN(), 0), lost(c), taken(c))
		default:
			var q []uncertainty.Quantity
			for _, x := range c.get("readings").items() {
				q = append(q, quantityOf(x, fmt.Sprintf("reading %d", len(q)+1), 0, 0))
			}
			b, err = gauge.Gauges(quantityOf(c.get("area"), "area", math.NaN(), 0), quantityOf(c.get("calibration"), "calibration", 1, 0), q)
		}
	}
	return b, kind, err
}

// told is a reading in one sentence: the power, how well it is known, and what that comes from.
func told(kind string, b *uncertainty.Budget) string {
	s := fmt.Sprintf("light: %s on the window, by %s", watts(b.Value), kind)
	if b.U == 0 {
		return s + "; how well it is known is not said"
	}
	s = fmt.Sprintf("light: %.4g ± %.2g W on the window, by %s", b.Value, b.Expanded(0.95), kind)
	rows := slices.Clone(b.Rows)
	slices.SortStableFunc(rows, func(x, y uncertainty.Row) int {
		switch {
		case x.Share > y.Share:
			return -1
		case x.Share < y.Share:
			return 1
		}
		return 0
	})
	var parts []string
	for _, row := range rows {
		if row.Share >= 0.005 && len(parts) < 4 {
			parts = append(parts, fmt.Sprintf("%s %.0f %%", row.Component, 100*row.Share))
		}
	}
	return s + "; of its variance " + strings.Join(parts, ", ")
}
