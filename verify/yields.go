package verify

import (
	"math"

	"emberbank/heat"
	"emberbank/yield"
)

// yields ask for the published numbers behind what a run amounts to.
func yields() []known {
	share := func(f func() float64) func(*outcome) float64 { return asked(f) }
	rankine := func(turbine, pump float64) func(*outcome) float64 {
		return asked(func() float64 {
			c, err := yield.SimpleRankine(8e6, 41.51+zero, turbine, pump) // where water boils at 0.008 MPa
			if err != nil {
				return math.NaN()
			}
			return c.Efficiency()
		})
	}
	const coal = "Curzon & Ahlborn, Am. J. Phys. 43 (1975) 22, a coal-fired plant between 838 K and 298 K, as an open course restates it"
	const moran = "Moran & Shapiro, Fundamentals of Engineering Thermodynamics, 5th ed. (2006), saturated steam at 8.0 MPa, condenser at 0.008 MPa, "
	rows := from(coal, "three printed digits",
		within("engine at its greatest power between 838 K and 298 K: efficiency", "1", 0.404, 5e-4, share(func() float64 { return yield.Endoreversible(838, 298) })),
		within("heat at 838 K against surroundings at 298 K: exergy over heat", "1", 0.644, 5e-4, share(func() float64 {
			return heat.Carried{Heat: 1, Entropy: 1 / 838.0}.Exergy(298)
		})))
	rows = append(rows, from(moran+"Example 8.1; result from memory", "three printed digits",
		within("ideal steam cycle, 8 MPa to 0.008 MPa: efficiency", "1", 0.371, 5e-4, rankine(1, 1)))...)
	rows = append(rows, from(moran+"Example 8.2: turbine and pump of 85 %; result from memory", "three printed digits",
		within("steam cycle with losses, 8 MPa to 0.008 MPa: efficiency", "1", 0.314, 5e-4, rankine(0.85, 0.85)))...)
	rows = append(rows, from("Petela, J. Heat Transfer 86 (1964) 187; the value that is given for sunlight at 300 K, from memory", "0.93 is what is printed",
		within("sunlight in surroundings at 300 K: exergy over energy", "1", 0.93, 5e-3, share(func() float64 { return yield.SunlightExergy(300) })))...)
	return []known{{topic: "what a run amounts to", title: "efficiencies and cycles", rows: rows}}
}
