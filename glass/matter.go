package glass

import (
	"math"
	"slices"
	"sync"
)

// Matter is what a pane is made of.
type Matter struct {
	Name       string
	Text       string
	Index      func(wavelength float64) float64 // 1, of refraction; wavelength in m
	Extinction func(wavelength float64) float64 // 1/m
	Sources    []string
}

// Plain returns matter with one index and one extinction (1/m) at all wavelengths, such as somebody states.
func Plain(name string, index, extinction float64) Matter {
	return Matter{
		Name:       name,
		Index:      func(float64) float64 { return index },
		Extinction: func(float64) float64 { return extinction },
	}
}

// Lookup finds the optical data of a material of the catalogue by its name.
func Lookup(name string) (Matter, bool) {
	for _, m := range Known() {
		if m.Name == name {
			return m, true
		}
	}
	return Matter{}, false
}

// Known lists what has optical data.
func Known() []Matter {
	return []Matter{borosilicate(), silica(), sodaLime("soda-lime-glass", "clear soda lime window glass", clearK), sodaLime("low-iron-glass", "soda lime glass low in iron", lowIronK)}
}

// borosilicate is known by one index and one transmittance only.
func borosilicate() Matter {
	m := Plain("borosilicate-glass", 1.473, 4.6)
	m.Text = "borosilicate glass 3.3 (ISO 3585)"
	m.Sources = []string{
		"index: 1.473 in yellow light, suppliers' public pages, used at all wavelengths",
		"extinction: 4.6 1/m, from 0.92 of the visible light that a pane of 2.2 mm lets through (suppliers' public pages), used at all wavelengths; the two digits leave 2 to 7 1/m",
	}
	return m
}

// silica: no absorption to speak of up to 3.5 µm, and taken as opaque beyond.
func silica() Matter {
	return Matter{
		Name: "fused-silica", Text: "fused silica (quartz glass)",
		// n² − 1 = Σ B λ²/(λ² − C²), λ in µm
		Index: func(l float64) float64 {
			x := math.Pow(math.Min(math.Max(l*1e6, 0.21), 6.7), 2)
			n2 := 1.0
			for _, t := range [3][2]float64{{0.6961663, 0.0684043}, {0.4079426, 0.1162414}, {0.8974794, 9.896161}} {
				n2 += t[0] * x / (x - t[1]*t[1])
			}
			return math.Sqrt(n2)
		},
		Extinction: func(l float64) float64 {
			if l > 3.5e-6 || l < 0.16e-6 {
				return 1e5
			}
			return 0
		},
		Sources: []string{
			"index: Malitson, J. Opt. Soc. Am. 55 (1965) 1205, 0.21 to 3.71 µm, at 20 °C",
			"extinction: transmits from 0.16 to 3.5 µm (public data pages), taken as none there and as opaque beyond; the absorption of hydroxyl near 2.7 µm is left out",
		},
	}
}

// sodaLime has n = 1.5130 − 0.003169 λ² + 0.003962 λ⁻², λ in µm, and a table of the absorption index k: the extinction is
// 4πk/λ.
func sodaLime(name, text string, k []float64) Matter {
	at := sodaLimeAt()
	return Matter{
		Name: name, Text: text,
		Index: func(l float64) float64 {
			x := math.Pow(math.Min(math.Max(l*1e6, 0.31), 4.6), 2)
			return 1.5130 - 0.003169*x + 0.003962/x
		},
		Extinction: func(l float64) float64 {
			x := math.Min(math.Max(l*1e6, 0.31), 4.6)
			i, _ := slices.BinarySearch(at, x)
			v := k[0]
			if i > 0 {
				f := (x - at[i-1]) / (at[i] - at[i-1])
				v = k[i-1] + f*(k[i]-k[i-1])
			}
			return 4 * math.Pi * v / l
		},
		Sources: []string{"index and absorption, 0.31 to 4.6 µm: Rubin, Optical properties of soda lime silica glasses, Solar Energy Materials 12 (1985) 275, as a public-domain table of optical constants has them"},
	}
}

// sodaLimeAt are the wavelengths of Rubin's tables, µm.
var sodaLimeAt = sync.OnceValue(func() []float64 {
	var x []float64
	for i := 31; i <= 100; i++ {
		x = append(x, float64(i)/100)
	}
	for i := 11; i <= 46; i++ {
		x = append(x, float64(i)/10)
	}
	return x
})
