package verify

import (
	"fmt"
	"math"

	"emberbank/material"
	"emberbank/water"
)

const (
	waterTopic    = "water"
	materialTopic = "materials"
	nineDigits    = 2e-9 // the tables print nine significant digits
)

// checked is a value of a function that may refuse; a refusal gives no number.
func checked(f func() (float64, error)) func(*outcome) float64 {
	return func(*outcome) float64 {
		v, err := f()
		if err != nil {
			return math.NaN()
		}
		return v
	}
}

// atPT and atPH read one value of a state.
func atPT(p, T float64, of func(water.State) float64) func(*outcome) float64 {
	return checked(func() (float64, error) { s, err := water.AtPT(p, T); return of(s), err })
}

func atPH(p, h float64, of func(water.State) float64) func(*outcome) float64 {
	return checked(func() (float64, error) { s, err := water.AtPH(p, h); return of(s), err })
}

// atVT and atVU read one value of the state of water shut in.
func atVT(v, T float64, of func(water.State) float64) func(*outcome) float64 {
	return checked(func() (float64, error) { s, err := water.AtVT(v, T); return of(s), err })
}

func atVU(v, u float64, of func(water.State) float64) func(*outcome) float64 {
	return checked(func() (float64, error) { s, err := water.AtVU(v, u); return of(s), err })
}

