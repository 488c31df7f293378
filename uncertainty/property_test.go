package uncertainty

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"emberbank/internal/testkit"
)

// drawn makes three quantities with components, some of them from common sources.
func drawn(t *rapid.T) []Quantity {
	var all []Quantity
	for i := range 3 {
		q := Quantity{Name: string(rune('a' + i)), Value: rapid.Float64Range(0.5, 2).Draw(t, "value")}
		for range rapid.IntRange(1, 3).Draw(t, "components") {
			q.Components = append(q.Components, Component{
				U:     rapid.Float64Range(1e-4, 1e-2).Draw(t, "u"),
				DoF:   float64(rapid.IntRange(0, 30).Draw(t, "dof")),
				Group: rapid.SampledFrom([]string{"", "", "logger", "pair"}).Draw(t, "group"),
			})
		}
		all = append(all, q)
	}
	return all
}

func smooth(x []float64) float64 { return x[0] * x[1] / x[2] }

func TestAnotherUnitScalesTheBudget(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawn(rt)
		k := math.Pow(10, rapid.Float64Range(-6, 6).Draw(rt, "scale"))
		a := Model{F: smooth, Inputs: q}
		b := Model{F: func(x []float64) float64 { return k * x[0] / k * x[1] / x[2] * k }, Inputs: q}
		one, err := a.Budget()
		two, err2 := b.Budget()
		if err != nil || err2 != nil {
			rt.Fatal(err, err2)
		}
		if math.Abs(two.U-k*one.U) > 1e-8*k*one.U || math.Abs(two.DoF-one.DoF) > 1e-6*one.DoF && !math.IsInf(one.DoF, 1) {
			rt.Errorf("u = %g becomes %g, degrees of freedom %g become %g, in a unit %g times as small", one.U, two.U, one.DoF, two.DoF, k)
		}
	})
}

func TestAnIndependentComponentNeverLowersTheUncertainty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawn(rt)
		before, err := (&Model{F: smooth, Inputs: q}).Budget()
		if err != nil {
			rt.Fatal(err)
		}
		i := rapid.IntRange(0, 2).Draw(rt, "input")
		q[i].Components = append(q[i].Components, Component{U: rapid.Float64Range(0, 1e-2).Draw(rt, "more")})
		after, err := (&Model{F: smooth, Inputs: q}).Budget()
		if err != nil {
			rt.Fatal(err)
		}
		if after.U < before.U*(1-1e-7) { // the steps of the differences change with the components
			rt.Errorf("u falls from %g to %g", before.U, after.U)
		}
	})
}

func TestSharesAddUpAndDegreesOfFreedomStayWithinTheirSum(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b, err := (&Model{F: smooth, Inputs: drawn(rt)}).Budget()
		if err != nil {
			rt.Fatal(err)
		}
		sum, dof, least := 0.0, 0.0, math.Inf(1)
		for _, r := range b.Rows {
			sum += r.Share
			if r.DoF == 0 {
				dof = math.Inf(1)
			} else {
				dof, least = dof+r.DoF, math.Min(least, r.DoF)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			rt.Errorf("the shares add up to %g", sum)
		}
		if b.DoF > dof*(1+1e-9) || b.DoF < least*(1-1e-9) {
			rt.Errorf("effective degrees of freedom %g; the least is %g, the sum %g", b.DoF, least, dof)
		}
	})
}

func TestDrawsAgreeWithFirstOrderWhereTheModelIsNearlyLinear(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawn(rt)
		for i := range q {
			for k := range q[i].Components {
				q[i].Components[k].DoF = 0
			}
		}
		m := Model{F: smooth, Inputs: q}
		c, err := m.Compare(Draw{Seed: 1, Most: 20000})
		if err != nil {
			rt.Fatal(err)
		}
		if math.Abs(c.Distribution.U-c.Budget.U) > 0.03*c.Budget.U { // 20 000 draws know u to 0.5 %
			rt.Errorf("u is %g to first order and %g drawn", c.Budget.U, c.Distribution.U)
		}
	})
}

func TestOneSourceCancelsInADifference(t *testing.T) {
	in := Quantity{Name: "inlet", Value: 20, Components: []Component{{Name: "pair", U: 0.5, Group: "pair"}, {Name: "own", U: 0.03}}}
	out := Quantity{Name: "outlet", Value: 60, Components: []Component{{Name: "pair", U: 0.5, Group: "pair"}, {Name: "own", U: 0.04}}}
	m := Model{F: func(x []float64) float64 { return x[1] - x[0] }, Inputs: []Quantity{in, out}}
	b, err := m.Budget()
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "u of the difference", b.U, 0.05, 1e-9, 0)
	d, err := m.MonteCarlo(Draw{Seed: 2})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "u of the difference, drawn", d.U, 0.05, 0.02, 0)
}

