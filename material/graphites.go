package material

const (
	oxidation = 400 + iceZero // K

	oxidationSource = "graphite oxidises slowly in air from about 400 °C (a carbon supplier's public page); below 800 °C the rate follows an activation energy near 163 kJ/mol (Gulbransen et al., J. Electrochem. Soc., abstract)"

	graphiteHeatSource = "heat capacity: Butland & Maddison, J. Nucl. Mater. 49 (1973/74) 45-56, 250-3000 K, the coefficient set of the NIST Chemistry WebBook (SRD 69). " +
		"A second published set differs in two coefficients: equal at 300 K, 1 % lower at 600-700 K, 2 % lower near 1000 K. The WebBook's is taken because NIST-JANAF (4th ed. 1998) " +
		"agrees with it within 0.5 % between 600 and 1000 K, where this job stores its heat (with the other set at 500 K); the difference is carried as 2 %"

	graphiteDensitySource = "density: commercial isostatic and extruded grades have 1700 to 1850 kg/m³, from memory: weigh your own"

	graphiteEmissivitySource = "emissivity: graphite 0.8 to 0.9 at 1 µm, a pyrometer maker's public table; filed graphite 0.98 at 20 °C, Bramson and others as listed by a camera maker"
)

// graphiteHeat is the heat capacity of graphite, in J/(kg K), at T in K:
//
//	cp = 4184 (a + b T + c/T + d/T² + e/T³ + f/T⁴)
//
// Source: Butland & Maddison, J. Nucl. Mater. 49 (1973/74) 45-56; a and b as in the NIST Chemistry WebBook.
// The other published set has a = 0.54212 and b = -2.42667e-6.
func graphiteHeat(T float64) float64 {
	const a, b, c, d, e, f = 0.538657, 9.11129e-6, -90.2725, -43449.3, 1.59309e7, -1.43688e9
	return 4184 * (a + b*T + (c+(d+(e+f/T)/T)/T)/T)
}

// graphiteEntry fills what all graphites share.
func graphiteEntry(name, text string, density float64, k [3]Curve, source string, spread Spread, memory ...string) Entry {
	return Entry{
		Name: name, Kind: "graphite", Metal: "graphite", Text: text,
		Density:      density,
		HeatCapacity: sampled(250, 2000, 5, graphiteHeat),
		Conductivity: k,
		Emissivity:   0.85,
		// Graphite itself stands far more than this job asks; in air the oxidation onset is the limit.
		OxidationOnset: oxidation, OxidationSource: oxidationSource,
		Memory: append([]string{"density"}, memory...), Spread: spread,
		Sources: []string{graphiteDensitySource, graphiteHeatSource, source, graphiteEmissivitySource},
	}
}

func graphites() []Entry {
	// k of a typical fine-grained isostatic grade falls with temperature like that of the measured isotropic one.
	isostatic := pointsC([2]float64{20, 100}, [2]float64{200, 88}, [2]float64{400, 74}, [2]float64{600, 63}, [2]float64{800, 55})
	isotropic := stretched(pointsC([2]float64{22, 133.02}, [2]float64{100, 128.54}, [2]float64{200, 117.62}, [2]float64{300, 106.03},
		[2]float64{400, 96.7}, [2]float64{500, 88.61}, [2]float64{600, 82.22}), iceZero, 0)
	// k = a - 0.124890 t + 3.28248e-5 t², t in °C; a is the mean of the two published values.
	extruded := Curve{Poly: []float64{169.2295, -0.124890, 3.28248e-5}, Zero: iceZero, Min: iceZero, Max: 1000 + iceZero}
	remembered := Spread{Density: 0.2, HeatCapacity: 0.02, Conductivity: 0.3}

	brick := Entry{
		Name: "carbon-brick", Kind: "graphite", Metal: "graphite",
		Text:         "refractory carbon brick (graphite), not a machined grade",
		Density:      1550,
		HeatCapacity: pointsC([2]float64{400, 1108}, [2]float64{600, 1244}, [2]float64{800, 1366}, [2]float64{1000, 1479}, [2]float64{1200, 1588}),
		Conductivity: Isotropic(pointsC([2]float64{400, 67}, [2]float64{600, 60.67}, [2]float64{800, 56.06}, [2]float64{1000, 52.01}, [2]float64{1200, 49.46})),
		Emissivity:   0.85, OxidationOnset: oxidation, OxidationSource: oxidationSource,
		Spread: Spread{Density: 0.05, HeatCapacity: 0.1, Conductivity: 0.1},
		Sources: []string{
			"density, heat capacity, conductivity: VDI Heat Atlas, 2nd ed. 2010, refractory table, carbon brick (graphite), 400 to 1200 °C; as carried by an open-source property library. No row below 400 °C: the first is kept there, which overstates the heat capacity of a cold block",
			graphiteEmissivitySource,
		},
	}
	return []Entry{
		graphiteEntry("graphite-isostatic", "fine-grained isostatic graphite, generic; put your maker's values in their place", 1780, Isotropic(isostatic),
			"conductivity: typical maker's figures for a grade of about 100 W/(m K), from memory; falls with temperature as measured for isotropic graphite (graphite-isotropic). Grades run from 70 to 140",
			remembered, "conductivity"),
		graphiteEntry("graphite-isotropic", "isotropic graphite of the G-348 kind", 1780, Isotropic(isotropic),
			"conductivity: McEligot, Swank, Cottle & Valentin, INL/EXT-16-38241 (2016), G-348, quoted from memory",
			Spread{Density: 0.2, HeatCapacity: 0.02, Conductivity: 0.2}, "conductivity"),
		graphiteEntry("graphite-extruded", "unirradiated extruded nuclear graphite of the H-451 kind", 1740, Isotropic(extruded),
			"conductivity: OECD/NEA MHTGR-350 benchmark, unirradiated H-451-type graphite; the leading constant is 169.245 in one public source and 169.214 in another, their mean is used (0.01 %); measured spread between blocks is larger, 10 % is carried. The grade is weaker across the extrusion; no figure was found",
			Spread{Density: 0.2, HeatCapacity: 0.02, Conductivity: 0.1}),
		brick,
	}
}