func waters() []known {
	const if97 = "IAPWS R7-97(2012), Industrial Formulation 1997, "
	h := func(s water.State) float64 { return s.H }
	cp := func(s water.State) float64 { return s.HeatCapacity }
	v := func(s water.State) float64 { return 1 / s.Density }
	entropy := func(s water.State) float64 { return s.Entropy }
	mu := func(s water.State) float64 { return s.Viscosity }
	k := func(s water.State) float64 { return s.Conductivity }
	T := func(s water.State) float64 { return s.T }
	p := func(s water.State) float64 { return s.P }
	const digits = "nine digits are printed"
	grid := func(rows ...wanted) []wanted {
		return from("steam table by an independent implementation of IF97, IAPWS R12-08 and R15-11",
			"ten digits; 1e-6 for transport, whose release gives coefficients of eight digits", rows...)
	}
	rows := from(if97+"Table 5", digits,
		near("liquid, 300 K, 3 MPa: specific enthalpy", "J/kg", 115331.273, nineDigits, atPT(3e6, 300, h)),
		near("liquid, 300 K, 80 MPa: specific heat capacity", "J/(kg K)", 4010.08987, nineDigits, atPT(80e6, 300, cp)),
		near("liquid, 300 K, 3 MPa: specific volume", "m3/kg", 0.00100215168, nineDigits, atPT(3e6, 300, v)))
	rows = append(rows, from(if97+"Table 15", digits,
		near("vapour, 300 K, 3.5 kPa: specific enthalpy", "J/kg", 2549911.45, nineDigits, atPT(3500, 300, h)),
		near("vapour, 700 K, 30 MPa: specific heat capacity", "J/(kg K)", 10350.5092, nineDigits, atPT(30e6, 700, cp)),
		near("vapour, 700 K, 30 MPa: specific entropy", "J/(kg K)", 5175.40298, nineDigits, atPT(30e6, 700, entropy)))...)
	rows = append(rows, from(if97+"Table 33", digits,
		near("dense fluid, 650 K, 500 kg/m3: pressure", "Pa", 25.5837018e6, nineDigits, atVT(1.0/500, 650, p)),
		near("dense fluid, 650 K, 200 kg/m3: specific enthalpy", "J/kg", 2375124.01, nineDigits, atVT(1.0/200, 650, h)),
		near("dense fluid, 650 K, 200 kg/m3: specific heat capacity", "J/(kg K)", 44657.9342, nineDigits, atVT(1.0/200, 650, cp)),
		near("dense fluid, 650 K, 25.5837018 MPa: specific volume", "m3/kg", 1.0/500, 2e-8, atPT(25.5837018e6, 650, v)))...)
	rows = append(rows, from(if97+"Table 42", digits,
		near("hot steam, 1500 K, 0.5 MPa: specific volume", "m3/kg", 1.3845509, nineDigits, atPT(0.5e6, 1500, v)),
		near("hot steam, 1500 K, 30 MPa: specific enthalpy", "J/kg", 5167235.14, nineDigits, atPT(30e6, 1500, h)),
		near("hot steam, 1500 K, 30 MPa: specific heat capacity", "J/(kg K)", 2727.24317, nineDigits, atPT(30e6, 1500, cp)),
		near("hot steam by enthalpy, 5167.23514 kJ/kg, 30 MPa: temperature", "K", 1500, nineDigits, atPH(30e6, 5167235.14, T)))...)
	rows = append(rows, from(if97+"Tables 35 and 36", digits,
		near("saturation pressure at 600 K", "Pa", 12.3443146e6, nineDigits, checked(func() (float64, error) { return water.SaturationPressure(600) })),
		near("saturation temperature at 0.1 MPa", "K", 372.755919, nineDigits, checked(func() (float64, error) { return water.SaturationTemperature(0.1e6) })))...)
	rows = append(rows, from(if97+"Tables 7 and 24", "by pressure and enthalpy: the release allows its backward equations 25 mK",
		within("liquid by enthalpy, 500 kJ/kg, 3 MPa: temperature", "K", 391.798509, 0.025, atPH(3e6, 500e3, T)),
		within("vapour by enthalpy, 3500 kJ/kg, 5 MPa: temperature", "K", 801.299102, 0.025, atPH(5e6, 3500e3, T)))...)
	rows = append(rows, grid(
		near("liquid, 61 °C, 5 bar: specific enthalpy", "J/kg", 255739.6304, 1e-9, atPT(5e5, 61+zero, h)),
		near("vapour, 298.2 °C, 5 bar: specific volume", "m3/kg", 0.520881771, 2e-9, atPT(5e5, 298.2+zero, v)),
		near("liquid, 109 °C, 5 bar: viscosity", "Pa s", 0.0002571911538, 1e-6, atPT(5e5, 109+zero, mu)),
		near("liquid, 109 °C, 5 bar: conductivity", "W/(m K)", 0.6803040917, 1e-6, atPT(5e5, 109+zero, k)),
		near("vapour, 377.1 °C, 5 bar: viscosity", "Pa s", 2.349041478e-05, 1e-6, atPT(5e5, 377.1+zero, mu)),
		near("saturated liquid at 360 °C: specific volume", "m3/kg", 0.00189451181, 1e-8, checked(func() (float64, error) {
			p, err := water.SaturationPressure(360 + zero)
			if err != nil {
				return 0, err
			}
			s, err := water.SaturatedLiquid(p)
			return v(s), err
		})),
		near("water shut in at 0.02551458576 m3/kg with 1842.10333 kJ/kg: pressure", "Pa", 40e5, 1e-7, atVU(0.02551458576, 1842103.33, p)),
		within("boiling water of 1546.193063 kJ/kg, 1 bar: quality", "1", 0.5, 1e-8, atPH(1e5, 1546193.063, func(s water.State) float64 { return s.Quality })))...)
	rows = append(rows, from("IAPWS R15-11(2011), Table 8", digits,
		near("dense vapour, 650 K, 0.3 MPa: conductivity", "W/(m K)", 0.0522311024, 1e-8, atPT(0.3e6, 650, k)),
		near("hot liquid, 620 K, 20 MPa: conductivity with its critical part", "W/(m K)", 0.481485195, 1e-8, atPT(20e6, 620, k)))...)
	rows = append(rows, from("IAPWS R15-11(2011), Table 5", "1e-3: the table takes the compressibility from IAPWS-95, the program from IF97",
		near("near the critical point, 647.35 K, 122 kg/m3: conductivity", "W/(m K)", 130.922885e-3, 1e-3, atVT(1.0/122, 647.35, k)),
		near("near the critical point, 647.35 K, 422 kg/m3: conductivity", "W/(m K)", 448.883487e-3, 1e-3, atVT(1.0/422, 647.35, k)))...)
	rows = append(rows, from("IAPWS R12-08(2008), Table 5", "1e-3: the table takes the compressibility from IAPWS-95, the program from IF97",
		near("near the critical point, 647.35 K, 122 kg/m3: viscosity with its critical part", "Pa s", 25.520677e-6, 1e-3, checked(func() (float64, error) {
			s, err := water.AtVT(1.0/122, 647.35)
			if err != nil {
				return 0, err
			}
			factor, err := water.CriticalViscosityFactor(s.P, s.T)
			return s.Viscosity * factor, err
		})))...)
	rows = append(rows, from("IAPWS R1-76(2014), Table 1", "two decimals of mN/m are printed",
		within("surface tension at 100 °C", "N/m", 58.91e-3, 0.005e-3, checked(func() (float64, error) { return water.SurfaceTension(100 + zero) })),
		within("surface tension at 250 °C", "N/m", 26.04e-3, 0.005e-3, checked(func() (float64, error) { return water.SurfaceTension(250 + zero) })))...)
	return []known{{topic: waterTopic, title: "water and steam", rows: rows}}
}

// entry reads the catalogue.
func entry(name string, of func(e material.Entry) float64) func(*outcome) float64 {
	return func(*outcome) float64 {
		e, ok := material.Lookup(name)
		if !ok {
			return math.NaN()
		}
		return of(e)
	}
}

