package account

import (
	"testing"

	"emberbank/dish"
)

func TestThePlaceOfThePeakHasNoMinusBeforeAZero(t *testing.T) {
	l := &Light{Beam: 900, Result: &dish.Result{PeakAt: [2]float64{-0.0003, -0.0126}}}
	if got := l.peak().Where; got != ", at 0, -13 mm" {
		t.Errorf("the peak stands%s", got)
	}
}
