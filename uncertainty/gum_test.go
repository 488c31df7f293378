package uncertainty

import (
	"math"
	"testing"

	"emberbank/internal/testkit"
)

// The worked examples of JCGM 100:2008, annex H. What is printed there is checked to half of its last digit. Inputs
// marked "from memory" prove themselves: every printed result comes out of them.

func TestEndGaugeOfGUMH1(t *testing.T) {
	const source = "JCGM 100:2008, H.1, table H.1 (component values from memory; the printed results come out)"
	// In nm of the gauge, as the table lists the contributions.
	m := Model{Name: "end gauge", Unit: "nm", F: func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }, Inputs: []Quantity{
		{Name: "standard", Value: 50000623, Components: []Component{{U: 25, DoF: 18}}},
		{Name: "difference", Value: 215, Components: []Component{
			{Name: "repeated observations", U: 5.8, DoF: 24},
			{Name: "random effects of the comparator", U: 3.9, DoF: 5},
			{Name: "systematic effects of the comparator", U: 6.7, DoF: 8},
		}},
		{Name: "difference of expansion", Components: []Component{{U: 2.9, DoF: 50}}},
		{Name: "difference of temperature", Components: []Component{{U: 16.6, DoF: 2}}},
	}}
	b, err := m.Budget()
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "u_c in nm, "+source, b.U, 32, 0, 0.5)
	testkit.Close(t, "u(d) in nm, "+source, m.Inputs[1].U(), 9.7, 0, 0.05)
	testkit.Close(t, "effective degrees of freedom cut down, "+source, math.Floor(b.DoF), 16, 0, 0)
	testkit.Close(t, "t99(16), "+source, CoverageFactor(0.99, b.DoF), 2.92, 0, 0.005)
	testkit.Close(t, "U99 in nm, "+source, b.Expanded(0.99), 93, 0, 1) // printed as 2.92 · 32 nm
}

// endGauge is the full model of H.1, in metres and kelvin.
func endGauge() Model {
	return Model{Name: "end gauge", Unit: "m", F: func(x []float64) float64 {
		ls, d, alpha, theta, dalpha, dtheta := x[0], x[1], x[2], x[3], x[4], x[5]
		return ls + d - ls*(dalpha*theta+alpha*dtheta)
	}, Inputs: []Quantity{
		{Name: "standard", Value: 50.000623e-3, Components: []Component{{U: 25e-9, DoF: 18}}},
		{Name: "difference", Value: 215e-9, Components: []Component{{U: 9.7e-9, DoF: 25}}},
		{Name: "expansion", Value: 11.5e-6, Components: []Component{Within("limits", 2e-6)}},
		{Name: "departure from 20 °C", Value: -0.1, Components: []Component{{Name: "mean", U: 0.2}, {Name: "cycle", U: 0.35, Shape: ArcSine}}},
		{Name: "difference of expansion", Value: 0, Components: []Component{Within("limits", 1e-6)}},
		{Name: "difference of temperature", Value: 0, Components: []Component{{Name: "limits", U: 0.05 / math.Sqrt(3), Shape: Rectangular, DoF: 2}}},
	}}
}

func TestSecondOrderTermsOfGUMH1(t *testing.T) {
	const source = "JCGM 100:2008, H.1.7: u_c = 34 nm with the second-order terms, of which 11.7 nm are l_s u(δα) u(θ) and 1.7 nm l_s u(α) u(δθ) (from memory)"
	m := endGauge()
	b, err := m.Budget()
	if err != nil {
		t.Fatal(err)
	}
	second, err := m.SecondOrder()
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "second-order terms in nm, "+source, second*1e9, math.Hypot(11.7, 1.7), 0, 0.1)
	testkit.Close(t, "u_c with them in nm, "+source, math.Hypot(b.U, second)*1e9, 34, 0, 0.5)
}

func TestResistanceAndReactanceOfGUMH2(t *testing.T) {
	const source = "JCGM 100:2008, H.2, tables H.2 to H.4 (readings from memory; the printed results come out)"
	q, r, err := Simultaneous([]string{"V", "I", "phi"}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "r(V, I), "+source, r[0][1], -0.36, 0, 0.005)
	testkit.Close(t, "r(V, phi), "+source, r[0][2], 0.86, 0, 0.005)
	testkit.Close(t, "r(I, phi), "+source, r[1][2], -0.65, 0, 0.005)
	model := func(name string, f func(x []float64) float64) *Model {
		return &Model{Name: name, Unit: "Ω", F: f, Inputs: q, Correlation: r}
	}
	R := model("R", func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) })
	X := model("X", func(x []float64) float64 { return x[0] / x[1] * math.Sin(x[2]) })
	Z := model("Z", func(x []float64) float64 { return x[0] / x[1] })
	for _, row := range []struct {
		m    *Model
		y, u float64
	}{{R, 127.732, 0.071}, {X, 219.847, 0.295}, {Z, 254.260, 0.236}} {
		b, err := row.m.Budget()
		if err != nil {
			t.Fatal(err)
		}
		testkit.Close(t, row.m.Name+", "+source, b.Value, row.y, 0, 0.0006)
		testkit.Close(t, "u("+row.m.Name+"), "+source, b.U, row.u, 0, 0.0006)
		testkit.Close(t, "degrees of freedom: readings taken together", b.DoF, 4, 1e-9, 0)
		sum := 0.0
		for _, line := range b.Rows {
			sum += line.Share
		}
		testkit.Close(t, "sum of the shares", sum, 1, 1e-12, 0)
	}
	for _, row := range []struct {
		a, b *Model
		r    float64
	}{{R, X, -0.588}, {R, Z, -0.485}, {X, Z, 0.993}} {
		got, err := Correlation(row.a, row.b)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Close(t, "r("+row.a.Name+", "+row.b.Name+"), "+source, got, row.r, 0, 0.0006)
	}
}

