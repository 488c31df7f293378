package uncertainty

import (
	"fmt"
	"math"
	"strconv"
)

// Comparison is the first-order result beside the Monte Carlo of the same model.
type Comparison struct {
	Budget       Budget
	Distribution Distribution
	Low, High    float64 // |y ∓ U − end of the interval|, in the unit of y
	Agree        bool    // both are within the tolerance of the digits asked for
	Sentence     string
}

// Compare runs both and tells whether first order is enough for this model. The interval is the symmetric one, so
// that like stands beside like. Source: JCGM 101:2008, 8.1.
func (m *Model) Compare(d Draw) (Comparison, error) {
	d.Symmetric = true
	b, err := m.Budget()
	if err != nil {
		return Comparison{}, err
	}
	mc, err := m.MonteCarlo(d)
	if err != nil {
		return Comparison{Budget: b}, err
	}
	c := Comparison{Budget: b, Distribution: mc}
	half := b.Expanded(mc.Coverage)
	c.Low, c.High = math.Abs(b.Value-half-mc.Low), math.Abs(b.Value+half-mc.High)
	c.Agree = c.Low <= mc.Tolerance && c.High <= mc.Tolerance
	p := 100 * mc.Coverage
	unit := m.Unit
	if unit == "1" {
		unit = ""
	}
	if unit != "" {
		unit = "\u00a0" + unit
	}
	switch {
	case c.Agree:
		c.Sentence = fmt.Sprintf("First order is enough: drawing from the distributions gives the same %g\u00a0%% interval within %.1g%s.", p, mc.Tolerance, unit)
	default:
		c.Sentence = fmt.Sprintf("First order is not the whole story: it gives %s to %s%s at %g\u00a0%%, drawing from the distributions gives %s to %s%s; use the latter.",
			twoDigitsOf(half, b.Value-half), twoDigitsOf(half, b.Value+half), unit, p, twoDigitsOf(half, mc.Low), twoDigitsOf(half, mc.High), unit)
	}
	if !mc.Settled {
		c.Sentence += fmt.Sprintf(" The draws had not settled after %d trials.", mc.Trials)
	}
	return c, nil
}

// twoDigitsOf prints a value down to the second digit of a half-width.
func twoDigitsOf(half, v float64) string {
	if half > 0 && !math.IsInf(half, 0) {
		last := math.Floor(math.Log10(half)) - 1
		if last < 0 { // a power of ten that is exact
			d := math.Pow(10, -last)
			v = math.Round(v*d) / d
		} else {
			d := math.Pow(10, last)
			v = math.Round(v/d) * d
		}
	}
	s := strconv.FormatFloat(math.Abs(v), 'g', 6, 64)
	if v < 0 && s != "0" {
		return "−" + s
	}
	return s
}
