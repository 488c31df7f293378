package answer

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Advantage is what a variant is worth over the present design, in an aim that is the smaller the better.
type Advantage struct {
	By    float64 // present − variant
	U     float64 // its standard uncertainty
	Least float64 // that is shown with the confidence asked for; below 0: it may be worse
	Shown bool    // Least is above 0
}

// AdvantageOver compares two values of one aim, both with what is known of their errors: pair holds the present design first and
// the variant second (its X only tells them apart), so that what both share drops out. The best of many variants was chosen
// partly for the luck of its errors: where their uncertainty is not small beside the differences, run it again on a finer grid.
func AdvantageOver(pair Response, confidence float64) (Advantage, error) {
	if err := pair.check(); err != nil {
		return Advantage{}, fmt.Errorf("comparing with the present design: %w", err)
	}
	if len(pair.X) != 2 || !(confidence > 0.5 && confidence < 1) {
		return Advantage{}, fmt.Errorf("comparing with the present design: two values and a confidence between 0.5 and 1 are needed, not %d and %g", len(pair.X), confidence)
	}
	c := pair.difference(1, 0)
	a := Advantage{By: c.value, U: c.sd()}
	a.Least = a.By - distuv.UnitNormal.Quantile(confidence)*a.U
	a.Shown = a.Least > 0
	return a, nil
}
