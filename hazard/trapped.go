package hazard

import (
	"errors"
	"fmt"

	"emberbank/water"
)

// TrappedSource is where the numbers of water shut in come from.
const TrappedSource = "IAPWS-IF97 at constant volume; the tube taken as rigid"

// RisePerKelvin returns by how many Pa the pressure of water rises for each kelvin where it fills what holds it, from p in Pa and T
// in K on:
//
//	(∂p/∂T)_v = α/κ
//
// α is its thermal expansivity in 1/K, κ its isothermal compressibility in 1/Pa. The tube is taken as rigid: its own widening, by
// heat and by pressure, makes the rise some tenths less steep. The water must be liquid, from 4 °C to 350 °C, below 100 MPa.
// Source: IAPWS R7-97(2012).
func RisePerKelvin(p, T float64) (float64, error) {
	v, err := fullOf(p, T)
	if err != nil {
		return 0, err
	}
	const step = 0.05 // K: the rise changes by some 0.1 bar/K for each kelvin, so by less than a thousandth over it
	then, err := water.AtVT(v, T+step)
	if err != nil {
		return 0, fmt.Errorf("pressure of water shut in: %w", err)
	}
	return (then.P - p) / step, nil
}

// Kelvins returns by how many kelvins water that fills a rigid tube at p in Pa and T in K may be warmed until its pressure has come to
// limit in Pa; 0 where it is there already. Range and source are those of RisePerKelvin; limit is up to 100 MPa.
func Kelvins(p, T, limit float64) (float64, error) {
	v, err := fullOf(p, T)
	if err != nil {
		return 0, err
	}
	if !(limit <= 100e6) {
		return 0, fmt.Errorf("pressure of water shut in: %w: a limit of %.4g Pa, allowed: up to 100 MPa", water.ErrRange, limit)
	}
	if limit <= p {
		return 0, nil
	}
	low, high := 0.0, 1.0
	for passes := false; !passes; {
		s, err := water.AtVT(v, T+high)
		switch {
		case errors.Is(err, water.ErrOverPressure) || err == nil && s.P >= limit:
			passes = true
		case err != nil:
			return 0, fmt.Errorf("pressure of water shut in: %w", err)
		default:
			low, high = high, 2*high
		}
	}
	for high-low > 1e-6*high {
		mid := 0.5 * (low + high)
		s, err := water.AtVT(v, T+mid)
		if err != nil && !errors.Is(err, water.ErrOverPressure) {
			return 0, fmt.Errorf("pressure of water shut in: %w", err)
		}
		if err != nil || s.P >= limit {
			high = mid
		} else {
			low = mid
		}
	}
	return 0.5 * (low + high), nil
}

// fullOf returns the volume in m³/kg of liquid water at p and T.
func fullOf(p, T float64) (float64, error) {
	s, err := water.AtPT(p, T)
	if err != nil {
		return 0, fmt.Errorf("pressure of water shut in: %w", err)
	}
	if boils, err := water.SaturationTemperature(p); err == nil && T > boils || !(T >= 4+iceZero && T <= 350+iceZero) {
		return 0, fmt.Errorf("pressure of water shut in: %w: at %.1f degC and %.4g Pa it is no liquid between 4 degC and 350 degC that fills a tube", water.ErrRange, T-iceZero, p)
	}
	return 1 / s.Density, nil
}