func TestThermometerCalibrationOfGUMH3(t *testing.T) {
	const source = "JCGM 100:2008, H.3, table H.6 (readings from memory; the printed results come out)"
	x := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	y := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	l, err := FitLine(x, y, 20)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "y1 in °C, "+source, l.Intercept, -0.1712, 0, 0.00005)
	testkit.Close(t, "u(y1) in °C, "+source, l.UIntercept, 0.0029, 0, 0.00005)
	testkit.Close(t, "y2, "+source, l.Slope, 0.00218, 0, 0.000005)
	testkit.Close(t, "u(y2), "+source, l.USlope, 0.00067, 0, 0.000005)
	testkit.Close(t, "r(y1, y2), "+source, l.Correlation, -0.930, 0, 0.0005)
	testkit.Close(t, "s in °C, "+source, l.Scatter, 0.0035, 0, 0.00005)
	testkit.Close(t, "b(30 °C), "+source, l.At(30), -0.1494, 0, 0.00005)
	testkit.Close(t, "u(b(30 °C)), "+source, l.UAt(30), 0.0041, 0, 0.00005)
	// The same by propagation with the correlation of the two parameters.
	m := Model{Name: "b(30)", Unit: "°C", F: func(p []float64) float64 { return p[0] + 10*p[1] }, Inputs: []Quantity{
		{Name: "y1", Value: l.Intercept, Components: []Component{{U: l.UIntercept, DoF: l.DoF}}},
		{Name: "y2", Value: l.Slope, Components: []Component{{U: l.USlope, DoF: l.DoF}}},
	}, Correlation: [][]float64{{1, l.Correlation}, {l.Correlation, 1}}}
	b, err := m.Budget()
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "u(b(30 °C)) by propagation, "+source, b.U, 0.0041, 0, 0.00005)
}

func TestRadonActivityOfGUMH4(t *testing.T) {
	const source = "JCGM 100:2008, H.4, tables H.7 and H.8 (readings from memory; the printed results come out)"
	const lambda, t0 = 1.25894e-4, 60 // 1/min, min
	rows := [][6]float64{             // t_S, C_S, t_B, C_B, t_x, C_x
		{243.74, 15380, 305.56, 4054, 367.37, 41432},
		{984.53, 14978, 1046.10, 3922, 1107.66, 38706},
		{1723.87, 14394, 1785.43, 4200, 1846.99, 35860},
		{2463.17, 13254, 2524.73, 3830, 2586.28, 32238},
		{3217.56, 12516, 3279.12, 3956, 3340.68, 29640},
		{3956.83, 11058, 4018.38, 3980, 4079.94, 26356},
	}
	rx, rs, ratio := make([]float64, 6), make([]float64, 6), make([]float64, 6)
	for k, r := range rows {
		rx[k] = (r[5] - r[3]) / t0 * math.Exp(lambda*r[4])
		rs[k] = (r[1] - r[3]) / t0 * math.Exp(lambda*r[0])
		ratio[k] = rx[k] / rs[k]
	}
	q, r, err := Simultaneous([]string{"R_x", "R_S"}, [][]float64{rx, rs})
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "R_x in 1/min, "+source, q[0].Value, 652.60, 0, 0.005)
	testkit.Close(t, "s(R_x), "+source, q[0].U(), 6.42, 0, 0.005)
	testkit.Close(t, "R_S in 1/min, "+source, q[1].Value, 206.09, 0, 0.005)
	testkit.Close(t, "s(R_S), "+source, q[1].U(), 3.79, 0, 0.005)
	testkit.Close(t, "r(R_x, R_S), "+source, r[0][1], 0.646, 0, 0.0005)
	others := []Quantity{
		{Name: "A_S", Unit: "Bq/g", Value: 0.1368, Components: []Component{{U: 0.0018}}},
		{Name: "m_S", Unit: "g", Value: 5.0192, Components: []Component{{U: 0.0050}}},
		{Name: "m_x", Unit: "g", Value: 5.0571, Components: []Component{{U: 0.0010}}},
	}
	full := [][]float64{{1, r[0][1], 0, 0, 0}, {r[0][1], 1, 0, 0, 0}, {0, 0, 1, 0, 0}, {0, 0, 0, 1, 0}, {0, 0, 0, 0, 1}}
	m := Model{Name: "A_x", Unit: "Bq/g", F: func(x []float64) float64 { return x[2] * x[3] / x[4] * x[0] / x[1] }, Inputs: append(q, others...), Correlation: full}
	b, err := m.Budget()
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "A_x in Bq/g, first approach, "+source, b.Value, 0.4300, 0, 0.0001) // the printed factors give 0.42995
	testkit.Close(t, "u(A_x) in Bq/g, "+source, b.U, 0.0083, 0, 0.00005)
	mean, c, err := Mean(ratio)
	if err != nil {
		t.Fatal(err)
	}
	m = Model{Name: "A_x", F: func(x []float64) float64 { return x[1] * x[2] / x[3] * x[0] }, Inputs: append([]Quantity{{Name: "ratio", Value: mean, Components: []Component{c}}}, others...)}
	if b, err = m.Budget(); err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "A_x in Bq/g, second approach, "+source, b.Value, 0.4304, 0, 0.00005)
	testkit.Close(t, "u(A_x) in Bq/g, "+source, b.U, 0.0084, 0, 0.00005)
}
