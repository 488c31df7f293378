package water

import (
	"fmt"
	"math"
)

// Isobar is water at one pressure as a table over enthalpy, for marching. Build it once; it is then only read, so
// that many goroutines may share it, and reading allocates nothing.
//
// Liquid and vapour each stand as six to eighteen panels of enthalpy, over each of which every property is a polynomial of
// seventh degree through eight states of the equations; boiling water in between is computed from the two saturated
// states. Against the equations the table keeps within 1e-8 of temperature in K, density and entropy (relative), 1e-6 of
// heat capacity and viscosity, and 1e-4 of conductivity and Prandtl number: the conductivity's critical part sets in with
// a steep start of its own, at about 160 °C in the liquid. Tests with random states hold these bounds.
//
// An enthalpy outside Low..High is taken as the nearer end: temperature and all else then stay constant. NaN gives
// NaN.
type Isobar struct {
	P              float64 // Pa
	Saturation     float64 // K
	HLiquid        float64 // J/kg, of saturated liquid
	HVapour        float64 // J/kg, of saturated vapour
	Liquid         State   // saturated
	Vapour         State   // saturated
	SurfaceTension float64 // N/m
	Low, High      float64 // J/kg, the table's ends: 273.16 K and 1073.15 K

	liquid, vapour    branch
	evaporation       float64 // J/kg, HVapour − HLiquid
	liquidVolume      float64 // m³/kg, saturated
	evaporationVolume float64 // m³/kg, by which it grows on evaporation
}

// The pressures for which an isobar can be built, in Pa.
const (
	IsobarLowest  = 1e3
	IsobarHighest = 22e6
)

// Panels of the tables, chosen so that the bounds above hold at every pressure: the liquid's crowd towards its hot end,
// the vapour's towards saturation, those of region 3 towards saturation too.
var (
	thickPanels = crowding{n: 5, first: 0.1, fromEnd: true}
	thinPanels  = crowding{n: 5, first: 0.1}
)

func liquidPanels(top float64) crowding {
	return crowding{n: 6 + int((top-TripleTemperature)/43), first: 0.45, fromEnd: true}
}

func vapourPanels(p float64) crowding {
	if p < 8e6 {
		return crowding{n: 10, first: 0.25}
	}
	return crowding{n: 13, first: 0.18}
}

// NewIsobar builds the table for p in Pa, within 1 kPa to 22 MPa: closer to the critical point, heat capacity and
// conductivity grow without bound. Outside, the error wraps ErrRange.
func NewIsobar(p float64) (*Isobar, error) {
	if !(p >= IsobarLowest && p <= IsobarHighest) {
		return nil, fmt.Errorf("table of water at %s: %w: pressure must be within 1 kPa to 22 MPa", pascal(p), ErrRange)
	}
	liquid, vapour, _ := saturated(p)
	T := liquid.T
	b := &Isobar{
		P:              p,
		Saturation:     T,
		Liquid:         singlePhase(liquid),
		Vapour:         singlePhase(vapour),
		SurfaceTension: surfaceTension(T),
	}
	b.Vapour.Quality = 1
	b.HLiquid, b.HVapour = b.Liquid.H, b.Vapour.H
	b.evaporation = b.HVapour - b.HLiquid
	b.liquidVolume = 1 / b.Liquid.Density
	b.evaporationVolume = 1/b.Vapour.Density - b.liquidVolume
	b.lay(liquid, vapour)
	b.Low, b.High = b.liquid.low, b.vapour.high
	return b, nil
}

// lay builds both branches.
func (b *Isobar) lay(liquid, vapour phase) {
	cold, hot := isobaric1(b.P), isobaric2(b.P)
	low, high := cold(TripleTemperature), hot(region2Temperature)
	if b.P <= region3Pressure {
		b.liquid.join(alongTemperature(cold, low, liquid, liquidPanels(b.Saturation)), low, liquid)
		b.vapour.join(alongTemperature(hot, vapour, high, vapourPanels(b.P)), vapour, high)
	} else {
		seam := cold(region1Temperature)
		start := fluid3(b.P, region1Temperature, true)
		b.liquid.join(alongTemperature(cold, low, seam, liquidPanels(region1Temperature)), low, seam)
		b.liquid.join(alongEnthalpy(b.P, start, liquid, thickPanels, true), start, liquid)
		T := math.Max(temperature23(b.P), vapour.T)
		end := fluid3(b.P, T, false)
		seam = hot(T)
		b.vapour.join(alongEnthalpy(b.P, vapour, end, thinPanels, false), vapour, end)
		b.vapour.join(alongTemperature(hot, seam, high, vapourPanels(b.P)), seam, high)
	}
	b.liquid.index()
	b.vapour.index()
}
