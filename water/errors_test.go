package water

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestErrorsSayWhatAndWhy(t *testing.T) {
	pt := func(p, T float64) error { _, err := AtPT(p, T); return err }
	ph := func(p, h float64) error { _, err := AtPH(p, h); return err }
	ps := func(p, s float64) error { _, err := AtPS(p, s); return err }
	satP := func(T float64) error { _, err := SaturationPressure(T); return err }
	satT := func(p float64) error { _, err := SaturationTemperature(p); return err }
	liquid := func(p float64) error { _, err := SaturatedLiquid(p); return err }
	vapour := func(p float64) error { _, err := SaturatedVapour(p); return err }
	tension := func(T float64) error { _, err := SurfaceTension(T); return err }
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		err  error
		is   error
		says string
	}{
		{satP(673.15), ErrRange, "water at 400 degC: outside the range of the water properties: no saturation pressure above the critical temperature, 373.946 degC"},
		{satP(647.0961), ErrRange, "critical temperature"},
		{satP(273), ErrRange, "below 0 degC"},
		{satP(nan), ErrRange, "not a number"},
		{satT(22.1e6), ErrRange, "above the critical pressure, 22.064 MPa"},
		{satT(611), ErrRange, "below the triple point, 611.657 Pa"},
		{satT(nan), ErrRange, "not a number"},
		{liquid(22.1e6), ErrRange, "above the critical pressure, 22.064 MPa"},
		{vapour(nan), ErrRange, "not a number"},
		{liquid(1), ErrRange, "triple point"},
		{pt(25e6, 2300), ErrRange, "water at 25 MPa and 2026.85 degC"},
		{pt(60e6, 1100), ErrRange, "above 50 MPa"},
		{pt(1e5, 260), ErrRange, "within 0 degC to 2000 degC, above 50 MPa to 800 degC"},
		{pt(0, 300), ErrRange, "within 1 Pa to 100 MPa"},
		{pt(-1e5, 300), ErrRange, "water at -0.1 MPa"},
		{pt(101e6, 300), ErrRange, "within 1 Pa to 100 MPa"},
		{pt(1e5, nan), ErrRange, "temperature"},
		{pt(nan, 300), ErrRange, "pressure"},
		{pt(1e5, inf), ErrRange, "temperature"},
		{ph(60e6, 4200e3), ErrRange, "that of 800 degC"},
		{ph(1e5, -5e3), ErrRange, "that of 0 degC"},
		{ph(1e5, 8000e3), ErrRange, "enthalpy must be at most 7376.955"},
		{ph(600, 100e3), ErrRange, "611.657 Pa to 100 MPa"},
		{ph(1e5, nan), ErrRange, "not a number"},
		{ph(1e5, -inf), ErrRange, "0 degC"},
		{ps(20e6, 9500), ErrRange, "entropy must be at most"},
		{ps(1e5, -100), ErrRange, "entropy must be at least"},
		{ps(1e5, nan), ErrRange, "entropy"},
		{ps(nan, 1000), ErrRange, "pressure"},
		{tension(650), ErrRange, "surface tension of water at 376.85 degC"},
		{tension(nan), ErrRange, "surface tension"},
	} {
		if c.err == nil || !errors.Is(c.err, c.is) || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("error %q: want one that wraps %q and says %q", c.err, c.is, c.says)
		}
	}
}
