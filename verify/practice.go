package verify

import (
	"math"

	"emberbank/material"
)

const (
	practiceTopic = "common practice"
	noSource      = "common practice, no source"
)

func practice() []known {
	return []known{zincCharge(), zincDrain(), sensitivity(400), sensitivity(5000)}
}

// zincLatent returns the latent heat in J of a volume of block with 30 % of zinc, by the catalogue.
func zincLatent(volume float64) float64 {
	e, ok := material.Lookup("zinc")
	if !ok {
		return math.NaN()
	}
	return volume * 0.3 * e.Density * e.Latent
}

// plateau returns how long the run had between the two melted shares, s, stretched to the whole latent heat, and
// the mean of a heat flow over that time, W.
func plateau(o *outcome, low, high float64, flow func(i int) float64) (duration, heat float64) {
	m := o.res.History.Column("melted")
	if m == nil {
		return math.NaN(), math.NaN()
	}
	t := o.res.History.Time
	inside := func(f float64) bool { return f > low && f < high }
	first, last := -1, -1
	sum := 0.0
	for i := 1; i < len(m.Values); i++ {
		if inside(m.Values[i-1]) && inside(m.Values[i]) {
			if first < 0 {
				first = i - 1
			}
			last = i
			sum += 0.5 * (flow(i-1) + flow(i)) * (t[i] - t[i-1])
		}
	}
	if first < 0 {
		return math.NaN(), math.NaN()
	}
	span := t[last] - t[first]
	return span / math.Abs(m.Values[last]-m.Values[first]), sum / span
}

// half returns the core's temperature when half has melted, °C.
func half(o *outcome) float64 {
	m, core := o.res.History.Column("melted"), o.res.History.Column("core")
	if m == nil || core == nil {
		return math.NaN()
	}
	for i := 1; i < len(m.Values); i++ {
		if (m.Values[i-1]-0.5)*(m.Values[i]-0.5) <= 0 {
			return core.Values[i] - zero
		}
	}
	return math.NaN()
}

func zincCharge() known {
	const power = 20.0
	latent := zincLatent(0.02 * 0.1 * 0.1)
	duration := func(o *outcome) float64 {
		d, _ := plateau(o, 0.02, 0.98, func(int) float64 { return power })
		return d
	}
	return known{topic: practiceTopic, title: "zinc filler charged", file: "zinc-charge.yaml", rows: from(noSource,
		"graphite with 30 % of zinc by volume, 20 W absorbed, no loss; length expected: latent heat over net heat flow, 1 %; 1 K for \"near 420 °C\"",
		within("zinc filler charged: plateau", "degC", 420, 1, half),
		near("zinc filler charged: length of the plateau", "s", latent/power, 0.01, duration))}
}

func zincDrain() known {
	latent := zincLatent(0.04*0.1*0.04 - math.Pi/4*0.012*0.012*0.1)
	both := func(o *outcome) (float64, float64) {
		q := o.res.History.Column("heat to passes")
		if q == nil {
			return math.NaN(), math.NaN()
		}
		return plateau(o, 0.02, 0.98, func(i int) float64 { return q.Values[i] })
	}
	return known{topic: practiceTopic, title: "zinc filler drained", file: "zinc-drain.yaml", rows: from(noSource,
		"graphite with 30 % of zinc by volume, drained by one pass with a poor contact, no other loss; length of the plateau times its mean heat flow against the latent heat",
		within("zinc filler drained: plateau", "degC", 420, 1, half),
		near("zinc filler drained: length of the plateau times net heat flow", "J", latent, 0.01, func(o *outcome) float64 {
			d, q := both(o)
			return d * q
		}))}
}

// sensitivity asks by how much the cooling constant changes when the water goes from 0.06 to 0.13 kg/s.
func sensitivity(contact float64) known {
	const what = "12 × 1 mm pass in graphite"
	constant := func(o *outcome) float64 {
		return math.Log((o.at("block mean", 60)-20-zero)/(o.at("block mean", 120)-20-zero)) / 60
	}
	change := func(o *outcome) float64 { return 100 * (constant(o.second)/constant(o) - 1) }
	c := known{
		topic: practiceTopic, title: what, file: "contact.yaml",
		fill: map[string]any{"Contact": contact, "Flow": 0.06}, second: map[string]any{"Contact": contact, "Flow": 0.13},
	}
	if contact < 1000 {
		c.rows = from(noSource, "graphite at 320 °C, water of 20 °C: how much the cooling constant rises when the water goes from 0.06 to 0.13 kg/s: two runs from 320 °C, 60 to 120 s",
			bound(what+", contact 400 W/(m2 K): gain by more water", "%", AtMost, 5, change))
	} else {
		c.rows = from(noSource, "graphite at 320 °C, water of 20 °C: how much the cooling constant rises when the water goes from 0.06 to 0.13 kg/s: two runs from 320 °C, 60 to 120 s",
			bound(what+", contact 5000 W/(m2 K): gain by more water", "%", AtLeast, 10, change))
	}
	return c
}
