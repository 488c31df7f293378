package heat

import (
	"fmt"
	"math"

	"emberbank/film"
	"emberbank/water"
)

// isobar is a table of water at one pressure with what the march asks of it besides.
type isobar struct {
	*water.Isobar
	latent   float64 // J/kg
	beyond   float64 // K kg/J, dT/dh of steam at the table's hot end
	vapourCp float64 // J/(kg K), of saturated vapour

	liquid, vapour film.Fluid // saturated, with their expansion
	two            film.TwoPhase
	bend           float64 // a quality at which the film in a level tube has a bend
}

// point returns the water's temperature in K and dT/dh in K kg/J at h in J/kg. Beyond the table's end at 1073 K it goes
// on with the heat capacity there, so that steam from a hotter block has a temperature that rises.
func (b *isobar) point(h float64) (T, slope float64) {
	if h > b.High {
		return b.temperature(h), b.beyond
	}
	return b.TemperatureSlope(h)
}

// temperature returns the temperature alone.
func (b *isobar) temperature(h float64) float64 {
	if beyond := h - b.High; beyond > 0 {
		return b.Isobar.Temperature(b.High) + beyond*b.beyond
	}
	return b.Isobar.Temperature(h)
}

// enthalpy undoes temperature, of the vapour above saturation.
func (b *isobar) enthalpy(T float64) float64 {
	if end := b.Isobar.Temperature(b.High); T > end {
		return b.High + (T-end)/b.beyond
	}
	return b.Enthalpy(T)
}

// slope returns dT/dh alone.
func (b *isobar) slope(h float64) float64 {
	if h > b.High {
		return b.beyond
	}
	return b.Slope(h)
}

// mixture returns the mean density in kg/m³ of boiling water whose enthalpy runs straight from h0 up to h1 in J/kg: its
// volume runs straight, so that the mean is the logarithmic one.
func (b *isobar) mixture(h0, h1 float64) float64 { return logarithmic(b.Density(h0), b.Density(h1)) }

// quality returns (h − h′)/(h″ − h′).
func (b *isobar) quality(h float64) float64 { return (h - b.HLiquid) / b.latent }

// isobarStep is the relative change of pressure that asks for a new table; pressureStep is the ratio of the pressures,
// less one, for which tables stand along a tube whose pressure falls.
const (
	isobarStep   = 0.002
	pressureStep = 0.005
)

// mostIsobars bounds the tables that are kept, some 0.1 MB each.
const mostIsobars = 64

// isobar returns the table for p in Pa: slices and circuits at one pressure share one.
func (t *tubes) isobar(p float64) (*isobar, error) {
	for i, iso := range t.isobars {
		if iso.P == p {
			copy(t.isobars[1:i+1], t.isobars[:i]) // the last ones asked for stay
			t.isobars[0] = iso
			return iso, nil
		}
	}
	table, err := water.NewIsobar(p)
	if err != nil {
		return nil, fmt.Errorf("laying the water's properties at %.4g bar: %w", p/1e5, err)
	}
	iso := &isobar{
		Isobar: table, latent: table.HVapour - table.HLiquid,
		beyond: 1 / table.At(table.High).HeatCapacity, vapourCp: table.Vapour.HeatCapacity,
	}
	l, v := table.Film(table.HLiquid), table.Film(table.HVapour)
	iso.liquid, iso.vapour, iso.two = fluid(&l), fluid(&v), iso.twoPhase()
	iso.bend = film.IntermittentTo(&iso.two)
	t.isobars = append([]*isobar{iso}, t.isobars[:min(len(t.isobars), mostIsobars-1)]...)
	return iso, nil
}

// setPressure sets the pressure at the outlet in Pa.
func (w *stream) setPressure(t *tubes, p float64) error {
	if w.iso != nil && math.Abs(p-w.iso.P) <= isobarStep*w.iso.P {
		return nil
	}
	iso, err := t.isobar(p)
	if err != nil {
		return err
	}
	if w.iso == nil { // the zero stays where it is when the pressure changes, or the content would jump
		w.origin = iso.Enthalpy(293.15)
	}
	w.iso = iso
	if len(w.at) != len(w.slices) {
		w.at = make([]*isobar, len(w.slices))
	}
	for i := range w.at {
		w.at[i] = iso
	}
	w.laid = false
	return nil
}

// coldBy is how far below saturation, in J/kg, water takes the outlet's table whatever its own pressure: liquid hardly
// hangs on it.
const coldBy = 4e4

// setPressures gives each slice the table of its own pressure: that at the outlet and what the present flow loses from
// there back to the slice's middle. Tables stand at steps of pressure; a slice keeps its own until its pressure has left
// it by more than a step.
func (w *stream) setPressures(t *tubes, tilt float64) error {
	hot := false
	for i := range w.at {
		hot = hot || w.h[i] > w.iso.HLiquid-coldBy
	}
	if !hot || !(w.flow > 0) {
		for i := range w.at {
			w.at[i] = w.iso
		}
		return nil
	}
	w.look(t)
	w.fall(t, w.flow, tilt)
	for i := len(w.slices) - 1; i >= 0; i-- {
		p := w.iso.P + w.head[i]
		if w.h[i] <= w.iso.HLiquid-coldBy || math.Abs(p/w.iso.P-1) < 0.5*pressureStep {
			w.at[i] = w.iso
			continue
		}
		if math.Abs(p/w.at[i].P-1) < pressureStep && w.at[i] != w.iso {
			continue
		}
		level := math.Round(math.Log(p) / math.Log1p(pressureStep))
		iso, err := t.isobar(clamp(math.Exp(level*math.Log1p(pressureStep)), water.IsobarLowest, water.IsobarHighest))
		if err != nil {
			return err
		}
		w.at[i] = iso
	}
	return nil
}
