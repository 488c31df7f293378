package answer

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

func TestRoomOfAParabolaIsItsWidth(t *testing.T) {
	l := Landscape{
		Of: func(x []float64) (float64, []float64, error) {
			return (x[0]-1)*(x[0]-1) + 4*(x[1]-2)*(x[1]-2) + 3, []float64{x[1] - 2.3}, nil
		},
		Low: []float64{-5, 1.9}, High: []float64{5, 5},
	}
	r, err := l.Flatness([]float64{1, 2}, 0.64)
	if err != nil {
		t.Fatal(err)
	}
	testkit.CloseAll(t, "room of both variables, by hand: 1 ± 0.8; 2 − 0.4 beyond the range, 2 + 0.4 beyond the constraint",
		[]float64{r[0].Low, r[0].High, r[1].Low, r[1].High}, []float64{0.2, 1.8, 1.9, 2.3}, 0, 2e-4)
	if r[0].LowEnd != ByAim || r[0].HighEnd != ByAim || r[1].LowEnd != ByRange || r[1].HighEnd != ByConstraint {
		t.Errorf("ends: %v %v %v %v", r[0].LowEnd, r[0].HighEnd, r[1].LowEnd, r[1].HighEnd)
	}
	l.Of = func([]float64) (float64, []float64, error) { return 0, nil, errors.New("no run") }
	if _, err := l.Flatness([]float64{1, 2}, 1); err == nil {
		t.Error("a landscape without values passes")
	}
}

// The nearest point to (3, 4) within the circle of radius r is r (3, 4)/5 at a distance of 5 − r: letting r out by one unit
// brings one.
func TestPriceIsWhatLettingALimitOutBrings(t *testing.T) {
	l := Landscape{
		Of: func(x []float64) (float64, []float64, error) {
			return math.Hypot(x[0]-3, x[1]-4), []float64{math.Hypot(x[0], x[1]) - 2, x[0] - 10, -x[0] - 0.5}, nil
		},
		Low: []float64{-5, -5}, High: []float64{5, 5},
	}
	p, left, err := l.Prices([]float64{1.2, 1.6}, []float64{1e-3, 1e-2}, 1e-6)
	if err != nil {
		t.Fatal(err)
	}
	if len(p) != 1 || p[0].Constraint != 0 {
		t.Fatalf("active: %v", p)
	}
	testkit.Close(t, "price of the radius", p[0].PerUnit, 1, 1e-4, 0)
	testkit.Close(t, "slope that is left", left, 0, 0, 1e-3)
	// Away from the optimum the slope is not held by the constraint.
	if _, left, _ = l.Prices([]float64{2, 0}, []float64{1e-3, 1e-3}, 1e-6); left < 0.5 {
		t.Errorf("beside the optimum only %g of the slope is left", left)
	}
	// A constraint that pushes the wrong way costs nothing.
	p, _, _ = l.Prices([]float64{0, 0}, []float64{1e-3, 1e-3}, 100)
	for _, q := range p {
		if q.PerUnit < 0 {
			t.Errorf("constraint %d has a price of %g", q.Constraint, q.PerUnit)
		}
	}
	// At an end of its range a variable is held by that.
	l.Low[0] = 2
	p, left, err = l.Prices([]float64{2, 0}, []float64{1e-3, 1e-3}, 1e-6)
	if err != nil || len(p) != 1 || p[0].PerUnit != 0 || left < 0.99 {
		t.Errorf("prices %v, slope left %g, %v", p, left, err)
	}
}

func TestPassesStopPayingWhereTheGainFallsBelowTheirWorth(t *testing.T) {
	// Heat of n passes 100 n/(n + 4): the step from n to n + 1 brings 400/((n + 4)(n + 5)), and a pass must bring 5:
	// at n = 4 it is 5.6, at n = 5 it is 4.4.
	r := Response{Neighbour: Unknown}
	for n := range 16 {
		r.X, r.Y, r.U = append(r.X, float64(n)), append(r.Y, 100*float64(n)/float64(n+4)), append(r.U, 0.05)
	}
	p, err := PassesPay(r, 5, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if p.PaysTo != 5 || p.StopsAt != 5 || !p.Stops {
		t.Errorf("pays to %g, stops at %g (%v)", p.PaysTo, p.StopsAt, p.Stops)
	}
	for i := range r.U {
		r.U[i] = 1 // now neighbouring steps cannot be told apart
	}
	p, _ = PassesPay(r, 5, 0.95)
	if !(p.PaysTo < 5 && p.StopsAt > 5 && p.Stops) {
		t.Errorf("with a larger uncertainty: pays to %g, stops at %g (%v)", p.PaysTo, p.StopsAt, p.Stops)
	}
	if p.Gains[0].U < math.Sqrt2*0.99 {
		t.Errorf("the uncertainty of a step is %g", p.Gains[0].U)
	}
	p, _ = PassesPay(r, -5, 0.95)
	if p.Stops || p.PaysTo != 15 {
		t.Errorf("where every pass is welcome: %+v", p)
	}
	if _, err := PassesPay(Response{X: []float64{1}, Y: []float64{1}}, 1, 0.95); err == nil {
		t.Error("one number of passes passes")
	}
}

// Steps of 5 known to ±2 are neither shown to bring 5 nor shown not to: no number of passes has then been shown to pay, and
// the first of the range, to which no step leads, is not said to.
func TestPassesAreNotSaidToPayWithoutAStepThatIsShownTo(t *testing.T) {
	open := Response{X: []float64{1, 2, 3, 4}, Y: []float64{0, 5, 10, 15}, U: []float64{1.4, 1.4, 1.4, 1.4}}
	stops := Response{X: open.X, Y: []float64{0, 5, 5, 5}, U: []float64{1.4, 1.4, 0.1, 0.1}}
	for name, r := range map[string]Response{"open to the end": open, "none pays at the end": stops} {
		p, err := PassesPay(r, 5, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		says := p.Sentence("passes", func(x float64) string { return fmt.Sprintf("%g W", x) })
		if strings.Contains(says, "Up to") || !strings.Contains(says, "step from 1\u00a0pass on is not shown to pay") {
			t.Errorf("%s: %s", name, says)
		}
	}
}

// TestPassesBelowTheFirstStepAreNotSaidToPay: where the range begins at one pass, nothing shows what the first one brings.
func TestPassesBelowTheFirstStepAreNotSaidToPay(t *testing.T) {
	r := Response{X: []float64{1, 2, 3, 4}, Y: []float64{0, 20, 40, 41}, U: []float64{0.1, 0.1, 0.1, 0.1}}
	p, err := PassesPay(r, 5, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	says := p.Sentence("passes", func(x float64) string { return fmt.Sprintf("%g W", x) })
	if says != "From 1\u00a0pass up to 3 each one pays; beyond, none does." {
		t.Errorf("it says %q", says)
	}
}
