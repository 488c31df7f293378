package material

import "math"

const (
	// Molar masses in kg/mol, as in NIST-JANAF 1998; tin and lead: IUPAC standard atomic weights.
	molarZinc, molarAluminium, molarCopper, molarMagnesium, molarTin, molarLead = 0.06538, 0.026982, 0.063546, 0.024305, 0.118710, 0.2072

	fixedPoint = "melting point: ITS-90 defining fixed point (freezing point)"
	crcFusion  = "latent heat: CRC Handbook of Chemistry and Physics, enthalpy of fusion; as carried by an open-source property library"
	crcLiquid  = "density of the liquid: CRC Handbook, density of molten elements; as carried by an open-source property library"
	incropera  = "Incropera et al., Fundamentals of Heat and Mass Transfer, Table A.1"
	janaf      = "NIST-JANAF Thermochemical Tables, 4th ed. 1998; as carried by an open-source property library"
	sgte       = "SGTE unary data, Dinsdale, CALPHAD 15 (1991) 317, heat capacity -T d²G/dT² of the Gibbs functions found in public thermodynamic files"
)

// gibbsHeat is the molar heat capacity, in J/(mol K), that belongs to the Gibbs function
// G = a + b T + c T ln T + d T² + e T³ + f/T: cp = -c - 2 d T - 6 e T² - 2 f/T².
func gibbsHeat(c, d, e, f, T float64) float64 { return -c - 2*d*T - 6*e*T*T - 2*f/(T*T) }

func metals() []Entry {
	return []Entry{zinc(), tin(), aluminium(), copper(), magnesium(), lead(), brass()}
}

func zinc() Entry {
	const melt = 419.527 + iceZero
	return Entry{
		Name: "zinc", Kind: "metal", Metal: "zinc", Text: "pure zinc",
		Density: 7134, LiquidDensity: 6570,
		HeatCapacity: scaled(stretched(points([2]float64{298.15, 25.387}, [2]float64{350, 25.889}, [2]float64{400, 26.346}, [2]float64{450, 26.843},
			[2]float64{500, 27.386}, [2]float64{600, 28.588}, [2]float64{692.73, 29.802}), iceZero, 0), 1/molarZinc),
		HeatCapacityMelted: single(31.38/molarZinc, melt, 1180.15),
		Conductivity:       Isotropic(Curve{Poly: []float64{116.8392, 1.2743e-2, -5.778175e-5}, Min: 100, Max: 693}),
		ConductivityMelted: Isotropic(points([2]float64{melt, 50}, [2]float64{1000, 60})),
		Latent:             108110, Solidus: melt, Liquidus: melt,
		Emissivity:   math.NaN(),
		ServiceLimit: 1180.15, ServiceSource: "boiling point 907 °C, CRC Handbook; as carried by an open-source property library. Its vapour matters long before: 20 Pa at the melting point, 96 Pa at 475 °C (Alcock, Itkin & Horrigan, Can. Metall. Q. 23 (1984) 309)",
		Memory: []string{"conductivity melted"},
		Spread: Spread{Density: 0.01, HeatCapacity: 0.04, HeatCapacityMelted: 0.07, Conductivity: 0.1, ConductivityMelted: 0.2, Latent: 0.04},
		Sources: []string{
			"density: CRC Handbook; as carried by an open-source property library",
			crcLiquid + ", 6570 kg/m³ at melting; Assael et al., J. Phys. Chem. Ref. Data 41 (2012) 033101 has 6559",
			"heat capacity: " + janaf + ", 298 K to the melting point, carried on straight to 0 °C. Grønvold & Stølen, Thermochim. Acta 395 (2002) 127, lie 0.3 % higher at 298 K and 3.9 % at the melting point",
			"heat capacity melted: " + janaf + ", 31.38 J/(mol K) = 480 J/(kg K); Grønvold & Stølen (2002) have 33.42 at melting, 6.5 % more: carried as 7 %",
			crcFusion + ", 108.1 kJ/kg; NIST-JANAF gives 112.0: the 3.6 % between them is carried as 4 %",
			fixedPoint + ", 419.527 °C",
			"conductivity: Ho, Powell & Liley, J. Phys. Chem. Ref. Data 1 (1972) 279, fit found in a public source file, 100 K to melting; 3 % near room temperature, 10 % elsewhere as stated there",
			"conductivity melted: about 50 W/(m K) near melting, from memory",
		},
	}
}