func TestThermocoupleTolerances(t *testing.T) {
	const worked = "IEC 60584-1:2013 limits, three makers' pages"
	const quoted = "IEC 60584-1:2013 limits, two makers' pages"
	for _, row := range []struct {
		kind   string
		cls    int
		t, tol float64 // °C, K
		source string
	}{
		{"K", 1, 400, 1.6, worked},
		{"K", 2, 400, 3.0, worked},
		{"N", 1, 300, 1.5, worked},
		{"K", 2, 320, 2.5, worked},
		{"N", 3, -200, 3.0, worked},
		{"T", 1, 100, 0.5, quoted},
		{"T", 2, 300, 2.25, quoted},
		{"T", 3, -100, 1.5, quoted},
		{"J", 1, 500, 2.0, quoted},
		{"E", 2, 900, 6.75, quoted},
		{"S", 1, 1000, 1.0, quoted},
		{"R", 1, 1600, 2.5, quoted + "; bend from memory"},
		{"S", 2, 1000, 2.5, quoted},
		{"B", 2, 1700, 4.25, quoted},
		{"B", 3, 1000, 5.0, quoted},
	} {
		got, err := ThermocoupleTolerance(row.kind, row.cls, row.t+273.15)
		if err != nil {
			t.Error(err)
		}
		testkit.Close(t, row.kind+", "+row.source, got, row.tol, 1e-9, 0)
	}
	for _, row := range []struct {
		kind string
		cls  int
		t    float64
		says string
	}{{"J", 3, 0, "class 1 or class 2"}, {"K", 1, 1001, "from -40 to 1000"}, {"Q", 1, 0, "no thermocouple type"}, {"B", 1, 800, "class 2 or class 3"}} {
		if _, err := ThermocoupleTolerance(row.kind, row.cls, row.t+273.15); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("type %s class %d at %g °C: the error %v does not say %q", row.kind, row.cls, row.t, err, row.says)
		}
	}
	c, err := Thermocouple("k", 1, 673.15, "tc 3")
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "u of limits of ±1.6 K", c.U, 1.6/math.Sqrt(3), 1e-12, 0)
}

func TestCalibrationAgesAndInterpolates(t *testing.T) {
	day := func(y int) time.Time { return time.Date(y, 5, 1, 0, 0, 0, 0, time.UTC) }
	c := Calibration{Date: day(2020), Drift: 0.1, UDrift: 0.05, Group: "tc 1", Points: []CalibrationPoint{{100, 0.2, 0.1, 0}, {300, 0.6, 0.3, 12}}}
	for _, row := range []struct{ reading, correction, u float64 }{{0, 0.2, 0.1}, {100, 0.2, 0.1}, {150, 0.3, 0.3}, {300, 0.6, 0.3}, {500, 0.6, 0.3}} {
		got, parts, err := c.At(row.reading, day(2024))
		if err != nil {
			t.Fatal(err)
		}
		testkit.Close(t, "correction after four years", got, row.correction+0.4, 0, 1e-3)
		testkit.Close(t, "u of the certificate", parts[0].U, row.u, 0, 1e-12)
		testkit.Close(t, "u of the drift", parts[1].U, 0.2, 1e-3, 0)
	}
	if _, _, err := (&Calibration{Points: []CalibrationPoint{{2, 0, 0, 0}, {1, 0, 0, 0}}}).At(1, day(2024)); err == nil {
		t.Error("points that fall are taken")
	}
}

func TestErrorsSayWhatToMend(t *testing.T) {
	id := func(x []float64) float64 { return math.Log(x[0]) }
	for _, row := range []struct {
		m    Model
		says string
	}{
		{Model{Name: "m"}, "no function"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: math.NaN()}}}, "give a number"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: 1, Components: []Component{{U: -1}}}}}, "at least 0"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: 1, Components: []Component{{U: 1, DoF: 0.5}}}}}, "degrees of freedom"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: -1}}}, "no value"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: 1e-9, Components: []Component{{U: 1}}}}}, "border"},
		{Model{Name: "m", F: id, Inputs: []Quantity{{Name: "a", Value: 1}}, Correlation: [][]float64{{2}}}, "diagonal"},
	} {
		if _, err := row.m.Budget(); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("the error %v does not say %q", err, row.says)
		}
	}
	q := Quantity{Name: "a", Value: 1, Components: []Component{{U: 1}}}
	impossible := Model{Name: "m", F: smooth, Inputs: []Quantity{q, q, q}, Correlation: [][]float64{{1, 0.9, -0.9}, {0.9, 1, 0.9}, {-0.9, 0.9, 1}}}
	if _, err := impossible.MonteCarlo(Draw{}); err == nil || !strings.Contains(err.Error(), "eigenvalue") {
		t.Errorf("an impossible correlation matrix gives %v", err)
	}
}