func matters() []known {
	const k, mixed = "W/(m K)", "tolerance: half a unit of the last digit given"
	mix := func(rule string, k1, k2, phi float64) func(*outcome) float64 {
		return checked(func() (float64, error) { return material.Mix(rule, k1, k2, phi) })
	}
	rules := from("Wiener (1912); Hashin & Shtrikman, J. Appl. Phys. 33 (1962) 3125; Maxwell (1873), Eucken (1932); Bruggeman (1935); evaluated", mixed,
		near("layers across, 100 and 50 W/(m K), 0.2 by volume", k, 83.333333, 1e-8, mix("series", 100, 50, 0.2)),
		near("layers along, 90 and 0.03 W/(m K), 0.15 by volume", k, 76.5045, 1e-8, mix("parallel", 90, 0.03, 0.15)),
		near("lower bound of Hashin and Shtrikman, 90 and 0.03 W/(m K), 0.15", k, 0.5366214, 1e-7, mix("hashin-shtrikman-low", 90, 0.03, 0.15)),
		near("upper bound of Hashin and Shtrikman, 60 and 105 W/(m K), 0.35", k, 74.210526, 1e-8, mix("hashin-shtrikman-high", 60, 105, 0.35)))
	catalogue := from("ITS-90, defining fixed points", "to the digits printed",
		within("zinc in the catalogue: melting point", "degC", 419.527, 1e-9, entry("zinc", func(e material.Entry) float64 { return e.Solidus - zero })),
		within("tin in the catalogue: melting point", "degC", 231.928, 1e-9, entry("tin", func(e material.Entry) float64 { return e.Solidus - zero })))
	catalogue = append(catalogue, from("CRC Handbook, enthalpy of fusion", "five digits are printed",
		near("zinc in the catalogue: latent heat", "J/kg", 108.11e3, 5e-5, entry("zinc", func(e material.Entry) float64 { return e.Latent })),
		near("tin in the catalogue: latent heat", "J/kg", 60.231e3, 5e-5, entry("tin", func(e material.Entry) float64 { return e.Latent })))...)
	catalogue = append(catalogue, from("Incropera et al., Fundamentals of Heat and Mass Transfer, Table A.1", "to the digits printed",
		near("copper in the catalogue: conductivity at 400 K", k, 393, 1e-9, entry("copper", func(e material.Entry) float64 { return e.Conductivity[0].At(400) })),
		near("stainless-316 in the catalogue: conductivity at 600 K", k, 18.3, 1e-9, entry("stainless-316", func(e material.Entry) float64 { return e.Conductivity[0].At(600) })))...)
	catalogue = append(catalogue, from("NIST-JANAF Thermochemical Tables, 4th ed. 1998, over the molar mass of 65.38 g/mol", "five digits are printed",
		near("zinc in the catalogue: specific heat capacity at 500 K", "J/(kg K)", 27.386/0.06538, 1e-5, entry("zinc", func(e material.Entry) float64 { return e.HeatCapacity.At(500) })))...)
	out := []known{
		{topic: materialTopic, title: "mixing rules", rows: rules},
		{topic: materialTopic, title: "catalogue", rows: catalogue},
	}
	// The same through run files: a plate of a composite conducts, and a block of it takes up heat and melts.
	for _, c := range []struct {
		rule    string
		k, k1   float64
		k2, phi float64
	}{{"maxwell-eucken", 73.548387, 60, 105, 0.35}, {"bruggeman", 69.761102, 90, 0.03, 0.15}, {"series", 115.78947, 120, 110, 0.4}} {
		name := fmt.Sprintf("plate of a composite, %s, %g and %g W/(m K), %g by volume", c.rule, c.k1, c.k2, c.phi)
		out = append(out, known{
			topic: materialTopic, title: name, file: "composite-plate.yaml",
			fill: map[string]any{"Rule": c.rule, "Matrix": c.k1, "Filler": c.k2, "Fraction": c.phi},
			rows: from("Maxwell (1873), Eucken (1932); Bruggeman (1935); Wiener (1912); evaluated", mixed,
				near(name, k, c.k, 1e-7, func(o *outcome) float64 { return o.last("lost back") * 0.1 / section / 100 })),
		})
	}
	const V, rate = 0.1 * 0.1 * 0.1, 1e6
	return append(out, known{topic: materialTopic, title: "heating of a composite", file: "composite-heating.yaml", rows: from(
		"rule of mixtures: density 3240 kg/m3, 901.54321 J/(kg K), 190.4 MJ/m3 of latent heat; evaluated to 8 digits",
		"an adiabatic block with 1 MW/m3 inside; 1e-6 for the sums of the march",
		near("composite heated inside for 500 s: rise of the mean", "K", rate*500/(3240*901.54321), 1e-6, func(o *outcome) float64 { return o.at("block mean", 500) - 293.15 }),
		near("composite heated inside until it has melted: heat taken up", "J", V*(190.4e6+3240*901.54321*(450-20)), 1e-6, func(o *outcome) float64 {
			// What it holds at 450 °C: what it got less what made it hotter than that.
			return o.last("stored") - o.at("stored", 0) - V*3240*901.54321*(o.last("block mean")-zero-450)
		}))})
}
