package verify

import (
	"fmt"
	"math"

	"emberbank/hazard"
	"emberbank/material"
)

const hazardTopic = "what can hurt"

// hazards asks what the pages for a safety officer work out: they go through no run.
func hazards() []known {
	var rows []wanted
	for _, all := range [][]wanted{borne(), steamed(), shutIn(), touched(), lit(), burnt()} {
		rows = append(rows, all...)
	}
	return []known{{topic: hazardTopic, title: "what can hurt", rows: rows}}
}

// borne asks what tubes bear, and what wall a pressure asks for.
func borne() []wanted {
	tube := func(outer, wall, stress float64) hazard.Tube {
		return hazard.Tube{Outer: outer / 1e3, Wall: wall / 1e3, Stress: stress * 1e6, Joint: 1, Temperature: 300 + zero}
	}
	bears := func(t hazard.Tube) func(*outcome) float64 {
		return checked(func() (float64, error) { p, err := t.Capacity(); return p / 1e6, err })
	}
	wall := func(outer, stress, p float64) func(*outcome) float64 {
		return checked(func() (float64, error) { t, err := tube(outer, 1, stress).LeastWall(p * 1e6); return 1e3 * t, err })
	}
	rows := from("ASME B31.1 para. 104.1.2, P = 2 S E t/(D − 0.8 t), worked by hand", "eight digits; invented stresses",
		near("tube of 12 × 1 mm at 110 MPa: pressure that it bears", "MPa", 19.642857, 1e-6, bears(tube(12, 1, 110))),
		near("tube of 12.7 × 1.65 mm at 107 MPa: pressure that it bears", "MPa", 31.02812, 1e-6, bears(tube(12.7, 1.65, 107))))
	rows = append(rows, from("ASME B31.1 para. 104.1.2, y = d/(d + D) where D/t is below 6 (from memory), worked by hand: P = 0.6 S", "to rounding; invented stress",
		near("thick tube of 12 × 3 mm at 100 MPa: pressure that it bears", "MPa", 60, 1e-12, bears(tube(12, 3, 100))))...)
	return append(rows, from("ASME B31.1 para. 104.1.2, t = P D/(2 (S E + 0.4 P)), worked by hand", "eight digits; invented stresses",
		near("tube of 12 mm at 110 MPa, 4 MPa inside: wall that it needs", "mm", 0.21505376, 1e-6, wall(12, 110, 4)),
		near("tube of 21.3 mm at 105 MPa, 16 MPa inside: wall that it needs", "mm", 1.529623, 1e-6, wall(21.3, 105, 16)))...)
}

// steamed asks for the steam that heat makes, and the share of hot water that flashes.
func steamed() (rows []wanted) {
	const Q = 5e6 // J
	for _, r := range []struct{ p, h, v, in float64 }{{1.01325, 2675.53e3, 1.6732, 63.08e3}, {10, 2777.1e3, 0.19436, 63.98e3}, {40, 2800.8e3, 0.049776, 66.87e3}} {
		steam := func(of func(s hazard.Steam) float64) func(*outcome) float64 {
			return checked(func() (float64, error) { s, err := hazard.SteamOf(Q, 1e5*r.p, 15+zero); return of(s), err })
		}
		m := Q / (r.h - r.in)
		rows = append(rows, from("steam tables by IAPWS-IF97, enthalpies and volume at this pressure and of water at 15 °C; from memory", "heat over the rise of enthalpy; five digits are printed",
			near(fmt.Sprintf("5 MJ and water of 15 °C at %g bar: steam", r.p), "kg", m, 2e-4, steam(func(s hazard.Steam) float64 { return s.Mass })),
			near(fmt.Sprintf("5 MJ and water of 15 °C at %g bar: volume of the steam", r.p), "m3", m*r.v, 4e-4, steam(func(s hazard.Steam) float64 { return s.Volume })))...)
	}
	return append(rows, from("steam tables by IAPWS-IF97: 762.7 and 419.1 kJ/kg of boiling water at 10 and 1.01325 bar, 2256.5 kJ/kg between there and steam; from memory", "four digits are printed",
		near("boiling water of 10 bar let out into the open: share that is steam at once", "1", (762.7-419.1)/2256.5, 1e-3, checked(func() (float64, error) { return hazard.Flashes(10e5) })))...)
}

