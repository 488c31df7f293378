package answer

import (
	"testing"

	"emberbank/internal/testkit"
)

func TestAdvantageCountsOnlyWhatTheTwoDoNotShare(t *testing.T) {
	pair := Response{X: []float64{0, 1}, Y: []float64{10, 9}, U: []float64{0.3, 0.4}, Inputs: [][]float64{{5, 5}}}
	a, err := AdvantageOver(pair, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testkit.CloseAll(t, "by hand: 10 − 9 ± √(0.3² + 0.4²), less 1.645 of it", []float64{a.By, a.U, a.Least}, []float64{1, 0.5, 1 - 1.644854*0.5}, 1e-5, 0) // the quantile has seven digits here
	if !a.Shown {
		t.Error("an advantage of two standard uncertainties is not shown")
	}
	pair.Inputs[0][1] = 6
	if a, _ = AdvantageOver(pair, 0.95); a.Shown {
		t.Errorf("an input that moves the two apart by the advantage leaves it shown: %+v", a)
	}
	if _, err := AdvantageOver(Response{X: []float64{1}, Y: []float64{1}}, 0.95); err == nil {
		t.Error("one value passes")
	}
}
