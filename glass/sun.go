package glass

import (
	"math"
	"slices"
)

// Spectrum is how the power of light spreads over wavelengths.
type Spectrum struct {
	Name       string
	Wavelength []float64 // m, rising
	Power      []float64 // of a band about each, relative to one another
	Source     string
}

// stretch is a piece of a spectrum with even steps.
type stretch struct {
	from, step float64   // nm
	v          []float64 // W/(m² nm)
}

// Sun returns the reference spectrum of the direct beam with its aureole, air mass 1.5, in W/m² by band.
//
// Source: ASTM G173-03, direct and circumsolar: its rows at every 5th nanometre to 1.1 µm, every 10th to 1.7 µm, every
// 20th to 2.5 µm and every 100th to 4 µm, as a public copy of the table has them. Summed by trapezoids they hold 900 W/m²
// to half a hundredth, as the whole table does (900.14 W/m²); what is between the rows, such as narrow lines, is left out.
func Sun() Spectrum {
	s := Spectrum{Name: "sun", Source: "ASTM G173-03, direct and circumsolar, rows at 5 to 100 nm"}
	for _, p := range sunRows {
		for i, v := range p.v {
			w := p.step
			if i == 0 || i == len(p.v)-1 {
				w /= 2
			}
			at := (p.from + float64(i)*p.step) * 1e-9
			if n := len(s.Wavelength); n > 0 && i == 0 { // two stretches meet
				s.Power[n-1] += w * v
				continue
			}
			s.Wavelength, s.Power = append(s.Wavelength, at), append(s.Power, w*v)
		}
	}
	return s
}

// Total returns the sum over all bands.
func (s *Spectrum) Total() float64 {
	sum := 0.0
	for _, v := range s.Power {
		sum += v
	}
	return sum
}