func tin() Entry {
	const melt = 231.928 + iceZero
	return Entry{
		Name: "tin", Kind: "metal", Metal: "tin", Text: "pure white tin",
		Density: 7310, LiquidDensity: 6979,
		HeatCapacity: sampled(250, melt, 5, func(T float64) float64 {
			return gibbsHeat(-15.961, -18.8702e-3, 3.121167e-6, -61960, T) / molarTin
		}),
		HeatCapacityMelted: sampled(melt, 1300, 5, func(T float64) float64 {
			if T < 800 {
				return gibbsHeat(-8.2590486, -16.814429e-3, 2.623131e-6, -1081244, T) / molarTin
			}
			return 28.4512 / molarTin
		}),
		Conductivity:       Isotropic(stretched(points([2]float64{200, 73.3}, [2]float64{300, 66.6}, [2]float64{400, 62.2}), 200, melt)),
		ConductivityMelted: Isotropic(points([2]float64{melt, 28}, [2]float64{800, 35}, [2]float64{1100, 41})),
		Latent:             60231, Solidus: melt, Liquidus: melt,
		Emissivity: math.NaN(),
		Memory:     []string{"conductivity melted"},
		Spread:     Spread{Density: 0.01, HeatCapacity: 0.02, HeatCapacityMelted: 0.04, Conductivity: 0.05, ConductivityMelted: 0.2, Latent: 0.02},
		Sources: []string{
			"density: " + incropera,
			crcLiquid + ", 6979 kg/m³ at melting",
			"heat capacity: " + sgte + ", 250 K to the melting point; " + incropera + " agrees within 1 % (227 J/(kg K) at 300 K, 243 at 400 K)",
			"heat capacity melted: " + sgte + ", 505 to 1300 K",
			crcFusion + ", 60.23 kJ/kg; the SGTE functions give 59.2",
			fixedPoint + ", 231.928 °C",
			"conductivity: " + incropera + ", 200 to 400 K, carried on straight to the melting point",
			"conductivity melted: about 28 W/(m K) at melting, rising, from memory; Assael et al., High Temp.-High Press. 46 (2017) 391, carry 12.6 % for their own correlation",
		},
	}
}

// softTube is the temperature in K up to which the codes for pressure piping allow tubes of copper, brass and aluminium any
// stress at all: 400 °F.
const (
	softTube       = 204.4 + iceZero
	softTubeSource = "400 °F, about where ASME B31.1 and BPVC II-D end their allowable stresses for tubes of copper, brass and aluminium (from memory)"
)

func aluminium() Entry {
	const melt = 660.323 + iceZero
	cp := points([2]float64{298.15, 24.209}, [2]float64{400, 25.784}, [2]float64{500, 26.842}, [2]float64{600, 27.886},
		[2]float64{700, 29.1}, [2]float64{800, 30.562}, [2]float64{900, 32.308}, [2]float64{933.45, 32.959})
	return Entry{
		Name: "aluminium", Kind: "metal", Metal: "aluminium", Text: "pure aluminium; alloys conduct less, down to 60 % of it",
		Density: 2702, LiquidDensity: 2377,
		HeatCapacity:       scaled(stretched(cp, iceZero, melt), 1/molarAluminium),
		HeatCapacityMelted: single(31.751/molarAluminium, melt, 1500),
		Conductivity: Isotropic(stretched(points([2]float64{200, 237}, [2]float64{300, 237}, [2]float64{400, 240}, [2]float64{600, 231},
			[2]float64{800, 218}), 200, melt)),
		ConductivityMelted: Isotropic(points([2]float64{melt, 91}, [2]float64{1200, 102})),
		Latent:             396930, Solidus: melt, Liquidus: melt,
		Emissivity: 0.09,
		Memory:     []string{"conductivity melted"},
		TubeLimit:  softTube, TubeSource: softTubeSource,
		Spread: Spread{Density: 0.01, HeatCapacity: 0.02, HeatCapacityMelted: 0.08, Conductivity: 0.05, ConductivityMelted: 0.2, Latent: 0.02},
		Sources: []string{
			"density: " + incropera,
			crcLiquid + ", 2377 kg/m³ at melting",
			"heat capacity: " + janaf + ", 298 K to the melting point, carried on straight to 0 °C; " + incropera + " agrees within 1.2 %",
			"heat capacity melted: " + janaf + ", 31.751 J/(mol K)",
			crcFusion + ", 396.9 kJ/kg",
			fixedPoint + ", 660.323 °C",
			"conductivity: " + incropera + ", 200 to 800 K, carried on straight to the melting point",
			"conductivity melted: about 91 W/(m K) at melting, from memory",
			"emissivity: commercial sheet at 100 °C, Neutrium table of total normal emissivities; polished plate 0.04 to 0.06, oxidised at 600 °C 0.11 to 0.19, heavily oxidised 0.20 to 0.31 (same table)",
		},
	}
}

