package verify

import (
	"math"

	"emberbank/film"
)

const (
	exampleTopic = "boiling and two phases, published examples"
	noneTopic    = "boiling, no published example"
	asLibrary    = "; as an openly published library of correlations reproduces the book's example"
	coefficientU = "W/(m2 K)"
)

// boilingExamples are numbers that others have printed for boiling and for two phases in tubes.
func boilingExamples() []known {
	at := func(f func() float64) func(*outcome) float64 { return asked(f) }
	pair := func(rhoL, rhoV, muL, muV, k, cp, latent, sigma float64) film.TwoPhase {
		return film.TwoPhase{
			Liquid: film.Fluid{Density: rhoL, Viscosity: muL, Conductivity: k, HeatCapacity: cp, Prandtl: cp * muL / k},
			Vapour: film.Fluid{Density: rhoV, Viscosity: muV}, Latent: latent, SurfaceTension: sigma,
		}
	}
	flux := func(flow, bore float64) float64 { return flow / (math.Pi / 4 * bore * bore) }
	fz := func(p film.TwoPhase, superheat, rise float64) func(*outcome) float64 {
		return at(func() float64 { return film.ForsterZuber(&p, superheat, rise) })
	}
	water := pair(958, 0.597, 0.000275, 0, 0.688, 4180, 2.25e6, 0.0588)
	light := pair(567, 18.09, 0.000156, 7.11e-6, 0.086, 2730, 272e3, 0.0082)
	alcohol := pair(737, 2.3, 0.00039, 1.43e-5, 0.163, 3429, 591300, 0.0183)
	five := pair(915, 2.67, 0.00018, 1.4e-5, 0, 0, 0, 0.0487)
	two := pair(800, 2.5, 0, 0, 0, 0, 0, 0.02)

	rows := from("Cao, Heat Transfer in Process Engineering, McGraw-Hill 2009, boiling water"+asLibrary, "to the digits given",
		near("Forster and Zuber, water 4.3 K over boiling: coefficient", coefficientU, 3519.92399, tenDigits, fz(water, 4.3, 16795.8)),
		near("Forster and Zuber, water 9.1 K over boiling: coefficient", coefficientU, 7393.507073, tenDigits, fz(water, 9.1, 35544.6)),
		near("Forster and Zuber, water 13 K over boiling: coefficient", coefficientU, 10524.54751, tenDigits, fz(water, 13, 50778)))
	rows = append(rows, from("Serth, Process Heat Transfer, Academic Press 2007, nucleate boiling"+asLibrary, "to the digits given",
		near("Forster and Zuber, Serth's hydrocarbon: coefficient", coefficientU, 5512.279068, tenDigits, fz(light, 16.2, 106300)),
		near("largest flux of nucleate boiling, Serth's hydrocarbon, K = 0.149", "W/m2", 444307.223, tenDigits,
			at(func() float64 { return film.Zuber(light, 0.149) })))...)
	const kreith = "Kreith, Manglik & Bohn, Principles of Heat Transfer, 7th ed., "
	rows = append(rows, from(kreith+"Example 10.3; figures found in a public companion of worked examples", "four printed digits",
		near("n-butyl alcohol in a tube, Kreith 10.3: Forster and Zuber", coefficientU, 8393, 5e-4, fz(alcohol, 22.5, 101300)),
		near("n-butyl alcohol in a tube, quality 0.5, Kreith 10.3: 1/X of Martinelli", "1", 12.86, 5e-4, at(func() float64 {
			// Chen's factor (1 + X^-0.5)^1.78 on the liquid's share of the flow, undone.
			share := film.DittusBoelter(200*0.5*0.01/0.00039, alcohol.Liquid.Prandtl, true) * 0.163 / 0.01
			return math.Pow(math.Pow(film.Chen(&alcohol, 0.5, 200, 0.01, 0, 0)/share, 1/1.78)-1, 2)
		})))...)
	pool := pair(962, 0.6, 0.000277, 0, 4211*0.000277/1.75, 4211, 2.25e6, 0.0588)
	gravity := math.Sqrt(9.81 / film.Gravity)
	rows = append(rows, from(kreith+"Example 10.1; recomputed from its inputs with g = 9.81 m/s2, 3.4 % below the printed 29 669", "to the digits given",
		near("water 6 K over boiling on steel, Kreith 10.1: Rohsenow's flux", "W/m2", 28673.86051, tenDigits,
			at(func() float64 { return gravity * film.Rohsenow(pool, 6, 0.0132, 1) })))...)
	rows = append(rows, from(kreith+"Example 10.1; recomputed from its inputs with g = 9.81 m/s2", "to the digits given",
		near("water at 1 atm, Kreith 10.1: largest flux, K = π/24", "W/m2", 1107093.72, tenDigits,
			at(func() float64 { return math.Sqrt(gravity) * film.Zuber(pool, math.Pi/24) })))...)
	const systems = "Nuclear Systems I, solutions manual, Problem 13.1 (cavities of 10 μm, water at 1 atm)"
	rows = append(rows, from(systems, "the printed superheat has two digits: 0.05 K in 6.5 K, in the power of the law",
		near("boiling begins, 6.5 K over boiling at 1 atm: Bergles and Rohsenow's flux", "W/m2", 221e3, 0.02,
			at(func() float64 { return film.Onset(101325, 6.5) })))...)
	rows = append(rows, from("Ghiaasiaan, Two-Phase Flow, Boiling, and Condensation, Cambridge 2007, Friedel's correlation"+asLibrary,
		"5 %: the friction of one phase there is another fit than Churchill's",
		near("Friedel, steam and water near 5 bar, 0.6 kg/s, quality 0.1: friction", "Pa/m", 738.6500525, 0.05,
			at(func() float64 { return film.Friedel(&five, 0.1, flux(0.6, 0.05), 0.05, 0) })))...)
	rows = append(rows, from("openly published library of correlations, its example of Müller-Steinhagen & Heck",
		"5 %: the friction of one phase there is another fit than Churchill's",
		near("Müller-Steinhagen and Heck, the same flow: friction", "Pa/m", 793.4465457, 0.05,
			at(func() float64 { return film.MullerSteinhagenHeck(&five, 0.1, flux(0.6, 0.05), 0.05, 0) })))...)
	rows = append(rows, from("openly published library of correlations, its examples of Rouhani & Axelsson and of Chen", "to the digits that constants leave",
		near("Rouhani and Axelsson, level, quality 0.4: void", "1", 0.895950181381335, 5e-4,
			at(func() float64 { return film.RouhaniLevel(&two, 0.4, flux(1, 0.3)) })),
		near("Rouhani and Axelsson, upright, quality 0.4: void", "1", 0.44819733138968865, 5e-4,
			at(func() float64 { return film.RouhaniUpright(&two, 0.4, flux(1, 0.3), 0.3) })),
		near("Chen, hydrocarbon, quality 0.2: coefficient", coefficientU, 3289.058731974052, tenDigits, at(func() float64 {
			p := light
			p.Latent, p.SurfaceTension = 200e3, 0.02
			return film.Chen(&p, 0.2, flux(0.106, 0.0212), 0.0212, 3, 100e3)
		})))...)
	return []known{{topic: exampleTopic, title: "published examples of boiling", rows: rows}}
}

