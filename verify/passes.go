package verify

import (
	"fmt"
	"math"
)

const passTopic = "block on a pass"

// passes are the lumped block on one pass: a block that conducts so well that it has one temperature, drained by
// water with a fixed film.
func passes() []known {
	const (
		flow, inlet = 0.001, 61.0   // kg/s, °C
		cp          = 4182.316476   // J/(kg K), of water at 61 °C and 5 bar by a steam table
		inner       = 0.010         // m
		length      = 0.2           // m
		start       = 71.0          // °C
		rhoC        = 8000 * 1000.0 // J/(m³ K)
	)
	capacity := rhoC * (0.15*0.15*length - math.Pi/4*0.012*0.012*length) // the bore is not block
	var out []known
	for _, h := range []float64{40, 400, 4000} {
		ntu := h * math.Pi * inner * length / (flow * cp)
		taken := 1 - math.Exp(-ntu)
		decay := flow * cp * taken / capacity
		what := fmt.Sprintf("block on a pass, NTU = %.3g: ", ntu)
		rows := []wanted{
			near(what+"outlet's approach to the block, 3000 s", "1", taken, 5e-3, func(o *outcome) float64 {
				return (o.at("circuit 1 outlet", 3000) - inlet - zero) / (o.at("block mean", 3000) - inlet - zero)
			}),
			near(what+"cooling constant from 3000 to 18000 s", "1/s", decay, 5e-3, func(o *outcome) float64 {
				return math.Log((o.at("block mean", 3000)-inlet-zero)/(o.at("block mean", 18000)-inlet-zero)) / 15000
			}),
			near(what+"heat picked up, 3000 s", "W", flow*cp*taken*(start-inlet)*math.Exp(-decay*3000), 5e-3, valueAt("heat to passes", 3000, 1)),
		}
		out = append(out, known{topic: passTopic, title: what, file: "lumped.yaml", fill: map[string]any{"Film": h}, rows: from(
			"exact solution for one temperature of the block: outlet = Tb - (Tb - Tin) exp(-NTU), decay flow cp (1 - exp(-NTU))/C; specific heat of water by a steam table",
			"0.5 %: the water's own heat content is 0.2 % of the block's, its specific heat rises by 0.1 % over 10 K, and the block's far end is 0.1 % of the difference warmer than its mean", rows...)})
	}
	return append(out, chain(), transit(), filling())
}

// chain is a pass whose resistances are fixed numbers in series.
func chain() known {
	const length, outer, inner = 0.1, 0.012, 0.010
	contact := 1 / (400 * math.Pi * outer * length)
	wall := math.Log(outer/inner) / (2 * math.Pi * 15 * length)
	coating := 1 / (1500 * math.Pi * inner * length)
	link := func(name string) func(o *outcome) float64 {
		return func(o *outcome) float64 {
			for _, c := range o.res.Chains {
				for _, l := range c.Links {
					if l.Name == name {
						return l.Resistance
					}
				}
			}
			return math.NaN()
		}
	}
	const what = "contact, wall and film in series: "
	return known{topic: passTopic, title: "chain of resistances", file: "chain.yaml", rows: from(
		"resistances in series; Incropera et al., Fundamentals of Heat and Mass Transfer, section 3.3; evaluated",
		"contact 400 W/(m2 K) on 12 mm, wall 1 mm of 15 W/(m K), film 1500 W/(m2 K) on 10 mm; contact on the outer area, film on the inner; 0.2 %: the block of 5000 W/(m K) adds 0.05 %",
		near(what+"resistance of the contact", "K/W", contact, 2e-3, link("contact")),
		near(what+"resistance of the wall", "K/W", wall, 2e-3, link("tube wall")),
		near(what+"resistance of the film", "K/W", coating, 2e-3, link("film")),
		near(what+"heat flow at 80 K", "W", 80/(contact+wall+coating), 2e-3, lastValue("heat to passes", 1)))}
}

// transit is how long water takes to pass: the time by which the outlet lags behind a rise of the inlet, as the area
// between the two over the rise, whatever the rise is smeared by.
func transit() known {
	const flow, volume = 0.001, math.Pi / 4 * 0.010 * 0.010 * 1 // kg/s, m³
	const specific = 0.001017076684                             // m³/kg at 60 °C and 1 bar
	lag := func(o *outcome) float64 {
		c := o.res.History.Column("circuit 1 outlet")
		if c == nil {
			return math.NaN()
		}
		sum := 0.0
		for i := 1; i < len(c.Values); i++ {
			t0, t1 := o.res.History.Time[i-1], o.res.History.Time[i]
			if t0 >= 100 {
				sum += (61 + zero - 0.5*(c.Values[i-1]+c.Values[i])) / 2 * (t1 - t0)
			}
		}
		return sum
	}
	return known{
		topic: passTopic, title: "transit of the water", file: "transit.yaml",
		fill: map[string]any{"From": 59, "To": 61, "Pressure": 1}, rows: from(
			"plug flow: volume over volume flow; specific volume of water by a steam table",
			"1 %: the outlet is read every second of 77 s; how far a slice leads the next was chosen with this row in view, so that it does not test that",
			near("tube of 10 mm and 1 m, 0.001 kg/s: transit of the water", "s", volume/(specific*flow), 0.01, lag)),
	}
}

// filling is the heat that water of 61 °C brings into a tube full of water of 18.6 °C, counted from 20 °C.
func filling() known {
	const volume = math.Pi / 4 * 0.010 * 0.010 * 1 // m³
	// 5 bar: specific volumes and enthalpies at 18.6 and 61 °C by a steam table; at 20 °C from 18.6 °C with 4184.3 J/(kg K).
	const at20 = 78530.51845 + 1.4*4184.3
	const cold, hot = (78530.51845 - at20) / 0.001001334122, (255739.6304 - at20) / 0.001017431502 // J/m³
	return known{
		topic: passTopic, title: "heat content of the water", file: "transit.yaml",
		fill: map[string]any{"From": 18.6, "To": 61, "Pressure": 5}, rows: from(
			"specific volume and enthalpy of water by a steam table", "0.2 %: after 400 s, five times the transit, the old water is gone but for some 0.01 %",
			near("tube of 10 mm and 1 m filled with warm water: heat content", "J", volume*(hot-cold), 2e-3, func(o *outcome) float64 {
				for _, s := range o.res.Ledger.StoredBy {
					if s.Name == "water in the tubes" {
						return s.Amount
					}
				}
				return math.NaN()
			})),
	}
}