func copper() Entry {
	const melt = 1084.62 + iceZero
	cp := points([2]float64{200, 356}, [2]float64{300, 385}, [2]float64{400, 397}, [2]float64{600, 417}, [2]float64{800, 433}, [2]float64{1000, 451})
	return Entry{
		Name: "copper", Kind: "metal", Metal: "copper", Text: "pure copper",
		Density: 8933, LiquidDensity: 7997,
		HeatCapacity:       stretched(cp, 200, melt),
		HeatCapacityMelted: single(32.844/molarCopper, melt, 1800),
		Conductivity: Isotropic(stretched(points([2]float64{200, 413}, [2]float64{300, 401}, [2]float64{400, 393}, [2]float64{600, 379},
			[2]float64{800, 366}, [2]float64{1000, 352}), 200, melt)),
		ConductivityMelted: Isotropic(points([2]float64{melt, 160}, [2]float64{1800, 180})),
		Latent:             208670, Solidus: melt, Liquidus: melt,
		Emissivity: 0.65,
		Memory:     []string{"conductivity melted"},
		TubeLimit:  softTube, TubeSource: softTubeSource,
		Spread: Spread{Density: 0.01, HeatCapacity: 0.03, HeatCapacityMelted: 0.05, Conductivity: 0.05, ConductivityMelted: 0.2, Latent: 0.02},
		Sources: []string{
			"density: " + incropera,
			crcLiquid + ", 7997 kg/m³ at melting",
			"heat capacity: " + incropera + ", 200 to 1000 K, carried on straight to the melting point; NIST-JANAF agrees within 1 % up to 800 K",
			"heat capacity melted: " + janaf + ", 32.844 J/(mol K)",
			crcFusion + ", 208.7 kJ/kg",
			fixedPoint + ", 1084.62 °C",
			"conductivity: " + incropera + ", 200 to 1000 K, carried on straight to the melting point",
			"conductivity melted: about 160 W/(m K) at melting, from memory; Assael et al., High Temp.-High Press. 46 (2017) 391, carry 9.8 % for their own correlation",
			"emissivity: oxidised at 50 °C 0.6 to 0.7, Bramson and others as listed by a camera maker; polished 0.02, oxidised black 0.78",
		},
	}
}