// boilingAlone are laws for which no published example was found.
func boilingAlone() []known {
	at := func(f func() float64) func(*outcome) float64 { return asked(f) }
	// Saturated water at 10 bar by IF97.
	ten := film.TwoPhase{
		Liquid: film.Fluid{Density: 887.1274517, Viscosity: 0.0001504849265, Conductivity: 0.6713377269, HeatCapacity: 4405.11205, Prandtl: 0.9874358859},
		Vapour: film.Fluid{Density: 5.145385853, Viscosity: 1.502e-05, Conductivity: 0.03663, Prandtl: 1.106},
		Latent: 2014436.693, SurfaceTension: 0.04221574667,
	}
	none := func(law string) string {
		return "no published worked example was found: the number is " + law + " evaluated apart from the program, and pins the formula alone"
	}
	const why = "to the digits given; agreement shows that the formula stands as its source has it, not that water does so"
	rows := from(none("Kon'kov (1965)"), why,
		near("dry-out upright, no example found: Kon'kov at 10 bar", "1", 0.7633471182690184, tenDigits, at(func() float64 { return film.Konkov(1e6, 400, 0.01, 2e5) })))
	rows = append(rows, from(none("Bowring, AEEW-R 789 (1972)"), why,
		near("dry-out upright, no example found: Bowring at 10 bar", "1", 0.7916668303945482, tenDigits, at(func() float64 {
			return film.Bowring(&film.TwoPhase{Pressure: 1e6, Latent: 2014436.693}, 400, 0.01, 2e5)
		})))...)
	rows = append(rows, from(none("Wojtan, Ursenbacher & Thome (2005)"), why,
		near("dry-out level begins, no example found: Wojtan et al. at 10 bar", "1", 0.80360815939006, tenDigits, at(func() float64 {
			from, _ := film.WojtanDryOut(&ten, 300, 0.01, 1e5)
			return from
		})),
		near("dry-out level ends, no example found: Wojtan et al. at 10 bar", "1", 0.8825615009126605, tenDigits, at(func() float64 {
			_, to := film.WojtanDryOut(&ten, 300, 0.01, 1e5)
			return to
		})))...)
	rows = append(rows, from(none("Dougall & Rohsenow (1963)"), why,
		near("mist, no example found: Dougall and Rohsenow's Nusselt number", "1", 366.00036366081997, tenDigits, at(func() float64 { return film.DougallRohsenow(&ten, 0.85, 300, 0.01) })))...)
	rows = append(rows, from(none("Groeneveld, AECL-4513 (1973)"), why,
		near("mist, no example found: Groeneveld's Nusselt number", "1", 324.79614584099045, tenDigits, at(func() float64 { return film.Groeneveld(&ten, 0.85, 300, 0.01) })))...)
	rows = append(rows, from(none("Kattan, Thome & Favrat (1998) with Wojtan et al. (2005)"), why,
		near("stratified border, no example found: G of lying water", "kg/(m2 s)", 22.16409370194677, tenDigits, at(func() float64 {
			lying, _ := film.StratifiedBorders(&ten, 0.3, 0.8, 0.012)
			return lying
		})),
		near("stratified border, no example found: G of waves", "kg/(m2 s)", 107.66087942775556, tenDigits, at(func() float64 {
			_, waves := film.StratifiedBorders(&ten, 0.3, 0.8, 0.012)
			return waves
		})))...)
	rows = append(rows, from(none("Yamanouchi (1968)"), why,
		near("rewetting, no example found: Yamanouchi's front", "m/s", 0.005141661678450811, tenDigits, at(func() float64 {
			return film.Yamanouchi(700, 560, 373, 3e4, 0.001, 18, 7900, 500)
		})))...)
	rows = append(rows, from(none("Berenson (1961)"), why,
		near("wetting again, no example found: Berenson's least temperature at 10 bar", "K", 433.84746985412625, tenDigits, at(func() float64 { return film.BerensonLeidenfrost(&ten) })))...)
	return []known{{topic: noneTopic, title: "laws of boiling without an example", rows: rows}}
}