// sunRows are rows of ASTM G173-03.
var sunRows = []stretch{
	{300, 5, []float64{
		0.00046, 0.00893, 0.02783, 0.07369, 0.11277, 0.15504, 0.26192, 0.26477, 0.29659, 0.27854, // 300
		0.32913, 0.39140, 0.39240, 0.41810, 0.51666, 0.41087, 0.49751, 0.48638, 0.58457, 0.60096, // 350
		0.83989, 0.87849, 0.80910, 0.95569, 0.88467, 0.99312, 0.70134, 1.0070, 1.0993, 1.1992, // 400
		1.2881, 1.2655, 1.2791, 1.2905, 1.2749, 1.3755, 1.3825, 1.3457, 1.3968, 1.4238, // 450
		1.3391, 1.3598, 1.3497, 1.3385, 1.3349, 1.3859, 1.3598, 1.3701, 1.3096, 1.3657, // 500
		1.3648, 1.3883, 1.3118, 1.3555, 1.3240, 1.3225, 1.3455, 1.3737, 1.2316, 1.2870, // 550
		1.3278, 1.3418, 1.3237, 1.3254, 1.3299, 1.2667, 1.2589, 1.3065, 1.2962, 1.3170, // 600
		1.2299, 1.2220, 1.2668, 1.2871, 1.2853, 1.2639, 1.2650, 1.2454, 1.0746, 1.1538, // 650
		1.1636, 1.1989, 1.1954, 1.1428, 0.89940, 0.94741, 1.0294, 1.1101, 1.1119, 1.1404, // 700
		1.1273, 1.1321, 0.24716, 0.63377, 1.0646, 1.0801, 1.0687, 1.0649, 1.0045, 1.0066, // 750
		0.98859, 0.97270, 0.97488, 0.82927, 0.79899, 0.89752, 0.84930, 0.92917, 0.94124, 0.94226, // 800
		0.82900, 0.84746, 0.91764, 0.89487, 0.89933, 0.86204, 0.87434, 0.87913, 0.86078, 0.75956, // 850
		0.69429, 0.76337, 0.58553, 0.63550, 0.69657, 0.66621, 0.40679, 0.23690, 0.44411, 0.34729, // 900
		0.13944, 0.32204, 0.39685, 0.47469, 0.59689, 0.55536, 0.56941, 0.64734, 0.68843, 0.70673, // 950
		0.69159, 0.64140, 0.67695, 0.66676, 0.65839, 0.65727, 0.65092, 0.64348, 0.63366, 0.62712, // 1000
		0.61802, 0.61242, 0.60073, 0.59461, 0.57178, 0.56054, 0.56519, 0.56163, 0.52656, 0.49363, // 1050
		0.46113, // 1100
	}},
	{1100, 10, []float64{
		0.46113, 0.45496, 0.13562, 0.06757, 0.24447, 0.11648, 0.27371, 0.43731, 0.42052, 0.44124, // 1100
		0.42789, 0.43267, 0.43724, 0.43928, 0.44011, 0.43684, 0.41235, 0.37087, 0.40387, 0.39522, // 1200
		0.33855, 0.28908, 0.24864, 0.22052, 0.16216, 0.01549, 0, 0, 0.00008, 0.00048, // 1300
		0, 0.00045, 0.00804, 0.05991, 0.03855, 0.02670, 0.08316, 0.04840, 0.05906, 0.16993, // 1400
		0.24339, 0.26269, 0.25688, 0.24789, 0.25737, 0.26226, 0.25821, 0.23497, 0.23772, 0.23486, // 1500
		0.23133, 0.21146, 0.22783, 0.22984, 0.20913, 0.21902, 0.21721, 0.21573, 0.20017, 0.19991, // 1600
		0.19464, // 1700
	}},
	{1700, 20, []float64{
		0.19464, 0.18231, 0.16405, 0.15608, 0.09814, 0.03111, 0.00097, 0, 0.00001, 0.00008, // 1700
		0, 0.00044, 0.00324, 0.02157, 0.07423, 0.03749, 0.04424, 0.08834, 0.06816, 0.08553, // 1900
		0.08487, 0.08628, 0.08939, 0.08291, 0.08060, 0.07018, 0.07663, 0.07214, 0.06614, 0.06555, // 2100
		0.05819, 0.05149, 0.04537, 0.04972, 0.04213, 0.04373, 0.02636, 0.04293, 0.03316, 0.00800, // 2300
		0.00703, // 2500
	}},
	{2500, 100, []float64{
		0.00703, 0, 0, 0, 0.00082, 0.00794, 0.00445, 0.00044, 0.00179, 0.01264, // 2500
		0.01203, 0.01033, 0.01094, 0.00990, 0.00795, 0.00712, // 3500
	}},
}

// Black returns the spectrum of a black body at T in K between 0.25 and 4.6 µm, as of a lamp's filament or of an arc with
// that colour temperature, by Planck's law:
//
//	p ∝ λ⁻⁵/(exp(c₂/(λT)) − 1)
//
// Real lamps depart from it: an arc has lines, a quartz bulb cuts off what lies beyond 3.5 µm.
// Source: Planck's law, c₂ by CODATA 2018.
func Black(T float64) Spectrum {
	s := Spectrum{Name: "black body", Source: "Planck's law"}
	const from, to, n = 0.25e-6, 4.6e-6, 200
	for i := range n { // even steps in the logarithm of the wavelength
		l := from * math.Pow(to/from, (float64(i)+0.5)/n)
		s.Wavelength, s.Power = append(s.Wavelength, l), append(s.Power, planck(l, T)*l)
	}
	return s
}

// planck is the spectral power of a black body over wavelength, on no scale.
func planck(l, T float64) float64 {
	const c2 = 0.01438776877503933 // m K, CODATA 2018
	return 1 / (l * l * l * l * l * math.Expm1(c2/(l*T)))
}

// scaled returns the powers as shares of their sum.
func (s *Spectrum) scaled() []float64 {
	out := slices.Clone(s.Power)
	sum := s.Total()
	for i := range out {
		out[i] /= sum
	}
	return out
}