func magnesium() Entry {
	const melt = 923.0
	return Entry{
		Name: "magnesium", Kind: "metal", Metal: "magnesium", Text: "pure magnesium; burns in air",
		Density: 1740, LiquidDensity: 1584,
		HeatCapacity: sampled(iceZero, melt, 5, func(T float64) float64 {
			return gibbsHeat(-26.1849782, 4.858e-4, -1.393669e-6, 78950, T) / molarMagnesium
		}),
		HeatCapacityMelted: single(34.3088/molarMagnesium, melt, 1363),
		Conductivity: Isotropic(stretched(points([2]float64{200, 159}, [2]float64{300, 156}, [2]float64{400, 153}, [2]float64{600, 149},
			[2]float64{800, 146}), 200, melt)),
		ConductivityMelted: Isotropic(single(80, melt, 1363)),
		Latent:             348900, Solidus: melt, Liquidus: melt,
		Emissivity: math.NaN(),
		Memory:     []string{"density", "conductivity", "conductivity melted"},
		Spread:     Spread{Density: 0.2, HeatCapacity: 0.03, HeatCapacityMelted: 0.08, Conductivity: 0.2, ConductivityMelted: 0.3, Latent: 0.03},
		Sources: []string{
			"density: " + incropera + ", quoted from memory",
			"density of the liquid: about 1584 kg/m³ at melting, from memory",
			"heat capacity: " + sgte + ", 298 K to the melting point, used from 0 °C",
			"heat capacity melted: " + sgte + ", 34.31 J/(mol K)",
			crcFusion + ", 348.9 kJ/kg",
			"melting point: 923 K, the bound of the SGTE functions for magnesium",
			"conductivity: " + incropera + ", 200 to 800 K, quoted from memory, carried on straight to the melting point",
			"conductivity melted: about 80 W/(m K), from memory",
		},
	}
}

func lead() Entry {
	const melt = 600.61
	return Entry{
		Name: "lead", Kind: "metal", Metal: "lead", Text: "pure lead; poisonous",
		Density: 11340, LiquidDensity: 10660,
		HeatCapacity: sampled(iceZero, melt, 5, func(T float64) float64 {
			return gibbsHeat(-24.5242231, -3.65895e-3, -2.4395e-7, 0, T) / molarLead
		}),
		HeatCapacityMelted: sampled(melt, 1200, 5, func(T float64) float64 {
			return gibbsHeat(-32.4913959, 1.54613e-3, 0, 0, T) / molarLead
		}),
		Conductivity: Isotropic(stretched(points([2]float64{200, 36.7}, [2]float64{300, 35.3}, [2]float64{400, 34}, [2]float64{600, 31.4}), 200, melt)),
		// Liquid lead conducts about half as well as the solid at the melting point.
		ConductivityMelted: Isotropic(points([2]float64{melt, 16}, [2]float64{1000, 20})),
		Latent:             4774 / molarLead, Solidus: melt, Liquidus: melt,
		Emissivity: math.NaN(),
		Memory:     []string{"density", "conductivity", "conductivity melted"},
		Spread:     Spread{Density: 0.2, HeatCapacity: 0.02, HeatCapacityMelted: 0.04, Conductivity: 0.2, ConductivityMelted: 0.2, Latent: 0.03},
		Sources: []string{
			"density: " + incropera + ", quoted from memory",
			"density of the liquid: about 10660 kg/m³ at melting, from memory",
			"heat capacity, heat capacity melted: " + sgte + ", 298 to 1200 K, used from 0 °C",
			crcFusion + ", 4774 J/mol",
			"melting point: 600.61 K, the bound of the SGTE functions for lead",
			"conductivity: " + incropera + ", 200 to 600 K, quoted from memory",
			"conductivity melted: about 16 W/(m K) at melting, from memory; Assael et al., High Temp.-High Press. 46 (2017) 391, carry 16.9 % for their own correlation",
		},
	}
}

func brass() Entry {
	return Entry{
		Name: "brass", Kind: "metal", Metal: "copper", Text: "cartridge brass, 70 % copper and 30 % zinc",
		Density:      8530,
		HeatCapacity: points([2]float64{200, 360}, [2]float64{300, 380}, [2]float64{400, 395}, [2]float64{600, 425}),
		Conductivity: Isotropic(points([2]float64{200, 95}, [2]float64{300, 110}, [2]float64{400, 137}, [2]float64{600, 149})),
		Emissivity:   0.5,
		ServiceLimit: 1188, ServiceSource: "melting point 1188 K, " + incropera + "; it softens far below",
		TubeLimit: softTube, TubeSource: softTubeSource,
		Spread: Spread{Density: 0.01, HeatCapacity: 0.03, Conductivity: 0.08},
		Sources: []string{
			"density, heat capacity, conductivity: " + incropera + ", cartridge brass 70Cu-30Zn, 200 to 600 K",
			"emissivity: oxidised at 40 to 260 °C 0.46 to 0.56, Thome, lecture table (2008); highly polished 0.04",
		},
	}
}