// shutIn asks by how much the pressure of water rises that has no room.
func shutIn() (rows []wanted) {
	for _, c := range []float64{20, 60, 99} {
		alpha, kappa := expands(c)
		rows = append(rows, near(fmt.Sprintf("water shut in cold, full, at %g °C: rise of its pressure for a kelvin", c), "MPa/K", alpha/kappa/1e6, 0.01,
			checked(func() (float64, error) { p, err := hazard.RisePerKelvin(101325, c+zero); return p / 1e6, err })))
	}
	return from("G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, equations of density and compressibility at 1.01325 bar; coefficients as a public page carries them",
		"thermal expansion over compressibility, which IF97 follows within half a per cent", rows...)
}

// expands gives thermal expansivity in 1/K and isothermal compressibility in 1/Pa of water at 1.01325 bar and t in °C, 0 to 100.
//
// Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105.
func expands(t float64) (alpha, kappa float64) {
	rho := func(t float64) float64 {
		return (999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9+t*-280.54253e-12))))) / (1 + 16.879850e-3*t)
	}
	const d = 1e-3
	kappa = (50.88496 + t*(0.6163813+t*(1.459187e-3+t*(20.08438e-6+t*(-58.47727e-9+t*410.4110e-12))))) / (1 + 19.67348e-3*t) * 1e-11
	return -(rho(t+d) - rho(t-d)) / (2 * d) / rho(t), kappa
}

// touched holds the thresholds of long contact with metal against the damage that skin takes: from 0.53 on it is burnt in the first
// degree, from 1 on in the second.
func touched() (rows []wanted) {
	for _, u := range hazard.Touches() {
		if u.Surface != hazard.Metal || u.Contact < 60 {
			continue
		}
		omega := asked(func() float64 { return math.Exp(math.Log(3.1)+98*math.Ln10-75000/u.Low) * u.Contact })
		what := fmt.Sprintf("skin on metal for %g min at the threshold: damage", u.Contact/60)
		rows = append(rows, bound(what+" of the first degree", "1", AtLeast, 0.53, omega), bound(what+" below the second degree", "1", AtMost, 1, omega))
	}
	return from("Henriques & Moritz, Am. J. Pathol. 23 (1947) 695-720: Ω = 3.1e98/s · t · exp(−75000 K/T), constants from memory; thresholds: ISO 13732-1:2006, from memory",
		"the skin as hot as the metal, which in long contact it is", rows...)
}

// lit asks how much light eye and skin bear.
func lit() []wanted {
	skin := func(t float64) func(*outcome) float64 {
		return asked(func() float64 {
			if e, ok := hazard.SkinLimit(t); ok {
				return e
			}
			return math.NaN()
		})
	}
	return from("Directive 2006/25/EC, Annex I, Table 1.1, rows m to o, worked by hand; formulas from memory", "to the digits given",
		near("infrared light that an eye bears for 10 s", "W/m2", 3200.9, 1e-4, asked(func() float64 { return hazard.EyeLimit(10) })),
		near("infrared light that an eye bears for longer than 1000 s", "W/m2", 100, 1e-12, asked(func() float64 { return hazard.EyeLimit(1001) })),
		near("light that skin bears for 1 s", "W/m2", 20000, 1e-5, skin(1)),
		near("light that skin bears for 0.25 s", "W/m2", 56568.5, 1e-5, skin(0.25)))
}

// burnt asks how fast graphite burns, and what a melt gives off.
func burnt() []wanted {
	faster := func(c float64) func(*outcome) float64 {
		return checked(func() (float64, error) { return hazard.Burns(c+zero, 400+zero) })
	}
	rows := from("ratio of rates with 163 kJ/mol, worked by hand; activation energy: Gulbransen et al., J. Electrochem. Soc., abstract", "four digits",
		near("graphite in air at 420 °C: times as fast as at 400 °C", "1", 2.317, 3e-4, faster(420)),
		near("graphite in air at 500 °C: times as fast as at 400 °C", "1", 43.24, 3e-4, faster(500)))
	return append(rows, from("heat of fusion 60.2 kJ/kg, CRC Handbook; 243 J/(kg K) of the solid at 400 K, Incropera et al., Table A.1", "2 %: one heat capacity stands for the whole range",
		near("a kilogram of tin that cools from 230 °C to 20 °C: heat that it gives off", "J", 243*210, 0.02, asked(func() float64 { return given(230, 20) })),
		near("a kilogram of tin that freezes, 235 °C to 230 °C: heat that it gives off", "J", 60.2e3+5*253, 0.01, asked(func() float64 { return given(235, 230) })))...)
}

// given is the heat in J that a kilogram of tin gives off between two temperatures in °C.
func given(from, to float64) float64 {
	e, ok := material.Lookup("tin")
	if !ok {
		return math.NaN()
	}
	m := e.Medium()
	return hazard.Heat(&m, 1, from+zero, to+zero)
}
